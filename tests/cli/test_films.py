"""``sheet`` and ``stills`` from the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitegen.cli.commands import run

VIDEO = "records/videos/example-video.yaml"


def _run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    code = run(words)
    told = capsys.readouterr()
    return code, told.out, told.err


@pytest.fixture
def bench(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """A new archive."""
    assert _run(capsys, "start", str(tmp_path / "bench"), "-q")[0] == 0
    return tmp_path / "bench"


def _swap(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ('{at: "0:00",', '{at: "0:05",', 9),
        ('{at: "2:10",', '{at: "0:00",', 10),
        ('{at: "2:10",', '{at: "2:70",', 10),
    ],
)
def test_chapters_are_checked(
    bench: Path, capsys: pytest.CaptureFixture[str], old: str, new: str, line: int
) -> None:
    """Chapters that do not start at 0:00 and ascend are a fault with its place."""
    _swap(bench / VIDEO, old, new)
    code, out, err = _run(capsys, "sheet", "example-video", str(bench))
    assert (code, out) == (1, "")
    assert f"{VIDEO}:{line}:" in err
    assert "chapters[" in err or "chapters." in err


def test_the_sheet_of_a_new_archive(
    bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The sheet is printed alone, with the day asked for; remarks go to stderr."""
    words = ("sheet", "example-video", str(bench), "--today", "2026-01-31")
    code, out, err = _run(capsys, *words)
    assert code == 0
    assert out.startswith("Example video\n\nSimulated data")
    assert "https://example.org/bench/c/two-speeds/\n" in out
    assert "\n0:00 What is tested\n2:10 The decay at two speeds\n" in out
    assert "as of 31 January 2026." in out
    assert f"{len(out.rstrip())} characters." in err
    assert "sitegen pin two-speeds" in err
    assert _run(capsys, *words, "--quiet") == (0, out, "")


def test_a_sponsored_link_is_disclosed(
    bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What earns is said before every link, and the link is marked."""
    device = bench / "records/devices/example-cleaner.yaml"
    _swap(device, "label: Maker's page}", "label: Maker's page, sponsored: yes}")
    out = _run(capsys, "sheet", "example-video", str(bench))[1]
    assert out.index("can earn this archive a commission") < out.index("https://")
    assert "Example cleaner, Maker's page (sponsored link): https://" in out


def test_a_held_film_has_a_sheet_already(
    bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A held video is told of as held; what is held beside it is not linked."""
    _swap(bench / VIDEO, "title: Example video", "title: Example video\nheld: yes")
    comparison = bench / "records/comparisons/two-speeds.yaml"
    text = comparison.read_text(encoding="utf-8")
    comparison.write_text(f"held: yes\n{text}", encoding="utf-8")
    code, out, err = _run(capsys, "sheet", "example-video", str(bench))
    assert code == 0
    assert "/c/two-speeds/" not in out
    assert "comparison:two-speeds" in err
    assert "record is held" in err
    frames = str(bench / "frames")
    code, _, err = _run(capsys, "stills", "two-speeds", str(bench), "--out", frames)
    assert code == 2
    assert err.rstrip().endswith("[still-held]")


@pytest.mark.parametrize(
    "words",
    [
        ("sheet", "example-vide", "{bench}"),
        ("stills", "two-sped", "{bench}", "--out", "x"),
    ],
)
def test_what_does_not_exist_is_guessed(
    bench: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...]
) -> None:
    """An unknown id ends with 2, in the words of every unknown id, and a guess."""
    given = [word.format(bench=bench) for word in words]
    code, out, err = _run(capsys, *given)
    assert (code, out) == (2, "")
    assert "did you mean" in err
    assert "[unknown-reference]" in err


def test_a_limit_that_is_too_low(
    bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A limit under the shortest sheet is refused with the least that would do."""
    words = ("sheet", "example-video", str(bench), "--limit")
    code, _, err = _run(capsys, *words, "100")
    assert code == 2
    least = next(word for word in err.split() if word.isdigit())
    code, out, err = _run(capsys, *words, least)
    assert code == 0
    assert len(out.rstrip("\n")) == int(least)
    assert "Left out to stay within" in err
