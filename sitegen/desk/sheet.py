"""The text to paste under a video, gathered from what its archive publishes."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from sitegen.archive_build.published import Published
from sitegen.desk.sheet_text import Led, Sheet, Warned, sheet_text, shortened
from sitegen.errors import usage_fault
from sitegen.load.guesses import guess
from sitegen.model import KINDS, Device, Video
from sitegen.pages.addresses import DATA, HOME, of_record
from sitegen.pages.cautions import for_devices, in_order
from sitegen.pages.citation import citation
from sitegen.pages.formats import date_text
from sitegen.pages.frame import Caution
from sitegen.pages.markdown import text_block
from sitegen.pages.plain_text import plain_text

FOLDER = f"records/{KINDS['video'].folder}"


@dataclass(frozen=True, slots=True)
class Made:
    """A sheet, and what the tester should know of it.

    Attributes:
        text: the text to paste.
        left_out: what was left out to stay within the limit.
        unlinked: what the video names and has no page, as ``KIND:ID``.
        unpinned: comparisons linked of which no edition is kept.
        is_held: whether the video's own record is held.
    """

    text: str
    left_out: tuple[str, ...]
    unlinked: tuple[str, ...]
    unpinned: tuple[str, ...]
    is_held: bool


def make_sheet(
    archive: Published, video_id: str, today: date, limit: int | None = None
) -> Made:
    """Return the text to paste under a video.

    A held video is taken too: its text is wanted before it is out.

    Args:
        archive: what is published.
        video_id: id of the video's record.
        today: the day that the sheet states.
        limit: most characters of the text, or nothing.

    Raises:
        FaultsFound: if the archive has a fault, such as chapters out of order.
        UsageFault: if there is no such video, or the limit is too low.
    """
    archive.refuse_faults()
    known = archive.ask("ids", "video")
    if video_id not in known:
        raise usage_fault(
            "sheet",
            "unknown-reference",
            "VIDEO",
            kind="video",
            id=video_id,
            folder=FOLDER,
            **guess(video_id, known),
        )
    video: Video = archive.ask("record", "video", video_id)
    words = archive.ask("words")
    comparisons = _with_page(archive, "comparison", video.comparisons)
    devices = _with_page(archive, "device", video.devices)
    sheet = _sheet(archive, video, comparisons, devices, today)
    left_out: tuple[str, ...] = ()
    if limit is not None:
        sheet, left_out = shortened(sheet, words, limit)
    named = [
        *(("comparison", name) for name in video.comparisons),
        *(("device", name) for name in video.devices),
    ]
    return Made(
        text=sheet_text(sheet, words),
        left_out=left_out,
        unlinked=tuple(
            f"{kind}:{name}"
            for kind, name in named
            if not _with_page(archive, kind, [name])
        ),
        unpinned=tuple(name for name in comparisons if not archive.editions(name)),
        is_held=video_id not in archive.ask("shown", "video"),
    )


def _with_page(archive: Published, kind: str, ids: Sequence[str]) -> list[str]:
    """Return those that have a page, each once, under their ids of now."""
    now = dict.fromkeys(archive.ask("id_now", kind, name) for name in ids)
    return [name for name in now if archive.ask("has_page", kind, name)]


def _sheet(
    archive: Published,
    video: Video,
    comparisons: list[str],
    devices: list[str],
    today: date,
) -> Sheet:
    ask = archive.ask
    site, words = ask("site"), ask("words")

    def led(kind: str, name: str) -> Led:
        place = of_record(kind, name).canonical(site.base)
        return Led(ask("record_title", kind, name), place)

    records: list[Device] = [ask("record", "device", name) for name in devices]
    shops = [
        Led(f"{one.name}, {link.label}", link.url, link.sponsored)
        for one in records
        for link in one.links
    ]
    day = date_text(today.isoformat(), words)
    return Sheet(
        title=video.title,
        disclosure=video.disclosure or "",
        simulated=site.simulated,
        earns=site.disclosure,
        text=_plain(video.text or ""),
        comparisons=tuple(led("comparison", name) for name in comparisons),
        devices=tuple(led("device", name) for name in devices),
        shops=tuple(shops),
        chapters=tuple((each.at, each.title) for each in video.chapters),
        cautions=_cautions(archive, comparisons, devices),
        cite=_cite(archive, comparisons, devices),
        data=DATA.canonical(site.base),
        licence=site.licence,
        as_of=words("Links and numbers as of {date}.", date=day),
    )


def _plain(text: str) -> str:
    """Return a text's paragraphs without their markup, parted by a line end."""
    return _paragraphs(text_block(text, lambda _: "#").html) if text else ""


def _paragraphs(html: str) -> str:
    parts = (plain_text(part) for part in re.split(r"</(?:p|li|h\d)>", html))
    return "\n".join(filter(None, parts))


def _cautions(
    archive: Published, comparisons: list[str], devices: list[str]
) -> tuple[Warned, ...]:
    """Return the cautions of all that the video shows, and of how it was tested."""
    rows = [row for name in comparisons for row in archive.ask("comparison", name).rows]
    rows += [row for name in devices for row in archive.ask("rows", name)]
    shown = dict.fromkeys([*devices, *(row.device for row in rows)])
    by = dict.fromkeys(row.method for row in rows if row.method)
    codes = [
        *for_devices(archive.ask("device_cautions", name) for name in shown),
        *(code for name in by for code in archive.ask("method_cautions", name)),
    ]
    found: list[Caution] = [archive.ask("caution", code) for code in in_order(codes)]
    return tuple(_warned(each) for each in found)


def _warned(caution: Caution) -> Warned:
    text = _paragraphs(caution.html)
    first = re.match(r".+?[.!?](?=\s|$)", text)
    return Warned(caution.title, text, first[0] if first else text)


def _cite(archive: Published, comparisons: list[str], devices: list[str]) -> str:
    """Return how the first thing named is cited; the archive, where nothing is."""
    ask = archive.ask
    site, words = ask("site"), ask("words")
    if comparisons:
        kind, name = "comparison", comparisons[0]
        of = {row.device for row in ask("comparison", name).rows}
    elif devices:
        kind, name = "device", devices[0]
        of = {name}
    else:
        return citation(site, "", HOME, "", words).text
    days = [entry.day for device in sorted(of) for entry in ask("entries_of", device)]
    title = ask("record_title", kind, name)
    return citation(
        site, title, of_record(kind, name), max(days, default=""), words
    ).text
