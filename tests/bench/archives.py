"""Writes archives of any size: invented makers and devices, simulated numbers.

``python -m tests.bench.archives FOLDER --devices 100 --runs 3`` writes one. The same
shape and seed give the same bytes. Every record is valid, and there is some of all that
the tool reads: decay runs with the natural decays that fall within their method's days,
sound and power runs, filters that devices share, tables, comparisons of every figure,
videos, changes, prose and photographs.

Of every five runs of a device three are decays, one sound and one power, in the order
decay, decay, sound, decay, power; natural decays come on top, one for each 9 days of
testing. A device is tested in one day, so an archive grows by time, as real ones do.
"""

from __future__ import annotations

import argparse
import datetime as dt
import io
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tests.bench.archive_series import decay_course, natural_course, series_text
from tests.bench.archive_texts import (
    SETTINGS,
    SHELF,
    SPEEDS,
    comparison_text,
    device_text,
    filter_text,
    instrument_text,
    method_texts,
    name_of,
    run_text,
)

_FIRST_DAY = dt.date(2020, 1, 6)
_NATURAL_EVERY_DAYS = 9
_KINDS = ("decay", "decay", "sound", "decay", "power")
_DEVICES_A_FILTER = 2


@dataclass(frozen=True, slots=True)
class Shape:
    """How large an archive is.

    Attributes:
        devices: number of devices.
        runs: runs of each device, natural decays not counted.
        points: readings in a series, about.
        sensors: instruments that log each series, 1 to 3.
        images: photographs, one for each of the first devices.
        seed: another one gives other numbers.
    """

    devices: int = 100
    runs: int = 3
    points: int = 120
    sensors: int = 2
    images: int = 10
    seed: int = 1

    @property
    def instruments(self) -> tuple[str, ...]:
        """Ids of the instruments."""
        return tuple(f"counter-{letter}" for letter in "abc"[: self.sensors])


def write_archive(folder: Path, shape: Shape) -> int:
    """Write an archive into a folder; return the number of files."""
    number = 0
    for path, data in files_of(shape):
        target = folder / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(data if isinstance(data, bytes) else data.encode())
        number += 1
    return number


def files_of(shape: Shape) -> Iterator[tuple[str, str | bytes]]:
    """Yield path and content of every file of an archive."""
    yield "archive.yaml", SETTINGS
    yield from SHELF.items()
    for name in shape.instruments:
        yield f"records/instruments/{name}.yaml", instrument_text(name)
    for name, text in method_texts(shape.instruments).items():
        yield f"records/methods/{name}.yaml", text
    for at in range((shape.devices - 1) // _DEVICES_A_FILTER + 1):
        yield f"records/filters/{filter_id(at)}.yaml", filter_text(at)
    for at in range(shape.devices):
        yield from _device_files(shape, at)
    yield from _natural_files(shape)
    yield from _choices(shape)


def device_id(at: int) -> str:
    """Return the id of a device by its number."""
    return f"{name_of(at).lower()}-{at}"


def filter_id(at: int) -> str:
    """Return the id of a filter by its number."""
    return f"filter-{at}"


def run_id(device: int, at: int) -> str:
    """Return the id of a device's run, both by number."""
    return f"r{device:05d}-{at}"


def cadr_of(shape: Shape, device: int, speed: int) -> float:
    """Return the true CADR of a device at a speed (0 to 2), m³/h."""
    rng = np.random.default_rng([shape.seed, device])
    return float(rng.uniform(120, 420)) * (0.4, 0.7, 1.0)[speed]


def _day(device: int) -> dt.date:
    return _FIRST_DAY + dt.timedelta(days=device)


def _device_files(shape: Shape, at: int) -> Iterator[tuple[str, str | bytes]]:
    name = device_id(at)
    photo = f"{name}.jpg" if at < shape.images else ""
    yield (
        f"records/devices/{name}.yaml",
        device_text(at, filter_id(at // _DEVICES_A_FILTER), _day(at), photo),
    )
    if photo:
        yield f"photos/{photo}", picture(shape.seed, at)
    for number in range(shape.runs):
        yield from _run_files(shape, at, number)


def _run_files(shape: Shape, device: int, at: int) -> Iterator[tuple[str, str]]:
    """The first decays of a device are at the top speed, later ones at the others."""
    rng = np.random.default_rng([shape.seed, device, at])
    kind = _KINDS[at % len(_KINDS)]
    speed = 2 if at < 3 else (at // 3) % 3
    name = run_id(device, at)
    of = (device_id(device), filter_id(device // _DEVICES_A_FILTER), SPEEDS[speed])
    cadr = cadr_of(shape, device, speed)
    if kind == "decay":
        course = decay_course(cadr * float(np.exp(0.03 * rng.standard_normal())))
        text = series_text(rng, course, shape.points, shape.instruments)
        yield f"series/{name}.csv", text
    readings = cadr / 6 if kind == "power" else 24 + cadr / 14
    text = run_text(kind, name, of, _day(device), at, readings, rng)
    yield f"records/runs/{_day(device).year}/{name}.yaml", text


def _natural_files(shape: Shape) -> Iterator[tuple[str, str]]:
    for device in range(0, shape.devices, _NATURAL_EVERY_DAYS):
        rng = np.random.default_rng([shape.seed, device, 1_000_000])
        name, day = f"n{device:05d}", _day(device)
        course = natural_course(rng)
        yield (
            f"series/{name}.csv",
            series_text(rng, course, shape.points, shape.instruments),
        )
        text = run_text("natural-decay", name, None, day, 0, 0.0, rng)
        yield f"records/runs/{day.year}/{name}.yaml", text


def _choices(shape: Shape) -> Iterator[tuple[str, str]]:
    """Comparisons, videos and changes that name devices here and there."""
    filters = _DEVICES_A_FILTER
    for at, device in enumerate(range(0, shape.devices, 50)):
        several = range(device, min(device + 4, shape.devices))
        names = [
            f"{device_id(one)}.{filter_id(one // filters)}.high" for one in several
        ]
        yield f"records/comparisons/four-{at}.yaml", comparison_text(at, names)
        yield (
            f"records/videos/film-{at}.yaml",
            f"title: Film {at}\nurl: https://example.com/watch/{at}\n"
            f"date: {_day(device)}\ndevices: [{device_id(device)}]\n"
            f"comparisons: [four-{at}]\n",
        )
    for at, device in enumerate(range(0, shape.devices, 20)):
        yield (
            f"records/changes/{_day(device)}-change-{at}.yaml",
            f"date: {_day(device)}\nkind: addition\n"
            f"affects: ['device:{device_id(device)}']\ntext: Tested.\n",
        )


def picture(seed: int, at: int) -> bytes:
    """Return a photograph: a box on a ground, in colours of its own."""
    from PIL import Image, ImageDraw

    rng = np.random.default_rng([seed, at, 2_000_000])
    ground, box = (tuple(map(int, rng.integers(40, 220, 3))) for _ in range(2))
    image = Image.new("RGB", (800, 600), ground)
    ImageDraw.Draw(image).rectangle((250, 120, 550, 520), fill=box)
    data = io.BytesIO()
    image.save(data, "JPEG", quality=80)
    return data.getvalue()


def add_shape_options(parser: argparse.ArgumentParser) -> None:
    """Let a command take a shape."""
    usual = Shape()
    for name in ("devices", "runs", "points", "sensors", "images", "seed"):
        parser.add_argument(f"--{name}", type=int, default=getattr(usual, name))


def shape_of(options: argparse.Namespace) -> Shape:
    """Return the shape that the options describe."""
    return Shape(
        options.devices,
        options.runs,
        options.points,
        options.sensors,
        options.images,
        options.seed,
    )


def main() -> None:
    """Write an archive as the arguments ask."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    add_shape_options(parser)
    options = parser.parse_args()
    number = write_archive(options.folder, shape_of(options))
    sys.stdout.write(f"{number} files\n")


if __name__ == "__main__":
    main()
