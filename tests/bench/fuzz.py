"""Made-up input for everything that reads bytes from outside.

``python -m tests.bench.fuzz --inputs 100000`` feeds that many inputs to the loaders of
records, settings, addresses, prose and series and to the reader of query strings, and
prints a table. An input counts as wrong when it raises anything, when it takes over
two seconds of the processor, or when what comes back breaks what is promised of it.
``--seed`` makes another draw. The suite runs a small one (``tests/load/test_fuzz.py``).

Half of the inputs are sound files with a few edits (a value made nasty, a line doubled
or dropped, bytes turned), the other half is made of nothing.
"""

from __future__ import annotations

import argparse
import itertools
import math
import resource
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import hypothesis
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy

from sitegen.errors import CODES, Fault, fault_line, is_fault
from sitegen.load import (
    Loaded,
    load_addresses,
    load_archive_settings,
    load_record,
    read_series,
)
from sitegen.model import KINDS, adapter
from sitegen.pages.markdown import parse_prose
from sitegen.pages.query import parse_query
from sitegen.pages.query_text import write_query

ROOT = Path(__file__).resolve().parents[2]
SLOWEST_S = 2.0
MOST_MB = 500
# Hypothesis remembers what it tried; a new batch begins with an empty memory.
BATCH = 2_000

# What readers of text stumble over.
_WORDS = """
~ null yes no on off 0 -0 1e999 -1e999 1e-999 .inf nan 0x10 1_000 00 +1 1. .5 -
2026-02-30 0000-01-01 9999-12-31 10000-01-01 0001-01-01T00:00:00+14:00
9999-12-31T23:59:59-12:00 2026-01-05T24:00:00Z 2026-01-05T00:00 12:60 999:00:00
{a: {a: {a: 1}}} [[[[]]]] [] {} &a *a !!python/name:os <<: --- ... %YAML ? : - # |
> >- '' "" ' " \\ ../x //x javascript:x data:, https://[ https://x mailto:
<script> </script> ]]> {{x}} =1+1 @x constructor __proto__ device:x a.b.c a.none.b
elapsed_s elapsed_min time counter.pm2_5 pm2_5 decay sound power ranked scatter is
one_of at_most at_least none kit in-duct held kind id value uncertainty
"""
NASTY = (
    *_WORDS.split(),
    "",
    " ",
    "\t",
    "\n",
    "\r\n",
    "\r",
    "\0",
    "\x1b[31m",
    "\x85",
    "\ufeff",
    "\u202e",
    "\u200b",
    "\u2028",
    "\ufffe",
    "\U0001f4a8",
    "e\u0301",
    "١٢",
    "9" * 400,
    "9" * 5000,
    "-" * 300,
    "[" * 300,
    "{a: " * 60,
    "a, " * 300,
    "*" * 300,
    "`" * 300,
    "é" * 70_000,
)


def _corpus(*folders: str, ending: str) -> list[str]:
    found = []
    for folder in folders:
        for path in sorted((ROOT / folder).rglob(f"*{ending}")):
            text = path.read_bytes().decode("utf-8", "surrogateescape")
            if len(text) < 6_000:
                found.append(text)
    return found


def _value(lines: list[str], at: int, word: str) -> None:
    head, colon, _ = lines[at].partition(": ")
    lines[at] = f"{head}{colon}{word}"


def _cell(lines: list[str], at: int, word: str) -> None:
    cells = lines[at].split(",")
    cells[len(word) % len(cells)] = word
    lines[at] = ",".join(cells)


def _double(lines: list[str], at: int, _: str) -> None:
    lines.insert(at, lines[at])


def _indent(lines: list[str], at: int, _: str) -> None:
    lines[at] = f"  {lines[at]}"


def _turn(lines: list[str], at: int, _: str) -> None:
    lines[at] = lines[at][::-1]


def _drop(lines: list[str], at: int, _: str) -> None:
    del lines[at]


def _into(lines: list[str], at: int, word: str) -> None:
    place = len(word) % (len(lines[at]) + 1)
    lines[at] = lines[at][:place] + word + lines[at][place:]


def _cut(lines: list[str], at: int, word: str) -> None:
    lines[at:] = [lines[at][: len(word)]]


Edit = Callable[[list[str], int, str], None]
_EDITS: tuple[Edit, ...] = (
    _value,
    _cell,
    _double,
    _indent,
    _turn,
    _drop,
    _into,
    _cut,
)


def _edited(text: str, edits: Sequence[tuple[Edit, float, str]]) -> bytes:
    """Return a text with edits: what is done, at which share of it, and with what."""
    lines = text.split("\n")
    for edit, share, word in edits:
        if lines:
            edit(lines, int(share * len(lines)), word)
    return "\n".join(lines).encode("utf-8", "surrogateescape")


_PRINTED = "".join(map(chr, range(32, 127))) + "\n\t:,-#[]{}&*!|>'\"%@`é\u202e\0"


def _words() -> SearchStrategy[str]:
    return st.one_of(
        st.sampled_from(NASTY), st.text(max_size=20), st.floats().map(repr)
    )


def _bytes_like(corpus: Sequence[str]) -> SearchStrategy[bytes]:
    edit = st.tuples(
        st.sampled_from(_EDITS), st.floats(0, 1, exclude_max=True), _words()
    )
    edited = st.builds(
        _edited, st.sampled_from(list(corpus)), st.lists(edit, min_size=1, max_size=5)
    )
    made = st.one_of(
        st.binary(max_size=300),
        st.text(alphabet=_PRINTED, max_size=300).map(str.encode),
        st.lists(_words(), max_size=40).map("\n".join).map(_utf_8),
        st.lists(_words(), max_size=40).map(": ".join).map(_utf_8),
        st.lists(_words(), max_size=40).map(",".join).map(_utf_8),
    )
    return st.one_of(edited, made)


def _utf_8(text: str) -> bytes:
    return text.encode("utf-8", "surrogatepass")


# What is promised of each reader


def _check_faults(faults: Sequence[Fault], file: str) -> None:
    for fault in faults[:200]:
        assert fault.code in CODES
        assert fault.place.file == file
        assert min(fault.place.line, fault.place.column) >= 0
        assert fault_line(fault).isprintable()


def _check_loaded(loaded: Loaded[Any], file: str) -> None:
    _check_faults(loaded.faults, file)
    stopping = list(filter(is_fault, loaded.faults))
    assert (loaded.record is None) == bool(stopping)


def check_record(kind: str, data: bytes) -> None:
    """A record loads or has faults; one that loads can be stored and read back."""
    loaded = load_record(kind, "some-id", data, "records/x.yaml")
    _check_loaded(loaded, "records/x.yaml")
    if loaded.record is not None:
        stored = loaded.record.model_dump(mode="json")
        assert adapter(kind).validate_python(stored) == loaded.record


def check_settings(data: bytes) -> None:
    """Settings and the list of addresses load or have faults."""
    _check_loaded(load_archive_settings(data, "archive.yaml"), "archive.yaml")
    _check_loaded(
        load_addresses(data, "records/addresses.yaml"), "records/addresses.yaml"
    )


def check_series(data: bytes) -> None:
    """A series has increasing times and finite readings, or faults."""
    known = {"counter-a": ["pm2_5", "pm10"], "bench-a": ["pm2_5"], "bench-b": ["pm2_5"]}
    loaded = read_series(data, "series/x.csv", known)
    _check_faults(loaded.faults, "series/x.csv")
    assert (loaded.series is None) == bool(loaded.faults)
    if loaded.series is not None:
        elapsed = loaded.series.elapsed_min
        assert all(math.isfinite(each) for each in elapsed)
        assert all(b > a for a, b in itertools.pairwise(elapsed))
        for fractions in loaded.series.readings.values():
            for values in fractions.values():
                assert len(values) == len(elapsed)
                assert not any(map(math.isinf, values))


def check_prose(data: bytes) -> None:
    """A prose page is parsed or has faults, and never holds an element not ours."""
    prose = parse_prose(data, "texts/x.md")
    _check_faults(prose.faults, "texts/x.md")
    for part in prose.parts:
        low = part.html.lower()
        for bad in (
            "<script",
            "<img",
            "<iframe",
            "<svg",
            'href="javascript',
            'href="data',
        ):
            assert bad not in low


def check_query(text: str) -> None:
    """A query is read whatever it holds; what was understood is read back the same."""
    state, notes = parse_query(text)
    again, more = parse_query(write_query(state))
    assert again == state
    assert not more
    for note in notes:
        assert len(note.value) <= 200


_KEYS = """
v c figure x y sort q u tariff hours rate room ceiling cap f.form f.sound_dba f.price
f.device f. f.__proto__ constructor __proto__
"""
_VALUES = """
1 2 -cadr_m3h cadr_m3h 30..40 ..40 30.. us metric USD:1.1 kit a.b.c,a.b.d decay scatter
ranked %00 %E2%80%AE %ff + %2C %26 1.5
"""


def _queries() -> SearchStrategy[str]:
    keys = st.sampled_from(_KEYS.split())
    values = st.one_of(_words(), st.sampled_from(_VALUES.split()))
    pairs = st.lists(st.tuples(keys | _words(), values), max_size=30).map(
        lambda each: "&".join(f"{key}={value}" for key, value in each)
    )
    return st.one_of(pairs, st.text(max_size=200), pairs.map(lambda text: f"?{text}"))


@dataclass(frozen=True, slots=True)
class Target:
    """Something that reads bytes from outside.

    Attributes:
        name: what it is called in the table.
        inputs: makes its inputs.
        check: raises when one of them is not met as promised.
        share: of all inputs.
    """

    name: str
    inputs: SearchStrategy[bytes] | SearchStrategy[str]
    check: Callable[..., None]
    share: float


def targets() -> tuple[Target, ...]:
    """Return everything that is fed."""
    archives = ("content/start", "tests/cases/hostile/inert", "tests/cases/faults")
    found = []
    for name, kind in KINDS.items():
        folders = [f"{each}/records/{kind.folder}" for each in archives]
        folders += [f"tests/cases/faults/archive/records/{kind.folder}"]
        corpus = _corpus(*folders, ending=".yaml") or [
            "comparison: a\npinned: 2026-01-05\n"
        ]
        found.append(
            Target(
                f"record: {name}",
                _bytes_like(corpus),
                lambda data, name=name: check_record(name, data),
                0.5 / len(KINDS),
            )
        )
    settings_files = _corpus(*archives, ending="archive.yaml") + _corpus(
        *archives, ending="addresses.yaml"
    )
    series = _corpus("content/start/series", "tests/cases/faults", ending=".csv")
    prose = _corpus("content/start/texts", "tests/cases/hostile", ending=".md")
    return (
        *found,
        Target("settings", _bytes_like(settings_files), check_settings, 0.1),
        Target("series", _bytes_like(series), check_series, 0.2),
        Target("prose", _bytes_like(prose), check_prose, 0.1),
        Target("query", _queries(), check_query, 0.1),
    )


@dataclass(slots=True)
class Tally:
    """What became of the inputs of one target.

    Attributes:
        inputs: how many there were.
        slowest_s: the longest time that one took, s.
        wrong: what was wrong with the first that was wrong, or ``""``.
    """

    inputs: int = 0
    slowest_s: float = 0.0
    wrong: str = field(default="")


def feed(target: Target, inputs: int, seed: int) -> Tally:
    """Feed one target.

    Args:
        target: what is fed.
        inputs: how many inputs.
        seed: the same gives the same inputs.
    """
    tally = Tally()

    def one(data: object) -> None:
        # Time of the processor: what another process takes of it is no fault here.
        begun = time.process_time()
        target.check(data)
        taken = time.process_time() - begun
        tally.inputs += 1
        tally.slowest_s = max(tally.slowest_s, taken)
        assert taken < SLOWEST_S, f"{taken:.1f} s"

    for batch in range(math.ceil(inputs / BATCH)):
        fed = settings(
            max_examples=min(BATCH, inputs - batch * BATCH),
            deadline=None,
            database=None,
            phases=(Phase.generate, Phase.shrink),
            suppress_health_check=list(HealthCheck),
        )
        run = hypothesis.seed(seed * 1_000 + batch)(fed(given(target.inputs)(one)))
        try:
            run()
        except Exception as error:  # noqa: BLE001 - whatever it is, it is the finding
            notes = "\n".join(getattr(error, "__notes__", []))
            tally.wrong = f"{type(error).__name__}: {error}\n{notes}"
            break
    return tally


def peak_mb() -> float:
    """Return the most memory that this process has taken, MB."""
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most / 1e6 if sys.platform == "darwin" else most / 1e3


def main() -> int:
    """Feed all targets and print the table; return 1 if anything was wrong."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("--inputs", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    begun = time.perf_counter()
    wrong = []
    fed = 0
    say = sys.stdout.write
    say(f"{'target':<20} {'inputs':>7} {'slowest ms':>11} {'peak MB':>8}\n")
    for target in targets():
        tally = feed(target, math.ceil(asked.inputs * target.share), asked.seed)
        fed += tally.inputs
        slowest_ms = tally.slowest_s * 1e3
        say(f"{target.name:<20} {tally.inputs:>7} {slowest_ms:>11.1f} ")
        say(f"{peak_mb():>8.0f}\n")
        sys.stdout.flush()
        if tally.wrong:
            wrong.append(f"{target.name}: {tally.wrong}")
    say(f"{fed} inputs in {time.perf_counter() - begun:.0f} s\n")
    if peak_mb() > MOST_MB:
        wrong.append(f"{peak_mb():.0f} MB of memory")
    say("\n".join(wrong or ["nothing wrong"]) + "\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
