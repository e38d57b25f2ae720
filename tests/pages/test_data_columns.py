"""What the columns of the data files hold."""

from __future__ import annotations

from typing import get_args, get_type_hints

import pytest

from sitegen.findings.views import ReadingRow, ResultRow, RunRow
from sitegen.pages.data_columns import KEYS, Table, columns

ROWS: dict[Table, type] = {
    "results": ResultRow,
    "runs": RunRow,
    "readings": ReadingRow,
}


@pytest.mark.parametrize("table", ROWS)
def test_columns_are_the_fields_of_the_rows(table: Table) -> None:
    """A file's columns are described in the order in which its rows hold them."""
    fields = list(get_type_hints(ROWS[table]))
    assert [column.name for column in columns(table)] == fields


@pytest.mark.parametrize("table", ROWS)
def test_types_are_those_of_the_rows(table: Table) -> None:
    """A column is called a number or a whole number just where a row holds one."""
    hints = get_type_hints(ROWS[table])
    for column in columns(table):
        hint = hints[column.name]
        held = {each for each in (get_args(hint) or (hint,)) if each in {int, float}}
        expected = {"integer": {int}, "number": {float}}.get(column.holds, set())
        assert held == expected, column.name


@pytest.mark.parametrize("table", ROWS)
def test_every_column_is_explained(table: Table) -> None:
    """Every column has a title and a whole sentence that says what it is."""
    for column in columns(table):
        assert column.title
        assert column.meaning.endswith("."), column.name


def test_units_are_in_names() -> None:
    """A column whose name ends with a unit is said to hold that unit."""
    ends = {"_per_h": "1/h", "_min": "min", "_dba": "dB(A)", "_m3h": "m³/h", "_w": "W"}
    for table in ROWS:
        for column in columns(table):
            for end, unit in ends.items():
                if column.name.endswith(end) and column.name != "cadr_per_w":
                    assert column.unit == unit, column.name


@pytest.mark.parametrize("table", ROWS)
def test_keys_are_columns(table: Table) -> None:
    """What names a row is made of columns of its file."""
    assert set(KEYS[table]) <= {column.name for column in columns(table)}
