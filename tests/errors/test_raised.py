"""The tree of exceptions."""

from __future__ import annotations

import pytest

from sitegen.errors import (
    Fault,
    FaultsFound,
    LockHeld,
    MachineFault,
    MeasureError,
    Place,
    RebuildError,
    SitegenError,
    UsageFault,
)


@pytest.mark.parametrize(
    ("error", "code"),
    [
        (FaultsFound([]), 1),
        (MeasureError("x"), 1),
        (UsageFault("x"), 2),
        (MachineFault("x"), 3),
        (LockHeld("x"), 3),
        (RebuildError("x"), 3),
    ],
)
def test_every_exception_has_the_exit_code_of_its_sort(
    error: SitegenError, code: int
) -> None:
    """Faults end with 1, wrong usage with 2, faults of the machine with 3."""
    assert isinstance(error, SitegenError)
    assert error.exit_code == code


def test_data_are_carried_beside_the_text() -> None:
    """What a handler needs is an attribute, not a part of the message."""
    error = MeasureError("too_few_points", count=2.0, least=3.0)
    assert (error.code, error.detail) == (
        "too_few_points",
        {"count": 2.0, "least": 3.0},
    )
    assert str(error) == "too_few_points (count=2.0, least=3.0)"
    assert str(MeasureError("no_readings")) == "no_readings"
    claims = RebuildError("two_claims", path="a.html")
    assert claims.detail == {"path": "a.html"}
    faults = FaultsFound([Fault("tab", Place("a.yaml"))])
    assert [fault.code for fault in faults.faults] == ["tab"]
