"""How the results of a device have come out over time, drawn run by run.

One small drawing a setting: a mark a run at its date, with the run's 95 % interval. All
numbers of it stand in the list of runs.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sitegen.figures.axes import Axis, linear
from sitegen.findings.families import family_of
from sitegen.findings.views import Labels
from sitegen.pages.configuration_names import capital, setting_name
from sitegen.pages.formats import date_text, in_units, number
from sitegen.pages.frame import Site
from sitegen.pages.run_rows import RunBrief
from sitegen.pages.words import Words

LEAST_DAYS = 30
"""Runs that lie closer together are repeats, and no history."""
MOST_LINES = 3
TOP_PX, BOTTOM_PX = 10.0, 110.0
_LEFT, _RIGHT = 12.0, 96.0


@dataclass(frozen=True, slots=True)
class HistoryMark:
    """A run.

    Attributes:
        x: place of its date, per cent of the width.
        y: place of its CADR, px.
        high: place of the upper limit, px.
        low: place of the lower limit, px.
        unit: which specimen, where another follows; else ``""``.
        said: the run in words.
    """

    x: str
    y: str
    high: str
    low: str
    unit: str
    said: str


@dataclass(frozen=True, slots=True)
class HistoryLine:
    """A setting that was measured again after some time.

    Attributes:
        setting: speed and filter.
        unit: unit of the CADR.
        marks: its runs by date.
        ticks: place, px, and number of each grid line.
        first: first date in words.
        last: last date in words.
        said: the drawing in a sentence.
    """

    setting: str
    unit: str
    marks: tuple[HistoryMark, ...]
    ticks: tuple[tuple[str, str], ...]
    first: str
    last: str
    said: str


def history_lines(
    words: Words,
    site: Site,
    labels: Labels,
    runs: Sequence[RunBrief],
    families: Mapping[str, str],
) -> tuple[HistoryLine, ...]:
    """Return the settings whose results can be followed over time, the longest first.

    Args:
        words: the interface's words.
        site: units.
        labels: names of the device's parts.
        runs: all its runs; those accepted with a CADR are drawn.
        families: method to its comparable set; other methods share no line.
    """
    groups: dict[tuple[str, str, str], list[RunBrief]] = {}
    for run in runs:
        if run.status == "accepted" and run.cadr is not None:
            family = family_of(run.method, families)
            groups.setdefault((run.speed, run.filter, family), []).append(run)
    long = [
        sorted(group, key=lambda run: (run.day, run.id))
        for group in groups.values()
        if _days(group) >= LEAST_DAYS
    ]
    long.sort(key=lambda group: (-_days(group), -len(group), group[0].id))
    return tuple(_line(words, site, labels, group) for group in long[:MOST_LINES])


def _days(group: Sequence[RunBrief]) -> int:
    days = [dt.date.fromisoformat(run.day) for run in group]
    return (max(days) - min(days)).days


def _line(
    words: Words, site: Site, labels: Labels, group: Sequence[RunBrief]
) -> HistoryLine:
    unit = in_units(0.0, "m³/h", site.units)[1]
    found = [_limits(run, site) for run in group]
    axis = linear([v for each in found for v in each if v > 0], count=3, zero=True)
    start = dt.date.fromisoformat(group[0].day)
    span = _days(group)
    several = len({run.specimen for run in group}) > 1
    marks: list[HistoryMark] = []
    before = ""
    for run, (value, low, high) in zip(group, found, strict=True):
        day = (dt.date.fromisoformat(run.day) - start).days
        marks.append(
            HistoryMark(
                x=f"{_LEFT + (_RIGHT - _LEFT) * day / span:.1f}%",
                y=_px(axis, value),
                high=_px(axis, high),
                low=_px(axis, low),
                unit=run.specimen if several and run.specimen != before else "",
                said=words(
                    "{run}, {date}: {value} {unit}",
                    run=run.id,
                    date=date_text(run.day, words),
                    value=number(value, 3, words),
                    unit=unit,
                ),
            )
        )
        before = run.specimen
    setting = capital(setting_name(words, labels, group[0].filter, group[0].speed))
    first, last = (date_text(run.day, words) for run in (group[0], group[-1]))
    values = [value for value, _, _ in found]
    return HistoryLine(
        setting=setting,
        unit=unit,
        marks=tuple(marks),
        ticks=tuple(
            (_px(axis, at), number(at, 3, words, plain=True) if at else "0")
            for at in axis.ticks
        ),
        first=first,
        last=last,
        said=words(
            "CADR of {setting} in {n} runs from {first} to {last}: between {low} and "
            "{high} {unit}.",
            setting=setting,
            n=len(group),
            first=first,
            last=last,
            low=number(min(values), 3, words),
            high=number(max(values), 3, words),
            unit=unit,
        ),
    )


def _limits(run: RunBrief, site: Site) -> tuple[float, float, float]:
    assert run.cadr is not None  # noqa: S101 - only such runs are drawn
    cadr = (run.cadr.value, run.cadr.low, run.cadr.high)
    value, low, high = (in_units(each, "m³/h", site.units)[0] for each in cadr)
    return value, low, high


def _px(axis: Axis, value: float) -> str:
    share = min(max(axis.share(value), 0.0), 1.0)
    return f"{BOTTOM_PX - share * (BOTTOM_PX - TOP_PX):.1f}"
