"""Dates of one width, a million at a time: digits by their place, in one array."""

from __future__ import annotations

import re

import numpy as np
from numpy.typing import NDArray

from sitegen.desk.intake.cells import Texts

_SPANS = {
    "%Y": r"(?P<Y>\d{4})",
    "%y": r"(?P<y>\d\d)",
    "%m": r"(?P<m>\d\d)",
    "%d": r"(?P<d>\d\d)",
    "%H": r"(?P<H>\d\d)",
    "%M": r"(?P<M>\d\d)",
    "%S": r"(?P<S>\d\d)",
}
_DAY_US = 86_400_000_000
_FIELD = re.compile(r"%[A-Za-z]")


def fixed_width_us(texts: Texts, known: str) -> NDArray[np.int64] | None:
    """Return microseconds since 1970 of dated times that all look alike.

    Args:
        texts: times without blanks around them, shape (n,).
        known: how they are written, as ``strptime`` has it.

    Returns:
        Microseconds, shape (n,); nothing when the texts differ in width or signs, or
        one is no moment of the calendar, so that they have to be read one by one.
    """
    spans = _spans(str(texts[0]), known)
    if spans is None:
        return None
    width = len(texts[0])
    try:
        data = np.array(texts, dtype=f"S{width + 1}")
    except UnicodeEncodeError:
        return None
    signs = data.view(np.uint8).reshape(len(texts), width + 1)
    digits = np.zeros(width + 1, dtype=np.bool_)
    for start, end in spans.values():
        digits[start:end] = True
    values = signs[:, digits].astype(np.int16) - ord("0")
    same = np.all(signs[:, ~digits] == signs[0, ~digits])
    if not same or values.min() < 0 or values.max() > 9:
        return None
    place = np.cumsum(digits) - 1

    def field(name: str, default: int) -> NDArray[np.int64]:
        if name not in spans:
            return np.full(len(texts), default, dtype=np.int64)
        start, end = spans[name]
        number = np.zeros(len(texts), dtype=np.int64)
        for at in range(start, end):
            number = number * 10 + values[:, place[at]]
        return number

    year = field("Y", 1970) if "y" not in spans else 2000 + field("y", 0)
    month, day = field("m", 1), field("d", 1)
    hour, minute, second = field("H", 0), field("M", 0), field("S", 0)
    months = (year - 1970) * 12 + month - 1
    first = months.astype("datetime64[M]").astype("datetime64[D]").astype(np.int64)
    after = (months + 1).astype("datetime64[M]").astype("datetime64[D]")
    length = after.astype(np.int64) - first
    good = (month >= 1) & (month <= 12) & (day >= 1) & (day <= length)
    good &= (hour < 24) & (minute < 60) & (second < 60)
    if not good.all():
        return None
    seconds = hour * 3600 + minute * 60 + second
    return (first + day - 1) * _DAY_US + seconds * 1_000_000


def _spans(text: str, known: str) -> dict[str, tuple[int, int]] | None:
    """Return where the digits of each field stand, or nothing for other fields."""
    fields = _FIELD.findall(known)
    if not set(fields) <= _SPANS.keys():
        return None
    parts = _FIELD.split(known)
    pattern = re.escape(parts[0])
    for name, after in zip(fields, parts[1:], strict=True):
        pattern += _SPANS[name] + re.escape(after)
    found = re.fullmatch(pattern, text, re.ASCII)
    return None if found is None else {k: found.span(k) for k in found.groupdict()}
