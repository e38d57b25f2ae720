"""What the maker claims and what directories list, beside what was measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sitegen.findings.claims import plain_text
from sitegen.findings.views import ClaimView, Interval, Labels
from sitegen.model.device import Rating
from sitegen.pages.claim_nearby import nearby_text, with_interval
from sitegen.pages.code_words import (
    AEROSOLS,
    CLAIM_REASONS,
    CLAIMED,
    GRADES,
    OUTCOMES,
    UNITS,
    word,
)
from sitegen.pages.configuration_names import setting_name, speed_label
from sitegen.pages.formats import date_text, interval_text, number
from sitegen.pages.frame import Site
from sitegen.pages.links import safe_link
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class ClaimDrawing:
    """A measurement against a claim, on an axis from nought.

    Attributes:
        claim: where the claim stands, per cent from the left.
        low: where the interval begins.
        value: where the measurement stands.
        high: where the interval ends.
        said: the same in words.
    """

    claim: str
    low: str
    value: str
    high: str
    said: str


@dataclass(frozen=True, slots=True)
class ClaimRow:
    """One claim beside its measurement.

    Attributes:
        quantity: what it is about.
        claim: the figure as written.
        about: aerosol, speed and what a figure without a unit could mean.
        source: where and when it was read.
        url: address of the source, or ``""``.
        measured: what was measured, or ``""``.
        measured_at: at which setting, or ``""``.
        ratio: measured as a share of the claim, or ``""``.
        outcome: what that allows to say.
        reason: why it is not held against a measurement, or ``""``.
        nearby: what was measured near it, a sentence, or ``""``.
        stands_out: whether the outcome is one to look at.
        drawing: the measurement drawn against the claim, or nothing.
    """

    quantity: str
    claim: str
    about: str
    source: str
    url: str
    measured: str
    measured_at: str
    ratio: str
    outcome: str
    reason: str
    nearby: str
    stands_out: bool
    drawing: ClaimDrawing | None = None


@dataclass(frozen=True, slots=True)
class RatingRow:
    """What one directory says.

    Attributes:
        directory: its name.
        url: address of the entry, or ``""``.
        outcome: whether the device was found, and when.
        figures: figures listed there, each with what measurement says of it.
    """

    directory: str
    url: str
    outcome: str
    figures: tuple[str, ...]


def claim_rows(
    words: Words, site: Site, labels: Labels, claims: Sequence[ClaimView]
) -> tuple[ClaimRow, ...]:
    """Return the claims of a maker as rows."""
    return tuple(_claim(words, site, labels, claim) for claim in claims)


def rating_rows(
    words: Words,
    labels: Labels,
    ratings: Sequence[Rating],
    figures: Sequence[tuple[int, ClaimView]],
) -> tuple[RatingRow, ...]:
    """Return what directories say, each with its figures."""
    return tuple(
        RatingRow(
            directory=rating.directory,
            url=safe_link(rating.url or "") or "",
            outcome=_outcome(words, rating),
            figures=tuple(
                _figure(words, labels, view) for at, view in figures if at == index
            ),
        )
        for index, rating in enumerate(ratings)
    )


def _claim(words: Words, site: Site, labels: Labels, claim: ClaimView) -> ClaimRow:
    unit = word(words, UNITS, claim.unit)
    ratio = _ratio(words, claim.ratio)
    measured = ""
    if claim.measured is not None:
        measured = with_interval(words, claim.measured, unit)
    source = claim.source
    if claim.seen:
        seen = date_text(claim.seen, words)
        source = words("{source}, read {date}", source=source, date=seen).lstrip(", ")
    return ClaimRow(
        quantity=word(words, CLAIMED, claim.quantity),
        claim=_as_claimed(words, claim, unit),
        about=" · ".join(_about(words, labels, claim)),
        source=source,
        url=safe_link(claim.url) or "",
        measured=measured,
        measured_at=_where(words, labels, claim.measured_row),
        ratio=ratio,
        outcome=word(words, GRADES, claim.grade),
        reason=word(words, CLAIM_REASONS, claim.reason) if claim.reason else "",
        nearby=nearby_text(words, site, labels, claim.nearby) if claim.nearby else "",
        stands_out=claim.grade in {"below", "no-unit"},
        drawing=_drawing(words, claim, ratio),
    )


def _as_claimed(words: Words, claim: ClaimView, unit: str) -> str:
    """Return the claim's own words, or its figure with the unit as printed."""
    if claim.text != plain_text(claim.value, claim.unit):
        return claim.text
    figure = number(claim.value, 6, words, plain=True)
    return figure if claim.unit == "unstated" else f"{figure} {unit}"


def _ratio(words: Words, ratio: Interval | None) -> str:
    if ratio is None:
        return ""
    share = Interval(ratio.value * 100, ratio.low * 100, ratio.high * 100)
    shown = interval_text(share, words)
    if not shown.interval or share.low == share.high:
        return words("{n} % of it", n=shown.value)
    return words("{n} % of it ({interval} %)", n=shown.value, interval=shown.interval)


def _drawing(words: Words, claim: ClaimView, said: str) -> ClaimDrawing | None:
    ratio = claim.ratio
    if ratio is None:
        return None
    most = 1.06 * max(1.0, ratio.high)

    def at(share: float) -> str:
        return f"{100 * min(max(share, 0.0), most) / most:.1f}%"

    return ClaimDrawing(
        claim=at(1.0),
        low=at(ratio.low),
        value=at(ratio.value),
        high=at(ratio.high),
        said=words("Measured against the claim: {share}.", share=said),
    )


def _about(words: Words, labels: Labels, claim: ClaimView) -> list[str]:
    said = []
    if claim.quantity == "cadr":
        said.append(word(words, AEROSOLS, claim.aerosol))
    if claim.speed != "not-stated":
        said.append(speed_label(words, labels, claim.speed))
    elif claim.quantity in {"cadr", "airflow", "sound", "power"}:
        said.append(words("speed not stated"))
    said += [
        words(
            "if {unit}: {value} m³/h",
            unit=word(words, UNITS, unit),
            value=number(value, 3, words),
        )
        for unit, value in claim.conversions
    ]
    return said


def _where(words: Words, labels: Labels, measured_row: str) -> str:
    if not measured_row:
        return ""
    _, fitted, speed = measured_row.split(" ", maxsplit=1)[0].split(".")
    return setting_name(words, labels, fitted, speed)


def _outcome(words: Words, rating: Rating) -> str:
    said = word(words, OUTCOMES, rating.outcome)
    if rating.date is None:
        return said
    day = date_text(rating.date.isoformat(), words)
    return words("{what}, {date}", what=said, date=day)


def _figure(words: Words, labels: Labels, view: ClaimView) -> str:
    """Return a directory's figure, and what measurement says of it."""
    parts = [word(words, CLAIMED, view.quantity)]
    if view.aerosol != "not-stated":
        parts.append(word(words, AEROSOLS, view.aerosol))
    if view.speed != "not-stated":
        parts.append(speed_label(words, labels, view.speed))
    unit = word(words, UNITS, view.unit)
    figure = f"{', '.join(parts)}: {_as_claimed(words, view, unit)}"
    outcome = word(words, GRADES, view.grade)
    if view.measured is not None:
        return words(
            "{figure}; measured {measured} at {setting}, {ratio}: {outcome}",
            figure=figure,
            measured=with_interval(words, view.measured, unit),
            setting=_where(words, labels, view.measured_row),
            ratio=_ratio(words, view.ratio),
            outcome=outcome,
        )
    why = word(words, CLAIM_REASONS, view.reason) if view.reason else ""
    said = words("{figure}; {outcome}", figure=figure, outcome=outcome)
    return words("{said} ({why})", said=said, why=why) if why else said
