"""Pages of editions, with their figures drawn from what was kept."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from sitegen.archive_build.codecs import typed_codec
from sitegen.archive_build.correcting import marked
from sitegen.archive_build.drawing import (
    Chosen,
    card_work,
    credited,
    draw_work,
    drawn_rows,
    figure_of,
)
from sitegen.archive_build.editions import corrections_since, row_now
from sitegen.archive_build.linked import links_to, names_of
from sitegen.archive_build.texts import block_on, cautions_for, page_output
from sitegen.figures.drawn import DrawnParts, DrawTask, Figure
from sitegen.figures.from_frozen import frozen_decay
from sitegen.model import Comparison, Edition
from sitegen.pages.addresses import card_of, of_record
from sitegen.pages.cautions import for_devices
from sitegen.pages.citation import citation
from sitegen.pages.edition import EditionGiven, edition_page, edition_rows
from sitegen.pages.frame import Linked
from sitegen.pages.qr import qr_svg
from sitegen.rebuild import Ask, Output, Step, bytes_codec

Outputs = tuple[Output, ...]


def _gather(ask: Ask, edition_id: str) -> DrawTask | None:
    record: Edition = ask("record", "edition", edition_id)
    kept = record.figure
    if kept is None:
        return None
    site = ask("site")
    figure: Figure | None
    if kept.kind == "decay":
        figure = frozen_decay(kept, record.title)
    else:
        rows = edition_rows(record, site.currency)
        named = [
            (record.names.get(row.configuration, row.configuration), row)
            for row in rows
        ]
        x, y = kept.x or "sound_dba", kept.y or "cadr_m3h"
        chosen = Chosen(kept.kind, x, y, (), dict(kept.sets))
        units = record.units or site.units
        currency = next((row.currency for row in rows), site.currency)
        figure = drawn_rows(chosen, named, record.title, units, currency)
    if figure is None:
        return None
    said = record.answer or ""
    ident = f"figure-{edition_id}"
    return DrawTask(replace(figure, description=said), ident, ask("words"))


def _gather_card(ask: Ask, edition_id: str) -> DrawTask | None:
    return credited(ask, _gather(ask, edition_id))


def _picture(ask: Ask, edition_id: str) -> Outputs:
    data = ask("edition_card", edition_id)
    if not data:
        return ()
    return (Output(card_of(of_record("edition", edition_id)).file, data),)


def _edition(ask: Ask, edition_id: str) -> Outputs:
    record: Edition = ask("record", "edition", edition_id)
    day = record.pinned.isoformat()
    page = of_record("edition", edition_id)
    site, words = ask("site"), ask("words")
    compared: Comparison = ask("record", "comparison", record.comparison)
    videos = links_to(ask, "video", [compared.video or ""])
    rows = [row_now(ask, row) for row in edition_rows(record, site.currency)]
    devices = _here(ask, "device", [row.device for row in rows])
    then = edition_rows(record, site.currency)
    methods = [
        name
        for row in rows
        for name in (row.method, row.sound_method, row.power_method)
        if name
    ]
    labels = names_of(ask, devices)
    codes = [tuple(ask("device_cautions", name)) for name in devices]
    since = corrections_since(ask, rows, record.comparison, edition_id, day)
    given = EditionGiven(
        edition=record,
        comparison=Linked(
            ask("record_title", "comparison", record.comparison),
            of_record("comparison", record.comparison),
        ),
        note=block_on(ask, page, record.note),
        video=videos[0] if videos else None,
        figure=figure_of(ask, "edition_figure", edition_id),
        devices=links_to(ask, "device", devices),
        methods=links_to(ask, "method", _here(ask, "method", methods)),
        qr=qr_svg(page.canonical(site.base), words),
        cite=citation(site, record.title, page, day, words).text,
        names={
            old.device: labels[row.device]
            for old, row in zip(then, rows, strict=True)
            if row.device in labels
        },
        # Those that are open stand at the head of the page.
        corrections=tuple(each for each in since if each.closed),
        cautions=cautions_for(ask, for_devices(codes)),
    )
    made = marked(ask, edition_page(site, words, given), ("edition", edition_id))
    return (page_output(ask, made),)


def _here(ask: Ask, kind: str, ids: list[str]) -> list[str]:
    """Ids of those that still have a page, each once."""
    return [name for name in dict.fromkeys(ids) if ask("has_page", kind, name)]


def edition_steps() -> tuple[Step, ...]:
    """Return the steps that write these pages and draw their figures."""
    drawn: Any = typed_codec(DrawnParts | None)
    return (
        Step("edition_figure", _gather, drawn, work=draw_work),
        Step("edition_card", _gather_card, bytes_codec, work=card_work),
        Step("edition_picture", _picture, writes=True),
        Step("edition_page", _edition, writes=True),
    )
