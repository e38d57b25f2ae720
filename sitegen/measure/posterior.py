"""From whitened inner products to a coefficient's estimate and interval."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sitegen.measure.arrays import Floats
from sitegen.measure.quantiles import t_cdf, t_log_density_constant, t_quantile

_NEWTON_STEPS = 60


@dataclass(frozen=True, slots=True)
class Posterior:
    """The grid's weights and each cell's regression, for several series at once.

    Attributes:
        weight: posterior weight of each cell, shape (series, cells), rows sum to 1.
        beta: coefficients, shape (series, cells, p).
        cov: covariance of the coefficients within a cell, shape (series, cells, p, p).
        nu: degrees of freedom, shape (series,).
    """

    weight: Floats
    beta: Floats
    cov: Floats
    nu: Floats

    def mean(self) -> Floats:
        """Return the coefficients' posterior means, shape (series, p)."""
        return np.asarray(np.einsum("sg,sgp->sp", self.weight, self.beta))

    def covariance(self) -> Floats:
        """Return within-cell plus between-cell covariance, shape (series, p, p)."""
        off = self.beta - self.mean()[:, None, :]
        within = np.einsum("sg,sgpq->spq", self.weight, self.cov)
        between = np.einsum("sg,sgp,sgq->spq", self.weight, off, off)
        return np.asarray(within + between)


def posterior(
    gram: Floats,
    log_det: Floats,
    count: Floats,
    design: Sequence[int],
    response: int | Sequence[int],
) -> Posterior:
    """Regress one whitened column on others in every cell and weigh the cells.

    The weight is the restricted likelihood with the scale profiled out,
    ``-ln|R|/2 - ln|X'X|/2 - (nu/2) ln rss``, flat over the grid (Patterson and Thompson
    1971 for the likelihood; X and rss are whitened, nu = n - p).

    Args:
        gram: inner products, shape (series, cells, c, c).
        log_det: log determinants of the correlation, shape (series, cells).
        count: readings in each series, shape (series,).
        design: which columns explain.
        response: which column is explained; one for all series, or one each.
    """
    rows = list(design)
    p = len(rows)
    picked = np.broadcast_to(np.asarray(response), (gram.shape[0],))
    series = np.arange(gram.shape[0])
    xx = gram[:, :, rows][:, :, :, rows]
    xy = gram[series, :, :, picked][:, :, rows]
    yy = gram[series, :, picked, picked]
    inverse = np.linalg.inv(xx)
    beta = np.einsum("sgpq,sgq->sgp", inverse, xy)
    rss = np.maximum(yy - np.einsum("sgp,sgp->sg", xy, beta), 1e-14 * yy)
    rss = np.maximum(rss, np.finfo(np.float64).tiny)
    nu = count - p
    log_xx = np.linalg.slogdet(xx)[1]
    like = -0.5 * (log_det + log_xx + nu[:, None] * np.log(rss))
    weight = np.exp(like - like.max(axis=1, keepdims=True))
    weight /= weight.sum(axis=1, keepdims=True)
    cov = inverse * (rss / nu[:, None])[:, :, None, None]
    return Posterior(weight, beta, cov, nu)


def mixture_interval(
    weight: Floats, centre: Floats, spread: Floats, nu: Floats, level: float = 0.95
) -> tuple[Floats, Floats]:
    """Return the central interval of mixtures of shifted, scaled t distributions.

    Solves ``sum W T_nu((x - centre)/spread) = p`` for the two tails.

    Args:
        weight: shape (series, cells), rows summing to 1.
        centre: each cell's estimate, same shape.
        spread: each cell's standard error, same shape.
        nu: degrees of freedom, shape (series,).
        level: probability inside.

    Returns:
        Lower and upper limits, each of shape (series,).
    """
    tail = (1.0 - level) / 2.0
    series = weight.shape[0]
    p = np.repeat([tail, 1.0 - tail], series)
    kept = np.where(weight > 1e-12, weight, 0.0)
    twice = [np.concatenate([part, part]) for part in (kept, centre, spread, nu)]
    ends = _mixture_quantiles(twice[0], twice[1], twice[2], twice[3], p)
    return ends[:series], ends[series:]


def _mixture_quantiles(
    weight: Floats, centre: Floats, spread: Floats, nu: Floats, p: Floats
) -> Floats:
    """Solve each mixture's distribution function for ``p``, shape (mixtures,).

    The quantile of a mixture lies between its parts' quantiles, which gives the
    bracket; a Newton step that leaves it is replaced by its middle.
    """
    q = np.array([t_quantile(*pair) for pair in zip(p, nu, strict=True)])[:, None]
    parts = np.where(weight > 0, centre + q * spread, np.nan)
    low, high = np.nanmin(parts, axis=1), np.nanmax(parts, axis=1)
    log_peak = t_log_density_constant(nu)[:, None]
    x = np.einsum("sg,sg->s", weight, np.nan_to_num(parts))
    scale = np.einsum("sg,sg->s", weight, spread)
    power = -0.5 * (nu[:, None] + 1.0)
    for _ in range(_NEWTON_STEPS):
        z = (x[:, None] - centre) / spread
        over = np.einsum("sg,sg->s", weight, t_cdf(z, nu[:, None])) - p
        density = np.exp(log_peak + power * np.log1p(z * z / nu[:, None])) / spread
        low, high = np.where(over < 0, x, low), np.where(over < 0, high, x)
        trial = x - over / np.einsum("sg,sg->s", weight, density)
        inside = (trial >= low) & (trial <= high)
        trial = np.where(inside, trial, 0.5 * (low + high))
        moved, x = np.abs(trial - x), trial
        if np.all(moved <= 1e-11 * scale):
            break
    return np.asarray(x)
