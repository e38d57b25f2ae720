"""Steps that write the decay curves of a device for readers' own comparisons."""

from __future__ import annotations

from sitegen.archive_build.drawing import middle_and_repeats
from sitegen.figures.decay import DecayLine
from sitegen.figures.from_findings import CurveLine, decay_figure
from sitegen.findings.views import ResultRow
from sitegen.pages.curve_data import CurveRun, CurveSet, curves_of, curves_script
from sitegen.rebuild import Ask, Output, Step


def _curves(ask: Ask, device_id: str) -> tuple[Output, ...]:
    rows = [row for row in ask("current_rows", device_id) if row.run_ids]
    sets = [found for row in rows if (found := _set(ask, row)) is not None]
    return (Output(curves_of(device_id).file, curves_script(device_id, sets)),)


def _set(ask: Ask, row: ResultRow) -> CurveSet | None:
    lines = middle_and_repeats(ask, row.configuration, row)
    if not lines:
        return None
    return CurveSet(
        configuration=row.configuration,
        method=row.method,
        panel=ask("record_title", "method", row.method),
        target=lines[0][1].curve.target,
        runs=tuple(_run(run_id, line) for run_id, line in lines),
    )


def _run(run_id: str, line: CurveLine) -> CurveRun:
    # Alone, as if it were the middle one, so that its fit is drawn as well.
    alone = CurveLine(line.label, "middle", line.curve)
    drawn = {each.role: each for each in decay_figure((alone,), "").lines}
    readings = drawn["middle"]
    curve = line.curve
    return CurveRun(
        run=run_id,
        role=line.role,
        readings=DecayLine(
            line.label, line.role, readings.t_min, readings.value, index=0
        ),
        fit=drawn.get("fit") if line.role == "middle" else None,
        rate=(curve.decay_per_h, curve.decay_low, curve.decay_high),
        points=sum(value is not None for value in readings.value),
    )


def curve_steps() -> tuple[Step, ...]:
    """Return these steps."""
    return (Step("device_curves", _curves, writes=True),)
