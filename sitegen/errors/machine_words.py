"""What to do when the machine refuses, by the system's own number of the refusal."""

from __future__ import annotations

import errno
from collections.abc import Mapping
from types import MappingProxyType

REMEDIES: Mapping[int, str] = MappingProxyType(
    {
        errno.EACCES: "let this user read and write there, then run it again",
        errno.EPERM: "let this user read and write there, then run it again",
        errno.EROFS: "nothing can be written there; work on a copy elsewhere",
        errno.ENOSPC: "free some space, then run it again",
        errno.EDQUOT: "free some space, then run it again",
        errno.EFBIG: "files may not be that large there; work elsewhere",
        errno.ENOENT: "look whether it was moved or taken away meanwhile",
        errno.EMFILE: "close other programs, then run it again",
        errno.EIO: "the disk fails; copy what you can, and look after it",
    }
)
