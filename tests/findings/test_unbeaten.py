"""Which results no other beats on two quantities at once."""

from __future__ import annotations

from sitegen.findings.unbeaten import perhaps_unbeaten, unbeaten
from tests.findings.builders import row


def _names(*rows: tuple[str, float | None, float], flags: tuple[str, ...] = ()) -> str:
    made = [
        row(f"{name}.f.s", sound_dba=level, cadr_m3h=flow, flags=flags)
        for name, level, flow in rows
    ]
    return "".join(each.device for each in unbeaten(made, "sound_dba", "cadr_m3h"))


def test_the_quietest_comes_first_and_the_beaten_are_left_out() -> None:
    """C is louder than B and cleans less."""
    assert _names(("a", 55, 300), ("b", 40, 200), ("c", 45, 180), ("d", 30, 100)) == (
        "dba"
    )


def test_of_equals_on_one_quantity_the_better_on_the_other_stays() -> None:
    """A and B are as loud; only the one with more clean air is unbeaten."""
    assert _names(("a", 40, 100), ("b", 40, 200)) == "b"


def test_rows_at_one_place_do_not_beat_each_other() -> None:
    """Two results alike in both quantities both stay, in the order of their names."""
    assert _names(("b", 40, 200), ("a", 40, 200), ("c", 41, 200)) == "ab"


def test_what_is_missing_or_may_be_nought_is_not_among_them() -> None:
    """Without a level, or not told from zero, a result is neither named nor beats."""
    assert _names(("a", None, 300), ("b", 40, 200)) == "b"
    assert _names(("a", 40, 200), flags=("CADR_ZERO",)) == ""
    hazy = row("a.f.s", sound_dba=40, power_w=5, flags=("CADR_ZERO",))
    assert unbeaten([hazy], "sound_dba", "power_w") == [hazy]


def test_beaten_within_the_uncertainty_may_still_be_among_the_best() -> None:
    """B is beaten by A, yet their intervals meet; C is clearly beaten."""
    rows = [
        row("a.f.s", sound_dba=40, cadr_m3h=200, cadr_low=185, cadr_high=215),
        row("b.f.s", sound_dba=41.5, cadr_m3h=190, cadr_low=180, cadr_high=200),
        row("c.f.s", sound_dba=41.5, cadr_m3h=150, cadr_low=140, cadr_high=160),
    ]
    assert [r.device for r in unbeaten(rows, "sound_dba", "cadr_m3h")] == ["a"]
    found = perhaps_unbeaten(rows, "sound_dba", "cadr_m3h")
    assert [r.device for r in found] == ["b"]


def test_less_than_a_decibel_is_not_clearly_quieter() -> None:
    """At 0.5 dB louder a clearly smaller CADR may still count as good on sound."""

    def at(level: float) -> list[str]:
        rows = [
            row("a.f.s", sound_dba=40, cadr_m3h=200, cadr_low=195, cadr_high=205),
            row("b.f.s", sound_dba=level, cadr_m3h=100, cadr_low=95, cadr_high=105),
        ]
        return [r.device for r in perhaps_unbeaten(rows, "sound_dba", "cadr_m3h")]

    assert (at(40.5), at(41.0)) == (["b"], [])
