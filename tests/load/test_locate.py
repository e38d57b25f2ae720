"""Where files stand, and which of them are not where they should be."""

from __future__ import annotations

import unicodedata

import pytest

from sitegen.load import RESERVED_SEGMENTS, locate, no_settings, present_in


def refused(*paths: str) -> list[tuple[str, str]]:
    """Return file and code of what is wrong with a listing."""
    return [(f.place.file, f.code) for f in locate(sorted(paths)).faults]


def test_folders_say_the_kind_and_stems_the_id() -> None:
    """Records may be grouped below the folder of their kind."""
    found = locate(
        [
            "archive.yaml",
            "audio/hum.ogg",
            "photos/a/front.jpg",
            "records/addresses.yaml",
            "records/devices/heron.yaml",
            "records/runs/2026/march/r-1.yaml",
            "series/2026/r-1.csv",
            "texts/about.md",
        ]
    )
    assert found.faults == ()
    assert found.records == {
        ("device", "heron"): "records/devices/heron.yaml",
        ("run", "r-1"): "records/runs/2026/march/r-1.yaml",
    }
    assert found.series == {"r-1": "series/2026/r-1.csv"}
    assert found.texts == {"about": "texts/about.md"}
    assert found.media == {"audio/hum.ogg", "photos/a/front.jpg"}
    assert present_in(found) == {
        ("device", "heron"),
        ("run", "r-1"),
        ("series", "r-1"),
        ("prose", "about"),
        ("media", "audio/hum.ogg"),
        ("media", "photos/a/front.jpg"),
    }


def test_one_id_in_two_kinds_is_no_fault() -> None:
    """A run and a series of one name are two things."""
    assert (
        refused("records/runs/a.yaml", "series/a.csv", "records/devices/a.yaml") == []
    )


@pytest.mark.parametrize(
    ("path", "code"),
    [
        ("archive.yml", "settings-name"),
        ("Archive.yaml", "settings-name"),
        ("records/heron.yaml", "stray-file"),
        ("records/addresses.yml", "wrong-suffix"),
        ("records/device/heron.yaml", "unknown-folder"),
        ("records/devices/heron.yml", "wrong-suffix"),
        ("records/devices/heron.yaml.bak", "wrong-suffix"),
        ("records/devices/Heron.yaml", "bad-file-name"),
        ("records/devices/my heron.yaml", "bad-file-name"),
        ("records/devices/" + "a" * 65 + ".yaml", "bad-file-name"),
        ("records/devices/übung.yaml", "bad-file-name"),
        ("series/run.txt", "wrong-suffix"),
        ("series/Run.csv", "bad-file-name"),
        ("texts/about.txt", "wrong-suffix"),
        ("texts/devices.md", "reserved-id"),
        ("texts/c.md", "reserved-id"),
    ],
)
def test_a_file_in_the_wrong_place_or_form_is_told(path: str, code: str) -> None:
    """A file that would be missed silently is a fault instead."""
    assert refused(path) == [(path, code)]


@pytest.mark.parametrize(
    "path",
    [
        "records/devices/.heron.yaml.swp",
        "records/.git/x.yaml",
        "records/devices/heron.yaml~",
        "records/devices/#heron.yaml#",
        "records/devices/.DS_Store",
        "series/Thumbs.db",
        "README.txt",
        "notes/anything.yaml",
    ],
)
def test_what_editors_and_desktops_leave_is_passed_over(path: str) -> None:
    """Backup, hidden and foreign files are nobody's records."""
    found = locate([path])
    assert (found.faults, found.records, found.series) == ((), {}, {})


def test_two_files_with_one_id_are_a_fault_of_the_second() -> None:
    """The id is the stem whatever the folder; the other file is named."""
    found = locate(["records/runs/2025/a.yaml", "records/runs/2026/a.yaml"])
    (fault,) = found.faults
    assert fault.code == "same-id"
    assert fault.place.file == "records/runs/2026/a.yaml"
    assert fault.values["other"] == "records/runs/2025/a.yaml"


def test_ids_that_differ_by_case_or_unicode_form_are_one() -> None:
    """What is one name on some systems is one id on all."""
    forms = [unicodedata.normalize(form, "series/é.csv") for form in ("NFC", "NFD")]
    assert sorted(code for _, code in refused(*forms)) == ["bad-file-name", "same-id"]
    assert refused("records/devices/Heron.yaml", "records/devices/heron.yaml") == [
        ("records/devices/Heron.yaml", "bad-file-name"),
        ("records/devices/heron.yaml", "same-id"),
    ]
    # A ligature and its two letters are one after compatibility folding.
    assert refused("texts/fin.md", "texts/ﬁn.md") == [("texts/ﬁn.md", "same-id")]


def test_a_better_name_is_proposed() -> None:
    """A refused file name comes with the id that it could have."""
    (fault,) = locate(["records/devices/My Heron (2).yaml"]).faults
    assert fault.values["guess"] == "my-heron-2.yaml"
    (nothing,) = locate(["records/devices/???.yaml"]).faults
    assert "guess" not in nothing.values


def test_a_misspelt_folder_is_guessed() -> None:
    """A folder in the singular is answered with the right one."""
    (fault,) = locate(["records/device/a.yaml"]).faults
    assert fault.values == {"folder": "device", "guess": "devices"}


def test_no_prose_page_takes_an_address_of_the_site() -> None:
    """Every first segment of the site's own pages is reserved."""
    own = {"devices", "runs", "tables", "compare", "c", "videos", "filters", "bench"}
    own |= {"methods", "changes", "data", "assets"}
    assert own <= RESERVED_SEGMENTS


def test_a_folder_without_settings_is_no_archive() -> None:
    """The missing file is named as such."""
    fault = no_settings()
    assert (fault.code, fault.place.file) == ("no-settings", "archive.yaml")
