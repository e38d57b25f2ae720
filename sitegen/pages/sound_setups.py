"""How sound levels were measured: weighting, distance, position, background."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from sitegen.findings.views import ResultRow
from sitegen.model import SoundMethod
from sitegen.pages.formats import number, with_unit
from sitegen.pages.frame import Site
from sitegen.pages.words import Words


def sound_setups(
    words: Words, site: Site, methods: Sequence[SoundMethod]
) -> tuple[str, ...]:
    """Return a sentence for each way in which levels were measured, named if several.

    Args:
        words: the interface's words.
        site: units.
        methods: the sound methods.
    """
    said = [(method.name, _setup(words, site, method)) for method in methods]
    if len(said) == 1:
        return (said[0][1],)
    return tuple(words("{name}: {how}", name=name, how=how) for name, how in said)


def _setup(words: Words, site: Site, method: SoundMethod) -> str:
    values = {
        "weighting": method.weighting,
        "distance": with_unit(method.distance_m, "m", site.units, words),
        "position": method.position,
    }
    if method.duration_s is None:
        return words("{weighting}-weighted, at {distance}, {position}.", **values)
    return words(
        "{weighting}-weighted, at {distance}, {position}, means of {n} s.",
        n=number(method.duration_s, 3, words, plain=True),
        **values,
    )


def usual_sound_method(rows: Iterable[ResultRow]) -> str:
    """Return the sound method of most rows, of as many the later by id; or ``""``."""
    used = [row.sound_method for row in rows if row.sound_method]
    return max(sorted(set(used), reverse=True), key=used.count, default="")


def background_remarks(
    words: Words, rows: Sequence[ResultRow], grades: Mapping[str, str]
) -> dict[str, str]:
    """Return what the background did to each level, where a reader has to know.

    Args:
        words: the interface's words.
        rows: rows with or without a level.
        grades: how the background was treated, by configuration.

    Returns:
        Remark by configuration and method, as ``result_table`` takes them.
    """
    said = {
        "": words("background not measured"),
        "indicative": words(
            "background only 3 to 6 dB lower: an upper bound, indicative"
        ),
        "background_limited": words(
            "background less than 3 dB lower: an upper bound, limited by it"
        ),
    }
    return {
        f"{row.configuration} {row.method}": said[grade]
        for row in rows
        if row.sound_dba is not None
        and (grade := grades.get(row.configuration, "corrected")) in said
    }
