"""Bytes become records, series and a map of the archive; faults are collected.

Everything here is a pure function of bytes or of what was made from them.
``check_references`` and ``visible`` look at all records together, by their facts.
"""

from sitegen.load.locate import (
    ADDRESSES_FILE,
    RESERVED_SEGMENTS,
    SETTINGS_FILE,
    Located,
    locate,
    no_settings,
)
from sitegen.load.records import (
    Loaded,
    load_addresses,
    load_archive_settings,
    load_record,
)
from sitegen.load.series_file import LoadedSeries, read_series
from sitegen.load.tree import Tree, dotted, read_yaml

__all__ = [
    "ADDRESSES_FILE",
    "RESERVED_SEGMENTS",
    "SETTINGS_FILE",
    "Loaded",
    "LoadedSeries",
    "Located",
    "Tree",
    "dotted",
    "load_addresses",
    "load_archive_settings",
    "load_record",
    "locate",
    "no_settings",
    "read_series",
    "read_yaml",
]
