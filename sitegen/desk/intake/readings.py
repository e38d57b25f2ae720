"""Cells of a raw log become numbers, in the units of the instrument's record."""

from __future__ import annotations

import re
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from sitegen.desk.intake.cells import Cells, Texts
from sitegen.errors import Fault, Place
from sitegen.load.guesses import guess
from sitegen.measure.arrays import Floats
from sitegen.model import Instrument
from sitegen.model.bench import LogForm

Mask = NDArray[np.bool_]
# How many of the record's unit one of the log's is.
PER_UNIT: Mapping[tuple[str, str], float] = {
    ("mg/m3", "ug/m3"): 1000.0,
    ("1/L", "1/cm3"): 1e-3,
    ("1/m3", "1/cm3"): 1e-6,
}
_UNIT_SPELLINGS: Mapping[str, str] = {
    "ug/m3": "ug/m3",
    "mg/m3": "mg/m3",
    "1/cm3": "1/cm3",
    "#/cm3": "1/cm3",
    "#/cc": "1/cm3",
    "p/cm3": "1/cm3",
    "1/l": "1/L",
    "#/l": "1/L",
    "#/m3": "1/m3",
    "1/m3": "1/m3",
}
NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?", re.ASCII)
_HELD_ROWS = 10
_NEAR_CEILING = 0.9
_HAS_UNIT = re.compile(r"[\[(]([^\])]*)[\])]|([mµμu]g ?/ ?m[³3]|[#1p] ?/ ?\S+)")


def unit_in(text: str) -> str | None:
    """Return the unit that a header or unit cell names, or nothing."""
    found = _HAS_UNIT.search(text)
    word = (found[1] or found[2]) if found else text
    folded = word.strip().lower().replace("µ", "u").replace("μ", "u")  # noqa: RUF001
    folded = folded.replace("³", "3").replace("^3", "3").replace(" ", "")
    return _UNIT_SPELLINGS.get(folded.replace("m-3", "/m3"))


def without_unit_row(
    cells: Cells, form: LogForm, file: str, faults: list[Fault]
) -> tuple[Cells, Mapping[str, str]]:
    """Return the cells without a row of units below the header, and that row.

    A row is one of units when it holds no digit where readings and times belong.
    """
    wanted = [*form.time.columns, *form.columns]
    if len(cells.lines) < 2:
        return cells, {}
    first = {name: str(cells.column(name)[0]).strip() for name in wanted}
    missing = {*form.missing, *form.over, ""}
    words = [word for word in first.values() if word not in missing]
    if not words or any(
        re.search(r"\d", word) and unit_in(word) is None for word in words
    ):
        return cells, {}
    told = " ".join(word for word in first.values() if word)
    place = Place(file, int(cells.lines[0]))
    faults.append(Fault("intake-unit-row", place, "", {"value": told[:60]}))
    return cells.kept(np.arange(1, len(cells.lines))), first


def read_fractions(
    cells: Cells,
    units: Mapping[str, str],
    form: LogForm,
    instrument: Instrument,
    file: str,
    faults: list[Fault],
) -> dict[str, Floats]:
    """Return the readings of each size fraction, in the unit of its record.

    Args:
        cells: the rows of the log.
        units: what a row of units says, by column.
        form: how the log reads.
        instrument: the instrument that wrote it.
        file: name of the log, for the places of faults.
        faults: takes what is wrong, and what was done.

    Returns:
        Fraction to readings, shape (n,), NaN where missing.
    """
    found: dict[str, Floats] = {}
    for name, fraction in form.columns.items():
        part = instrument.fractions.get(fraction)
        if part is None:
            values = {
                "instrument": instrument.id,
                "value": fraction,
                "choices": ", ".join(instrument.fractions),
            }
            faults.append(Fault("intake-fraction", Place(file), name, values))
            continue
        stated = form.units.get(fraction, part.unit)
        seen = unit_in(units.get(name, "")) or unit_in(name)
        if seen and seen != stated:
            line = cells.header_line + (1 if unit_in(units.get(name, "")) else 0)
            values = {"seen": seen, "stated": stated, "fraction": fraction}
            faults.append(Fault("intake-unit", Place(file, line), name, values))
            continue
        if stated != part.unit and (stated, part.unit) not in PER_UNIT:
            values = {"seen": stated, "stated": part.unit, "fraction": fraction}
            faults.append(Fault("intake-unit-kind", Place(file), name, values))
            continue
        numbers, over = _numbers(cells, name, form, file, faults)
        numbers *= PER_UNIT.get((stated, part.unit), 1.0)
        numbers[over] = part.range
        _tell_over(over, part.range, cells, name, file, faults)
        cap = form.caps.get(fraction)
        found[fraction] = _capped(numbers, cap, part.range, cells, name, file, faults)
        _tell_held(found[fraction], part.resolution, cells, name, file, faults)
    return found


def _stripped(texts: Texts) -> Texts:
    return np.array([text.strip() for text in texts], dtype=object)


def _numbers(
    cells: Cells,
    name: str,
    form: LogForm,
    file: str,
    faults: list[Fault],
) -> tuple[Floats, Mask]:
    """Return the readings as they stand, and where a text says "above the range"."""
    texts = cells.column(name)
    if form.decimal_mark == "comma":
        texts = np.array([text.replace(",", ".") for text in texts], dtype=object)
    try:
        numbers = texts.astype(np.float64)
        if np.all(np.isfinite(numbers)):
            return numbers, np.zeros(numbers.shape, dtype=np.bool_)
    except ValueError:
        pass
    original = _stripped(cells.column(name))
    texts = _stripped(texts)
    missing = np.isin(original, ["", *form.missing])
    over = np.isin(original, [*form.over])
    matches = [NUMBER.fullmatch(text) is not None for text in texts]
    plain = np.array(matches, dtype=np.bool_) & ~missing & ~over
    numbers = np.full(texts.shape, np.nan)
    numbers[plain] = texts[plain].astype(np.float64)
    _tell_missing(missing, cells, name, file, faults)
    _refuse_words(
        original, ~(plain | missing | over), cells, (name, form), file, faults
    )
    return numbers, over


def _tell_missing(
    missing: Mask, cells: Cells, name: str, file: str, faults: list[Fault]
) -> None:
    if missing.any():
        line = int(cells.lines[np.argmax(missing)])
        values = {"count": str(int(missing.sum()))}
        faults.append(Fault("intake-missing", Place(file, line), name, values))


def _refuse_words(
    texts: Texts,
    wrong: Mask,
    cells: Cells,
    about: tuple[str, LogForm],
    file: str,
    faults: list[Fault],
) -> None:
    """Add one fault for each different text that is no number, with its count."""
    name, form = about
    words: dict[str, list[int]] = {}
    for text, line in zip(texts[wrong], cells.lines[wrong], strict=True):
        words.setdefault(text, []).append(int(line))
        if len(words) > 5:
            break
    other = "," if form.decimal_mark == "point" else "."
    for word, lines in words.items():
        values = {"value": word[:60], "count": str(len(lines))}
        turned = word.replace(",", ".")
        code = "intake-not-a-number"
        if other in word and NUMBER.fullmatch(turned):
            code = "intake-decimal-mark"
            values = {"value": word[:60], "stated": form.decimal_mark}
        faults.append(Fault(code, Place(file, lines[0]), name, values))
        if code == "intake-decimal-mark":
            break


def _tell_over(
    over: Mask,
    ceiling: float,
    cells: Cells,
    name: str,
    file: str,
    faults: list[Fault],
) -> None:
    if over.any():
        line = int(cells.lines[np.argmax(over)])
        values = {"count": str(int(over.sum())), "range": f"{ceiling:g}"}
        faults.append(Fault("intake-over", Place(file, line), name, values))


def _capped(
    numbers: Floats,
    cap: float | None,
    ceiling: float,
    cells: Cells,
    name: str,
    file: str,
    faults: list[Fault],
) -> Floats:
    """Return the readings with those at a cap left empty where the fit cannot know it.

    Near the top of the range a cap is the ceiling that the fit's rule looks for;
    below, a capped reading would pass for one.
    """
    if cap is None:
        return numbers
    with np.errstate(invalid="ignore"):
        at_cap = numbers >= cap
    if not at_cap.any():
        return numbers
    kept = cap >= _NEAR_CEILING * ceiling
    line = int(cells.lines[np.argmax(at_cap)])
    values = {"count": str(int(at_cap.sum())), "cap": f"{cap:g}"}
    code = "intake-cap-kept" if kept else "intake-cap-emptied"
    faults.append(Fault(code, Place(file, line), name, values))
    return numbers if kept else np.where(at_cap, np.nan, numbers)


def _tell_held(
    numbers: Floats,
    resolution: float,
    cells: Cells,
    name: str,
    file: str,
    faults: list[Fault],
) -> None:
    """Tell the longest stretch of one value, well above steps and floor."""
    if numbers.size < _HELD_ROWS:
        return
    edges = np.flatnonzero(np.diff(numbers) != 0) + 1
    starts = np.concatenate([[0], edges])
    ends = np.concatenate([edges, [numbers.size]])
    lengths = np.where(numbers[starts] > 20 * resolution, ends - starts, 0)
    at = int(np.argmax(lengths))
    if lengths[at] < _HELD_ROWS:
        return
    values = {
        "value": f"{numbers[starts[at]]:g}",
        "count": str(int(lengths[at])),
        "last": str(int(cells.lines[ends[at] - 1])),
    }
    place = Place(file, int(cells.lines[starts[at]]))
    faults.append(Fault("intake-held", place, name, values))


def check_columns(cells: Cells, form: LogForm, file: str, faults: list[Fault]) -> bool:
    """Return whether every column that the form names is there, once."""
    names = [*form.time.columns, *form.columns]
    before = len(faults)
    place = Place(file, cells.header_line)
    for name in dict.fromkeys(names):
        count = cells.names.count(name)
        if count == 1:
            continue
        values = {"name": name, **guess(name, cells.names)}
        if count == 0:
            values["columns"] = ", ".join(f'"{word}"' for word in cells.names[:12])
        code = "intake-column-twice" if count else "intake-no-column"
        faults.append(Fault(code, place, "", values))
    return len(faults) == before
