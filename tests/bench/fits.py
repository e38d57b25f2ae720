"""How long fits and checks take.

``python -m tests.bench.fits`` prints milliseconds for a series of 120 readings,
three size fractions and two sensors, amortised over many such series: the headline fits
(window, common signal and every sensor's own, with their intervals) and everything a
run gets (bend, step, zero offsets, late start, every flag). ``--series`` says how many.
"""

from __future__ import annotations

import argparse
import platform
import sys
import time
from collections.abc import Callable, Sequence

import numpy as np

from sitegen.measure.decay import fit_run, fraction_names, sensor_of
from sitegen.measure.fit import SlopeFit, fit_slopes
from sitegen.measure.run_data import RunData
from sitegen.measure.signal import log_signal, sensor_mean
from sitegen.measure.window import before_floor, find_window, window_start
from tests.measure.simulated import simulated

READINGS = 120
FRACTIONS = ("pm1", "pm2_5", "pm10")
SENSORS = 2
HEADLINE_MS = 10.0
"""What the headline fits of one series may take."""
ALL_MS = 60.0
"""What everything may take."""


def series(count: int) -> list[RunData]:
    """Return simulated runs of which nearly all readings are in the window."""
    # The window begins 4 min after the start and ends where a tenth is left.
    decay = 60.0 * np.log(9.9) / (0.5 * READINGS - 4.0)
    return [
        simulated(
            seed,
            decay_per_h=float(decay),
            readings=READINGS,
            fractions=FRACTIONS,
            sensors=SENSORS,
        )
        for seed in range(count)
    ]


def headline_fits(run: RunData) -> dict[tuple[str, str], SlopeFit]:
    """Return the decay and interval of every fraction and sensor, and nothing else.

    Returns:
        Fraction and sensor (empty for the common signal) to the fit.
    """
    t_min, method = run.elapsed_min, run.method
    names = list(run.readings)
    net = {
        part: np.stack(
            [
                run.readings[name][part] - sensor_of(run, name, part).zero_offset
                for name in names
            ]
        )
        for part in fraction_names(run)
    }
    first = net[method.primary_fraction]
    floors = np.array(
        [sensor_of(run, name, method.primary_fraction).floor for name in names]
    )
    start_min, _ = window_start(t_min, method, run.events, None)
    logs = log_signal(np.where(t_min >= start_min, first, np.nan))
    window = find_window(
        run.kind,
        t_min,
        sensor_mean(logs).mean,
        method,
        events=run.events,
        floor_last=before_floor(t_min, first, floors, start_min),
    )
    rows = slice(window.first, window.last + 1)
    keys: list[tuple[str, str]] = []
    signals = []
    for part, values in net.items():
        own = log_signal(values[:, rows])
        keys += [(part, ""), *((part, name) for name in names)]
        signals += [sensor_mean(own).mean, *own]
    fits = fit_slopes(t_min[rows] / 60.0, np.stack(signals))
    return dict(zip(keys, fits, strict=True))


def per_series_ms(work: Callable[[RunData], object], runs: Sequence[RunData]) -> float:
    """Return the mean time that work on one series takes, ms, after one to warm up."""
    work(runs[0])
    start = time.perf_counter()
    for run in runs:
        work(run)
    return 1000.0 * (time.perf_counter() - start) / len(runs)


def main() -> None:
    """Measure, and print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--series", type=int, default=200)
    runs = series(asked.parse_args().series)
    windows = [fit_run(run).window for run in runs]
    inside = np.mean([each.last - each.first + 1 for each in windows])
    lines = [
        f"{READINGS} readings ({inside:.0f} in the window), "
        f"{len(FRACTIONS)} fractions, {SENSORS} sensors; {len(runs)} series; "
        f"Python {platform.python_version()}",
        f"headline fits  {per_series_ms(headline_fits, runs):6.1f} ms a series"
        f"  (at most {HEADLINE_MS:.0f})",
        f"everything     {per_series_ms(fit_run, runs):6.1f} ms a series"
        f"  (at most {ALL_MS:.0f})",
    ]
    sys.stdout.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
