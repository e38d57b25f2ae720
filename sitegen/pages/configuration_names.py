"""The names by which readers know speeds, filters and configurations."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from sitegen.findings.views import ComparisonFinding, Labels
from sitegen.model import NO_FILTER
from sitegen.pages.words import Words

_ROMAN = frozenset("IVX")


def speed_label(words: Words, labels: Labels, speed_id: str) -> str:
    """Return a fan speed by its label; a bare number is said to be a speed."""
    label = dict(labels.speeds).get(speed_id, speed_id)
    if label.isdecimal() or set(label) <= _ROMAN:
        return words("speed {n}", n=label)
    return label


def filter_label(words: Words, labels: Labels, filter_id: str) -> str:
    """Return a filter by its name, without that of its device; ``none`` is reserved."""
    if filter_id == NO_FILTER:
        return words("without a filter")
    name = dict(labels.filters).get(filter_id, filter_id)
    bare = name.removeprefix(f"{labels.name} ")
    return bare or name


def setting_name(words: Words, labels: Labels, filter_id: str, speed_id: str) -> str:
    """Return ``speed 2, fine filter``: a configuration without its device."""
    return words(
        "{speed}, {filter}",
        speed=speed_label(words, labels, speed_id),
        filter=filter_label(words, labels, filter_id),
    )


def capital(text: str) -> str:
    """Return a text with a capital letter, as a cell or a line begins."""
    return f"{text[:1].upper()}{text[1:]}"


def configuration_name(
    words: Words, labels: Labels | None, configuration: str, *, device: bool = True
) -> str:
    """Return ``Alder 3 (speed 2, fine filter)``.

    The filter is named only where the device has been given more than one.

    Args:
        words: the interface's words.
        labels: names of the device and its parts, or nothing when it has no page.
        configuration: ``DEVICE.FILTER.SPEED``.
        device: whether the device is named.
    """
    device_id, filter_id, speed = configuration.split(".")
    if labels is None:
        return ", ".join((device_id, filter_id, speed))
    if len(labels.filters) > 1:
        setting = setting_name(words, labels, filter_id, speed)
    else:
        setting = speed_label(words, labels, speed)
    return f"{labels.name} ({setting})" if device else setting


def configuration_names(
    words: Words, configurations: Iterable[str], names: Mapping[str, Labels]
) -> dict[str, str]:
    """Return configuration to name; the device is named where there are several.

    Args:
        words: the interface's words.
        configurations: the configurations.
        names: names of the devices and their parts, by id of the device.
    """
    asked = list(dict.fromkeys(configurations))
    several = len({each.partition(".")[0] for each in asked}) > 1
    return {
        each: configuration_name(
            words,
            names.get(each.partition(".")[0]),
            each,
            device=several or len(asked) == 1,
        )
        for each in asked
    }


def names_in(
    words: Words, finding: ComparisonFinding, names: Mapping[str, Labels]
) -> dict[str, str]:
    """Return the names of all configurations that a comparison speaks of."""
    asked = [*(row.configuration for row in finding.rows), *finding.dropped]
    return configuration_names(words, asked, names)
