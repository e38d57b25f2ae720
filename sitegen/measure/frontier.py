"""Which tested settings nobody beats on everything at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sitegen.errors import MeasureError
from sitegen.measure.arrays import Floats

CLEARLY_QUIETER_DB = 1.0


@dataclass(frozen=True, slots=True)
class Setting:
    """One tested setting.

    Attributes:
        cadr_m3h: rounded as displayed.
        cadr_low_m3h: lower 95 % limit.
        cadr_high_m3h: upper limit.
        level_dba: sound level, rounded as displayed.
        cost: of the chosen kind, one currency, rounded as displayed.
    """

    cadr_m3h: float
    cadr_low_m3h: float
    cadr_high_m3h: float
    level_dba: float
    cost: float


def dominated_by(settings: Sequence[Setting]) -> list[int | None]:
    """Return for each setting one that beats it, or None when it is on the frontier.

    Pareto's order: j beats i when it has at least as much clean air, is at most as
    loud and as dear, and is better on one of them. Of several the one with the most
    clean air is named, then the first.

    Args:
        settings: only those with all three figures; the caller keeps the others apart.

    Raises:
        MeasureError: ``not_finite``.
    """
    x = _goodness([(s.cadr_m3h, s.level_dba, s.cost) for s in settings])
    out: list[int | None] = []
    for row in x:
        beats = np.all(x >= row, axis=1) & np.any(x > row, axis=1)
        out.append(_best(beats, x[:, 0]))
    return out


def clearly_dominated_by(settings: Sequence[Setting]) -> list[int | None]:
    """Return for each setting one that beats it beyond doubt, or None.

    j does when its lower CADR limit reaches i's upper one, it is quieter by 1 dB or
    more, and it costs no more.

    Args:
        settings: as in ``dominated_by``.

    Raises:
        MeasureError: ``not_finite``.
    """
    mine = _goodness([(s.cadr_high_m3h, s.level_dba, s.cost) for s in settings])
    theirs = _goodness([(s.cadr_low_m3h, s.level_dba, s.cost) for s in settings])
    margin = np.array([0.0, CLEARLY_QUIETER_DB, 0.0])
    out: list[int | None] = []
    for row in mine:
        beats = np.all(theirs >= row + margin - 1e-12, axis=1)
        out.append(_best(beats, theirs[:, 0]))
    return out


def _goodness(rows: Sequence[tuple[float, float, float]]) -> Floats:
    """Return clean air, quiet and cheapness, each the larger the better."""
    x = np.asarray(rows, dtype=np.float64).reshape(-1, 3)
    if not np.all(np.isfinite(x)):
        raise MeasureError("not_finite", what="setting")
    return np.asarray(x * np.array([1.0, -1.0, -1.0]))


def _best(beats: np.typing.NDArray[np.bool_], by: Floats) -> int | None:
    """Return the first of the beating rows with the largest value, or None."""
    rows = np.flatnonzero(beats)
    return int(rows[np.argmax(by[rows])]) if rows.size else None
