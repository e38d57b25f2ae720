"""What is published, file by file, so that an uploader sends only what changed.

The manifest is a text of lines, UTF-8, each ending with a line feed. The first is
``# sitegen manifest 1``. Every other describes one file in four fields parted by
tabs: SHA-256 of its bytes (hexadecimal), its length in bytes, its media type, its path
(relative, forward slashes). Lines stand in the order of the paths' bytes. It says
nothing of when or where it was made: the same site gives the same manifest.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

from sitegen.errors import MachineFault
from sitegen.rebuild.files import write_atomic
from sitegen.rebuild.outputs import MANIFEST

HEAD = "# sitegen manifest 1"
SUFFIX = ".manifest"

_MEDIA_TYPES: Mapping[str, str] = MappingProxyType(
    {
        "atom": "application/atom+xml",
        "bib": "text/plain; charset=utf-8",
        "cff": "text/plain; charset=utf-8",
        "css": "text/css; charset=utf-8",
        "csv": "text/csv; charset=utf-8",
        "flac": "audio/flac",
        "html": "text/html; charset=utf-8",
        "jpeg": "image/jpeg",
        "jpg": "image/jpeg",
        "js": "text/javascript; charset=utf-8",
        "json": "application/json",
        "m4a": "audio/mp4",
        "mp3": "audio/mpeg",
        "png": "image/png",
        "svg": "image/svg+xml",
        "txt": "text/plain; charset=utf-8",
        "wav": "audio/wav",
        "webp": "image/webp",
        "xml": "application/xml",
        "zip": "application/zip",
    }
)
_ANY = "application/octet-stream"


def media_type(path: str) -> str:
    """Return the media type to serve a published file with, by its name's ending."""
    return _MEDIA_TYPES.get(path.rpartition(".")[2].lower(), _ANY)


def manifest_file(out: Path) -> Path:
    """Return where the manifest of a published folder stands: beside it."""
    whole = out.absolute()
    return whole.with_name(f"{whole.name}{SUFFIX}")


def manifest_text(out: Path) -> str:
    """Return the manifest of a folder that was compiled without fault.

    Args:
        out: the published folder.

    Raises:
        MachineFault: if the folder's own list of what was written cannot be used.
    """
    lines = [HEAD]
    try:
        listed = (out / MANIFEST).read_text(encoding="utf-8").split("\n")[:-1]
        rows = sorted(line.split("  ", 1)[::-1] for line in listed)
        for path, digest in rows:
            size = (out / path).stat().st_size
            lines.append(f"{digest}\t{size}\t{media_type(path)}\t{path}")
    except (ValueError, UnicodeDecodeError) as error:
        message = f"{out / MANIFEST}: not as it was written; compile with --clean"
        raise MachineFault(message) from error
    return "\n".join(lines) + "\n"


def write_manifest(out: Path) -> Path:
    """Write the manifest of a published folder beside it; return where it stands.

    A manifest that says the same already is left as it is.

    Args:
        out: the published folder.

    Raises:
        MachineFault: as ``manifest_text``.
        OSError: if it cannot be written.
    """
    target = manifest_file(out)
    data = manifest_text(out).encode()
    if not target.is_file() or target.read_bytes() != data:
        write_atomic(target, data)
    return target
