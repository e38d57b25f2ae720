"""The figure of an edition, drawn from what was kept of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from sitegen.figures.decay import DecayFigure, DecayLine, drawn_points
from sitegen.figures.from_findings import CurveLine, decay_figure
from sitegen.findings.views import RunCurve
from sitegen.model import FrozenFigure, FrozenLine


def frozen_lines(lines: Sequence[CurveLine]) -> tuple[FrozenLine, ...]:
    """Return runs as an edition keeps them: the points that are drawn, and the fit."""
    drawn = [line for line in decay_figure(lines, "").lines if line.role != "fit"]
    return tuple(_frozen(line, shown) for line, shown in zip(lines, drawn, strict=True))


def _frozen(line: CurveLine, shown: DecayLine) -> FrozenLine:
    places = drawn_points(shown)
    curve = line.curve
    return FrozenLine(
        label=line.label,
        role=line.role,
        minutes=tuple(round(shown.t_min[at], 3) for at in places),
        share=tuple(
            None if (share := shown.value[at]) is None else float(f"{share:.5g}")
            for at in places
        ),
        decay_per_h=curve.decay_per_h,
        decay_low=curve.decay_low,
        decay_high=curve.decay_high,
    )


def frozen_decay(kept: FrozenFigure, title: str) -> DecayFigure | None:
    """Return the decay figure that an edition keeps, or nothing where it has no line.

    Args:
        kept: what the edition keeps of its figure.
        title: title of the figure.
    """
    lines = [
        CurveLine(line.label, line.role, _curve(line))
        for line in kept.lines
        if any(share is not None for share in line.share)
        and len(line.minutes) == len(line.share)
    ]
    if not lines:
        return None
    return replace(decay_figure(lines, title), target=kept.target)


def _curve(line: FrozenLine) -> RunCurve:
    return RunCurve(
        fraction="",
        unit="",
        elapsed_min=line.minutes,
        sensors=(),
        combined=line.share,
        residuals=(),
        start_min=0.0,
        end_min=line.minutes[-1],
        decay_per_h=line.decay_per_h,
        decay_low=line.decay_low,
        decay_high=line.decay_high,
        target=0.0,
    )
