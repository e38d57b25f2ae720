"""What intake says on the terminal: how logs read, the run, its fit and its checks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from sitegen.desk.intake.forms import KnownForm, form_lines
from sitegen.desk.intake.joined import step_us
from sitegen.desk.intake.log import ReadLog
from sitegen.desk.intake.moments import moment_of
from sitegen.desk.intake.plot import plot_lines
from sitegen.desk.intake.proposal import Proposal
from sitegen.desk.intake.taken import Taken
from sitegen.errors import Fault, fault_line, sort_faults
from sitegen.findings.fitted import FractionChecks, Slope
from sitegen.findings.views import Clearance
from sitegen.model import DecayRun
from sitegen.model.rounding import round_interval
from sitegen.pages.code_words import END_RULES, START_RULES
from sitegen.pages.flag_words import flag_word
from sitegen.pages.run_words import FIT_ERRORS
from sitegen.pages.words import ENGLISH


def guess_lines(known: KnownForm, file: str, stated: Sequence[str]) -> list[str]:
    """Return how a log seems to read, each field with the evidence for it.

    Args:
        known: the form with its guesses.
        file: name of the log.
        stated: options that stated fields.
    """
    lines = [f"{file} seems to read like this:"]
    told = {guess.field: guess.evidence for guess in known.guesses}
    for option in stated:
        told.setdefault(option.partition("=")[0].strip(), "as stated")
    if known.form is not None:
        return [*lines, *(f"  {line}" for line in form_lines(known.form, told))]
    width = max((len(guess.field) for guess in known.guesses), default=0)
    lines += [
        f"  {guess.field:<{width}}  {_plain(guess.value)}  # {guess.evidence}"
        for guess in known.guesses
    ]
    return lines


def _plain(value: object) -> str:
    if isinstance(value, list):
        return ", ".join(str(part) for part in value)
    if isinstance(value, dict):
        return ", ".join(f"{name}: {part}" for name, part in value.items())
    return str(value)


def note_lines(notes: Iterable[Fault]) -> list[str]:
    """Return what was seen and done in a log, a line each, in order of its lines."""
    return [f"  {fault_line(note)}" for note in sort_faults(notes)]


def log_lines(log: ReadLog) -> list[str]:
    """Return what one log holds, in two lines and its notes."""
    rows = log.rows
    assert log.zone is not None  # noqa: S101 - logs of a run are in UTC
    first, last = (moment_of(int(rows.us[at]), log.zone) for at in (0, -1))
    until = (
        f"{last:%H:%M:%S}"
        if first.date() == last.date()
        else f"{last:%Y-%m-%d %H:%M:%S}"
    )
    return [
        f"{log.name}: {rows.us.size} rows by {log.instrument},"
        f" {first:%Y-%m-%d %H:%M:%S} to {until} (UTC{first.isoformat()[-6:]}),"
        f" one every {step_us(log) / 1e6:.3g} s",
        f"  SHA-256 {log.digest}",
        *note_lines(log.notes),
    ]


def taken_lines(taken: Taken) -> list[str]:
    """Return what the logs of a run hold."""
    lines = [line for log in taken.logs for line in log_lines(log)]
    return lines + note_lines(taken.joined.notes)


def proposal_lines(proposal: Proposal, width: int = 66) -> list[str]:
    """Return the run, its plot, its fit, its checks and the files to write."""
    run, found = proposal.run, proposal.found
    what = "natural decay, device off"
    if isinstance(run, DecayRun):
        what = f"decay of {run.device}.{run.filter}.{run.speed} (unit {run.specimen})"
    lines = ["", f"{run.id}: {what}, method {run.method}", ""]
    primary = proposal.taken.method.primary_fraction
    curve = next((c for c in found.curves if c.fraction == primary), None)
    if curve is not None:
        lines += [*plot_lines(curve, run.events, width), ""]
    if found.error:
        lines.append(f"Not fitted: {FIT_ERRORS.get(found.error, found.error)}")
    slope = found.slope(primary)
    if slope is not None:
        lines += _fit_lines(slope, found.start_rule, found.end_rule)
    checks = found.check(primary)
    if checks is not None:
        lines += _check_lines(checks)
    lines += ["", "Files, none of them there yet:"]
    lines += [
        f"  {path}  ({text.count(chr(10))} lines)" for path, text in proposal.files
    ]
    lines += ["", *(f"  {line}" for line in proposal.files[-1][1].splitlines())]
    return lines


def _fit_lines(slope: Slope, start_rule: str, end_rule: str) -> list[str]:
    rate = round_interval(slope.decay_per_h, slope.decay_low, slope.decay_high)
    return [
        f"Fitted part   minute {slope.start_min:.1f} to {slope.end_min:.1f},"
        f" {slope.points} readings",
        f"              starts when {START_RULES.get(start_rule, start_rule)}",
        f"              ends when {END_RULES.get(end_rule, end_rule)}",
        f"Decay rate    {rate.value} per hour"
        f" (95 % interval {rate.low} to {rate.high})",
    ]


def _check_lines(checks: FractionChecks) -> list[str]:
    lines = []
    if checks.clearance is not None:
        lines.append(f"Clearance     {_clearance(checks.clearance)}")
    raised = {flag.code: flag for flag in checks.flags if flag.raised}
    clear = len({flag.code for flag in checks.flags} - raised.keys())
    validity = {
        "rated": "rated",
        "notes": "rated, with notes",
        "not_rated": "not rated",
    }
    lines.append(
        f"Checks        {validity[checks.validity]};"
        f" {len(raised)} raised, {clear} clear"
    )
    for code, flag in raised.items():
        word = flag_word(ENGLISH, code)
        by = f" ({flag.instrument})" if flag.instrument else ""
        lines.append(f"  {code}{by}: {word.short}. {word.meaning}")
        if flag.decide:
            lines.append("    Decide about it and write the decision into the record.")
    return lines


def _clearance(seen: Clearance) -> str:
    if seen.minutes is None:
        return "not reached within the series"
    told = round_interval(seen.minutes, seen.low, seen.high)
    between = ""
    if told.low is not None and told.high is not None:
        between = f" (95 % interval {told.low} to {told.high})"
    return f"{told.value} minutes{between}, {seen.basis}"


def next_lines(
    archive: str, proposal: Proposal, taken: Taken, *, keep: bool
) -> list[str]:
    """Return what to do after the files were written.

    Args:
        archive: the archive's folder, as the tester named it.
        proposal: what was written.
        taken: the logs behind it.
        keep: whether guesses were kept in the records.
    """
    where = "" if archive == "." else f" {archive}"
    lines = [f"Next: sitegen check{where}, then sitegen preview{where}"]
    if taken.guessed and not keep:
        lines.append("With --keep the guesses go into the instrument's record.")
    if proposal.found.error:
        lines.append("The run could not be fitted; its page says why.")
    return lines
