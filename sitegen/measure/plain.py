"""Ordinary least squares and batch means: for comparability and as a cross-check.

Neither decides a published interval. The plain standard error assumes independent
readings, which readings in a room are not (its 95 % interval covers 38 to 95 %).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from sitegen.errors import MeasureError
from sitegen.measure.arrays import Floats, checked_times
from sitegen.measure.quantiles import t_quantile


@dataclass(frozen=True, slots=True)
class PlainFit:
    """An ordinary least-squares line through a log signal.

    Attributes:
        decay_per_h: k, 1/h, positive when the signal falls.
        se_per_h: scatter standard error of k, 1/h (assumes independent readings).
        low_per_h: lower 95 % limit by t with n - 2 degrees of freedom, 1/h.
        high_per_h: upper limit.
        intercept: ln signal at t = 0.
        r_squared: share of the variance explained; not a criterion of quality.
        residual_sd: residual standard deviation of ln signal, n - 2 in the divisor.
        lag_one: lag-one autocorrelation of the residuals.
        durbin_watson: Durbin-Watson statistic of the residuals.
        n: readings used.
    """

    decay_per_h: float
    se_per_h: float
    low_per_h: float
    high_per_h: float
    intercept: float
    r_squared: float
    residual_sd: float
    lag_one: float
    durbin_watson: float
    n: int

    def line(self, t_h: npt.ArrayLike) -> Floats:
        """Return the line's ln signal at times in hours, any shape."""
        times = np.asarray(t_h, dtype=np.float64)
        return np.asarray(self.intercept - self.decay_per_h * times)


def present_readings(t_h: npt.ArrayLike, y: npt.ArrayLike) -> tuple[Floats, Floats]:
    """Return times and readings without the missing ones.

    Args:
        t_h: times in hours, shape (n,), increasing.
        y: ln signal, shape (n,), NaN where missing.

    Raises:
        MeasureError: ``lengths_differ``, ``not_finite``, ``time_not_increasing``,
            ``too_few_points`` (fewer than 3) or ``constant_series``.
    """
    times = checked_times(t_h)
    signal = np.asarray(y, dtype=np.float64)
    if signal.shape != times.shape:
        raise MeasureError("lengths_differ", times=float(times.size))
    if np.any(np.isinf(signal)):
        raise MeasureError("not_finite", what="signal")
    present = ~np.isnan(signal)
    if present.sum() < 3:
        raise MeasureError("too_few_points", count=float(present.sum()), least=3.0)
    times, signal = times[present], signal[present]
    if np.all(signal == signal[0]):
        raise MeasureError("constant_series")
    return times, signal


def ols_fit(t_h: npt.ArrayLike, y: npt.ArrayLike) -> PlainFit:
    """Fit a line by ordinary least squares.

    ``k = -Sxy/Sxx``, ``s^2 = RSS/(n - 2)``, ``SE = s/sqrt(Sxx)``, with S the sums of
    squares and products about the means and RSS that of the residuals. Textbook least
    squares, as the usual decay methods prescribe it. Its interval holds for
    independent readings of constant scatter, which these are not.

    Args:
        t_h: times in hours, shape (n,), increasing.
        y: ln signal, shape (n,), NaN where missing.

    Raises:
        MeasureError: as ``present_readings``.
    """
    times, signal = present_readings(t_h, y)
    n = times.size
    since, away = times - times.mean(), signal - signal.mean()
    sxx = float(since @ since)
    slope = float(since @ away) / sxx
    rest = away - slope * since
    rss, total = float(rest @ rest), float(away @ away)
    sd = float(np.sqrt(rss / (n - 2)))
    se = sd / float(np.sqrt(sxx))
    half = t_quantile(0.975, n - 2) * se
    steps = np.diff(rest)
    return PlainFit(
        decay_per_h=-slope,
        se_per_h=se,
        low_per_h=-slope - half,
        high_per_h=-slope + half,
        intercept=float(signal.mean() - slope * times.mean()),
        r_squared=1.0 - rss / total,
        residual_sd=sd,
        lag_one=float(rest[1:] @ rest[:-1]) / rss if rss > 0 else 0.0,
        durbin_watson=float(steps @ steps) / rss if rss > 0 else 0.0,
        n=n,
    )


def batch_means_fit(
    t_h: npt.ArrayLike, y: npt.ArrayLike, blocks: int = 5
) -> tuple[float, float, float]:
    """Fit a line through the means of equal contiguous blocks: a cross-check.

    Simple enough for a spreadsheet; its interval (t with blocks - 2 degrees of
    freedom) covered 90 to 95 % in simulation, as long as a block lasts longer than the
    noise's memory.

    Args:
        t_h: times in hours, shape (n,), increasing.
        y: ln signal, shape (n,), NaN where missing.
        blocks: how many blocks, 3 or more; readings that do not fill a block are
            spread over the first ones.

    Returns:
        k and its 95 % limits, 1/h.

    Raises:
        MeasureError: as ``present_readings``; ``too_few_points`` when a block would
            hold fewer than two readings; ``constant_series`` when all means agree.
    """
    times, signal = present_readings(t_h, y)
    if blocks < 3 or times.size < 2 * blocks:
        raise MeasureError(
            "too_few_points", count=float(times.size), least=float(2 * max(blocks, 3))
        )
    mean_t = [float(part.mean()) for part in np.array_split(times, blocks)]
    mean_y = [float(part.mean()) for part in np.array_split(signal, blocks)]
    fit = ols_fit(mean_t, mean_y)
    return fit.decay_per_h, fit.low_per_h, fit.high_per_h
