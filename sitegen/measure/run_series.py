"""All of a run's fits in two passes of the filter, whatever the number of series."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from sitegen.measure.arrays import Floats
from sitegen.measure.fit import (
    Coefficient,
    Prepared,
    SlopeFit,
    coefficient,
    design,
    filtered,
    prepared,
    slope_fits,
)
from sitegen.measure.plain import ols_fit
from sitegen.measure.posterior import posterior
from sitegen.measure.run_data import Sensor
from sitegen.measure.signal import SensorMean, log_signal, sensor_mean
from sitegen.measure.step import Step, largest_step
from sitegen.measure.whiten import Gains, gram, some_series
from sitegen.measure.window import Window

LEAST_FOR_CURVATURE = 5
LEAST_FOR_THIRDS = 8
FIRST, REST = "<first>", "<rest>"


@dataclass(frozen=True, slots=True, eq=False)
class FractionSeries:
    """One fraction's readings, cut to its window.

    Attributes:
        window: the readings that are fitted.
        sensors: instrument to its properties, in the rows' order.
        net: readings less zero offsets, shape (sensors, n), the whole run.
        floors: each sensor's floor, shape (sensors,).
        logs: ln of ``net`` inside the window, NaN outside, shape (sensors, n).
        mean: the sensors' common signal inside the window.
    """

    window: Window
    sensors: Mapping[str, Sensor]
    net: Floats
    floors: Floats
    logs: Floats
    mean: SensorMean


@dataclass(frozen=True, slots=True, eq=False)
class Fitted:
    """One fraction's fits.

    Attributes:
        combined: fit of the common signal.
        instruments: each instrument's own.
        curvature: 2cT/k of the common signal, or None.
        step: the step that stands out most, or None.
        first: fit of the window's first third, or None when too short.
        rest: fit of the remainder, or None.
    """

    combined: SlopeFit
    instruments: Mapping[str, SlopeFit]
    curvature: Coefficient | None
    step: Step | None
    first: SlopeFit | None
    rest: SlopeFit | None


@dataclass(frozen=True, slots=True, eq=False)
class Pass:
    """One pass of the filter over all series of a run.

    Attributes:
        keys: fraction and what the series is: empty for the common signal, an
            instrument's id, or ``FIRST`` and ``REST`` for the window's parts.
        data: the prepared series, in the keys' order.
        gains: their filter.
        inner: inner products of the columns 1, t, t^2 and y.
        fits: straight-line fits.
    """

    keys: tuple[tuple[str, str], ...]
    data: Prepared
    gains: Gains
    inner: Floats
    fits: tuple[SlopeFit, ...]

    def find(self, fraction: str, what: str) -> SlopeFit | None:
        """Return the fit under a key, or None."""
        key = (fraction, what)
        return self.fits[self.keys.index(key)] if key in self.keys else None


def fit_all(
    t_min: Floats, series: Mapping[str, FractionSeries], failures: dict[str, str]
) -> tuple[dict[str, Fitted], dict[str, dict[str, float]]]:
    """Fit every fraction's common signal and every instrument's own.

    Args:
        t_min: elapsed minutes, shape (n,).
        series: the fractions.
        failures: receives the reason for each instrument that cannot be fitted.

    Returns:
        Each fraction's fits, and its zero-offset terms as ``_zero_terms`` gives them.

    Raises:
        MeasureError: when a common signal cannot be fitted.
    """
    first = min(part.window.first for part in series.values())
    last = max(part.window.last for part in series.values()) + 1
    cut = {name: _cropped(part, first, last) for name, part in series.items()}
    one = _one_pass(t_min[first:last] / 60.0, cut, failures)
    fitted = {name: _fitted(one, name, part) for name, part in cut.items()}
    return fitted, _zero_terms(one, cut)


def _cropped(part: FractionSeries, first: int, last: int) -> FractionSeries:
    """Return a fraction's series with only the rows from first to before last."""
    mean = replace(part.mean, mean=part.mean.mean[first:last])
    rows = slice(first, last)
    return replace(part, net=part.net[:, rows], logs=part.logs[:, rows], mean=mean)


def _one_pass(
    t_h: Floats, series: Mapping[str, FractionSeries], failures: dict[str, str]
) -> Pass:
    """Fit all series of a run together."""
    keys: list[tuple[str, str]] = []
    rows: list[Floats] = []
    for fraction, part in series.items():
        keys.append((fraction, ""))
        rows.append(part.mean.mean)
        for i, name in enumerate(part.sensors):
            reason = unfit(part.logs[i])
            if reason:
                failures[f"{name}.{fraction}"] = reason
            else:
                keys.append((fraction, name))
                rows.append(part.logs[i])
        thirds = _thirds(part.mean.mean)
        if thirds is not None:
            keys += [(fraction, FIRST), (fraction, REST)]
            rows += thirds
    data = prepared(t_h, np.stack(rows))
    gains, tau_h, nugget = filtered(data)
    inner = gram(gains, design(data, (data.since**2).T[:, None, :]))
    straight = posterior(inner, gains.log_det, data.count, (0, 1), 3)
    fits = slope_fits(data, straight, tau_h, nugget)
    return Pass(tuple(keys), data, gains, inner, tuple(fits))


def _fitted(one: Pass, fraction: str, part: FractionSeries) -> Fitted:
    """Collect one fraction's fits."""
    at = one.keys.index((fraction, ""))
    own = {name: one.find(fraction, name) for name in part.sensors}
    return Fitted(
        combined=one.fits[at],
        instruments={name: fit for name, fit in own.items() if fit is not None},
        curvature=_curvature(one, at, part.mean.mean),
        step=largest_step(one.data, one.gains, at),
        first=one.find(fraction, FIRST),
        rest=one.find(fraction, REST),
    )


def unfit(y: Floats) -> str:
    """Return why a ln signal cannot be fitted, or an empty word.

    Args:
        y: shape (n,), NaN where missing.
    """
    present = y[~np.isnan(y)]
    if present.size < 3:
        return "too_few_points"
    return "constant_series" if np.all(present == present[0]) else ""


def _curvature(one: Pass, at: int, mean: Floats) -> Coefficient | None:
    """Return 2cT/k from one added quadratic column, k by ordinary least squares."""
    count = one.data.count[at : at + 1]
    if count[0] < LEAST_FOR_CURVATURE:
        return None
    inner, log_det = one.inner[at : at + 1], one.gains.log_det[at : at + 1]
    post = posterior(inner, log_det, count, (0, 1, 2), 3)
    bend = coefficient(post, 2)[0]
    plain = ols_fit(one.data.t_h, mean).decay_per_h
    if plain == 0:
        return None
    share = 2.0 * one.fits[at].span_h / plain
    low, high = sorted((share * bend.low, share * bend.high))
    return Coefficient(share * bend.value, abs(share) * bend.sd, low, high)


def _thirds(mean: Floats) -> tuple[Floats, Floats] | None:
    """Return the first third of a signal's readings and the remainder, or None."""
    seen = np.flatnonzero(~np.isnan(mean))
    cut = seen.size // 3
    if cut < LEAST_FOR_THIRDS:
        return None
    early, late = np.full((2, mean.size), np.nan)
    early[seen[:cut]], late[seen[cut:]] = mean[seen[:cut]], mean[seen[cut:]]
    return None if unfit(early) or unfit(late) else (early, late)


def _zero_terms(
    one: Pass, series: Mapping[str, FractionSeries]
) -> dict[str, dict[str, float]]:
    """Return what the zero offsets' uncertainty does to every decay.

    ``u_k = |k(b0 + u_b) - k(b0 - u_b)|/2``, sensor by sensor; the sensors' offsets are
    independent, so that the common signal's terms join in quadrature.

    Returns:
        Fraction to instrument (empty for the common signal) to u_k, 1/h.
    """
    out = {
        fraction: {what: 0.0 for f, what in one.keys if f == fraction}
        for fraction in series
    }
    pairs: list[tuple[int, Floats, Floats]] = []
    for fraction, part in series.items():
        for i, (name, sensor) in enumerate(part.sensors.items()):
            moved = _moved_logs(part, i, sensor.zero_uncertainty)
            if moved is None:
                continue
            if part.mean.used[i]:
                at = one.keys.index((fraction, ""))
                up, down = (_with_row(part, i, logs) for logs in moved)
                pairs.append((at, up, down))
            if (fraction, name) in one.keys:
                pairs.append((one.keys.index((fraction, name)), *moved))
    terms = np.abs(_differences(one, pairs)) / 2.0
    for (at, _, _), term in zip(pairs, terms, strict=True):
        fraction, what = one.keys[at]
        out[fraction][what] = float(np.hypot(out[fraction][what], term))
    return out


def _differences(one: Pass, pairs: Sequence[tuple[int, Floats, Floats]]) -> Floats:
    """Return decay of the first signal less that of the second, for each pair.

    Pairs with the readings of their base series share its filter; the few that lost
    a reading get one of their own.

    Args:
        one: the pass that has the base series.
        pairs: index of the base series and two ln signals, each of shape (n,).
    """
    out = np.zeros(len(pairs))
    own = [i for i, (at, up, _) in enumerate(pairs) if _same(one, at, up)]
    other = [i for i in range(len(pairs)) if i not in own]
    if own:
        gains = some_series(one.gains, [pairs[i][0] for i in own])
        out[own] = _pair_decays(one.data.t_h, [pairs[i] for i in own], gains)
    if other:
        out[other] = _pair_decays(one.data.t_h, [pairs[i] for i in other], None)
    return out


def _same(one: Pass, at: int, signal: Floats) -> bool:
    """Tell whether a signal has exactly the readings of a base series."""
    return bool(np.array_equal(one.data.seen[at], ~np.isnan(signal)))


def _pair_decays(
    t_h: Floats, pairs: Sequence[tuple[int, Floats, Floats]], gains: Gains | None
) -> Floats:
    """Return the difference of each pair's decays, 1/h, shape (pairs,)."""
    up = prepared(t_h, np.stack([pair[1] for pair in pairs]))
    down = prepared(t_h, np.stack([pair[2] for pair in pairs]))
    used = filtered(up)[0] if gains is None else gains
    columns = np.concatenate([design(up), down.rest.T[:, None, :]], axis=1)
    inner = gram(used, columns, responses=2)
    slopes = [
        data.slope
        + posterior(inner, used.log_det, data.count, (0, 1), 2 + i).mean()[:, 1]
        for i, data in enumerate((up, down))
    ]
    return np.asarray(slopes[1] - slopes[0])


def _moved_logs(
    part: FractionSeries, row: int, u: float
) -> tuple[Floats, Floats] | None:
    """Return one sensor's logs with its zero offset moved up and down by u.

    Readings that would become unusable on one side are left out on both, so that the
    two differ by the offset only. None when u is 0 or too little is left.
    """
    if u <= 0:
        return None
    inside = ~np.isnan(part.logs[row])
    up, down = log_signal(part.net[row], u), log_signal(part.net[row], -u)
    kept = inside & ~np.isnan(up)
    up, down = np.where(kept, up, np.nan), np.where(kept, down, np.nan)
    return None if unfit(up) or unfit(down) else (up, down)


def _with_row(part: FractionSeries, row: int, logs: Floats) -> Floats:
    """Return the common signal with one sensor's logs replaced."""
    changed = part.logs.copy()
    changed[row] = logs
    return sensor_mean(changed).mean
