"""A compare page with as many configurations as asked for, from the demonstration's."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from sitegen.archive_build import ask_archive, published_folders, shipped_folder
from sitegen.findings.select import ordered
from sitegen.findings.views import CostView, Labels, ResultRow
from sitegen.pages.compare import CompareGiven, compare_page
from sitegen.pages.environment import environment
from sitegen.pages.reading_tools import Reckoning
from sitegen.pages.render import render


def write_compare_page(archive: Path, out: Path, count: int) -> None:
    """Write the compare page of a compiled site anew, with so many results.

    The results are the archive's own, told apart by a number in each device's id.

    Args:
        archive: the archive; its state must be up to date.
        out: its compiled site.
        count: how many results.
    """
    folders = published_folders(archive, out)
    site, words, basis, families, devices = ask_archive(
        folders,
        [("site",), ("words",), ("cost_basis",), ("families",), ("shown", "device")],
        show_held=False,
        workers=1,
    )
    asked = [("current_rows", name) for name in devices]
    asked += [("labels", name) for name in devices]
    asked += [("costs", name) for name in devices]
    found = ask_archive(folders, asked, show_held=False, workers=1)
    each = len(devices)
    rows = [row for part in found[:each] for row in part]
    labels = dict(zip(devices, found[each : 2 * each], strict=True))
    costs = [view for part in found[2 * each :] for view in part]
    copies = -(-count // len(rows))
    many = [_row(row, at) for at in range(copies) for row in rows][:count]
    given = CompareGiven(
        rows=ordered(many, "-cadr_m3h"),
        names={
            _named(name, at): _labels(label, at)
            for at in range(copies)
            for name, label in labels.items()
        },
        reckoning=Reckoning(
            costs=tuple(_cost(cost, at) for at in range(copies) for cost in costs),
            assumptions=basis.assumptions,
            families=dict(families),
        ),
    )
    page = compare_page(site, words, given)
    folder = shipped_folder("layouts")
    made = environment(lambda name: (folder / name).read_text(encoding="utf-8"))
    data = render(made, site, page, words, _published(out))
    (out / page.address.file).write_bytes(data)


def _published(out: Path) -> Callable[[str], str]:
    def name_of(name: str) -> str:
        stem, _, ending = name.rpartition(".")
        (found,) = (out / "assets").glob(f"{stem}.??????????.{ending}")
        return found.name

    return name_of


def _named(device: str, at: int) -> str:
    return f"{device}-{at}"


def _row(row: ResultRow, at: int) -> ResultRow:
    factor = 1 + at / 1000
    cadr = None if row.cadr_m3h is None else row.cadr_m3h * factor
    return replace(row, device=_named(row.device, at), cadr_m3h=cadr)


def _labels(labels: Labels, at: int) -> Labels:
    name = _named(labels.id, at)
    return replace(labels, id=name, name=f"{labels.name} {at}")


def _cost(cost: CostView, at: int) -> CostView:
    device, rest = cost.configuration.split(".", 1)
    return replace(cost, configuration=f"{_named(device, at)}.{rest}")
