"""Looking at folders: the size, times and number of each file. Standard library only.

A root is looked at one top folder at a time, so that what no step reads costs
nothing. The top ``""`` is the files directly in the root.
"""


# Paths are plain text here: with pathlib a check would take twice as long.
# ruff: noqa: PTH112, PTH113, PTH114, PTH116, PTH118, PTH123

from __future__ import annotations

import hashlib
import marshal
import os
import stat
import time
from collections.abc import Collection, Iterable

Print = tuple[int, int, int, int]
"""A file's size in bytes, mtime and ctime in ns, and inode number."""

# A file written within this time of being looked at could be written again without
# its times changing; it is read again the next time.
_RACY_NS = 2_000_000_000


class Scan:
    """What stands in one top folder.

    Attributes:
        files: fingerprint of each file, by path relative to the root.
        refused: links that lead out of the root, and links to folders.
        folders: names of the folders in the root, for the top ``""`` only.
        at_ns: when looking began, ns.
    """

    __slots__ = ("at_ns", "files", "folders", "refused")

    def __init__(self) -> None:
        self.files: dict[str, Print] = {}
        self.refused: set[str] = set()
        self.folders: set[str] = set()
        self.at_ns = time.time_ns()

    def digest(self) -> bytes:
        """Return a digest of all that is seen here."""
        # Version 2 of the format has no back references: equal data, equal bytes.
        seen = (sorted(self.files.items()), sorted(self.refused), sorted(self.folders))
        return hashlib.sha256(marshal.dumps(seen, 2)).digest()

    def is_racy(self, mark: Print) -> bool:
        """Whether a file is too young for its fingerprint to be relied upon."""
        return max(mark[1], mark[2]) >= self.at_ns - _RACY_NS


def top_of(path: str) -> str:
    """Return the top folder in which a relative path stands."""
    head, slash, _ = path.partition("/")
    return head if slash else ""


def mark_of(status: os.stat_result) -> Print:
    """Return the fingerprint of a file."""
    return (status.st_size, status.st_mtime_ns, status.st_ctime_ns, status.st_ino)


def scan(root: str, top: str, skip: Collection[str]) -> Scan:
    """Look at one top folder of a root; hidden files and folders are passed over.

    Args:
        root: absolute path without links.
        top: name of a folder in the root, or ``""``.
        skip: absolute paths of folders to pass over.

    Raises:
        OSError: if a folder cannot be read; one that is not there is empty.
    """
    found = Scan()
    start = os.path.join(root, top) if top else root
    if start in skip:
        return found
    if top and os.path.islink(start):
        found.refused.add(top)
        return found
    todo = [top]
    while todo:
        folder = todo.pop()
        try:
            entries = os.scandir(os.path.join(root, folder) if folder else root)
        except (FileNotFoundError, NotADirectoryError):
            continue
        prefix = folder + "/" if folder else ""
        with entries:
            folders, linked = _look(found, entries, prefix, skip)
        if top:
            todo += folders
        else:
            found.folders.update(folders)
        for entry in linked:
            _follow(found, entry, prefix + entry.name, root)
    return found


def _look(
    found: Scan,
    entries: Iterable[os.DirEntry[str]],
    prefix: str,
    skip: Collection[str],
) -> tuple[list[str], list[os.DirEntry[str]]]:
    """Take down the files of one folder; return its folders and its links."""
    folders = []
    linked = []
    files = found.files
    for entry in entries:
        name = entry.name
        if name[0] == ".":
            continue
        try:
            if entry.is_symlink():
                linked.append(entry)
            elif entry.is_dir():
                if entry.path not in skip:
                    folders.append(prefix + name)
            elif entry.is_file():
                files[prefix + name] = mark_of(entry.stat())
        except FileNotFoundError:
            # Gone while we looked: not there.
            continue
    return folders, linked


def _follow(found: Scan, entry: os.DirEntry[str], path: str, root: str) -> None:
    real = os.path.realpath(entry.path)
    if os.path.isdir(real) or not real.startswith(root + os.sep):
        found.refused.add(path)
    elif os.path.isfile(real):
        found.files[path] = mark_of(os.stat(real))


class Tree:
    """A root, looked at as far as needed and once only."""

    def __init__(self, root: str, skip: Collection[str]) -> None:
        self.root = os.path.realpath(root)
        self._skip = skip
        self._seen: dict[str, Scan] = {}

    def top(self, top: str) -> Scan:
        """Return what stands in a top folder."""
        seen = self._seen.get(top)
        if seen is None:
            seen = self._seen[top] = scan(self.root, top, self._skip)
        return seen

    def seen(self) -> list[str]:
        """Return the tops looked at so far."""
        return sorted(self._seen)

    def where(self, path: str) -> str:
        """Return the absolute path of a relative one."""
        return os.path.join(self.root, path)

    def alone(self, path: str) -> Scan | None:
        """Look at one file, not a hidden one, and at nothing else.

        Returns:
            None if there is no file, or whether it counts is not to be told without
            looking at its folder: it is to be skipped, or a link is on the way.
        """
        found = Scan()
        where = self.root
        for part in path.split("/"):
            where = os.path.join(where, part)
            if where in self._skip or os.path.islink(where):
                return None
        try:
            status = os.lstat(where)
        except (FileNotFoundError, NotADirectoryError):
            return None
        if not stat.S_ISREG(status.st_mode):
            return None
        found.files[path] = mark_of(status)
        return found


def hash_file(path: str) -> bytes:
    """Return the SHA-256 digest of a file's bytes.

    Raises:
        OSError: if it cannot be read.
    """
    with open(path, "rb") as stream:
        return hashlib.sha256(stream.read()).digest()
