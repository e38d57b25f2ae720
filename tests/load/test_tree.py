"""YAML as plain data with places, and everything that it must not hold."""

from __future__ import annotations

import pytest

from sitegen.load import Tree, dotted, read_yaml

Found = list[tuple[str, int, int, str]]


def faults(tree: Tree) -> Found:
    """Return code, line, column and field of each fault."""
    return [(f.code, f.place.line, f.place.column, f.field) for f in tree.faults]


def read(text: str | bytes, limit: int = 2_000_000) -> Tree:
    """Return what a file says."""
    data = text.encode() if isinstance(text, str) else text
    return read_yaml(data, "f.yaml", limit)


def test_scalars_stay_as_they_are_written() -> None:
    """Nothing is resolved: words, versions, numbers and times stay texts."""
    tree = read("a: NO\nb: 2.30\nc: 0361\nd: 14:45\ne: 2026-03-09\nf: 1_000\ng: null\n")
    assert tree.data == {
        "a": "NO",
        "b": "2.30",
        "c": "0361",
        "d": "14:45",
        "e": "2026-03-09",
        "f": "1_000",
        "g": "null",
    }
    assert tree.nulls == {("g",)}
    assert faults(tree) == []


def test_every_key_and_value_has_its_place() -> None:
    """Lines and columns count from 1, in block and in flow style."""
    tree = read("a: x\nb:\n  - c: y\n    d: {e: z}\n")
    assert (tree.at_value(("a",)).line, tree.at_value(("a",)).column) == (1, 4)
    assert tree.values["b", 0, "c"] == (3, 8)
    assert tree.keys["b", 0, "d"] == (4, 5)
    assert tree.values["b", 0, "d", "e"] == (4, 12)
    assert tree.value(("b", 0, "d", "e")) == "z"


def test_a_group_stands_where_its_name_is() -> None:
    """A list or group is pointed at by its key; a missing one by its parent."""
    tree = read("a:\n    - x\nb:\n    c: y\n")
    assert (tree.at_value(("a",)).line, tree.at_value(("a",)).column) == (1, 1)
    assert (tree.at_value(("b", "missing")).line) == 3
    assert tree.at_key(("a", 0)).line == 2
    assert tree.value(("a", 7)) is None
    assert tree.value(("a", "x")) is None
    assert tree.value(("nothing", "at", "all")) is None


def test_places_survive_a_byte_order_mark_and_windows_line_ends() -> None:
    """A mark and CRLF are fine and shift nothing."""
    tree = read(b"\xef\xbb\xbfa: x\r\nb: y\r\nb: z\r\n")
    assert tree.data == {"a": "x", "b": "y"}
    assert faults(tree) == [("key-twice", 3, 1, "b")]
    assert dict(tree.faults[0].values) == {"key": "b", "first": "2", "second": "3"}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", [("empty-file", 0, 0, "")]),
        ("\n# a comment\n---\n", [("empty-file", 0, 0, "")]),
        ("- a\n", [("not-fields", 1, 1, "")]),
        ("a sentence\n", [("not-fields", 1, 1, "")]),
        ("a: b\n---\nc: d\n", [("several-documents", 2, 1, "")]),
        ("a: &x b\nc: *x\n", [("alias", 1, 4, "a"), ("alias", 2, 4, "c")]),
        ("a: &x {b: *x}\n", [("alias", 1, 4, "a"), ("alias", 1, 11, "a.b")]),
        ("&x a: b\n*x : c\n", [("alias", 1, 1, "a"), ("alias", 2, 1, "")]),
        ("a: !!int 3\n", [("tag", 1, 4, "a")]),
        ("a: !!python/object:os.system [x]\n", [("tag", 1, 4, "a")]),
        ("a: b\n<<: c\na: d\n", [("key-twice", 3, 1, "a")]),
        ("a: {b: 1, b: 2}\n", [("key-twice", 1, 11, "a.b")]),
        ("a:\nb: x\n", [("empty-value", 1, 1, "a")]),
        ("a:\n  -\n  - x\n", [("empty-value", 2, 4, "a[0]")]),
        ("? [a]\n: b\n", [("key-not-a-text", 1, 3, "")]),
        (
            "? {a: {b: [c]}}\n: {d: e}\nf: g\nf: h\n",
            [("key-not-a-text", 1, 3, ""), ("key-twice", 4, 1, "f")],
        ),
        ("a: b\n: c\n", [("key-missing", 2, 1, "")]),
        ("a: {b: 1, : x}\n", [("key-missing", 1, 11, "")]),
        ('"": x\n', [("key-missing", 1, 1, "")]),
        ("a: b\n\tc: d\n", [("tab", 2, 1, "")]),
        ("a:\n  - b\n \t- c\n", [("tab", 3, 2, "")]),
        ("a: b: c\n", [("stray-colon", 1, 5, "")]),
        ("z: y\na\nb: c\n", [("colon-missing", 2, 1, "")]),
        ("a:\n  b: c\n d: e\n", [("indentation", 3, 2, "")]),
        ("a:\n  - b\n c: d\n", [("indentation", 3, 2, "")]),
        ('a: "b" c\n', [("after-value", 1, 8, "")]),
        ("a: [b] c\n", [("after-value", 1, 8, "")]),
        ("a: 'b\nc: d\n", [("quote-open", 1, 4, "")]),
        ('a: "\\d"\n', [("unknown-escape", 1, 5, "")]),
        ("a: [b, c\nd: e\n", [("bracket-open", 1, 4, "")]),
        ("a: `b\n", [("reserved-start", 1, 4, "")]),
        ("%YAML 3.0\n---\na: b\n", [("yaml-syntax", 1, 1, "")]),
    ],
)
def test_each_slip_has_its_own_code_and_place(text: str, expected: Found) -> None:
    """What YAML refuses, and what it allows but a record must not hold, is named."""
    assert faults(read(text)) == expected


def test_one_fault_does_not_hide_the_next() -> None:
    """Everything that can still be read is read, and all its faults are told."""
    tree = read("a: &x 1\na: 2\nb:\n? [c]\n: 3\nd: !t 4\n")
    assert [code for code, *_ in faults(tree)] == [
        "alias",
        "key-twice",
        "empty-value",
        "key-not-a-text",
        "tag",
    ]
    assert tree.whole
    assert tree.is_faulty(("a",))
    assert tree.is_faulty(("d", "below"))
    assert not tree.is_faulty(())


def test_alias_bombs_cost_nothing() -> None:
    """Aliases are refused where they stand, so that none is ever multiplied."""
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 30)]
    tree = read("\n".join(lines))
    assert {code for code, *_ in faults(tree)} == {"alias"}
    assert len(tree.values) < 400


def test_depth_and_size_have_bounds() -> None:
    """Deep nesting, too many values and large files stop the reading early."""
    assert faults(read("a: " + "[" * 500)) == [("too-deep", 1, 27, "")]
    assert faults(read("a: [" + "x," * 30 + "]", 400))[0][0] == "too-many-values"
    large = read("a: " + "x" * 500, 400)
    assert faults(large) == [("too-large", 0, 0, "")]
    assert dict(large.faults[0].values) == {"size": "0.000503 MB", "limit": "0.0004 MB"}
    assert not large.whole
    assert large.data == {}


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be"])
def test_utf_16_is_named(encoding: str) -> None:
    """UTF-16 is told from other encodings, with and without its mark."""
    assert faults(read("name: Mat\n".encode(encoding))) == [("utf-16", 0, 0, "")]


def test_a_foreign_byte_is_pointed_at() -> None:
    """The first byte that is no UTF-8 is named with its line and column."""
    for mark in (b"", b"\xef\xbb\xbf"):
        tree = read(mark + "a: é\nb: é".encode() + b"\xe9\n")
        assert faults(tree) == [("not-utf-8", 2, 5, "")]
        assert dict(tree.faults[0].values) == {"byte": "0xE9"}


def test_characters_that_cannot_be_seen_are_told_without_shifting_the_rest() -> None:
    """Control characters are faults; places behind them stay right."""
    tree = read("a: x\x07y\nb: \u2028\nb: z\n")
    assert [fault[:3] for fault in faults(tree)] == [
        ("control-character", 1, 5),
        ("control-character", 2, 4),
        ("key-twice", 3, 1),
    ]
    assert tree.is_faulty(("a",))


def test_of_many_unseen_characters_twenty_are_told() -> None:
    """A binary file does not flood the terminal."""
    assert len(read("a: " + "\x01" * 500).faults) == 20


def test_an_unread_tree_points_at_the_file() -> None:
    """Where nothing could be read, a place is the file as a whole."""
    place = read("a: [").at_value(("a", 0))
    assert (place.file, place.line, place.column) == ("f.yaml", 0, 0)


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ((), ""),
        (("a",), "a"),
        (("claims", 0, "unit"), "claims[0].unit"),
        (("rows", 2, 1), "rows[2][1]"),
    ],
)
def test_paths_read_as_testers_write_them(
    path: tuple[str | int, ...], text: str
) -> None:
    """Keys are joined by points, positions stand in brackets."""
    assert dotted(path) == text
