"""Decisions go into a run's record; nothing else in it changes."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
import yaml

from sitegen.desk.opened import OpenArchive
from sitegen.desk.run_edit import Decided, decide, fix_window, set_status
from sitegen.desk.start import Beginning, start_archive
from sitegen.errors import FaultsFound, UsageFault

RUN = "example-cleaner-high-1"
DECIDED = Decided("Ada", dt.date(2026, 1, 20), "door_opened", "Open: #1, at 20 min")
VALUES = {
    "by": "Ada",
    "on": dt.date(2026, 1, 20),
    "cause": "door_opened",
    "text": "Open: #1, at 20 min",
}


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """A new archive."""
    start_archive(tmp_path, Beginning("B", "https://example.org/", "EUR", "metric"))
    return tmp_path


def record(bench: Path) -> Path:
    return bench / f"records/runs/{RUN}.yaml"


def append(bench: Path, text: str) -> None:
    with record(bench).open("a", encoding="utf-8") as file:
        file.write(text)


def lines_kept(before: bytes, after: bytes) -> bool:
    """Return whether every line is still there, in order."""
    rest = iter(after.splitlines())
    return all(line in rest for line in before.splitlines())


@pytest.mark.parametrize("end", [b"\n", b"\r\n"])
def test_a_run_is_rejected_with_a_reason(bench: Path, end: bytes) -> None:
    """Status and decision are added; every line that was there stays, byte for byte."""
    path = record(bench)
    path.write_bytes(path.read_bytes().replace(b"\n", end))
    edit = set_status(OpenArchive(bench), RUN, "rejected", DECIDED)
    assert edit.before == path.read_bytes()
    assert lines_kept(edit.before, edit.after)
    assert edit.after.count(b"\r\n") == (edit.after.count(b"\n") if end != b"\n" else 0)
    data = yaml.safe_load(edit.after)
    assert data["status"] == "rejected"
    # YAML 1.1, as this reader has it, takes an unquoted "on" for a yes.
    assert {
        str(k) if k is not True else "on": v for k, v in data["decision"].items()
    } == (VALUES)
    edit.write(bench)
    assert path.read_bytes() == edit.after


def test_a_rejected_run_counts_again_and_its_former_reason_stays(bench: Path) -> None:
    """The comment behind the decision stays, and so does why it was rejected."""
    append(
        bench,
        "status: rejected # sadly\ndecision:\n  by: Bo\n  on: 2026-01-14\n"
        "  cause: other\n  text: >\n    The lamp\n    was lit.\n\n# about the note\n"
        "note: Warm.\n",
    )
    edit = set_status(OpenArchive(bench), RUN, "accepted", DECIDED)
    text = edit.after.decode()
    assert "status: accepted # sadly\n" in text
    assert "\n# about the note\nnote: Warm.\n" in text
    said = yaml.safe_load(text)["decision"]["text"]
    assert said.startswith("Open: #1, at 20 min. Until then rejected, by Bo on 2026-01")
    assert said.endswith("The lamp was lit.")


def test_a_status_that_it_has_already_is_refused(bench: Path) -> None:
    """An accepted run is not accepted anew, and its record is left alone."""
    with pytest.raises(UsageFault, match="run-so-already"):
        set_status(OpenArchive(bench), RUN, "accepted", DECIDED)
    with pytest.raises(UsageFault, match=f'did you mean "{RUN}"'):
        set_status(OpenArchive(bench), f"{RUN}x", "accepted", DECIDED)


def test_what_was_found_is_recorded_for_every_check(bench: Path) -> None:
    """One decision names each check that waits, behind what was decided before."""
    append(bench, "decision: {by: Bo, on: 2026-01-14, cause: looked_at, text: Kept.}\n")
    found = [("STEP", "Door."), ("OUTLIER", "Nothing.")]
    edit = decide(OpenArchive(bench), RUN, ("STEP", "OUTLIER"), found, DECIDED)
    data = yaml.safe_load(edit.after)["decision"]
    assert data["text"] == "Kept. STEP: Door. OUTLIER: Nothing."
    assert edit.after.endswith(
        b"decision: {by: Ada, on: 2026-01-20, cause: door_opened, text: 'Kept. STEP: "
        b"Door. OUTLIER: Nothing.'}\n"
    )


@pytest.mark.parametrize(
    ("waiting", "told"),
    [
        ((), "nothing waits for one"),
        (("SENSOR",), "a check that waits: SENSOR"),
        (("STEP", "SENSOR"), '--decide STEP "..." --decide SENSOR "..."'),
    ],
)
def test_only_checks_that_wait_are_decided_and_all_of_them(
    bench: Path, waiting: tuple[str, ...], told: str
) -> None:
    """A check that does not wait is refused; so is leaving one out that does."""
    with pytest.raises(UsageFault) as refused:
        decide(OpenArchive(bench), RUN, waiting, [("STEP", "Door.")], DECIDED)
    assert told in str(refused.value)


def test_a_window_is_fixed_and_changed(bench: Path) -> None:
    """It goes in with its reason; a second one takes the place of the first."""
    edit = fix_window(OpenArchive(bench), RUN, 14, 40.5, "Fan moved")
    assert lines_kept(edit.before, edit.after)
    edit.write(bench)
    edit = fix_window(OpenArchive(bench), RUN, 15, 40.5, "Fan moved")
    changed = [line for line in edit.diff.splitlines() if line[:1] in "+-"][2:]
    assert changed == ["-  start: 14", "+  start: 15"]


def test_what_would_be_a_fault_is_not_made(bench: Path) -> None:
    """A window that ends before it begins, or of a sound run, is told as its fault."""
    archive = OpenArchive(bench)
    for name, code in (
        (RUN, "window-backward"),
        ("example-cleaner-high-sound", "unknown-field"),
    ):
        with pytest.raises(FaultsFound) as refused:
            fix_window(archive, name, 40, 14, "Fan moved")
        assert [fault.code for fault in refused.value.faults] == [code]


def test_a_record_that_says_it_by_an_alias_is_left_to_its_author(bench: Path) -> None:
    """Where a comment would be lost or another field changed, nothing is edited."""
    append(
        bench,
        "raw: &same\n  by: Bo\n  on: 2026-01-14\n  cause: other\n  text: Warm.\n"
        "decision: *same\n",
    )
    with pytest.raises(FaultsFound):
        set_status(OpenArchive(bench), RUN, "rejected", DECIDED)
