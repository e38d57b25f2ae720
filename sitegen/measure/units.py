"""Exact conversions between the units that the trade uses.

All rest on the international foot (0.3048 m), inch (25.4 mm) and pound. Values are
never rounded before they are converted.
"""

from __future__ import annotations

FOOT_M = 0.3048
FOOT2_M2 = 0.09290304
FOOT3_M3 = 0.028316846592
INCH_MM = 25.4
POUND_KG = 0.45359237
CFM_M3H = 1.69901079552
CFM_LS = 0.4719474432
LS_M3H = 3.6
INCH_WATER_PA = 249.08891
KWH_MJ = 3.6


def m3h_from_cfm(flow_cfm: float) -> float:
    """Return m3/h from cubic feet per minute."""
    return flow_cfm * CFM_M3H


def cfm_from_m3h(flow_m3h: float) -> float:
    """Return cubic feet per minute from m3/h."""
    return flow_m3h / CFM_M3H


def m3h_from_ls(flow_ls: float) -> float:
    """Return m3/h from litres per second."""
    return flow_ls * LS_M3H


def ls_from_m3h(flow_m3h: float) -> float:
    """Return litres per second from m3/h."""
    return flow_m3h / LS_M3H


def m3h_from_m3min(flow_m3min: float) -> float:
    """Return m3/h from m3 per minute."""
    return flow_m3min * 60.0


def m3_from_ft3(volume_ft3: float) -> float:
    """Return m3 from cubic feet."""
    return volume_ft3 * FOOT3_M3


def m2_from_ft2(area_ft2: float) -> float:
    """Return m2 from square feet."""
    return area_ft2 * FOOT2_M2


def ft2_from_m2(area_m2: float) -> float:
    """Return square feet from m2."""
    return area_m2 / FOOT2_M2


def m_from_ft(length_ft: float) -> float:
    """Return metres from feet."""
    return length_ft * FOOT_M


def mm_from_in(length_in: float) -> float:
    """Return millimetres from inches."""
    return length_in * INCH_MM


def kg_from_lb(mass_lb: float) -> float:
    """Return kilograms from pounds."""
    return mass_lb * POUND_KG


def pa_from_inch_water(pressure_in: float) -> float:
    """Return pascals from inches of water (conventional, 4 degrees Celsius)."""
    return pressure_in * INCH_WATER_PA


def mj_from_kwh(energy_kwh: float) -> float:
    """Return megajoules from kilowatt-hours."""
    return energy_kwh * KWH_MJ
