"""Links to records by the names under which readers know them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from sitegen.findings.views import Labels
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
    for kind in ("comparison", "table"):
        for name in ask("shown", kind):
            devices = {row.device for row in ask("chosen_rows", kind, name)}
            for device in sorted(devices):
                note(f"device:{device}", kind, name)
    return found


def _mentions_of(ask: Ask, target: str) -> list[list[str]]:
    return list(ask("mentions").get(target, []))


def mentions(ask: Ask, target: str, kind: str) -> list[str]:
    """Return the ids of one kind that name a target (``KIND:ID``)."""
    return [name for of_kind, name in ask("mentions_of", target) if of_kind == kind]


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
        Step("mentions_of", _mentions_of, json_codec),
        Step("numbers", _numbers, json_codec),
    )
