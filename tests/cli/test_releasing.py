"""Publishing from the command line: release, pin, rename, gone, addresses."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from sitegen.cli.commands import run
from tests.conftest import site_files


def _run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    code = run(words)
    told = capsys.readouterr()
    return code, told.out, told.err


@pytest.fixture(scope="module")
def released(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new archive with a release of 1 March 2026, not compiled since."""
    archive = tmp_path_factory.mktemp("released") / "bench"
    assert run(["start", str(archive)]) == 0
    assert run(["release", str(archive), "--today", "2026-03-01"]) == 0
    return archive


@pytest.fixture
def bench(released: Path, tmp_path: Path) -> Path:
    """A copy of it to work with."""
    return Path(shutil.copytree(released, tmp_path / "bench"))


def _swap(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_a_release_of_the_same_records_says_nothing_new(
    bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The same records released again give the same file but for its day."""
    assert _run(capsys, "release", str(bench), "--today", "2026-03-02")[0] == 0
    first, second = (
        (bench / f"records/releases/2026-03-0{day}.yaml").read_text(encoding="utf-8")
        for day in (1, 2)
    )
    assert second == first.replace("2026-03-01", "2026-03-02")
    code, _, err = _run(capsys, "release", str(bench), "--today", "2026-02-01")
    assert code == 2
    assert "later" in err


def test_a_tariff_without_a_word_stops_a_release(
    bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Costs that changed are listed with what they were, and a record is asked for."""
    _swap(bench / "archive.yaml", "per_kwh: ", "per_kwh: 1")
    before = site_files(bench / "records")
    code, out, err = _run(capsys, "release", str(bench), "--today", "2026-03-05")
    assert code == 1
    assert "example-cleaner.example-filter.high decay-1 pm2_5: cost" in out
    assert "was cadr_m3h=" in out
    assert "--change correction" in err
    assert site_files(bench / "records") == before
    told = json.loads(
        _run(capsys, "release", str(bench), "--today", "2026-03-05", "--json")[1]
    )
    assert {each["what"] for each in told} == {"cost"}
    assert len(told) == 1


def test_a_price_that_names_nothing_explains_all_costs(
    bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A change record about the tariff lets the release through."""
    _swap(bench / "archive.yaml", "per_kwh: ", "per_kwh: 1")
    change = bench / "records/changes/2026-03-04-tariff.yaml"
    change.write_text("date: 2026-03-04\nkind: price\ntext: The tariff rose.\n")
    code, _, err = _run(capsys, "release", str(bench), "--today", "2026-03-05")
    assert code == 0, err
    assert "1 result changed" in err


def test_a_price_does_not_explain_what_was_measured(
    bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A run that is measured otherwise needs a record that names what it rests on."""
    (run_file,) = (bench / "records/runs").glob("*low-1.yaml")
    decision = (
        "status: rejected\ndecision: {by: Me, on: 2026-03-03, cause: door_opened, "
        "text: Open.}\n"
    )
    with run_file.open("a", encoding="utf-8") as file:
        file.write(decision)
    change = bench / "records/changes/2026-03-04-tariff.yaml"
    change.write_text("date: 2026-03-04\nkind: price\ntext: The tariff rose.\n")
    code, out, err = _run(capsys, "release", str(bench), "--today", "2026-03-05")
    assert code == 1, err
    assert "example-filter.low decay-1 pm2_5: measured" in out
    assert "no longer published" in out
    assert "high" not in out
    change.write_text(
        "date: 2026-03-04\nkind: correction\naffects: [run:example-cleaner-low-1]\n"
        "text: The door stood open.\n"
    )
    assert _run(capsys, "release", str(bench), "--today", "2026-03-05")[0] == 0


def test_the_record_that_is_asked_for_is_written(
    bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """``--change`` writes a record that names the devices, and releases."""
    _swap(bench / "archive.yaml", "per_kwh: ", "per_kwh: 1")
    words = (
        "--today",
        "2026-03-05",
        "--change",
        "price",
        "--because",
        "It rose: a lot",
    )
    assert _run(capsys, "release", str(bench), *words)[0] == 0
    text = (bench / "records/changes/2026-03-05-price.yaml").read_text()
    assert "device:example-cleaner" in text
    assert _run(capsys, "release", str(bench), *words)[0] == 2


def test_an_old_change_does_not_explain_a_new_number(
    bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A record that the last release knew speaks of what was changed before it."""
    _swap(
        bench / "records/changes/2026-01-20-first-results.yaml",
        "kind: addition",
        "kind: correction",
    )
    _swap(bench / "archive.yaml", "per_kwh: ", "per_kwh: 1")
    assert _run(capsys, "release", str(bench), "--today", "2026-03-05")[0] == 1


def test_an_edition_is_pinned_once_a_day(
    bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A second pin of a day is a fault, and the first stays as it was."""
    words = ("pin", "two-speeds", str(bench), "--today", "2026-03-02")
    code, out, _ = _run(capsys, *words)
    assert (code, out) == (0, "records/editions/two-speeds-2026-03-02.yaml\n")
    kept = (bench / out.strip()).read_bytes()
    code, _, err = _run(capsys, *words, "--note", "Again.")
    assert code == 1
    assert "[edition-twice]" in err
    assert (bench / out.strip()).read_bytes() == kept
    code, _, err = _run(capsys, "pin", "two-speed", str(bench))
    assert code == 2
    assert 'did you mean "two-speeds"?' in err


def test_a_held_record_of_the_release_stops_a_compile(
    bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What was published cannot be held back, nor what rests on it."""
    with (bench / "records/videos/example-video.yaml").open("a") as file:
        file.write("held: yes\n")
    code, _, err = _run(capsys, "compile", str(bench))
    assert code == 1
    assert "[released-held]" in err
    assert not (bench / "published").exists()
    code, out, _ = _run(capsys, "addresses", str(bench))
    assert code == 1
    assert out.startswith("held   video:example-video\n")


def test_addresses_tell_what_became_of_each(
    bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """New, moved, gone and lost addresses are told apart, also as JSON."""
    day = ("--on", "2026-03-03")
    name = "device:example-cleaner"
    assert _run(capsys, "rename", name, "alder", str(bench), *day)[0] == 0
    because = ("--because", "It mixed two.")
    gone = _run(capsys, "gone", "table:everything", str(bench), *because, *day)
    assert gone[0] == 0
    (bench / "texts/glossary.md").unlink()
    code, out, err = _run(capsys, "addresses", str(bench))
    assert code == 1
    assert out.splitlines() == [
        "lost   prose:glossary",
        "moved  device:example-cleaner -> alder",
        "gone   table:everything: It mixed two.",
        "new    device:alder",
    ]
    assert "Since the release of 2026-03-01" in err
    told = json.loads(_run(capsys, "addresses", str(bench), "--json")[1])
    assert told["lost"] == [["prose", "glossary"]]


def test_a_record_is_named_by_kind_and_id(
    bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A name without its kind, and a day that is none, are wrong usage."""
    for words in (
        ("rename", "alder", "birch", str(bench), "--on", "2026-03-03"),
        ("rename", "device:example-cleaner", "birch", str(bench), "--on", "tomorrow"),
        ("rename", "device:example-cleaner", "birch", str(bench)),
        ("release", str(bench), "--change", "price"),
    ):
        assert _run(capsys, *words)[0] == 2, words
