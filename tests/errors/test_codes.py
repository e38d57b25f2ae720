"""The table of codes against the source that uses it."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from string import Formatter

import pytest

from sitegen.errors import CODES, Code
from sitegen.errors.warning_codes import WARNINGS

SOURCE = Path(__file__).resolve().parents[2] / "sitegen"
TABLES = {path.name for path in (SOURCE / "errors").glob("*_codes.py")}

# Position of the code among the arguments of what makes a fault.
MAKERS = {
    "Fault": 0,
    "refuse": 0,
    "_stop": 0,
    "_refuse": 0,
    "Nonsense": 1,
    "usage_fault": 1,
    "words_of": 0,
    "Problem": 3,
}
CODE_FORM = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


def trees() -> Iterator[ast.Module]:
    """Yield every module outside the tables themselves."""
    for path in sorted(SOURCE.rglob("*.py")):
        if path.name not in TABLES:
            yield ast.parse(path.read_text(encoding="utf-8"), path.name)


def texts(node: ast.expr) -> Iterator[str]:
    """Yield the texts that an expression may be."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.IfExp):
        yield from texts(node.body)
        yield from texts(node.orelse)


def named(call: ast.Call) -> str:
    """Return the name of what is called."""
    made = call.func
    return made.attr if isinstance(made, ast.Attribute) else getattr(made, "id", "")


def joined(node: ast.JoinedStr) -> str:
    """Return a formatted text with ``*`` for what is put in."""
    parts = [
        part.value if isinstance(part, ast.Constant) else "*" for part in node.values
    ]
    return "".join(map(str, parts))


def used_codes() -> set[str]:
    """Return the codes that stand in the source where a fault is made."""
    found: set[str] = set()
    for tree in trees():
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and named(node) in MAKERS:
                at = MAKERS[named(node)]
                starred = any(isinstance(arg, ast.Starred) for arg in node.args)
                if len(node.args) > at and not starred:
                    found.update(texts(node.args[at]))
            elif isinstance(node, ast.Assign):
                target = node.targets[0]
                if isinstance(target, ast.Name) and target.id == "code":
                    found.update(texts(node.value))
    return found


def test_every_code_that_the_source_uses_has_words() -> None:
    """No fault can be made whose words are missing."""
    used = used_codes()
    assert len(used) > 80
    assert used - set(CODES) == set()


def test_every_code_with_words_is_used() -> None:
    """No entry of the table is left over from a check that no longer exists."""
    constants: set[str] = set()
    for tree in trees():
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                constants.add(node.value)
            elif isinstance(node, ast.JoinedStr):
                constants.add(joined(node))
    unused = {
        code
        for code in CODES
        if code not in constants
        and re.sub(r"^[a-z]+(-not-of-device)$", r"*\1", code) not in constants
    }
    assert unused == set()


def test_no_table_has_a_code_of_another() -> None:
    """Each code stands in one table, so that none takes another's words away."""
    tables = [
        node
        for name in sorted(TABLES)
        for node in ast.walk(ast.parse((SOURCE / "errors" / name).read_text("utf-8")))
        if isinstance(node, ast.Dict)
    ]
    codes = [
        key.value
        for each in tables
        for key in each.keys
        if key is not None
        if isinstance(key, ast.Constant) and isinstance(key.value, str)
    ]
    assert len(codes) > 200
    assert sorted(codes) == sorted(CODES)


@pytest.mark.parametrize("code", sorted(CODES))
def test_every_entry_is_whole(code: str) -> None:
    """Each entry has a title, a sentence without full stop, and an explanation."""
    entry: Code = CODES[code]
    assert CODE_FORM.fullmatch(code)
    assert entry.title
    assert entry.what
    assert entry.about.endswith(".")
    for part in (entry.title, entry.what, entry.allowed, entry.remedy):
        assert not part.endswith(".")
        assert "\n" not in part
    assert entry.allowed or entry.remedy
    for part in (entry.what, entry.allowed, entry.remedy):
        for _, name, form, conversion in Formatter().parse(part):
            assert name is None or name.isidentifier()
            assert not form
            assert not conversion


def test_only_faults_that_mislead_nobody_are_warnings() -> None:
    """Warned is of series and of a rate far off; everything else stops publishing.

    What ``intake`` did to a raw log is told as warnings too, and so is what a careful
    colleague would ask.
    """
    warnings = {
        code
        for code, entry in CODES.items()
        if entry.severity == "warning"
        and not code.startswith("intake-")
        and code not in WARNINGS
    }
    assert warnings == {"series-unused", "series-shared", "rate-stale"}


def test_what_a_colleague_asks_stops_nothing() -> None:
    """Every one of these entries is a warning."""
    assert {entry.severity for entry in WARNINGS.values()} == {"warning"}


def test_the_table_cannot_be_changed() -> None:
    """The table is read-only, so that no module can slip its own words in."""
    with pytest.raises(TypeError):
        CODES["new"] = CODES["alias"]  # type: ignore[index]
