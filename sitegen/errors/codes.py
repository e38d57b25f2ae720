"""The table of everything that can be wrong with an archive, in words.

``what``, ``allowed`` and ``remedy`` may name placeholders (``{value}``) that the
fault's ``values`` fill. None of the three ends with a full stop.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from sitegen.errors.faults import Severity


@dataclass(frozen=True, slots=True)
class Code:
    """The words for one kind of fault.

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


# Codes are permanent: they can be looked up and searched for. Areas:
# Y the YAML itself, F fields, R references between records, S series,
# A the archive as a whole, P prose pages, W warnings.
_YAML: dict[str, Code] = {}

_FIELDS: dict[str, Code] = {}

_REFERENCES: dict[str, Code] = {}

_SERIES: dict[str, Code] = {}

_ARCHIVE: dict[str, Code] = {}

_PROSE: dict[str, Code] = {}

_WARNINGS: dict[str, Code] = {}

CODES: Mapping[str, Code] = MappingProxyType(
    {
        **_YAML,
        **_FIELDS,
        **_REFERENCES,
        **_SERIES,
        **_ARCHIVE,
        **_PROSE,
        **_WARNINGS,
    }
)
