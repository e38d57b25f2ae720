"""The sentence that a comparison begins with."""

from __future__ import annotations

import itertools

import pytest

from sitegen.findings.views import ComparisonFinding, Interval, Pair, ResultRow
from sitegen.pages.comparison_sentence import listing, sentence
from sitegen.pages.words import ENGLISH


def row(name: str, cadr: float | None, *flags: str) -> ResultRow:
    return ResultRow(
        device=name.lower(),
        filter="fine",
        speed="high",
        method="decay-a",
        fraction="pm2_5",
        runs=2,
        run_ids=(),
        validity="rated",
        flags=flags,
        cadr_m3h=cadr,
    )


def pair(first: str, second: str, value: float, width: float, *, apart: bool) -> Pair:
    return Pair(
        first=f"{first.lower()}.fine.high",
        second=f"{second.lower()}.fine.high",
        ratio=Interval(value, value - width, value + width),
        p_adjusted=0.01 if apart else 0.5,
        apart=apart,
    )


def said(
    rows: dict[str, float | None],
    *pairs: Pair,
    dropped: tuple[str, ...] = (),
    mixed: bool = False,
    uncertain: tuple[str, ...] = (),
) -> str:
    names = {f"{name.lower()}.fine.high": name for name in (*rows, *dropped)}
    finding = ComparisonFinding(
        rows=tuple(
            row(name, cadr, *(["CADR_ZERO"] if name in uncertain else []))
            for name, cadr in rows.items()
        ),
        dropped=tuple(f"{name.lower()}.fine.high" for name in dropped),
        pairs=pairs,
        mixed_methods=mixed,
    )
    return sentence(ENGLISH, finding, names)


def test_two_apart() -> None:
    """Two that differ are named with the interval of their ratio."""
    assert said({"A": 132, "B": 100}, pair("A", "B", 1.32, 0.11, apart=True)) == (
        "A cleared the air 1.21 to 1.43 times as fast as B."
    )


def test_ratio_below_one_is_turned_round() -> None:
    """The faster one is named first, also where the pair is written slower first."""
    # 1/0.8 = 1.25 and 1/0.625 = 1.6, by hand.
    turned = Pair(
        "b.fine.high", "a.fine.high", Interval(0.7, 0.625, 0.8), 0.01, apart=True
    )
    assert said({"A": 143, "B": 100}, turned) == (
        "A cleared the air 1.25 to 1.60 times as fast as B."
    )


def test_two_alike() -> None:
    """Two that do not differ are said to be indistinguishable, without a winner."""
    assert said({"A": 101, "B": 100}, pair("A", "B", 1.01, 0.1, apart=False)) == (
        "A and B cannot be told apart."
    )


def test_all_alike() -> None:
    """Three of which no two differ are named once, together."""
    pairs = [
        pair(one, other, 1.02, 0.1, apart=False)
        for one, other in itertools.combinations("ABC", 2)
    ]
    assert said({"A": 102, "B": 101, "C": 100}, *pairs) == (
        "A, B and C cannot be told apart."
    )


def test_a_step_and_a_group() -> None:
    """What differs comes first, then what cannot be told apart."""
    assert said(
        {"A": 132, "B": 100, "C": 50, "D": 49},
        pair("A", "B", 1.32, 0.11, apart=True),
        pair("A", "C", 2.64, 0.2, apart=True),
        pair("A", "D", 2.69, 0.2, apart=True),
        pair("B", "C", 2.0, 0.1, apart=True),
        pair("B", "D", 2.04, 0.1, apart=True),
        pair("C", "D", 1.02, 0.1, apart=False),
    ) == (
        "A cleared the air 1.21 to 1.43 times as fast as B; "
        "B cleared the air 1.90 to 2.14 times as fast as C and D; "
        "C and D cannot be told apart."
    )


def test_overlapping_groups_are_both_named() -> None:
    """Where A is like B and B like C but A not like C, nothing is hidden."""
    assert said(
        {"A": 120, "B": 110, "C": 100},
        pair("A", "B", 1.09, 0.1, apart=False),
        pair("B", "C", 1.1, 0.11, apart=False),
        pair("A", "C", 1.2, 0.1, apart=True),
    ) == (
        "A cleared the air 1.10 to 1.30 times as fast as C; "
        "A and B cannot be told apart; B and C cannot be told apart."
    )


def test_none_measured() -> None:
    """Without any clean air rate nothing is said of speed."""
    assert said({"A": None}, dropped=("B",)) == (
        "Of none of these has the clean air delivered been measured yet."
    )
    assert said({}) == (
        "Of none of these has the clean air delivered been measured yet."
    )


def test_one_measured() -> None:
    """A single result is not called the fastest."""
    assert said({"A": 100, "B": None}, dropped=("C",)) == (
        "Only A has been measured, so there is nothing to hold it against; "
        "B and C have no result yet."
    )


def test_one_dropped() -> None:
    """A configuration asked for and not measured is named."""
    assert said(
        {"A": 132, "B": 100},
        pair("A", "B", 1.32, 0.11, apart=True),
        dropped=("C",),
    ).endswith("; C has no result yet.")


def test_incomparable_methods_are_never_ranked() -> None:
    """Without a pair under comparable methods none is called faster."""
    text = said({"A": 200, "B": 100}, mixed=True)
    assert "not declared comparable" in text
    assert "A" not in text


def test_mixed_methods_are_marked() -> None:
    """Where some pairs cannot be held against each other, the sentence says so."""
    text = said(
        {"A": 132, "B": 100, "C": 90},
        pair("A", "B", 1.32, 0.11, apart=True),
        mixed=True,
    )
    assert text == (
        "A cleared the air 1.21 to 1.43 times as fast as B; some were measured "
        "under methods that are not declared comparable and are not held against "
        "each other."
    )


def test_many_are_counted() -> None:
    """With many configurations the leader's steps are counted, not listed."""
    names = "ABCDEFGH"
    pairs = [
        pair(one, other, 1.5, 0.1, apart=not (one == "A" and other == "B"))
        for one, other in itertools.combinations(names, 2)
    ]
    rows: dict[str, float | None] = {
        name: 200.0 - 10 * at for at, name in enumerate(names)
    }
    assert said(rows, *pairs) == (
        "Of 8 configurations, A cleared the air faster than 6 others, 1.40 to 1.60 "
        "times as fast; A, which delivered the most clean air, cannot be told apart "
        "from B."
    )
    assert said(rows, *pairs, uncertain=("B",)) == (
        "Of 8 configurations, A cleared the air faster than 6 others, 1.40 to 1.60 "
        "times as fast; too uncertain to be placed, since not even told from zero: B."
    )


def closed(steps: set[tuple[str, str]]) -> set[tuple[str, str]]:
    """Return the steps and everything that follows from them."""
    found = set(steps)
    for _ in range(4):
        found |= {(a, d) for a, b in found for c, d in found if b == c}
    return found


def test_close_ratios_keep_a_third_decimal() -> None:
    """An interval just above 1 is not rounded onto 1."""
    assert said({"A": 102, "B": 100}, pair("A", "B", 1.02, 0.018, apart=True)) == (
        "A cleared the air 1.002 to 1.038 times as fast as B."
    )


def test_every_pair_is_accounted_for() -> None:
    """For any pattern of four, each pair is apart by steps or in a named group."""
    names = "ABCD"
    every = list(itertools.combinations(names, 2))
    for pattern in itertools.product([True, False], repeat=len(every)):
        apart = dict(zip(every, pattern, strict=True))
        text = said(
            {"A": 4, "B": 3, "C": 2, "D": 1},
            *(pair(*two, 1.5, 0.1, apart=is_apart) for two, is_apart in apart.items()),
        )
        steps: set[tuple[str, str]] = set()
        groups: set[tuple[str, str]] = set()
        for clause in text.rstrip(".").split("; "):
            if " cannot be told apart" in clause:
                together = sorted(
                    clause.replace(" cannot be told apart", "")
                    .replace(" and ", ", ")
                    .split(", ")
                )
                groups |= set(itertools.combinations(together, 2))
            else:
                tops, rest = clause.split(" cleared the air ")
                slower = rest.split(" times as fast as ")[1]
                lows = slower.replace(" and ", ", ").split(", ")
                steps |= set(
                    itertools.product(tops.replace(" and ", ", ").split(", "), lows)
                )
        for two, is_apart in apart.items():
            if is_apart:
                assert two not in groups
                assert two in closed(steps)
            else:
                assert two in groups
                assert two not in steps


@pytest.mark.parametrize(
    ("items", "text"),
    [([], ""), (["A"], "A"), (["A", "B"], "A and B"), (["A", "B", "C"], "A, B and C")],
)
def test_listing(items: list[str], text: str) -> None:
    """A list reads as a sentence has it."""
    assert listing(ENGLISH, items) == text
