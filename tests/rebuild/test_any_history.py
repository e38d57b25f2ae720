"""Any history of edits, kills and losses ends as a build from nothing would."""

from __future__ import annotations

import contextlib
import math
import shutil
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any
from unittest.mock import patch

from hypothesis import given, settings
from hypothesis import strategies as st

from sitegen.errors import MachineFault
from sitegen.rebuild import Key
from sitegen.rebuild.files import write_atomic

if TYPE_CHECKING:
    from tests.rebuild.conftest import Toy

CELLS = "abcd"
TEXTS = ("welcome", "sign", "terms")
SPOILT = b"spoilt"

_line = st.one_of(
    st.integers(-3, 9).map(str),
    st.just("# so\n4"),
    st.just("x"),
)
_words = st.lists(st.sampled_from(["one", "two", "@sign", "@terms"]), max_size=3)


def _formula(name: str) -> st.SearchStrategy[str]:
    # Mostly without rings; a renamed cell may make one all the same.
    earlier = CELLS[: CELLS.index(name)] or CELLS[-1]
    return st.lists(st.sampled_from(earlier), min_size=1, max_size=3).map(
        lambda cells: "=" + "+".join(cells)
    )


def _texts(name: str) -> st.SearchStrategy[str]:
    # ``sign`` may include ``terms``, which includes nothing.
    allowed = {"welcome": {"@sign", "@terms"}, "sign": {"@terms"}, "terms": set[str]()}
    return _words.map(
        lambda words: " ".join(w for w in words if w[0] != "@" or w in allowed[name])
    )


_edits = st.one_of(
    st.sampled_from(CELLS).flatmap(
        lambda n: st.tuples(
            st.just(f"archive/cells/{n}"),
            _line if n == "a" else st.one_of(_line, _formula(n)),
        )
    ),
    st.sampled_from(TEXTS).flatmap(
        lambda n: st.tuples(
            st.sampled_from([f"content/{n}", f"archive/own/{n}"]), _texts(n)
        )
    ),
)
_paths = st.sampled_from(
    [f"archive/cells/{n}" for n in CELLS]
    + [f"content/{n}" for n in TEXTS]
    + [f"archive/own/{n}" for n in TEXTS]
)
_outputs = st.sampled_from(
    [f"sheets/{n}/index.txt" for n in CELLS]
    + [f"notes/{n}.txt" for n in TEXTS]
    + ["index.txt", "data/names.txt"]
)
_places = st.sampled_from(["node", "before write", "after write"])
_kills = st.tuples(_places, st.integers(0, 6))
_acts = st.one_of(
    st.tuples(st.just("edit"), _edits),
    st.tuples(st.just("edit"), _edits),
    st.tuples(st.just("delete"), _paths),
    st.tuples(st.just("rename"), st.tuples(_paths, _paths)),
    st.tuples(st.just("title"), st.sampled_from(["Sums", "Totals"])),
    st.tuples(st.just("tool"), st.sampled_from(["tool 1", "tool 2"])),
    st.tuples(st.just("spoil"), _outputs),
    st.tuples(st.just("lose"), _outputs),
    st.tuples(st.just("lose state"), st.none()),
    st.tuples(st.just("part"), st.sampled_from(["note:sign", "sheet:a", "front"])),
    st.tuples(st.just("foresee"), st.just([Key("front"), Key("sheet", ("a",))])),
    st.tuples(st.just("build"), st.none()),
    st.tuples(st.just("hurried edit"), st.tuples(_edits, _outputs)),
    st.tuples(
        st.just("hurry"),
        st.tuples(st.lists(_paths, max_size=3), st.lists(_outputs, max_size=2)),
    ),
    st.tuples(st.just("kill"), _kills),
    st.tuples(
        st.just("killed hurry"),
        st.tuples(_edits, _outputs, st.tuples(_places, st.integers(0, 2))),
    ),
)


class KilledError(BaseException):
    """Stands in for a kill: nothing of ours catches it."""


def _killed_build(toy: Toy, where: str, after: int) -> None:
    _killed(toy, where, after, toy.build)


def _killed_hurry(toy: Toy, what: tuple[tuple[str, str], str, tuple[str, int]]) -> None:
    (path, data), output, (where, after) = what
    toy.build()
    toy.write(path, data)
    _killed(toy, where, after, lambda: toy.hurry([path], [output]))


def _killed(toy: Toy, where: str, after: int, act: Callable[[], object]) -> None:
    left = after

    def count(*_: object) -> None:
        nonlocal left
        left -= 1
        if left < 0:
            raise KilledError

    def write(path: str, data: bytes) -> None:
        if where == "before write":
            count()
        write_atomic(path, data)
        if where == "after write":
            count()

    toy.on_progress = count if where == "node" else None
    with (
        patch("sitegen.rebuild.outputs.write_atomic", write),
        contextlib.suppress(KilledError),
    ):
        act()
    toy.on_progress = None


def _delete(toy: Toy, path: str) -> None:
    (toy.archive.parent / path).unlink(missing_ok=True)


def _rename(toy: Toy, paths: tuple[str, str]) -> None:
    old, new = (toy.archive.parent / path for path in paths)
    if old.exists():
        new.parent.mkdir(parents=True, exist_ok=True)
        old.replace(new)


def _hurried_edit(toy: Toy, what: tuple[tuple[str, str], str]) -> None:
    # Mostly nothing else has changed before, as it is when someone saves.
    toy.build()
    (path, data), output = what
    toy.write(path, data)
    toy.hurry([path], [output])


def _spoil(toy: Toy, path: str) -> None:
    if (toy.out / path).exists():
        (toy.out / path).write_bytes(SPOILT)


ACTS: Mapping[str, Callable[[Toy, Any], object]] = {
    "edit": lambda toy, what: toy.write(*what),
    "delete": _delete,
    "rename": _rename,
    "title": lambda toy, title: toy.settings.update(title=title),
    "tool": lambda toy, tool: setattr(toy, "tool", tool),
    "spoil": _spoil,
    "lose": lambda toy, path: (toy.out / path).unlink(missing_ok=True),
    "lose state": lambda toy, _: shutil.rmtree(toy.state, ignore_errors=True),
    "part": lambda toy, target: toy.build(target),
    "foresee": lambda toy, keys: toy.engine().build(keys, dry=True),
    "hurried edit": _hurried_edit,
    "hurry": lambda toy, what: toy.hurry(*what),
    "kill": lambda toy, how: _killed_build(toy, *how),
    "killed hurry": _killed_hurry,
    "build": lambda toy, _: _build_and_compare(toy),
}


def _build_and_compare(toy: Toy) -> None:
    report = toy.build()
    if any(isinstance(failure.error, MachineFault) for failure in report.failures):
        # A spoilt file that nothing claimed was left to the user, who removes it now.
        for path in toy.out.rglob("*.txt"):
            if path.read_bytes() == SPOILT:
                path.unlink()
        report = toy.build()
    wanted = _worked_out(toy)
    assert report.ok == (wanted is not None)
    if wanted is not None:
        files = toy.files()
        listed = files.pop(".written", b"").decode().splitlines()
        assert {
            path: data
            for path, data in files.items()
            if data != SPOILT or path in wanted
        } == wanted
        assert {line.partition("  ")[2] for line in listed} == set(wanted)
        assert toy.build().ran == ()


def _worked_out(toy: Toy) -> dict[str, bytes] | None:
    """Work the toy site out without the engine; None if it has a fault."""

    def number(name: str) -> int:
        lines = (toy.archive / "cells" / name).read_text().split("\n")
        (line,) = [line for line in lines if line and line[0] != "#"]
        if line[0] == "=":
            return sum(number(other) for other in line[1:].split("+"))
        return int(line)

    def text(name: str) -> str:
        own = toy.archive / "own" / name
        words = (own if own.exists() else toy.content / name).read_text().split()
        return " ".join(text(w[1:]) if w[0] == "@" else w for w in words)

    try:
        cells = {p.name: number(p.name) for p in (toy.archive / "cells").glob("*")}
        notes = {p.name: text(p.name) for p in toy.content.glob("*")}
    except (OSError, ValueError, RecursionError):
        # Missing, no number, or a ring.
        return None
    title = f"{toy.settings['title']} {sum(cells.values())}"
    return {
        "index.txt": title.encode(),
        "data/names.txt": "\n".join(sorted(cells)).encode(),
        **{
            f"sheets/{name}/index.txt": (
                f"{value} {math.factorial(min(abs(value), 12))}".encode()
            )
            for name, value in cells.items()
        },
        **{f"notes/{name}.txt": words.encode() for name, words in notes.items()},
    }


@settings(max_examples=40, deadline=None, print_blob=True)
@given(st.lists(_acts, min_size=1, max_size=9), st.sampled_from([1, 32]))
def test_incremental_is_clean(
    toy_in: Callable[[Path], Toy], acts: list[tuple[str, Any]], many: int
) -> None:
    """After any history a build gives, byte for byte, what one from nothing gives.

    Whether few are many, and so looked at all at once, makes no difference.
    """
    with (
        tempfile.TemporaryDirectory() as folder,
        patch("sitegen.rebuild.node_table.MANY", many),
        patch("sitegen.rebuild.scheduler.MANY", many),
    ):
        toy = toy_in(Path(folder) / "toy")
        _build_and_compare(toy)
        for name, what in acts:
            ACTS[name](toy, what)
        _build_and_compare(toy)
        if _worked_out(toy) is not None:
            files = {p: d for p, d in toy.files().items() if d != SPOILT}
            assert files == toy.clean(Path(folder) / "clean")
