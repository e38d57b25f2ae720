"""Results that surprise or leave a question open, and what would settle each."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from sitegen.findings.claims import CONSISTENT
from sitegen.findings.comparisons import Scatter
from sitegen.findings.results import Outlying, Pooled
from sitegen.findings.views import ClaimView, ResultRow
from sitegen.measure.planning import (
    MOST_RUNS,
    NaturalScatter,
    RunsNeeded,
    Spread,
    runs_for_width,
)
from sitegen.measure.repeatability import Repeatability

WIDE = 0.10
"""An interval wider than this share of the CADR, either way, leaves a choice open."""

Reason = Literal["outlier", "variable", "zero", "single", "claim", "wide"]
Remedy = Literal[
    "decide",
    "runs",
    "second-run",
    "look",
    "room",
    "not-by-runs",
    "limit-stands",
    "measure-again",
    "new-method",
]


@dataclass(frozen=True, slots=True)
class Settling:
    """One reason to doubt a result, and what would settle it.

    Attributes:
        reason: why the result is on the list.
        remedy: ``decide``: look at the run named and record a decision; ``runs``: so
            many more runs; ``second-run``: one more, for nothing is known of how runs
            differ; ``look``: the interval is narrow enough, only why the runs differ is
            open; ``room``: no run helps, the volume and the sensors' linearity are
            too uncertain; ``not-by-runs``: more runs than anybody makes;
            ``limit-stands``: nothing was cleaned as far as can be seen, and the upper
            limit is all there is; ``measure-again``: another reading, of power;
            ``new-method``: its method has been replaced, so that a run under the one
            in force would tell more than a repeat.
        more: further runs with the device on.
        more_natural: further natural decays.
        natural_limits: whether no number of runs with the device on would do alone.
        share: half-width that they lead to, as a share of the CADR, to 1 %.
        run: id of the run concerned, or ``""``.
        claim: the claim's text, for a claim that the interval cannot tell.
    """

    reason: Reason
    remedy: Remedy
    more: int = 0
    more_natural: int = 0
    natural_limits: bool = False
    share: float | None = None
    run: str = ""
    claim: str = ""


@dataclass(frozen=True, slots=True)
class Surprise:
    """A current result that is not settled.

    Attributes:
        device: id of the device.
        filter: id of the filter.
        speed: id of the fan speed.
        method: id of the decay method.
        runs: runs in it now.
        share: half-width of its interval as a share of its CADR, to 1 %; nothing when
            the CADR is not above zero.
        steps: reasons and what settles them, the most doubtful first.
        halved: what would halve its interval, or nothing.
        outlying: the run that stands off and both means, or nothing.
    """

    device: str
    filter: str
    speed: str
    method: str
    runs: int
    share: float | None
    steps: tuple[Settling, ...]
    halved: Settling | None = None
    outlying: Outlying | None = None

    @property
    def configuration(self) -> str:
        """The configuration, as ``DEVICE.FILTER.SPEED``."""
        return f"{self.device}.{self.filter}.{self.speed}"


def surprises(
    rows: Sequence[ResultRow],
    pooled: Sequence[Pooled],
    claims: Sequence[ClaimView],
    scatter: Mapping[str, Scatter],
    replaced: Collection[str] = (),
) -> tuple[Surprise, ...]:
    """Return the results of a device that are not settled.

    Args:
        rows: its current results.
        pooled: what they rest on, and others.
        claims: the maker's claims against measurement.
        scatter: repeatability by method and fraction, a space between.
        replaced: ids of methods that a newer version replaces.
    """
    by_row = {item.row.key: item for item in pooled}
    found = []
    for row in rows:
        item = by_row.get(row.key)
        if item is None or row.cadr_m3h is None:
            continue
        known = scatter.get(f"{row.method} {row.fraction}")
        own = [c for c in claims if c.measured_row in {row.key, row.configuration}]
        steps = tuple(_steps(item, known, own))
        halved = _halving(item, known)
        if row.method in replaced:
            steps, halved = tuple(map(_under_new_method, steps)), None
        if steps:
            found.append(
                Surprise(
                    device=row.device,
                    filter=row.filter,
                    speed=row.speed,
                    method=row.method,
                    runs=row.runs,
                    share=_rounded(half_share(item.row)),
                    steps=steps,
                    halved=halved,
                    outlying=item.outlying,
                )
            )
    return tuple(found)


def _under_new_method(step: Settling) -> Settling:
    """Return what settles a result whose method is no longer used."""
    if step.remedy == "decide":
        return step
    return Settling(step.reason, "new-method", claim=step.claim)


def half_share(row: ResultRow) -> float | None:
    """Return the larger side of a CADR's interval as a share of it.

    None when there is no interval, or the CADR is not above zero.
    """
    value, low, high = row.cadr_m3h, row.cadr_low, row.cadr_high
    if value is None or low is None or high is None or value <= 0:
        return None
    return max(high - value, value - low) / value


def spread_of(item: Pooled, known: Scatter | None) -> Spread | None:
    """Return what makes up a result's interval, as a plan takes it.

    The scatter is the method's repeatability, adopted or current; of a configuration
    that scatters more, or where there is none, its own. Only an adopted repeatability
    makes intervals, so that with a current one the configuration's own degrees of
    freedom count.

    Args:
        item: the result.
        known: the method's repeatability, adopted or current.

    Returns:
        None without a positive CADR, or with a single run and no repeatability.
    """
    row, natural = item.row, item.natural
    value, high, stat = row.cadr_m3h, row.cadr_high, item.stat_high
    if value is None or high is None or stat is None or natural is None or value <= 0:
        return None
    off = NaturalScatter(natural.half_m3h / value, max(len(natural.runs), 1))
    common = float(np.sqrt(max((high - value) ** 2 - (stat - value) ** 2, 0.0))) / value
    if known is not None and not {"VARIABLE", "CADR_ZERO"} & set(row.flags):
        pooled = Repeatability(known.s_r, known.degrees)
        return Spread(pooled, own=not known.adopted, natural=off, common_share=common)
    if len(item.each_m3h) < 2:
        return None
    sd = float(np.std(item.each_m3h, ddof=1)) / value
    own = Repeatability(sd, len(item.each_m3h) - 1.0)
    return Spread(own, own=True, natural=off, common_share=common)


def _steps(
    item: Pooled, known: Scatter | None, claims: Sequence[ClaimView]
) -> Iterator[Settling]:
    row, spread, half = item.row, spread_of(item, known), half_share(item.row)
    if item.outlying is not None and not item.outlying.decided:
        yield Settling("outlier", "decide", run=item.outlying.run)
    zero = "CADR_ZERO" in row.flags
    if zero:
        if row.cadr_m3h is not None and row.cadr_m3h > 0:
            yield _by_runs("zero", spread, _BARELY, row.runs)
        else:
            yield Settling("zero", "limit-stands")
    elif "VARIABLE" in row.flags:
        narrow = half is not None and half <= WIDE
        yield (
            Settling("variable", "look")
            if narrow
            else _by_runs("variable", spread, WIDE, row.runs)
        )
    elif row.cadr_basis == "single":
        yield Settling("single", "second-run", more=1)
    elif half is not None and half > WIDE:
        yield _by_runs("wide", spread, WIDE, row.runs)
    for claim in claims:
        if claim.grade == "cannot-tell" and claim.ratio is not None:
            yield _claim(claim, spread, row.runs)


_BARELY = 0.999
"""Half-width at which an interval just leaves out zero."""
# A claim this near to a limit of the grades would take an interval that none reaches.
_LEAST_SHARE = 0.005


def _claim(claim: ClaimView, spread: Spread | None, runs: int) -> Settling:
    """Return what lets the interval of a claim's ratio fall to one side."""
    if claim.quantity != "cadr" or claim.ratio is None:
        return Settling("claim", "measure-again", claim=claim.text)
    ratio = claim.ratio.value
    share = min(abs(ratio - limit) for limit in CONSISTENT) / ratio
    if share < _LEAST_SHARE:
        return Settling("claim", "not-by-runs", claim=claim.text)
    return _by_runs("claim", spread, share, runs, claim=claim.text)


def _by_runs(
    reason: Reason, spread: Spread | None, share: float, runs: int, claim: str = ""
) -> Settling:
    """Return the runs that narrow an interval to a share, one more at the least."""
    if spread is None:
        return Settling(reason, "second-run", more=1, claim=claim)
    plan = runs_for_width(spread, share, runs)
    if plan is not None and (plan.runs, plan.natural_runs) == (
        runs,
        spread.natural.runs,
    ):
        # What is published is a little wider than the plan reckons.
        plan = runs_for_width(spread, share, runs + 1)
    if plan is None:
        remedy: Remedy = "room" if spread.common_share >= share else "not-by-runs"
        return Settling(reason, remedy, claim=claim)
    still = spread.half_share(MOST_RUNS) > share
    return replace(_planned(reason, spread, plan, runs, claim), natural_limits=still)


def _planned(
    reason: Reason, spread: Spread, plan: RunsNeeded, runs: int, claim: str
) -> Settling:
    return Settling(
        reason,
        "runs",
        more=plan.runs - runs,
        more_natural=plan.natural_runs - spread.natural.runs,
        share=_rounded(plan.half_share),
        claim=claim,
    )


def _halving(item: Pooled, known: Scatter | None) -> Settling | None:
    """Return what would halve a result's interval, or nothing when no runs would."""
    spread, half = spread_of(item, known), half_share(item.row)
    if spread is None or half is None or "CADR_ZERO" in item.row.flags:
        return None
    plan = runs_for_width(spread, half / 2, item.row.runs)
    return None if plan is None else _planned("wide", spread, plan, item.row.runs, "")


def _rounded(share: float | None) -> float | None:
    return None if share is None else round(share, 2)
