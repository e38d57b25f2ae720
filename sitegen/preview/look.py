"""What stands in an archive and in its preview, at a glance.

Events can get lost; this cannot. Whoever is not told of a change for a while looks
here whether there was one.
"""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

from sitegen.rebuild.scan import scan


def glance(folder: Path, skip: tuple[Path, ...] = ()) -> bytes:
    """Return a digest of names, sizes and times of all files below a folder.

    Hidden files are passed over, as by the compile itself.

    Args:
        folder: the folder; empty bytes when it is not there.
        skip: folders to pass over.
    """
    root = os.path.realpath(folder)
    if not Path(root).is_dir():
        return b""
    passed_over = {os.path.realpath(path) for path in skip}
    digest = hashlib.sha256()
    try:
        top = scan(root, "", passed_over)
        digest.update(top.digest())
        for name in sorted(top.folders):
            digest.update(scan(root, name, passed_over).digest())
    except OSError as error:
        # A folder that cannot be read now: different from when it can be.
        digest.update(repr(error).encode())
    return digest.digest()
