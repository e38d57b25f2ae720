"""The one table of quantities, and configurations."""

from __future__ import annotations

import pytest

from sitegen.model import (
    CONDITION_FIELDS,
    KINDS,
    QUANTITIES,
    RESULT_COLUMNS,
    RUN_COLUMNS,
    Configuration,
    adapter,
    parse_configuration,
    table_columns,
)

# The header of results.csv and of runs.csv as re-users rely on them.
RESULTS = (
    "device,filter,speed,method,fraction,runs,run_ids,validity,flags,cadr_m3h,cadr_low,"
    "cadr_high,cadr_basis,decay_per_h,natural_per_h,clearance_min,clearance_low,"
    "clearance_high,clearance_basis,sound_dba,sound_low,sound_high,sound_limit,"
    "sound_method,power_w,power_sd,power_method,cadr_per_w,energy_kwh_year,"
    "energy_cost_year,filter_cost_year,running_cost_year,ownership_cost,currency,"
    "rank_low,rank_high,ranked_of,address"
)
RUNS = (
    "run,kind,device,filter,speed,method,date,status,validity,instrument,fraction,"
    "points,window_start_min,window_end_min,zero_offset,decay_per_h,decay_sd_per_h,"
    "decay_low,decay_high,plain_decay_per_h,plain_se_per_h,r_squared,natural_per_h,"
    "natural_sd_per_h,cadr_m3h,cadr_low,cadr_high,flags"
)


def test_headers_are_the_contract() -> None:
    """The columns of the data files, and their order, never change."""
    assert ",".join(RESULT_COLUMNS) == RESULTS
    assert ",".join(RUN_COLUMNS) == RUNS


def test_limits_point_at_columns_of_the_same_unit() -> None:
    """A quantity's limits are columns of their own, in its unit."""
    for quantity in QUANTITIES.values():
        for limit in filter(None, (quantity.low, quantity.high)):
            assert QUANTITIES[limit].unit == quantity.unit
            assert QUANTITIES[limit].us_unit == quantity.us_unit
            assert not QUANTITIES[limit].axis


def test_only_numbers_stand_on_an_axis() -> None:
    """What a table sorts by is a number or money, with a unit."""
    columns = table_columns()
    assert "cadr_m3h" in columns
    assert "validity" not in columns
    assert all(QUANTITIES[name].holds in {"number", "money"} for name in columns)
    assert all(QUANTITIES[name].unit for name in columns)


def test_better_directions_are_the_plain_ones() -> None:
    """More clean air is better; time, sound, power and cost are better when less."""
    better = {name: QUANTITIES[name].better for name in table_columns()}
    assert {name for name, way in better.items() if way == "up"} == {
        "cadr_m3h",
        "decay_per_h",
        "cadr_per_w",
    }
    assert "none" not in better.values()


def test_conditions_ask_for_results_and_a_few_facts_of_the_device() -> None:
    """A condition may name every column but the address, and five facts."""
    assert set(CONDITION_FIELDS) - set(RESULT_COLUMNS) == {
        "form",
        "maker",
        "price",
        "withdrawn",
        "filter_class",
    }
    assert "address" not in CONDITION_FIELDS


@pytest.mark.parametrize("text", ["heron.mat.low", "a.none.b", "1.2.3"])
def test_a_configuration_reads_and_writes_the_same(text: str) -> None:
    """DEVICE.FILTER.SPEED becomes three ids and the same text again."""
    found = parse_configuration(text)
    assert found == Configuration(*text.split("."))
    assert str(found) == text


@pytest.mark.parametrize(
    "text",
    ["", "heron", "heron.mat", "heron.mat.low.x", "Heron.mat.low", "a..b", "a.b. "],
)
def test_anything_else_is_no_configuration(text: str) -> None:
    """Two or four parts, capitals or empty parts name no configuration."""
    assert parse_configuration(text) is None


def test_every_kind_has_a_folder_of_its_own() -> None:
    """Kinds are found by name, each under another folder, each with a validator."""
    assert len({kind.folder for kind in KINDS.values()}) == len(KINDS) == 12
    assert all(adapter(name) is adapter(name) for name in KINDS)
    with pytest.raises(KeyError):
        adapter("shelf")
