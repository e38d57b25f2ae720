"""The repeatability of a decay method: as its repeats have it now, and as adopted.

The adopted one makes intervals; the current one is reckoned anew with every run and
only told, so that one edited run does not move every interval of the archive.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from sitegen.errors import MeasureError
from sitegen.findings.comparisons import LEAST_DEGREES, Repeats, repeated
from sitegen.measure.planning import runs_to_tell_apart
from sitegen.measure.repeatability import (
    Repeatability,
    VarianceTest,
    bartlett,
    cochran,
    is_variable,
    pooled_repeatability,
    pooled_without_each,
    repeatability_limit,
    variance_ratio,
)

GOOD_DEGREES = 20.0
"""From so many degrees of freedom on a repeatability ought to be adopted."""
SIGNIFICANT = 0.05
TELL_APART = 0.10


@dataclass(frozen=True, slots=True)
class CurrentRepeatability:
    """What a method's own repeats give now.

    Attributes:
        cv: standard deviation of ln CADR; also the coefficient of variation.
        degrees: degrees of freedom.
        configurations: how many configurations with repeats are in it.
        runs: how many runs those are.
        limit: share by which two runs of one configuration differ at the most in 95 %
            of cases.
        bartlett_p: probability of such different scatter by chance (Bartlett), or
            nothing when it cannot be tested.
        cochran_p: probability of so large a largest scatter (Cochran), or nothing.
        variable: configurations that scatter more than the rest (99 % point of F).
        steady_cv: the same without those, or nothing when there are none.
        apart: runs each until two configurations that differ by 10 % can be told
            apart, four times in five; nothing when it takes too many.
    """

    cv: float
    degrees: float
    configurations: int
    runs: int
    limit: float
    bartlett_p: float | None
    cochran_p: float | None
    variable: tuple[str, ...]
    steady_cv: float | None
    apart: int | None

    @property
    def enough(self) -> bool:
        """Whether it may be adopted: it has the least degrees of freedom."""
        return self.degrees >= LEAST_DEGREES

    @property
    def good(self) -> bool:
        """Whether it has so many that it ought to be adopted."""
        return self.degrees >= GOOD_DEGREES

    @property
    def homogeneous(self) -> bool | None:
        """Whether the configurations scatter alike; nothing when it was not tested."""
        known = [p for p in (self.bartlett_p, self.cochran_p) if p is not None]
        return min(known) >= SIGNIFICANT if known else None


@dataclass(frozen=True, slots=True)
class AdoptedRepeatability:
    """What the method's record holds.

    Attributes:
        cv: standard deviation of ln CADR.
        degrees: degrees of freedom.
        day: ISO date on which it was adopted.
        limit: as in ``CurrentRepeatability``.
    """

    cv: float
    degrees: float
    day: str
    limit: float


@dataclass(frozen=True, slots=True)
class RepeatabilityFinding:
    """Adopted and current repeatability of a method, side by side.

    Attributes:
        method: id of the method.
        fraction: its primary fraction, which both are of.
        adopted: what its record holds, or nothing.
        current: what its repeats give now, or nothing without any.
        ratio: current cv over the adopted, or nothing.
        p: probability of such a ratio if the two are the same (F test), or nothing.
        differ: whether that is below 5 %.
    """

    method: str
    fraction: str
    adopted: AdoptedRepeatability | None
    current: CurrentRepeatability | None
    ratio: float | None = None
    p: float | None = None
    differ: bool = False


def current_repeatability(repeats: Sequence[Repeats]) -> CurrentRepeatability | None:
    """Return the repeatability that repeats of one method and fraction give now.

    Configurations with a run whose clean air cannot be told from none are left out
    (see ``repeated``). Those that scatter more than the rest are in it, and named.

    Args:
        repeats: the repeats behind every result of one method and fraction.

    Returns:
        None when nothing was repeated, or no repeat differs from another.
    """
    kept = repeated(repeats)
    groups = [item.each_m3h for item in kept]
    try:
        pooled = pooled_repeatability(groups)
    except MeasureError:
        return None
    if pooled.s_r == 0:
        return None
    variable = _variable(kept)
    steady = [item.each_m3h for item in kept if item not in variable]
    return CurrentRepeatability(
        cv=pooled.s_r,
        degrees=pooled.nu,
        configurations=len(kept),
        runs=sum(len(group) for group in groups),
        limit=repeatability_limit(pooled),
        bartlett_p=_p_of(bartlett, groups),
        cochran_p=_p_of(cochran, groups),
        variable=tuple(sorted(item.configuration for item in variable)),
        steady_cv=pooled_repeatability(steady).s_r if variable and steady else None,
        apart=runs_to_tell_apart(TELL_APART, pooled),
    )


def _variable(kept: Sequence[Repeats]) -> list[Repeats]:
    """Return the configurations that scatter more than all the others together.

    Each is held against the others, not against a figure that it is part of: among few
    repeats its own scatter would hide it.
    """
    rests = pooled_without_each([item.each_m3h for item in kept])
    return [
        item
        for item, rest in zip(kept, rests, strict=True)
        if rest is not None and rest.s_r > 0 and is_variable(item.each_m3h, rest)
    ]


def _p_of(
    test: Callable[[Sequence[tuple[float, ...]]], VarianceTest],
    groups: Sequence[tuple[float, ...]],
) -> float | None:
    """Return the probability of a test of variances; nothing where none is possible."""
    try:
        return test(groups).p
    except MeasureError:
        # Too few groups, or one without any scatter.
        return None


def repeatability_finding(
    method: str,
    fraction: str,
    adopted: tuple[float, float, str] | None,
    repeats: Sequence[Repeats],
) -> RepeatabilityFinding:
    """Return adopted and current repeatability of a method, and whether they differ.

    Args:
        method: id of the method.
        fraction: its primary fraction.
        adopted: cv, degrees of freedom and ISO date of its record, or nothing.
        repeats: the repeats of that method and fraction.
    """
    current = current_repeatability(repeats)
    if adopted is None:
        return RepeatabilityFinding(method, fraction, None, current)
    cv, degrees, day = adopted
    held = Repeatability(cv, degrees)
    kept = AdoptedRepeatability(cv, degrees, day, repeatability_limit(held))
    if current is None:
        return RepeatabilityFinding(method, fraction, kept, None)
    ratio = variance_ratio(Repeatability(current.cv, current.degrees), held)
    return RepeatabilityFinding(
        method, fraction, kept, current, ratio.ratio, ratio.p, ratio.differ
    )
