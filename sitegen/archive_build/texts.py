"""Steps for words, prose, layouts and what every page shares."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import lru_cache, partial
from typing import TYPE_CHECKING, Any

from sitegen.archive_build.codecs import typed_codec
from sitegen.archive_build.parsed import Parsed, StoredFault, stored
from sitegen.archive_build.sources import share_of
from sitegen.errors import Fault, FaultsFound, Place
from sitegen.load import Problem
from sitegen.model import Archive, adapter
from sitegen.model.chronicle import TARGET_KINDS
from sitegen.pages import addresses
from sitegen.pages.addresses import Address
from sitegen.pages.assets import NAMED
from sitegen.pages.cautions import caution_from, left_out
from sitegen.pages.environment import (
    LayoutFault,
    closure,
    compiled_layouts,
    environment,
)
from sitegen.pages.frame import Block, Caution, Page, Site
from sitegen.pages.markdown import Hrefs, Prose, parse_prose, text_block, unknown_links
from sitegen.pages.other_units import other_system
from sitegen.pages.record_texts import text_problems, texts_of
from sitegen.pages.render import render
from sitegen.pages.words import Words, message, words_from
from sitegen.rebuild import Ask, Output, Step, json_codec

if TYPE_CHECKING:
    from jinja2 import BytecodeCache, Environment

_NAVIGATION: Mapping[str, tuple[str, Address]] = {
    "devices": (message("Devices"), addresses.DEVICES),
    "runs": (message("Runs"), addresses.RUNS),
    "tables": (message("Tables"), addresses.TABLES),
    "compare": (message("Compare"), addresses.COMPARE),
    "c": (message("Comparisons"), addresses.COMPARISONS),
    "videos": (message("Videos"), addresses.VIDEOS),
    "bench": (message("The bench"), addresses.BENCH),
    "methods": (message("Methods"), addresses.METHODS),
    "filters": (message("Filters"), addresses.FILTERS),
    "changes": (message("Changes"), addresses.CHANGES),
    "data": (message("Data"), addresses.DATA),
    "funding": (message("Who pays for this"), addresses.FUNDING),
}


# Words and prose


def _words(ask: Ask) -> Words:
    language = ask("language")
    return words_from(ask.file(f"content:words/{language}.po"), language)


def _language(ask: Ask) -> str:
    return str(ask("archive").language)


def _prose(ask: Ask, name: str) -> Prose:
    path = ask("text_path", name)
    return parse_prose(ask.file(f"archive:{path}"), path)


def _link_targets(ask: Ask) -> list[str]:
    """Everything that a text may link to, as ``KIND:ID``; former ids as well."""
    parsed: Parsed = ask("addresses_parsed")
    moved = [
        (entry["kind"], entry["id"])
        for entry in (parsed.record or {}).get("addresses", ())
        if entry["moved_to"]
    ]
    return sorted(
        f"{'page' if kind == 'prose' else kind}:{name}"
        for kind, name in (*map(tuple, ask("present")), *moved)
        if kind in TARGET_KINDS or kind == "prose"
    )


def _prose_faults(ask: Ask, name: str) -> tuple[StoredFault, ...]:
    prose: Prose = ask("prose", name)
    path = ask("text_path", name)
    present = set(ask("link_targets"))
    choices = sorted(present)
    lost = unknown_links(prose, path, present.__contains__, choices)
    return tuple(stored(fault) for fault in (*prose.faults, *lost))


def _text_problems(ask: Ask, kind: str, record_id: str) -> tuple[Problem, ...]:
    """What is wrong with the Markdown in a record, without places."""
    parsed: Parsed = ask("parsed", kind, record_id)
    if parsed.record is None:
        return ()
    record = adapter(kind).validate_python(parsed.record)
    if not texts_of(record):
        return ()
    present = set(ask("link_targets"))
    return text_problems(kind, record, present.__contains__, sorted(present))


def _prose_head(ask: Ask, name: str) -> list[str]:
    prose: Prose = ask("prose", name)
    return [prose.title, prose.summary]


def _has_page(ask: Ask, kind: str, record_id: str) -> bool:
    return record_id in ask("shown_in", kind, share_of(record_id))


def hrefs_on(ask: Ask, page: Address) -> Hrefs:
    """Return what resolves links to records on a page."""

    def href(target: str) -> str | None:
        kind, _, name = target.partition(":")
        kind = "prose" if kind == "page" else kind
        name = ask("id_now", kind, name)
        if not ask("has_page", kind, name):
            return None
        return addresses.link(page, addresses.of_record(kind, name))

    return href


def block_on(ask: Ask, page: Address, text: str | None) -> Block | None:
    """Return a record's Markdown as it stands on a page, or nothing."""
    return text_block(text, hrefs_on(ask, page)) if text else None


def blocks_on(
    ask: Ask, page: Address, texts: Mapping[str, str | None]
) -> dict[str, Block]:
    """Return several texts by their keys, those that there are."""
    return {
        key: text_block(text, hrefs_on(ask, page))
        for key, text in texts.items()
        if text
    }


def _caution(ask: Ask, code: str) -> Caution:
    path = f"cautions/{ask('language')}/{code}.md"
    return caution_from(ask.file(f"content:{path}"), code)


def cautions_for(ask: Ask, codes: tuple[str, ...]) -> tuple[Caution, ...]:
    """Return cautions by their codes."""
    return tuple(ask.all([("caution", code) for code in codes]))


# What every page shares


def _site(ask: Ask) -> Site:
    archive: Archive = ask("archive")
    words: Words = ask("words")
    titles = {name: ask("prose_head", name)[0] for name in ask("ids", "prose")}
    navigation = []
    for name in archive.navigation:
        if name in titles:
            navigation.append((titles[name], of_prose(name)))
        else:
            label, to = _NAVIGATION[name]
            navigation.append((words(label), to))
    prose = [(title, of_prose(name)) for name, title in titles.items()]
    if addresses.FUNDING not in {to for _, to in prose}:
        prose.append((words("Who pays for this"), addresses.FUNDING))
    return Site(
        name=archive.name,
        tagline=archive.tagline or "",
        base=archive.address,
        language=archive.language,
        units=archive.units,
        currency=archive.currency,
        simulated=archive.simulated,
        publisher=archive.publisher.name,
        contact=archive.publisher.contact or "",
        licence=archive.licence.name,
        licence_url=archive.licence.url or "",
        disclosure=archive.disclosure,
        navigation=tuple(navigation),
        prose=tuple(prose),
    )


def of_prose(name: str) -> Address:
    """Return the address of a prose page."""
    return addresses.of_record("prose", name)


# Layouts


def _layout_source(ask: Ask, name: str) -> str | None:
    """The archive's own layout of that name, else the tool's."""
    own = ask.file_or_none(f"archive:own/layouts/{name}")
    data = own if own is not None else ask.file_or_none(f"layouts:{name}")
    try:
        return None if data is None else data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = error.object.count(b"\n", 0, error.start) + 1
        byte = f"0x{error.object[error.start]:02x}"
        raise LayoutFault("encoding", name, line, byte) from error


def _layout_set(ask: Ask, name: str) -> dict[str, str | None]:
    """A layout with all that it rests on, by name."""

    def read(other: str) -> str | None:
        source: str | None = ask("layout_source", other)
        return source

    return {other: read(other) for other in closure(name, read)}


@lru_cache(maxsize=64)
def _environment_of(sources: str) -> Environment:
    """Return an environment for a set of layouts, kept while it is in use."""
    read: dict[str, str | None] = json.loads(sources)
    return environment(read.get, _compiled())


@lru_cache(maxsize=1)
def _compiled() -> BytecodeCache:
    """Return where all sets of layouts share what is compiled, the frame above all."""
    return compiled_layouts()


def _asset_name(ask: Ask, name: str) -> str:
    """The name under which an asset is published, where its name follows its bytes."""
    return str(ask("asset_name", name)) if name in NAMED else name


def output_in_both_units(ask: Ask, make: Callable[[Site], Page]) -> Output:
    """Return the file of a page whose reader can change the units.

    Args:
        ask: the engine's question.
        make: makes the page for a site, in the site's units.
    """
    site: Site = ask("site")
    there = replace(site, units=other_system(site.units))
    return page_output(ask, make(site), make(there))


def page_output(ask: Ask, page: Page, other: Page | None = None) -> Output:
    """Return the file of a page.

    Args:
        ask: the engine's question.
        page: the page.
        other: the same page in the other system of units, or nothing.
    """
    sources = json.dumps(ask("layout_set", page.layout), sort_keys=True)
    made = _environment_of(sources)
    named = partial(_asset_name, ask)
    data = render(made, ask("site"), page, ask("words"), named, other)
    if missing := left_out(page, data):
        values = {"layout": page.layout, "titles": ", ".join(c.title for c in missing)}
        place = Place(f"own/layouts/{page.layout}")
        raise FaultsFound([Fault("caution-left-out", place, "", values)])
    return Output(page.address.file, data)


def text_steps() -> tuple[Step, ...]:
    """Return the steps for words, prose, layouts and the site's frame."""
    faults: Any = typed_codec(tuple[StoredFault, ...])
    return (
        Step("language", _language, json_codec),
        Step("words", _words, typed_codec(Words)),
        Step("prose", _prose, typed_codec(Prose)),
        Step("prose_faults", _prose_faults, faults),
        Step("link_targets", _link_targets, json_codec),
        Step("text_problems", _text_problems, typed_codec(tuple[Problem, ...])),
        Step("prose_head", _prose_head, json_codec),
        Step("has_page", _has_page, json_codec),
        Step("caution", _caution, typed_codec(Caution)),
        Step("site", _site, typed_codec(Site)),
        Step("layout_source", _layout_source, json_codec),
        Step("layout_set", _layout_set, json_codec),
    )
