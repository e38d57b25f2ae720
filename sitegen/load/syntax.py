"""What the YAML parser stumbled over, in our codes."""

from __future__ import annotations

import re

import yaml

from sitegen.errors import Fault, Place

_LINE_END = re.compile(r"\r\n|\r|\n")
_BARE_COLON = re.compile(r":(?:\s|$)")
_TAB_INDENT = re.compile(r"^ *\t\s*\S", re.MULTILINE)
# Part of the parser's message, our code, and whether the place meant is that of the
# beginning (an open quote is found only at the end of the file).
_KNOWN: tuple[tuple[str, str, bool], ...] = (
    ("exceeded max", "too-deep", False),
    ("scanning a quoted scalar: found unexpected end", "quote-open", True),
    ("unknown escape character", "unknown-escape", False),
    ("parsing a quoted scalar", "unknown-escape", False),
    ("mapping values are not allowed", "stray-colon", False),
    ("could not find expected ':'", "colon-missing", True),
    ("parsing a flow", "bracket-open", True),
    ("found character that cannot start", "reserved-start", False),
    ("did not find expected key", "indentation", False),
    ("did not find expected '-'", "indentation", False),
    ("block sequence entries are not allowed", "indentation", False),
)


def syntax_fault(error: yaml.YAMLError, text: str, file: str) -> Fault:
    """Return the fault for an error of the YAML parser.

    Args:
        error: what the parser raised.
        text: the text that it was reading.
        file: path below the archive.
    """
    if not isinstance(error, yaml.MarkedYAMLError):
        return Fault("yaml-syntax", Place(file), "", {"problem": str(error)})
    said = f"{error.context or ''}: {error.problem or ''}"
    mark = error.problem_mark or error.context_mark
    tab = _tab_before(text, mark.line if mark else 0)
    if tab is not None:
        return Fault("tab", Place(file, *tab))
    for part, code, at_start in _KNOWN:
        if part in said:
            meant = (error.context_mark if at_start else None) or mark
            seen = _closer(code, text, mark)
            if seen != code:
                return Fault(seen, _place(mark, file))
            return Fault(code, _place(meant, file), "", _char(code, text, meant))
    return Fault(
        "yaml-syntax", _place(mark, file), "", {"problem": error.problem or said}
    )


def _closer(code: str, text: str, mark: yaml.Mark | None) -> str:
    """Return the code that the line complained of suggests, or the one given."""
    if mark is None or code not in {"indentation", "bracket-open"}:
        return code
    lines = _LINE_END.split(text)
    line = lines[mark.line] if mark.line < len(lines) else ""
    before, after = line[: mark.column].rstrip(), line[mark.column :]
    if _BARE_COLON.match(after) and (not before or before[-1] in "{[,"):
        return "key-missing"
    return "after-value" if code == "indentation" and before else code


def _place(mark: yaml.Mark | None, file: str) -> Place:
    return Place(file, mark.line + 1, mark.column + 1) if mark else Place(file)


def _tab_before(text: str, line: int) -> tuple[int, int] | None:
    """Return where a tab indents a line at or just before the one complained of."""
    lines = _LINE_END.split(text)
    for at in (line, line - 1):
        if 0 <= at < len(lines) and _TAB_INDENT.match(lines[at]):
            return at + 1, lines[at].index("\t") + 1
    return None


def _char(code: str, text: str, mark: yaml.Mark | None) -> dict[str, str]:
    if code != "reserved-start" or mark is None:
        return {}
    lines = _LINE_END.split(text)
    line = lines[mark.line] if mark.line < len(lines) else ""
    return {"char": line[mark.column]} if mark.column < len(line) else {}
