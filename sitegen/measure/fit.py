"""The decay rate of a log signal: the headline estimator and its interval.

Generalised least squares of ln C on time, with the noise's correlation time and
white share integrated over a grid (see ``whiten``) instead of being estimated and
then believed. Where noise is plain white the interval is somewhat wide; where the
correlation time exceeds about 1/8 of the window it is somewhat short; a step or a
random walk in the room's level is outside the model and is looked for by flags.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from sitegen.errors import MeasureError
from sitegen.measure.arrays import Bools, Floats, checked_times
from sitegen.measure.posterior import Posterior, mixture_interval, posterior
from sitegen.measure.quantiles import t_quantile
from sitegen.measure.whiten import Gains, gains, gram, grid


@dataclass(frozen=True, slots=True)
class Coefficient:
    """One regression coefficient.

    Attributes:
        value: posterior mean.
        sd: posterior standard deviation.
        low: 2.5 % quantile.
        high: 97.5 % quantile.
    """

    value: float
    sd: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class SlopeFit:
    """A straight line through a log signal.

    Attributes:
        decay_per_h: k, 1/h, positive when the signal falls.
        sd_per_h: standard deviation of k, 1/h.
        low_per_h: lower end of the 95 % interval of k, 1/h.
        high_per_h: upper end.
        intercept: the line's ln signal at ``reference_h``.
        reference_h: where the intercept stands, hours, on the axis of the input.
        covariance: of intercept and slope (not of k), 2 by 2, as nested tuples.
        correlation_h: posterior-mean correlation time of the noise, hours.
        nugget: posterior-mean white share of the noise's variance.
        n: readings used.
        nu: degrees of freedom.
        span_h: from the first reading used to the last, hours.
        extra: coefficients of the extra columns, in their order.
    """

    decay_per_h: float
    sd_per_h: float
    low_per_h: float
    high_per_h: float
    intercept: float
    reference_h: float
    covariance: tuple[tuple[float, float], tuple[float, float]]
    correlation_h: float
    nugget: float
    n: int
    nu: int
    span_h: float
    extra: tuple[Coefficient, ...] = ()

    def line(self, t_h: npt.ArrayLike) -> Floats:
        """Return the fitted ln signal at times in hours, any shape.

        Without extra columns only: their share is not in it.
        """
        since = np.asarray(t_h, dtype=np.float64) - self.reference_h
        return np.asarray(self.intercept - self.decay_per_h * since)

    def band(self, t_h: npt.ArrayLike, level: float = 0.95) -> tuple[Floats, Floats]:
        """Return the pointwise band of the line, for drawing.

        Uses the posterior covariance and a t quantile, which is close to the exact
        mixture; published limits of k come from the mixture itself.

        Args:
            t_h: times in hours, any shape.
            level: probability inside.
        """
        since = np.asarray(t_h, dtype=np.float64) - self.reference_h
        (aa, ab), (_, bb) = self.covariance
        half = t_quantile(0.5 + level / 2, self.nu) * np.sqrt(
            aa + 2 * since * ab + since**2 * bb
        )
        middle = self.line(t_h)
        return middle - half, middle + half


@dataclass(frozen=True, slots=True)
class Prepared:
    """Checked, centred columns of several series on one time axis.

    Attributes:
        t_h: times, hours, shape (n,).
        seen: which readings are present, shape (series, n).
        centre_h: mean time of each series' readings, hours, shape (series,).
        level: least-squares level at ``centre_h``, shape (series,).
        slope: least-squares slope, 1/h, shape (series,).
        rest: readings minus that line, 0 where missing, shape (series, n).
        since: ``t_h - centre_h``, hours, shape (series, n).
    """

    t_h: Floats
    seen: Bools
    centre_h: Floats
    level: Floats
    slope: Floats
    rest: Floats
    since: Floats

    @property
    def count(self) -> Floats:
        """Readings in each series, shape (series,)."""
        return np.asarray(self.seen.sum(axis=1), dtype=np.float64)


def prepared(t_h: npt.ArrayLike, y: npt.ArrayLike, least: int = 3) -> Prepared:
    """Check one or more series and take a least-squares line out of each.

    Taking the line out changes nothing in exact arithmetic and keeps the inner
    products from cancelling.

    Args:
        t_h: times in hours, shape (n,), increasing.
        y: ln signals, shape (n,) or (series, n); NaN where missing.
        least: fewest readings that each series must have.

    Raises:
        MeasureError: ``time_not_increasing``, ``lengths_differ``, ``not_finite``,
            ``too_few_points`` or ``constant_series``.
    """
    times = checked_times(t_h)
    signal = np.atleast_2d(np.asarray(y, dtype=np.float64))
    if signal.ndim != 2 or signal.shape[1] != times.size:
        raise MeasureError("lengths_differ", times=float(times.size))
    if np.any(np.isinf(signal)):
        raise MeasureError("not_finite", what="signal")
    seen = ~np.isnan(signal)
    count = seen.sum(axis=1)
    if count.min(initial=times.size) < max(least, 3):
        fewest = float(count.min(initial=times.size))
        raise MeasureError("too_few_points", count=fewest, least=float(max(least, 3)))
    first = signal[np.arange(len(signal)), seen.argmax(axis=1)][:, None]
    if not np.all(np.any(seen & (signal != first), axis=1)):
        raise MeasureError("constant_series")
    filled = np.where(seen, signal, 0.0)
    centre = (seen @ times) / count
    since = times - centre[:, None]
    level = filled.sum(axis=1) / count
    away = np.where(seen, signal - level[:, None], 0.0)
    slope = (since * away).sum(axis=1) / (since**2 * seen).sum(axis=1)
    rest = np.where(seen, away - slope[:, None] * since, 0.0)
    return Prepared(times, seen, centre, level, slope, rest, since)


def filtered(data: Prepared) -> tuple[Gains, Floats, Floats]:
    """Return the filter's gains and the grid's correlation times and nuggets."""
    tau_h, nugget = grid(data.t_h, data.seen)
    return gains(data.t_h, data.seen, tau_h, nugget), tau_h, nugget


def design(data: Prepared, extra: Floats | None = None) -> Floats:
    """Return columns 1, t - t_mean, extras and the centred signal.

    Args:
        data: the prepared series.
        extra: further regressors, shape (n, e, series), or None.

    Returns:
        Shape (n, 3 + e, series); the signal comes last.
    """
    ones = np.ones_like(data.since)
    parts = [np.stack([ones, data.since]).transpose(2, 0, 1)]
    if extra is not None:
        parts.append(extra)
    parts.append(data.rest.T[:, None, :])
    return np.concatenate(parts, axis=1)


def coefficient(post: Posterior, which: int) -> list[Coefficient]:
    """Return one coefficient of every series, with its interval."""
    centre = post.beta[:, :, which]
    spread = np.sqrt(post.cov[:, :, which, which])
    low, high = mixture_interval(post.weight, centre, spread, post.nu)
    mean, cov = post.mean()[:, which], post.covariance()[:, which, which]
    return [
        Coefficient(float(m), float(np.sqrt(c)), float(a), float(b))
        for m, c, a, b in zip(mean, cov, low, high, strict=True)
    ]


def slope_fits(
    data: Prepared,
    post: Posterior,
    tau_h: Floats,
    nugget: Floats,
    reference_h: float = 0.0,
) -> list[SlopeFit]:
    """Turn the posterior of a straight line into one ``SlopeFit`` a series.

    Args:
        data: the prepared series.
        post: posterior with intercept and slope first, extras after them.
        tau_h: correlation times, hours, shape (series, cells).
        nugget: white shares, shape (cells,).
        reference_h: where the intercept shall stand, hours.
    """
    mean, cov = post.mean(), post.covariance()
    slopes = coefficient(post, 1)
    extras = [coefficient(post, i) for i in range(2, mean.shape[1])]
    times = np.einsum("sg,sg->s", post.weight, tau_h)
    white = post.weight @ nugget
    out: list[SlopeFit] = []
    for s, slope in enumerate(slopes):
        shift = reference_h - float(data.centre_h[s])
        total = float(data.slope[s]) + slope.value
        move = np.array([[1.0, shift], [0.0, 1.0]])
        c = move @ cov[s, :2, :2] @ move.T
        used = data.t_h[data.seen[s]]
        out.append(
            SlopeFit(
                decay_per_h=-total,
                sd_per_h=slope.sd,
                low_per_h=-(float(data.slope[s]) + slope.high),
                high_per_h=-(float(data.slope[s]) + slope.low),
                intercept=float(data.level[s]) + float(mean[s, 0]) + total * shift,
                reference_h=reference_h,
                covariance=(
                    (float(c[0, 0]), float(c[0, 1])),
                    (float(c[1, 0]), float(c[1, 1])),
                ),
                correlation_h=float(times[s]),
                nugget=float(white[s]),
                n=int(data.seen[s].sum()),
                nu=int(post.nu[s]),
                span_h=float(used[-1] - used[0]),
                extra=tuple(column[s] for column in extras),
            )
        )
    return out


def fit_slopes(
    t_h: npt.ArrayLike,
    y: npt.ArrayLike,
    extra: npt.ArrayLike | None = None,
    reference_h: float = 0.0,
) -> list[SlopeFit]:
    """Fit several series on one time axis at once.

    ``y = a - k t + u``, ``cov(u_i, u_j) = s^2 [(1 - w) exp(-|t_i - t_j|/tau) + w (i =
    j)]``: generalised least squares in 60 cells of tau and w, weighed by their
    restricted likelihood. The method's own estimator; limits of validity as in
    ``fit_slope``, source of its coverage ``tests/bench/coverage.py``.

    Args:
        t_h: times in hours, shape (n,), increasing, steps may be unequal.
        y: ln signals, shape (series, n) or (n,), NaN where missing.
        extra: further regressors shared by all series, shape (n, e), or None.
        reference_h: where the intercept shall stand, hours.

    Raises:
        MeasureError: as ``prepared``; ``lengths_differ`` or ``not_finite`` for the
            regressors; ``regressors_dependent`` when they cannot be told apart.
    """
    width = (
        0
        if extra is None
        else np.asarray(extra).reshape(len(np.ravel(t_h)), -1).shape[1]
    )
    data = prepared(t_h, y, least=3 + width)
    added: Floats | None = None
    if extra is not None:
        given = np.asarray(extra, dtype=np.float64).reshape(data.t_h.size, -1)
        if not np.all(np.isfinite(given)):
            raise MeasureError("not_finite", what="regressor")
        added = np.repeat(given[:, :, None], len(data.seen), axis=2)
    columns = design(data, added)
    for s, present in enumerate(data.seen):
        if np.linalg.matrix_rank(columns[present][:, :-1, s]) < 2 + width:
            raise MeasureError("regressors_dependent")
    whitened, tau_h, nugget = filtered(data)
    inner = gram(whitened, columns)
    p = columns.shape[1] - 1
    post = posterior(inner, whitened.log_det, data.count, range(p), p)
    return slope_fits(data, post, tau_h, nugget, reference_h)


def fit_slope(
    t_h: npt.ArrayLike,
    y: npt.ArrayLike,
    extra: npt.ArrayLike | None = None,
    reference_h: float = 0.0,
) -> SlopeFit:
    """Fit one series; see ``fit_slopes``.

    Limits of validity: simulated coverage of the 95 % interval is 91 to 99 % for
    noise of correlation time up to about 1/8 of the window and 20 readings or more;
    92 % at 12 to 20 readings.
    """
    return fit_slopes(t_h, y, extra, reference_h)[0]
