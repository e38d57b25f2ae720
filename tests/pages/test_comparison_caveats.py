"""What is to be borne in mind of some results of a comparison."""

from __future__ import annotations

from sitegen.findings.views import ResultRow
from sitegen.pages.comparison import named_caveats, short_caveats
from sitegen.pages.words import ENGLISH


def noted(count: int) -> tuple[ResultRow, ...]:
    """Return results with notes, all of two runs, and one without."""
    names = [f"d{at}" for at in range(count)]
    found = [
        ResultRow(name, "f", "s", "m", "pm2_5", 2, ("r", "q"), "notes", ("CORR",))
        for name in names
    ]
    clear = ResultRow("clear", "f", "s", "m", "pm2_5", 2, ("r", "q"), "rated", ())
    return (*found, clear)


def named(rows: tuple[ResultRow, ...]) -> dict[str, str]:
    """Return names of all configurations."""
    return {row.configuration: row.device.upper() for row in rows}


def test_a_few_are_named_in_a_sentence() -> None:
    """Up to six stand in one sentence, and none in a list."""
    rows = noted(6)
    (said,) = short_caveats(ENGLISH, rows, named(rows))
    assert said.startswith("With notes on the quality of its runs: D0, D1")
    assert said.endswith("D5.")
    assert not list(named_caveats(ENGLISH, rows, named(rows)))


def test_many_are_counted_and_listed() -> None:
    """More are counted, with a list to open."""
    rows = noted(7)
    assert not list(short_caveats(ENGLISH, rows, named(rows)))
    ((said, listed),) = named_caveats(ENGLISH, rows, named(rows))
    assert said == "With notes on the quality of its runs: 7 configurations"
    assert listed == tuple(f"D{at}" for at in range(7))
