"""From findings to figures: which numbers, in which unit, with which names."""

from __future__ import annotations

from dataclasses import replace
from math import exp

import pytest

from sitegen.figures.from_findings import (
    MOST_NAMED,
    CurveLine,
    decay_figure,
    ranked_figure,
    residual_figure,
    run_figure,
    scatter_figure,
)
from sitegen.figures.scatter import Measure
from sitegen.findings.views import ResultRow
from tests.figures.examples import curve, result
from tests.findings.builders import row


def test_decay_starts_at_its_own_fit() -> None:
    """A line runs from the start of its fitted part to its end, gaps kept."""
    figure = decay_figure([CurveLine("Alder", "middle", curve())], "Decay")
    readings, fit = figure.lines
    assert readings.t_min == (0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0)
    assert readings.value[0] == pytest.approx(1.0)
    assert readings.value[2] is None
    assert (readings.role, fit.role) == ("middle", "fit")
    assert figure.target == 0.1


def test_fit_and_its_band() -> None:
    """The fit falls with its rate, its band with the limits, the slow one above."""
    figure = decay_figure([CurveLine("Alder", "middle", curve())], "Decay")
    fit = figure.lines[1]
    assert (fit.t_min[0], fit.t_min[-1]) == (0, 6)
    assert fit.value[-1] == pytest.approx(exp(-6.0 * 0.1))
    assert fit.band_low[-1] == pytest.approx(exp(-6.3 * 0.1))
    assert fit.band_high[-1] == pytest.approx(exp(-5.8 * 0.1))


def test_repeats_share_a_colour_and_have_no_fit() -> None:
    """Runs of one configuration share an index; only the middle one has a fit."""
    lines = [
        CurveLine("Alder", "repeat", curve()),
        CurveLine("Birch", "middle", curve()),
        CurveLine("Alder", "middle", curve()),
    ]
    figure = decay_figure(lines, "Decay")
    assert [(line.label, line.role, line.index) for line in figure.lines] == [
        ("Alder", "repeat", 0),
        ("Birch", "middle", 1),
        ("Birch", "fit", 1),
        ("Alder", "middle", 0),
        ("Alder", "fit", 0),
    ]


@pytest.mark.parametrize(("series", "fits"), [(3, 3), (4, 0)])
def test_bands_only_where_they_can_be_read(series: int, fits: int) -> None:
    """With more than three series fits and bands are left out."""
    lines = [CurveLine(f"D{at}", "middle", curve()) for at in range(series)]
    roles = [line.role for line in decay_figure(lines, "Decay").lines]
    assert (roles.count("fit"), roles.count("middle")) == (fits, series)


def test_run_without_a_fit_has_no_line_of_it() -> None:
    """What could not be fitted has its readings alone."""
    bare = curve(decay_per_h=None, decay_low=None, decay_high=None)
    figure = decay_figure([CurveLine("Alder", "middle", bare)], "Decay")
    assert [line.role for line in figure.lines] == ["middle"]


def test_targets_that_differ_are_not_drawn() -> None:
    """Curves with different targets have no common target line."""
    lines = [
        CurveLine("A", "middle", curve()),
        CurveLine("B", "middle", curve(target=0.2)),
    ]
    assert decay_figure(lines, "Decay").target is None


def test_readings_of_a_run() -> None:
    """A run shows what each instrument logged, its fit as that instrument reads it."""
    figure = run_figure(
        curve(), [(4.0, "device_on")], "Readings", {"bench-a": "Bench A"}
    )
    one, two = figure.lines
    assert (one.label, two.label) == ("Bench A", "bench-b")
    assert one.value == curve().sensors[0].values
    assert figure.unit == "µg/m³"
    assert (figure.window_min, figure.rate_per_h) == ((4.0, 10.0), (6.0, 5.8, 6.3))
    # 200 at the start over an offset of 1, falling with 6/h for 6 minutes.
    assert one.fit[0] == pytest.approx(201.0)
    assert one.fit[-1] == pytest.approx(1.0 + 200.0 * exp(-0.6))
    assert (one.fit_t_min[0], one.fit_t_min[-1]) == (4.0, 10.0)
    assert (two.fit, two.fit_t_min) == ((), ())


def test_readings_of_a_run_that_was_not_fitted() -> None:
    """A run without a fit has neither shaded part nor rate."""
    bare = curve(decay_per_h=None, decay_low=None, decay_high=None, unit="1/cm3")
    figure = run_figure(bare, [], "Readings")
    assert (figure.window_min, figure.rate_per_h) == (None, None)
    assert all(line.fit == () for line in figure.lines)
    assert figure.unit == "1/cm³"


def test_residuals_of_the_fitted_part() -> None:
    """Residuals are those inside the fitted part, gaps kept."""
    figure = residual_figure(curve(), "Residuals")
    assert figure.t_min == (4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0)
    assert figure.value == (0.01, 0.02, None, -0.03, 0.0, 0.01, 0.0)


ROWS: list[tuple[str, ResultRow]] = [
    (
        "Alder",
        result(cadr_m3h=180.0, cadr_low=170.0, cadr_high=190.0, sound_dba=45.0),
    ),
    ("Birch", result(validity="not_rated", cadr_m3h=90.0, sound_dba=None)),
    ("Cedar", result(cadr_m3h=None, sound_dba=30.0, sound_low=29.0, sound_high=31.0)),
]


def test_ranked_leaves_out_what_was_not_measured() -> None:
    """A configuration without the quantity has no row; one not rated is marked."""
    figure = ranked_figure(ROWS, "cadr_m3h", "Clean air")
    assert [(row.label, row.value, row.low, row.rated) for row in figure.rows] == [
        ("Alder", 180.0, 170.0, True),
        ("Birch", 90.0, None, False),
    ]
    assert (figure.label, figure.unit) == ("CADR", "m³/h")
    assert (figure.from_zero, figure.decibels) == (True, False)


def test_levels_are_not_ranked_from_zero() -> None:
    """Levels are read to half a decibel, the quietest first, from no nought."""
    figure = ranked_figure(ROWS, "sound_dba", "Sound")
    assert (figure.from_zero, figure.decibels, figure.unit) == (False, True, "dB(A)")
    assert [(row.low, row.high) for row in figure.rows] == [(29.0, 31.0), (None, None)]


def test_customary_units() -> None:
    """In customary units value and limits are turned, 180 m³/h into 105.944 cfm."""
    (first, _) = ranked_figure(ROWS, "cadr_m3h", "Clean air", units="us").rows
    assert first.value == pytest.approx(105.944000, rel=1e-7)
    assert first.low == pytest.approx(170.0 / 1.69901079552)
    assert ranked_figure(ROWS, "cadr_m3h", "Clean air", units="us").unit == "cfm"
    levels = ranked_figure(ROWS, "sound_dba", "Sound", units="us")
    assert (levels.rows[0].value, levels.unit) == (30.0, "dB(A)")


def test_clean_air_per_watt_in_customary_units() -> None:
    """4 m³/h per watt are 2.35431111 cfm per watt."""
    rows = [("Alder", result(cadr_per_w=4.0))]
    figure = ranked_figure(rows, "cadr_per_w", "Efficiency", units="us")
    assert figure.rows[0].value == pytest.approx(2.35431111, rel=1e-8)
    assert figure.unit == "cfm per W"


def test_currency_is_the_unit_of_costs() -> None:
    """Costs have the archive's currency for a unit."""
    rows = [("Alder", result(running_cost_year=150.7))]
    figure = ranked_figure(rows, "running_cost_year", "Cost", currency="EUR")
    assert figure.unit == "EUR"


def test_scatter_needs_both_quantities() -> None:
    """A configuration that lacks one of the two is left out."""
    figure = scatter_figure(ROWS, "sound_dba", "cadr_m3h", "Both")
    assert [point.label for point in figure.points] == ["Alder"]
    assert figure.points[0].y == Measure(180.0, 170.0, 190.0)
    assert (figure.x.zero, figure.x.decibels, figure.y.zero) == (False, True, True)


def many(count: int) -> list[tuple[str, ResultRow]]:
    """Return a front of three, and others that one of them beats on both counts."""
    front = [(30.0, 100.0), (40.0, 200.0), (50.0, 300.0)]
    beaten = [(51.0 + at, 90.0 - at) for at in range(count - 3)]
    return [
        (f"D{at}", result(sound_dba=level, cadr_m3h=flow))
        for at, (level, flow) in enumerate([*beaten, *front])
    ]


def test_few_points_are_all_named() -> None:
    """Up to the limit every point has its name, also those that are beaten."""
    figure = scatter_figure(many(MOST_NAMED), "sound_dba", "cadr_m3h", "All")
    assert all(point.named for point in figure.points)


def test_crowd_names_only_the_unbeaten() -> None:
    """Beyond the limit only those are named that none beats on both counts."""
    figure = scatter_figure(many(MOST_NAMED + 6), "sound_dba", "cadr_m3h", "Front")
    assert len(figure.points) == MOST_NAMED + 6
    named = {(point.x.value, point.y.value) for point in figure.points if point.named}
    assert named == {(30.0, 100.0), (40.0, 200.0), (50.0, 300.0)}


def test_what_is_not_told_from_zero_beats_none() -> None:
    """A CADR that may be nought is drawn, but not named among the unbeaten."""
    uncertain = result(sound_dba=30.0, cadr_m3h=400.0, flags=("CADR_ZERO",))
    rows = [*many(MOST_NAMED + 6), ("Hazy", uncertain)]
    figure = scatter_figure(rows, "sound_dba", "cadr_m3h", "Front")
    assert len(figure.points) == MOST_NAMED + 7
    named = {(point.x.value, point.y.value) for point in figure.points if point.named}
    assert named == {(30.0, 100.0), (40.0, 200.0), (50.0, 300.0)}


def test_crowd_where_less_is_better() -> None:
    """On costs and sound the unbeaten are those with less of both."""
    rows = [
        (f"D{at}", result(sound_dba=40.0 + at, running_cost_year=100.0 + at))
        for at in range(MOST_NAMED + 1)
    ]
    rows.append(("Cheap", result(sound_dba=60.0, running_cost_year=10.0)))
    figure = scatter_figure(rows, "sound_dba", "running_cost_year", "Cost")
    named = {point.label for point in figure.points if point.named}
    assert named == {"D0", "Cheap"}


def beaten(point: tuple[float, float], others: list[tuple[float, float]]) -> bool:
    level, flow = point
    return any(
        other[0] <= level and other[1] >= flow and other != point for other in others
    )


def test_crowd_against_every_pair() -> None:
    """The named ones are those that comparing every pair leaves unbeaten."""
    places = [((37 * at) % 41 + 20.0, (53 * at) % 97 + 50.0) for at in range(40)]
    rows = [
        (f"D{at}", result(sound_dba=level, cadr_m3h=flow))
        for at, (level, flow) in enumerate(places)
    ]
    figure = scatter_figure(rows, "sound_dba", "cadr_m3h", "Front")
    named = {(point.x.value, point.y.value) for point in figure.points if point.named}
    assert named == {place for place in places if not beaten(place, places)}
    assert 1 < len(named) < 40


def test_equal_points_are_named_together() -> None:
    """Of two unbeaten points at one place neither beats the other: both are named."""
    twins = [
        ("Twin 1", result(sound_dba=20.0, cadr_m3h=400.0)),
        ("Twin 2", result(sound_dba=20.0, cadr_m3h=400.0)),
    ]
    figure = scatter_figure([*twins, *many(30)], "sound_dba", "cadr_m3h", "Twins")
    assert {p.label for p in figure.points if p.named} == {"Twin 1", "Twin 2"}


def test_not_rated_is_hollow_in_a_scatter() -> None:
    """A result that is not rated is marked, not left out."""
    rows = [("Birch", replace(ROWS[1][1], sound_dba=40.0))]
    (point,) = scatter_figure(rows, "sound_dba", "cadr_m3h", "Both").points
    assert not point.rated


def test_a_ranked_figure_shows_the_better_end_and_counts_the_rest() -> None:
    """Of many rows the best by the quantity drawn are shown, and the others counted."""
    named = [
        (f"Row {at}", replace(ROWS[0][1], cadr_m3h=float(at), ownership_cost=float(at)))
        for at in range(1, 31)
    ]
    clean = ranked_figure(named, "cadr_m3h", "Clean air")
    assert [row.value for row in clean.rows[:2]] == [30.0, 29.0]
    assert (len(clean.rows), clean.left_out) == (24, 6)
    cost = ranked_figure(named, "ownership_cost", "Cost", currency="EUR")
    assert [row.value for row in cost.rows[:2]] == [1.0, 2.0]


def test_sets_that_may_not_be_compared_stand_apart() -> None:
    """Rows of two comparable sets are grouped by it and named with it."""
    slow, fast = ROWS[0][1], ROWS[1][1]
    named = [
        ("A", replace(slow, method="old", cadr_m3h=300.0)),
        ("B", replace(fast, method="new", cadr_m3h=100.0)),
        ("C", replace(fast, method="new", cadr_m3h=200.0)),
    ]
    sets = {"old": "Zinc", "new": "Salt"}
    figure = ranked_figure(named, "cadr_m3h", "Clean air", sets=sets)
    assert [row.label for row in figure.rows] == ["C (Salt)", "B (Salt)", "A (Zinc)"]


def test_the_stairs_run_along_what_nothing_beats() -> None:
    """Between two unbeaten points no more is to be had than at the quieter one."""
    rows = [
        ("A", row("a.f.s", sound_dba=50.0, cadr_m3h=300.0)),
        ("B", row("b.f.s", sound_dba=40.0, cadr_m3h=200.0)),
        ("C", row("c.f.s", sound_dba=45.0, cadr_m3h=180.0)),
    ]
    made = scatter_figure(rows, "sound_dba", "cadr_m3h", "T")
    assert made.trade_off == ((40.0, 200.0), (50.0, 200.0), (50.0, 300.0))
    turned = scatter_figure(rows, "cadr_m3h", "sound_dba", "T")
    assert turned.trade_off == ((200.0, 40.0), (200.0, 50.0), (300.0, 50.0))


def test_no_stairs_between_methods_that_are_not_comparable() -> None:
    """Two comparable sets share no line, and one point alone makes none."""
    rows = [
        ("A", row("a.f.s", sound_dba=50.0, cadr_m3h=300.0, method="old")),
        ("B", row("b.f.s", sound_dba=40.0, cadr_m3h=200.0, method="new")),
    ]
    sets = {"old": "Old", "new": "New"}
    made = scatter_figure(rows, "sound_dba", "cadr_m3h", "T", sets=sets)
    assert made.trade_off == ()
    assert scatter_figure(rows[:1], "sound_dba", "cadr_m3h", "T").trade_off == ()
