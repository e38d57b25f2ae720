"""What stands at addresses that moved or are gone, and how old names lead on.

A page that moved leads to the present one. What has no page of its own (a video, an
entry of the change log, a room) keeps its place on the page that shows its kind.
"""

from __future__ import annotations

from sitegen.archive_build.codecs import typed_codec
from sitegen.archive_build.linked import link_to, links_to, mentions
from sitegen.archive_build.texts import page_output
from sitegen.model.chronicle import Addresses
from sitegen.pages.addresses import (
    FUNDING,
    Address,
    NoAddress,
    card_of,
    of_record,
    series_bundle,
)
from sitegen.pages.datafiles import series_zip
from sitegen.pages.frame import Former
from sitegen.pages.moved import (
    Departure,
    GoneGiven,
    MovedGiven,
    departures,
    former_place,
    gone_note,
    gone_page,
    moved_page,
)
from sitegen.rebuild import Ask, Output, Step, json_codec

Outputs = tuple[Output, ...]
NOTE = "no-longer-here.txt"


def _departures(ask: Ask) -> tuple[Departure, ...]:
    """What left, where one arrives at now; what is held now has nowhere to lead to."""
    record: Addresses = ask("addresses")
    return departures(record)


def _moves(ask: Ask) -> dict[str, dict[str, str]]:
    """Former ids and those of now, by kind."""
    found: dict[str, dict[str, str]] = {}
    for left in ask("departures"):
        if left.now:
            found.setdefault(left.kind, {})[left.id] = left.now
    return found


def _id_now(ask: Ask, kind: str, record_id: str) -> str:
    """The id under which a record is found now; the same where it never moved."""
    return str(ask("moves").get(kind, {}).get(record_id, record_id))


def _former(ask: Ask, path: str) -> tuple[Former, ...]:
    """Former places on the page at a path, for what shares a page."""
    words = ask("words")
    found = []
    for left in ask("departures"):
        at = _address(left)
        if at is None or not at.fragment or at.path != path:
            continue
        now = None
        if left.now and ask("has_page", left.kind, left.now):
            now = link_to(ask, left.kind, left.now)
        found.append(former_place(words, left, at, now))
    return tuple(found)


def former_on(ask: Ask, page: Address) -> tuple[Former, ...]:
    """Return the former places on a page that many records share."""
    found: tuple[Former, ...] = ask("former", page.path)
    return found


def _address(left: Departure) -> Address | None:
    try:
        return of_record(left.kind, left.id)
    except NoAddress:  # an edition by another name than its address
        return None


def _departed(ask: Ask) -> Outputs:
    """Pages, pictures and data at addresses that moved or are gone."""
    outputs: list[Output] = []
    for left in ask("departures"):
        at = _address(left)
        if at is None or at.fragment or at == FUNDING:
            continue  # that page is there whether the archive has a text for it or not
        if left.now and ask("has_page", left.kind, left.now):
            outputs += _led_on(ask, left, at)
        else:
            outputs += _told(ask, left, at)
    return tuple(outputs)


def _led_on(ask: Ask, left: Departure, at: Address) -> list[Output]:
    to = link_to(ask, left.kind, left.now)
    given = MovedGiven(at, to.to, to.text, left.date)
    outputs = [page_output(ask, moved_page(ask("site"), ask("words"), given))]
    if left.kind in {"device", "comparison", "edition"}:
        # Previews of links that were shared before still ask for the picture.
        picture = ask(f"{left.kind}_card", left.now)
        if picture:
            outputs.append(Output(card_of(at).file, picture))
    if left.kind == "device" and left.now in ask("bundles"):
        data = ask("bundle_bytes", left.now)
        outputs.append(Output(series_bundle(left.id).file, data))
    return outputs


def _told(ask: Ask, left: Departure, at: Address) -> list[Output]:
    words = ask("words")
    reason = left.reason or words("It is being worked on and not shown at present.")
    about = mentions(ask, f"{left.kind}:{left.id}", "change")
    given = GoneGiven(
        at, left.kind, left.id, reason, left.date, links_to(ask, "change", about)
    )
    outputs = [page_output(ask, gone_page(ask("site"), words, given))]
    if left.kind == "device":
        data = series_zip([(NOTE, gone_note(words, left))])
        outputs.append(Output(series_bundle(left.id).file, data))
    return outputs


def departing_steps() -> tuple[Step, ...]:
    """Return the steps for what moved or is gone."""
    return (
        Step("departures", _departures, typed_codec(tuple[Departure, ...])),
        Step("moves", _moves, json_codec),
        Step("id_now", _id_now, json_codec),
        Step("former", _former, typed_codec(tuple[Former, ...])),
        Step("departed", _departed, writes=True),
    )
