"""Pages of devices, and the home page."""

from __future__ import annotations

from collections.abc import Sequence

from sitegen.archive_build.correcting import change_entries, marked
from sitegen.archive_build.drawing import figure_of
from sitegen.archive_build.linked import link_to, links_to, mentions, names_of
from sitegen.archive_build.summaries import primary_cadr
from sitegen.archive_build.texts import (
    blocks_on,
    cautions_for,
    output_in_both_units,
)
from sitegen.findings.index import RunEntry
from sitegen.findings.open_state import waiting_codes
from sitegen.findings.results import Pooled
from sitegen.findings.views import DecayReport, ResultRow
from sitegen.measure.sound import energy_mean
from sitegen.model import Device, SoundMethod
from sitegen.model.device import Photo
from sitegen.pages import addresses
from sitegen.pages.addresses import of_record
from sitegen.pages.cautions import for_devices, for_finder
from sitegen.pages.citation import citation
from sitegen.pages.device import device_page
from sitegen.pages.device_given import DeviceGiven, PhotoShown
from sitegen.pages.devices import DevicesGiven, devices_page
from sitegen.pages.formats import date_text
from sitegen.pages.frame import Linked, Page, Site
from sitegen.pages.home import HomeGiven, home_page
from sitegen.pages.qr import qr_svg
from sitegen.pages.run_rows import RunBrief
from sitegen.rebuild import Ask, Output, Step

Outputs = tuple[Output, ...]
LATEST = 8


def _run_brief(ask: Ask, entry: RunEntry) -> RunBrief:
    page = of_record("device", entry.device)
    record = ask("record", "run", entry.id)
    decision = record.decision
    texts = blocks_on(ask, page, {"reason": decision.text if decision else None})
    cadr, validity = None, ""
    flags: tuple[str, ...] = ()
    undecided: tuple[str, ...] = ()
    if entry.kind == "decay":
        report: DecayReport = ask("report", entry.id)
        validity = report.validity
        flags = tuple(dict.fromkeys(f.code for f in report.flags if f.raised))
        undecided = waiting_codes(report)
        cadr = primary_cadr(report, ask("primary_fraction"))
    mean, unit = _mean_read(ask, entry)
    return RunBrief(
        id=entry.id,
        kind=entry.kind,
        day=entry.day,
        status=entry.status,
        filter=entry.filter,
        speed=entry.speed,
        method=entry.method,
        specimen=entry.specimen,
        cadr=cadr,
        mean=mean,
        unit=unit,
        validity=validity,
        flags=flags,
        undecided=undecided,
        cause=decision.cause if decision else "",
        reason=texts.get("reason"),
    )


def _mean_read(ask: Ask, entry: RunEntry) -> tuple[float | None, str]:
    """The mean of a sound or power run's readings with the device, and its unit."""
    if entry.kind not in {"sound", "power"}:
        return None, ""
    readings = [r for r in ask("reading_rows", entry.id) if r.what == "device"]
    if not readings:
        return None, ""
    values = [reading.value for reading in readings]
    mean = energy_mean(values) if entry.kind == "sound" else sum(values) / len(values)
    return mean, readings[0].unit


def _texts(device: Device) -> dict[str, str | None]:
    texts: dict[str, str | None] = {
        "note": device.note,
        "modified": device.modified,
        "verdict": device.verdict.text if device.verdict else None,
        "withdrawn": device.withdrawn.reason if device.withdrawn else None,
    }
    for at, response in enumerate(device.responses):
        texts[f"response:{at}"] = response.text
    for at, unit in enumerate(device.specimens):
        if unit.acquired:
            texts[f"acquired:{at}"] = unit.acquired.note
    return texts


def _device(ask: Ask, device_id: str) -> Outputs:
    device: Device = ask("record", "device", device_id)
    site, words = ask("site"), ask("words")
    page = of_record("device", device_id)
    target = f"device:{device_id}"
    entries: tuple[RunEntry, ...] = ask("entries_of", device_id)
    rows = ask("rows", device_id)
    replaced = links_to(ask, "device", [device.superseded_by or ""])
    card = ask("card", device_id)
    given = DeviceGiven(
        device=device,
        labels=ask("labels", device_id),
        rows=rows,
        current=ask("current_rows", device_id),
        places=ask("places", device_id),
        quiet=card.quiet,
        costs=ask("costs", device_id),
        assumptions=ask("cost_basis").assumptions,
        claims=ask("claims", device_id),
        ratings=ask("ratings", device_id),
        runs=tuple(_run_brief(ask, entry) for entry in entries),
        methods=links_to(ask, "method", _methods(rows)),
        families=ask("families"),
        surprises=ask("surprises", device_id),
        outlying=_outlying(ask, device_id),
        figure=figure_of(ask, "device_figure", device_id),
        texts=blocks_on(ask, page, _texts(device)),
        cautions=cautions_for(ask, tuple(ask("device_cautions", device_id))),
        changes=change_entries(ask, ask("history", "device", device_id), page),
        comparisons=links_to(ask, "comparison", mentions(ask, target, "comparison")),
        tables=links_to(ask, "table", mentions(ask, target, "table")),
        videos=links_to(ask, "video", mentions(ask, target, "video")),
        superseded_by=replaced[0] if replaced else None,
        filters=_filters(ask, device),
        photos=tuple(_photo(ask, photo) for photo in device.photos),
        bundle=device_id in ask("bundles"),
        qr=qr_svg(page.canonical(site.base), words),
        cite=citation(site, device.name, page, card.tested, words),
        airflows=ask("airflows", device_id),
        loose=ask("loose_rows", device_id),
        sound_methods=_sound_methods(ask, (*rows, *ask("loose_rows", device_id))),
        sound_grades=ask("sound_grades", device_id),
    )

    def make(site: Site) -> Page:
        return marked(ask, device_page(site, words, given), ("device", device_id))

    return (output_in_both_units(ask, make),)


def _outlying(ask: Ask, device_id: str) -> tuple[Pooled, ...]:
    fraction = ask("primary_fraction")
    return tuple(
        item
        for item in ask("pooled", device_id)
        if item.outlying is not None and item.row.fraction == fraction
    )


def _sound_methods(ask: Ask, rows: tuple[ResultRow, ...]) -> tuple[SoundMethod, ...]:
    """The sound methods of rows, the newest first."""
    names = sorted({row.sound_method for row in rows if row.sound_method})
    found = [
        ask("bare_method", name).model_copy(
            update={"name": ask("record_title", "method", name)}
        )
        for name in names
    ]
    return tuple(sorted(found, key=lambda method: method.since, reverse=True))


def _methods(rows: tuple[ResultRow, ...]) -> list[str]:
    names = [
        name
        for row in rows
        for name in (row.method, row.sound_method, row.power_method)
        if name
    ]
    return list(dict.fromkeys(names))


def _filters(ask: Ask, device: Device) -> tuple[Linked, ...]:
    """The filters that fit a device, what comes with it said."""
    words = ask("words")
    links = []
    for use in device.filters:
        note = words("comes with it") if use.included else words("sold separately")
        links.append(link_to(ask, "filter", use.id, note=note))
    return tuple(links)


def _photo(ask: Ask, photo: Photo) -> PhotoShown:
    (width, height), *smaller = ask("picture_sizes", *photo.file.split("/"))
    return PhotoShown(
        addresses.photo(photo.file),
        photo.alt,
        photo.credit,
        width,
        height,
        tuple((wide, addresses.smaller_photo(photo.file, wide)) for wide, _ in smaller),
    )


def _devices(ask: Ask) -> Outputs:
    cards = ask.all([("card", name) for name in ask("shown", "device")])
    codes = ask.all([("device_cautions", name) for name in ask("shown", "device")])
    methods = {
        name: ask("record_title", "method", family)
        for name, family in ask("families").items()
    }
    cautions = cautions_for(ask, for_devices(codes))
    names = _sound_names([card.headline for card in cards])
    sounds = {name: ask("record_title", "method", name) for name in names}
    given = DevicesGiven(tuple(cards), cautions, methods, sounds)
    words, shown = ask("words"), [("device", name) for name in ask("shown", "device")]

    def make(site: Site) -> Page:
        return marked(ask, devices_page(site, words, given), *shown)

    return (output_in_both_units(ask, make),)


def _home(ask: Ask) -> Outputs:
    cards = ask.all([("card", name) for name in ask("shown", "device")])
    latest = sorted(cards, key=lambda card: (card.tested, card.labels.id), reverse=True)
    finder = ask("finder")
    rows = [pick.row for answer in finder for pick in answer.picks]
    changes = ask.all([("change_head", name) for name in ask("shown", "change")])
    newest = sorted(changes, key=lambda head: (head[1], head[0]), reverse=True)
    codes = [tuple(ask("device_cautions", row.device)) for row in rows]
    numbers = ask("numbers")
    words = ask("words")
    given = HomeGiven(
        finder=finder,
        names=names_of(ask, [row.device for row in rows]),
        latest=tuple(latest[:LATEST]),
        changes=tuple(
            link_to(ask, "change", name, note=date_text(day, words))
            for name, day in newest[:5]
        ),
        comparisons=tuple(
            link_to(
                ask,
                "comparison",
                name,
                note=ask("record", "comparison", name).question,
            )
            for name in ask("shown", "comparison")
        ),
        cautions=cautions_for(ask, (*for_finder(), *_running(codes))),
        assumptions=ask("cost_basis").assumptions,
        devices=numbers["devices"],
        runs=numbers["runs"],
        configurations=numbers["configurations"],
        sounds={
            name: link_to(ask, "method", name)
            for name in _sound_names([*rows, *(card.headline for card in latest)])
        },
    )
    shown = [row.device for row in rows] + [card.labels.id for card in given.latest]
    concerned = [("device", name) for name in shown]

    def make(site: Site) -> Page:
        return marked(ask, home_page(site, words, given), *concerned)

    return (output_in_both_units(ask, make),)


def _sound_names(rows: Sequence[ResultRow | None]) -> list[str]:
    """Return the sound methods of rows, each once."""
    return sorted({row.sound_method for row in rows if row and row.sound_method})


def _running(codes: list[tuple[str, ...]]) -> tuple[str, ...]:
    """Cautions of the devices proposed, without those that stand already."""
    return tuple(code for code in for_devices(codes) if code not in for_finder())


def device_steps() -> tuple[Step, ...]:
    """Return the steps that write these pages."""
    return (
        Step("device_page", _device, writes=True),
        Step("devices_page", _devices, writes=True),
        Step("home_page", _home, writes=True),
    )
