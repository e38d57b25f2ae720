"""The table of everything that can be wrong with an archive, in words.

Codes are permanent: they can be looked up with ``check --about`` and searched for.
The words stand in one module an area.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sitegen.errors.code import Code
from sitegen.errors.desk_codes import DESK
from sitegen.errors.faults import Fault
from sitegen.errors.field_codes import SCALARS, SHAPE, TOGETHER
from sitegen.errors.file_codes import BYTES, GOING, NAMES, PICTURES, YAML
from sitegen.errors.film_codes import FILMS
from sitegen.errors.intake_codes import INTAKE
from sitegen.errors.layout_codes import LAYOUTS
from sitegen.errors.prose_codes import PROSE
from sitegen.errors.reference_codes import REFERENCE_WARNINGS, REFERENCES
from sitegen.errors.series_codes import SERIES
from sitegen.errors.usage_codes import USAGE
from sitegen.errors.warning_codes import WARNINGS

CODES: Mapping[str, Code] = MappingProxyType(
    {
        **BYTES,
        **YAML,
        **NAMES,
        **PICTURES,
        **GOING,
        **LAYOUTS,
        **SHAPE,
        **SCALARS,
        **TOGETHER,
        **SERIES,
        **REFERENCES,
        **REFERENCE_WARNINGS,
        **PROSE,
        **WARNINGS,
        **DESK,
        **INTAKE,
        **FILMS,
        **USAGE,
    }
)


def is_fault(fault: Fault) -> bool:
    """Whether a fault stops publishing; else it is a warning."""
    return CODES[fault.code].severity == "fault"


__all__ = ["CODES", "Code", "is_fault"]
