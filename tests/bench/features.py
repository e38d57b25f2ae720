"""A small archive as a function of a few choices, so that any of them can be changed.

Each feature of the archive has options; the files follow from the options chosen. So
a history of edits is a walk through combinations, every one of which is known, and a
file that only moves is renamed rather than written anew.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory

from PIL import Image

from sitegen.desk.start import Beginning, start_archive

Files = dict[str, bytes]

DEVICE = "records/devices/example-cleaner.yaml"
HIGH = "records/runs/example-cleaner-high-1.yaml"
LOW = "records/runs/example-cleaner-low-1.yaml"
SERIES = "series/example-cleaner-high-1.csv"
SETTINGS = "archive.yaml"
ROOM = "records/rooms/test-room.yaml"
CHANGE = "records/changes/2026-03-01-note.yaml"
ADDRESSES = "records/addresses.yaml"

FEATURES: Mapping[str, tuple[str, ...]] = {
    "remark in the device file": ("", "# so", "# and so"),
    "device note": ("", "Rattles a little.", "Loud, see [it](run:natural-2026-01-12)."),
    "device name": ("Example cleaner", "Other cleaner"),
    "device id": ("example-cleaner", "renamed-cleaner"),
    "device folder": ("", "shelf/"),
    "device withdrawn": ("", "No longer sold."),
    "run note": ("", "The cat was out."),
    "run status": ("accepted", "rejected"),
    "run held": ("no", "yes"),
    "run folder": ("", "2026/", "2026/spring/"),
    "readings": ("all", "one lost", "ten lost", "a remark among them"),
    "low speed": ("there", "not there"),
    "second device": ("none", "bare", "with runs"),
    "archive name": ("Bench", "Workshop"),
    "units": ("metric", "us"),
    "per_kwh": ("0.30", "0.41"),
    "hours_per_day": ("12", "7"),
    "room volume": ("30", "31.5"),
    "text": ("none", "plain", "linked", "as another file"),
    "glossary": ("shipped", "longer"),
    "change": ("none", "filed", "filed in a folder"),
    "address": ("none", "gone"),
    "own list of changes": ("none", "plain", "with a part", "with another part"),
    "own frame": ("none", "a", "b"),
    "own style": ("none", "a", "b"),
    "own script": ("none", "a"),
    "photograph": ("none", "red", "blue", "renamed"),
    "fault": (
        "none",
        "unknown field",
        "broken YAML",
        "garbage in a series",
        "unknown run",
        "photograph broken",
        "layout broken",
        "layout in Latin-1",
        "layout lacks a part",
        "layout asks too much",
    ),
}
"""Every feature with its options, the first being how an archive begins."""

LATE_FAULTS = frozenset(FEATURES["fault"][6:])
"""Faults that show only when something is made: they hold back what rests on it."""


def beginning() -> dict[str, str]:
    """Return the options with which an archive begins."""
    return {name: options[0] for name, options in FEATURES.items()}


@cache
def _shipped() -> Mapping[str, bytes]:
    """Return the files that ``start`` writes."""
    with TemporaryDirectory() as folder:
        archive = Path(folder) / "archive"
        start_archive(
            archive, Beginning("Bench", "https://example.org/b/", "EUR", "metric")
        )
        return {
            path.relative_to(archive).as_posix(): path.read_bytes()
            for path in archive.rglob("*")
            if path.is_file() and path.name[0] != "."
        }


@cache
def _frame() -> bytes:
    layouts = Path(__file__).resolve().parents[2] / "layouts"
    return (layouts / "page.html").read_bytes()


@cache
def _picture(colour: str) -> bytes:
    stream = BytesIO()
    Image.new("RGB", (24, 16), colour).save(stream, "PNG")
    return stream.getvalue()


def files_of(chosen: Mapping[str, str]) -> Files:
    """Return every file of the archive that these options make."""
    files = dict(_shipped())
    _settings(files, chosen)
    _device(files, chosen)
    _runs(files, chosen)
    _texts(files, chosen)
    _own(files, chosen)
    _photograph(files, chosen)
    _second(files, chosen)
    _fault(files, chosen)
    return _placed(files, chosen)


def _swap(files: Files, path: str, old: str, new: str) -> None:
    assert old.encode() in files[path], (path, old)
    files[path] = files[path].replace(old.encode(), new.encode())


def _add(files: Files, path: str, text: str) -> None:
    files[path] = files.get(path, b"") + text.encode()


def _settings(files: Files, chosen: Mapping[str, str]) -> None:
    _swap(files, SETTINGS, 'name: "Bench"', f"name: {chosen['archive name']}")
    _swap(files, SETTINGS, 'units: "metric"', f"units: {chosen['units']}")
    _swap(files, SETTINGS, "per_kwh: 0.30", f"per_kwh: {chosen['per_kwh']}")
    hours = chosen["hours_per_day"]
    _swap(files, SETTINGS, "hours_per_day: 12", f"hours_per_day: {hours}")
    _swap(files, ROOM, "value: 30,", f"value: {chosen['room volume']},")


def _device(files: Files, chosen: Mapping[str, str]) -> None:
    _swap(files, DEVICE, "name: Example cleaner", f"name: {chosen['device name']}")
    if chosen["remark in the device file"]:
        _add(files, DEVICE, f"\n{chosen['remark in the device file']}\n")
    if chosen["device note"]:
        _add(files, DEVICE, f"note: {chosen['device note']}\n")
    if chosen["device withdrawn"]:
        reason = chosen["device withdrawn"]
        _add(files, DEVICE, f"withdrawn: {{date: 2026-03-03, reason: {reason}}}\n")


def _runs(files: Files, chosen: Mapping[str, str]) -> None:
    if chosen["run note"]:
        _add(files, HIGH, f"note: {chosen['run note']}\n")
    if chosen["run status"] == "rejected":
        _add(
            files,
            HIGH,
            "status: rejected\ndecision: {by: The tester, on: 2026-02-01,"
            " cause: door_opened, text: The door stood open.}\n",
        )
    _add(files, HIGH, f"held: {chosen['run held']}\n")
    lines = files[SERIES].splitlines(keepends=True)
    match chosen["readings"]:
        case "one lost":
            del lines[45]
        case "ten lost":
            del lines[50:60]
        case "a remark among them":
            lines.append(b"# nothing more\n")
    files[SERIES] = b"".join(lines)
    if chosen["low speed"] == "not there":
        del files[LOW]
        del files["series/example-cleaner-low-1.csv"]
        _swap(
            files,
            "records/comparisons/two-speeds.yaml",
            "  - example-cleaner.example-filter.low\n",
            "",
        )


def _texts(files: Files, chosen: Mapping[str, str]) -> None:
    words = "# Visit us\n\nOn Mondays.\n"
    match chosen["text"]:
        case "plain":
            files["texts/visit.md"] = words.encode()
        case "linked":
            linked = f"{words}\nSee [it](device:example-cleaner).\n"
            files["texts/visit.md"] = linked.encode()
        case "as another file":
            files["texts/guests.md"] = words.encode()
    if chosen["glossary"] == "longer":
        _add(files, "texts/glossary.md", "\nMore words.\n")
    change = (
        "date: 2026-03-01\nkind: addition\naffects: [device:example-cleaner]\n"
        "text: Something was added.\n"
    )
    match chosen["change"]:
        case "filed":
            files[CHANGE] = change.encode()
        case "filed in a folder":
            files[CHANGE.replace("changes/", "changes/2026/")] = change.encode()
    left = []
    if chosen["address"] == "gone":
        left.append("{kind: run, id: lost, gone: The log was lost., date: 2026-03-02}")
    if chosen["device id"] != "example-cleaner":
        # Written with a mark that the renaming of everything else passes over.
        left.append(
            "{kind: device, id: example-@, moved_to: example-cleaner, date: 2026-03-02}"
        )
    if left:
        entries = "".join(f"  - {entry}\n" for entry in left)
        files[ADDRESSES] = f"addresses:\n{entries}".encode()


def _own(files: Files, chosen: Mapping[str, str]) -> None:
    own = "own/layouts/"
    begin = '{% extends "page.html" %}{% block main %}<h1>Log</h1>'
    end = "{% endblock %}"
    if chosen["own list of changes"] == "plain":
        files[f"{own}changes.html"] = f"{begin}{end}".encode()
    elif chosen["own list of changes"] != "none":
        nested = '{% include "parts/mine.html" %}'
        files[f"{own}changes.html"] = f"{begin}{nested}{end}".encode()
        files[f"{own}parts/mine.html"] = f"<p>{chosen['own list of changes']}".encode()
    if chosen["own frame"] != "none":
        mark = f"<!-- {chosen['own frame']} --></body>".encode()
        files[f"{own}page.html"] = _frame().replace(b"</body>", mark)
    if chosen["own style"] != "none":
        style = f"body {{ margin: 0; --mine: {chosen['own style']} }}\n"
        files["own/assets/css/base.css"] = style.encode()
    if chosen["own script"] != "none":
        files["own/assets/js/copy.js"] = b"/* nothing */\n"


def _photograph(files: Files, chosen: Mapping[str, str]) -> None:
    option = chosen["photograph"]
    if option == "none":
        return
    name = "view.png" if option == "renamed" else "front.png"
    files[f"photos/{name}"] = _picture("blue" if option == "blue" else "red")
    _add(files, DEVICE, f"photos:\n  - {{file: {name}, alt: A box, credit: Me}}\n")


def _second(files: Files, chosen: Mapping[str, str]) -> None:
    if chosen["second device"] == "none":
        return
    wanted = {DEVICE}
    if chosen["second device"] == "with runs":
        wanted |= {HIGH, SERIES, LOW, LOW.replace("records/runs", "series")}
        wanted.add("series/example-cleaner-low-1.csv")
    for path in wanted & files.keys():
        data = files[path].replace(b"example-cleaner", b"second-cleaner")
        files[path.replace("example-cleaner", "second-cleaner")] = data


_BROKEN_LAYOUTS: Mapping[str, bytes] = {
    "layout broken": b"{% if %}",
    "layout in Latin-1": b"<p>\xe9",
    "layout lacks a part": b'{% include "parts/no.html" %}',
    "layout asks too much": b"{{ ctx.nothing.at.all }}",
}


def _fault(files: Files, chosen: Mapping[str, str]) -> None:
    option = chosen["fault"]
    if option in _BROKEN_LAYOUTS:
        files["own/layouts/methods.html"] = _BROKEN_LAYOUTS[option]
    match option:
        case "unknown field":
            _add(files, DEVICE, "nmae: x\n")
        case "broken YAML":
            _add(files, HIGH, "status: {[\n")
        case "garbage in a series":
            _add(files, SERIES, "garbage,and,more\n")
        case "unknown run":
            _add(files, "texts/glossary.md", "\n[It](run:nowhere).\n")
        case "photograph broken":
            files["photos/broken.png"] = b"\x89PNG\r\n"
            if chosen["photograph"] == "none":
                _add(files, DEVICE, "photos:\n")
            _add(files, DEVICE, "  - {file: broken.png, alt: A box, credit: Me}\n")


def _placed(files: Files, chosen: Mapping[str, str]) -> Files:
    """Return the files under the device's id and in the folders chosen."""
    folders = {
        DEVICE: chosen["device folder"],
        HIGH: chosen["run folder"],
    }
    placed = {}
    new = chosen["device id"]
    for path, data in files.items():
        head, _, name = path.rpartition("/")
        to = f"{head}/{folders.get(path, '')}{name}" if head else name
        if not path.startswith(("photos/", "own/")):
            data = data.replace(b"example-cleaner", new.encode())  # noqa: PLW2901
            data = data.replace(b"example-@", b"example-cleaner")  # noqa: PLW2901
        placed[to.replace("example-cleaner", new)] = data
    return placed
