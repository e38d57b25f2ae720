"""The one place where faults become text."""

from __future__ import annotations

from collections.abc import Iterable
from string import Formatter

from sitegen.errors.codes import CODES
from sitegen.errors.faults import Fault, sort_faults


def one_line(text: str) -> str:
    """Return ``text`` on one line, with control characters made visible."""
    return "".join(
        char if char.isprintable() else char.encode("unicode_escape").decode()
        for char in text
    )


def _named(template: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(template) if name}


def _filled(template: str, fault: Fault) -> str:
    values = dict.fromkeys(_named(template), "?")
    values.update({key: one_line(value) for key, value in fault.values.items()})
    return template.format_map(values)


def fault_line(fault: Fault) -> str:
    """Return ``file:line:column: field: what is wrong; what is allowed; what to do``.

    Parts that a fault does not have, or whose values it does not have, are left out.
    """
    code = CODES[fault.code]
    place = fault.place
    where = one_line(place.file) or "archive"
    if place.line:
        where += f":{place.line}"
        if place.column:
            where += f":{place.column}"
    field = f"{one_line(fault.field)}: " if fault.field else ""
    more = [
        part
        for part in (code.allowed, code.remedy)
        if part and _named(part) <= fault.values.keys()
    ]
    said = "; ".join(_filled(part, fault) for part in (code.what, *more))
    warning = "warning: " if code.severity == "warning" else ""
    return f"{where}: {field}{warning}{said} [{fault.code}]"


def fault_lines(faults: Iterable[Fault]) -> str:
    """Return all faults in reading order, a line each."""
    return "\n".join(fault_line(fault) for fault in sort_faults(faults))


def about(code: str) -> str:
    """Return the explanation of one code, for ``check --about CODE``.

    Raises:
        KeyError: if there is no such code.
    """
    entry = CODES[code]
    parts = [f"{code}: {entry.title}", entry.about]
    if entry.remedy and not _named(entry.remedy):
        parts.append(f"What to do: {entry.remedy}.")
    return "\n".join(part for part in parts if part)
