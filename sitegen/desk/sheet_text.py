"""The text to paste under a video, from its parts; shortened where it must be.

What goes first when a sheet is too long, and what never goes, is one visible list:
`STEPS`. A part goes only as far as the limit asks.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from sitegen.errors import usage_fault
from sitegen.pages.formats import clock_text
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class Led:
    """A name and where it leads.

    Attributes:
        name: what is read.
        url: full address.
        sponsored: whether the link can earn money.
    """

    name: str
    url: str
    sponsored: bool = False


@dataclass(frozen=True, slots=True)
class Warned:
    """A caution in plain text.

    Attributes:
        title: its heading.
        text: its text, paragraphs parted by a line end.
        first: its first sentence.
    """

    title: str
    text: str
    first: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """What stands in a sheet, in order.

    Attributes:
        title: title of the video.
        disclosure: who paid for it or lent what, or ``""``.
        simulated: whether the archive's data are simulated.
        earns: the archive's sentence on sponsored links, or ``""``.
        text: what the video is about, or ``""``.
        comparisons: comparisons named that have a page.
        devices: devices named that have a page.
        shops: links to elsewhere, of these devices.
        chapters: start in seconds and title, in order.
        cautions: what has to be said beside such tests.
        caution_form: how much of each caution stands: ``whole``, ``first`` (heading and
            first sentence) or ``heading``.
        cite: how the data are cited, or ``""`` for the address alone.
        data: address of the downloads.
        licence: name of the data's licence, or ``""``.
        as_of: the sentence that dates the links.
    """

    title: str
    disclosure: str
    simulated: bool
    earns: str
    text: str
    comparisons: tuple[Led, ...]
    devices: tuple[Led, ...]
    shops: tuple[Led, ...]
    chapters: tuple[tuple[int, str], ...]
    cautions: tuple[Warned, ...]
    cite: str
    data: str
    licence: str
    as_of: str
    caution_form: str = "whole"


def sheet_text(sheet: Sheet, words: Words) -> str:
    """Return a sheet as plain text; blocks are parted by an empty line."""
    blocks = [
        [sheet.title],
        [sheet.disclosure],
        [words("Simulated data: every device, maker and number in it is invented.")]
        if sheet.simulated
        else [],
        # Before every link that earns, and where it is read without unfolding.
        [sheet.earns] if any(shop.sponsored for shop in sheet.shops) else [],
        [sheet.text],
        _links(words("Comparisons, with all numbers"), sheet.comparisons),
        _links(words("Devices tested"), sheet.devices),
        _chapters(sheet, words),
        _links(words("Elsewhere"), _marked(sheet.shops, words)),
        _cautions(sheet, words),
        _source(sheet, words),
    ]
    kept = ["\n".join(filter(None, block)) for block in blocks]
    return "\n\n".join(filter(None, kept))


def _links(head: str, links: tuple[Led, ...]) -> list[str]:
    return [f"{head}:", *(f"{one.name}: {one.url}" for one in links)] if links else []


def _marked(shops: tuple[Led, ...], words: Words) -> tuple[Led, ...]:
    """Return links to shops, those that earn with a word on it before the address."""
    return tuple(
        replace(shop, name=words("{name} (sponsored link)", name=shop.name))
        if shop.sponsored
        else shop
        for shop in shops
    )


def _chapters(sheet: Sheet, words: Words) -> list[str]:
    if not sheet.chapters:
        return []
    # Bare lines of time and title are what video sites make chapters of.
    lines = [f"{clock_text(at)} {title}" for at, title in sheet.chapters]
    return [f"{words('Chapters')}:", *lines]


def _cautions(sheet: Sheet, words: Words) -> list[str]:
    if not sheet.cautions:
        return []
    head = f"{words('Cautions')}:"
    if sheet.caution_form == "heading":
        titles = "; ".join(caution.title for caution in sheet.cautions)
        return [head, f"{titles}. {words('In full on the pages linked above.')}"]
    if sheet.caution_form == "first":
        lines = [f"{each.title}: {each.first}" for each in sheet.cautions]
        return [head, *lines, words("In full on the pages linked above.")]
    return [head, *(f"{each.title}\n{each.text}" for each in sheet.cautions)]


def _source(sheet: Sheet, words: Words) -> list[str]:
    licence = f" ({sheet.licence})" if sheet.licence else ""
    data = f"{words('Data and methods')}{licence}: {sheet.data}"
    cite = f"{words('To cite')}: {sheet.cite}" if sheet.cite else ""
    return [data, cite, sheet.as_of]


def _less_shops(sheet: Sheet) -> Sheet | None:
    return replace(sheet, shops=sheet.shops[:-1]) if sheet.shops else None


def _less_text(sheet: Sheet) -> Sheet | None:
    return replace(sheet, text="") if sheet.text else None


def _less_citation(sheet: Sheet) -> Sheet | None:
    return replace(sheet, cite="") if sheet.cite else None


def _less_cautions(sheet: Sheet) -> Sheet | None:
    shorter = {"whole": "first", "first": "heading"}.get(sheet.caution_form)
    return replace(sheet, caution_form=shorter) if shorter and sheet.cautions else None


def _less_devices(sheet: Sheet) -> Sheet | None:
    least = 0 if sheet.comparisons else 1
    fewer = sheet.devices[:-1]
    return replace(sheet, devices=fewer) if len(sheet.devices) > least else None


def _less_chapters(sheet: Sheet) -> Sheet | None:
    return replace(sheet, chapters=()) if sheet.chapters else None


def _less_comparisons(sheet: Sheet) -> Sheet | None:
    fewer = sheet.comparisons[:-1]
    return replace(sheet, comparisons=fewer) if len(sheet.comparisons) > 1 else None


# In this order, each as often as it takes. Cautions may be told in fewer words, never
# left out; title, disclosure, the first link and the data's address always stay.
STEPS: tuple[tuple[str, Callable[[Sheet], Sheet | None]], ...] = (
    ("text", _less_text),
    ("shops", _less_shops),
    ("cautions", _less_cautions),
    ("citation", _less_citation),
    ("devices", _less_devices),
    ("chapters", _less_chapters),
    ("comparisons", _less_comparisons),
)
_LEFT_OUT: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "text": ("what the video is about", "what the video is about"),
        "shops": ("a link elsewhere", "{n} links elsewhere"),
        "citation": ("the line on how to cite", "the line on how to cite"),
        "devices": ("a device's link", "{n} links to devices"),
        "chapters": ("all chapters", "all chapters"),
        "comparisons": ("a comparison's link", "{n} links to comparisons"),
    }
)
_CAUTION_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "first": "cautions cut to their first sentence",
        "heading": "cautions cut to their headings",
    }
)


def shortened(sheet: Sheet, words: Words, limit: int) -> tuple[Sheet, tuple[str, ...]]:
    """Return a sheet that is no longer than a limit, and what was left out.

    Args:
        sheet: the whole sheet.
        words: the interface's words.
        limit: most characters of its text, counted as Unicode code points.

    Raises:
        UsageFault: if even the shortest one is longer.
    """
    counts: dict[str, int] = {}
    for name, less in STEPS:
        while len(sheet_text(sheet, words)) > limit:
            fewer = less(sheet)
            if fewer is None:
                break
            sheet = fewer
            counts[name] = counts.get(name, 0) + 1
    length = len(sheet_text(sheet, words))
    if length > limit:
        raise usage_fault("sheet", "sheet-limit", "--limit", length=str(length))
    return sheet, tuple(_told(name, number, sheet) for name, number in counts.items())


def _told(name: str, number: int, sheet: Sheet) -> str:
    if name == "cautions":
        return _CAUTION_WORDS[sheet.caution_form]
    one, many = _LEFT_OUT[name]
    return one if number == 1 else many.format(n=number)
