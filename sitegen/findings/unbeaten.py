"""Which results no other beats on two quantities at once."""

from __future__ import annotations

from collections.abc import Sequence

from sitegen.findings.views import ResultRow
from sitegen.measure import frontier
from sitegen.measure.sound import TIE_DBA
from sitegen.model import QUANTITIES


def unbeaten(rows: Sequence[ResultRow], x: str, y: str) -> list[ResultRow]:
    """Return the rows than which none is as good on both and better on one.

    Those at the better end of ``x`` come first. Rows at one place do not beat each
    other. A CADR that is not told from zero beats none and is not among them.

    Args:
        rows: results; those without both quantities are left out.
        x: one quantity.
        y: the other.
    """
    known = _known(rows, x, y)
    found = frontier.unbeaten(
        [_ends(row, x)[1] for row in known], [_ends(row, y)[1] for row in known]
    )
    return [known[at] for at in found]


def perhaps_unbeaten(rows: Sequence[ResultRow], x: str, y: str) -> list[ResultRow]:
    """Return the rows that another beats, but none beyond their uncertainty.

    Intervals of 95 % are held against each other: another's worse end is no better
    than this one's better end, on one quantity at least. Sound levels less than 1 dB
    apart count as alike. In the order of ``unbeaten``; those are not among them.

    Args:
        rows: results; those without both quantities are left out.
        x: one quantity.
        y: the other.
    """
    known = _known(rows, x, y)
    across, up = ([_ends(row, q) for row in known] for q in (x, y))
    open_still = frontier.not_clearly_beaten(
        [low for low, _, _ in across],
        [high for _, _, high in across],
        [low for low, _, _ in up],
        [high for _, _, high in up],
    )
    best = {id(row) for row in unbeaten(known, x, y)}
    return [
        row
        for row, still in zip(known, open_still, strict=True)
        if still and id(row) not in best
    ]


def _known(rows: Sequence[ResultRow], x: str, y: str) -> list[ResultRow]:
    """Return the rows that count, the better end of ``x`` first."""
    return sorted(
        (row for row in rows if _counts(row, x, y)),
        key=lambda row: (-_ends(row, x)[1], -_ends(row, y)[1], row.configuration),
    )


def _counts(row: ResultRow, x: str, y: str) -> bool:
    both = getattr(row, x) is not None and getattr(row, y) is not None
    return both and not ("cadr_m3h" in (x, y) and "CADR_ZERO" in row.flags)


def _ends(row: ResultRow, quantity: str) -> tuple[float, float, float]:
    """Return the worst, the value and the best, turned so that more is better.

    Less is better where nothing is said. A clearance time without an upper limit has
    none; a sound level has the width within which levels tie.
    """
    known = QUANTITIES[quantity]
    value = float(getattr(row, quantity))
    low = high = value
    if known.rounding == "sound":
        low, high = value - TIE_DBA / 2, value + TIE_DBA / 2
    elif known.low and getattr(row, known.low) is not None:
        low = float(getattr(row, known.low))
        most = getattr(row, known.high) if known.high else None
        high = float("inf") if most is None else float(most)
    if known.better == "up":
        return low, value, high
    return -high, -value, -low
