"""Which file holds which record: from a listing of the archive to ids and paths."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from sitegen.errors import Fault, Place, sort_faults
from sitegen.load.guesses import guess
from sitegen.model import KINDS
from sitegen.model.scalars import ID_PATTERN

Key = tuple[str, str]

SETTINGS_FILE = "archive.yaml"
ADDRESSES_FILE = "records/addresses.yaml"

# First segments of the published site that no prose page can have.
RESERVED_SEGMENTS = frozenset(
    {
        "404",
        "assets",
        "bench",
        "c",
        "changes",
        "compare",
        "data",
        "devices",
        "filters",
        "index",
        "methods",
        "robots",
        "runs",
        "sitemap",
        "tables",
        "videos",
    }
)

_KIND_OF_FOLDER = MappingProxyType({kind.folder: kind.name for kind in KINDS.values()})
_LEFT_BY_DESKTOPS = frozenset({"thumbs.db", "desktop.ini"})
_NOT_ID = re.compile(r"[^a-z0-9]+")


@dataclass(frozen=True, slots=True)
class Located:
    """Where everything stands, as paths below the archive.

    Attributes:
        records: path by kind and id.
        series: path by name of the series.
        texts: path by id of the prose page.
        media: paths of photographs and sound recordings, as listed.
        faults: files that are not where or what they should be.
    """

    records: Mapping[Key, str] = field(default_factory=dict)
    series: Mapping[str, str] = field(default_factory=dict)
    texts: Mapping[str, str] = field(default_factory=dict)
    media: frozenset[str] = frozenset()
    faults: tuple[Fault, ...] = ()


def locate(listing: Sequence[str]) -> Located:
    """Return which file holds which record, series and prose page.

    Args:
        listing: relative paths below the archive, with forward slashes, sorted;
            folders that are none of the archive's are passed over.
    """
    finder = _Finder()
    for path in listing:
        if not _is_ignored(path):
            finder.take(path)
    return Located(
        records=finder.records,
        series={name: path for (_, name), path in finder.series.items()},
        texts={name: path for (_, name), path in finder.texts.items()},
        media=frozenset(finder.media),
        faults=tuple(sort_faults(finder.faults)),
    )


def no_settings() -> Fault:
    """Return the fault of a folder that has no ``archive.yaml``."""
    return Fault("no-settings", Place(SETTINGS_FILE))


def _is_ignored(path: str) -> bool:
    """Return whether a file is an editor's or a desktop's and not the tester's."""
    parts = path.split("/")
    name = parts[-1]
    return (
        any(part.startswith(".") for part in parts)
        or name.endswith("~")
        or (name.startswith("#") and name.endswith("#"))
        or name.lower() in _LEFT_BY_DESKTOPS
    )


class _Finder:
    """Collects files by kind and id."""

    def __init__(self) -> None:
        self.records: dict[Key, str] = {}
        self.series: dict[Key, str] = {}
        self.texts: dict[Key, str] = {}
        self.media: list[str] = []
        self.faults: list[Fault] = []
        self._first: dict[Key, str] = {}

    def take(self, path: str) -> None:
        """Put one file where it belongs."""
        if not _is_text(path):
            self._refuse("name-not-text", _spelled(path))
            return
        top, _, rest = path.partition("/")
        if top == "records" and rest:
            self._record(path, rest)
        elif top == "series" and rest:
            self._file(path, "series", ".csv", self.series)
        elif top == "texts" and rest:
            self._text(path)
        elif top in {"photos", "audio"} and rest:
            self._media(path)
        elif not rest and top != SETTINGS_FILE and _folded(top) in _SETTINGS_LIKE:
            self._refuse("settings-name", path)

    def _record(self, path: str, rest: str) -> None:
        folder, _, inside = rest.partition("/")
        if not inside:
            if path == ADDRESSES_FILE:
                return
            if _folded(rest).startswith("addresses."):
                self._refuse("wrong-suffix", path, suffix=".yaml")
            else:
                self._refuse("stray-file", path, folders=", ".join(_KIND_OF_FOLDER))
            return
        kind = _KIND_OF_FOLDER.get(folder)
        if kind is None:
            meant = guess(folder, _KIND_OF_FOLDER) or {
                "folders": ", ".join(_KIND_OF_FOLDER)
            }
            self._refuse("unknown-folder", path, folder=folder, **meant)
        else:
            self._file(path, kind, ".yaml", self.records)

    def _text(self, path: str) -> None:
        stem = _stem(path, ".md")
        if stem in RESERVED_SEGMENTS:
            self._refuse("reserved-id", path, id=stem)
        else:
            self._file(path, "prose", ".md", self.texts)

    def _media(self, path: str) -> None:
        first = self._first.setdefault(("media", _folded(path)), path)
        if first != path:
            self._refuse("same-name", path, other=first)
        else:
            self.media.append(path)

    def _file(self, path: str, kind: str, suffix: str, into: dict[Key, str]) -> None:
        name = path.rpartition("/")[2]
        if not name.endswith(suffix):
            self._refuse("wrong-suffix", path, suffix=suffix)
            return
        stem = _stem(path, suffix)
        first = self._first.setdefault((kind, _folded(stem)), path)
        if first != path:
            self._refuse("same-id", path, kind=kind, other=first)
        elif not ID_PATTERN.fullmatch(stem):
            better = _NOT_ID.sub("-", _folded(stem)).strip("-")[:64]
            self._refuse(
                "bad-file-name",
                path,
                name=name,
                **({"guess": f"{better}{suffix}"} if better else {}),
            )
        else:
            into[kind, stem] = path

    def _refuse(self, code: str, path: str, **values: str) -> None:
        self.faults.append(Fault(code, Place(path), "", values))


_SETTINGS_LIKE = frozenset({"archive.yaml", "archive.yml", "archive.txt"})


def _is_text(path: str) -> bool:
    """Return whether the bytes of a file's name are UTF-8."""
    try:
        path.encode()
    except UnicodeEncodeError:
        return False
    return True


def _spelled(path: str) -> str:
    """Return a path whose odd bytes are spelled out, so that it can be told."""
    return path.encode("utf-8", "backslashreplace").decode("utf-8")


def _stem(path: str, suffix: str) -> str:
    name = path.rpartition("/")[2]
    return name.removesuffix(suffix)


def _folded(name: str) -> str:
    """Return a name as file systems that ignore case and Unicode form see it."""
    return unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", name).casefold())


def of_kind(keys: Iterable[Key], kind: str) -> tuple[str, ...]:
    """Return the ids of one kind, sorted."""
    return tuple(sorted(id for of, id in keys if of == kind))  # noqa: A001
