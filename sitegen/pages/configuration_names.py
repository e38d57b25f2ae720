"""The names by which readers know configurations."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from sitegen.findings.views import ComparisonFinding, Labels
from sitegen.pages.result_table import filter_label, speed_label
from sitegen.pages.words import Words


def configuration_name(words: Words, labels: Labels | None, configuration: str) -> str:
    """Return ``Alder 3, Fine filter, speed 2``.

    The filter is named only where the device has been given more than one.

    Args:
        words: the interface's words.
        labels: names of the device and its parts, or nothing when it has no page.
        configuration: ``DEVICE.FILTER.SPEED``.
    """
    device, filter_id, speed = configuration.split(".")
    if labels is None:
        return ", ".join((device, filter_id, speed))
    parts = [labels.name, speed_label(labels, speed)]
    if len(labels.filters) > 1:
        parts.insert(1, filter_label(words, labels, filter_id))
    return ", ".join(parts)


def configuration_names(
    words: Words, configurations: Iterable[str], names: Mapping[str, Labels]
) -> dict[str, str]:
    """Return configuration to name.

    Args:
        words: the interface's words.
        configurations: the configurations.
        names: names of the devices and their parts, by id of the device.
    """
    return {
        each: configuration_name(words, names.get(each.partition(".")[0]), each)
        for each in configurations
    }


def names_in(
    words: Words, finding: ComparisonFinding, names: Mapping[str, Labels]
) -> dict[str, str]:
    """Return the names of all configurations that a comparison speaks of."""
    asked = [*(row.configuration for row in finding.rows), *finding.dropped]
    return configuration_names(words, asked, names)
