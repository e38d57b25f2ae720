"""What a rule says about a run or a result: typed, never blocking.

A flag never stops publishing and never removes a run; it sets the computed validity,
and some ask the tester to decide. Rules on one run are in ``run_flags``, on one
sensor's readings in ``sensor_checks``, on a result in ``result_flags``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

Validity = Literal["rated", "notes", "not_rated"]

CODES: tuple[str, ...] = (
    "N_LOW",
    "RANGE",
    "SE_K",
    "CADR_ZERO",
    "CURV",
    "STEP",
    "CORR",
    "RESID",
    "SENSOR",
    "MIX",
    "SAT",
    "HELD",
    "FLOOR",
    "QUANT",
    "LAG",
    "GAP",
    "OFF",
    "NAT_NONE",
    "NAT_ONE",
    "NAT_OLD",
    "VOLUME",
    "AIRFLOW",
    "ENV",
    "VARIABLE",
    "OUTLIER",
)


@dataclass(frozen=True, slots=True)
class Flag:
    """One rule's outcome.

    Attributes:
        code: the rule's permanent name, one of ``CODES``.
        value: what was measured; None when nothing could be (rule not raised).
        limit: what it was held against.
        unit: of both; empty for a bare ratio or count.
        raised: whether the rule applies.
        validity: what a raised flag does to the validity; ``rated`` when not raised.
        decide: raised, and waiting for the tester's recorded decision.
        instrument: the sensor concerned, empty when it is the whole run.
        about: a short word for the case within the rule, for example ``humidity``.
        at_min: when it was, elapsed minutes; None where a rule is about no moment.
    """

    code: str
    value: float | None
    limit: float
    unit: str
    raised: bool
    validity: Validity
    decide: bool = False
    instrument: str = ""
    about: str = ""
    at_min: float | None = None


def flag(
    code: str,
    value: float | None,
    limit: float,
    raised: bool,
    *,
    unit: str = "",
    validity: Validity = "notes",
    decide: bool = False,
    instrument: str = "",
    about: str = "",
    at_min: float | None = None,
) -> Flag:
    """Make a flag whose effects hold only when it is raised."""
    return Flag(
        code=code,
        value=value,
        limit=limit,
        unit=unit,
        raised=bool(raised),
        validity=validity if raised else "rated",
        decide=bool(raised and decide),
        instrument=instrument,
        about=about,
        at_min=at_min,
    )


def above(
    code: str,
    value: float | None,
    limit: float,
    *,
    unit: str = "",
    validity: Validity = "notes",
    decide: bool = False,
    instrument: str = "",
    about: str = "",
) -> Flag:
    """Make a flag that is raised when the value exceeds its limit."""
    return flag(
        code,
        value,
        limit,
        value is not None and value > limit,
        unit=unit,
        validity=validity,
        decide=decide,
        instrument=instrument,
        about=about,
    )


def overall_validity(flags: Iterable[Flag]) -> Validity:
    """Return the worst effect of the raised flags; ``rated`` when there is none."""
    effects = {item.validity for item in flags if item.raised}
    if "not_rated" in effects:
        return "not_rated"
    return "notes" if "notes" in effects else "rated"


def raised_codes(flags: Iterable[Flag]) -> tuple[str, ...]:
    """Return the raised flags' codes once each, in the table's order."""
    raised = {item.code for item in flags if item.raised}
    return tuple(code for code in CODES if code in raised)


def to_decide(flags: Iterable[Flag]) -> tuple[Flag, ...]:
    """Return the raised flags on which the tester's decision is awaited."""
    return tuple(item for item in flags if item.decide)
