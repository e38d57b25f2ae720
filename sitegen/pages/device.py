"""The page of a device: what was measured, what was claimed, what it costs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sitegen.findings.views import (
    ResultRow,
)
from sitegen.model import Device
from sitegen.pages.addresses import (
    DEVICES,
    Address,
    card_of,
    of_record,
    recording,
    series_bundle,
)
from sitegen.pages.airflow_rows import AirflowRow, airflow_rows
from sitegen.pages.changes import ChangeShown, changes_shown
from sitegen.pages.claim_rows import ClaimRow, RatingRow, claim_rows, rating_rows
from sitegen.pages.code_words import FORMS, STANDINGS, word
from sitegen.pages.configuration_names import capital
from sitegen.pages.cost_rows import Costs, costs
from sitegen.pages.device_facts import (
    Acquired,
    Outside,
    acquisitions,
    device_facts,
    outside_links,
)
from sitegen.pages.device_given import DeviceGiven
from sitegen.pages.device_tables import (
    in_order,
    more_tables,
    settings_table,
    sound_table,
)
from sitegen.pages.filter_grid import FilterGrid, filter_grid
from sitegen.pages.formats import date_text, estimate_text, in_units
from sitegen.pages.frame import Block, Page, Site
from sitegen.pages.history_line import HistoryLine, history_lines
from sitegen.pages.page_scripts import page_scripts
from sitegen.pages.plain_text import plain_text
from sitegen.pages.result_strip import (
    ResultStrip,
    headline_row,
    result_strip,
    setting_text,
)
from sitegen.pages.result_table import ResultTable
from sitegen.pages.room_rows import Rooms, rooms
from sitegen.pages.run_rows import RunList, run_list
from sitegen.pages.sound_setups import sound_setups
from sitegen.pages.structured import Opinion, ProductGiven, product
from sitegen.pages.table import compare_query
from sitegen.pages.unsettled import (
    OutlyingShown,
    UnsettledShown,
    outlying,
    unsettled,
)
from sitegen.pages.words import Words

OWN_SCRIPTS = ("reckoning.js", "device_numbers.js")
"""Scripts for rooms and costs by a reader's own numbers."""


@dataclass(frozen=True, slots=True)
class SoundShown:
    """A sound recording.

    Attributes:
        to: the file.
        label: what is heard.
        said: distance, level and who recorded it.
    """

    to: Address
    label: str
    said: str


@dataclass(frozen=True, slots=True)
class OpinionShown:
    """The tester's verdict.

    Attributes:
        standing: the verdict in a word.
        day: day of the opinion, for readers.
        iso: the same, ISO.
        text: the opinion.
        lists: heading and points: likes, dislikes, suits, does not suit.
    """

    standing: str
    day: str
    iso: str
    text: Block | None
    lists: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True)
class DeviceContext:
    """What the layout shows.

    Attributes:
        given: links, blocks and figure.
        name: name of the device.
        kind: form and maker in a line.
        marks: words that mark it: withdrawn, replaced.
        withdrawn: since when it is withdrawn, or ``""``.
        acquired: how its units came to the bench.
        outside: links to outside that do not earn.
        sponsored: links that earn; the disclosure stands before them.
        facts: label and value of what it is.
        strip: the few answers.
        grid: filters side by side, or nothing.
        over_time: settings whose results can be followed over time.
        table: all configurations, or nothing.
        more: label and table of results by other methods and of other fractions.
        airflows: clean air as a share of the air moved, where that was measured.
        unsettled: configurations that are not settled, and what would settle each.
        rooms: rooms that its settings serve, or nothing.
        claims: claims against measurement.
        ratings: what directories say.
        sound: sound and energy by configuration, or nothing.
        setups: how the levels were measured, sentences.
        recordings: sound recordings.
        costs: costs, or nothing.
        opinion: the verdict, or nothing.
        responses: day, by whom, and text of the maker's answers.
        runs: all runs.
        outlying: runs that stand off from their repeats.
        history: changes of it or of what it rests on, the newest first.
        bundle: zip of its series, or nothing.
        address: the permanent address.
        compare: query that chooses its configurations on the compare page.
    """

    given: DeviceGiven
    name: str
    kind: str
    marks: tuple[str, ...]
    withdrawn: str
    acquired: tuple[Acquired, ...]
    outside: tuple[Outside, ...]
    sponsored: tuple[Outside, ...]
    facts: tuple[tuple[str, str], ...]
    strip: ResultStrip
    grid: FilterGrid | None
    over_time: tuple[HistoryLine, ...]
    table: ResultTable | None
    more: tuple[ResultTable, ...]
    airflows: tuple[AirflowRow, ...]
    unsettled: tuple[UnsettledShown, ...]
    rooms: Rooms | None
    claims: tuple[ClaimRow, ...]
    ratings: tuple[RatingRow, ...]
    sound: ResultTable | None
    setups: tuple[str, ...]
    recordings: tuple[SoundShown, ...]
    costs: Costs | None
    opinion: OpinionShown | None
    responses: tuple[tuple[str, str, Block | None], ...]
    runs: RunList
    outlying: tuple[OutlyingShown, ...]
    history: tuple[ChangeShown, ...]
    bundle: Address | None
    address: str
    compare: str


def device_page(site: Site, words: Words, given: DeviceGiven) -> Page:
    """Return the page of a device."""
    device, labels = given.device, given.labels
    address = of_record("device", device.id)
    head = headline_row(given.current, given.places)
    texts = given.texts or {}
    current = in_order(given.current, labels)
    served = rooms(words, site, labels, current, given.assumptions)
    links = outside_links(device)
    reckoned = None
    if given.costs:
        reckoned = costs(words, site, labels, given.costs, given.assumptions)
    return Page(
        address=address,
        layout="device.html",
        title=words("{name} by {maker}", name=device.name, maker=device.maker),
        summary=_summary(words, site, given, head),
        context=DeviceContext(
            given=given,
            name=device.name,
            kind=words(
                "{form} by {maker}",
                form=capital(word(words, FORMS, device.form)),
                maker=device.maker,
            ),
            marks=_marks(words, device),
            withdrawn=_since(words, device),
            acquired=acquisitions(words, device, texts),
            outside=tuple(link for link in links if not link.sponsored),
            sponsored=tuple(link for link in links if link.sponsored),
            facts=device_facts(words, site, device),
            strip=result_strip(words, site, labels, head, given.places, given.quiet),
            grid=filter_grid(words, site, labels, given.current),
            over_time=history_lines(words, site, labels, given.runs, given.families),
            table=settings_table(site, words, given, head),
            more=more_tables(site, words, given),
            airflows=airflow_rows(words, site, labels, current, given.airflows),
            rooms=served,
            claims=claim_rows(words, site, labels, given.claims),
            ratings=rating_rows(words, labels, device.ratings, given.ratings),
            unsettled=unsettled(words, labels, given.surprises),
            sound=sound_table(site, words, given, head),
            setups=sound_setups(words, site, given.sound_methods),
            recordings=_recordings(words, device),
            costs=reckoned,
            opinion=_opinion(words, device, texts),
            responses=tuple(
                (
                    date_text(response.date.isoformat(), words),
                    response.by,
                    texts.get(f"response:{at}"),
                )
                for at, response in enumerate(device.responses)
            ),
            runs=run_list(
                words,
                site,
                labels,
                given.runs,
                [code for row in given.rows for code in row.flags],
                {
                    off.run: off.decided
                    for item in given.outlying
                    if (off := item.outlying) is not None
                },
            ),
            outlying=outlying(words, site, labels, given.outlying),
            history=changes_shown(words, given.changes),
            bundle=series_bundle(device.id) if given.bundle else None,
            address=address.canonical(site.base),
            compare=compare_query(
                list(dict.fromkeys(row.configuration for row in given.current))
            ),
        ),
        section=DEVICES,
        trail=((words("Devices"), DEVICES),),
        held=labels.held,
        scripts=(
            *page_scripts(given.figure),
            *(OWN_SCRIPTS if served or reckoned else ()),
        ),
        image=card_of(address) if given.figure else None,
        told=product(site, _told(site, words, given, head), words),
    )


def _told(
    site: Site, words: Words, given: DeviceGiven, head: ResultRow | None
) -> ProductGiven:
    """Return what search engines are told of the device."""
    device, opinion = given.device, None
    if device.verdict is not None:
        block = (given.texts or {}).get("verdict")
        opinion = Opinion(
            day=device.verdict.as_of.isoformat(),
            text=plain_text(block.html) if block else "",
            likes=device.verdict.likes,
            dislikes=device.verdict.dislikes,
        )
    return ProductGiven(
        page=of_record("device", device.id),
        name=device.name,
        maker=device.maker,
        category=capital(word(words, FORMS, device.form)),
        summary=_summary(words, site, given, head),
        pictures=tuple(photo.to for photo in given.photos),
        row=head,
        setting=setting_text(words, given.labels, head) if head else "",
        opinion=opinion,
    )


def _summary(
    words: Words, site: Site, given: DeviceGiven, head: ResultRow | None
) -> str:
    """Return the sentence for search engines: the headline with its interval."""
    if head is None or head.cadr_m3h is None:
        return words(
            "{name} by {maker}, a room air cleaner: what {site} has recorded of it.",
            name=given.device.name,
            maker=given.device.maker,
            site=site.name,
        )
    low, value, high = (
        None if each is None else in_units(each, "m³/h", site.units)[0]
        for each in (head.cadr_low, head.cadr_m3h, head.cadr_high)
    )
    shown = estimate_text(value, low, high, words)
    return words(
        "{name} by {maker}, tested by {site}: {value} {unit} of clean air "
        "({interval}) at {setting}.",
        name=given.device.name,
        maker=given.device.maker,
        site=site.name,
        value=shown.value,
        interval=shown.interval,
        unit=in_units(0.0, "m³/h", site.units)[1],
        setting=setting_text(words, given.labels, head),
    )


def _marks(words: Words, device: Device) -> tuple[str, ...]:
    marks = []
    if device.withdrawn is not None:
        marks.append(words("withdrawn"))
    if device.modified:
        marks.append(words("modified"))
    return tuple(marks)


def _since(words: Words, device: Device) -> str:
    if device.withdrawn is None:
        return ""
    return date_text(device.withdrawn.date.isoformat(), words)


def _recordings(words: Words, device: Device) -> tuple[SoundShown, ...]:
    return tuple(
        SoundShown(
            to=recording(sound.file),
            label=sound.label,
            said=words(
                "{level} · Credit: {who}", level=sound.level_note, who=sound.credit
            ),
        )
        for sound in device.audio
    )


def _opinion(
    words: Words, device: Device, texts: Mapping[str, Block]
) -> OpinionShown | None:
    verdict = device.verdict
    if verdict is None:
        return None
    lists = (
        (words("Likes"), verdict.likes),
        (words("Dislikes"), verdict.dislikes),
        (words("Suits"), verdict.suits),
        (words("Does not suit"), verdict.does_not_suit),
    )
    iso = verdict.as_of.isoformat()
    return OpinionShown(
        standing=word(words, STANDINGS, verdict.standing),
        day=date_text(iso, words),
        iso=iso,
        text=texts.get("verdict"),
        lists=tuple((heading, points) for heading, points in lists if points),
    )
