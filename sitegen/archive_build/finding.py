"""The file that a reader's own room is reckoned with."""

from __future__ import annotations

from sitegen.archive_build.choice_pages import reckoning_of
from sitegen.archive_build.linked import names_of
from sitegen.archive_build.measuring_cards import rows_to_find
from sitegen.pages.finder_data import FINDER_ROWS, finder_data, finder_script
from sitegen.rebuild import Ask, Output, Step


def _finder_rows(ask: Ask) -> tuple[Output, ...]:
    rows, prices = rows_to_find(ask)
    devices = list(dict.fromkeys(row.device for row in rows))
    data = finder_data(
        ask("site"),
        ask("words"),
        rows,
        names_of(ask, devices),
        prices,
        reckoning_of(ask, devices),
        ask("cost_basis").assumptions,
    )
    return (Output(FINDER_ROWS.file, finder_script(data)),)


def finding_steps() -> tuple[Step, ...]:
    """Return these steps."""
    return (Step("finder_rows", _finder_rows, writes=True),)
