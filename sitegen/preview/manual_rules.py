"""The table of quality checks with their limits and what to look at: for the manual."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sitegen.measure.run_flags import STEP_SIZE, STEP_Z
from sitegen.measure.sensor_checks import (
    HELD_REPEATS,
    HELD_SHARE,
    LAG_LIMIT,
    QUANTA,
    SATURATION_SHARE,
)
from sitegen.measure.window import CEILING_SHARE

Effect = Literal["notes", "not_rated", "either"]


@dataclass(frozen=True, slots=True)
class Rule:
    """A check.

    Attributes:
        code: its permanent code.
        limits: the numbers that readings are held against, by the case within the
            check (``""`` where there is one only); none where the record, the method
            or the repeats set them.
        raised: when it is raised; ``{}`` stands for each limit, in their order.
        effect: what a raised one does to a run or result.
        decide: whether it waits for the tester's decision.
        look: what to look at first.
    """

    code: str
    limits: tuple[tuple[str, float], ...]
    raised: str
    effect: Effect
    look: str
    decide: bool = False

    @property
    def said(self) -> str:
        """When it is raised, its limits filled in."""
        return self.raised.format(*(f"{limit:g}" for _, limit in self.limits))


RULES: tuple[Rule, ...] = (
    Rule(
        "N_LOW",
        (("", 20.0), ("", 10.0)),
        "Fewer than {} readings in the fitted part; fewer than {}: not rated.",
        "either",
        "Log more often, or measure how long the room mixes and shorten the wait.",
    ),
    Rule(
        "RANGE",
        (("", 3.0), ("", 0.1)),
        "With the device on the level fell by less than a factor of {}; in a natural "
        "decay by less than a share of {}.",
        "not_rated",
        "Let the run go on for longer, or start from a higher level.",
    ),
    Rule(
        "SE_K",
        (("", 0.1), ("natural", 0.1)),
        "The half-width of the interval of the decay rate is more than a share of {} "
        "of it, or that of the natural decay makes more than {} of the CADR.",
        "notes",
        "Repeat the run, or the natural decay, and make the latter longer.",
    ),
    Rule(
        "CADR_ZERO",
        (("", 0.0),),
        "The 95 % interval of the CADR includes {}.",
        "notes",
        "Say so in the verdict. Longer runs may tell more.",
    ),
    Rule(
        "CURV",
        (("", 0.1),),
        "The rate changes over the fitted part by more than a share of {}, and the "
        "interval of that change leaves zero out.",
        "notes",
        "A wrong zero offset, a start level too high for the counter, or a leak that "
        "opened.",
    ),
    Rule(
        "STEP",
        (("", STEP_Z), ("size", STEP_SIZE)),
        "A step stands out by more than {} of its standard errors and is larger than a "
        "share of {} of the level.",
        "notes",
        "Your notes of that minute: a door, a fan, a counter that was moved.",
        decide=True,
    ),
    Rule(
        "CORR",
        (("", 0.25),),
        "Fluctuations last longer than a share of {} of the fitted part.",
        "notes",
        "Mix the room better before the fit begins; repeat.",
    ),
    Rule(
        "RESID",
        (("", 0.02),),
        "More than a share of {} of the readings lie more than 4 robust standard "
        "deviations off the line.",
        "notes",
        "Bursts of dust, a phone beside the counter, a loose lead.",
    ),
    Rule(
        "SENSOR",
        (("spread", 0.1), ("outlier", 3.5)),
        "The rates of the instruments spread over more than a share of {} of their "
        "mean, or one is more than {} robust standard deviations off the others.",
        "notes",
        "Where each one stood; whether one is dirty or past its calibration.",
        decide=True,
    ),
    Rule(
        "MIX",
        (("mixing_time", 0.3), ("rate", 25.0)),
        "Decay rate times mixing time is above {}, or the decay rate above {} an hour.",
        "notes",
        "The device is too strong for the room; use a larger one.",
    ),
    Rule(
        "SAT",
        (
            ("ceiling", CEILING_SHARE),
            ("flat_top", 3.0),
            ("coincidence", SATURATION_SHARE),
        ),
        "A reading reaches a share of {} of the range, or the highest value stands {} "
        "times or more (both: not rated), or the start is above a share of {} of the "
        "level at which the counter saturates.",
        "either",
        "Start from less aerosol.",
    ),
    Rule(
        "HELD",
        (("", HELD_SHARE),),
        f"One value stands {HELD_REPEATS} times or more in a row, in more than a share "
        "of {} of the fitted part, though finer steps occur.",
        "not_rated",
        "The logger's interval and averaging; whether the instrument lost its link.",
    ),
    Rule(
        "FLOOR",
        (("", 1.0),),
        "The smoothed level comes under {} times the instrument's floor, which ends "
        "the fitted part.",
        "notes",
        "Start higher; state the noise and the zero offset that you measured.",
    ),
    Rule(
        "QUANT",
        (("", QUANTA),),
        "The lowest smoothed level is under {} steps of the instrument.",
        "notes",
        "Start higher, or log with more digits.",
    ),
    Rule(
        "LAG",
        (("", LAG_LIMIT),),
        "Decay rate times response time is above {}.",
        "notes",
        "Use a faster instrument, or a larger room.",
    ),
    Rule(
        "GAP",
        (("share", 0.1),),
        "More than a share of {} of the readings is missing, or one gap is longer than "
        "an eighth of the fitted part.",
        "notes",
        "The logger's memory, its battery, its link.",
    ),
    Rule(
        "OFF",
        (("late_start", 0.5),),
        "The first third of the fitted part falls no faster than the natural decay, or "
        "less than {} times as fast as the rest while the two intervals do not meet.",
        "notes",
        "Whether the machine ran, and when it was switched on.",
        decide=True,
    ),
    Rule(
        "NAT_NONE",
        (("", 1.0),),
        "There are fewer than {} natural decays to take off.",
        "not_rated",
        "Measure one in the same room, with the same mixing.",
    ),
    Rule(
        "NAT_ONE",
        (("", 2.0),),
        "There are fewer than {} natural decays.",
        "notes",
        "Measure another one.",
    ),
    Rule(
        "NAT_OLD",
        (),
        "A natural decay is more days away from the run than the method's "
        "natural_valid_days.",
        "notes",
        "Measure a new one; a room changes with season and furniture.",
    ),
    Rule(
        "VOLUME",
        (("", 0.5),),
        "More than a share of {} of the variance of the CADR comes from the volume.",
        "notes",
        "Measure the room again, furniture taken off, and state the uncertainty.",
    ),
    Rule(
        "AIRFLOW",
        (("", 1.0),),
        "The CADR is more than {} times the airflow measured or stated at that "
        "setting.",
        "notes",
        "One of the two is wrong: the setting, the volume, or the airflow.",
        decide=True,
    ),
    Rule(
        "ENV",
        (("humidity", 60.0), ("temperature", 5.0), ("door", 0.0)),
        "Relative humidity is above {} %, the temperature changed by more than {} K, "
        "or doors were opened more than {} times within the fitted part.",
        "notes",
        "Droplets swell in damp air and optical counters read more.",
    ),
    Rule(
        "VARIABLE",
        (),
        "The scatter of the repeats is beyond what the pooled repeatability explains "
        "(F test at 1 %).",
        "notes",
        "What differed between the runs: filter seating, place, charge.",
    ),
    Rule(
        "OUTLIER",
        (),
        "One of four or more repeats stands off by Grubbs' test at 5 %, or by 3.5 "
        "robust standard deviations.",
        "notes",
        "Look for a cause. Without one that you can name the run stays in.",
        decide=True,
    ),
)
