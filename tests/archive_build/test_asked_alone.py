"""What a device's page asks of itself alone, against what lists make of all devices."""

from __future__ import annotations

from typing import Any

import pytest

from sitegen.archive_build import compile_archive, published_folders
from sitegen.archive_build.compile import engine_for
from sitegen.findings.picks import headline
from sitegen.findings.ranks import PLACED, placed_of
from sitegen.rebuild import Engine, Key
from tests.bench.archives import Shape, write_archive

SHAPE = Shape(devices=6, runs=5, points=60)


@pytest.fixture(scope="module")
def engine(tmp_path_factory: pytest.TempPathFactory) -> Engine:
    """The engine of a compiled archive with tables and comparisons of both kinds."""
    archive = tmp_path_factory.mktemp("alone") / "archive"
    write_archive(archive, SHAPE)
    folders = published_folders(archive)
    assert not compile_archive(folders, workers=1).stopped
    return engine_for(folders, show_held=False)


def _asked(engine: Engine, kind: str, *args: str) -> Any:
    return engine.value(Key(kind, args))


def test_a_device_is_named_by_what_chooses_it(engine: Engine) -> None:
    """The tables and comparisons that name a device are those with a row of it."""
    with engine:
        wanted: dict[str, list[list[str]]] = {}
        for kind in ("comparison", "table"):
            for name in _asked(engine, "shown", kind):
                rows = _asked(engine, "chosen_rows", kind, name)
                for device in {row.device for row in rows}:
                    wanted.setdefault(device, []).append([kind, name])
        devices = _asked(engine, "shown", "device")
        found = {
            device: [
                each
                for each in _asked(engine, "mentions_of", f"device:{device}")
                if each[0] in {"comparison", "table"}
            ]
            for device in devices
        }
    assert found == {device: wanted.get(device, []) for device in devices}
    numbers = set(map(len, found.values()))
    assert len(numbers) > 1
    assert min(numbers) > 0


def test_a_place_counts_the_current_results_of_all_devices(engine: Engine) -> None:
    """Each set holds the numbers of rows with a rank, or with another quantity."""
    with engine:
        families = _asked(engine, "families")
        devices = _asked(engine, "shown", "device")
        each = {device: _asked(engine, "current_rows", device) for device in devices}
        members = _asked(engine, "placed_values")
        places = {device: _asked(engine, "places", device) for device in devices}
    wanted: dict[str, list[float]] = {}
    for row in (row for rows in each.values() for row in rows):
        for quantity in PLACED:
            placed = placed_of(row, quantity)
            if placed is None or (quantity == "cadr_m3h" and row.rank_low is None):
                continue
            method = {"sound_dba": row.sound_method, "power_w": row.power_method}
            name = method.get(quantity, row.method)
            key = f"{quantity} {families.get(name, name)}"
            wanted.setdefault(key, []).append(placed.value)
    assert {name: list(found.values) for name, found in members.items()} == {
        name: sorted(values) for name, values in wanted.items()
    }
    assert set(PLACED) == {name.partition(" ")[0] for name in members}
    for device, rows in each.items():
        best = headline(rows)
        assert best is not None
        for place in places[device]:
            assert place.value == getattr(best, place.quantity)
            assert place.of == len(wanted[f"{place.quantity} {place.set}"])
