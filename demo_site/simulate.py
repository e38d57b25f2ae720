"""Make the demo's series and run records from an invented truth.

Everything in this archive is simulated. ``truth.yaml`` holds what is true in the
simulated world, ``plan.yaml`` what the invented bench did and when. This script draws
from them what the invented instruments would have logged:

    python demo_site/simulate.py            write series/ and records/runs/ anew
    python demo_site/simulate.py RUN ...    only the runs named

The physics is in ``physics.py``. Each run has a random generator of its own, seeded
from its id, so that adding a run changes no other and the same numpy always writes the
same bytes. The archive compiles without this script.
"""

from __future__ import annotations

import datetime as dt
import math
import sys
import textwrap
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import yaml
from physics import (
    GRID_S,
    Array,
    Course,
    bulk,
    fluctuation,
    generator,
    logged,
    mixing,
    spoil,
)

HERE = Path(__file__).parent

# Wait before the fit may start (min), usual sampling (s) and instruments, by method.
RULES: dict[str, tuple[float, float, tuple[str, ...]]] = {
    "decay-v1": (4.0, 30.0, ("bench-a", "bench-b")),
    "decay-v2": (3.0, 20.0, ("bench-a", "bench-b", "glass")),
    "decay-v2-fast": (1.5, 10.0, ("bench-a", "bench-b", "glass")),
}
THREE_FRACTIONS_SINCE = dt.date(2026, 1, 1)


@dataclass(slots=True)
class World:
    """The truth, the plan, and the remarks on single runs."""

    truth: dict[str, Any]
    runs: dict[str, dict[str, Any]]
    remarks: dict[str, dict[str, Any]] = field(default_factory=dict)


def load(folder: Path = HERE) -> World:
    """Return the simulated world that a folder describes."""
    truth = yaml.safe_load((folder / "truth.yaml").read_text(encoding="utf-8"))
    plan = yaml.safe_load((folder / "plan.yaml").read_text(encoding="utf-8"))
    return World(truth, plan["runs"], plan.get("remarks") or {})


def configuration(world: World, text: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return the truth of a device and of one of its configurations."""
    device_id, filter_id, speed = text.split(".")
    device = world.truth["devices"][device_id]
    return device, device["filters"][filter_id][speed]


def course_of(
    run: dict[str, Any], remark: dict[str, Any], total_per_h: float
) -> Course:
    """Return the course of a run, as the bench's rules lay it down.

    Args:
        run: the run's line in the plan.
        remark: what the plan remarks on it.
        total_per_h: expected decay rate with the device on, 1/h.
    """
    wait, usual_s, _ = RULES[run["method"]]
    incident = remark.get("incident", {})
    on = None if run["kind"] == "natural-decay" else 9.0
    if on is None:
        fitted = float(remark.get("fitted_min", 62.0))
    else:
        fitted = min(60 * math.log(10) / total_per_h * 1.12 + 1.5, 122.0)
        fitted = float(remark.get("fitted_min", fitted))
    end = (
        math.ceil(((on or 8.0) + wait + fitted + incident.get("late_min", 0)) / 2) * 2.0
    )
    step_s = usual_s if end <= 45 else max(usual_s, 30.0) if end <= 78 else 60.0
    step_s = float(remark.get("step_s", step_s))
    return Course(4.0, 8.0, on, incident.get("off_at_min"), end, step_s)


def true_rates(
    world: World, run: dict[str, Any], remark: dict[str, Any], rng: np.random.Generator
) -> dict[str, tuple[float, float]]:
    """Return natural decay and CADR over volume of this very run, by fraction, 1/h."""
    truth = world.truth
    rule = truth["natural_by_method"][run["method"]]
    natural = rule["factor"] * math.exp(rule["scatter"] * rng.standard_normal())
    scatter = rng.standard_normal()
    cadr, factors = 0.0, {}
    if run["kind"] == "decay":
        text = remark.get("incident", {}).get("really", run["of"])
        device, settings = configuration(world, text)
        cadr = settings["cadr_m3h"] * device["specimens"][run["unit"]]
        cadr *= math.exp(device["run_cv"] * scatter)
        factors = device["filters"][text.split(".")[1]]["factors"]
    return {
        name: (
            values["natural_per_h"] * natural,
            cadr * factors.get(name, 1.0) / truth["room"]["volume_m3"],
        )
        for name, values in truth["aerosol"].items()
    }


def series_of(world: World, run_id: str) -> tuple[str, Course]:
    """Return the text of a run's series file, and the run's course."""
    run, remark = world.runs[run_id], world.remarks.get(run_id, {})
    truth, incident, rng = world.truth, remark.get("incident", {}), generator(run_id)
    rates = true_rates(world, run, remark, rng)
    expected = truth["aerosol"]["pm2_5"]["natural_per_h"]
    if run["kind"] == "decay":
        _, settings = configuration(world, run["of"])
        expected += settings["cadr_m3h"] / truth["room"]["volume_m3"]
    course = course_of(run, remark, expected)
    grid_min = np.arange(0, course.end * 60 + GRID_S / 2, GRID_S) / 60
    shared = truth["disturbance"]
    room = fluctuation(rng, len(grid_min), **_spread(shared["room"]))
    peak = truth["start_ug_m3"] * math.exp(truth["start_sd"] * rng.standard_normal())
    peak *= incident.get("start_factor", 1.0)
    every = round(course.step_s / GRID_S)
    time_min = grid_min[::every]
    columns: dict[str, Array] = {}
    for name in RULES[run["method"]][2]:
        sensor = dict(truth["instruments"][name])
        sensor["exponent"] = incident.get("exponent", {}).get(name, sensor["exponent"])
        local = fluctuation(rng, len(grid_min), **_spread(shared["local"]))
        uneven = mixing(rng, grid_min, course, shared["mixing"]) * np.exp(room)
        for fraction in fractions_of(run, name):
            share = truth["aerosol"][fraction]["share"]
            background = truth["room_background_ug_m3"] * share
            level = bulk(
                grid_min, course, rates[fraction], (background, peak * share), incident
            )
            values = logged(rng, level * uneven, local, sensor, every)
            spoil(name, values, time_min, incident)
            columns[f"{name}.{fraction}"] = values
    return table_text(run, remark, time_min, columns, truth["instruments"]), course


def _spread(values: dict[str, float]) -> dict[str, float]:
    return {"spread": values["sd"], "time_s": values["time_s"]}


def fractions_of(run: dict[str, Any], instrument: str) -> tuple[str, ...]:
    """Return the size fractions that an instrument logs in a run."""
    if instrument != "glass" and run["at"].date() >= THREE_FRACTIONS_SINCE:
        return ("pm1", "pm2_5", "pm10")
    return ("pm2_5",)


def table_text(
    run: dict[str, Any],
    remark: dict[str, Any],
    time_min: Array,
    columns: dict[str, Array],
    instruments: dict[str, dict[str, float]],
) -> str:
    """Return the text of a series file.

    Args:
        run: the run's line in the plan.
        remark: what the plan remarks on it; ``clock`` asks for times of day.
        time_min: elapsed time of the readings, minutes, shape (n,).
        columns: readings by column name, each shape (n,).
        instruments: the truth of the instruments, for the digits of a reading.
    """
    if remark.get("clock"):
        first = "time"
        times = [
            (run["at"] + dt.timedelta(seconds=round(at * 60))).isoformat()
            for at in time_min
        ]
    elif run["method"] == "decay-v1":
        first, times = "elapsed_min", [f"{at:.1f}" for at in time_min]
    else:
        first, times = "elapsed_s", [f"{at * 60:.0f}" for at in time_min]
    digits = {
        name: 0 if instruments[name.split(".")[0]]["step"] >= 1 else 1
        for name in columns
    }
    lines = [
        "# simulated: made by simulate.py, not measured",
        ",".join((first, *columns)),
    ]
    for at, moment in enumerate(times):
        cells = [
            "" if math.isnan(values[at]) else f"{values[at] + 0.0:.{digits[name]}f}"
            for name, values in columns.items()
        ]
        lines.append(",".join((moment, *cells)).replace(",-0,", ",0,"))
    return "\n".join(lines) + "\n"


def readings_of(world: World, run_id: str) -> dict[str, list[float]]:
    """Return the readings of a sound or power run, by field of its record."""
    run, rng, truth = world.runs[run_id], generator(run_id), world.truth
    device, settings = configuration(world, run["of"])
    incident = world.remarks.get(run_id, {}).get("incident", {})
    if run["kind"] == "sound":
        noise = truth["sound"]
        room = noise["background_dba"] + incident.get("louder_db", 0.0)
        room += noise["background_sd"] * rng.standard_normal()
        level = 10 * math.log10(10 ** (settings["sound_dba"] / 10) + 10 ** (room / 10))
        spread = noise["reading_sd"]
        return {
            "readings_dba": [
                round(level + spread * x, 1) for x in rng.standard_normal(4)
            ],
            "background_dba": [
                round(room + spread * x, 1) for x in rng.standard_normal(2)
            ],
        }
    spread, step = truth["power"]["reading_sd"], truth["power"]["step_w"]
    watts = settings["power_w"] * (1 + spread * rng.standard_normal(3))
    standby = device["standby_w"] + 0.03 * rng.standard_normal(2) * (
        device["standby_w"] > 0
    )
    found = {"readings_w": [round(round(float(x) / step) * step, 1) for x in watts]}
    if run.get("standby", True):
        found["standby_w"] = [round(abs(float(x)), 1) for x in standby]
    return found


def folded(name: str, text: str, indent: str = "") -> list[str]:
    """Return the lines of a folded YAML text field."""
    lines = [f"{indent}{name}: >"]
    for part in text.strip().split("\n"):
        lines += textwrap.wrap(
            part, 78, initial_indent=indent + "  ", subsequent_indent=indent + "  "
        )
    return lines


def conditions_lines(
    run_id: str, run: dict[str, Any], remark: dict[str, Any]
) -> list[str]:
    """Return the conditions of a run as lines of its record."""
    rng = generator(run_id + ":conditions")
    season = math.cos((run["at"].timetuple().tm_yday - 205) / 365 * 2 * math.pi)
    warmth = 19.6 + 2.4 * season + rng.normal(0, 0.7)
    humidity = 46 + 5 * season + rng.normal(0, 3.5)
    found = {
        "temperature_c": f"{warmth:.1f}",
        "temperature_change_k": f"{abs(rng.normal(0.5, 0.4)):.1f}",
        "humidity_pct": f"{humidity:.0f}",
    }
    found |= {key: str(value) for key, value in remark.get("conditions", {}).items()}
    return ["conditions:", *(f"  {key}: {value}" for key, value in found.items())]


def events_lines(course: Course, remark: dict[str, Any]) -> list[str]:
    """Return the events of a run as lines of its record, in order of time."""
    events: list[tuple[float, str, str]] = [
        (course.injected, "injected", ""),
        (course.mixing_off, "mixing_off", ""),
    ]
    if course.device_on is not None:
        events.append((course.device_on, "device_on", ""))
    events += [
        (float(item["at_min"]), item["what"], item.get("note", ""))
        for item in remark.get("events", ())
    ]
    lines = ["events:"]
    for at, what, note in sorted(events):
        tail = f", note: {note}" if note else ""
        lines.append(f"  - {{at_min: {at:g}, what: {what}{tail}}}")
    return lines


def decision_lines(remark: dict[str, Any]) -> list[str]:
    """Return status, decision, successor and note as lines of a record."""
    lines = [f"status: {remark.get('status', 'accepted')}"]
    if "superseded_by" in remark:
        lines.append(f"superseded_by: {remark['superseded_by']}")
    if "decision" in remark:
        decision = remark["decision"]
        lines += ["decision:", f"  by: {decision['by']}", f"  on: {decision['date']}"]
        lines += [f"  cause: {decision['cause']}"]
        lines += folded("text", decision["text"], "  ")
    if "note" in remark:
        lines += folded("note", remark["note"])
    return lines


def record_of(world: World, run_id: str, course: Course | None) -> str:
    """Return the text of a run's record."""
    run, remark = world.runs[run_id], world.remarks.get(run_id, {})
    lines = [
        "# simulated; written by simulate.py from plan.yaml",
        f"kind: {run['kind']}",
    ]
    if run["kind"] != "natural-decay":
        device, filter_id, speed = run["of"].split(".")
        lines += [
            f"device: {device}",
            f"specimen: {run['unit']}",
            f"filter: {filter_id}",
        ]
        if "hours" in run:
            lines.append(f"filter_hours: {run['hours']}")
        lines.append(f"speed: {speed}")
    lines += [f"method: {run['method']}", f"started: {run['at'].isoformat()}"]
    if course is None:
        for name, values in readings_of(world, run_id).items():
            lines.append(f"{name}: [{', '.join(f'{value:.1f}' for value in values)}]")
        if "tonal" in remark:
            lines.append(f"tonal: {remark['tonal']}")
    else:
        lines.append(f"series: {run_id}")
        if "natural" in remark:
            lines.append(f"natural: [{', '.join(remark['natural'])}]")
        if "airflow_m3h" in remark:
            lines.append(f"airflow_m3h: {remark['airflow_m3h']}")
        if "window_min" in remark:
            window = remark["window_min"]
            lines += [
                "window_min:",
                f"  start: {window['start']}",
                f"  end: {window['end']}",
            ]
            lines += folded("reason", window["reason"], "  ")
        lines += events_lines(course, remark)
    lines += conditions_lines(run_id, run, remark)
    lines += decision_lines(remark)
    return "\n".join(lines) + "\n"


def files_of(world: World, run_id: str) -> dict[str, str]:
    """Return the files of a run: path below the archive's folder to text."""
    run = world.runs[run_id]
    found: dict[str, str] = {}
    course = None
    if run["kind"] in {"decay", "natural-decay"}:
        found[f"series/{run_id}.csv"], course = series_of(world, run_id)
    record = f"records/runs/{run['at'].year}/{run['kind']}/{run_id}.yaml"
    found[record] = record_of(world, run_id, course)
    return found


def main(wanted: list[str]) -> None:
    """Write the files of the runs wanted, or of all."""
    world = load()
    for run_id in wanted or world.runs:
        for name, text in files_of(world, run_id).items():
            path = HERE / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8", newline="\n")
    print(f"{len(wanted or world.runs)} runs written")


if __name__ == "__main__":
    main(sys.argv[1:])
