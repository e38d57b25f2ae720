"""What a user of the engine writes: steps, and what a step may ask for."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, Protocol, TypeAlias

from sitegen.errors import RebuildError
from sitegen.rebuild.codecs import Codec
from sitegen.rebuild.keys import LEAF_KINDS

Value: TypeAlias = Any
"""What a step returns; only its codec knows the type."""


class Ask(Protocol):
    """How a step gets at everything outside itself; each answer is recorded.

    Paths are spelled ``root:folder/file``, with the name of one of the engine's
    roots. Values are shared between steps and must not be changed.
    """

    def __call__(self, kind: str, *args: str) -> Value:
        """Return another step's value; of a step that writes, the paths it claims.

        Raises:
            HeldBack: if that step failed or was itself held back.
        """

    def all(self, wanted: Iterable[tuple[str, ...]]) -> list[Value]:
        """Return the values of many ``(kind, *args)``, in the order given.

        All are built, also if some fail; costly ones run side by side.

        Raises:
            HeldBack: for the first one that failed.
        """

    def digest(self, kind: str, *args: str) -> str:
        """Return the digest of another step's value, without loading it."""

    def file(self, path: str) -> bytes:
        """Return a file's bytes.

        Raises:
            RebuildError: ``missing_file``, ``outside_root`` or ``unsafe_path``.
        """

    def file_or_none(self, path: str) -> bytes | None:
        """Return a file's bytes, or None if there is no such file."""

    def listing(self, folder: str, suffix: str) -> tuple[str, ...]:
        """Return the files below a folder whose names end with ``suffix``.

        Paths are relative to the folder and sorted; hidden files are left out; a
        folder that is not there is empty.

        Raises:
            RebuildError: ``outside_root``, if a link to a folder lies below it.
        """

    def setting(self, name: str) -> Value:
        """Return a setting.

        Raises:
            RebuildError: ``no_setting``, if it is not set.
        """


@dataclass(frozen=True, slots=True)
class Output:
    """A file to be written.

    Attributes:
        path: relative to the output folder, with forward slashes.
        data: the whole content.
    """

    path: str
    data: bytes


@dataclass(frozen=True, slots=True)
class Step:
    """One kind of node.

    Attributes:
        kind: the kind's name.
        run: called with ``ask`` and the key's arguments; returns the value. With
            ``work`` it only gathers: it returns the payload, plain picklable data.
        codec: how the value is stored; None for a step that writes.
        version: to be changed with the meaning of the function.
        work: the costly part, a pure module-level function from payload to value;
            it may run in another process.
        writes: the value is a sequence of ``Output``.
    """

    kind: str
    run: Callable[..., Value]
    codec: Codec[Any] | None = None
    version: str = "1"
    work: Callable[[Any], Value] | None = None
    writes: bool = False

    def __post_init__(self) -> None:
        """Refuse what could not be stored."""
        if self.kind in LEAF_KINDS or not self.kind.isprintable() or not self.kind:
            raise RebuildError("bad_kind", kind=self.kind)
        if self.writes == (self.codec is not None):
            raise RebuildError("codec_or_writes", kind=self.kind)
