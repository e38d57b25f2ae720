"""What a named comparison finds: its rows, and which of them can be told apart."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from sitegen.errors import MeasureError
from sitegen.findings.families import family_of
from sitegen.findings.select import ordered
from sitegen.findings.views import ComparisonFinding, Interval, Pair, ResultRow
from sitegen.measure.ranking import (
    NaturalShare,
    Ratio,
    holm,
    natural_half_width,
    ratio_by_own_scatter,
    ratio_by_repeatability,
)
from sitegen.measure.repeatability import Repeatability, pooled_repeatability

LEAST_DEGREES = 8.0
SIGNIFICANT = 0.05
MOST_PAIRED = 24
WORTHWHILE = 0.10
"""A smaller difference does not matter to anybody's choice."""


@dataclass(frozen=True, slots=True)
class Repeats:
    """The repeats behind one row.

    Attributes:
        configuration: ``DEVICE.FILTER.SPEED``.
        method: id of the decay method.
        fraction: size fraction.
        each_m3h: CADR of every pooled run.
        natural: what the natural decay taken off does to it, or nothing.
        told: whether every run by itself can tell its CADR from zero.
    """

    configuration: str
    method: str
    fraction: str
    each_m3h: tuple[float, ...]
    natural: NaturalShare | None = None
    told: bool = True


@dataclass(frozen=True, slots=True)
class Scatter:
    """A method's repeatability, adopted or current.

    Attributes:
        s_r: standard deviation of ln CADR.
        degrees: degrees of freedom.
        adopted: whether the method's record holds it.
    """

    s_r: float
    degrees: float
    adopted: bool


def repeated(repeats: Sequence[Repeats]) -> tuple[Repeats, ...]:
    """Return those that a repeatability rests on.

    Configurations with two runs or more, each of which tells its CADR from zero: a
    repeatability holds in proportion to the CADR, and near zero there is none. That is
    asked of the single runs, not of their common interval, so that repeats are not
    left out because they differ.
    """
    return tuple(
        item
        for item in repeats
        if item.told and len(item.each_m3h) > 1 and min(item.each_m3h) > 0
    )


def current_scatter(repeats: Sequence[Repeats]) -> Scatter | None:
    """Return the repeatability that a method's own repeats give now.

    Nothing with fewer than ``LEAST_DEGREES`` degrees of freedom.
    """
    try:
        found = pooled_repeatability([item.each_m3h for item in repeated(repeats)])
    except MeasureError:
        return None
    if found.nu < LEAST_DEGREES or found.s_r == 0:
        return None
    return Scatter(found.s_r, found.nu, adopted=False)


def compare(
    rows: Sequence[ResultRow],
    dropped: Sequence[str],
    repeats: Mapping[str, Repeats],
    scatter: Mapping[str, Scatter],
    families: Mapping[str, str],
    order: str = "-cadr_m3h",
) -> ComparisonFinding:
    """Return what a comparison finds.

    Pairs are made only under comparable methods, with one p adjusted by Holm over all
    pairs of the comparison: every two rows, or for more than ``MOST_PAIRED`` the one
    with the most clean air against each of the others. Without a known repeatability a
    pair needs two runs each; otherwise nothing is said of it.

    Args:
        rows: rows compared.
        dropped: configurations asked for that have no result.
        repeats: repeats by row key (configuration, method, fraction; spaces between).
        scatter: repeatability by method and fraction, a space between.
        families: method id to its comparable family.
        order: how the rows are sorted.
    """
    known = [row for row in rows if row.cadr_m3h is not None and row.cadr_m3h > 0]
    best = sorted(known, key=lambda row: (-(row.cadr_m3h or 0.0), row.configuration))
    raw: list[tuple[ResultRow, ResultRow, Ratio]] = []
    leader_only = len(best) > MOST_PAIRED
    held = (
        [(best[0], other) for other in best[1:]]
        if leader_only
        else combinations(best, 2)
    )
    for first, second in held:
        if family_of(first.method, families) != family_of(second.method, families):
            continue
        ratio = _ratio(first, second, repeats, scatter)
        if ratio is not None:
            raw.append((first, second, ratio))
    adjusted = holm([ratio.p for _, _, ratio in raw]) if raw else []
    pairs = tuple(
        Pair(
            first=first.configuration,
            second=second.configuration,
            ratio=Interval(ratio.ratio, ratio.low, ratio.high),
            p_adjusted=p,
            apart=p < SIGNIFICANT,
            alike=ratio.verdict(WORTHWHILE) == "equivalent",
        )
        for (first, second, ratio), p in zip(raw, adjusted, strict=True)
    )
    return ComparisonFinding(
        rows=ordered(rows, order),
        dropped=tuple(dropped),
        pairs=pairs,
        mixed_methods=len({family_of(row.method, families) for row in rows}) > 1,
        leader_only=leader_only,
    )


def _ratio(
    first: ResultRow,
    second: ResultRow,
    repeats: Mapping[str, Repeats],
    scatter: Mapping[str, Scatter],
) -> Ratio | None:
    if first.fraction != second.fraction:
        return None
    one, two = repeats.get(first.key), repeats.get(second.key)
    if one is None or two is None or not one.each_m3h or not two.each_m3h:
        return None
    if min(*one.each_m3h, *two.each_m3h) <= 0:
        return None
    own, other = (_scatter_of(row, scatter) for row in (first, second))
    natural = _natural(one, two)
    try:
        if own is not None and own == other and first.method == second.method:
            return ratio_by_repeatability(one.each_m3h, two.each_m3h, own, natural)
        return ratio_by_own_scatter(one.each_m3h, two.each_m3h, own, other, natural)
    except MeasureError:
        # Too few repeats to say anything where no repeatability is known.
        return None


def _natural(one: Repeats, two: Repeats) -> float:
    """Return what the natural decays add to a pair's interval."""
    if one.natural is None or two.natural is None:
        return 0.0
    a, b = (float(np.exp(np.log(item.each_m3h).mean())) for item in (one, two))
    return natural_half_width(a, one.natural, b, two.natural)


def _scatter_of(row: ResultRow, scatter: Mapping[str, Scatter]) -> Repeatability | None:
    """Return the repeatability that holds for a row, or nothing for its own scatter.

    A configuration whose repeats scatter more than the others' speaks for itself.
    """
    known = scatter.get(f"{row.method} {row.fraction}")
    if known is None or "VARIABLE" in row.flags:
        return None
    return Repeatability(known.s_r, known.degrees)


def with_rank(row: ResultRow, rank: tuple[int, int, int] | None) -> ResultRow:
    """Return a row with its rank put in."""
    if rank is None:
        return row
    low, high, of = rank
    return replace(row, rank_low=low, rank_high=high, ranked_of=of)
