"""What was measured near a claim that cannot be judged, in a sentence."""

from __future__ import annotations

from sitegen.findings.views import Interval, Labels, Nearby
from sitegen.pages.code_words import CLEARANCE_BASES, LIFETIME_BASES, word
from sitegen.pages.configuration_names import setting_name
from sitegen.pages.formats import (
    in_units,
    interval_text,
    number,
    percent,
    sound_text,
    with_unit,
)
from sitegen.pages.frame import Site
from sitegen.pages.words import Words


def with_interval(words: Words, value: Interval, unit: str) -> str:
    """Return a value with its unit, and its interval in brackets where it has one."""
    shown = interval_text(value, words)
    if not shown.interval or value.low == value.high:
        return f"{shown.value} {unit}".rstrip()
    return words(
        "{value} ({interval})",
        value=f"{shown.value} {unit}".rstrip(),
        interval=shown.interval,
    )


def nearby_text(words: Words, site: Site, labels: Labels, found: Nearby) -> str:
    """Return what was measured near a claim, for readers; never a grade.

    Args:
        words: the interface's words.
        site: units.
        labels: names of the device's parts.
        found: what was measured.
    """
    setting = ""
    if found.configuration:
        _, fitted, speed = found.configuration.split(".")
        setting = setting_name(words, labels, fitted, speed)
    if found.quantity == "air_changes":
        return words(
            "by the CADR at {setting} it would have {changes} air changes an hour "
            "under {ceiling}",
            setting=setting,
            changes=with_interval(words, found.value, ""),
            ceiling=with_unit(found.at, "m", site.units, words),
        )
    if found.quantity == "sound_dba":
        level = sound_text(found.value.value, None, None, found.limit, words)
        return words(
            "measured here: {level} dB(A) at {distance}, {position}",
            level=level.value,
            distance=with_unit(found.at, "m", site.units, words),
            position=found.note,
        )
    if found.quantity == "clearance_min":
        return words(
            "in our room of {volume}: {time} to {share}, {basis}, at {setting}",
            volume=with_unit(found.at, "m³", site.units, words),
            time=with_interval(words, found.value, words("min")),
            share=percent(found.share, 2, words),
            basis=word(words, CLEARANCE_BASES, found.note),
            setting=setting,
        )
    if found.quantity == "airflow_m3h":
        flow, unit = in_units(found.value.value, "m³/h", site.units)
        return words(
            "airflow measured here at {setting}: {flow}",
            setting=setting,
            flow=f"{number(flow, 3, words)} {unit}",
        )
    return _life(words, found)


def _life(words: Words, found: Nearby) -> str:
    unit = words("months") if found.unit == "months" else words("running hours")
    figure = number(found.value.value, 3, words, plain=True)
    return words(
        "costs here are reckoned with {life}, {basis}",
        life=f"{figure} {unit}",
        basis=word(words, LIFETIME_BASES, found.note),
    )
