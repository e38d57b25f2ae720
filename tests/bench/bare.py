"""A bare script that makes the same site without the engine, to compare with.

``python -m tests.bench.bare ARCHIVE OUT`` reads the same files, fits, draws, renders
and writes the same bytes in one process. It calls the functions behind the steps and
remembers what they return in a dictionary; there are no traces, digests, codecs,
state or locks, and no second compile can profit from the first.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from sitegen.archive_build.folders import engine_roots, engine_settings
from sitegen.archive_build.table import all_steps
from sitegen.errors import RebuildError, SitegenError
from sitegen.rebuild import Output


class Bare:
    """Answers what steps ask for, from files and from memory.

    Args:
        archive: the archive's folder.
        out: where to write.
    """

    def __init__(self, archive: Path, out: Path) -> None:
        self._steps = {step.kind: step for step in all_steps()}
        self._roots = {name: str(path) for name, path in engine_roots(archive).items()}
        self._settings = engine_settings(show_held=False)
        self._out = str(out)
        self._known: dict[tuple[str, ...], Any] = {}

    def __call__(self, kind: str, *args: str) -> Any:
        """Return a step's value."""
        key = (kind, *args)
        if key in self._known:
            return self._known[key]
        step = self._steps[kind]
        value = step.run(self, *args)
        if step.work is not None:
            value = step.work(value)
        if step.writes:
            value = self._write(value)
        self._known[key] = value
        return value

    def all(self, wanted: Iterable[tuple[str, ...]]) -> list[Any]:
        """Return many values."""
        return [self(*key) for key in wanted]

    def digest(self, kind: str, *args: str) -> str:
        """Refuse: nothing has a digest here."""
        raise NotImplementedError(kind, args)

    def file(self, path: str) -> bytes:
        """Return a file's bytes."""
        data = self.file_or_none(path)
        if data is None:
            raise RebuildError("missing_file", path=path)
        return data

    def file_or_none(self, path: str) -> bytes | None:
        """Return a file's bytes or None."""
        try:
            with open(self._where(path), "rb") as stream:  # noqa: PTH123 - as fast as can be
                return stream.read()
        except FileNotFoundError:
            return None

    def listing(self, folder: str, suffix: str) -> tuple[str, ...]:
        """Return the names of files."""
        start = self._where(folder)
        found = []
        for place, folders, names in os.walk(start):
            folders[:] = [name for name in folders if name[0] != "."]
            below = place[len(start) + 1 :]
            found += [
                f"{below}/{name}" if below else name
                for name in names
                if name[0] != "." and name.endswith(suffix)
            ]
        return tuple(sorted(found))

    def setting(self, name: str) -> Any:
        """Return a setting."""
        return self._settings[name]

    def _where(self, path: str) -> str:
        root, _, below = path.partition(":")
        return f"{self._roots[root]}/{below}"

    def _write(self, outputs: Iterable[Output]) -> tuple[str, ...]:
        paths = []
        for output in outputs:
            where = f"{self._out}/{output.path}"
            os.makedirs(os.path.dirname(where), exist_ok=True)  # noqa: PTH103, PTH120
            with open(where, "wb") as stream:  # noqa: PTH123 - as fast as can be
                stream.write(output.data)
            paths.append(output.path)
        return tuple(paths)


def write_site(archive: Path, out: Path) -> int:
    """Write an archive's site; return the number of files.

    Raises:
        SitegenError: if the archive has faults.
    """
    ask = Bare(archive, out)
    faults = ask("faults")
    if faults:
        raise SitegenError(f"{len(faults)} faults or warnings")
    number = 0
    for kind, *args in ask("targets"):
        value = ask(kind, *args)
        if ask._steps[kind].writes:  # noqa: SLF001 - the class above
            number += len(value)
    return number


def main() -> None:
    """Write the site of the archive that the arguments name."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("archive", type=Path)
    parser.add_argument("out", type=Path)
    options = parser.parse_args()
    number = write_site(options.archive, options.out)
    sys.stdout.write(f"{number} files\n")


if __name__ == "__main__":
    main()
