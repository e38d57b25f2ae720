"""Everything that can go wrong, as data, and its text.

Imports nothing else of this project.
"""

from sitegen.errors.codes import CODES, Code, is_fault
from sitegen.errors.faults import Fault, Place, Severity, sort_faults
from sitegen.errors.raised import (
    FaultsFound,
    LockHeld,
    MachineFault,
    MeasureError,
    RebuildError,
    SitegenError,
    UsageFault,
)
from sitegen.errors.text import (
    about,
    fault_line,
    fault_lines,
    fault_words,
    one_line,
    usage_fault,
    words_of,
)

__all__ = [
    "CODES",
    "Code",
    "Fault",
    "FaultsFound",
    "LockHeld",
    "MachineFault",
    "MeasureError",
    "Place",
    "RebuildError",
    "Severity",
    "SitegenError",
    "UsageFault",
    "about",
    "fault_line",
    "fault_lines",
    "fault_words",
    "is_fault",
    "one_line",
    "sort_faults",
    "usage_fault",
    "words_of",
]
