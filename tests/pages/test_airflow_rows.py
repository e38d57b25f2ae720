"""Clean air as a share of the air moved."""

from __future__ import annotations

from dataclasses import replace

from sitegen.pages.airflow_rows import airflow_rows
from sitegen.pages.words import ENGLISH
from tests.findings.builders import row
from tests.pages.builders import SITE
from tests.pages.test_room_rows import LABELS

CLEAN = row("a.fine.high", cadr_m3h=180.0, cadr_low=168.0, cadr_high=192.0)


def test_share_of_the_air_moved() -> None:
    """180 of 240 m³/h are 75 %, and 168 to 192 are 70 to 80 %."""
    (found,) = airflow_rows(ENGLISH, SITE, LABELS, [CLEAN], {"a.fine.high": 240.0})
    assert found == ("High, Fine filter", "240 m³/h", "75.0 % (70.0 to 80.0 %)", "")


def test_more_than_all_of_it_is_told() -> None:
    """More clean air than air moved is a sign of a measuring error, and said."""
    (found,) = airflow_rows(ENGLISH, SITE, LABELS, [CLEAN], {"a.fine.high": 150.0})
    assert found.share.startswith("120")
    assert found.note == "over 100 %: one of the two is measured wrongly"


def test_only_where_both_are_known() -> None:
    """No airflow, no CADR, or one not told from zero gives no share."""
    zero = replace(CLEAN, flags=("CADR_ZERO",))
    none = replace(CLEAN, cadr_m3h=None)
    flows = {"a.fine.high": 240.0}
    assert airflow_rows(ENGLISH, SITE, LABELS, [zero, none], flows) == ()
    assert airflow_rows(ENGLISH, SITE, LABELS, [CLEAN], {}) == ()
