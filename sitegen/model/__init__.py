"""What things are: records, series, quantities and their rounding.

No input or output, no HTML. ``series`` needs numpy and is imported from its own
module.
"""

from sitegen.model.archive import Archive
from sitegen.model.base import Measured, Part, Record, Reference, references
from sitegen.model.bench import Filter, Instrument, Room
from sitegen.model.chronicle import Addresses, Change, Release
from sitegen.model.configuration import (
    NO_FILTER,
    Configuration,
    parse_configuration,
)
from sitegen.model.device import Device
from sitegen.model.kinds import KINDS, Kind, adapter
from sitegen.model.method import DecayMethod, Method, PowerMethod, SoundMethod
from sitegen.model.quantities import (
    CONDITION_FIELDS,
    QUANTITIES,
    READING_COLUMNS,
    RESULT_COLUMNS,
    RUN_COLUMNS,
    TABLE_FACTS,
    Quantity,
    table_columns,
)
from sitegen.model.run import DecayRun, NaturalDecayRun, PowerRun, Run, SoundRun
from sitegen.model.showing import (
    Comparison,
    Condition,
    Edition,
    FrozenFigure,
    FrozenLine,
    Table,
    Video,
)

__all__ = [
    "CONDITION_FIELDS",
    "KINDS",
    "NO_FILTER",
    "QUANTITIES",
    "READING_COLUMNS",
    "RESULT_COLUMNS",
    "RUN_COLUMNS",
    "TABLE_FACTS",
    "Addresses",
    "Archive",
    "Change",
    "Comparison",
    "Condition",
    "Configuration",
    "DecayMethod",
    "DecayRun",
    "Device",
    "Edition",
    "Filter",
    "FrozenFigure",
    "FrozenLine",
    "Instrument",
    "Kind",
    "Measured",
    "Method",
    "NaturalDecayRun",
    "Part",
    "PowerMethod",
    "PowerRun",
    "Quantity",
    "Record",
    "Reference",
    "Release",
    "Room",
    "Run",
    "SoundMethod",
    "SoundRun",
    "Table",
    "Video",
    "adapter",
    "parse_configuration",
    "references",
    "table_columns",
]
