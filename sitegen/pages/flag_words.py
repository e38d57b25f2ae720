"""What the quality checks of a run are called, and what they mean to a reader."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from sitegen.pages.words import Words, message


@dataclass(frozen=True, slots=True)
class FlagWord:
    """A check in words.

    Attributes:
        code: its permanent code.
        short: a few words, for tables.
        meaning: one or two sentences: what was seen and what it does to the number.
    """

    code: str
    short: str
    meaning: str


_SHORT: Mapping[str, str] = MappingProxyType(
    {
        "N_LOW": message("few readings"),
        "RANGE": message("fell too little"),
        "SE_K": message("wide interval"),
        "CADR_ZERO": message("not distinguishable from zero"),
        "CURV": message("decay bends"),
        "STEP": message("a step in the decay"),
        "CORR": message("slow fluctuations"),
        "RESID": message("stray readings"),
        "SENSOR": message("sensors disagree"),
        "MIX": message("faster than the room mixes"),
        "SAT": message("near a sensor's ceiling"),
        "HELD": message("readings held"),
        "FLOOR": message("a sensor at its floor"),
        "QUANT": message("coarse steps"),
        "LAG": message("slow sensor"),
        "GAP": message("readings missing"),
        "OFF": message("perhaps not running"),
        "NAT_NONE": message("no natural decay"),
        "NAT_ONE": message("one natural decay only"),
        "NAT_OLD": message("natural decay is old"),
        "VOLUME": message("room volume uncertain"),
        "AIRFLOW": message("more than the fan moves"),
        "ENV": message("damp, warming or a door"),
        "VARIABLE": message("runs differ"),
        "OUTLIER": message("one run stands off"),
    }
)
_MEANING: Mapping[str, str] = MappingProxyType(
    {
        "N_LOW": message(
            "The fitted part holds few readings, so that its interval is less sure. "
            "Under ten readings a run is not rated."
        ),
        "RANGE": message(
            "The concentration fell too little within the run for a slope to be "
            "trusted. Such a run is not rated."
        ),
        "SE_K": message(
            "The decay rate, or the natural decay that is taken off, is known to no "
            "better than a tenth."
        ),
        "CADR_ZERO": message(
            "The interval of the CADR includes zero: what was measured cannot be told "
            "from no cleaning at all."
        ),
        "CURV": message(
            "On a log scale the decay is no straight line, more than chance explains. "
            "The rate is an average over the fitted part."
        ),
        "STEP": message(
            "The concentration jumps at one moment, as when a door is opened or a fan "
            "changes its speed."
        ),
        "CORR": message(
            "Readings fluctuate so slowly that the fitted part holds few independent "
            "ones; the interval may be a little too narrow."
        ),
        "RESID": message("More readings than usual lie far from the fitted line."),
        "SENSOR": message(
            "The instruments do not agree on the decay rate: they differ by more than "
            "a tenth, or one stands apart from the others."
        ),
        "MIX": message(
            "The device clears the air near it faster than the room mixes; the number "
            "may be too low."
        ),
        "SAT": message(
            "Readings lie near the top of an instrument's range. A run is not rated "
            "where an instrument stood at its ceiling."
        ),
        "HELD": message(
            "An instrument repeated one value for long stretches; its readings count "
            "for fewer than they seem. Such a run is not rated."
        ),
        "FLOOR": message(
            "An instrument came to the lowest level that it can tell; the fitted part "
            "ends there."
        ),
        "QUANT": message("An instrument's steps are coarse against what it measured."),
        "LAG": message(
            "An instrument answers slowly against how fast the concentration fell."
        ),
        "GAP": message(
            "More than a tenth of the readings are missing, or there is one long gap."
        ),
        "OFF": message(
            "For a while the concentration fell no faster than without a device: it "
            "may have been switched on late, or not at all."
        ),
        "NAT_NONE": message(
            "No natural decay was measured that could be taken off. Such a run is not "
            "rated."
        ),
        "NAT_ONE": message(
            "The natural decay that is taken off rests on a single run."
        ),
        "NAT_OLD": message(
            "The natural decay that is taken off was measured longer ago than the "
            "method allows."
        ),
        "VOLUME": message(
            "Most of the uncertainty comes from the volume of the room, which all "
            "results from this room share."
        ),
        "AIRFLOW": message(
            "The CADR exceeds the airflow that was measured or stated, which no filter "
            "can do."
        ),
        "ENV": message(
            "The air was damp, its temperature changed by more than 5 K, or a door was "
            "moved."
        ),
        "VARIABLE": message(
            "Repeated runs differ by more than this method's repeatability; how much "
            "they differ is in the interval."
        ),
        "OUTLIER": message(
            "One of the repeated runs stands off from the others. It stays in the "
            "result until a cause is found and recorded; both means are shown."
        ),
    }
)

CODES: tuple[str, ...] = tuple(_SHORT)


def flag_word(words: Words, code: str) -> FlagWord:
    """Return a check in words; an unknown code stands for itself."""
    return FlagWord(
        code=code,
        short=words(_SHORT.get(code, code)),
        meaning=words(_MEANING[code]) if code in _MEANING else "",
    )


def flag_words(words: Words, codes: Iterable[str]) -> tuple[FlagWord, ...]:
    """Return checks in words, each once, in the order given."""
    return tuple(flag_word(words, code) for code in dict.fromkeys(codes))


def flags_line(words: Words, codes: Iterable[str]) -> str:
    """Return the short names of checks in one line, or ``""``."""
    return "; ".join(found.short for found in flag_words(words, codes))
