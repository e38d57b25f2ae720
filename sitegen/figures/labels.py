"""Where words stand: widths, line breaks, and labels that do not collide."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

# Widths of a generous sans face, in em: labels are given a little too much room, since
# each reader's system font differs.
_SLIM = frozenset("iljftrI.,:;|!'()[]/ -·1")
_BROAD = frozenset("mwMW@%—")
LEADING = 1.25
"""Distance of base lines, in em."""


def width_em(text: str) -> float:
    """Return about how wide ``text`` is, in em of a proportional sans face."""
    total = 0.0
    for letter in text:
        if letter in _SLIM:
            total += 0.36
        elif letter in _BROAD:
            total += 0.9
        elif ord(letter) >= 0x1100:
            total += 1.0
        elif letter.isdecimal():
            total += 0.64
        elif letter.isupper():
            total += 0.68
        else:
            total += 0.57
    return total


def clipped(text: str, room_em: float) -> str:
    """Return ``text``, shortened with an ellipsis when it is wider than the room."""
    if width_em(text) <= room_em:
        return text
    while text and width_em(text) + width_em("…") > room_em:
        text = text[:-1]
    return text.rstrip(" ,.·") + "…"


def wrapped(text: str, room_em: float, lines: int = 2) -> list[str]:
    """Return ``text`` broken between words into ``lines`` at the most.

    What does not fit ends in an ellipsis; nothing is hyphenated.
    """
    # A no-break space is no place to break at, unlike for split() without a sign.
    words = [word for word in text.split(" ") if word]
    done: list[str] = []
    while words and len(done) < lines - 1:
        line = words.pop(0)
        while words and width_em(f"{line} {words[0]}") <= room_em:
            line = f"{line} {words.pop(0)}"
        done.append(clipped(line, room_em))
    if words:
        done.append(clipped(" ".join(words), room_em))
    return done or [""]


def spread(
    wanted: Sequence[float], heights: Sequence[float], low: float, high: float
) -> list[float]:
    """Return centres near the wanted ones, none overlapping, all inside the limits.

    Neighbours that would overlap are moved apart together by the least sum of squares
    (pooling adjacent violators). When all of them cannot fit, they are packed from
    ``low`` on and reach over ``high``.

    Args:
        wanted: centres wanted, px, in any order.
        heights: room that each takes, px.
        low: upper edge of the room, px.
        high: lower edge of the room, px.
    """
    order = sorted(range(len(wanted)), key=lambda at: (wanted[at], at))
    # A block: where its first member's centre wants to be, how many, who.
    blocks: list[list[float]] = []
    members: list[list[int]] = []
    offsets: list[float] = [0.0] * len(wanted)
    for at in order:
        blocks.append([wanted[at], 1.0])
        members.append([at])
        offsets[at] = 0.0
        while len(blocks) > 1:
            upper, lower = members[-2], members[-1]
            reach = offsets[upper[-1]] + (heights[upper[-1]] + heights[lower[0]]) / 2
            if blocks[-2][0] + reach <= blocks[-1][0]:
                break
            start, count = blocks.pop()
            for one in members.pop():
                offsets[one] += reach
                members[-1].append(one)
            before = blocks[-1]
            before[0] = (before[0] * before[1] + (start - reach) * count) / (
                before[1] + count
            )
            before[1] += count
    centres = [0.0] * len(wanted)
    for (start, _), group in zip(blocks, members, strict=True):
        for at in group:
            centres[at] = start + offsets[at]
    return _inside(order, centres, heights, low, high)


def _inside(
    order: Sequence[int],
    centres: list[float],
    heights: Sequence[float],
    low: float,
    high: float,
) -> list[float]:
    """Push what stands out of the limits back in, keeping order and distances."""
    edge = high
    for at in reversed(order):
        centres[at] = min(centres[at], edge - heights[at] / 2)
        edge = centres[at] - heights[at] / 2
    edge = low
    for at in order:
        centres[at] = max(centres[at], edge + heights[at] / 2)
        edge = centres[at] + heights[at] / 2
    return centres


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle that something takes up, px, y downwards.

    Attributes:
        left: left edge.
        top: upper edge.
        right: right edge.
        bottom: lower edge.
    """

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box) -> bool:
        """Return whether the two overlap."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def within(self, other: Box) -> bool:
        """Return whether this one lies wholly inside the other."""
        return (
            self.left >= other.left
            and self.right <= other.right
            and self.top >= other.top
            and self.bottom <= other.bottom
        )
