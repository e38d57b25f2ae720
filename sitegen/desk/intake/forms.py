"""The form of a log: what the record says, what the tester states, what is guessed."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, get_origin

from pydantic import ValidationError

from sitegen.desk.intake.sniff import Guessed, sniff
from sitegen.errors import Fault, Place, UsageFault, fault_line
from sitegen.model import Instrument
from sitegen.model.bench import LogForm, LogTime

_PLAIN = re.compile(r"[A-Za-z][A-Za-z0-9_/-]*")
# Words that YAML readers of other programs take for something else than a text.
_TAKEN = frozenset({"yes", "no", "true", "false", "on", "off", "null", "y", "n"})


@dataclass(frozen=True, slots=True)
class KnownForm:
    """How a log reads, and on what that rests.

    Attributes:
        form: the form; nothing when there is a fault.
        guesses: the fields that were guessed, with their evidence.
        faults: what cannot be known, or is not taken.
    """

    form: LogForm | None
    guesses: tuple[Guessed, ...]
    faults: tuple[Fault, ...]


def stated_fields(options: Iterable[str]) -> dict[str, Any]:
    """Return the fields that options of the form ``FIELD=VALUE`` state.

    A field that is a list takes values parted by commas, or the option again.

    Raises:
        UsageFault: if a field does not exist.
    """
    found: dict[str, Any] = {}
    for option in options:
        field, mark, value = option.partition("=")
        head, _, rest = field.strip().partition(".")
        if not mark or not _exists(head, rest):
            raise UsageFault(fault_line(_refused(field, value)))
        value = value.strip()
        if not rest:
            old = found.get(head, [])
            found[head] = [*old, *_listed(value)] if _is_list(LogForm, head) else value
            continue
        inner = found.setdefault(head, {})
        is_list = head == "time" and _is_list(LogTime, rest)
        inner[rest] = [*inner.get(rest, []), *_listed(value)] if is_list else value
    return found


def _listed(value: str) -> list[str]:
    return [part.strip() for part in value.split(",")]


def _exists(head: str, rest: str) -> bool:
    if head == "time":
        return rest in LogTime.model_fields
    is_map = head in {"columns", "units", "caps"}
    return head in LogForm.model_fields and is_map == bool(rest)


def _is_list(model: type[LogForm] | type[LogTime], field: str) -> bool:
    return get_origin(model.model_fields[field].annotation) is tuple


def _refused(field: str, value: str) -> Fault:
    values = {"field": field, "value": value}
    return Fault("intake-form", Place("intake"), "--log", values)


def known_form(
    data: bytes, name: str, instrument: Instrument, stated: Mapping[str, Any]
) -> KnownForm:
    """Return how a log reads.

    Where the instrument's record describes its logs, nothing is guessed: what the
    tester states for this log goes before the record.

    Args:
        data: bytes of the log.
        name: name of the file.
        instrument: the instrument that wrote it.
        stated: fields stated for this log.
    """
    if instrument.log is not None:
        plain = instrument.log.model_dump(mode="json")
        for key, value in stated.items():
            inner = plain.get(key)
            keep = isinstance(inner, dict) and key != "columns"
            plain[key] = {**inner, **value} if keep and inner is not None else value
        return _checked(plain, (), ())
    # Anything may be stated; only what a log's form can say is looked for in the log.
    time = {"columns": ["-"], "form": "iso", **stated.get("time", {})}
    asked = _checked({"columns": {}, **stated, "time": time}, (), ())
    if asked.form is None:
        return asked
    sniffed = sniff(data, name, instrument, stated)
    if sniffed.form is None:
        faults = sniffed.faults
        return KnownForm(None, sniffed.guesses, faults)
    # What was seen on the way is told again when the log is read.
    return _checked(sniffed.form, sniffed.guesses, ())


def _checked(
    plain: Mapping[str, Any], guesses: tuple[Guessed, ...], faults: tuple[Fault, ...]
) -> KnownForm:
    try:
        form = LogForm.model_validate(plain)
    except ValidationError as errors:
        found = []
        for error in errors.errors(include_url=False):
            where = ".".join(str(part) for part in error["loc"])
            found.append(_refused(where, str(error["input"])))
        return KnownForm(None, guesses, (*faults, *found))
    return KnownForm(form, guesses, faults)


def form_lines(form: LogForm, told: Mapping[str, str] | None = None) -> list[str]:
    """Return a form as the lines of a record's ``log`` field, evidence as comments.

    Args:
        form: the form; fields at their default are left out, except the first four.
        told: evidence by dotted path.
    """
    told = told or {}
    lines = ["log:"]
    plain = form.model_dump(mode="json")

    def add(indent: str, path: str, name: str, value: Any) -> None:
        said = f"  # {told[path]}" if path in told else ""
        lines.append(f"{indent}{scalar(name)}: {_shown(value)}{said}")

    for key in ("delimiter", "decimal_mark", "encoding", "header_row"):
        add("  ", key, key, plain[key])
    lines.append("  time:")
    for key, value in plain["time"].items():
        usual = value in (None, LogTime.model_fields[key].default)
        if not usual or f"time.{key}" in told:
            add("    ", f"time.{key}", key, value)
    lines.append("  columns:")
    for name, fraction in plain["columns"].items():
        add("    ", f"columns.{name}", name, fraction)
    for key in ("units", "missing", "over", "caps"):
        if plain[key]:
            add("  ", key, key, plain[key])
    if form.newest_first:
        add("  ", "newest_first", "newest_first", "yes")
    return lines


def _shown(value: Any) -> str:
    if isinstance(value, list):
        return f"[{', '.join(scalar(part) for part in value)}]"
    if isinstance(value, dict):
        return f"{{{', '.join(f'{k}: {scalar(v)}' for k, v in value.items())}}}"
    if value == "yes":
        return "yes"
    return scalar(value)


def scalar(value: object) -> str:
    """Return a value as it stands in YAML: plain where that is safe, else quoted."""
    text = str(value)
    if not isinstance(value, str):
        return text
    if _PLAIN.fullmatch(text) and text.lower() not in _TAKEN:
        return text
    return json.dumps(text, ensure_ascii=False)
