"""A decay towards a background that is fitted too: a diagnostic.

``ln C = ln(B + A exp(-k t))``. Unbiased when the zero offset is unknown, at the price
of an interval 2.5 to 3 times as wide; a headline only if the window reaches 5 % and
ten readings or more lie on the plateau.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from sitegen.errors import MeasureError
from sitegen.measure.arrays import Floats
from sitegen.measure.fit import Coefficient, coefficient, filtered, prepared
from sitegen.measure.plain import ols_fit
from sitegen.measure.posterior import posterior
from sitegen.measure.whiten import gram

_ROUNDS = 200
_MOST_CONDITION = 1e6
"""Derivatives more alike than this cannot be told apart in double precision."""


@dataclass(frozen=True, slots=True)
class BackgroundFit:
    """Decay and background together.

    Attributes:
        decay: k, 1/h, with its 95 % interval.
        background: B in the signal's unit, with its interval; may be negative.
        amplitude: A at t = 0, in the signal's unit.
        n: readings used.
    """

    decay: Coefficient
    background: Coefficient
    amplitude: float
    n: int


def fit_background(t_h: npt.ArrayLike, y: npt.ArrayLike) -> BackgroundFit:
    """Fit decay and background to a log signal.

    Levenberg-Marquardt on the ln residuals finds the curve; the headline estimator on
    the model made linear there (derivatives by ln A, k and B) gives the intervals.
    Simulated coverage 93 to 97 %. That the background can be fitted with the decay has
    a published precedent (Lee et al. 2014, ES&T).

    Args:
        t_h: times in hours, shape (n,), increasing.
        y: ln signal, shape (n,), NaN where missing; at least 5 readings.

    Raises:
        MeasureError: as ``fit.prepared``; ``no_convergence`` when the readings do not
            bend enough to hold a background.
    """
    data = prepared(t_h, y, least=5)
    seen = data.seen[0]
    signal = np.atleast_2d(np.asarray(y, dtype=np.float64))[0]
    start = ols_fit(data.t_h, signal)
    guess = np.array([start.intercept, start.decay_per_h, 0.0])
    scale = float(np.exp(np.nanmax(signal)))
    found = _minimise(data.t_h[seen], signal[seen], guess, scale)
    slopes, model = _model(data.t_h, found)
    off = np.where(seen, signal - model, 0.0)
    unit = np.array([1.0, 1.0, scale])
    if not _tellable(slopes[seen] * unit):
        raise MeasureError("no_convergence", rounds=float(_ROUNDS))
    columns = np.concatenate([slopes * unit, off[:, None]], axis=1)[:, :, None]
    gains, _, _ = filtered(data)
    inner = gram(gains, columns)
    post = posterior(inner, gains.log_det, data.count, (0, 1, 2), 3)
    return BackgroundFit(
        decay=_moved(coefficient(post, 1)[0], found[1], 1.0),
        background=_moved(coefficient(post, 2)[0], found[2], scale),
        amplitude=float(np.exp(found[0])),
        n=int(seen.sum()),
    )


def _tellable(columns: Floats) -> bool:
    """Tell whether the columns, at any scale, differ enough to be fitted together."""
    length = np.sqrt((columns**2).sum(axis=0))
    if not (np.all(np.isfinite(length)) and np.all(length > 0)):
        return False
    return bool(np.linalg.cond(columns / length) < _MOST_CONDITION)


def _moved(change: Coefficient, by: float, scale: float) -> Coefficient:
    """Return a coefficient of the linear model as one of the curve."""
    return Coefficient(
        float(by) + scale * change.value,
        scale * change.sd,
        float(by) + scale * change.low,
        float(by) + scale * change.high,
    )


def _model(t_h: Floats, p: Floats) -> tuple[Floats, Floats]:
    """Return derivatives by ln A, k and B, shape (n, 3), and ln of the curve."""
    part = np.exp(p[0] - p[1] * t_h)
    curve = part + p[2]
    slopes = np.stack([part / curve, -t_h * part / curve, 1.0 / curve], axis=1)
    return slopes, np.log(curve)


def _minimise(t_h: Floats, y: Floats, p: Floats, scale: float) -> Floats:
    """Return the least-squares parameters."""
    damping, unit = 1e-3, np.array([1.0, 1.0, scale])
    slopes, model = _model(t_h, p)
    rest = y - model
    for _ in range(_ROUNDS):
        J = slopes * unit
        normal = J.T @ J
        lifted = normal + damping * np.diag(np.diag(normal))
        step = unit * np.linalg.solve(lifted, J.T @ rest)
        trial = p + step
        lowest = np.exp(trial[0] - trial[1] * t_h).min() + trial[2]
        better = False
        if lowest > 0 and abs(trial[1]) * float(t_h[-1] - t_h[0]) < 50.0:
            slopes_there, model_there = _model(t_h, trial)
            rest_there = y - model_there
            better = float(rest_there @ rest_there) <= float(rest @ rest)
        if better:
            p, slopes, rest = trial, slopes_there, rest_there
            damping = max(damping / 10.0, 1e-12)
            if np.all(np.abs(step / unit) < 1e-10):
                return p
        else:
            damping *= 10.0
            if damping > 1e12:
                break
    raise MeasureError("no_convergence", rounds=float(_ROUNDS))
