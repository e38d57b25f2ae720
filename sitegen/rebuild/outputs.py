"""The output folder: who claims which file, writing, and removing what is stale."""

# Paths are plain text here: with pathlib a check would take twice as long.
# ruff: noqa: PTH102, PTH103, PTH106, PTH108, PTH110, PTH112, PTH113, PTH114, PTH118, PTH120, PTH123

from __future__ import annotations

import os
import stat
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from errno import ENOSPC
from hashlib import sha256

from sitegen.errors import MachineFault, RebuildError
from sitegen.rebuild.files import check_relative, is_leftover, write_atomic
from sitegen.rebuild.keys import Key
from sitegen.rebuild.output_table import OutputRow
from sitegen.rebuild.reports import Cause
from sitegen.rebuild.scan import Print, hash_file, mark_of
from sitegen.rebuild.steps import Output
from sitegen.rebuild.store import Store

MANIFEST = ".written"
"""A file in the output folder that lists what we wrote there, so that the folder can
be told from a stranger's when the state is lost; in the form of ``sha256sum``."""

_UNKNOWN = (0, 0, 0, 0)


class Outputs:
    """The output folder in one session."""

    def __init__(self, store: Store, root: str) -> None:
        self._store = store
        self._root = root
        self._changed = False
        self._claimed: dict[str, Key] = {}
        self._odd: dict[str, Cause] = {}
        self._safe: set[str] = {""}
        self.takeovers: dict[str, int] = {}
        self.written: list[str] = []
        self.unchanged: list[str] = []
        self.removed: list[str] = []
        self.kept: list[str] = []

    def _where(self, path: str) -> str:
        return os.path.join(self._root, path)

    # Once, when a session begins

    def refresh(self, *, unclean: bool) -> bool:
        """Look for files of ours that are gone or not as we left them.

        Args:
            unclean: the build before was interrupted: look at every byte.

        Returns:
            Whether anything was found.
        """
        store = self._store
        moved = store.facts.get("out") != self._root
        if moved:
            self._adopt()
        if unclean or moved:
            self._sweep()
        with _opened(self._root) as place:
            for row in store.outputs.all():
                mark = _mark_in(place, row.path)
                if mark != row.mark or unclean:
                    self._changed = True
                    self._check(row, mark)
        return bool(self._odd)

    def _adopt(self) -> None:
        """In a folder new to this state, go by its own list of what is ours."""
        store = self._store
        listed = self._read_manifest()
        for row in store.outputs.all():
            if listed.get(row.path) != row.digest:
                store.outputs.forget(row.path)
                self._again(row, Cause("output_missing", path=row.path))
        for path, digest in listed.items():
            if store.outputs.get(path) is None:
                store.outputs.put(path, None, digest, _UNKNOWN)
        self._changed = True
        store.facts.put(out=self._root, good="")

    def _read_manifest(self) -> dict[str, bytes]:
        listed = {}
        try:
            with open(self._where(MANIFEST), encoding="utf-8") as stream:
                for line in stream:
                    if not line.endswith("\n"):  # cut off by a kill
                        break
                    digest, _, path = line[:-1].partition("  ")
                    listed[check_relative(path)] = bytes.fromhex(digest)
        except (OSError, ValueError, RebuildError):
            # None there, or not one of ours: then nothing in the folder is ours.
            return {}
        return listed

    def _sweep(self) -> None:
        """Delete the temporary files of a build that was interrupted."""
        for folder, _, names in os.walk(self._root):
            for name in names:
                if is_leftover(name):
                    os.unlink(os.path.join(folder, name))

    def _check(self, row: OutputRow, mark: Print | None) -> None:
        """Look into a file that may not be as we left it."""
        store, path = self._store, row.path
        if mark is None:
            self._odd[path] = Cause("output_missing", path=path)
            self._again(row, self._odd[path])
            return
        digest = hash_file(self._where(path))
        if digest == row.digest:
            store.outputs.put(path, row.node, digest, mark)
        elif digest == row.next:
            # Written by us just before the end came; the trace still has to follow.
            owner = None if row.node == -1 else row.node
            store.outputs.put(path, owner, digest, mark)
            self._again(row, Cause("output_edited", path=path))
        else:
            self._odd[path] = Cause("output_edited", path=path)
            self._again(row, self._odd[path])

    def _again(self, row: OutputRow, cause: Cause) -> None:
        if row.node is not None and row.node > 0:
            self._store.nodes.mark_stale([(row.node, cause)])

    # While steps run

    def write(self, key: Key, node: int | None, outputs: Sequence[Output]) -> bytes:
        """Write a node's files, those that differ, and claim them.

        Returns:
            The paths and digests, as the node's value.

        Raises:
            RebuildError: ``two_claims`` or ``unsafe_path``, before any is written.
            MachineFault: if a file that is not ours is in the way, or the system
                refuses.
        """
        digests = {check_relative(o.path): sha256(o.data).digest() for o in outputs}
        if len(digests) != len(outputs):
            paths = [o.path for o in outputs]
            twice = next(path for path in paths if paths.count(path) > 1)
            raise RebuildError(
                "two_claims", path=twice, first=str(key), second=str(key)
            )
        rows = {path: self._store.outputs.get(path) for path in digests}
        for path, row in rows.items():
            self._refuse_foreign(path, row, digests[path])
            self._refuse_second(key, node, path, row)
        try:
            for output in outputs:
                self._put(node, output, digests[output.path], rows[output.path])
        except OSError as error:
            raise MachineFault.of(error) from error
        self._claimed.update(dict.fromkeys(digests, key))
        return "\n".join(f"{digests[p].hex()} {p}" for p in sorted(digests)).encode()

    def claim(self, node: int, paths: Iterable[str]) -> None:
        """Store that a node claims these paths and no others."""
        wanted = set(paths)
        mine = {row.path for row in self._store.outputs.of(node)}
        for path in wanted - mine:
            self._store.outputs.claim(path, node)
        for path in mine - wanted:
            self._store.outputs.claim(path, None)

    def _refuse_second(
        self, key: Key, node: int | None, path: str, row: OutputRow | None
    ) -> None:
        other = self._claimed.get(path, key)
        if other != key:
            raise RebuildError(
                "two_claims", path=path, first=str(other), second=str(key)
            )
        owner = row.node if row is not None else None
        if owner is not None and owner > 0 and owner != node:
            # It may be that the owner is not wanted any longer. If it is, then its
            # turn, in this build or at its end, finds the path claimed.
            self._store.nodes.mark_stale([(owner, Cause("output_edited", path=path))])
            self.takeovers[path] = owner

    def _refuse_foreign(self, path: str, row: OutputRow | None, digest: bytes) -> None:
        where = self._where(path)
        ours = row is not None and row.node != -1
        if ours or not os.path.lexists(where):
            return
        allowed = (digest, row.next if row is not None else None)
        if not os.path.isfile(where) or hash_file(where) not in allowed:
            message = f"{where}: a file not written here is in the way; move it away"
            raise MachineFault(message)

    def _put(
        self, node: int | None, output: Output, digest: bytes, row: OutputRow | None
    ) -> None:
        path = output.path
        if row is not None and row.digest == digest and path not in self._odd:
            self.unchanged.append(path)
            return
        where = self._where(path)
        self._make_folder(path)
        if node is not None:
            # Killed from here on, the node must run again, even if its inputs go back
            # to what its old trace says.
            self._store.nodes.mark_stale([(node, Cause("output_edited", path=path))])
        self._store.outputs.intend(path, digest)
        self._store.facts.put(unlisted="1")
        self._store.commit()
        if not _holds(where, digest):
            self._list_ahead(path, digest)
            write_atomic(where, output.data)
            self.written.append(path)
        else:
            self.unchanged.append(path)
        self._note(path, digest)

    def _list_ahead(self, path: str, digest: bytes) -> None:
        """List a file before it is written: a kill and a lost state may follow."""
        line = f"{digest.hex()}  {path}\n".encode()
        where = self._where(MANIFEST)
        with open(where, "ab", buffering=0) as stream:
            end = stream.tell()
            if stream.write(line) != len(line):
                # The disk is full: what comes next must not join on to half a line.
                stream.truncate(end)
                raise OSError(ENOSPC, os.strerror(ENOSPC), where)

    def _note(self, path: str, digest: bytes) -> None:
        mark = mark_of(os.lstat(self._where(path)))
        self._changed = True
        self._odd.pop(path, None)
        row = self._store.outputs.get(path)
        owner = row.node if row is not None and row.node != -1 else None
        self._store.outputs.put(path, owner, digest, mark)

    def _make_folder(self, path: str) -> None:
        """Make the folder of a path; refuse links on the way."""
        parts = path.split("/")[:-1]
        folder = ""
        if not os.path.isdir(self._root):
            os.makedirs(self._root)
        for part in parts:
            folder = f"{folder}/{part}" if folder else part
            if folder in self._safe:
                continue
            where = self._where(folder)
            if os.path.islink(where):
                raise RebuildError("outside_root", path=folder)
            if not os.path.isdir(where):
                os.mkdir(where)
            self._safe.add(folder)

    # Once, when a build ends

    def tidy(self) -> None:
        """Delete our files that nothing claims any longer, and folders left empty."""
        for row in self._store.outputs.unclaimed():
            where = self._where(row.path)
            if os.path.isfile(where) and not os.path.islink(where):
                if hash_file(where) in (row.digest, row.next):
                    os.unlink(where)
                    self.removed.append(row.path)
                    self._remove_empty(row.path)
                elif row.node is None:
                    self.kept.append(row.path)
            self._changed = True
            self._store.outputs.forget(row.path)

    def _remove_empty(self, path: str) -> None:
        folder = os.path.dirname(path)
        while folder:
            try:
                os.rmdir(self._where(folder))
            except OSError:
                return
            folder = os.path.dirname(folder)

    def finish(self) -> None:
        """Write the list of what stands in the folder through us."""
        manifest = self._where(MANIFEST)
        exists = os.path.exists(manifest)
        if exists and not self._changed and not self._store.facts.get("unlisted"):
            return
        data = self._store.outputs.manifest().encode()
        if (data or exists) and not _holds(manifest, sha256(data).digest()):
            os.makedirs(self._root, exist_ok=True)
            write_atomic(manifest, data)
        self._store.facts.put(unlisted="")


@contextmanager
def _opened(folder: str) -> Iterator[int | None]:
    """Open a folder to look at files by their paths in it; None: it is not there."""
    try:
        place = os.open(folder, os.O_RDONLY)
    except (FileNotFoundError, NotADirectoryError):
        yield None
        return
    try:
        yield place
    finally:
        os.close(place)


def _mark_in(place: int | None, path: str) -> Print | None:
    """Return the fingerprint of a file; None if there is none, or a link."""
    if place is None:
        return None
    try:
        status = os.stat(path, dir_fd=place, follow_symlinks=False)
    except (FileNotFoundError, NotADirectoryError):
        return None
    return mark_of(status) if stat.S_ISREG(status.st_mode) else None


def paths_in(value: bytes) -> tuple[str, ...]:
    """Return the paths in the value that ``write`` gave."""
    return tuple(line.partition(" ")[2] for line in value.decode().split("\n") if line)


def _holds(where: str, digest: bytes) -> bool:
    try:
        return not os.path.islink(where) and hash_file(where) == digest
    except FileNotFoundError:
        return False
