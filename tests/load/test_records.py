"""One file becomes one record, or every fault of it at its place."""

from __future__ import annotations

import pytest

from sitegen.errors import fault_line
from sitegen.load import Loaded, load_addresses, load_archive_settings, load_record
from sitegen.load.guesses import guess, listed
from sitegen.model import Record, SoundRun

Found = list[tuple[str, int, int, str]]

SOUND = """kind: sound
device: heron
specimen: a
filter: none
speed: low
method: sound-1
started: 2026-03-01T10:00Z
readings_dba: [40.1, 4.1e1]
"""


def load(kind: str, text: str, name: str = "x") -> Loaded[Record]:
    """Return what a record's file becomes."""
    return load_record(kind, name, text.encode(), f"records/{kind}s/{name}.yaml")


def faults(loaded: Loaded[Record]) -> Found:
    """Return code, line, column and field of each fault."""
    return [(f.code, f.place.line, f.place.column, f.field) for f in loaded.faults]


def test_a_good_file_is_a_record_with_its_stem_as_id() -> None:
    """The id comes from the file's name, the type of the record from its kind."""
    loaded = load("run", SOUND, "2026-03-01-a")
    assert loaded.faults == ()
    assert isinstance(loaded.record, SoundRun)
    assert loaded.record.id == "2026-03-01-a"
    assert loaded.record.readings_dba == (40.1, 41.0)
    assert loaded.record.held is False


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        (("speed: low\n", ""), [("missing-field", 1, 1, "speed")]),
        (
            ("speed:", "sped:"),
            [("missing-field", 1, 1, "speed"), ("unknown-field", 5, 1, "sped")],
        ),
        (("40.1", "40,1 dB"), [("not-a-number", 8, 19, "readings_dba[1]")]),
        (("[40.1, 4.1e1]", "40.1"), [("not-a-list", 8, 15, "readings_dba")]),
        (("[40.1, 4.1e1]", "[[40.1]]"), [("not-a-number", 8, 16, "readings_dba[0]")]),
        (("2026-03-01T10:00Z", "2026-03-01 10:00"), [("no-offset", 7, 10, "started")]),
        (("kind: sound", "kind: sond"), [("not-one-of", 1, 7, "kind")]),
        (("kind: sound", "kind: [sound]"), [("not-one-of", 1, 1, "kind")]),
        (("kind: sound", "kind: {a: b}"), [("not-one-of", 1, 1, "kind")]),
        (("kind: sound\n", ""), [("missing-field", 1, 1, "kind")]),
        (("device: heron", "device: &d heron"), [("alias", 2, 9, "device")]),
        (("device: heron", "device: ~"), [("empty-value", 2, 9, "device")]),
        (
            ("readings_dba: [40.1, 4.1e1]", "readings_dba: [~]"),
            [("empty-value", 8, 16, "readings_dba[0]")],
        ),
        (("kind: sound", "id: other\nkind: sound"), [("id-in-file", 1, 1, "id")]),
        (
            ("kind: sound", "held: perhaps\nkind: sound"),
            [("not-yes-or-no", 1, 7, "held")],
        ),
    ],
)
def test_each_fault_stands_at_its_field(
    change: tuple[str, str], expected: Found
) -> None:
    """A field's fault has the place of its value; a missing one that of its group."""
    loaded = load("run", SOUND.replace(*change))
    assert loaded.record is None
    assert faults(loaded) == expected


def test_a_misspelt_kind_does_not_hide_the_other_faults() -> None:
    """The record is held against the kind that was probably meant."""
    loaded = load("run", SOUND.replace("kind: sound", "kind: sounds") + "lodness: 3\n")
    assert faults(loaded) == [
        ("not-one-of", 1, 7, "kind"),
        ("unknown-field", 9, 1, "lodness"),
    ]


def test_without_a_kind_only_what_is_wrong_under_all_is_told() -> None:
    """A field that some kind of run has is not complained of."""
    text = SOUND.replace("kind: sound\n", "") + "nonsense: 3\n"
    assert faults(load("run", text)) == [
        ("missing-field", 1, 1, "kind"),
        ("unknown-field", 8, 1, "nonsense"),
    ]


def test_a_value_with_a_fault_of_its_own_is_complained_of_once() -> None:
    """Neither type nor rule speaks of a value that YAML itself refused."""
    loaded = load("filter", "name: !!int 3\nmaker:\nlifetime: &x {basis: no}\n")
    assert [(code, field) for code, _, _, field in faults(loaded)] == [
        ("tag", "name"),
        ("empty-value", "maker"),
        ("alias", "lifetime"),
    ]


def test_rules_between_fields_are_checked_beside_faults_of_fields() -> None:
    """A wrong word in one field hides no rule on two others."""
    loaded = load("filter", "name: Mat\nmakr: Nobody\nlifetime: {basis: guess}\n")
    assert [code for code, *_ in faults(loaded)] == [
        "missing-field",
        "unknown-field",
        "months-or-hours",
        "not-one-of",
    ]


def test_a_field_s_meaning_is_told_when_it_is_missing() -> None:
    """The line on a missing field says what belongs into it."""
    (fault,) = load("filter", "name: Mat\n").faults
    assert fault_line(fault) == (
        "records/filters/x.yaml:1:1: maker: the field"
        ' "maker" is missing; it holds: Who makes it; add it [missing-field]'
    )


def test_keys_of_a_mapping_are_checked_at_their_place() -> None:
    """A size fraction that does not exist is pointed at by its key."""
    text = "name: C\nkind: particle\nfractions:\n  pm2_6: {resolution: 1, range: 9}\n"
    assert faults(load("instrument", text)) == [("not-one-of", 4, 3, "fractions.pm2_6")]


def test_a_condition_s_test_is_called_is_in_its_faults() -> None:
    """The field is named as the tester wrote it, not as the program stores it."""
    text = "title: T\ncolumns: [cadr_m3h]\nwhere:\n  - {field: form, is: [kit]}\n"
    assert faults(load("table", text)) == [("not-a-text", 4, 19, "where[0].is")]


def test_settings_and_addresses_are_read_the_same_way() -> None:
    """The two files without an id give the same kinds of faults."""
    settings = load_archive_settings(b"name: X\nnavigation: devices\n", "archive.yaml")
    assert settings.record is None
    codes = {fault.field: fault.code for fault in settings.faults}
    assert codes["navigation"] == "not-a-list"
    assert codes["assumptions"] == "missing-field"
    empty = load_addresses(b"", "records/addresses.yaml")
    assert [fault.code for fault in empty.faults] == ["empty-file"]
    good = load_addresses(
        b"addresses: [{kind: device, id: a, gone: Sold., date: 2026-01-01}]",
        "records/addresses.yaml",
    )
    assert good.record is not None
    assert good.record.addresses[0].gone == "Sold."


def test_an_unknown_kind_of_record_is_an_error_of_the_caller() -> None:
    """No file can ask for a kind that does not exist."""
    with pytest.raises(KeyError):
        load("shelf", "name: x\n")


@pytest.mark.parametrize(
    ("word", "choices", "meant"),
    [
        ("portabel", ["portable", "kit"], {"guess": "portable"}),
        ("Sound_DBA", ["sound_dba", "power_w"], {"guess": "sound_dba"}),
        ("natural decay", ["decay", "natural-decay"], {"guess": "natural-decay"}),
        ("xyz", ["portable", "kit"], {}),
        ("", ["portable"], {}),
        ("x" * 65, ["x" * 64], {}),
        ("kit", [], {}),
    ],
)
def test_a_guess_is_made_only_when_it_is_likely(
    word: str, choices: list[str], meant: dict[str, str]
) -> None:
    """A slip of the keys, the case or the hyphen is guessed; another word is not."""
    assert guess(word, choices) == meant


def test_choices_read_as_in_a_sentence() -> None:
    """Choices are parted by commas, the last by or."""
    assert listed(["a"]) == "a"
    assert listed(["a", "b", "c"]) == "a, b or c"
    assert listed([]) == ""
