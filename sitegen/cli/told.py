"""Sentences about a compile: who has to be waited for, what stayed as it was."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from types import MappingProxyType

from sitegen.archive_build.failed import Stayed
from sitegen.cli.shared import many
from sitegen.rebuild import BuildReport, Holder, Note

NOTES: Mapping[str, str] = MappingProxyType(
    {
        "state_damaged": "What was remembered of earlier compiles was damaged; it was"
        " thrown away, and everything is compiled anew.",
        "state_version": "What was remembered of earlier compiles is from another"
        " version of sitegen; it was thrown away, and everything is compiled anew.",
        "unclean_end": "The last compile was interrupted; every published file was"
        " looked at again.",
        "output_kept": "{detail}: no longer part of the site, but changed by someone"
        " else; left in place.",
    }
)

_MOST = 5


def note_line(note: Note) -> str:
    """Return the sentence of a note."""
    return NOTES[note.code].format(detail=note.detail)


def written_all_the_same(report: BuildReport | None) -> str:
    """Return what a compile with faults did nevertheless, half a sentence."""
    if report is None:
        return "nothing was published"
    return f"{many(len(report.written), 'file')} written, nothing removed"


def done_lines(report: BuildReport, out: Path) -> tuple[str, ...]:
    """Return the sentences about a compile without faults.

    Args:
        report: what was done.
        out: where the site is.
    """
    if not (report.written or report.removed or report.ran):
        return ("Up to date: nothing to do.",)
    unchanged = report.outputs - len(report.written)
    return (
        f"{len(report.written)} files written, {unchanged} unchanged, "
        f"{len(report.removed)} removed in {report.seconds:.1f} s.",
        f"The site is in {out}. Next: sitegen preview to look at it, sitegen release "
        "before it is uploaded.",
    )


def waiting_line(holder: Holder | None) -> str:
    """Return the sentence that says who is waited for."""
    if holder is None:
        return "Waiting for another process that compiles the same archive."
    return (
        f"Waiting for process {holder.pid}, which has been compiling the same archive"
        f" since {holder.since}."
    )


def stayed_lines(stayed: Sequence[Stayed]) -> Iterator[str]:
    """Yield a line for each failure that held something back."""
    for each in stayed:
        if each.files:
            number = len(each.files)
            verb = "stays as it was" if number == 1 else "stay as they were"
            count = "1 file" if number == 1 else f"{number} files"
            yield f"Because of {each.because}, {count} {verb}: {_some(each.files)}."
        if each.new:
            yield f"Because of {each.because}, not made: {_some(each.new)}."


def _some(names: Sequence[str]) -> str:
    if len(names) <= _MOST:
        return ", ".join(names)
    return f"{', '.join(names[:_MOST])} and {len(names) - _MOST} more"
