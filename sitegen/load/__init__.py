"""Bytes become records, series and a map of the archive; faults are collected.

Everything here is a pure function of bytes or of what was made from them.
``check_references`` and ``visible`` look at all records together, by their facts.
"""

from sitegen.load.archive_checks import check_archive, check_references
from sitegen.load.facts import Facts, SettingsFacts, facts_of, facts_of_settings
from sitegen.load.index import ArchiveIndex, Lookup, present_in
from sitegen.load.locate import (
    ADDRESSES_FILE,
    RESERVED_SEGMENTS,
    SETTINGS_FILE,
    Located,
    locate,
    no_settings,
)
from sitegen.load.problems import Problem, bare_tree, faults_of
from sitegen.load.records import (
    Loaded,
    load_addresses,
    load_archive_settings,
    load_record,
)
from sitegen.load.references import check_record, comparable
from sitegen.load.release_checks import last_release
from sitegen.load.series_file import LoadedSeries, read_series
from sitegen.load.tree import Tree, dotted, read_yaml
from sitegen.load.visible import held_back, visible

__all__ = [
    "ADDRESSES_FILE",
    "RESERVED_SEGMENTS",
    "SETTINGS_FILE",
    "ArchiveIndex",
    "Facts",
    "Loaded",
    "LoadedSeries",
    "Located",
    "Lookup",
    "Problem",
    "SettingsFacts",
    "Tree",
    "bare_tree",
    "check_archive",
    "check_record",
    "check_references",
    "comparable",
    "dotted",
    "facts_of",
    "facts_of_settings",
    "faults_of",
    "held_back",
    "last_release",
    "load_addresses",
    "load_archive_settings",
    "load_record",
    "locate",
    "no_settings",
    "present_in",
    "read_series",
    "read_yaml",
    "visible",
]
