"""Fewer points for drawing, keeping what the eye would see: ends, extremes, gaps."""

from __future__ import annotations

from collections.abc import Sequence

LIMIT = 160
"""Points of one drawn line at the most."""


def thinned(values: Sequence[float | None], limit: int = LIMIT) -> list[int]:
    """Return which readings to draw, in order.

    The series is cut into equal buckets; of each the lowest and the highest reading
    are kept, with the first and the last of the series, and one missing reading where
    a bucket has any, so that a gap stays a gap.

    Args:
        values: readings in order of time; None is a missing one.
        limit: how many may be kept; 8 or more.
    """
    count = len(values)
    if count <= limit:
        return list(range(count))
    buckets = max(1, (limit - 2) // 3)
    kept = {0, count - 1}
    for bucket in range(buckets):
        places = range(bucket * count // buckets, (bucket + 1) * count // buckets)
        known = [(value, at) for at in places if (value := values[at]) is not None]
        if known:
            kept.add(min(known)[1])
            kept.add(max(known)[1])
        missing = next((at for at in places if values[at] is None), None)
        if missing is not None:
            kept.add(missing)
    return sorted(kept)


def every(count: int, limit: int) -> list[int]:
    """Return ``limit`` places at the most out of ``count``, evenly, ends included.

    For smooth lines (fits and bands), which have no extremes to keep.
    """
    if count <= limit:
        return list(range(count))
    return sorted({round(at * (count - 1) / (limit - 1)) for at in range(limit)})
