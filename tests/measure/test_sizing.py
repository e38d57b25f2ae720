"""Air changes, efficiency, room size and the number of devices."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from sitegen.errors import MeasureError
from sitegen.measure.sizing import (
    CONVENTIONS,
    EQUIVALENT_AIR_LS,
    HOME_GUIDE_CFM,
    air_changes,
    area_m2,
    cap_of_one,
    convention_area_m2,
    equivalent_clean_air_m3h,
    home_guide_ft2,
    implied_air_changes,
    people_served,
    steady_reduction,
    steady_remaining,
    system_efficiency,
    units_for_flow,
    units_needed,
)
from sitegen.measure.units import cfm_from_m3h, ft2_from_m2, m2_from_ft2, m3h_from_cfm


def test_air_changes() -> None:
    """180 m3/h in 75 m3 are 2.4 air changes an hour."""
    assert air_changes(180.0, 75.0) == pytest.approx(2.4, rel=1e-12)


def test_steady_reduction() -> None:
    """2.4 changes against other losses of 0.8/h take three quarters away."""
    assert steady_reduction(2.4, 0.8) == pytest.approx(0.75, rel=1e-12)
    assert steady_remaining(2.4, 0.8) == pytest.approx(0.25, rel=1e-12)


def test_twelve_changes_leave_a_twentieth() -> None:
    """Of 12 changes in all, 0.6 of them natural, 5 % of the level remains."""
    assert steady_remaining(11.4, 0.6) == pytest.approx(0.05, rel=1e-12)


def test_no_clean_air_reduces_nothing() -> None:
    """Without clean air the whole level remains."""
    assert steady_reduction(0.0, 0.8) == 0.0
    assert steady_remaining(0.0, 0.8) == 1.0


def test_system_efficiency() -> None:
    """180 +/- 6 over 240 +/- 12 m3/h is 0.75 +/- 0.0450693909."""
    got = system_efficiency(180.0, 6.0, 240.0, 12.0)
    assert got.value == pytest.approx(0.75, rel=1e-12)
    assert got.u == pytest.approx(0.0450693909, abs=5e-11)


def test_efficiency_above_one_is_given() -> None:
    """More clean air than air is reported as it is, for a flag to tell of."""
    assert system_efficiency(250.0, 6.0, 240.0, 12.0).value > 1.0


def test_devices_for_a_target() -> None:
    """6 changes of 75 m3 take 2.5 devices of 180 m3/h, which is three."""
    assert units_needed(6.0, 75.0, 180.0) == 3


@pytest.mark.parametrize(
    ("existing", "devices"),
    [(0.0, 3), (90.0, 2), (89.99, 3), (270.0, 1), (450.0, 0), (900.0, 0)],
)
def test_air_that_is_there_counts(existing: float, devices: int) -> None:
    """Existing clean air is taken off first; an exact fit needs no further device."""
    assert units_needed(6.0, 75.0, 180.0, existing) == devices


def test_rounding_never_adds_a_device() -> None:
    """Three times 0.1 for devices of 0.1 is three, whatever floats make of it."""
    assert (0.1 + 0.2) / 0.1 > 3.0
    assert units_for_flow(0.1 + 0.2, 0.1) == 3


def test_cap_for_each_of_three() -> None:
    """Three devices under 45 dB(A) may each have 40.2287875 dB(A)."""
    assert cap_of_one(45.0, 3) == pytest.approx(40.2287875, abs=5e-8)
    assert cap_of_one(45.0, 1) == 45.0


def test_area_at_five_changes() -> None:
    """180 m3/h give 14.4 m2 five changes under a ceiling of 2.5 m."""
    assert area_m2(180.0, 5.0, 2.5) == pytest.approx(14.4, rel=1e-12)


@pytest.mark.parametrize(
    ("cfm_per_ft2", "implied"),
    [(1 / 1.55, 4.83870968), (2 / 3, 5.0), (0.65, 4.875)],
)
def test_implied_air_changes(cfm_per_ft2: float, implied: float) -> None:
    """A rule in cfm per square foot under 8 ft implies the air changes it should."""
    got = implied_air_changes(cfm_per_ft2, 8.0)
    assert got == pytest.approx(implied, abs=5e-9)


def test_area_by_a_factor_of_1_55() -> None:
    """At the changes that 1.55 ft2/cfm imply, 180 m3/h serve 164.213200 ft2."""
    changes = implied_air_changes(1 / 1.55, 8.0)
    area = area_m2(180.0, changes, 2.4384)
    assert ft2_from_m2(area) == pytest.approx(164.213200, abs=5e-7)
    assert area == pytest.approx(15.2559055, abs=5e-8)
    assert area_m2(1.0, changes, 2.4384) == pytest.approx(0.0847550306, abs=5e-11)


@pytest.mark.parametrize(
    ("m2_per_m3h", "changes"), [(0.07, 5.952381), (0.12, 3.4722222)]
)
def test_area_by_a_factor_under_2_4_m(m2_per_m3h: float, changes: float) -> None:
    """0.07 to 0.12 m2 per m3/h under 2.4 m are 5.952 to 3.472 changes."""
    assert area_m2(1.0, changes, 2.4) == pytest.approx(m2_per_m3h, rel=1e-7)


def test_two_thirds_rule() -> None:
    """The two-thirds rule gives 150 ft2 for 100 cfm under an 8 ft ceiling."""
    got = convention_area_m2(m3h_from_cfm(100.0), "two_thirds")
    assert got == pytest.approx(m2_from_ft2(150.0), rel=1e-12)


def test_another_height_scales_the_area() -> None:
    """Under a ceiling twice as high the area is half."""
    low = convention_area_m2(180.0, "five_air_changes")
    high = convention_area_m2(180.0, "five_air_changes", 2 * 2.4384)
    assert low == pytest.approx(180.0 / (5.0 * 2.4384), rel=1e-12)
    assert high == pytest.approx(low / 2.0, rel=1e-12)


def test_only_conventions_that_were_read() -> None:
    """Rules whose source was not read are not offered, and every one is named."""
    assert set(CONVENTIONS) == {"two_thirds", "five_air_changes"}
    # 100 ft2 is quoted nowhere that was read.
    assert dict(HOME_GUIDE_CFM) == {200: 130, 300: 195, 400: 260, 500: 325, 600: 390}
    with pytest.raises(KeyError):
        convention_area_m2(180.0, "effective_room_size")


def test_table_of_equivalent_clean_air() -> None:
    """The table of L/s per person is as published."""
    assert dict(EQUIVALENT_AIR_LS) == {
        **dict.fromkeys(("light_assembly", "warehouse"), 10),
        **dict.fromkeys(("cell", "office", "dwelling"), 15),
        **dict.fromkeys(("dayroom", "retail", "classroom", "exam_room"), 20),
        **dict.fromkeys(("lecture_hall", "manufacturing", "resident_room"), 25),
        **dict.fromkeys(("auditorium", "worship", "spectator_area"), 25),
        **dict.fromkeys(("lobby", "common_area"), 25),
        **dict.fromkeys(("food_and_beverage", "transport_waiting"), 30),
        **dict.fromkeys(("museum", "convention"), 30),
        **dict.fromkeys(("group_treatment", "patient_room"), 35),
        "gym": 40,
        "health_waiting": 45,
    }


def test_clean_air_of_a_class() -> None:
    """25 people in class need 1800 m3/h; 5 L/s each of outdoor air leave 1350."""
    need = EQUIVALENT_AIR_LS["classroom"]
    assert equivalent_clean_air_m3h(need, 25) == pytest.approx(1800.0, rel=1e-12)
    left = equivalent_clean_air_m3h(need - 5.0, 25)
    assert left == pytest.approx(1350.0, rel=1e-12)
    assert units_for_flow(left, 300.0) == 5


def test_the_two_unit_columns_are_rounded_apart() -> None:
    """The table's 40 cfm for a class is 18.8778977 L/s, not its 20 L/s."""
    ls = m3h_from_cfm(40.0) / 3.6
    assert ls == pytest.approx(18.8778977, abs=5e-8)
    assert cfm_from_m3h(EQUIVALENT_AIR_LS["classroom"] * 3.6) > 42.0


@pytest.mark.parametrize(
    "call",
    [
        lambda: air_changes(180.0, 0.0),
        lambda: steady_reduction(-1.0, 1.0),
        lambda: steady_reduction(1.0, -1.0),
        lambda: steady_reduction(0.0, 0.0),
        lambda: steady_remaining(0.0, 0.0),
        lambda: system_efficiency(0.0, 6.0, 240.0, 12.0),
        lambda: system_efficiency(180.0, 6.0, 0.0, 12.0),
        lambda: units_needed(0.0, 75.0, 180.0),
        lambda: units_needed(6.0, -75.0, 180.0),
        lambda: units_needed(6.0, 75.0, 0.0),
        lambda: units_for_flow(100.0, 0.0),
        lambda: cap_of_one(45.0, 0),
        lambda: area_m2(180.0, 0.0, 2.5),
        lambda: area_m2(180.0, 5.0, 0.0),
        lambda: convention_area_m2(180.0, "two_thirds", 0.0),
        lambda: implied_air_changes(0.65, 0.0),
        lambda: equivalent_clean_air_m3h(-1.0, 25),
        lambda: equivalent_clean_air_m3h(20.0, -1),
        lambda: people_served(0.0, 100.0),
        lambda: people_served(20.0, -1.0),
    ],
)
def test_impossible_input_is_refused(call: Callable[[], object]) -> None:
    """Input without a meaning raises a typed error."""
    with pytest.raises(MeasureError) as caught:
        call()
    assert caught.value.code == "not_positive"


@pytest.mark.parametrize(
    ("cadr_cfm", "floor_ft2"),
    [(129.9, None), (130.0, 200.0), (259.0, 300.0), (325.0, 500.0), (900.0, 600.0)],
)
def test_home_guide_is_not_interpolated(
    cadr_cfm: float, floor_ft2: float | None
) -> None:
    """The largest row whose least CADR is met counts; below the first, none."""
    assert home_guide_ft2(cadr_cfm) == floor_ft2


@pytest.mark.parametrize(
    ("each", "cadr", "people"),
    # 25 people in a classroom need 1800 m3/h: 72 for each of them.
    [(20.0, 1800.0, 25), (20.0, 1799.9, 24), (20.0, 71.9, 0), (45.0, 324.0, 2)],
)
def test_people_served(each: float, cadr: float, people: int) -> None:
    """Whole people whose equivalent clean airflow a CADR covers."""
    assert people_served(each, cadr) == people
