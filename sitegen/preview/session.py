"""A preview from start to end: compile, serve, watch, until interrupted."""

from __future__ import annotations

import datetime as dt
import gc
import socket
import threading
from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from urllib.parse import unquote

from sitegen.archive_build import (
    Folders,
    compile_archive,
    hasten_pages,
    shipped_folder,
)
from sitegen.errors import MachineFault, SitegenError
from sitegen.pages.addresses import Address, link
from sitegen.preview.state import Bulletin, Situation, lines_of
from sitegen.rebuild import First, Values

STATE = ".sitegen"
ADDRESS = "127.0.0.1"


@dataclass(frozen=True, slots=True)
class PreviewOptions:
    """What the tester chose.

    Attributes:
        archive: the archive's folder.
        port: port to serve on; 0 takes any that is free.
        polling: look for changes again and again instead of being told.
    """

    archive: Path
    port: int
    polling: bool = False


def preview_folders(archive: Path) -> Folders:
    """Return where the preview of an archive is compiled to."""
    aside = archive / STATE / "preview"
    return Folders(archive, out=aside / "site", state=aside / "state")


def hasten(
    archive: Path,
    bulletin: Bulletin,
    changed: Iterable[str],
    values: Values | None = None,
) -> None:
    """Make the pages that are open, before all of the archive is looked at.

    Args:
        archive: the archive's folder.
        bulletin: knows which pages are open; told when they are up to date.
        changed: absolute paths of the files that are said to have changed.
        values: what was decoded for pages before.
    """
    first = _first(bulletin)
    inside = [Path(path) for path in changed]
    names = sorted(
        path.relative_to(archive).as_posix()
        for path in inside
        if path.is_relative_to(archive)
    )
    if first.paths and names:
        # Whatever refuses here, the compile that follows tells of it.
        with suppress(SitegenError, OSError):
            hasten_pages(preview_folders(archive), names, first, values)


def _first(bulletin: Bulletin) -> First:
    pages = bulletin.open_pages
    return First(
        tuple(sorted(address_of(page).file for page in pages)),
        lambda: bulletin.post_ready(pages),
    )


def compile_once(archive: Path, bulletin: Bulletin) -> Situation:
    """Compile the archive aside, held records too, and post how it ended.

    Where nothing came of it that is not known already, nothing is posted.
    """
    folders = preview_folders(archive)
    first = _first(bulletin)
    hastened = bulletin.has_ready
    try:
        # Not with all its parents: an archive that was moved away stays away.
        (archive / STATE).mkdir(exist_ok=True)
        outcome = compile_archive(folders, show_held=True, first=first)
    except (SitegenError, OSError) as error:
        return _refused(archive, error, bulletin)
    lines = lines_of(outcome.faults)
    report = outcome.report
    written = report.written if report is not None else ()
    made = report is not None and (report.written or report.removed)

    def moved_on(page: str) -> bool:
        return uses_any(folders.out, address_of(page), written)

    if made or hastened or bulletin.is_news(stopped=outcome.stopped, lines=lines):
        return bulletin.post(stopped=outcome.stopped, lines=lines, moved_on=moved_on)
    return bulletin.latest


def _refused(
    archive: Path, error: SitegenError | OSError, bulletin: Bulletin
) -> Situation:
    """Post why nothing could be compiled, unless that is known already."""
    line = str(MachineFault.of(error) if isinstance(error, OSError) else error)
    if not archive.is_dir():
        line = f"{archive}: the folder is gone; the preview goes on when it is back"
    if bulletin.has_ready or bulletin.is_news(stopped=True, lines=(line,)):
        return bulletin.post(stopped=True, lines=(line,), refused=True)
    return bulletin.latest


def address_of(page: str) -> Address:
    """Return the site's address under which a page of the server stands."""
    return Address(unquote(page).lstrip("/"))


def uses_any(site: Path, page: Address, written: Iterable[str]) -> bool:
    """Whether a page loads any of these files: style, script or picture."""
    try:
        text = (site / page.file).read_text(encoding="utf-8")
    except (OSError, ValueError):
        return True
    links = [link(page, Address(path)) for path in written]
    return any(
        f'src="{one}"' in text or (one.endswith(".css") and f'href="{one}"' in text)
        for one in links
    )


def bound_socket(port: int) -> socket.socket:
    """Return a loopback socket on ``port``, or on the next free one of twenty.

    Raises:
        MachineFault: if none of them is free.
    """
    for offset in range(20):
        listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listener.bind((ADDRESS, port + offset if port else 0))
        except OSError:
            listener.close()
            continue
        return listener
    raise MachineFault(
        f"no free port from {port} to {port + 19}; name another by --port"
    )


def run_preview(
    options: PreviewOptions,
    announce: Callable[[str], None],
    tell: Callable[[Situation], None],
    warn: Callable[[str], None],
) -> None:
    """Compile, serve and watch until interrupted.

    Args:
        options: what the tester chose.
        announce: called once with the address served.
        tell: called after every compile that brought something new.
        warn: called with a sentence about the preview itself.

    Raises:
        MachineFault: if no port is free.
    """
    import uvicorn  # noqa: PLC0415 - heavy, and only here

    from sitegen.preview.builder import LOOK_EVERY_S, keep_building  # noqa: PLC0415
    from sitegen.preview.look import glance  # noqa: PLC0415
    from sitegen.preview.server import make_server  # noqa: PLC0415 - heavy
    from sitegen.preview.watch import Wake, Watcher  # noqa: PLC0415

    archive = options.archive.resolve()
    bulletin = Bulletin()
    folders = preview_folders(archive)
    published = archive / "published"
    listener = bound_socket(options.port)
    told = 0
    # Not shared with the compiles in between, which would crowd it out.
    values = Values()

    def build() -> bool:
        nonlocal told
        situation = compile_once(archive, bulletin)
        if situation.number != told:
            told = situation.number
            tell(situation)
        # What stays need not be looked through for garbage while someone waits.
        gc.collect()
        gc.freeze()
        return situation.refused

    def look_in() -> bytes:
        return glance(archive, (published,))

    def look_out() -> bytes:
        return glance(folders.out)

    def hurry() -> None:
        hasten(archive, bulletin, wake.take_files(), values)

    build()
    wake = Wake(ignored=(archive / STATE, published))
    watcher = Watcher(archive, wake, (published,), polling=options.polling)
    watcher.start()
    if watcher.refused:
        warn(
            f"The system does not tell of all changes here ({watcher.refused});"
            f" looking every {LOOK_EVERY_S:g} s instead."
        )
    own_files = shipped_folder("assets") / "preview"

    app = make_server(folders.out, bulletin, own_files, _desk_pages(folders))
    config = uvicorn.Config(
        app, log_level="warning", timeout_graceful_shutdown=1, lifespan="off"
    )
    server = uvicorn.Server(config)
    stop = threading.Event()
    with ThreadPoolExecutor(1, "builder") as thread:
        builder = thread.submit(
            keep_building, wake, hurry, look_in, look_out, build, watcher.renew, stop
        )
        # A bug in the builder ends the preview, instead of pages that follow nothing.
        builder.add_done_callback(lambda _: setattr(server, "should_exit", True))
        # From now on a browser is not refused, even before the server has taken over.
        listener.listen(128)
        announce(f"http://{ADDRESS}:{listener.getsockname()[1]}/")
        try:
            server.run(sockets=[listener])
        finally:
            stop.set()
            wake.now()
            watcher.stop()
            listener.close()
        builder.result()


def _desk_pages(folders: Folders) -> dict[str, Callable[[], str]]:
    """Return what makes each page for the tester alone, by its name."""
    from sitegen.preview.desk import (  # noqa: PLC0415 - heavy
        WORKLIST,
        worklist_page,
    )
    from sitegen.preview.desk_frame import dressed  # noqa: PLC0415 - with the others
    from sitegen.preview.manual import manual_pages  # noqa: PLC0415 - heavy

    def _dressed(make: Callable[[], str], out: Path) -> str:
        return dressed(make(), out)

    def work() -> str:
        today = dt.datetime.now().astimezone().date()
        return worklist_page(folders, today)

    made = {WORKLIST: work, **manual_pages()}
    return {name: partial(_dressed, make, folders.out) for name, make in made.items()}
