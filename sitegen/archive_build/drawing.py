"""Steps that draw figures; costly, so they may run in other processes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from sitegen.archive_build.codecs import typed_codec
from sitegen.archive_build.linked import names_of
from sitegen.figures.drawn import DrawnParts, DrawTask, Figure, draw, draw_card
from sitegen.figures.from_findings import (
    CurveLine,
    decay_figure,
    ranked_figure,
    residual_figure,
    run_figure,
    scatter_figure,
)
from sitegen.figures.stills import still_specs
from sitegen.findings.families import family_of
from sitegen.findings.fitted import RunFound
from sitegen.findings.picks import headline
from sitegen.findings.views import ComparisonFinding, ResultRow, RunCurve
from sitegen.model import Comparison
from sitegen.model.showing import FigureKind
from sitegen.pages.addresses import card_of, of_record
from sitegen.pages.comparison_lead import lead_sentence
from sitegen.pages.configuration_names import (
    capital,
    configuration_name,
    names_in,
)
from sitegen.pages.formats import date_text
from sitegen.pages.frame import DrawnFigure
from sitegen.rebuild import Ask, Output, Step, bytes_codec, json_codec

MOST_LINES = 8
MOST_RANKED = 24


def _curve(ask: Ask, run_id: str) -> RunCurve | None:
    """The curve of a run's primary fraction."""
    found: RunFound = ask("fit", run_id)
    fraction = ask("primary_fraction")
    for curve in found.curves:
        if curve.fraction == fraction:
            return curve
    return None


def middle_and_repeats(
    ask: Ask, label: str, row: ResultRow
) -> list[tuple[str, CurveLine]]:
    """Return ids and lines of a result's runs: the middle run first, then its repeats.

    Args:
        ask: the engine's question.
        label: name of the configuration, which its lines share.
        row: the result.
    """
    curves = ask.all([("curve", run_id) for run_id in row.run_ids])
    known = [
        (run_id, curve)
        for run_id, curve in zip(row.run_ids, curves, strict=True)
        if curve is not None and curve.decay_per_h
    ]
    known.sort(key=lambda each: each[1].decay_per_h)
    if not known:
        return []
    middle, curve = known.pop((len(known) - 1) // 2)
    return [
        (middle, CurveLine(label, "middle", curve)),
        *((run_id, CurveLine(label, "repeat", other)) for run_id, other in known),
    ]


def _lines(ask: Ask, rows: list[tuple[str, ResultRow]]) -> tuple[CurveLine, ...]:
    """The runs of some configurations: the middle run strong, its repeats thin."""
    found = [middle_and_repeats(ask, label, row) for label, row in rows[:MOST_LINES]]
    return tuple(line for lines in found for _, line in lines)


def _gather_device(ask: Ask, device_id: str) -> DrawTask | None:
    labels = ask("labels", device_id)
    rows = ask("current_rows", device_id)
    best = headline(rows)
    if best is None:
        return None
    same = [row for row in rows if row.speed == best.speed and row.run_ids]
    same.sort(key=lambda row: -(row.cadr_m3h or 0.0))
    words = ask("words")
    named = [
        (
            capital(configuration_name(words, labels, row.configuration, device=False)),
            row,
        )
        for row in same
    ]
    lines = _lines(ask, named)
    if not lines:
        return None
    title = words("Decay of {name}", name=labels.name)
    return DrawTask(decay_figure(lines, title), "figure-decay", words)


def _gather_run(ask: Ask, run_id: str) -> DrawTask | None:
    curve = ask("curve", run_id)
    if curve is None:
        return None
    run = ask("bare_run", run_id)
    events = tuple((event.at_min, event.what) for event in run.events)
    words = ask("words")
    title = words("Readings of run {run}", run=run_id)
    names = {
        sensor.instrument: ask("record_title", "instrument", sensor.instrument)
        for sensor in curve.sensors
    }
    figure = run_figure(curve, events, title, names)
    return DrawTask(figure, "figure-readings", words)


def _gather_residuals(ask: Ask, run_id: str) -> DrawTask | None:
    curve = ask("curve", run_id)
    if curve is None or all(value is None for value in curve.residuals):
        return None
    words = ask("words")
    title = words("Residuals of run {run}", run=run_id)
    return DrawTask(residual_figure(curve, title), "figure-residuals", words)


@dataclass(frozen=True, slots=True)
class Chosen:
    """What the figure of a comparison shows.

    Attributes:
        kind: which figure it is; another than asked for where that cannot be drawn.
        x: quantity across.
        y: quantity up, or ranked.
        lines: for a decay figure, its lines.
        sets: method to the name of its comparable set, where several sets meet.
    """

    kind: FigureKind
    x: str
    y: str
    lines: tuple[CurveLine, ...]
    sets: dict[str, str]


def chosen_figure(
    ask: Ask,
    record: Comparison,
    finding: ComparisonFinding,
    named: list[tuple[str, ResultRow]],
) -> Chosen | None:
    """Return what the figure of a comparison shows, or nothing.

    Args:
        ask: the engine's question.
        record: the comparison.
        finding: what it finds.
        named: its rows with their names.
    """
    x, y = record.x or "sound_dba", record.y or "cadr_m3h"
    if record.figure == "decay" and not finding.mixed_methods:
        lines = _lines(ask, named)
        if lines:
            return Chosen("decay", x, y, lines, {})
    if record.figure == "scatter" and any(
        getattr(row, x) is not None and getattr(row, y) is not None
        for row in finding.rows
    ):
        return Chosen("scatter", x, y, (), _sets(ask, finding, (x, y)))
    if all(getattr(row, y) is None for row in finding.rows):
        return None
    return Chosen("ranked", x, y, (), _sets(ask, finding, (y,)))


def drawn_rows(
    chosen: Chosen,
    named: list[tuple[str, ResultRow]],
    title: str,
    units: str,
    currency: str,
) -> Figure:
    """Return the figure of rows: ranked, or two quantities against each other."""
    if chosen.kind == "scatter":
        return scatter_figure(
            named, chosen.x, chosen.y, title, units, currency, chosen.sets
        )
    return ranked_figure(
        named, chosen.y, title, units, currency, chosen.sets, MOST_RANKED
    )


def comparison_task(ask: Ask, comparison_id: str) -> DrawTask | None:
    """Return the figure of a comparison, to be drawn, or nothing."""
    record: Comparison = ask("record", "comparison", comparison_id)
    finding: ComparisonFinding = ask("comparison", comparison_id)
    names = names_of(ask, [row.device for row in finding.rows])
    words, site = ask("words"), ask("site")
    known_as = names_in(words, finding, names)
    named = [(capital(known_as[row.configuration]), row) for row in finding.rows]
    chosen = chosen_figure(ask, record, finding, named)
    if chosen is None:
        return None
    figure: Figure
    if chosen.kind == "decay":
        figure = decay_figure(chosen.lines, record.title)
    else:
        figure = drawn_rows(chosen, named, record.title, site.units, site.currency)
    # The comparison's own sentence is also what is said of its figure.
    said = lead_sentence(words, site, record, finding, known_as)
    ident = f"figure-{comparison_id}"
    return DrawTask(replace(figure, description=said), ident, words)


# Quantities that rest on a decay method; sound, power and cost do not.
BY_DECAY = frozenset({"cadr_m3h", "clearance_min", "decay_per_h", "cadr_per_w"})


def _sets(
    ask: Ask, finding: ComparisonFinding, quantities: tuple[str, ...]
) -> dict[str, str]:
    """Method to the name of its comparable set, where what is drawn has several."""
    if not finding.mixed_methods or not BY_DECAY.intersection(quantities):
        return {}
    families = ask("families")
    return {
        row.method: ask("record_title", "method", family_of(row.method, families))
        for row in finding.rows
    }


def credited(ask: Ask, task: DrawTask | None) -> DrawTask | None:
    """Give a figure that stands alone the name and address of where it is from."""
    if task is None:
        return None
    site, words = ask("site"), ask("words")
    place = site.base.partition("://")[2].rstrip("/")
    parts = [site.name, place]
    if site.simulated:
        parts.append(words("simulated data"))
    return replace(task, credit=" · ".join(parts))


def _gather_device_card(ask: Ask, device_id: str) -> DrawTask | None:
    return credited(ask, _gather_device(ask, device_id))


def _gather_comparison_card(ask: Ask, comparison_id: str) -> DrawTask | None:
    return credited(ask, comparison_task(ask, comparison_id))


def _gather_still(ask: Ask, comparison_id: str) -> DrawTask | None:
    """The figure of a comparison with its address and the day of its newest result."""
    task = comparison_task(ask, comparison_id)
    if task is None:
        return None
    site, words = ask("site"), ask("words")
    finding: ComparisonFinding = ask("comparison", comparison_id)
    measured = {(row.device, row.filter, row.speed) for row in finding.rows}
    days = [
        entry.day
        for name in dict.fromkeys(row.device for row in finding.rows)
        for entry in ask("entries_of", name)
        if entry.status == "accepted" and (name, entry.filter, entry.speed) in measured
    ]
    place = of_record("comparison", comparison_id).canonical(site.base)
    parts = [site.name, place.partition("://")[2]]
    if days:
        newest = date_text(max(days)[:10], words)
        parts.append(words("newest result {date}", date=newest))
    if site.simulated:
        parts.append(words("simulated data"))
    return replace(task, credit=" · ".join(parts))


def card_work(task: DrawTask | None) -> bytes:
    """Draw the picture beside a link; nothing where there is no figure."""
    return b"" if task is None else draw_card(task)


def _device_picture(ask: Ask, device_id: str) -> tuple[Output, ...]:
    return _picture("device", device_id, ask("device_card", device_id))


def _comparison_picture(ask: Ask, comparison_id: str) -> tuple[Output, ...]:
    return _picture("comparison", comparison_id, ask("comparison_card", comparison_id))


def _picture(kind: str, record_id: str, data: bytes) -> tuple[Output, ...]:
    if not data:
        return ()
    return (Output(card_of(of_record(kind, record_id)).file, data),)


def draw_work(task: DrawTask | None) -> DrawnParts | None:
    """Draw, unless there is nothing to draw; pure, for another process."""
    return None if task is None else draw(task)


def figure_of(
    ask: Ask, kind: str, record_id: str, caption: str = ""
) -> DrawnFigure | None:
    """Return a figure as it stands in a page, or nothing when there is none."""
    parts: DrawnParts | None = ask(kind, record_id)
    if parts is None:
        return None
    return DrawnFigure(
        ident=parts.ident,
        title=parts.title,
        description=parts.description,
        caption=caption or parts.caption,
        wide=parts.wide,
        narrow=parts.narrow,
        header=parts.header,
        rows=parts.rows,
        chart=parts.chart,
    )


def _decay_run_ids(ask: Ask) -> list[str]:
    return [e.id for e in ask("entries") if e.kind in {"decay", "natural-decay"}]


def drawing_steps() -> tuple[Step, ...]:
    """Return the steps that draw."""
    drawn: Any = typed_codec(DrawnParts | None)
    return (
        Step("curve", _curve, typed_codec(RunCurve | None)),
        Step("decay_run_ids", _decay_run_ids, json_codec),
        Step("device_figure", _gather_device, drawn, work=draw_work),
        Step("run_figure", _gather_run, drawn, work=draw_work),
        Step("residual_figure", _gather_residuals, drawn, work=draw_work),
        Step("comparison_figure", comparison_task, drawn, work=draw_work),
        Step("device_card", _gather_device_card, bytes_codec, work=card_work),
        Step("comparison_card", _gather_comparison_card, bytes_codec, work=card_work),
        Step("comparison_still", _gather_still, json_codec, work=still_specs),
        Step("device_picture", _device_picture, writes=True),
        Step("comparison_picture", _comparison_picture, writes=True),
    )
