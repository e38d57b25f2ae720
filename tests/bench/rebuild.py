"""How fast the engine is, as ratios measured in one run; see ``--help``.

``python -m tests.bench.rebuild`` writes archives of the sizes asked for, compiles them
in processes of their own and prints one table of what was reached beside what must be.
Times say nothing without the machine, ratios little without what they were taken
against: ``ninja`` doing nothing over as many files, and ``tests/bench/bare.py``, a
script that makes the same site without the engine.

    --devices 1000 --runs 10      the large archive (usual: 100 and 10)
    --growth 100 1000             devices of two archives with 3 runs each
    --rows nothing edit           only some of the rows
    --keep FOLDER                 use and keep a folder; else a temporary one
    --huge                        lets an archive have more than 2,000 devices
"""

from __future__ import annotations

import argparse
import datetime as dt
import gzip
import re
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from tests.bench.archives import Shape, device_id, run_id, write_archive
from tests.bench.previewed import save_to_reload
from tests.bench.timing import (
    machine,
    median_s,
    ninja_took,
    sitegen,
    sitegen_measured,
    snapshot,
    took,
)

_LARGEST = 2000


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the table.

    Attributes:
        what: what was measured.
        measured: what came out.
        budget: what must come out.
        reached: whether it does; None where there was nothing to compare with.
    """

    what: str
    measured: str
    budget: str
    reached: bool | None


class Bench:
    """The large archive, written and compiled when first needed.

    Args:
        folder: where archives are kept; one already there is used again.
        shape: size of the large archive.
        growth: devices of the two archives that growth is measured on.
    """

    def __init__(self, folder: Path, shape: Shape, growth: tuple[int, int]) -> None:
        self.folder = folder
        self.shape = shape
        self.growth = growth
        self._clean: tuple[float, float] | None = None

    def archive(self, shape: Shape) -> Path:
        """Return the folder of an archive of some shape."""
        name = f"{shape.devices}x{shape.runs}x{shape.points}x{shape.sensors}"
        archive = self.folder / name
        if not archive.is_dir():
            tell(f"writing an archive of {shape.devices} devices")
            write_archive(archive, shape)
        return archive

    @property
    def large(self) -> Path:
        """The large archive."""
        return self.archive(self.shape)

    def compiled(self) -> tuple[float, float]:
        """Compile the large archive cleanly; return seconds and peak memory, MB."""
        if self._clean is None:
            archive = str(self.large)
            tell(f"clean compile of {self.shape.devices} devices")
            clean = took(sitegen_measured("compile", archive, "--clean", "-q"))
            self._clean = (clean.seconds, clean.peak_mb)
            # What is younger than 2 s is read again; nobody measures that.
            time.sleep(2.5)
            took(sitegen("compile", archive, "-q"))
        return self._clean


def tell(text: str) -> None:
    """Say what is being done."""
    sys.stderr.write(f"... {text}\n")


def nothing(bench: Bench) -> Iterator[Line]:
    """Nothing to do, against ninja with nothing to do."""
    bench.compiled()
    command = sitegen("compile", str(bench.large), "-q")
    inputs = sum(
        path.is_file()
        and "published" not in path.parts
        and ".sitegen" not in path.parts
        for path in bench.large.rglob("*")
    )
    outputs = sum(path.is_file() for path in (bench.large / "published").rglob("*"))
    tell(f"nothing to do: {inputs} files read, {outputs} written")
    with tempfile.TemporaryDirectory(dir=bench.folder) as aside:
        ninja = ninja_took(Path(aside) / "ninja", inputs, outputs)
        if ninja is None:
            (own,) = median_s(9, lambda: took(command).seconds)
            yield Line("nothing to do", f"{_ms(own)}; no ninja here", "3 x ninja", None)
            return
        own, other = median_s(9, lambda: took(command).seconds, ninja)
    yield Line(
        f"nothing to do, {inputs} files in, {outputs} out",
        f"{own / other:.1f} x ninja ({_ms(own)}, {_ms(other)})",
        "3 x, aim 2 x",
        own / other <= 3,
    )


def edit(bench: Bench) -> Iterator[Line]:
    """One run's series edited, in a process of its own."""
    clean_s, _ = bench.compiled()
    out = bench.large / "published"
    times, counts = [], []
    for at in range(3):
        before = snapshot(out)
        tell("one run edited")
        edit_series(bench, at)
        times.append(took(sitegen("compile", str(bench.large), "-q")).seconds)
        after = snapshot(out)
        written = [p for p in after if after[p][0] != before.get(p, (0, ""))[0]]
        changed = [p for p in after if after[p][1] != before.get(p, (0, ""))[1]]
        own_list = written.count(".written")
        counts.append((len(written) - own_list, len(changed) - own_list))
    own = statistics.median(times)
    yield Line(
        "one run edited, a fresh process",
        f"1/{clean_s / own:.0f} of the clean compile ({own:.2f} s of {clean_s:.0f} s)",
        "1/40",
        own / clean_s <= 1 / 40,
    )
    most = max(written - changed for written, changed in counts)
    told = ", ".join(f"{written} for {changed}" for written, changed in counts)
    yield Line("files written for files changed", told, "only those changed", most == 0)


def edit_series(bench: Bench, at: int) -> None:
    """Change one reading within the fit of a run in the middle of the archive."""
    device = bench.shape.devices // 2 + at % 3
    path = bench.large / "series" / f"{run_id(device, 0)}.csv"
    lines = path.read_text(encoding="utf-8").split("\n")
    middle = len(lines) * 3 // 4
    cells = lines[middle].split(",")
    cells[1] = str(int(cells[1]) + 1)
    lines[middle] = ",".join(cells)
    path.write_text("\n".join(lines), encoding="utf-8")


def preview(bench: Bench) -> Iterator[Line]:
    """One run's series edited in a preview that runs, until the browser is told."""
    bench.compiled()
    tell("preview: one run edited")
    device = bench.shape.devices // 2
    pages = {
        "the run's page open": f"/runs/{run_id(device, 0)}/",
        "its device's page open": f"/devices/{device_id(device)}/",
    }
    found = save_to_reload(
        bench.large, list(pages.values()), lambda: edit_series(bench, 0), times=5
    )
    for what, heard in zip(pages, found, strict=True):
        ready = statistics.median(one.ready_s for one in heard)
        done = statistics.median(one.done_s for one in heard)
        yield Line(
            f"preview, from save to reload, {what}",
            f"{_ms(ready)} (all compiled after {_ms(done)})",
            "300 ms, aim 150 ms",
            ready <= 0.3,
        )


def against_bare(bench: Bench) -> Iterator[Line]:
    """A clean compile against the bare script, one process each."""
    shape = Shape(min(bench.shape.devices, 40), bench.shape.runs)
    archive = bench.archive(shape)
    tell(f"clean compile against the bare script, {shape.devices} devices")
    with tempfile.TemporaryDirectory(dir=bench.folder) as aside:
        out, bare = str(Path(aside) / "own"), str(Path(aside) / "bare")
        own_command = sitegen(
            "compile", str(archive), "--clean", "-q", "--workers", "1", "--out", out
        )
        bare_command = [sys.executable, "-m", "tests.bench.bare", str(archive), bare]
        own, other = median_s(
            3, lambda: took(own_command).cpu_s, lambda: took(bare_command).cpu_s
        )
        same = _digests(Path(out)) == _digests(Path(bare))
    equal = "same bytes" if same else "NOT the same bytes"
    yield Line(
        f"clean compile, processor time, {shape.devices} devices, one process",
        f"{own / other:.2f} x the bare script ({own:.1f} s, {other:.1f} s; {equal})",
        "1.5 x",
        same and own / other <= 1.5,
    )


def _digests(folder: Path) -> dict[str, str]:
    found = {path: digest for path, (_, digest) in snapshot(folder).items()}
    found.pop(".written", None)
    return found


def growth(bench: Bench) -> Iterator[Line]:
    """Time for each device, and memory, of a small and a large archive."""
    each = []
    for devices in bench.growth:
        archive = bench.archive(Shape(devices, 3))
        tell(f"growth: clean compile of {devices} devices, one process")
        with tempfile.TemporaryDirectory(dir=bench.folder) as aside:
            command = sitegen_measured(
                "compile", str(archive), "--clean", "-q", "--workers", "1",
                "--out", aside,
            )  # fmt: skip
            each.append(took(command))
    few, many = bench.growth
    small, large = each[0].cpu_s / few, each[1].cpu_s / many
    yield Line(
        f"processor time a device, {few} to {many} devices, 3 runs each",
        f"{large / small:.2f} x ({_ms(small)} to {_ms(large)})",
        "1.15 x",
        large / small <= 1.15,
    )
    yield Line(
        "peak memory at either size, one process",
        f"{each[0].peak_mb:.0f} to {each[1].peak_mb:.0f} MB",
        "none",
        None,
    )


def memory(bench: Bench) -> Iterator[Line]:
    """The main process's memory in the clean compile of the large archive."""
    seconds, peak = bench.compiled()
    yield Line(
        f"clean compile, {bench.shape.devices} devices, {bench.shape.runs} runs each",
        f"{seconds:.0f} s, {peak:.0f} MB in the main process",
        "600 MB",
        peak <= 600,
    )


def page(bench: Bench) -> Iterator[Line]:
    """What a reader loads for a device page before scripts."""
    bench.compiled()
    out = bench.large / "published"
    (sheet,) = (out / "assets").glob("site.*.css")
    style = len(gzip.compress(sheet.read_bytes()))
    pages = sorted((out / "devices").glob("*/index.html"))
    sizes = [len(gzip.compress(path.read_bytes())) + style for path in pages]
    text = pages[sizes.index(max(sizes))].read_text(encoding="utf-8")
    blocking = [
        tag
        for tag in re.findall(r"<script[^>]*\bsrc=[^>]*>", text)
        if "defer" not in tag and "async" not in tag
    ]
    yield Line(
        "a device page before scripts, compressed",
        f"{max(sizes) / 1000:.1f} kB at most, {len(blocking)} scripts that block",
        "60 kB, none",
        max(sizes) <= 60_000 and not blocking,
    )


ROWS: dict[str, Callable[[Bench], Iterator[Line]]] = {
    "bare": against_bare,
    "growth": growth,
    "memory": memory,
    "nothing": nothing,
    "edit": edit,
    "preview": preview,
    "page": page,
}


def _ms(seconds: float) -> str:
    return f"{1000 * seconds:.0f} ms"


def table(lines: list[Line]) -> str:
    """Return the lines as a table of plain text."""
    said = {True: "yes", False: "NO", None: "-"}
    rows = [("what", "measured", "must reach", "reached")]
    rows += [(one.what, one.measured, one.budget, said[one.reached]) for one in lines]
    wide = [max(len(row[at]) for row in rows) for at in range(4)]
    return "\n".join(
        "  ".join(cell.ljust(wide[at]) for at, cell in enumerate(row)).rstrip()
        for row in rows
    )


def main() -> None:
    """Measure, and print the table."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--devices", type=int, default=100)
    parser.add_argument("--runs", type=int, default=10)
    parser.add_argument("--growth", type=int, nargs=2, default=(100, 300))
    parser.add_argument("--rows", nargs="*", choices=list(ROWS), default=list(ROWS))
    parser.add_argument("--keep", type=Path)
    parser.add_argument("--huge", action="store_true")
    asked = parser.parse_args()
    if max(asked.devices, *asked.growth) > _LARGEST and not asked.huge:
        parser.error(f"more than {_LARGEST} devices need --huge")
    with tempfile.TemporaryDirectory() as aside:
        folder = (asked.keep or Path(aside)).resolve()
        bench = Bench(folder, Shape(asked.devices, asked.runs), tuple(asked.growth))
        lines = []
        for line in (line for name in asked.rows for line in ROWS[name](bench)):
            tell(f"{line.what}: {line.measured}")
            lines.append(line)
    today = dt.datetime.now(dt.UTC).date()
    sys.stdout.write(f"{today}; {machine()}\n{table(lines)}\n")


if __name__ == "__main__":
    main()
