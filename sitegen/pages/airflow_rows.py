"""Clean air as a share of the air moved, where the airflow was measured."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from sitegen.findings.views import Interval, Labels, ResultRow
from sitegen.measure.sizing import system_efficiency
from sitegen.pages.configuration_names import capital, setting_name
from sitegen.pages.formats import interval_text, with_unit
from sitegen.pages.frame import Site
from sitegen.pages.words import Words


class AirflowRow(NamedTuple):
    """One setting whose airflow was measured.

    Attributes:
        setting: speed and filter.
        airflow: with its unit.
        share: clean air as a share of it, with the interval.
        note: what is odd about it, or ``""``.
    """

    setting: str
    airflow: str
    share: str
    note: str


def airflow_rows(
    words: Words,
    site: Site,
    labels: Labels,
    rows: Sequence[ResultRow],
    airflows: Mapping[str, float],
) -> tuple[AirflowRow, ...]:
    """Return the settings whose airflow was measured, in the order of the rows.

    Args:
        words: the interface's words.
        site: units.
        labels: names of the device's parts.
        rows: results.
        airflows: configuration to airflow, m³/h, above 0.
    """
    return tuple(
        _row(words, site, labels, row, airflows[row.configuration], row.cadr_m3h)
        for row in rows
        if row.configuration in airflows
        and row.cadr_m3h is not None
        and row.cadr_m3h > 0
        and "CADR_ZERO" not in row.flags
    )


def _row(
    words: Words,
    site: Site,
    labels: Labels,
    row: ResultRow,
    airflow_m3h: float,
    cadr_m3h: float,
) -> AirflowRow:
    # No uncertainty of an airflow is recorded: the interval is that of the CADR.
    share = 100 * system_efficiency(cadr_m3h, 0.0, airflow_m3h, 0.0).value
    low, high = (
        share if end is None else 100 * end / airflow_m3h
        for end in (row.cadr_low, row.cadr_high)
    )
    shown = interval_text(Interval(share, low, high), words)
    text = words("{n} %", n=shown.value)
    if low < high:
        text = words("{n} % ({interval} %)", n=shown.value, interval=shown.interval)
    return AirflowRow(
        setting=capital(setting_name(words, labels, row.filter, row.speed)),
        airflow=with_unit(airflow_m3h, "m³/h", site.units, words),
        share=text,
        note=words("over 100 %: one of the two is measured wrongly")
        if share > 100
        else "",
    )
