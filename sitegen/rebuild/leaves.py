"""What nodes rest on in the end: files, their absence, listings, settings."""


# Paths are plain text here: with pathlib a check would take twice as long.
# ruff: noqa: PTH123

from __future__ import annotations

from collections.abc import Mapping, Sequence
from hashlib import sha256
from typing import Any, NamedTuple

from sitegen.errors import MachineFault, RebuildError
from sitegen.rebuild.codecs import json_codec
from sitegen.rebuild.differences import stored_differences
from sitegen.rebuild.files import check_relative
from sitegen.rebuild.keys import Key, key_of, key_text
from sitegen.rebuild.reports import Difference
from sitegen.rebuild.scan import Print, Scan, Tree, hash_file, top_of
from sitegen.rebuild.store import Store

ABSENT = b""
"""The digest of what is not there."""

_REFUSED = b"refused"
# Of a file that changed between two readings in one build: equal to nothing, so that
# the next build sees a change whatever the file then holds.
_UNSETTLED = b"unsettled"
_NO_PRINT: Print = (0, 0, 0, 0)
_EVERY_TOP = "*"


class Reading(NamedTuple):
    """A leaf as a step gets it.

    Attributes:
        id: the leaf's number.
        digest: of what was read.
        data: what was read; None if absent.
        refused: the error to raise instead, once the reading is recorded.
    """

    id: int
    digest: bytes
    data: Any = None
    refused: RebuildError | None = None


def split_path(spelled: str) -> tuple[str, str]:
    """Return root and relative path of ``root:folder/file``.

    Raises:
        RebuildError: ``unsafe_path``.
    """
    root, colon, path = spelled.partition(":")
    if not colon or not root:
        raise RebuildError("unsafe_path", path=ascii(spelled))
    return root, check_relative(path) if path else ""


class Leaves:
    """The leaves as they are in one session: each is looked at once."""

    def __init__(
        self,
        store: Store,
        trees: Mapping[str, Tree],
        settings: Mapping[str, Any],
        build: int,
    ) -> None:
        self._store = store
        self._trees = dict(trees)
        self._settings = settings
        self._build = build
        self._known: dict[str, tuple[int, bytes]] = {}
        self._alone: dict[tuple[str, str], Scan] = {}
        self._tops = store.leaves.tops()

    # Once, when a session begins

    def refresh(self) -> list[int]:
        """Bring all stored leaves up to date; return those that changed."""
        changed: list[int] = []
        moved_roots = set()
        young = self._store.leaves.young_tops()
        for (root, top), digest in list(self._tops.items()):
            if root in self._trees:
                now = self._trees[root].top(top).digest()
                if now == digest and (root, top) not in young:
                    continue
                self._set_top(root, top)
            moved_roots.add(root)
            changed += self._refresh_top(root, top)
        for root in moved_roots:
            changed += self._refresh_top(root, _EVERY_TOP)
        return changed + self._refresh_top("", "")

    def refresh_alone(self, files: Sequence[str]) -> list[int] | None:
        """Bring the leaves of some files up to date, and take all else as it was.

        What else has changed is left for the session after this one to find: of that
        neither a leaf nor the digest of a top is touched.

        Args:
            files: each as ``root:folder/file``.

        Returns:
            Those that changed; None if more than the bytes of known files did.
        """
        changed: list[int] = []
        for spelled in files:
            if "/." in spelled or ":." in spelled:
                continue  # hidden: passed over everywhere
            try:
                root, path = split_path(spelled)
            except RebuildError:
                return None
            text = key_text(Key("file", (spelled,)))
            known = self._store.leaves.get(text)
            seen = self._tree(root).alone(path)
            if known is None and seen is None:
                continue
            if known is None or seen is None or known[1] in {ABSENT, _REFUSED}:
                return None
            self._alone[root, path] = seen
            changed += self._refresh_leaf(text, *known)
        return changed

    def _refresh_top(self, root: str, top: str) -> list[int]:
        changed = []
        for ident, text, digest, mark, racy in self._store.leaves.below(root, top):
            changed += self._refresh_leaf(text, ident, digest, mark, racy)
        return changed

    def _refresh_leaf(
        self, text: str, ident: int, digest: bytes, mark: Print, racy: int
    ) -> list[int]:
        """Bring a stored leaf up to date; return it if it changed."""
        changed = []
        now, new_mark, young = self._look(key_of(text), digest, mark, bool(racy))
        if now != digest:
            changed.append(ident)
            fields = self._listing_change(key_of(text), digest, now)
            self._store.leaves.note_change(ident, self._build, fields)
        if (now, new_mark, young) != (digest, mark, bool(racy)):
            self._store.leaves.update(ident, now, new_mark, young)
        return changed

    def _look(
        self, key: Key, digest: bytes, mark: Print, racy: bool
    ) -> tuple[bytes, Print, bool]:
        """Return a leaf's digest, fingerprint and youth as they are now."""
        if key.kind == "setting":
            return self._setting_digest(key.args[0]), mark, False
        root, path = split_path(key.args[0])
        if root not in self._trees:
            return _REFUSED, _NO_PRINT, False
        if key.kind == "listing":
            names, refused = self._names(root, path, key.args[1])
            return _listing_digest(names, refused), mark, False
        seen, new_mark = self._find(root, path)
        if new_mark is None:
            gone = _REFUSED if _refused_in(seen, path) else ABSENT
            return gone, _NO_PRINT, False
        if new_mark != mark or racy:
            try:
                digest = hash_file(self._trees[root].where(path))
            except FileNotFoundError:
                digest = ABSENT
            except OSError:
                # The step that reads it will say so.
                digest = _UNSETTLED
        return digest, new_mark, seen.is_racy(new_mark)

    def _listing_change(self, key: Key, old: bytes, new: bytes) -> str:
        """Return which names came and went, and keep the names for the next time."""
        if key.kind != "listing" or new == _REFUSED:
            return ""
        root, path = split_path(key.args[0])
        now, _ = self._names(root, path, key.args[1])
        self._store.values.keep(new, _names_bytes(now))
        if old == _REFUSED:
            return ""
        before = (
            self._store.values.get(old).decode("utf-8", "surrogatepass").split("\0")
        )
        came = sorted(set(now) - set(before) - {""})
        went = sorted(set(before) - set(now) - {""})
        return stored_differences(
            [Difference(name, new="true") for name in came]
            + [Difference(name, old="true") for name in went]
        )

    # While steps run

    def file(self, spelled: str) -> Reading:
        """Read a file.

        Raises:
            RebuildError: ``unsafe_path`` or ``no_root``.
            MachineFault: if it is there and cannot be read.
        """
        root, path = split_path(spelled)
        tree = self._tree(root)
        text = key_text(Key("file", (spelled,)))
        seen, mark = self._find(root, path)
        if mark is None:
            refused = _refused_in(seen, path)
            digest = _REFUSED if refused else ABSENT
            ident, digest = self._leaf(text, digest, root, top_of(path))
            error = RebuildError("outside_root", path=spelled) if refused else None
            return Reading(ident, digest, refused=error)
        try:
            with open(tree.where(path), "rb") as stream:
                data = stream.read()
        except FileNotFoundError:
            ident, digest = self._leaf(text, ABSENT, root, top_of(path))
            return Reading(ident, digest)
        except OSError as error:
            raise MachineFault.of(error, str(tree.where(path))) from error
        digest = sha256(data).digest()
        young = seen.is_racy(mark)
        ident, digest = self._leaf(text, digest, root, top_of(path), mark, racy=young)
        return Reading(ident, digest, data)

    def listing(self, spelled: str, suffix: str) -> Reading:
        """List a folder.

        Raises:
            RebuildError: ``unsafe_path`` or ``no_root``.
        """
        root, path = split_path(spelled)
        self._tree(root)
        text = key_text(Key("listing", (spelled, suffix)))
        names, refused = self._names(root, path, suffix)
        digest = _listing_digest(names, refused)
        top = path.partition("/")[0] or _EVERY_TOP
        ident, digest = self._leaf(text, digest, root, top)
        if refused:
            error = RebuildError("outside_root", path=f"{root}:{refused}")
            return Reading(ident, digest, refused=error)
        self._store.values.keep(digest, _names_bytes(names))
        return Reading(ident, digest, names)

    def setting(self, name: str) -> Reading:
        """Look up a setting."""
        text = key_text(Key("setting", (name,)))
        ident, digest = self._leaf(text, self._setting_digest(name), "", "")
        if name not in self._settings:
            error = RebuildError("no_setting", name=name)
            return Reading(ident, digest, refused=error)
        return Reading(ident, digest, self._settings[name])

    # Parts

    def _tree(self, root: str) -> Tree:
        if root not in self._trees:
            raise RebuildError("no_root", root=root)
        return self._trees[root]

    def _top(self, root: str, top: str) -> Scan:
        if (root, top) not in self._tops:
            self._set_top(root, top)
        return self._trees[root].top(top)

    def _set_top(self, root: str, top: str) -> None:
        try:
            self._tops[root, top] = self._trees[root].top(top).digest()
        except OSError as error:
            raise MachineFault.of(error) from error
        self._store.leaves.set_top(root, top, self._tops[root, top])

    def _find(self, root: str, path: str) -> tuple[Scan, Print | None]:
        seen = self._alone.get((root, path)) or self._top(root, top_of(path))
        return seen, seen.files.get(path)

    def _names(self, root: str, path: str, suffix: str) -> tuple[list[str], str]:
        """Return the names listed, and a link in the way, or ``""``."""
        tops = [path.partition("/")[0]]
        if not path:
            tops += sorted(self._top(root, "").folders)
        start = path + "/" if path else ""
        names: list[str] = []
        for top in tops:
            seen = self._top(root, top)
            for link in sorted(seen.refused):
                if link.startswith(start) or f"{path}/".startswith(link + "/"):
                    return [], link
            skip = len(start)
            names += [
                name[skip:]
                for name in seen.files
                if name.endswith(suffix) and name.startswith(start)
            ]
        return sorted(names), ""

    def _leaf(
        self,
        text: str,
        digest: bytes,
        root: str,
        top: str,
        mark: Print = _NO_PRINT,
        *,
        racy: bool = False,
    ) -> tuple[int, bytes]:
        """Return a leaf's number and what was read, and see to it that it is stored."""
        known = self._known.get(text)
        if known is None:
            row = self._store.nodes.by_text(text)
            if row is None:
                ident = self._store.leaves.add(text, digest, (root, top), mark, racy)
                known = (ident, digest)
            else:
                known = (row.id, row.digest)
            self._known[text] = known
        if known[1] != digest:
            self._store.leaves.update(known[0], _UNSETTLED, _NO_PRINT, root != "")
        return known[0], digest

    def _setting_digest(self, name: str) -> bytes:
        if name not in self._settings:
            return ABSENT
        return sha256(json_codec.encode(self._settings[name])).digest()


def _refused_in(seen: Scan, path: str) -> bool:
    return any(f"{path}/".startswith(link + "/") for link in seen.refused)


def _names_bytes(names: list[str]) -> bytes:
    return "\0".join(names).encode("utf-8", "surrogatepass")


def _listing_digest(names: list[str], refused: str) -> bytes:
    return _REFUSED if refused else sha256(_names_bytes(names)).digest()
