"""A toy site: cells with sums, texts that include others, pages of both."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from concurrent.futures import Executor
from pathlib import Path
from typing import Any

import pytest

from sitegen.errors import MeasureError
from sitegen.rebuild import (
    Ask,
    BuildReport,
    Engine,
    First,
    Key,
    Output,
    Progress,
    Step,
    json_codec,
    text_codec,
)


def cell(ask: Ask, name: str) -> dict[str, Any]:
    """Parse a cell: ``5`` or ``=a+b``; lines that begin with # are remarks."""
    lines = ask.file(f"archive:cells/{name}").decode().split("\n")
    told = [line for line in lines if line and not line.startswith("#")]
    line = told[0] if len(told) == 1 else ""
    if line.startswith("="):
        return {"adds": line[1:].split("+")}
    if not line.lstrip("-").isdigit():
        raise MeasureError("not_a_number", cell=name)
    return {"number": int(line)}


def number(ask: Ask, name: str) -> int:
    """Work a cell out."""
    parsed = ask("cell", name)
    if "number" in parsed:
        return int(parsed["number"])
    return sum(ask.all([("number", other) for other in parsed["adds"]]))


def names(ask: Ask) -> list[str]:
    """List the cells."""
    return list(ask.listing("archive:cells", ""))


def total(ask: Ask) -> int:
    """Add all cells up."""
    return sum(ask.all([("number", name) for name in ask("names")]))


def gather_product(ask: Ask, name: str) -> int:
    """Gather what the costly step needs."""
    return min(abs(int(ask("number", name))), 12)


def text(ask: Ask, name: str) -> str:
    """Take the archive's own text, else the shipped one; put in what it includes."""
    data = ask.file_or_none(f"archive:own/{name}")
    if data is None:
        data = ask.file(f"content:{name}")
    words = data.decode().split()
    return " ".join(ask("text", w[1:]) if w[0] == "@" else w for w in words)


def sheet(ask: Ask, name: str) -> list[Output]:
    """Make a cell's page."""
    product, value = ask("product", name), ask("number", name)
    return [Output(f"sheets/{name}/index.txt", f"{value} {product}".encode())]


def note(ask: Ask, name: str) -> list[Output]:
    """Make a text's page."""
    return [Output(f"notes/{name}.txt", ask("text", name).encode())]


def front(ask: Ask) -> list[Output]:
    """Make the first page, and a list beside it."""
    listed = "\n".join(ask("names"))
    return [
        Output("index.txt", f"{ask.setting('title')} {ask('total')}".encode()),
        Output("data/names.txt", listed.encode()),
    ]


def site(ask: Ask) -> list[list[str]]:
    """Say what is wanted."""
    sheets = [["sheet", name] for name in ask("names")]
    notes = [["note", name] for name in ask.listing("content:", "")]
    return [["front"], *sheets, *notes]


STEPS = (
    Step("cell", cell, json_codec),
    Step("number", number, json_codec),
    Step("names", names, json_codec),
    Step("total", total, json_codec),
    Step("product", gather_product, json_codec, work=math.factorial),
    Step("text", text, text_codec),
    Step("sheet", sheet, writes=True),
    Step("note", note, writes=True),
    Step("front", front, writes=True),
    Step("site", site, json_codec),
)


class Toy:
    """A toy archive in a folder of its own, and its engine."""

    def __init__(self, folder: Path, steps: Iterable[Step] = STEPS) -> None:
        self.archive = folder / "archive"
        self.content = folder / "content"
        self.out = folder / "out"
        self.state = folder / "state"
        self.steps = {step.kind: step for step in steps}
        self.settings: dict[str, Any] = {"title": "Sums"}
        self.tool = "tool 1"
        self.executor: Executor | None = None
        self.on_progress: Callable[[Progress], None] | None = None
        for start in (self.archive, self.content):
            start.mkdir(parents=True, exist_ok=True)

    def write(self, path: str, data: str) -> None:
        """Write an input, ``archive/…`` or ``content/…``."""
        target = self.archive.parent / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(data, encoding="utf-8")

    def fill(self) -> Toy:
        """Write the standard inputs."""
        self.write("archive/cells/a", "1")
        self.write("archive/cells/b", "2")
        self.write("archive/cells/c", "=a+b")
        self.write("content/welcome", "hello @sign")
        self.write("content/sign", "yours")
        return self

    @property
    def roots(self) -> dict[str, Path]:
        """The roots."""
        return {"archive": self.archive, "content": self.content}

    def engine(self, **changed: Any) -> Engine:
        """Make an engine."""
        settled: dict[str, Any] = {
            "state": self.state,
            "out": self.out,
            "tool_digest": self.tool,
            "executor": self.executor,
            "on_progress": self.on_progress,
        }
        steps = self.steps.values()
        return Engine(steps, self.roots, self.settings, **(settled | changed))

    def build(self, *targets: str) -> BuildReport:
        """Build what is named, ``kind:arg``; without names, the whole site."""
        with self.engine() as engine:
            if targets:
                return engine.build([keyed(target) for target in targets])
            wanted = engine.value(Key("site"))
            return engine.build([Key(kind, tuple(rest)) for kind, *rest in wanted])

    def hurry(self, changed: Iterable[str], wanted: Iterable[str]) -> bool | None:
        """Make what is wanted, by the files that are said to have changed.

        Args:
            changed: inputs, ``archive/…`` or ``content/…``.
            wanted: outputs.

        Returns:
            Whether it was said to be ready; None if it was not possible at all.
        """
        told: list[bool] = []
        engine = self.engine()
        with engine.hurry([path.replace("/", ":", 1) for path in changed]) as possible:
            if not possible:
                return None
            engine.hasten(First(tuple(wanted), lambda: told.append(True)))
        return bool(told)

    def files(self) -> dict[str, bytes]:
        """Return all that stands in the output folder."""
        found = (path for path in self.out.rglob("*") if path.is_file())
        return {
            path.relative_to(self.out).as_posix(): path.read_bytes() for path in found
        }

    def clean(self, folder: Path) -> dict[str, bytes]:
        """Build the same inputs from nothing in another folder; return the files."""
        other = Toy(folder, self.steps.values())
        other.archive, other.content = self.archive, self.content
        other.settings, other.tool = self.settings, self.tool
        other.build()
        return other.files()


def keyed(spelled: str) -> Key:
    """Return the key that ``kind:arg`` spells."""
    kind, _, rest = spelled.partition(":")
    return Key(kind, tuple(rest.split("/")) if rest else ())


@pytest.fixture
def toy(tmp_path: Path) -> Toy:
    """A filled toy, not yet built."""
    return Toy(tmp_path / "toy").fill()


@pytest.fixture
def make_toy(tmp_path: Path) -> Callable[..., Toy]:
    """Make an empty toy of one's own steps."""

    def make(*steps: Step) -> Toy:
        return Toy(tmp_path / "made", steps)

    return make


@pytest.fixture(scope="session")
def toy_in() -> Callable[[Path], Toy]:
    """Make a filled toy in a folder of one's own."""
    return lambda folder: Toy(folder).fill()
