"""Links to records by the names under which readers know them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from sitegen.archive_build.measuring_cards import classes_asked, meeting
from sitegen.findings.views import Labels, ResultRow
from sitegen.model import parse_configuration
from sitegen.model.chronicle import TARGET_KINDS, Change
from sitegen.pages.addresses import of_record
from sitegen.pages.cautions import for_device, for_method
from sitegen.pages.changes import kind_text
from sitegen.pages.frame import Linked
from sitegen.pages.words import Words
from sitegen.rebuild import Ask, Step, json_codec

MOST_NAMED = 3
"""So many records are named in the title of a change."""


def _record_title(ask: Ask, kind: str, record_id: str) -> str:
    """The name by which readers know a record."""
    if kind == "prose":
        return str(ask("prose_head", record_id)[0])
    if kind == "run":
        return record_id
    record = ask("record", kind, record_id)
    if kind == "change":
        return _change_title(ask, record)
    if kind == "method":
        return f"{record.name} {record.version}"
    return str(getattr(record, "title", None) or record.name)


def _change_title(ask: Ask, change: Change) -> str:
    """What sort of change it is, and what it affects."""
    words: Words = ask("words")
    kind = kind_text(words, change.kind)
    links, _ = target_links(ask, change.affects)
    if not links:
        return kind
    named = ", ".join(each.text for each in links[:MOST_NAMED])
    if len(links) > MOST_NAMED:
        more = words.plural("{n} more", "{n} more", len(links) - MOST_NAMED)
        named = f"{named}, {more}"
    return words("{kind}: {what}", kind=kind, what=named)


def _device_cautions(ask: Ask, device_id: str) -> list[str]:
    return list(for_device(ask("bare_device", device_id)))


def _method_cautions(ask: Ask, method_id: str) -> list[str]:
    return list(for_method(ask("bare_method", method_id)))


def link_to(ask: Ask, kind: str, record_id: str, note: str = "") -> Linked:
    """Return a link to a record by its title."""
    return Linked(
        ask("record_title", kind, record_id), of_record(kind, record_id), note
    )


def links_to(ask: Ask, kind: str, ids: Iterable[str]) -> tuple[Linked, ...]:
    """Return links to those of some records that have a page, moves followed."""
    now = [ask("id_now", kind, name) for name in ids if name]
    return tuple(
        link_to(ask, kind, name) for name in now if ask("has_page", kind, name)
    )


def target_links(
    ask: Ask, targets: Iterable[str]
) -> tuple[tuple[Linked, ...], tuple[str, ...]]:
    """Return links to ``KIND:ID`` targets, and those that have no page any more."""
    links: list[Linked] = []
    gone: list[str] = []
    for target in targets:
        kind, _, named = target.partition(":")
        name = ask("id_now", kind, named)
        if kind in TARGET_KINDS and ask("has_page", kind, name):
            links.append(link_to(ask, kind, name))
        else:
            gone.append(target)
    return tuple(links), tuple(gone)


def _mentions(ask: Ask) -> dict[str, list[list[str]]]:
    """Where records are named: target to kind and id of what names it."""
    found: dict[str, list[list[str]]] = {}

    def note(target: str, kind: str, record_id: str) -> None:
        found.setdefault(target, []).append([kind, record_id])

    for name, _, _, _, *targets in ask("change_targets"):
        for target in targets:
            note(target, "change", name)
    for name in ask("shown", "video"):
        video = ask("record", "video", name)
        for device in video.devices:
            note(f"device:{device}", "video", name)
        for comparison in video.comparisons:
            note(f"comparison:{comparison}", "video", name)
    return found


def _choosers(ask: Ask) -> list[tuple[str, str, list[str] | None]]:
    """All comparisons and tables, each with the devices that it lists.

    With nothing where it chooses by conditions.
    """
    found: list[tuple[str, str, list[str] | None]] = []
    for kind in ("comparison", "table"):
        for name in ask("shown", kind):
            listed = getattr(ask("choice", kind, name), "configurations", ())
            parsed = [parse_configuration(text) for text in listed]
            devices = sorted({each.device for each in parsed if each is not None})
            found.append((kind, name, devices if listed else None))
    return found


def _is_chosen(ask: Ask, kind: str, record_id: str, device_id: str) -> bool:
    """Whether a table or a comparison chooses any result of a device.

    Asked of one device, so that its page does not wait for all that is chosen.
    """
    record = ask("choice", kind, record_id)
    rows: tuple[ResultRow, ...] = ask("current_rows", device_id)
    listed = getattr(record, "configurations", ())
    if listed:
        return any(row.configuration in listed for row in rows)
    classes = classes_asked(ask, rows, record.where)
    labels, price = ask("labels", device_id), ask("price", device_id)
    return bool(meeting(rows, labels, price, classes, record.where))


def _mentions_of(ask: Ask, target: str) -> list[list[str]]:
    found = list(ask("mentions").get(target, []))
    kind, _, name = target.partition(":")
    if kind != "device" or not ask("has_page", "device", name):
        return found
    return found + [
        [by, chooser]
        for by, chooser, devices in ask("choosers")
        if (devices is None or name in devices) and _is_chosen(ask, by, chooser, name)
    ]


def mentions(ask: Ask, target: str, kind: str) -> list[str]:
    """Return the ids of one kind that name a target (``KIND:ID``)."""
    return [name for of_kind, name in ask("mentions_of", target) if of_kind == kind]


def method_names(ask: Ask, rows: Iterable[ResultRow]) -> tuple[tuple[str, str], ...]:
    """Return id and title of each method under which results were found, by id."""
    names = sorted({name for row in rows for name in (row.method, row.sound_method)})
    return tuple((name, ask("record_title", "method", name)) for name in names if name)


def names_of(ask: Ask, devices: Iterable[str]) -> dict[str, Labels]:
    """Return the labels of some devices, by id."""
    ids = list(dict.fromkeys(devices))
    return dict(zip(ids, ask.all([("labels", name) for name in ids]), strict=True))


def _numbers(ask: Ask) -> dict[str, Any]:
    """How much the archive holds."""
    return {
        "devices": len(ask("shown", "device")),
        "runs": len(ask("shown", "run")),
        "configurations": len({row.configuration for row in ask("all_rows")}),
    }


def linking_steps() -> tuple[Step, ...]:
    """Return the steps that links rest on."""
    return (
        Step("record_title", _record_title, json_codec),
        Step("device_cautions", _device_cautions, json_codec),
        Step("method_cautions", _method_cautions, json_codec),
        Step("mentions", _mentions, json_codec),
        Step("choosers", _choosers, json_codec),
        Step("mentions_of", _mentions_of, json_codec),
        Step("numbers", _numbers, json_codec),
    )
