"""Which readings are fitted: start, end and their reasons."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest

from sitegen.errors import MeasureError
from sitegen.measure.run_data import DecayMethod, Event, RunKind, Sensor
from sitegen.measure.window import (
    Window,
    before_floor,
    find_window,
    fixed_window,
    window_start,
)

Floats = npt.NDArray[np.float64]

T = np.arange(0.0, 60.5, 0.5)
METHOD = DecayMethod()
ON = (Event(0.0, "device_on"),)


def falling(per_h: float = 6.0, t_min: Floats = T) -> Floats:
    """Return a noise-free log signal from ln 400."""
    return np.asarray(np.log(400.0) - per_h * t_min / 60.0)


def found(
    log_mean: Floats | None = None,
    kind: RunKind = "decay",
    events: tuple[Event, ...] = ON,
    last_high_min: float | None = None,
    floor_last: int | None = None,
    method: DecayMethod = METHOD,
) -> Window:
    """Find the window of a noise-free run of an hour."""
    return find_window(
        kind,
        T,
        falling() if log_mean is None else log_mean,
        method,
        events=events,
        last_high_min=last_high_min,
        floor_last=floor_last,
    )


@pytest.mark.parametrize(
    ("events", "start", "rule"),
    [
        (ON, 4.0, "device_on"),
        ((Event(1.0, "mixing_off"), Event(2.0, "device_on")), 6.0, "device_on"),
        ((Event(3.0, "mixing_off"), Event(2.0, "device_on")), 7.0, "mixing_off"),
        ((Event(1.0, "device_on"), Event(9.0, "device_on")), 13.0, "device_on"),
        ((Event(2.0, "injected"),), 6.0, "injected"),
        ((Event(2.0, "injected"), *ON), 4.0, "device_on"),
        ((), 4.0, "first_reading"),
        ((Event(2.0, "door"),), 4.0, "first_reading"),
    ],
)
def test_start_is_the_last_wait(
    events: tuple[Event, ...], start: float, rule: str
) -> None:
    """The window starts the mixing wait after the later of fan off and device on."""
    window = found(events=events)
    assert (window.start_min, window.start_rule) == (start, rule)
    assert window.first == int(2 * start)


def test_reading_exactly_at_the_start_is_in() -> None:
    """A reading at the very end of the wait is fitted, whatever floats make of it."""
    t_min = np.array([minute / 10.0 for minute in range(200)])
    method = DecayMethod(mixing_wait_min=0.2)
    # 0.1 + 0.2 is a little over 0.3.
    events = (Event(0.1, "device_on"),)
    window = find_window("decay", t_min, falling(6.0, t_min), method, events=events)
    assert window.first == 3


def test_start_between_readings_is_the_next_one() -> None:
    """Between two readings the later one is the first that is fitted."""
    assert found(method=DecayMethod(mixing_wait_min=4.2)).start_min == 4.5


def test_missing_reading_at_the_start() -> None:
    """Where the reading at the start is missing the window starts with the next."""
    log = falling()
    log[8] = np.nan
    assert found(log).first == 9


@pytest.mark.parametrize(
    ("high", "start", "rule"),
    [(2.0, 4.0, "device_on"), (4.0, 4.5, "ceiling"), (10.0, 10.5, "ceiling")],
)
def test_start_after_the_last_high_reading(
    high: float, start: float, rule: str
) -> None:
    """A reading near the ceiling is never in the window that follows it."""
    window = found(last_high_min=high)
    assert (window.start_min, window.start_rule) == (start, rule)


def test_window_start_alone() -> None:
    """The start is known in minutes before any reading is looked at."""
    assert window_start(T, METHOD, ON, None) == (4.0, "device_on")
    assert window_start(T + 7.0, METHOD, (), None) == (11.0, "first_reading")


def test_end_at_a_tenth_of_the_start() -> None:
    """The window ends where the smoothed level first is a tenth of its start."""
    window = found()
    # The first smoothed level is that of the third reading, one minute on: a tenth
    # of it is reached 23.03 min later, at the next reading's 28.5 min.
    assert (window.end_min, window.end_rule) == (28.5, "fraction")
    assert window.last == 57


def test_end_fraction_is_the_methods() -> None:
    """With a fifth for a tenth the window is shorter."""
    window = found(method=DecayMethod(end_fraction=0.2))
    # 4 + 1 + 10 ln 5 = 21.09 min.
    assert window.end_min == 21.5


def test_one_low_reading_does_not_end_it() -> None:
    """A single low reading is smoothed away, three in a row are not."""
    log = falling()
    log[20] -= 5.0
    assert found(log).end_min == 28.5
    log[20:23] -= 5.0
    assert found(log).end_min == 10.0


def test_end_by_the_floor() -> None:
    """A floor that is reached earlier ends the window with the reading before it."""
    window = found(floor_last=40)
    assert (window.last, window.end_rule) == (40, "floor")
    assert found(floor_last=90).end_rule == "fraction"


def test_end_by_time() -> None:
    """A decay that is not done in the longest time ends there, that reading in it."""
    window = found(falling(1.0), method=DecayMethod(longest_min=30.0))
    assert (window.end_min, window.end_rule) == (34.0, "time_limit")


def test_end_with_the_data() -> None:
    """A record that stops before any rule applies is fitted to its last reading."""
    log = falling(1.0)
    log[110:] = np.nan
    window = found(log)
    assert (window.last, window.end_rule) == (109, "last_reading")


def test_time_limit_at_the_very_end_of_the_data() -> None:
    """Data that end exactly with the time limit end with the data."""
    window = found(falling(1.0), method=DecayMethod(longest_min=56.0))
    assert (window.end_min, window.end_rule) == (60.0, "last_reading")


def test_natural_run_has_no_end_by_level() -> None:
    """A natural run goes on for its prescribed time, however low it gets."""
    window = found(kind="natural", method=DecayMethod(natural_min=40.0))
    assert (window.end_min, window.end_rule) == (44.0, "time_limit")
    hour = np.arange(0.0, 130.0)
    long = find_window("natural", hour, falling(0.3, hour), METHOD, events=ON)
    assert long.end_min - long.start_min == 60.0


@pytest.mark.parametrize(
    ("log_mean", "floor_last"),
    [
        (np.full(T.size, np.nan), None),
        (np.where(T < 59.0, np.nan, 1.0 + np.zeros(T.size)), 117),
        (falling(), 9),
        (falling(), -1),
        (np.where(T < 59.5, np.nan, 1.0 + np.zeros(T.size)), None),
    ],
)
def test_fewer_than_three_readings_are_no_window(
    log_mean: Floats, floor_last: int | None
) -> None:
    """A window with fewer than three usable readings is refused."""
    with pytest.raises(MeasureError, match="window_empty"):
        found(log_mean, floor_last=floor_last)


def test_three_readings_are_a_window() -> None:
    """Three usable readings are enough."""
    window = found(floor_last=10)
    assert (window.first, window.last) == (8, 10)


def test_fixed_window() -> None:
    """A record's own window takes every reading from its first to its last minute."""
    window = fixed_window(T, (5.0, 20.0))
    assert (window.first, window.last) == (10, 40)
    assert (window.start_rule, window.end_rule) == ("fixed", "fixed")
    between = fixed_window(T, (5.1, 19.9))
    assert (between.start_min, between.end_min) == (5.5, 19.5)


@pytest.mark.parametrize("limits", [(5.0, 5.5), (70.0, 80.0), (20.0, 5.0)])
def test_fixed_window_needs_three_readings(limits: tuple[float, float]) -> None:
    """A fixed window that holds fewer than three readings is refused."""
    with pytest.raises(MeasureError, match="window_empty"):
        fixed_window(T, limits)


def test_before_floor() -> None:
    """The window may go to the reading before the smoothed level is under the floor."""
    net = np.exp(falling())[None, :]
    # 400 exp(-t/10) is under 40 from 23.03 min on, at the 47th reading.
    assert before_floor(T, net, np.array([40.0]), 4.0) == 46
    assert before_floor(T, net, np.array([0.0]), 4.0) is None
    assert before_floor(T, net, np.array([0.5]), 4.0) is None


def test_first_sensor_at_its_floor_counts() -> None:
    """Of several sensors the one that comes to its floor first ends the window."""
    net = np.exp(np.vstack([falling(), falling() - 0.5, falling() + 0.5]))
    # The second sensor is under 40 from 18.03 min on, at the 37th reading.
    assert before_floor(T, net, np.array([40.0, 40.0, 40.0]), 4.0) == 36
    assert before_floor(T, net, np.array([40.0, 0.0, 40.0]), 4.0) == 46


def test_floor_is_looked_for_after_the_start_only() -> None:
    """Low readings before the start, and a single one after it, do not count."""
    net = np.exp(falling())[None, :]
    net[0, :6] = 1.0
    net[0, 20] = 1.0
    assert before_floor(T, net, np.array([40.0]), 4.0) == 46
    net[0, :] = np.nan
    assert before_floor(T, net, np.array([40.0]), 4.0) is None


@pytest.mark.parametrize(
    ("sensor", "floor"),
    [
        (Sensor(), 0.0),
        (Sensor(resolution=1.0), 10.0),
        (Sensor(resolution=1.0, noise=1.5), 15.0),
        (Sensor(resolution=1.0, noise=1.5, zero_uncertainty=1.0), 20.0),
    ],
)
def test_floor_of_a_sensor(sensor: Sensor, floor: float) -> None:
    """The floor is the greatest of 10 quanta, 10 noise and 20 zero uncertainties."""
    assert sensor.floor == floor
