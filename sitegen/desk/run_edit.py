"""Edits of a run's record that its author should not have to make by hand."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from sitegen.archive_build import Folders, ask_archive
from sitegen.desk.checked_edit import Edit, edit_record
from sitegen.desk.opened import OpenArchive
from sitegen.desk.record_edit import block, set_scalar
from sitegen.errors import usage_fault
from sitegen.findings.open_state import waiting_codes
from sitegen.findings.results import Pooled
from sitegen.load.guesses import guess, listed
from sitegen.model import DecayRun, NaturalDecayRun, Record


@dataclass(frozen=True, slots=True)
class Decided:
    """A decision as it goes into the record.

    Attributes:
        by: who decided.
        on: when.
        cause: the assignable cause, as the model knows it.
        text: the reason.
    """

    by: str
    on: dt.date
    cause: str
    text: str

    def values(self) -> dict[str, str]:
        """Return its fields in their order."""
        return {
            "by": self.by,
            "on": self.on.isoformat(),
            "cause": self.cause,
            "text": self.text,
        }


def set_status(
    archive: OpenArchive, run_id: str, status: str, decided: Decided
) -> Edit:
    """Return the edit that rejects a run, or accepts it again.

    Args:
        archive: the archive.
        run_id: the run.
        status: ``accepted`` or ``rejected``.
        decided: why; the former reason is kept behind that of accepting it again.

    Raises:
        UsageFault: if there is no such run, or it has this status already.
        FaultsFound: as ``edit_record``.
    """
    run: Any = archive.record("run", run_id, Record)
    if run.status == status:
        _refuse("run-so-already", {"run": run_id, "status": status})

    if status == "accepted" and run.decision is not None:
        was = run.decision
        former = f"Until then {run.status}, by {was.by} on {was.on}: {was.text}"
        decided = replace(decided, text=f"{_ended(decided.text)} {former}")

    def edit(top: Any) -> None:  # noqa: ANN401 - plain data
        if "status" in top:
            set_scalar(top, ("status",), status)
        elif "decision" in top:
            top.insert(list(top).index("decision"), "status", status)
        else:
            top["status"] = status
        _put_decision(top, decided)

    return edit_record(archive, "run", run_id, edit, ("status", "decision"))


def decide(
    archive: OpenArchive,
    run_id: str,
    waiting: Sequence[str],
    found: Sequence[tuple[str, str]],
    decided: Decided,
) -> Edit:
    """Return the edit that records what was found about the checks of a run.

    Args:
        archive: the archive.
        run_id: the run.
        waiting: codes of its checks that wait for a decision.
        found: code of each check, and what was found.
        decided: by whom and when; its text is made of what was found.

    Raises:
        UsageFault: if there is no such run, a check does not wait, or another waits.
        FaultsFound: as ``edit_record``.
    """
    run: Any = archive.record("run", run_id, Record)
    for code, _ in found:
        if code not in waiting:
            values = {"run": run_id, "value": code, **guess(code, waiting)}
            values["choices"] = (
                f"a check that waits: {listed(waiting)}"
                if waiting
                else "nothing waits for one"
            )
            _refuse("decision-not-asked", values)
    named = [code for code, _ in found]
    if more := [code for code in waiting if code not in named]:
        each = " ".join(f'--decide {code} "..."' for code in waiting)
        command = f"sitegen run {run_id} {each}"
        values = {"run": run_id, "choices": listed(more), "command": command}
        _refuse("decision-more-asked", values)
    parts = [f"{code}: {_ended(text)}" for code, text in found]
    before = [_ended(run.decision.text)] if run.decision is not None else []
    whole = replace(decided, text=" ".join([*before, *parts]))
    return edit_record(
        archive, "run", run_id, lambda top: _put_decision(top, whole), ("decision",)
    )


def fix_window(
    archive: OpenArchive, run_id: str, start: float, end: float, reason: str
) -> Edit:
    """Return the edit that fixes the fitted part of a run by hand.

    Args:
        archive: the archive.
        run_id: the run.
        start: minutes of elapsed time.
        end: minutes of elapsed time.
        reason: why the method's rule does not serve.

    Raises:
        UsageFault: if there is no such run.
        FaultsFound: as ``edit_record``.
    """
    archive.record("run", run_id, Record)
    values = {"start": f"{start:g}", "end": f"{end:g}", "reason": reason}

    def edit(top: Any) -> None:  # noqa: ANN401 - plain data
        _put(top, "window_min", values)

    return edit_record(archive, "run", run_id, edit, ("window_min",))


def waiting_checks(
    folders: Folders,
    archive: OpenArchive,
    run_id: str,
    on_progress: Callable[[Any], None] | None = None,
) -> tuple[str, ...]:
    """Return the codes of a run's checks that wait for a decision.

    Args:
        folders: where fits are remembered; held runs are seen.
        archive: the archive.
        run_id: the run.
        on_progress: called as the work goes on.

    Raises:
        FaultsFound: if the archive has faults.
        MachineFault: if the machine refuses, or the state is in use.
    """
    run = archive.record("run", run_id, Record)
    if not isinstance(run, DecayRun | NaturalDecayRun):
        return ()
    questions: list[tuple[str, ...]] = [("report", run_id)]
    if isinstance(run, DecayRun):
        questions.append(("pooled", run.device))
    report, *more = ask_archive(
        folders, questions, show_held=True, on_progress=on_progress
    )
    codes = list(waiting_codes(report))
    pooled: list[Pooled] = [item for items in more for item in items]
    off = [item.outlying for item in pooled if item.outlying is not None]
    if any(each.run == run_id and not each.decided for each in off):
        codes.append("OUTLIER")
    return tuple(codes)


def _ended(text: str) -> str:
    """Return a sentence with its full stop, so that another may follow."""
    text = text.strip()
    return text if text.endswith((".", "!", "?")) else f"{text}."


def _put_decision(top: Any, decided: Decided) -> None:  # noqa: ANN401 - plain data
    _put(top, "decision", decided.values())


def _put(top: Any, key: str, values: dict[str, str]) -> None:  # noqa: ANN401 - plain data
    """Put a group of fields in: each in its place, or the group at the end."""
    if key not in top:
        top[key] = block(values)
        return
    for name, text in values.items():
        if name in top[key]:
            set_scalar(top, (key, name), text)
        else:
            top[key][name] = text


def _refuse(code: str, values: dict[str, str]) -> None:
    raise usage_fault("run", code, **values)
