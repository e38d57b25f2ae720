"""Pages for the tester alone, served beside the preview and never published."""

from __future__ import annotations

import datetime as dt
from html import escape

from sitegen.archive_build import Folders, ask_archive
from sitegen.errors import FaultsFound, SitegenError, fault_line, sort_faults
from sitegen.findings.worklist import worklist
from sitegen.pages.addresses import of_record
from sitegen.pages.worklist_text import WorkGroup, WorkLine, work_groups
from sitegen.preview.desk_frame import DeskPage, framed

WORKLIST = "worklist"


def worklist_page(folders: Folders, today: dt.date) -> str:
    """Return the worklist of an archive as a page; faults in place of it, if any.

    Args:
        folders: the preview's folders.
        today: the day against which natural decays are held.
    """
    try:
        (state,) = ask_archive(folders, [("archive_state",)], show_held=True, workers=1)
    except FaultsFound as found:
        lines = [fault_line(fault) for fault in sort_faults(found.faults)]
        return _page("The records have faults; correct these first.", _faults(lines))
    except SitegenError as error:
        return _page("The list cannot be made just now.", _faults([str(error)]))
    groups = work_groups(worklist(state, today))
    lead = (
        f"As of {today.isoformat()}. What may be wrong comes first, then what a "
        "comparison asks for, what is vague, and what is missing."
        if groups
        else "Nothing is left to do."
    )
    return _page(lead, "\n".join(map(_group, groups)))


def _page(lead: str, rows: str) -> str:
    body = (
        f'<header class="lead">\n<h1>Worklist</h1>\n<p>{escape(lead)}</p>\n</header>\n'
        f"{rows}"
    )
    return framed(DeskPage("Worklist", body, WORKLIST))


def _faults(lines: list[str]) -> str:
    return "<ul>" + "".join(f"<li>{escape(line)}</li>" for line in lines) + "</ul>"


def _group(group: WorkGroup) -> str:
    rows = "\n".join(map(_line, group.lines))
    return (
        f'<section class="row"><header><h2>{escape(group.heading)}</h2>'
        f'</header><div class="says"><dl class="facts">\n{rows}\n</dl></div></section>'
    )


def _line(line: WorkLine) -> str:
    kind, _, record = line.subject.partition(":")
    to = of_record(kind, record).path
    name = f'<a href="/{escape(to)}">{escape(line.name)}</a>'
    what = f"{line.what[:1].upper()}{line.what[1:]}"
    settled = f"<small><code>{escape(line.settled_by)}</code></small>"
    return (
        f"<div><dt>{name}</dt><dd>{escape(what)}"
        f"<small>{escape(line.remedy)}</small>"
        f"{settled if line.settled_by else ''}</dd></div>"
    )
