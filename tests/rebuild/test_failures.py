"""What fails holds back what rests on it, and nothing else."""

from __future__ import annotations

import errno
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any
from unittest.mock import patch

import pytest

from sitegen.errors import MachineFault, RebuildError
from sitegen.rebuild import Key, Progress
from sitegen.rebuild.files import is_leftover, write_atomic

if TYPE_CHECKING:
    from tests.rebuild.conftest import Toy


def test_a_failed_step_holds_back_what_rests_on_it_and_nothing_else(
    toy: Toy, tmp_path: Path
) -> None:
    """Others are built; what could not be made stays; nothing stale is removed."""
    toy.build()
    before = toy.files()
    toy.write("archive/cells/d", "4")
    toy.build()
    toy.write("archive/cells/a", "x")
    toy.write("archive/cells/b", "7")
    toy.write("content/sign", "hers")
    (toy.archive / "cells" / "d").unlink()
    report = toy.build()
    assert [str(failure.key) for failure in report.failures] == ["cell:a"]
    held = {str(key): str(by) for key, by in report.held_back.items()}
    assert held == dict.fromkeys(
        [
            "number:a",
            "number:c",
            "product:a",
            "product:c",
            "total",
            "front",
            "sheet:a",
            "sheet:c",
        ],
        "cell:a",
    )
    assert report.removed == ()
    files = toy.files()
    for path in ("sheets/a/index.txt", "sheets/c/index.txt"):
        assert files[path] == before[path]
    assert files["sheets/d/index.txt"] == b"4 24"
    assert files["sheets/b/index.txt"] == b"7 5040"
    assert files["notes/welcome.txt"] == b"hello hers"
    with toy.engine() as engine:
        assert engine.written_by(Key("sheet", ("a",))) == ("sheets/a/index.txt",)
        assert engine.writes(Key("sheet", ("a",)))
        assert not engine.writes(Key("cell", ("a",)))
    toy.write("archive/cells/a", "3")
    assert toy.build().removed == ("sheets/d/index.txt",)
    assert toy.files() == toy.clean(tmp_path / "clean")


def test_every_failure_is_told_in_one_build(toy: Toy) -> None:
    """Two broken cells are two failures."""
    toy.write("archive/cells/a", "x")
    toy.write("archive/cells/b", "y")
    failed = {str(failure.key) for failure in toy.build().failures}
    assert failed == {"cell:a", "cell:b"}


def test_a_file_that_goes_while_it_is_read_fails_its_step_once(
    toy: Toy, tmp_path: Path
) -> None:
    """Listed and gone before it was read: a failure now, and right the next time."""
    toy.build()
    toy.write("archive/cells/d", "4")

    def vanish(done: Progress) -> None:
        if done.key == Key("names"):
            (toy.archive / "cells" / "d").unlink(missing_ok=True)

    toy.on_progress = vanish
    report = toy.build()
    (failure,) = report.failures
    assert isinstance(failure.error, RebuildError)
    assert failure.error.code == "missing_file"
    toy.on_progress = None
    assert toy.build().ok
    assert toy.files() == toy.clean(tmp_path / "clean")


def test_a_file_that_cannot_be_read_is_named(toy: Toy, tmp_path: Path) -> None:
    """A refusal by the system is the machine's fault, with path and reason."""
    toy.build()
    toy.write("archive/cells/a", "5")
    real = open

    def refuse(path: Any, *rest: Any, **named: Any) -> Any:
        if str(path).endswith("cells/a"):
            raise OSError(errno.EIO, "Input/output error", str(path))
        return real(path, *rest, **named)

    with patch("builtins.open", refuse):
        report = toy.build()
    (failure,) = report.failures
    assert isinstance(failure.error, MachineFault)
    path = toy.archive / "cells" / "a"
    assert str(failure.error).startswith(f"{path}: Input/output error; ")
    assert toy.build().ok
    assert toy.files() == toy.clean(tmp_path / "clean")


class Full:
    """A disk that is full after so many writes; the last one is half done.

    Args:
        after: how many files still fit.
    """

    def __init__(self, after: int) -> None:
        self.left = after

    def write(self, path: str | Path, data: bytes) -> None:
        """Write a file, or fail half-way."""
        self.left -= 1
        if self.left >= 0:
            write_atomic(path, data)
            return
        real = Path.open

        def half(target: Path, *rest: Any, **named: Any) -> Any:
            stream = real(target, *rest, **named)
            whole = stream.write

            def write(part: bytes) -> int:
                whole(part[: len(part) // 2])
                raise OSError(errno.ENOSPC, "No space left on device", str(target))

            return _Wrapped(stream, write)

        with patch.object(Path, "open", half):
            write_atomic(path, data)


class _Wrapped:
    """A stream with another way to write."""

    def __init__(self, stream: Any, write: Callable[[bytes], int]) -> None:
        self.stream = stream
        self.write = write

    def __enter__(self) -> _Wrapped:
        return self

    def __exit__(self, *_: object) -> None:
        self.stream.close()


@pytest.mark.parametrize("fits", range(6))
def test_a_full_disk_leaves_every_file_whole(
    toy: Toy, tmp_path: Path, fits: int
) -> None:
    """However many files still fit, each is old or new, none half, none left over."""
    toy.build()
    before = toy.files()
    toy.write("archive/cells/a", "5")
    toy.write("content/sign", "hers")
    after = toy.clean(tmp_path / "clean")
    with patch("sitegen.rebuild.outputs.write_atomic", Full(fits).write):
        try:
            report = toy.build()
        except MachineFault as error:
            told = str(error)
        else:
            told = str(report.failures[0].error)
            assert all(isinstance(f.error, MachineFault) for f in report.failures)
    assert ": No space left on device; " in told
    now = toy.files()
    assert now.keys() == before.keys()
    for path, data in now.items():
        if path != ".written":
            assert data in (before[path], after[path])
    assert not [path for path in now if is_leftover(path.rpartition("/")[2])]
    assert toy.build().ok
    assert toy.files() == after
