"""The one place where faults become text."""

from __future__ import annotations

from collections.abc import Iterable
from string import Formatter

from sitegen.errors.codes import CODES, is_fault
from sitegen.errors.faults import Fault, Place, sort_faults
from sitegen.errors.raised import UsageFault


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
    place = fault.place
    where = one_line(place.file) or "archive"
    if place.line:
        where += f":{place.line}"
        if place.column:
            where += f":{place.column}"
    warning = "" if is_fault(fault) else "warning: "
    said = "; ".join(_said(fault))
    return f"{where}: {_field(fault)}{warning}{said} [{fault.code}]"


def fault_words(fault: Fault) -> tuple[str, str]:
    """Return the same in two parts, without place and severity.

    Returns:
        ``field: what is wrong [code]`` and ``what is allowed; what to do``.
    """
    what, *more = _said(fault)
    return f"{_field(fault)}{what} [{fault.code}]", "; ".join(more)


def _field(fault: Fault) -> str:
    return f"{one_line(fault.field)}: " if fault.field else ""


def _said(fault: Fault) -> tuple[str, ...]:
    """Return what is wrong, what is allowed, what to do, as far as it is known."""
    code = CODES[fault.code]
    more = [
        part
        for part in (code.allowed, code.remedy)
        if part and _named(part) <= fault.values.keys()
    ]
    return tuple(_filled(part, fault) for part in (code.what, *more))


def usage_fault(
    command: str, code: str, field: str = "", /, **values: str
) -> UsageFault:
    """Return what is raised when a command is asked for what it does not do.

    Args:
        command: the command, or what of it is meant.
        code: key of ``CODES``.
        field: the option or argument, or ``""``.
        values: what the code's sentences name.
    """
    return UsageFault(fault_line(Fault(code, Place(command), field, values)))


def words_of(code: str, /, **values: str) -> str:
    """Return the words of a code alone, where something else tells the place."""
    return "; ".join(_said(Fault(code, Place(""), "", values)))


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
