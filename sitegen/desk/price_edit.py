"""A new dated price goes into a record of a device or a filter."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

from sitegen.desk.checked_edit import Edit, edit_record
from sitegen.desk.opened import OpenArchive
from sitegen.desk.record_edit import block, block_list, flow, is_flow, set_scalar
from sitegen.errors import Fault, FaultsFound, Place
from sitegen.load import SETTINGS_FILE, load_archive_settings
from sitegen.model import Archive, Device, Filter


@dataclass(frozen=True, slots=True)
class Seen:
    """A price as it was seen.

    Attributes:
        amount: as written, in the currency's main unit.
        currency: ISO 4217 code; that of the record's newest price, or the archive's,
            when not given.
        on: the day.
        kind: for a device: ``list``, ``paid``, ``carriage`` or ``duty``.
        shop: where it was seen, or ``""``.
    """

    amount: str
    currency: str | None
    on: dt.date
    kind: str
    shop: str

    def values(self, currency: str, *, kind: bool) -> dict[str, str]:
        """Return its fields in their order."""
        values = {"amount": self.amount, "currency": currency}
        values["date"] = self.on.isoformat()
        if kind:
            values["kind"] = self.kind
        return {**values, "source": self.shop} if self.shop else values


def add_price(archive: OpenArchive, device_id: str, seen: Seen) -> Edit:
    """Return the edit that puts a price beside those of a device.

    Raises:
        UsageFault: if there is no such device.
        FaultsFound: if there is one of that kind and day already, or as
            ``edit_record``.
    """
    device = archive.record("device", device_id, Device)
    file = archive.path("device", device_id)
    for at, price in enumerate(device.prices):
        if (price.kind, price.date) == (seen.kind, seen.on):
            values = {"kind": price.kind, "day": price.date.isoformat()}
            place = f"prices[{at}]"
            raise FaultsFound([Fault("price-there", Place(file), place, values)])
    newest = max(device.prices, key=lambda price: price.date, default=None)
    currency = seen.currency or (
        newest.currency if newest else settings_of(archive).currency
    )
    values = seen.values(currency, kind=True)

    def edit(top: Any) -> None:  # noqa: ANN401 - plain data
        listed = top.get("prices")
        if listed and is_flow(listed):
            listed.append(flow(values))
            return
        on_one_line = not listed or is_flow(listed[-1])
        made = flow(values) if on_one_line else block(values)
        block_list(top, "prices").append(made)

    return edit_record(archive, "device", device_id, edit, ("prices",))


def renew_price(archive: OpenArchive, filter_id: str, seen: Seen) -> Edit:
    """Return the edit that puts a newer price in the place of a filter's.

    Raises:
        UsageFault: if there is no such filter.
        FaultsFound: if the price that is there is newer, or as ``edit_record``.
    """
    record = archive.record("filter", filter_id, Filter)
    old = record.price
    if old is not None and old.date >= seen.on:
        values = {"day": old.date.isoformat(), "new": seen.on.isoformat()}
        file = archive.path("filter", filter_id)
        raise FaultsFound([Fault("price-older", Place(file), "price", values)])
    currency = seen.currency or (old.currency if old else settings_of(archive).currency)
    values = seen.values(currency, kind=False)

    def edit(top: Any) -> None:  # noqa: ANN401 - plain data
        if "price" not in top:
            top["price"] = flow(values)
            return
        for name, text in values.items():
            if name in top["price"]:
                set_scalar(top, ("price", name), text)
            else:
                top["price"][name] = text
        # The old shop did not sell it at the new price.
        if "source" not in values:
            top["price"].pop("source", None)

    return edit_record(archive, "filter", filter_id, edit, ("price",))


def settings_of(archive: OpenArchive) -> Archive:
    """Return the archive's settings.

    Raises:
        FaultsFound: if they have a fault.
    """
    data = (archive.folder / SETTINGS_FILE).read_bytes()
    loaded = load_archive_settings(data, SETTINGS_FILE)
    if loaded.record is None:
        raise FaultsFound(loaded.faults)
    return loaded.record
