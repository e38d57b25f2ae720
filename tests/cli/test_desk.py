"""The commands at the desk, as the tester runs them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.running import run_tool
from tests.conftest import site_files


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new archive."""
    folder = tmp_path_factory.mktemp("bench")
    assert run_tool("start", "mine", cwd=folder).returncode == 0
    return folder / "mine"


def _method(bench: Path) -> str:
    (name,) = [
        path.stem
        for path in (bench / "records" / "methods").glob("*.yaml")
        if "kind: decay" in path.read_text(encoding="utf-8")
    ]
    return name


def test_worklist_as_text_and_as_data(bench: Path) -> None:
    """The list goes to stdout, in words or as JSON, and publishes nothing."""
    before = site_files(bench / "records")
    done = run_tool("worklist", "--today", "2030-01-01", cwd=bench)
    assert done.returncode == 0, done.stderr
    assert "natural decay" in done.stdout
    listed = run_tool("worklist", "--today", "2030-01-01", "--json", cwd=bench)
    items = json.loads(listed.stdout)
    assert "natural-old" in {item["kind"] for item in items}
    weights = [item["weight"] for item in items]
    order = ("wrong", "wanted", "doubtful", "missing")
    assert weights == sorted(weights, key=order.index)
    assert all(item["why"] and item["do"] for item in items)
    (silent,) = [item for item in items if item["kind"] == "sound-missing"]
    # It stands in one comparison, which one video links.
    assert (silent["weight"], silent["comparisons"]) == ("wanted", 2)
    (natural,) = [item for item in items if item["kind"] == "natural-old"]
    assert natural["settled_by"] == "sitegen intake LOG --natural --method decay-1"
    assert f"\n      {natural['settled_by']}\n" in done.stdout
    assert not (bench / "published").exists()
    assert site_files(bench / "records") == before


def test_adopt_refuses_in_plain_words(bench: Path) -> None:
    """Too few repeats, or no such method, end with 1 and say what is allowed."""
    before = site_files(bench / "records")
    name = _method(bench)
    done = run_tool("adopt", name, cwd=bench)
    assert done.returncode == 1
    assert "[repeatability-too-few]" in done.stderr
    assert "at least 8" in done.stderr
    lost = run_tool("adopt", f"{name}x", cwd=bench)
    assert lost.returncode == 1
    assert f'did you mean "{name}"' in lost.stderr
    assert "Traceback" not in done.stderr + lost.stderr
    assert site_files(bench / "records") == before


def test_faults_stop_both(bench: Path) -> None:
    """With a fault in the records both end with 1 and tell the fault."""
    settings = bench / "archive.yaml"
    text = settings.read_text(encoding="utf-8")
    try:
        settings.write_text(text + "nmae: x\n", encoding="utf-8")
        for words in (("worklist",), ("adopt", _method(bench))):
            done = run_tool(*words, cwd=bench)
            assert done.returncode == 1
            assert "[unknown-field]" in done.stderr
    finally:
        settings.write_text(text, encoding="utf-8")


def test_an_edit_before_the_list_is_still_compiled(bench: Path) -> None:
    """A desk command that sees an edit first does not hide it from ``compile``."""
    assert run_tool("compile", cwd=bench).returncode == 0
    record = next((bench / "records" / "devices").glob("*.yaml"))
    with record.open("a", encoding="utf-8") as file:
        file.write("note: Hums in B flat.\n")
    assert run_tool("adopt", _method(bench), cwd=bench).returncode == 1
    assert run_tool("compile", cwd=bench).returncode == 0
    page = bench / "published" / "devices" / record.stem / "index.html"
    assert "Hums in B flat." in page.read_text(encoding="utf-8")
