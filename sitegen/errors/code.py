"""What the table of codes holds for each."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.errors.faults import Severity


@dataclass(frozen=True, slots=True)
class Code:
    """The words for one kind of fault.

    ``what``, ``allowed`` and ``remedy`` may name placeholders (``{value}``) that the
    fault's ``values`` fill; none of them ends with a full stop. ``allowed`` and
    ``remedy`` are left out where a fault lacks a value that they name.

    Attributes:
        title: the fault in a few words.
        what: what is wrong.
        allowed: what would be right; may be empty.
        remedy: what to do; may be empty.
        about: the longer explanation, in whole sentences; may be empty.
        severity: whether it stops publishing.
    """

    title: str
    what: str
    allowed: str = ""
    remedy: str = ""
    about: str = ""
    severity: Severity = "fault"
