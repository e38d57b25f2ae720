"""Attacks that must not get in: each is a fault with its place, and nothing else."""

from __future__ import annotations

import os
import socket
import unicodedata
from collections.abc import Callable
from pathlib import Path

import pytest

from sitegen.archive_build import check_archive, compile_archive, published_folders
from sitegen.errors import CODES, fault_line, fault_lines, sort_faults
from sitegen.load import locate
from tests.conftest import site_files
from tests.hostile import CASES

FAULTS = CASES / "faults"
# Records that are only there for others to name.
HARMLESS = {
    "records/rooms/box.yaml",
    "records/instruments/counter.yaml",
    "records/methods/decay.yaml",
}


def test_each_attack_is_a_fault_with_its_place() -> None:
    """The folder of attacks gives exactly the lines written down beside it."""
    found = check_archive(FAULTS / "archive")
    expected = (FAULTS / "expected.txt").read_text(encoding="utf-8")
    assert fault_lines(found).splitlines() == expected.splitlines()


def test_no_file_of_attacks_gets_through() -> None:
    """Every file of the folder has a fault of its own, but those it stands upon."""
    files = {
        path.relative_to(FAULTS / "archive").as_posix()
        for path in (FAULTS / "archive").rglob("*")
        if path.is_file()
    }
    faulty = {fault.place.file for fault in check_archive(FAULTS / "archive")}
    assert files - faulty == HARMLESS


def test_what_a_terminal_is_told_is_text() -> None:
    """No fault's line holds a control character or one that turns the text around."""
    for fault in check_archive(FAULTS / "archive"):
        assert fault_line(fault).isprintable()


Attack = Callable[[Path], None]


def _link(path: str, to: str) -> Attack:
    def attack(bench: Path) -> None:
        (bench / path).parent.mkdir(parents=True, exist_ok=True)
        (bench / path).symlink_to(to)

    return attack


def _named(*paths: str) -> Attack:
    def attack(bench: Path) -> None:
        for path in paths:
            (bench / path).parent.mkdir(parents=True, exist_ok=True)
            (bench / path).write_text("name: A\nmaker: B\n", encoding="utf-8")

    return attack


def _replaced(path: str, to: str) -> Attack:
    def attack(bench: Path) -> None:
        (bench / path).unlink()
        (bench / path).symlink_to(to)

    return attack


E_ACUTE = "caf\N{LATIN SMALL LETTER E WITH ACUTE}"
TWICE = [
    f"photos/{unicodedata.normalize(form, E_ACUTE)}.jpg" for form in ("NFC", "NFD")
]
NAMES: dict[str, tuple[Attack, str]] = {
    "a record that is a link outside": (
        _link("records/filters/passwd.yaml", "/etc/passwd"),
        "link-outside",
    ),
    "a link with a relative way out": (
        _link("texts/x.md", "../../../../../../etc/hostname"),
        "link-outside",
    ),
    "a folder that is a link": (_link("series/more", "/etc"), "link-outside"),
    "a folder linked inside": (_link("photos/again", "../texts"), "link-outside"),
    "a link to itself, which is nothing": (_link("photos/a.jpg", "a.jpg"), ""),
    "a link to nothing": (_link("photos/a.jpg", "/nowhere/at/all.jpg"), "link-outside"),
    "layouts that are a link": (_link("own/layouts", "/etc"), "link-outside"),
    "an asset that is a link": (
        _link("own/assets/css/base.css", "/etc/passwd"),
        "link-outside",
    ),
    "settings that are a link": (
        _replaced("archive.yaml", "/etc/passwd"),
        "link-outside",
    ),
    "a whole folder replaced": (_link("audio", "/etc"), "link-outside"),
    "markup in an id": (_named("records/filters/<script>.yaml"), "bad-file-name"),
    "a scheme in an id": (_named("records/filters/javascript:x.yaml"), "bad-file-name"),
    "a line end in an id": (_named("records/filters/a\nb.yaml"), "bad-file-name"),
    "an escape in an id": (_named("records/filters/a\x1b[31m.yaml"), "bad-file-name"),
    "a turned id": (_named("records/filters/a\u202elmay.yaml"), "bad-file-name"),
    "a hidden mark in an id": (_named("records/filters/a\u200d.yaml"), "bad-file-name"),
    "another script's letter": (_named("records/filters/\u0430.yaml"), "bad-file-name"),
    "dots for an id": (_named("records/filters/...yaml"), ""),
    "encoded dots": (_named("records/filters/%2e%2e%2f.yaml"), "bad-file-name"),
    "a back-slash in an id": (_named("records/filters/a\\..\\x.yaml"), "bad-file-name"),
    "a long id": (_named(f"records/filters/{'a' * 65}.yaml"), "bad-file-name"),
    "capitals": (
        _named("records/filters/mat.yaml", "records/filters/b/Mat.yaml"),
        "same-id",
    ),
    "wide letters": (
        _named("records/filters/mat.yaml", "records/filters/\uff4dat.yaml"),
        "same-id",
    ),
    "a long s": (
        _named("records/filters/mats.yaml", "records/filters/mat\u017f.yaml"),
        "same-id",
    ),
    "accents stored in two ways": (_named(*TWICE), "same-name"),
    "photographs that differ by capitals": (
        _named("photos/a.jpg", "photos/A.jpg"),
        "same-name",
    ),
    "a page with a reserved address": (_named("texts/devices.md"), "reserved-id"),
    "a kind that is none": (_named("records/<b>/x.yaml"), "unknown-folder"),
    "another ending": (_named("records/filters/x.yaml.exe"), "wrong-suffix"),
}


@pytest.mark.parametrize("case", NAMES)
def test_names_and_links_cannot_lead_out(bench: Path, case: str) -> None:
    """A name that could be another, or a link that leads away, stops everything."""
    attack, code = NAMES[case]
    folders = published_folders(bench)
    before = site_files(folders.out)
    attack(bench)
    faults = check_archive(bench)
    outcome = compile_archive(folders, workers=1)
    assert site_files(folders.out) == before
    if not code:
        assert not outcome.stopped
        return
    assert code in {fault.code for fault in faults}, [*map(fault_line, faults)]
    assert outcome.stopped
    assert {fault.code for fault in outcome.faults} == {fault.code for fault in faults}
    for fault in faults:
        assert fault.place.file
        assert fault_line(fault).isprintable()


def test_names_that_are_no_text_are_told(bench: Path) -> None:
    """A file name whose bytes are no UTF-8 is a fault, told in letters."""
    os.close(
        os.open(os.fsencode(bench) + b"/records/filters/\xff\xfe.yaml", os.O_CREAT)
    )
    os.close(os.open(os.fsencode(bench) + b"/texts/\xe9.md", os.O_CREAT))
    faults = check_archive(bench)
    assert {fault.code for fault in faults} == {"name-not-text"}
    assert [fault.place.file for fault in sort_faults(faults)] == [
        "records/filters/\\udcff\\udcfe.yaml",
        "texts/\\udce9.md",
    ]
    for fault in faults:
        assert fault_line(fault).isascii()


def test_what_is_no_file_is_passed_over(bench: Path) -> None:
    """A pipe or a socket among the records neither stops nor delays anything."""
    os.mkfifo(bench / "records" / "filters" / "pipe.yaml")
    os.mkfifo(bench / "photos.yaml")
    here = Path.cwd()
    listener = socket.socket(socket.AF_UNIX)
    try:
        os.chdir(bench / "series")  # the system takes short names only
        listener.bind("socket.csv")
        os.chdir(here)
        assert check_archive(bench) == ()
    finally:
        os.chdir(here)
        listener.close()


def test_a_listing_cannot_lead_out() -> None:
    """Whatever a listing says, no id is made of what is no id."""
    paths = [
        "records/devices/../../../etc/passwd.yaml",
        "records/devices/..yaml",
        "records/../archive.yaml",
        "series/../../x.csv",
        "texts/..md",
        "/etc/passwd",
        "",
    ]
    found = locate(sorted(paths))
    names = [name for _, name in found.records] + [*found.series, *found.texts]
    assert [name for name in names if "." in name or "/" in name] == []
    assert all(fault.code in CODES for fault in found.faults)
