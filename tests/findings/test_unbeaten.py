"""Which results no other beats on two quantities at once."""

from __future__ import annotations

from sitegen.findings.unbeaten import unbeaten
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
