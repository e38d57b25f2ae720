"""Whether two sensors' readings rise alike: the ratio of their exponents.

If a reading goes with C^p, every fitted decay is p times too fast, and so is the
CADR, invisibly. Between two sensors only the ratio shows; against a reference, p.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from sitegen.errors import MeasureError


def exponent_ratio(log_a: npt.ArrayLike, log_b: npt.ArrayLike) -> float:
    """Return the Deming slope of ln(sensor a) on ln(sensor b), equal noise in both.

    ``[S_aa - S_bb + sqrt((S_aa - S_bb)^2 + 4 S_ab^2)]/(2 S_ab)``, S the sums of squares
    and products about the means (Deming 1943). Levels do not matter, zero offsets must
    be off. Too close to 1 or too far where one sensor is noisier than the other.

    Args:
        log_a: ln readings during decays, shape (n,), NaN where missing.
        log_b: of the other sensor at the same times.

    Returns:
        p_a/p_b.

    Raises:
        MeasureError: ``lengths_differ``; ``too_few_points`` with fewer than 3 common
            readings; ``constant_series`` when they do not vary together.
    """
    a = np.asarray(log_a, dtype=np.float64)
    b = np.asarray(log_b, dtype=np.float64)
    if a.shape != b.shape or a.ndim != 1:
        raise MeasureError("lengths_differ", values=float(a.size))
    both = ~(np.isnan(a) | np.isnan(b))
    a, b = a[both], b[both]
    if a.size < 3:
        raise MeasureError("too_few_points", count=float(a.size), least=3.0)
    a, b = a - a.mean(), b - b.mean()
    aa, bb, ab = float(a @ a), float(b @ b), float(a @ b)
    if ab == 0:
        raise MeasureError("constant_series")
    return (aa - bb + float(np.hypot(aa - bb, 2 * ab))) / (2 * ab)
