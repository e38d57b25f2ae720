"""Steps from results to what lists, tables, comparisons and the finder show."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from sitegen.archive_build.codecs import record_codec, typed_codec
from sitegen.findings.cards import card_of, labels_of
from sitegen.findings.comparisons import (
    Scatter,
    compare,
)
from sitegen.findings.costs import device_price
from sitegen.findings.picks import (
    ROOM_AREAS_M2,
    current_rows,
    finder_answer,
    with_ends,
)
from sitegen.findings.ranks import (
    PLACED,
    Members,
    Placed,
    members_of,
    place_by_interval,
    place_in,
    placed_of,
    placed_set,
)
from sitegen.findings.select import facts_of, matches
from sitegen.findings.settle import Surprise, surprises
from sitegen.findings.views import (
    Card,
    ComparisonFinding,
    FinderAnswer,
    Labels,
    Place,
    ResultRow,
)
from sitegen.model import (
    NO_FILTER,
    Condition,
    Device,
    parse_configuration,
)
from sitegen.pages.place_strip import dots_of, dots_svg
from sitegen.rebuild import Ask, Output, Step, json_codec


def _labels(ask: Ask, device_id: str) -> Labels:
    device: Device = ask("bare_device", device_id)
    filters = ask.all([("bare_filter", use.id) for use in device.filters])
    names = {record.id: record.name for record in filters}
    return labels_of(device, names, held=ask("is_held", "device", device_id))


def _all_labels(ask: Ask) -> tuple[Labels, ...]:
    return tuple(ask.all([("labels", name) for name in ask("shown", "device")]))


def _price(ask: Ask, device_id: str) -> float | None:
    price, _ = device_price(ask("bare_device", device_id), ask("cost_basis"))
    return price


def _current_rows(ask: Ask, device_id: str) -> tuple[ResultRow, ...]:
    return current_rows(
        ask("rows", device_id), ask("primary_fraction"), ask("replaced_methods")
    )


def _card(ask: Ask, device_id: str) -> Card:
    days = [e.day for e in ask("entries_of", device_id)]
    return card_of(
        ask("card_record", device_id),
        ask("labels", device_id),
        ask("current_rows", device_id),
        ask("cost_basis").assumptions.quiet_cap_dba,
        ask("price", device_id),
        max(days, default=""),
        ask("loose_rows", device_id),
    )


def _card_record(ask: Ask, device_id: str) -> Device:
    """Pass on a device with no more of its verdict than the standing."""
    device: Device = ask("record", "device", device_id)
    verdict = device.verdict
    if verdict is not None:
        verdict = verdict.model_copy(
            update={
                "text": "-",
                "likes": (),
                "dislikes": (),
                "suits": (),
                "does_not_suit": (),
            }
        )
    return device.model_copy(
        update={"verdict": verdict, "responses": (), "note": None, "links": ()}
    )


def _placed(ask: Ask, device_id: str) -> list[tuple[str, float, float, float]]:
    """Quantity and comparable set, value and limits of a device's placed numbers.

    Of what is known before ranks are, so that a rank that moves leads to no other.
    """
    families = ask("families")
    ranked = {case.key for case in ask("rank_cases", device_id)}
    rows = current_rows(
        ask("plain_rows", device_id), ask("primary_fraction"), ask("replaced_methods")
    )
    found = []
    for row in rows:
        for quantity in PLACED:
            placed = placed_of(row, quantity)
            # A CADR that cannot be told from none has no rank, and no place.
            counts = quantity != "cadr_m3h" or row.key in ranked
            if placed is not None and counts:
                name = f"{quantity} {placed_set(row, quantity, families)}"
                found.append((name, placed.value, placed.low, min(placed.high, NO_END)))
    return found


def _placed_values(ask: Ask) -> dict[str, Members]:
    """The placed numbers of all devices, each set sorted once for all.

    By quantity and comparable set, with a blank between.
    """
    each = ask.all([("placed", name) for name in ask("shown", "device")])
    found: dict[str, list[Placed]] = {}
    for name, *numbers in (one for placed in each for one in placed):
        found.setdefault(name, []).append(Placed(*numbers))
    return {name: members_of(found[name]) for name in sorted(found)}


# No limit at all, as a number that can be stored.
NO_END = 1e300


def _counts(row: ResultRow, quantity: str) -> bool:
    """Whether a number has a place: a CADR that cannot be told from none has none."""
    return quantity != "cadr_m3h" or row.rank_low is not None


def _places(ask: Ask, device_id: str) -> tuple[Place, ...]:
    headline = ask("card", device_id).headline
    if headline is None:
        return ()
    return _places_among(headline, ask("placed_values"), ask("families"))


def _places_among(
    row: ResultRow, sets: Mapping[str, Members], families: Mapping[str, str]
) -> tuple[Place, ...]:
    places = []
    for quantity in PLACED:
        own = placed_of(row, quantity)
        if own is None or not _counts(row, quantity):
            continue
        name = placed_set(row, quantity, families)
        members = sets[f"{quantity} {name}"]
        if quantity == "clearance_min":
            place = place_by_interval(quantity, own, members)
        else:
            better = "up" if quantity == "cadr_m3h" else "down"
            place = place_in(quantity, own.value, members.values, better)
        if quantity == "cadr_m3h" and row.rank_low is not None:
            place = replace(
                place,
                low=row.rank_low,
                high=row.rank_high or row.rank_low,
                of=row.ranked_of or place.of,
            )
        places.append(replace(place, set=name))
    return tuple(places)


def _place_dots(ask: Ask) -> tuple[Output, ...]:
    """The pictures of all numbers of each quantity and set, shared by all pages."""
    outputs = []
    for name, members in sorted(ask("placed_values").items()):
        quantity, _, of = name.partition(" ")
        data = dots_svg(members.values)
        outputs.append(Output(dots_of(quantity, of).file, data))
    return tuple(outputs)


def _surprises(ask: Ask, device_id: str) -> tuple[Surprise, ...]:
    """What of a device's current results is not settled, and what would settle it."""
    rows = ask("current_rows", device_id)
    known: dict[str, Scatter] = {}
    for method_id in sorted({row.method for row in rows}):
        known |= ask("scatter_of", method_id)
    return surprises(
        rows,
        ask("pooled", device_id),
        ask("claims", device_id),
        known,
        ask("replaced_methods"),
    )


def _chosen_rows(ask: Ask, kind: str, record_id: str) -> tuple[ResultRow, ...]:
    """Rows that the conditions of a table or a comparison choose."""
    record = ask("choice", kind, record_id)
    listed = getattr(record, "configurations", ())
    if listed:
        devices = dict.fromkeys(
            c.device for text in listed if (c := parse_configuration(text))
        )
        shown = set(ask("shown", "device"))
        each = ask.all([("current_rows", d) for d in devices if d in shown])
        by_name: dict[str, list[ResultRow]] = {}
        for row in (row for rows in each for row in rows):
            by_name.setdefault(row.configuration, []).append(row)
        return tuple(row for text in listed for row in by_name.get(text, ()))
    labels = {item.id: item for item in ask("all_labels")}
    names = ask("shown", "device")
    each = ask.all([("current_rows", name) for name in names])
    prices = ask.all([("price", name) for name in names])
    classes = classes_asked(ask, (row for rows in each for row in rows), record.where)
    chosen: list[ResultRow] = []
    for name, rows, price in zip(names, each, prices, strict=True):
        chosen += meeting(rows, labels[name], price, classes, record.where)
    return tuple(chosen)


def meeting(
    rows: Iterable[ResultRow],
    labels: Labels,
    price: float | None,
    classes: Mapping[str, str],
    where: Sequence[Condition],
) -> list[ResultRow]:
    """Return those of a device's rows that meet all conditions.

    Args:
        rows: the rows.
        labels: names of the device.
        price: its price, in the archive's currency, or nothing.
        classes: classes of filters, from ``classes_asked``.
        where: the conditions.
    """
    facts = facts_of(labels, price)
    return [
        row
        for row in rows
        if matches(row, {**facts, "filter_class": classes.get(row.filter)}, where)
    ]


def classes_asked(
    ask: Ask, rows: Iterable[ResultRow], where: Sequence[Condition]
) -> dict[str, str]:
    """Return the classes of the filters of rows, by id.

    None where no condition asks for them, so that no other table rests on filters.
    """
    asked = any(each.field == "filter_class" for each in where)
    return classes_of(ask, (row.filter for row in rows)) if asked else {}


def classes_of(ask: Ask, filters: Iterable[str]) -> dict[str, str]:
    """Return the classes that makers state, by id of the filter."""
    used = sorted(set(filters) - {NO_FILTER})
    records = ask.all([("bare_filter", name) for name in used])
    return {each.id: each.stated_class for each in records if each.stated_class}


def _choice(ask: Ask, kind: str, record_id: str) -> Any:  # noqa: ANN401 - either kind
    record = ask("record", kind, record_id)
    blank = {"intro": None, "caption": None} if kind == "table" else {"text": None}
    return record.model_copy(update={"title": "-", **blank})


def _comparison(ask: Ask, comparison_id: str) -> ComparisonFinding:
    record = ask("choice", "comparison", comparison_id)
    rows = ask("chosen_rows", "comparison", comparison_id)
    devices = dict.fromkeys(row.device for row in rows)
    each = ask.all([("repeats", name) for name in devices])
    repeats = {
        f"{item.configuration} {item.method} {item.fraction}": item
        for items in each
        for item in items
    }
    found = {row.configuration for row in rows}
    dropped = [text for text in record.configurations if text not in found]
    return compare(rows, dropped, repeats, ask("scatter"), ask("families"))


def rows_to_find(ask: Ask) -> tuple[list[ResultRow], dict[str, float]]:
    """Return what the finder chooses from: results, and prices of their devices."""
    labels = {item.id: item for item in ask("all_labels")}
    names = [name for name in ask("shown", "device") if not labels[name].withdrawn]
    each = ask.all([("current_rows", name) for name in names])
    known = zip(names, ask.all([("price", name) for name in names]), strict=True)
    prices = {name: price for name, price in known if price is not None}
    return [row for rows in each for row in rows], prices


def _finder(ask: Ask) -> tuple[FinderAnswer, ...]:
    assumed = ask("cost_basis").assumptions
    rows, prices = rows_to_find(ask)
    answers = [
        finder_answer(
            area,
            assumed.ceiling_m,
            assumed.target_ach_per_h,
            assumed.quiet_cap_dba,
            rows,
            prices,
            years=assumed.years,
        )
        for area in ROOM_AREAS_M2
    ]
    picked = sorted({pick.row.device for each in answers for pick in each.picks})
    ends = {
        view.configuration: view.ends.running_cost_year
        for views in ask.all([("costs", name) for name in picked])
        for view in views
        if view.ends.running_cost_year is not None
    }
    return tuple(with_ends(each, ends, assumed.years) for each in answers)


def card_steps() -> tuple[Step, ...]:
    """Return these steps."""
    return (
        Step("card_record", _card_record, record_codec),
        Step("choice", _choice, record_codec),
        Step("labels", _labels, typed_codec(Labels)),
        Step("all_labels", _all_labels, typed_codec(tuple[Labels, ...])),
        Step("price", _price, json_codec),
        Step("current_rows", _current_rows, typed_codec(tuple[ResultRow, ...])),
        Step("card", _card, typed_codec(Card)),
        Step("placed", _placed, json_codec),
        Step("placed_values", _placed_values, typed_codec(dict[str, Members])),
        Step("place_dots", _place_dots, writes=True),
        Step("places", _places, typed_codec(tuple[Place, ...])),
        Step("surprises", _surprises, typed_codec(tuple[Surprise, ...])),
        Step("chosen_rows", _chosen_rows, typed_codec(tuple[ResultRow, ...])),
        Step("comparison", _comparison, typed_codec(ComparisonFinding)),
        Step("finder", _finder, typed_codec(tuple[FinderAnswer, ...])),
    )
