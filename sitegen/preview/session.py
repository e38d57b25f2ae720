"""A preview from start to end: compile, serve, watch, until interrupted."""

from __future__ import annotations

import socket
import threading
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from sitegen.archive_build import Folders, compile_archive, shipped_folder
from sitegen.errors import MachineFault, SitegenError
from sitegen.preview.state import Bulletin, Situation, lines_of

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


def compile_once(archive: Path, bulletin: Bulletin) -> Situation:
    """Compile the archive aside, held records too, and post how it ended."""
    try:
        outcome = compile_archive(preview_folders(archive), show_held=True)
    except SitegenError as error:
        return bulletin.post(stopped=True, lines=(str(error),))
    except OSError as error:
        return bulletin.post(
            stopped=True, lines=(f"{error.filename}: {error.strerror}",)
        )
    return bulletin.post(stopped=outcome.stopped, lines=lines_of(outcome.faults))


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
    raise MachineFault(f"no free port from {port} to {port + 19}")


def run_preview(
    options: PreviewOptions,
    announce: Callable[[str], None],
    tell: Callable[[Situation], None],
) -> None:
    """Compile, serve and watch until interrupted.

    Args:
        options: what the tester chose.
        announce: called once with the address served.
        tell: called after every compile.

    Raises:
        MachineFault: if no port is free.
    """
    import uvicorn  # noqa: PLC0415 - heavy, and only here

    from sitegen.preview.server import make_server  # noqa: PLC0415 - heavy
    from sitegen.preview.watch import (  # noqa: PLC0415 - heavy
        Wake,
        Watched,
        keep_building,
    )

    archive = options.archive.resolve()
    bulletin = Bulletin()
    folders = preview_folders(archive)
    listener = bound_socket(options.port)

    skipped = (STATE, "published")
    wake = Wake(ignored=(archive / name for name in skipped))
    watched = Watched(archive, wake, skipped, polling=options.polling)

    def build() -> None:
        watched.renew()
        tell(compile_once(archive, bulletin))

    watched.start()
    build()
    stop = threading.Event()
    builder = threading.Thread(
        target=keep_building, args=(wake, build, stop), name="builder", daemon=True
    )
    builder.start()
    own_files = shipped_folder("assets") / "preview"
    app = make_server(folders.out, bulletin, own_files)
    # From now on a browser is not refused, even before the server has taken over.
    listener.listen(128)
    announce(f"http://{ADDRESS}:{listener.getsockname()[1]}/")
    config = uvicorn.Config(
        app, log_level="warning", timeout_graceful_shutdown=1, lifespan="off"
    )
    try:
        uvicorn.Server(config).run(sockets=[listener])
    finally:
        stop.set()
        wake.now()
        watched.stop()
        builder.join(timeout=10)
        listener.close()
