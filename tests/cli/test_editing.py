"""The commands that edit a record, as the tester types them."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.running import run_tool

RUN = "example-cleaner-high-1"


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """A new archive."""
    assert run_tool("start", "mine", "-q", cwd=tmp_path).returncode == 0
    return tmp_path / "mine"


def test_a_diff_is_shown_and_nothing_written_until_it_is_meant(bench: Path) -> None:
    """--only-show prints the diff; without it the record is written and named."""
    path = bench / f"records/runs/{RUN}.yaml"
    before = path.read_bytes()
    words = ["run", RUN, "--reject", "Door.", "--by", "Ada", "--today", "2026-01-20"]
    shown = run_tool(*words, "--only-show", cwd=bench)
    assert shown.returncode == 0
    assert "+status: rejected\n" in shown.stdout
    assert shown.stderr.startswith("Nothing was written. Next: ")
    assert path.read_bytes() == before
    done = run_tool(*words, cwd=bench)
    assert (done.returncode, done.stdout) == (0, f"records/runs/{RUN}.yaml\n")
    assert done.stderr.startswith("Next: sitegen check")
    text = path.read_text(encoding="utf-8")
    assert text.endswith(
        "status: rejected\ndecision:\n  by: Ada\n  on: 2026-01-20\n  cause: other\n"
        "  text: Door.\n"
    )
    assert run_tool("check", "-q", "--json", cwd=bench).returncode == 0


def test_what_would_be_a_fault_ends_with_1_and_is_not_written(bench: Path) -> None:
    """The fault is told in the words of check, and the record is as it was."""
    path = bench / f"records/runs/{RUN}.yaml"
    before = path.read_bytes()
    done = run_tool("run", RUN, "--window", "9", "3", "--because", "x", cwd=bench)
    assert done.returncode == 1
    assert "Nothing was written" in done.stderr
    assert "[window-backward]" in done.stderr
    assert path.read_bytes() == before
    price = run_tool("price", "example-cleaner", "9,5", cwd=bench)
    assert price.returncode == 1
    assert "[not-an-amount]" in price.stderr


def test_only_a_check_that_waits_is_decided(bench: Path) -> None:
    """A run whose checks are all quiet has nothing to decide; that is wrong usage."""
    done = run_tool("run", RUN, "--decide", "STEP", "Door.", cwd=bench)
    assert done.returncode == 2
    assert "nothing waits for one" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(
    "words",
    [
        [RUN],
        [RUN, "--reject", "a", "--accept", "b"],
        [RUN, "--window", "1", "2"],
        [RUN, "--because", "a", "--reject", "b"],
        [RUN, "--accept", "a", "--cause", "other"],
        ["nothing", "--reject", "a"],
    ],
)
def test_wrong_usage_ends_with_2(bench: Path, words: list[str]) -> None:
    """Two decisions at once, half of one, or a run that is not there."""
    done = run_tool("run", *words, cwd=bench)
    assert done.returncode == 2, done.stderr
    assert "Traceback" not in done.stderr


def test_a_price_of_a_filter_needs_no_option(bench: Path) -> None:
    """A name that only a filter has is taken for the filter."""
    words = ["example-filter", "36.50", "--on", "2026-11-20", "--shop", "Example shop"]
    done = run_tool("price", *words, "-q", cwd=bench)
    assert done.stdout == "records/filters/example-filter.yaml\n"
    assert done.stderr == ""
    path = bench / "records/filters/example-filter.yaml"
    text = path.read_text(encoding="utf-8")
    assert 'price: {amount: 36.50, currency: "EUR", date: 2026-11-20, ' in text
