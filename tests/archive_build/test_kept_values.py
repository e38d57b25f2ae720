"""Values that a process keeps from one build to the next."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

from sitegen.archive_build import compile_archive, hasten_pages, published_folders
from sitegen.archive_build.table import all_steps
from sitegen.rebuild import First, Values


def test_no_step_changes_what_it_was_given(bench: Path) -> None:
    """After every page was made from kept values, each still has its own digest."""
    folders = published_folders(bench)
    assert not compile_archive(folders, workers=1).stopped
    steps = {step.kind: step for step in all_steps()}
    values = Values()
    told: list[int] = []
    pages = tuple(
        path.relative_to(folders.out).as_posix() for path in folders.out.rglob("*.html")
    )
    run = "records/runs/example-cleaner-high-1.yaml"
    text = (bench / run).read_text(encoding="utf-8")
    for remark in ("One.", "Two."):
        (bench / run).write_text(f"{text}note: {remark}\n", encoding="utf-8")
        hasten_pages(
            folders,
            [run],
            First(pages, lambda: told.append(len(values.held))),
            values,
            show_held=False,
        )
        assert not compile_archive(folders, workers=1).stopped
    assert len(told) == 2
    assert len(values.held) > 20
    for (kind, digest), (value, _) in values.held.items():
        codec = steps[kind].codec
        if codec is not None:
            assert sha256(codec.encode(value)).digest() == digest, kind
