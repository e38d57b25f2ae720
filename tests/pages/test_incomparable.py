"""What may not be ranked together is marked where it stands in one column."""

from __future__ import annotations

from sitegen.findings.views import Labels
from sitegen.pages.incomparable import apart_in
from sitegen.pages.result_table import ResultTable, result_table
from sitegen.pages.words import ENGLISH
from tests.findings.builders import row
from tests.pages.builders import SITE

ROWS = (
    row("a.f.s", cadr_m3h=300.0, method="new", sound_dba=40.0, sound_method="far"),
    row("b.f.s", cadr_m3h=200.0, method="new", sound_dba=41.0, sound_method="far"),
    row("c.f.s", cadr_m3h=250.0, method="old", sound_dba=39.0, sound_method="near"),
    row("d.f.s", cadr_m3h=None, method="older", sound_dba=38.0, sound_method="far"),
)


def made(families: dict[str, str] | None, *columns: str) -> ResultTable:
    names = {
        each.device: Labels(each.device, each.device, "", "kit", (), (), False, False)
        for each in ROWS
    }
    return result_table(ENGLISH, SITE, ROWS, names, columns, families=families)


def marked(table: ResultTable) -> set[str]:
    return {row.device for row in table.rows if any(c.apart for c in row.cells)}


def test_the_smaller_set_is_marked() -> None:
    """One of three under a method that is not comparable carries the mark."""
    table = made({"new": "new", "old": "old"}, "cadr_m3h")
    assert marked(table) == {"c"}
    assert "not declared comparable" in table.apart


def test_declared_comparable_is_one_set() -> None:
    """Methods of one family share a column without a mark."""
    table = made({"new": "new", "old": "new"}, "cadr_m3h")
    assert (marked(table), table.apart) == (set(), "")


def test_sound_has_its_own_methods() -> None:
    """A level measured at another distance is marked, though the decays are alike."""
    families = {"new": "new", "old": "new", "older": "new", "far": "far"}
    table = made(families, "cadr_m3h", "sound_dba")
    assert [
        (row.device, [cell.apart for cell in row.cells[:2]]) for row in table.rows
    ] == [
        ("a", [False, False]),
        ("c", [False, True]),
        ("b", [False, False]),
        ("d", [False, False]),
    ]


def test_what_was_not_measured_makes_no_set() -> None:
    """A row without a number neither counts nor is marked."""
    found = apart_in(ROWS[:1] + ROWS[3:], ("cadr_m3h",), {})
    assert found.methods == frozenset()


def test_of_equally_large_sets_one_is_the_tables_own() -> None:
    """With one row each the first by name is not marked, the other is."""
    found = apart_in(ROWS[1:3], ("cadr_m3h",), {})
    assert found.methods == {"old"}
