"""Flags: their effect on validity, and what waits for a decision."""

from __future__ import annotations

import pytest

from sitegen.measure.flags import (
    CODES,
    Flag,
    above,
    flag,
    overall_validity,
    raised_codes,
    to_decide,
)


def test_effects_hold_only_when_raised() -> None:
    """A flag that is not raised leaves the run rated and asks nothing."""
    quiet = flag("STEP", 1.0, 4.0, False, validity="not_rated", decide=True)
    assert (quiet.raised, quiet.validity, quiet.decide) == (False, "rated", False)
    loud = flag("STEP", 5.0, 4.0, True, validity="not_rated", decide=True)
    assert (loud.raised, loud.validity, loud.decide) == (True, "not_rated", True)


@pytest.mark.parametrize(
    ("value", "raised"), [(0.10, False), (0.1001, True), (0.0, False), (None, False)]
)
def test_above_its_limit(value: float | None, raised: bool) -> None:
    """Exactly at the limit, or without a value, the rule is not raised."""
    assert above("GAP", value, 0.10).raised is raised


NOTES = flag("GAP", 0.2, 0.1, True)
BAD = flag("RANGE", 2.0, 3.0, True, validity="not_rated")
QUIET = flag("HELD", 0.0, 0.1, False, validity="not_rated")


@pytest.mark.parametrize(
    ("flags", "validity"),
    [
        ((), "rated"),
        ((QUIET,), "rated"),
        ((QUIET, NOTES), "notes"),
        ((NOTES, BAD, QUIET), "not_rated"),
    ],
)
def test_worst_effect_decides(flags: tuple[Flag, ...], validity: str) -> None:
    """The validity is the worst effect of the flags that are raised."""
    assert overall_validity(flags) == validity


def test_codes_once_each_in_the_tables_order() -> None:
    """Raised codes are listed once, in the order of the table of rules."""
    again = flag("GAP", 3.0, 1.0, True)
    assert raised_codes([again, QUIET, NOTES, BAD]) == ("RANGE", "GAP")
    assert raised_codes([]) == ()


def test_only_raised_flags_are_to_be_decided() -> None:
    """What waits for the tester is raised and marked for a decision."""
    step = flag("STEP", 5.0, 4.0, True, decide=True)
    off = flag("OFF", 1.0, 0.5, False, decide=True)
    assert to_decide([NOTES, step, off]) == (step,)


def test_table_of_codes() -> None:
    """The permanent names are those of the method's table, and unique."""
    assert len(set(CODES)) == len(CODES)
    table = (
        "N_LOW RANGE SE_K CADR_ZERO CURV STEP CORR RESID SENSOR MIX SAT HELD FLOOR "
        "QUANT LAG GAP OFF NAT_NONE NAT_ONE NAT_OLD VOLUME AIRFLOW ENV VARIABLE "
        "OUTLIER"
    )
    assert " ".join(CODES) == table
