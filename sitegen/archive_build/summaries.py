"""Steps with what lists and data files take from one run or one device.

They are small because lists ask for very many of them: when one has changed, all the
others are read again, and what is formatted here need not be formatted again.
"""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.archive_build.codecs import typed_codec
from sitegen.findings.fitted import ALL
from sitegen.findings.views import DecayReport, Interval, Validity
from sitegen.pages.datafiles import lines_of, results_csv, runs_csv
from sitegen.rebuild import Ask, Step, bytes_codec


@dataclass(frozen=True, slots=True)
class RunSummary:
    """What lists show of a decay or natural-decay run.

    Attributes:
        validity: what its checks make of it.
        cadr: its combined CADR of the primary fraction, m³/h, or nothing.
        csv: its lines of ``runs.csv``.
    """

    validity: Validity
    cadr: Interval | None
    csv: str


def _run_summary(ask: Ask, run_id: str) -> RunSummary:
    report: DecayReport = ask("report", run_id)
    return RunSummary(
        validity=report.validity,
        cadr=primary_cadr(report, ask("primary_fraction")),
        csv=lines_of(runs_csv(report.rows)).decode(),
    )


def primary_cadr(report: DecayReport, fraction: str) -> Interval | None:
    """Return the combined CADR of a run's primary fraction, if it has one."""
    for row in report.rows:
        if (row.instrument, row.fraction) == (ALL, fraction) and (
            row.cadr_m3h is not None
            and row.cadr_low is not None
            and row.cadr_high is not None
        ):
            return Interval(row.cadr_m3h, row.cadr_low, row.cadr_high)
    return None


def _device_lines(ask: Ask, device_id: str) -> bytes:
    """The lines of a device in ``results.csv``."""
    return lines_of(results_csv(ask("rows", device_id)))


def summary_steps() -> tuple[Step, ...]:
    """Return these steps."""
    return (
        Step("run_summary", _run_summary, typed_codec(RunSummary)),
        Step("device_lines", _device_lines, bytes_codec),
    )
