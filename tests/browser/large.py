"""A table of many made-up results, written without measuring anything."""

from __future__ import annotations

import random
from pathlib import Path

from sitegen.findings.views import CostView, Labels, ResultRow
from sitegen.model import Table
from sitegen.model.archive import Assumptions
from sitegen.pages import addresses
from sitegen.pages.assets import JOINED, SCRIPTS, STYLES, STYLESHEET, joined
from sitegen.pages.environment import environment
from sitegen.pages.reading_tools import Reckoning
from sitegen.pages.render import render
from sitegen.pages.table import TableGiven, table_page
from sitegen.pages.words import ENGLISH
from tests.conftest import ROOT
from tests.pages.builders import SITE

COLUMNS = (
    "cadr_m3h",
    "rank",
    "clearance_min",
    "sound_dba",
    "power_w",
    "cadr_per_w",
    "filter_class",
    "price",
    "running_cost_year",
    "ownership_cost",
)
CLASSES = {"mat-a": "M9", "mat-b": "M13", "mat-c": "H13"}


def large_table(folder: Path, devices: int, seed: int = 1) -> str:
    """Write the page of a table with five rows a device, and what it needs.

    Args:
        folder: where to.
        devices: how many devices there are.
        seed: of the numbers.

    Returns:
        The page's path below the folder.
    """
    rng = random.Random(seed)  # noqa: S311 - numbers to try, no secret
    rows = [
        row_of(rng, f"device-{at:04d}", f"s{speed}", 5 * devices)
        for at in range(devices)
        for speed in range(5)
    ]
    names = {
        f"device-{at:04d}": labels_of(f"device-{at:04d}", at) for at in range(devices)
    }
    table = Table.model_validate({"id": "many", "title": "Many", "columns": COLUMNS})
    reckoning = Reckoning(
        costs=tuple(cost_of(rng, row) for row in rows),
        assumptions=ASSUMED,
        classes=CLASSES,
    )
    given = TableGiven(table=table, rows=tuple(rows), names=names, reckoning=reckoning)
    page = table_page(SITE, ENGLISH, given)

    def read(name: str) -> str | None:
        path = ROOT / "layouts" / name
        return path.read_text(encoding="utf-8") if path.exists() else None

    write(folder / page.address.file, render(environment(read), SITE, page, ENGLISH))
    for name in SCRIPTS:
        scripts = [
            (ROOT / "assets" / "js" / part).read_bytes()
            for part in JOINED.get(name, (name,))
        ]
        write(folder / addresses.asset(name).file, joined(scripts, b";\n"))
    parts = [(ROOT / "assets" / "css" / name).read_bytes() for name in STYLES]
    write(folder / addresses.asset(STYLESHEET).file, joined(parts))
    return page.address.file


ASSUMED = Assumptions.model_validate(
    {
        "tariff": {"per_kwh": 0.3, "date": "2026-01-01", "source": "made up"},
        "hours_per_day": 10,
        "ceiling_m": 2.4,
        "quiet_cap_dba": 38,
        "years": 5,
        "target_ach_per_h": 5,
        "discount_pct": 0,
    }
)


def labels_of(device: str, at: int) -> Labels:
    """Return the names of a made-up device."""
    return Labels(
        id=device,
        name=f"Device {at}",
        maker=f"Maker {at % 40}",
        form=("portable", "kit", "wall")[at % 3],
        speeds=tuple((f"s{n}", f"speed {n}") for n in range(5)),
        filters=tuple((name, f"Mat {name[-1]}") for name in CLASSES),
        held=False,
        withdrawn=False,
    )


def row_of(rng: random.Random, device: str, speed: str, of: int) -> ResultRow:
    """Return a made-up result; some have no sound, some no rank."""
    cadr = rng.uniform(20, 900)
    sound = rng.uniform(22, 62) if rng.random() > 0.1 else None
    place = rng.randrange(1, of)
    return ResultRow(
        device=device,
        filter=rng.choice(sorted(CLASSES)),
        speed=speed,
        method="decay-v2",
        fraction="pm2_5",
        runs=3,
        run_ids=("a", "b", "c"),
        validity="rated",
        flags=(),
        cadr_m3h=cadr,
        cadr_low=cadr * 0.94,
        cadr_high=cadr * 1.06,
        clearance_min=4000 / cadr,
        clearance_low=3800 / cadr,
        clearance_high=4300 / cadr,
        clearance_basis="observed",
        sound_dba=sound,
        sound_low=None if sound is None else sound - 1,
        sound_high=None if sound is None else sound + 1,
        power_w=cadr / 5,
        cadr_per_w=5.0,
        running_cost_year=cadr / 3,
        ownership_cost=cadr * 2,
        currency="EUR",
        rank_low=place,
        rank_high=min(place + 3, of),
        ranked_of=of,
        address=f"devices/{device}/",
    )


def cost_of(rng: random.Random, row: ResultRow) -> CostView:
    """Return what a made-up device costs; one in ten has no known price."""
    price = round(rng.uniform(60, 900), 2) if rng.random() > 0.1 else None
    return CostView(
        configuration=row.configuration,
        power_w=row.power_w,
        standby=None,
        energy_kwh_year=None,
        energy_cost_year=None,
        filters=(),
        filter_cost_year=None,
        running_cost_year=row.running_cost_year,
        price=price,
        price_parts=(),
        ownership_cost=row.ownership_cost,
        per_1000_m3=None,
        years=5,
        missing=(),
    )


def write(path: Path, data: bytes) -> None:
    """Write a file and its folders."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
