"""How much clean air a room gets and how many devices it takes.

Air changes are a guide and no safety limit; ventilation that a code requires is not
replaced. Every room-size figure carries the name of its convention.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from sitegen.measure.arrays import checked_positive
from sitegen.measure.units import LS_M3H


@dataclass(frozen=True, slots=True)
class Convention:
    """A published rule of thumb for room size.

    Attributes:
        air_changes_per_h: equivalent air changes that it implies.
        ceiling_m: ceiling height that it assumes.
    """

    air_changes_per_h: float
    ceiling_m: float


CONVENTIONS: Mapping[str, Convention] = MappingProxyType(
    {
        "two_thirds": Convention(5.0, 2.4384),
        "five_air_changes": Convention(5.0, 2.4384),
    }
)
"""Only conventions whose source was read; others wait until theirs has been.

``two_thirds``: CADR in cfm at least two thirds of the floor area in ft2, 8 ft ceiling
(as published in secondary sources). ``five_air_changes``: aim for 5 or more, equivalent
ones included (CDC, 12 May 2023)."""

HOME_GUIDE_CFM: Mapping[float, float] = MappingProxyType(
    {200.0: 130.0, 300.0: 195.0, 400.0: 260.0, 500.0: 325.0, 600.0: 390.0}
)
"""Least CADR, cfm, by floor area, ft2, under 8 ft: the EPA's guide for homes, as quoted
in secondary sources; the row for 100 ft2 was not verified and is left out."""

EQUIVALENT_AIR_LS: Mapping[str, float] = MappingProxyType(
    {
        "cell": 15.0,
        "dayroom": 20.0,
        "food_and_beverage": 30.0,
        "gym": 40.0,
        "office": 15.0,
        "retail": 20.0,
        "transport_waiting": 30.0,
        "classroom": 20.0,
        "lecture_hall": 25.0,
        "manufacturing": 25.0,
        "light_assembly": 10.0,
        "warehouse": 10.0,
        "exam_room": 20.0,
        "group_treatment": 35.0,
        "patient_room": 35.0,
        "resident_room": 25.0,
        "health_waiting": 45.0,
        "auditorium": 25.0,
        "worship": 25.0,
        "museum": 30.0,
        "convention": 30.0,
        "spectator_area": 25.0,
        "lobby": 25.0,
        "common_area": 25.0,
        "dwelling": 15.0,
    }
)
"""Equivalent clean airflow for infection control, L/s per person, after ASHRAE
241-2023 as coded with Jones et al. 2025 (doi 10.1016/j.buildenv.2025.113318); the
standard itself was not read. Its inch-pound column is rounded separately: never
convert between the two. Long-range aerosol only, in infection-risk-management mode,
with other provisions to be met; a decay-test CADR is no claim of compliance."""


@dataclass(frozen=True, slots=True)
class Efficiency:
    """A single-pass (system) efficiency.

    Attributes:
        value: clean air over airflow; above 1 is a sign of a measuring error.
        u: its standard uncertainty.
    """

    value: float
    u: float


def air_changes(cadr_m3h: float, volume_m3: float) -> float:
    """Return equivalent air changes ``CADR/V``, 1/h; outdoor air is stated separately.

    Args:
        cadr_m3h: CADR, m3/h.
        volume_m3: V of the room, m3, perfectly mixed.

    Raises:
        MeasureError: ``not_positive``.
    """
    return cadr_m3h / checked_positive("volume_m3", volume_m3)


def steady_reduction(air_changes_per_h: float, other_per_h: float) -> float:
    """Return the share by which a steady level falls against no device.

    ``(CADR/V)/(CADR/V + lambda)``, the balance of source and losses; perfect mixing,
    constant source.

    Args:
        air_changes_per_h: CADR over volume, 1/h.
        other_per_h: all other losses, 1/h.

    Raises:
        MeasureError: ``not_positive``.
    """
    checked_positive("air_changes_per_h", air_changes_per_h, zero=True)
    checked_positive("other_per_h", other_per_h, zero=True)
    total = checked_positive("total_per_h", air_changes_per_h + other_per_h)
    return air_changes_per_h / total


def steady_remaining(air_changes_per_h: float, other_per_h: float) -> float:
    """Return the share of a steady level that remains, ``lambda/(lambda + CADR/V)``.

    Args:
        air_changes_per_h: CADR over volume, 1/h.
        other_per_h: lambda, all other losses, 1/h.

    Raises:
        MeasureError: ``not_positive``.
    """
    return 1.0 - steady_reduction(air_changes_per_h, other_per_h)


def system_efficiency(
    cadr_m3h: float, cadr_u_m3h: float, airflow_m3h: float, airflow_u_m3h: float
) -> Efficiency:
    """Return clean air over measured airflow at the same setting.

    Short-circuiting is in it, so that it is not the filter's efficiency.
    ``e = C/Q``, ``u/e = sqrt((u_C/C)^2 + (u_Q/Q)^2)`` (first-order propagation,
    independent C and Q).

    Args:
        cadr_m3h: C, m3/h, positive.
        cadr_u_m3h: u_C, standard uncertainty, m3/h.
        airflow_m3h: Q measured with this filter at this speed, m3/h, positive.
        airflow_u_m3h: u_Q, m3/h.

    Raises:
        MeasureError: ``not_positive``.
    """
    clean = checked_positive("cadr_m3h", cadr_m3h)
    flow = checked_positive("airflow_m3h", airflow_m3h)
    value = clean / flow
    share = float(np.hypot(cadr_u_m3h / clean, airflow_u_m3h / flow))
    return Efficiency(value, value * share)


def units_needed(
    target_per_h: float, volume_m3: float, cadr_m3h: float, existing_m3h: float = 0.0
) -> int:
    """Return how many equal devices reach a number of air changes.

    ``ceil((ACH V - existing)/CADR - 1e-9)``, not below 0. To be conservative give the
    lower 95 % limit of the CADR.

    Args:
        target_per_h: air changes to reach, 1/h.
        volume_m3: the room's volume, m3.
        cadr_m3h: clean air of one device at the speed it will run at, m3/h.
        existing_m3h: clean air that the room has already, m3/h.

    Raises:
        MeasureError: ``not_positive``.
    """
    checked_positive("target_per_h", target_per_h)
    checked_positive("volume_m3", volume_m3)
    return units_for_flow(target_per_h * volume_m3 - existing_m3h, cadr_m3h)


def units_for_flow(flow_m3h: float, cadr_m3h: float) -> int:
    """Return how many equal devices give a flow of clean air, not below 0.

    Args:
        flow_m3h: to reach, m3/h.
        cadr_m3h: of one device at the speed it will run at, m3/h, positive.

    Raises:
        MeasureError: ``not_positive`` for the CADR.
    """
    each = checked_positive("cadr_m3h", cadr_m3h)
    return max(math.ceil(flow_m3h / each - 1e-9), 0)


def cap_of_one(cap_dba: float, units: int) -> float:
    """Return the cap for each of several equal devices, ``cap - 10 log10 n``, dB(A).

    Energies add; holds where all stand equally far from the listener.

    Args:
        cap_dba: for all together, dB(A).
        units: n, 1 or more.

    Raises:
        MeasureError: ``not_positive``.
    """
    return cap_dba - 10.0 * math.log10(checked_positive("units", units))


def area_m2(cadr_m3h: float, air_changes_per_h: float, ceiling_m: float) -> float:
    """Return the floor area that gets a number of air changes, ``CADR/(ACH h)``, m2.

    Args:
        cadr_m3h: CADR, m3/h.
        air_changes_per_h: ACH, 1/h, positive.
        ceiling_m: h, m, positive.

    Raises:
        MeasureError: ``not_positive``.
    """
    checked_positive("air_changes_per_h", air_changes_per_h)
    return cadr_m3h / (air_changes_per_h * checked_positive("ceiling_m", ceiling_m))


def convention_area_m2(
    cadr_m3h: float, convention: str, ceiling_m: float | None = None
) -> float:
    """Return the floor area by a named convention.

    Args:
        cadr_m3h: clean air, m3/h. An optical PM2.5 CADR is neither a smoke CADR nor a
            regulated one; say so where the convention is about smoke.
        convention: key of ``CONVENTIONS``.
        ceiling_m: another height than the convention's; the area scales inversely.

    Raises:
        MeasureError: ``not_positive``.
        KeyError: for a convention that is not in the table.
    """
    rule = CONVENTIONS[convention]
    height = rule.ceiling_m if ceiling_m is None else ceiling_m
    return area_m2(cadr_m3h, rule.air_changes_per_h, height)


def home_guide_ft2(cadr_cfm: float) -> float | None:
    """Return the largest floor of the home guide whose least CADR is met, ft2.

    None where not even the smallest row is met; the table is not interpolated.

    Args:
        cadr_cfm: clean air, cubic feet per minute.
    """
    met = [area for area, least in HOME_GUIDE_CFM.items() if cadr_cfm >= least]
    return max(met, default=None)


def implied_air_changes(cfm_per_ft2: float, ceiling_ft: float) -> float:
    """Return the air changes that a rule in cfm per ft2 implies, 1/h.

    ``60 (cfm/ft2)/h``.

    Args:
        cfm_per_ft2: the rule's clean air for each square foot of floor.
        ceiling_ft: h, ceiling height, ft, positive.

    Raises:
        MeasureError: ``not_positive``.
    """
    return cfm_per_ft2 * 60.0 / checked_positive("ceiling_ft", ceiling_ft)


def equivalent_clean_air_m3h(ls_per_person: float, people: int) -> float:
    """Return the clean air for a number of people, ``3.6 q n``, m3/h.

    Args:
        ls_per_person: from ``EQUIVALENT_AIR_LS`` or less what ventilation and
            filtered recirculation give each person already, L/s.
        people: in the room.

    Raises:
        MeasureError: ``not_positive``.
    """
    checked_positive("ls_per_person", ls_per_person, zero=True)
    return ls_per_person * checked_positive("people", people, zero=True) * LS_M3H


def people_served(ls_per_person: float, cadr_m3h: float) -> int:
    """Return for how many people a flow of clean air is enough.

    ``floor(CADR/(ECAi 3.6) + 1e-9)``; outdoor air and filtered recirculation, which
    count as well, are left out.

    Args:
        ls_per_person: from ``EQUIVALENT_AIR_LS``, L/s.
        cadr_m3h: clean air, m3/h; to be conservative its lower limit.

    Raises:
        MeasureError: ``not_positive``.
    """
    each = equivalent_clean_air_m3h(checked_positive("ls", ls_per_person), 1)
    return math.floor(checked_positive("cadr_m3h", cadr_m3h, zero=True) / each + 1e-9)
