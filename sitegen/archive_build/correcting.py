"""Which entries of the change log concern a page, and which corrections are open.

A page rests on more than its own record: a comparison on the runs of its devices, a
device on the natural decays taken off its runs and on the methods. A change that names
any of them concerns the page.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import Any

from sitegen.archive_build.linked import target_links
from sitegen.archive_build.texts import block_on
from sitegen.findings.index import RunEntry
from sitegen.findings.views import ResultRow
from sitegen.model import Change, Edition
from sitegen.pages.addresses import Address, of_record
from sitegen.pages.changes import ChangeEntry, Correction, correction_link
from sitegen.pages.frame import Block, Page
from sitegen.rebuild import Ask, Step, json_codec

Asks = Callable[..., Any]
"""Asks the engine for a value of a step, from within a step or from outside."""


def _change_targets(ask: Ask) -> list[list[str]]:
    """Each change's id, day, kind and closing day, then all that it names."""
    found = []
    for name in ask("shown", "change"):
        change: Change = ask("record", "change", name)
        targets = dict.fromkeys(change.affects)
        for target in change.affects:
            kind, _, named = target.partition(":")
            targets[f"{kind}:{ask('id_now', kind, named)}"] = None
        closed = change.closed.isoformat() if change.closed else ""
        found.append([name, change.date.isoformat(), change.kind, closed, *targets])
    return found


def _corrections(ask: Ask) -> list[list[str]]:
    """The corrections among the changes; most archives have few or none."""
    return [change for change in ask("change_targets") if change[2] == "correction"]


def _rests_on(ask: Ask, kind: str, record_id: str) -> list[str]:
    """Everything that the numbers of a page rest on, as ``KIND:ID``, itself first."""
    itself = f"{kind}:{record_id}"
    if kind == "device":
        found = _of_device(ask, record_id)
    elif kind == "run":
        found = _of_run(ask, record_id)
    elif kind in {"comparison", "table"}:
        found = rows_rest_on(ask, ask("chosen_rows", kind, record_id))
    elif kind == "edition":
        found = _of_edition(ask, record_id)
    else:
        found = []
    return list(dict.fromkeys([itself, *found]))


def _of_device(ask: Ask, device_id: str) -> list[str]:
    entries: tuple[RunEntry, ...] = ask("entries_of", device_id)
    rows: tuple[ResultRow, ...] = ask("rows", device_id)
    return [*_of_entries(ask, entries), *_named_by(rows)]


def _of_run(ask: Ask, run_id: str) -> list[str]:
    entry: RunEntry = ask("entry", run_id)
    return [f"method:{entry.method}", *_of_entries(ask, [entry])]


def rows_rest_on(ask: Asks, rows: Sequence[ResultRow]) -> list[str]:
    """Return everything that some results rest on, as ``KIND:ID``."""
    chosen = {row.configuration for row in rows}
    entries = [
        entry
        for device in dict.fromkeys(row.device for row in rows)
        for entry in ask("entries_of", device)
        if f"{device}.{entry.filter}.{entry.speed}" in chosen
    ]
    return [*_named_by(rows), *_of_entries(ask, entries)]


def _named_by(rows: Iterable[ResultRow]) -> Iterable[str]:
    for row in rows:
        yield f"device:{row.device}"
        yield f"filter:{row.filter}"
        for method in (row.method, row.sound_method, row.power_method):
            if method:
                yield f"method:{method}"


def _of_entries(ask: Asks, entries: Iterable[RunEntry]) -> list[str]:
    """Runs, and the natural decays that were taken off them."""
    found = []
    for entry in entries:
        found.append(f"run:{entry.id}")
        if entry.kind == "decay":
            found += [f"run:{name}" for name in ask("natural_ids", entry.id)]
    return found


def _of_edition(ask: Ask, edition_id: str) -> list[str]:
    record: Edition = ask("record", "edition", edition_id)
    found = [f"comparison:{record.comparison}"]
    for texts in record.rows:
        row = dict(zip(record.columns, texts, strict=False))
        for column in ("device", "filter", "method", "sound_method", "power_method"):
            if row.get(column):
                kind = column.rpartition("_")[2]
                name = row[column]
                found += [f"{kind}:{name}", f"{kind}:{ask('id_now', kind, name)}"]
        found += [
            f"run:{ask('id_now', 'run', name)}"
            for name in row.get("run_ids", "").split()
        ]
    return found


def _history(ask: Ask, kind: str, record_id: str) -> list[str]:
    """Ids of the changes that concern a record's page, the newest first."""
    rests = set(ask("page_rests_on", kind, record_id))
    found = [
        (day, name)
        for name, day, _, _, *targets in ask("change_targets")
        if rests.intersection(targets)
    ]
    return [name for _, name in sorted(found, reverse=True)]


def _corrections_of(ask: Ask, kind: str, record_id: str) -> list[list[str]]:
    """Id, day, and day of closing of the corrections that concern a page."""
    corrections = ask("corrections")
    if not corrections:
        return []
    rests = set(ask("page_rests_on", kind, record_id))
    return [
        [name, day, closed]
        for name, day, _, closed, *targets in corrections
        if rests.intersection(targets)
    ]


def corrections_of(ask: Ask, kind: str, record_id: str) -> tuple[Correction, ...]:
    """Return the corrections that concern a page, open and closed."""
    return tuple(
        Correction(name, day, closed)
        for name, day, closed in ask("corrections_of", kind, record_id)
    )


def marked(ask: Ask, page: Page, *concerned: tuple[str, str]) -> Page:
    """Return a page that says which open corrections concern what it shows.

    Args:
        ask: the engine's question.
        page: the page.
        concerned: kind and id of the records that it shows.
    """
    found = {
        each.id: each
        for kind, name in concerned
        for each in corrections_of(ask, kind, name)
        if not each.closed
    }
    words = ask("words")
    links = (correction_link(words, found[name]) for name in sorted(found))
    return replace(page, corrections=tuple(links))


def change_entries(
    ask: Ask, names: Iterable[str], page: Address
) -> tuple[ChangeEntry, ...]:
    """Return entries of the change log as they stand on a page."""
    entries = []
    for name in names:
        change: Change = ask("record", "change", name)
        links, gone = target_links(ask, change.affects)
        itself = of_record("change", name)
        entries.append(
            ChangeEntry(
                id=name,
                date=change.date.isoformat(),
                kind=change.kind,
                text=block_on(ask, page, change.text) or Block(""),
                affects=tuple(link for link in links if link.to != page),
                gone=gone,
                closed=change.closed.isoformat() if change.closed else "",
                held=ask("is_held", "change", name),
                to=itself,
            )
        )
    return tuple(entries)


def correcting_steps() -> tuple[Step, ...]:
    """Return the steps that say which changes concern which page."""
    return (
        Step("change_targets", _change_targets, json_codec),
        Step("corrections", _corrections, json_codec),
        Step("page_rests_on", _rests_on, json_codec),
        Step("history", _history, json_codec),
        Step("corrections_of", _corrections_of, json_codec),
    )
