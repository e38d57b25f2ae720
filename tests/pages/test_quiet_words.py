"""What is said of quiet settings, of their levels, and where there is none."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sitegen.findings.cards import card_of
from sitegen.findings.picks import quiet_pick
from sitegen.findings.views import ResultRow
from sitegen.model import SoundMethod
from sitegen.pages.cards import card_table
from sitegen.pages.result_strip import StripCell, result_strip
from sitegen.pages.result_table import result_table
from sitegen.pages.sound_setups import background_remarks, sound_setups
from sitegen.pages.words import ENGLISH
from tests.findings.builders import device, row
from tests.pages.builders import SITE
from tests.pages.test_cost_rows import LABELS


def level(
    speed: str, sound: float | None, cadr: float | None, half: float = 1.0
) -> ResultRow:
    """Return a setting with a level and a CADR, or without."""
    return row(
        f"alder.fine.{speed}",
        cadr_m3h=cadr,
        cadr_low=None if cadr is None else cadr - 5,
        cadr_high=None if cadr is None else cadr + 5,
        sound_dba=sound,
        sound_low=None if sound is None else sound - half,
        sound_high=None if sound is None else sound + half,
        sound_method="" if sound is None else "sound-a",
    )


LOUD = level("high", 55.2, 200.0)
QUIET_UNTESTED = level("low", 35.2, None)


def strip_cell(*rows: ResultRow) -> StripCell:
    """Return the cell of the strip on the most clean air at 40 dB(A) or less."""
    pick = quiet_pick(rows, 40.0)
    *_, cell = result_strip(ENGLISH, SITE, LABELS, None, (), pick).cells
    return cell


def card_cell(*rows: ResultRow) -> tuple[str, str]:
    """Return text and note of the same in a list of devices."""
    tested = [each for each in rows if each.cadr_m3h is not None]
    loose = [each for each in rows if each.cadr_m3h is None]
    card = card_of(device(), LABELS, tested, 40.0, None, "2024-03-01", loose)
    (shown,) = card_table(SITE, ENGLISH, [card]).cards
    cell = shown.numbers[2]
    return cell.value, cell.note


@pytest.mark.parametrize(
    ("rows", "strip", "card"),
    [
        (
            (LOUD,),
            "no tested setting at or below 40 dB(A); quietest tested 55 dB(A)",
            ("none", "quietest measured 55 dB(A)"),
        ),
        (
            (LOUD, QUIET_UNTESTED),
            "quiet setting not tested: 35 dB(A), clean air not measured",
            ("not tested", "quiet setting of 35 dB(A)"),
        ),
        (
            (level("high", None, 200.0),),
            "sound was not measured",
            ("sound not measured", ""),
        ),
    ],
)
def test_nothing_is_quiet(
    rows: tuple[ResultRow, ...], strip: str, card: tuple[str, str]
) -> None:
    """Where nothing meets the cap it is said why, on the page and in lists."""
    assert (strip_cell(*rows).missing, strip_cell(*rows).value) == (strip, "")
    assert card_cell(*rows) == card


def test_near_the_cap() -> None:
    """A level within its own uncertainty of the cap is said to be."""
    near = level("low", 39.4, 90.0)
    assert strip_cell(LOUD, near).interval.endswith(
        "39.5 dB(A), within its uncertainty of that"
    )
    assert card_cell(LOUD, near)[1].endswith("39.5 dB(A); perhaps over the cap")
    clear = level("low", 38.4, 90.0)
    assert strip_cell(LOUD, clear).interval.endswith("38.5 dB(A)")


def test_near_the_cap_and_not_told_from_zero() -> None:
    """Both remarks stand where both hold."""
    both = replace(level("low", 39.4, 4.0), flags=("CADR_ZERO",))
    said = strip_cell(both).interval
    assert "within its uncertainty of that" in said
    assert "not told from zero" in said


def test_levels_of_several_methods_are_marked() -> None:
    """A level by another method than most names it, those of the usual one do not."""
    rows = [LOUD, LOUD, replace(level("low", 35.0, 90.0), sound_method="sound-b")]
    names = {"sound-a": "At one metre", "sound-b": "At two metres"}
    labels = {"alder": LABELS}

    def notes(*shown: ResultRow) -> list[str]:
        made = result_table(
            ENGLISH, SITE, shown, labels, ("sound_dba",), "", methods=names
        )
        return [each.cells[0].note for each in made.rows]

    assert notes(*rows) == ["", "", "At two metres"]
    assert notes(LOUD, level("low", 35.0, 90.0)) == ["", ""]


def test_how_levels_were_measured() -> None:
    """Weighting, distance, position and averaging time stand in one sentence."""
    method = SoundMethod.model_validate(
        {
            "id": "sound-a",
            "kind": "sound",
            "name": "At one and a half metres",
            "version": "1",
            "since": "2024-01-01",
            "instrument": "meter",
            "distance_m": 1.5,
            "position": "in front, 1.2 m high",
            "duration_s": 30,
            "text": "T",
        }
    )
    bare = method.model_copy(update={"duration_s": None})
    assert sound_setups(ENGLISH, SITE, [method, bare]) == (
        "At one and a half metres: A-weighted, at 1.5 m, in front, 1.2 m high, means "
        "of 30 s.",
        "At one and a half metres: A-weighted, at 1.5 m, in front, 1.2 m high.",
    )
    (in_feet,) = sound_setups(ENGLISH, replace(SITE, units="us"), [bare])
    assert in_feet == "A-weighted, at 4.92 ft, in front, 1.2 m high."


@pytest.mark.parametrize(
    ("grade", "said"),
    [
        ("no_correction", None),
        ("corrected", None),
        ("indicative", "background only 3 to 6 dB lower: an upper bound, indicative"),
        (
            "background_limited",
            "background less than 3 dB lower: an upper bound, limited by it",
        ),
        ("", "background not measured"),
    ],
)
def test_what_the_background_did(grade: str, said: str | None) -> None:
    """A level that the background limits says how, and one without a background too."""
    found = background_remarks(ENGLISH, [LOUD], {"alder.fine.high": grade})
    assert found.get("alder.fine.high decay-a") == said


def test_list_of_devices_marks_levels_of_several_methods() -> None:
    """In a list a level by another method than most names it."""
    other = replace(LOUD, sound_method="sound-b")
    names = {"sound-a": "At one metre", "sound-b": "At two metres"}

    def notes(*rows: ResultRow) -> list[str]:
        cards = [
            card_of(device(), LABELS, [each], 40.0, None, "2024-03-01") for each in rows
        ]
        shown = card_table(SITE, ENGLISH, cards, sounds=names).cards
        return [card.numbers[1].note for card in shown]

    assert notes(LOUD, other, other) == ["At one metre", "", ""]
    assert notes(LOUD, LOUD) == ["", ""]
    # Of as many the later method is the usual one.
    assert notes(LOUD, other) == ["At one metre", ""]
