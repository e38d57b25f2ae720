"""The pages that are open are made first, and loaded once."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from pathlib import Path

import pytest

from sitegen.desk.start import Beginning, start_archive
from sitegen.pages.addresses import Address
from sitegen.preview.session import address_of, compile_once, hasten, uses_any
from sitegen.preview.state import Bulletin, Situation

PAGE = "/runs/a/"


async def _numbers(
    bulletin: Bulletin, page: str, *acts: Callable[[], object]
) -> list[int]:
    """Return the numbers that an open page is told, first and after each act."""
    told = bulletin.listen(page)
    found = [(await anext(told)).number]
    for act in acts:
        act()
        found.append((await anext(told)).number)
    await told.aclose()
    return found


def _post(
    bulletin: Bulletin, moved_on: Callable[[str], bool] = lambda _: True
) -> Situation:
    return bulletin.post(stopped=False, lines=(), moved_on=moved_on)


def test_a_page_that_was_ready_is_not_loaded_twice() -> None:
    """The number counts up when the page is ready, and not again at the end."""
    bulletin = Bulletin()
    found = asyncio.run(
        _numbers(
            bulletin,
            PAGE,
            lambda: bulletin.post_ready(bulletin.open_pages),
            lambda: _post(bulletin, moved_on=lambda _: False),
            lambda: _post(bulletin),
        )
    )
    assert found == [0, 1, 1, 2]
    assert bulletin.open_pages == frozenset()


@pytest.mark.parametrize("ready", [frozenset(), frozenset({PAGE})])
def test_a_page_is_loaded_again_if_it_was_not_ready_or_has_moved_on(
    ready: frozenset[str],
) -> None:
    """A page opened meanwhile, or whose style came later, hears of the end too."""
    bulletin = Bulletin()
    found = asyncio.run(
        _numbers(
            bulletin,
            PAGE,
            lambda: bulletin.post_ready(ready),
            lambda: _post(bulletin, moved_on=lambda page: page in ready),
        )
    )
    assert found == [0, 1, 2]


def test_a_page_uses_what_it_loads_and_not_what_it_links_to(tmp_path: Path) -> None:
    """Styles, scripts and pictures count; downloads and pictures for others do not."""
    page = Address("runs/a/")
    (tmp_path / "runs/a").mkdir(parents=True)
    (tmp_path / page.file).write_text(
        '<link rel="stylesheet" href="../../assets/site.css">'
        '<meta content="https://example.org/runs/a/card.png">'
        '<img src="../../assets/places/x.svg"><a href="../../data/runs.csv">'
    )
    for name in ("assets/site.css", "assets/places/x.svg"):
        assert uses_any(tmp_path, page, [name]), name
    for name in ("runs/a/card.png", "data/runs.csv", "runs/b/index.html"):
        assert not uses_any(tmp_path, page, [name]), name


def test_an_open_page_is_made_before_the_others(tmp_path: Path) -> None:
    """It is told of before the compile has ended, and it is up to date by then."""
    archive = tmp_path / "archive"
    start_archive(archive, Beginning("B", "https://example.org/b/", "EUR", "metric"))
    bulletin = Bulletin()
    compile_once(archive, bulletin)
    page = "/runs/example-cleaner-high-1/"
    site = archive / ".sitegen/preview/site"
    seen: list[str] = []

    class Listening(Bulletin):
        """A bulletin with one page open."""

        open_pages = frozenset({page})

        def post_ready(self, pages: frozenset[str]) -> None:
            """Look at the page at the moment at which it is said to be ready."""
            assert pages == {page}
            seen.append((site / address_of(page).file).read_text(encoding="utf-8"))
            seen.append((site / "index.html").read_text(encoding="utf-8"))

    run = archive / "records/runs/example-cleaner-high-1.yaml"
    run.write_text(run.read_text(encoding="utf-8") + "note: Told early.\n")
    settings = archive / "archive.yaml"
    text = settings.read_text(encoding="utf-8")
    assert 'name: "B"' in text
    settings.write_text(text.replace('name: "B"', "name: Changed"))
    compile_once(archive, Listening())
    assert "Told early." in seen[0]
    assert "Changed" not in seen[1]
    assert "Changed" in (site / "index.html").read_text(encoding="utf-8")


def test_haste_makes_the_open_page_by_what_was_told_alone(tmp_path: Path) -> None:
    """The page is up to date before anything else; the compile does what is left."""
    archive = (tmp_path / "archive").resolve()
    start_archive(archive, Beginning("B", "https://example.org/b/", "EUR", "metric"))
    bulletin = Bulletin()
    compile_once(archive, bulletin)
    page = "/runs/example-cleaner-high-1/"
    site = archive / ".sitegen/preview/site"
    told: list[frozenset[str]] = []

    class Listening(Bulletin):
        """A bulletin with one page open."""

        open_pages = frozenset({page})

        def post_ready(self, pages: frozenset[str]) -> None:
            """Remember which pages were ready."""
            told.append(pages)
            super().post_ready(pages)

    open_bulletin = Listening()
    run = archive / "records/runs/example-cleaner-high-1.yaml"
    run.write_text(run.read_text(encoding="utf-8") + "note: Told early.\n")
    room = next((archive / "records/rooms").glob("*.yaml"))
    text = room.read_text(encoding="utf-8")
    assert "note: " in text
    room.write_text(text.replace("note: ", "note: Not told of. ", 1))
    hasten(archive, open_bulletin, [str(run), str(tmp_path / "elsewhere")])
    assert told == [frozenset({page})]
    assert "Told early." in (site / address_of(page).file).read_text(encoding="utf-8")
    bench = site / "bench/index.html"
    assert "Not told of." not in bench.read_text(encoding="utf-8")
    before = open_bulletin.latest.number
    assert compile_once(archive, open_bulletin).number == before
    assert "Not told of." in bench.read_text(encoding="utf-8")


@pytest.mark.parametrize("how", ["fault", "new file", "nobody waits"])
def test_no_haste_where_it_would_not_do(tmp_path: Path, how: str) -> None:
    """Faults, files that came, and pages that nobody has open are the compile's."""
    archive = (tmp_path / "archive").resolve()
    start_archive(archive, Beginning("B", "https://example.org/b/", "EUR", "metric"))
    compile_once(archive, Bulletin())
    page = "" if how == "nobody waits" else "/runs/example-cleaner-high-1/"
    written = archive / ".sitegen/preview/site" / "runs/example-cleaner-high-1"
    before = (written / "index.html").read_bytes()

    class Listening(Bulletin):
        """A bulletin with a page open, or none."""

        open_pages = frozenset({page} if page else ())

        def post_ready(self, pages: frozenset[str]) -> None:
            """Not to be called."""
            pytest.fail(f"ready: {pages}")

    run = archive / "records/runs/example-cleaner-high-1.yaml"
    text = run.read_text(encoding="utf-8")
    fault = "nmae: x\n" if how == "fault" else "note: More.\n"
    run.write_text(text + fault, encoding="utf-8")
    changed = [str(run)]
    if how == "new file":
        (archive / "records/runs/another.yaml").write_text(text, encoding="utf-8")
        changed.append(str(archive / "records/runs/another.yaml"))
    hasten(archive, Listening(), changed)
    assert (written / "index.html").read_bytes() == before
