"""A device in a few words and numbers, for lists."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from sitegen.findings.picks import headline, quiet_pick
from sitegen.findings.views import Card, Labels, ResultRow
from sitegen.model import Device


def labels_of(device: Device, filter_names: Mapping[str, str], *, held: bool) -> Labels:
    """Return the names by which a device and its parts are shown.

    Args:
        device: the device.
        filter_names: filter id to name.
        held: whether the device is held back.
    """
    return Labels(
        id=device.id,
        name=device.name,
        maker=device.maker,
        form=device.form,
        speeds=tuple((speed.id, speed.label) for speed in device.speeds),
        filters=tuple(
            (use.id, filter_names.get(use.id, use.id)) for use in device.filters
        ),
        held=held,
        withdrawn=device.withdrawn is not None,
    )


def card_of(
    device: Device,
    labels: Labels,
    rows: Sequence[ResultRow],
    cap_dba: float,
    price: float | None,
    tested: str,
    loose: Sequence[ResultRow] = (),
) -> Card:
    """Return a device's card.

    Args:
        device: the device.
        labels: its names.
        rows: its rows of the primary fraction under methods in force.
        cap_dba: the quiet cap.
        price: what it costs, or nothing.
        tested: day of its newest run, or ``""``.
        loose: rows of settings that have a level and no CADR.
    """
    ways = [unit.acquired.how for unit in device.specimens if unit.acquired]
    photo = device.photos[0] if device.photos else None
    return Card(
        labels=labels,
        headline=headline(rows),
        quiet=quiet_pick([*rows, *loose], cap_dba),
        price=price,
        acquired=tuple(dict.fromkeys(ways)),
        standing=device.verdict.standing if device.verdict else "",
        photo=(photo.file, photo.alt) if photo else None,
        tested=tested,
    )
