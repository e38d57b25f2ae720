"""The records of a generated archive, as text."""

from __future__ import annotations

import datetime as dt

import numpy as np

SPEEDS = ("low", "mid", "high")

SETTINGS = """\
name: Bench of the generated
address: https://example.org/generated/
language: en
units: metric
currency: EUR
simulated: yes
publisher: {name: Nobody (invented), contact: "mailto:nobody@example.org"}
licence: {name: CC BY 4.0, url: "https://example.com/licence"}
assumptions:
  tariff: {per_kwh: 0.3, date: 2020-01-01, source: invented}
  hours_per_day: 10
  ceiling_m: 2.4
  quiet_cap_dba: 38
  years: 5
  target_ach_per_h: 5
  discount_pct: 0
funding: Nobody pays anybody; all of this is generated.
disclosure: No link earns anything.
navigation: [devices, tables, c, methods, changes, about]
primary_fraction: pm2_5
"""

SHELF = {
    "texts/about.md": "# About\n\nAll of this is generated, to measure the tool.\n",
    "records/rooms/room.yaml": (
        "name: The room\nvolume_m3: {value: 31.4, uncertainty: 0.45}\n"
        "floor_area_m2: 12.9\nheight_m: 2.44\nmixing: A small fan, off for the fit.\n"
    ),
    "records/instruments/meter.yaml": (
        "name: Sound meter\nkind: sound\nmodel: invented\nuncertainty_db: 0.7\n"
    ),
    "records/instruments/plug.yaml": (
        "name: Power meter\nkind: power\nmodel: invented\nresolution_w: 0.1\n"
    ),
    "records/tables/everything.yaml": (
        "title: Everything\n"
        "columns: [cadr_m3h, clearance_min, sound_dba, power_w, running_cost_year]\n"
        "order: -cadr_m3h\n"
    ),
    "records/tables/strong.yaml": (
        "title: Strong\ncolumns: [cadr_m3h, sound_dba]\n"
        "where: [{field: cadr_m3h, at_least: 350}]\norder: -cadr_m3h\n"
    ),
    "records/tables/quiet.yaml": (
        "title: Quiet\ncolumns: [cadr_m3h, sound_dba, power_w]\n"
        "where: [{field: sound_dba, at_most: 36}]\norder: sound_dba\n"
    ),
    "records/comparisons/strongest.yaml": (
        "title: The strongest\nquestion: Which give the most?\n"
        "where: [{field: cadr_m3h, at_least: 400}]\nfigure: ranked\ny: cadr_m3h\n"
    ),
    "records/comparisons/air-and-noise.yaml": (
        "title: Air and noise\nquestion: What is quiet and strong?\n"
        "where: [{field: cadr_m3h, at_least: 380}]\n"
        "figure: scatter\nx: sound_dba\ny: cadr_m3h\n"
    ),
}

_SYLLABLES = ("bru", "fel", "gor", "lim", "mar", "nop", "quel", "sto", "tav", "wix")


def name_of(number: int) -> str:
    """Return an invented name."""
    text = "".join(_SYLLABLES[int(digit)] for digit in f"{number % 1000:03d}")
    return text.capitalize()


def instrument_text(name: str) -> str:
    """Return a counter."""
    return (
        f"name: {name}\nkind: particle\nmodel: invented\nfractions:\n  pm2_5:\n"
        "    unit: ug/m3\n    resolution: 1\n    range: 1000\n"
        "    zero_offset: {value: 0.5, uncertainty: 0.5}\n    noise: 0.5\n"
        "    saturation: 22000\n    response_s: 8\n"
    )


def method_texts(instruments: tuple[str, ...]) -> dict[str, str]:
    """Return the methods, by id."""
    return {
        "decay": (
            "kind: decay\nname: Decay of salt\nversion: '1'\nsince: 2020-01-01\n"
            "room: room\naerosol: table salt\naerosol_kind: salt\n"
            f"instruments: [{', '.join(instruments)}]\nprimary_fraction: pm2_5\n"
            "sampling_s: 20\nstart_range: {low: 100, high: 600}\n"
            "clearance_target: 0.1\nmixing_wait_min: 3\nmixing_efold_s: 60\n"
            "natural_valid_days: 15\nlongest_min: 120\nnatural_min: 60\n"
            "repeatability: {cv: 0.03, degrees_of_freedom: 20, adopted: 2020-06-01}\n"
            "text: Salt, three minutes; then the device.\n"
        ),
        "sound": (
            "kind: sound\nname: Sound\nversion: '1'\nsince: 2020-01-01\n"
            "instrument: meter\ndistance_m: 1.5\nposition: four sides\n"
            "weighting: A\nduration_s: 30\ntext: Four sides.\n"
        ),
        "power": (
            "kind: power\nname: Power\nversion: '1'\nsince: 2020-01-01\n"
            "instrument: plug\nduration_min: 10\nvoltage_v: 230\ntext: At the plug.\n"
        ),
    }


def filter_text(number: int) -> str:
    """Return a filter."""
    return (
        f"name: Filter {name_of(number)}\nmaker: {name_of(number // 7)} works\n"
        "stated_class: H13\nstandard: EN 1822-1\n"
        f"price: {{amount: {20 + number % 30}.00, currency: EUR, date: 2020-01-01}}\n"
        "lifetime: {months: 9, basis: stated}\n"
    )


def device_text(number: int, filter_id: str, day: dt.date, photo: str) -> str:
    """Return a device, with a photograph if one is named."""
    photos = (
        f"photos: [{{file: {photo}, alt: A box, credit: Generated}}]\n" if photo else ""
    )
    price = f"amount: {60 + number % 300}.00, currency: EUR, date: {day}"
    return (
        f"name: {name_of(number)} {number}\nmaker: {name_of(number // 7)} works\n"
        f"form: {'kit' if number % 5 == 0 else 'portable'}\nspeeds:\n"
        "  - {id: low, label: 1}\n  - {id: mid, label: 2}\n  - {id: high, label: 3}\n"
        f"filters: [{{id: {filter_id}, included: yes}}]\n"
        "size: {width_mm: 300, height_mm: 400, depth_mm: 300}\nmass_kg: 5\n"
        "specimens:\n  - id: a\n"
        f"    acquired: {{how: bought, by: A shop, date: {day}}}\n"
        f"prices:\n  - {{{price}, kind: list, source: A shop}}\n"
        "claims:\n  - {quantity: cadr, value: 300, unit: m3/h, speed: high, "
        f"source: carton, seen: {day}}}\n{photos}"
        f"verdict:\n  standing: for-some\n  as_of: {day}\n  text: It does its work.\n"
    )


def comparison_text(number: int, names: list[str]) -> str:
    """Return a comparison of chosen configurations."""
    listed = "".join(f"  - {name}\n" for name in names)
    return (
        f"title: Four at once {number}\nquestion: Which of them?\n"
        f"configurations:\n{listed}figure: decay\n"
    )


def run_text(
    kind: str,
    name: str,
    of: tuple[str, str, str] | None,
    day: dt.date,
    at: int,
    level: float,
    rng: np.random.Generator,
) -> str:
    """Return a run.

    Args:
        kind: kind of run.
        name: its id, and that of its series.
        of: device, filter and speed; None for a natural decay.
        day: when.
        at: number of the run on that day; they begin 40 minutes apart.
        level: mean of the readings, dB(A) or W, for a sound or power run.
        rng: random generator.
    """
    minutes = 8 * 60 + 40 * (at % 22)
    started = f"{day}T{minutes // 60:02d}:{minutes % 60:02d}:00+00:00"
    lines = [f"kind: {kind}"]
    if of is not None:
        device, filter_id, speed = of
        lines += [f"device: {device}", "specimen: a", f"filter: {filter_id}"]
        lines += [f"speed: {speed}"]
    method = "decay" if kind == "natural-decay" else kind
    lines += [f"method: {method}", f"started: {started}"]
    readings = [f"{level * (1 + 0.01 * x):.1f}" for x in rng.standard_normal(4)]
    if kind == "sound":
        lines += [f"readings_dba: [{', '.join(readings)}]"]
        lines += ["background_dba: [22.0, 22.3]"]
    elif kind == "power":
        lines += [f"readings_w: [{', '.join(readings[:3])}]", "standby_w: [0.4]"]
    else:
        lines += [f"series: {name}", "events:"]
        lines += [
            "  - {at_min: 4, what: injected}",
            "  - {at_min: 8, what: mixing_off}",
        ]
        if kind == "decay":
            lines += ["  - {at_min: 9, what: device_on}"]
    lines += ["conditions: {temperature_c: 20.5, humidity_pct: 45}", "status: accepted"]
    return "\n".join(lines) + "\n"
