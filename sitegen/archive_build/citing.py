"""Steps for how the data are cited, release by release."""

from __future__ import annotations

from collections.abc import Sequence

from sitegen.pages.citation_files import citation_bib, citation_cff
from sitegen.rebuild import Ask, Step, bytes_codec, json_codec


def newest(days: Sequence[str]) -> str:
    """Return the last of sorted days, or ``""`` when there is none."""
    return days[-1] if days else ""


def _released(ask: Ask) -> list[str]:
    """Days of all releases, sorted."""
    records = ask.all([("record", "release", name) for name in ask("shown", "release")])
    return sorted(record.date.isoformat() for record in records)


def _citation_cff(ask: Ask) -> bytes:
    return citation_cff(ask("site"), ask("words"), newest(ask("released")))


def _citation_bib(ask: Ask) -> bytes:
    return citation_bib(ask("site"), ask("words"), ask("released"))


def citing_steps() -> tuple[Step, ...]:
    """Return the steps for the files that say how to cite."""
    return (
        Step("released", _released, json_codec),
        Step("citation_cff", _citation_cff, bytes_codec),
        Step("citation_bib", _citation_bib, bytes_codec),
    )
