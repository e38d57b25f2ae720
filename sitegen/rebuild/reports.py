"""What the engine tells: why a node ran, what failed, what was written."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import Literal

from sitegen.errors import RebuildError, SitegenError
from sitegen.rebuild.keys import Key

CauseKind = Literal[
    "first_build",
    "dep_changed",
    "dep_added",
    "dep_removed",
    "dep_suspect",
    "version_changed",
    "tool_changed",
    "output_missing",
    "output_edited",
    "failed_before",
]


@dataclass(frozen=True, slots=True)
class Cause:
    """Why a node ran.

    Attributes:
        kind: which cause. ``dep_added`` and ``dep_removed`` are a file that appeared
            or went, or a step that is no more; ``dep_suspect`` occurs in a dry build
            only: the dependency would run first, and may come out the same.
        dep: the dependency concerned, if any.
        old: its digest before, or the step's version before.
        new: its digest now, or the step's version now.
        path: the output concerned, if any.
    """

    kind: CauseKind
    dep: Key | None = None
    old: str = ""
    new: str = ""
    path: str = ""

    def to_text(self) -> str:
        """Return the form in which the state keeps it."""
        return json.dumps({k: v for k, v in asdict(self).items() if v})

    @classmethod
    def from_text(cls, text: str) -> Cause:
        """Return the cause that ``to_text`` wrote."""
        data = json.loads(text)
        if "dep" in data:
            kind, args = data["dep"]
            data["dep"] = Key(kind, tuple(args))
        return cls(**data)


class HeldBack(RebuildError):
    """A step cannot run because one that it asked for failed.

    Attributes:
        key: what was asked for.
        by: the node whose failure is the reason.
    """

    def __init__(self, key: Key, by: Key) -> None:
        super().__init__("held_back", key=str(key), by=str(by))
        self.key = key
        self.by = by


@dataclass(frozen=True, slots=True)
class Failure:
    """A node that failed; what it wrote before still stands.

    Attributes:
        key: the node.
        error: what it raised.
    """

    key: Key
    error: SitegenError


@dataclass(frozen=True, slots=True)
class Note:
    """Something that the user may want to know about the state or the output.

    Attributes:
        code: ``state_damaged`` and ``state_version``: the state was thrown away;
            ``unclean_end``: the build before was interrupted; ``output_kept``: a file
            no longer wanted was left, because someone has changed it.
        detail: the path concerned, or what was found.
    """

    code: Literal["state_damaged", "state_version", "unclean_end", "output_kept"]
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a build is.

    Attributes:
        ran: steps run so far.
        settled: targets done so far.
        targets: number of targets; 0 outside ``build``.
        key: the step that ran last.
    """

    ran: int
    settled: int
    targets: int
    key: Key


@dataclass(frozen=True, slots=True)
class BuildReport:
    """What a build did.

    Attributes:
        written: output paths whose bytes changed.
        unchanged: output paths that were made again and came out the same.
        removed: output paths deleted, because nothing claims them any longer.
        ran: the steps run, in the order in which they ended; empty in a dry build.
        reasons: why each of them ran; in a dry build, why each would or may run.
        failures: the nodes that failed.
        held_back: the nodes that could not run, each with the failed node.
        notes: anything else to know.
        outputs: number of files that now stand in the output folder through us.
        seconds: time taken, s.
    """

    written: tuple[str, ...] = ()
    unchanged: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    ran: tuple[Key, ...] = ()
    reasons: Mapping[Key, Cause] = field(default_factory=dict)
    failures: tuple[Failure, ...] = ()
    held_back: Mapping[Key, Key] = field(default_factory=dict)
    notes: tuple[Note, ...] = ()
    outputs: int = 0
    seconds: float = 0.0

    @property
    def ok(self) -> bool:
        """Whether nothing failed."""
        return not self.failures


@dataclass(frozen=True, slots=True)
class Difference:
    """One place at which a value is not as it was.

    Attributes:
        path: the place, ``a.b[3]``; the name of a file in a listing.
        old: what stood there, as short JSON; of a list or an object only how many,
            ``[3]`` or ``{3}``; ``""``: nothing.
        new: what stands there now, likewise.
    """

    path: str
    old: str = ""
    new: str = ""


@dataclass(frozen=True, slots=True)
class Hop:
    """One link of the chain from an output back to a leaf.

    Attributes:
        key: the node.
        build: the number of the build meant; 0 where it is still to come.
        cause: why it ran, or changed, in that build; None for a leaf.
        changes: for values that are not long, what in them changed, at most eight.
    """

    key: Key
    build: int
    cause: Cause | None
    changes: tuple[Difference, ...] = ()


@dataclass(frozen=True, slots=True)
class Part:
    """A dependency of a node.

    Attributes:
        key: the dependency.
        digest: its digest when the node ran, in hexadecimal.
    """

    key: Key
    digest: str
