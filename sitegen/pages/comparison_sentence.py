"""The sentence that a comparison begins with; also its figure's text alternative.

It says which configurations cleared the air faster than which, by how much, and
which cannot be told apart. *Apart* is what the finding says, with all pairs of the
comparison allowed for; the factors are the 95 % intervals of the pairs' ratios. Of
what follows from the rest (A before B, B before C) only the direct steps are named.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence

from sitegen.findings.views import ComparisonFinding, Interval, ResultRow
from sitegen.pages.formats import fixed
from sitegen.pages.words import Words

# Beyond this many configurations the steps are counted, not named.
NAMED_AT_MOST = 6

Names = Mapping[str, str]
Ratios = Mapping[tuple[str, str], Interval]


def sentence(words: Words, finding: ComparisonFinding, names: Names) -> str:
    """Return the sentence with which a comparison begins.

    Args:
        words: the interface's words.
        finding: what was found.
        names: configuration to the name by which it is shown.
    """
    measured = [row for row in finding.rows if row.cadr_m3h is not None]
    clauses = list(_clauses(words, finding, measured, names))
    unmeasured = [
        *(row.configuration for row in finding.rows if row.cadr_m3h is None),
        *finding.dropped,
    ]
    if measured and unmeasured:
        clauses.append(_unmeasured(words, list(dict.fromkeys(unmeasured)), names))
    text = "; ".join(clauses)
    return f"{text[:1].upper()}{text[1:]}."


def listing(words: Words, items: Sequence[str]) -> str:
    """Return ``A, B and C``."""
    if len(items) < 2:
        return "".join(items)
    return words("{some} and {last}", some=", ".join(items[:-1]), last=items[-1])


def _clauses(
    words: Words,
    finding: ComparisonFinding,
    measured: Sequence[ResultRow],
    names: Names,
) -> Iterator[str]:
    if not measured:
        yield words("of none of these has the clean air delivered been measured yet")
        return
    order = list(dict.fromkeys(row.configuration for row in measured))
    if len(order) == 1:
        yield words(
            "only {name} has been measured, so there is nothing to hold it against",
            name=_name(names, order[0]),
        )
        return
    if not finding.pairs:
        yield words(
            "these were measured under methods that are not declared comparable, so "
            "none can be called faster than another"
        )
        return
    faster = _faster(finding)
    alike = _alike(finding)
    if len(order) > NAMED_AT_MOST:
        uncertain = {r.configuration for r in measured if "CADR_ZERO" in r.flags}
        yield from _counted(words, order, faster, alike, names, uncertain)
    else:
        yield from _steps(words, order, faster, names)
        yield from _groups(words, order, alike, names)
    if finding.mixed_methods:
        yield words(
            "some were measured under methods that are not declared comparable and "
            "are not held against each other"
        )


def _name(names: Names, configuration: str) -> str:
    return names.get(configuration, configuration)


def _faster(finding: ComparisonFinding) -> dict[tuple[str, str], Interval]:
    """Return the ratio of every pair told apart, the faster one named first."""
    found: dict[tuple[str, str], Interval] = {}
    for pair in finding.pairs:
        if not pair.apart:
            continue
        if pair.ratio.value >= 1:
            found[pair.first, pair.second] = pair.ratio
        else:
            ratio = pair.ratio
            # The limits change places; a limit at or below zero has no inverse.
            high = 1 / ratio.low if ratio.low > 0 else float("inf")
            found[pair.second, pair.first] = Interval(
                1 / ratio.value, 1 / ratio.high, high
            )
    return found


def _alike(finding: ComparisonFinding) -> frozenset[frozenset[str]]:
    return frozenset(
        frozenset((pair.first, pair.second)) for pair in finding.pairs if not pair.apart
    )


def _times(words: Words, ratios: Sequence[Interval]) -> str:
    """Return what covers every one of the ratios, ``1.21 to 1.43``."""
    low = min(ratio.low for ratio in ratios)
    high = max(ratio.high for ratio in ratios)
    # Two decimals, and a third where two would hide the width or the distance to 1.
    decimals = 3 if high - low < 0.05 or round(low, 2) <= 1 else 2
    if high == float("inf"):
        return words("at least {low}", low=fixed(low, decimals, words))
    return words(
        "{low} to {high}",
        low=fixed(low, decimals, words),
        high=fixed(high, decimals, words),
    )


def _direct(order: Sequence[str], faster: Ratios) -> dict[str, tuple[str, ...]]:
    """Return for each configuration those directly below it."""
    below = {one: [other for other in order if (one, other) in faster] for one in order}
    return {
        one: tuple(
            other
            for other in found
            if not any((between, other) in faster for between in found)
        )
        for one, found in below.items()
    }


def _steps(
    words: Words, order: Sequence[str], faster: Ratios, names: Names
) -> Iterator[str]:
    """Yield one clause for all configurations that are above the same ones."""
    above: dict[tuple[str, ...], list[str]] = {}
    for one, below in _direct(order, faster).items():
        if below:
            above.setdefault(below, []).append(one)
    for below, tops in above.items():
        ratios = [faster[top, other] for top in tops for other in below]
        yield words(
            "{faster} cleared the air {times} times as fast as {slower}",
            faster=listing(words, [_name(names, top) for top in tops]),
            slower=listing(words, [_name(names, other) for other in below]),
            times=_times(words, ratios),
        )


def _groups(
    words: Words,
    order: Sequence[str],
    alike: frozenset[frozenset[str]],
    names: Names,
) -> Iterator[str]:
    """Yield a clause for each largest set in which no two can be told apart."""
    for group in _largest(order, alike):
        if len(group) > 1:
            yield words(
                "{names} cannot be told apart",
                names=listing(words, [_name(names, one) for one in group]),
            )


def _largest(
    order: Sequence[str], alike: frozenset[frozenset[str]]
) -> list[tuple[str, ...]]:
    """Return the largest sets whose members are all alike, in order (few members)."""
    grown: list[frozenset[str]] = [frozenset()]
    for one in order:
        grown += [
            group | {one}
            for group in grown
            if all(frozenset((one, other)) in alike for other in group)
        ]
    largest = [
        group for group in grown if group and not any(group < other for other in grown)
    ]
    place = {one: position for position, one in enumerate(order)}
    lists = [tuple(sorted(group, key=place.__getitem__)) for group in largest]
    return sorted(lists, key=lambda group: [place[one] for one in group])


def _counted(
    words: Words,
    order: Sequence[str],
    faster: Ratios,
    alike: frozenset[frozenset[str]],
    names: Names,
    uncertain: Collection[str],
) -> Iterator[str]:
    first = order[0]
    slower = [other for other in order if (first, other) in faster]
    alike_first = [other for other in order if frozenset((first, other)) in alike]
    same = [other for other in alike_first if other not in uncertain]
    unplaced = [other for other in alike_first if other in uncertain]
    if slower:
        yield words(
            "of {n} configurations, {name} cleared the air faster than {slower}, "
            "{times} times as fast",
            n=str(len(order)),
            name=_name(names, first),
            slower=words.plural("{n} other", "{n} others", len(slower)),
            times=_times(words, [faster[first, other] for other in slower]),
        )
    if same:
        yield words(
            "{name}, which delivered the most clean air, cannot be told apart from "
            "{others}",
            name=_name(names, first),
            others=_others(words, same, names),
        )
    if unplaced:
        yield words(
            "too uncertain to be placed, since not even told from zero: {others}",
            others=_others(words, unplaced, names),
        )


def _others(words: Words, others: Sequence[str], names: Names) -> str:
    if len(others) < NAMED_AT_MOST:
        return listing(words, [_name(names, other) for other in others])
    return words.plural("{n} other", "{n} others", len(others))


def _unmeasured(words: Words, missing: Sequence[str], names: Names) -> str:
    if len(missing) > NAMED_AT_MOST:
        return words(
            "{n} more have no result yet",
            n=str(len(missing)),
        )
    return words.plural(
        "{names} has no result yet",
        "{names} have no result yet",
        len(missing),
        names=listing(words, [_name(names, one) for one in missing]),
    )
