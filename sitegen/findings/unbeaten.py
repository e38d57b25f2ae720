"""Which results no other beats on two quantities at once."""

from __future__ import annotations

from collections.abc import Sequence

from sitegen.findings.views import ResultRow
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
    found: list[ResultRow] = []
    highest = float("-inf")
    last: tuple[float, float] | None = None
    for across, up, row in sorted(
        (
            (_goodness(row, x), _goodness(row, y), row)
            for row in rows
            if _counts(row, x, y)
        ),
        key=lambda each: (-each[0], -each[1], each[2].configuration),
    ):
        if up > highest or (across, up) == last:
            highest, last = up, (across, up)
            found.append(row)
    return found


def _counts(row: ResultRow, x: str, y: str) -> bool:
    both = getattr(row, x) is not None and getattr(row, y) is not None
    return both and not ("cadr_m3h" in (x, y) and "CADR_ZERO" in row.flags)


def _goodness(row: ResultRow, quantity: str) -> float:
    """Return a quantity so that more is better; less is where nothing is said."""
    value = float(getattr(row, quantity))
    return value if QUANTITIES[quantity].better == "up" else -value
