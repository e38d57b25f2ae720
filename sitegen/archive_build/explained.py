"""What a page is made of, and why it was made: data for the tester's questions."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import unquote, urlsplit

from sitegen.archive_build.compile import engine_for
from sitegen.archive_build.folders import Folders
from sitegen.errors import RebuildError
from sitegen.rebuild import Engine, Hop


@dataclass(frozen=True, slots=True)
class Explained:
    """A published file, explained.

    Attributes:
        file: its path below the output folder.
        hops: the chain of causes from the step that makes it to what changed; empty if
            asked what would be, and nothing would.
        files: what it rests on in the end, each ``root:path``.
    """

    file: str
    hops: tuple[Hop, ...]
    files: tuple[str, ...]


def explain_page(folders: Folders, page: str, *, now: bool = False) -> Explained:
    """Explain why a published file was last made, or whether it would be now.

    Args:
        folders: the archive's folders; it must have been compiled.
        page: an address (``/devices/x/``), also a full one, or a file's path.
        now: tell what a compile would do; nothing is run.

    Raises:
        RebuildError: ``not_built``, if no such file was written by a compile.
        MachineFault: if the state is in use.
    """
    engine = engine_for(folders, show_held=False)
    file, files = _found(engine, folders.out, page)
    hops = engine.why_now(file) if now else engine.why(file)
    return Explained(file, hops, files)


def _found(engine: Engine, out: Path, page: str) -> tuple[str, tuple[str, ...]]:
    for candidate in candidates(out, page):
        try:
            return candidate, engine.files(candidate)
        except RebuildError:
            continue
    raise RebuildError("not_built", what=page)


def candidates(out: Path, page: str) -> Iterator[str]:
    """Yield the output paths that a tester may mean, the likeliest first."""
    path = unquote(urlsplit(page).path) if "://" in page else page.partition("#")[0]
    here = Path(path)
    if here.is_absolute() or here.exists():
        full = here.resolve()
        if full.is_relative_to(out.resolve()):
            path = full.relative_to(out.resolve()).as_posix().removeprefix(".")
    parts = [part for part in path.split("/") if part]
    if not parts:
        yield "index.html"
    # A full address may have a folder before the site, a path the output folder.
    for start in range(len(parts)):
        rest = "/".join(parts[start:])
        if start == 0 or rest != "index.html":
            yield rest
            yield f"{rest}/index.html"
