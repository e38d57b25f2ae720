"""Exact conversions, both ways."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest

from sitegen.measure import units

FOOT = Fraction("0.3048")


@pytest.mark.parametrize(
    ("got", "exact"),
    [
        (units.FOOT_M, FOOT),
        (units.FOOT2_M2, FOOT**2),
        (units.FOOT3_M3, FOOT**3),
        (units.CFM_M3H, FOOT**3 * 60),
        (units.CFM_LS, FOOT**3 * 1000 / 60),
        (units.INCH_MM, FOOT * 1000 / 12),
        (units.LS_M3H, Fraction(3600, 1000)),
        (units.POUND_KG, Fraction("0.45359237")),
        (units.INCH_WATER_PA, Fraction("249.08891")),
        (units.KWH_MJ, Fraction("3.6")),
    ],
)
def test_factors_are_exact(got: float, exact: Fraction) -> None:
    """Every factor is the float nearest to the one that 0.3048 m a foot gives."""
    assert got == float(exact)


@pytest.mark.parametrize(
    ("convert", "value", "expected"),
    [
        (units.m3_from_ft3, 1008.0, 28.5433814),
        (units.m3h_from_cfm, 1.0, 1.69901079552),
        (units.m3h_from_cfm, 200.0, 339.802159),
        (units.m3h_from_cfm, 600.0, 1019.40648),
        (units.m3h_from_cfm, 850.0, 1444.15918),
        (units.cfm_from_m3h, 1.0, 0.588577778691),
        (units.cfm_from_m3h, 180.0, 105.944000),
        (units.cfm_from_m3h, 60.0, 35.3146667),
        (units.m3h_from_ls, 1.0, 3.6),
        (units.ls_from_m3h, 1.69901079552, 0.4719474432),
        (units.m3h_from_m3min, 1.0, 60.0),
        (units.m_from_ft, 8.0, 2.4384),
        (units.m2_from_ft2, 1.0, 0.09290304),
        (units.mm_from_in, 1.0, 25.4),
        (units.kg_from_lb, 1.0, 0.45359237),
        (units.pa_from_inch_water, 1.0, 249.08891),
        (units.mj_from_kwh, 1.0, 3.6),
    ],
)
def test_vectors(
    convert: Callable[[float], float], value: float, expected: float
) -> None:
    """Each conversion gives the published figure to all of its digits."""
    assert convert(value) == pytest.approx(expected, rel=3e-9)


def test_published_pair_of_flows() -> None:
    """The pair 600 and 850 cfm is 1019 and 1444 m3/h, as its paper prints it."""
    assert round(units.m3h_from_cfm(600.0)) == 1019
    assert round(units.m3h_from_cfm(850.0)) == 1444


@pytest.mark.parametrize(
    ("there", "back"),
    [
        (units.m3h_from_cfm, units.cfm_from_m3h),
        (units.m3h_from_ls, units.ls_from_m3h),
        (units.m2_from_ft2, units.ft2_from_m2),
    ],
)
def test_there_and_back(
    there: Callable[[float], float], back: Callable[[float], float]
) -> None:
    """What is converted and converted back is what it was."""
    assert back(there(123.456)) == pytest.approx(123.456, rel=1e-15)
    assert there(0.0) == 0.0
