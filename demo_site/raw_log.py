"""Writes raw/: what Counter B's card would hold after one run, to try intake with.

The run is simulated like all others and is none of the archive's. Run this script to
write the log again, byte for byte, with the same numpy.
"""

from __future__ import annotations

import csv
import datetime as dt
from pathlib import Path

from simulate import load, series_of

HERE = Path(__file__).resolve().parent
NAME = "counter-b-2026-09-16.csv"
AT = dt.datetime(2026, 9, 16, 9, 12, tzinfo=dt.UTC)
RUN = {
    "kind": "decay",
    "at": AT,
    "of": "murrantine-cairn.cairn-ring.mid",
    "unit": "a",
    "hours": 31,
    "method": "decay-v2",
}
COLUMNS = ("bench-b.pm1", "bench-b.pm2_5", "bench-b.pm10")
# Rows that the card did not take whole.
NOT_TAKEN = 40


def log_text() -> str:
    """Return the text of the log: decimal commas, semicolons, a last row cut short."""
    world = load()
    world.runs["raw-log"] = RUN
    text, _ = series_of(world, "raw-log")
    rows = csv.DictReader(line for line in text.splitlines() if line[0] != "#")
    lines = [
        "Counter logger 2.1; simulated, not measured",
        "Card B; clock on GMT all year",
        "Date;Clock;PM 1,0;PM 2,5;PM 10;Supply",
    ]
    for at, row in enumerate(rows):
        moment = AT + dt.timedelta(seconds=float(row["elapsed_s"]))
        cells = [row[name].replace(".", ",") or "---" for name in COLUMNS]
        if at == NOT_TAKEN:
            cells = ["---"] * len(COLUMNS)
        lines.append(f"{moment:%d.%m.%Y;%H:%M:%S};{';'.join(cells)};5,0")
    lines[-1] = lines[-1][:20]
    return "\n".join(lines)


def main() -> None:
    """Write the log."""
    path = HERE / "raw" / NAME
    path.parent.mkdir(exist_ok=True)
    path.write_text(log_text(), encoding="utf-8", newline="\n")
    print(path)


if __name__ == "__main__":
    main()
