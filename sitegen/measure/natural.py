"""The natural decay that is subtracted: pooled over natural-decay runs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sitegen.errors import MeasureError
from sitegen.measure.estimate import DecayEstimate
from sitegen.measure.pooling import random_effects


@dataclass(frozen=True, slots=True)
class NaturalDecay:
    """A pooled natural decay.

    Attributes:
        estimate: value, standard deviation and limits, 1/h.
        runs: how many runs are in it.
        tau2: between-run variance, 1/h2; 0 for a single run.
    """

    estimate: DecayEstimate
    runs: int
    tau2: float


def pool_natural(runs: Sequence[DecayEstimate]) -> NaturalDecay:
    """Pool the natural runs' decays.

    Two or more: random effects with the modified Knapp-Hartung interval. One: its own
    interval, which does not know how natural decay differs from run to run. The zero
    offsets are common to the runs, so that their term is the runs' mean, not shrunk.

    Args:
        runs: decays of the accepted natural runs, 1/h: same room, aerosol, mixing and
            instruments as the runs that it is taken off.

    Raises:
        MeasureError: ``no_natural`` for an empty list.
    """
    if not runs:
        raise MeasureError("no_natural")
    if len(runs) == 1:
        return NaturalDecay(runs[0], 1, 0.0)
    pooled = random_effects(
        [run.decay_per_h for run in runs], [run.sd_per_h for run in runs]
    )
    zero = float(np.mean([run.zero_u_per_h for run in runs]))
    estimate = DecayEstimate(pooled.mean, pooled.se, pooled.low, pooled.high, zero)
    return NaturalDecay(estimate, len(runs), pooled.tau2)
