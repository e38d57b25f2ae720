"""Prose becomes safe HTML, with every fault told and every link resolved."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from sitegen.errors import CODES, Place
from sitegen.pages.markdown import (
    Part,
    linked,
    parse_prose,
    parse_text,
    text_block,
    unknown_links,
)

FILE = "texts/method.md"
ADDRESSES: Mapping[str, str] = {
    "device:alder-3": "../devices/alder-3/index.html",
    "page:glossary": "../glossary/index.html",
    "method:decay-1": "../methods/decay-1/index.html?a=1&b=2",
}


def _html(markdown: str) -> str:
    return text_block(markdown, ADDRESSES.get).html


def _codes(markdown: str) -> list[tuple[str, int]]:
    faults = parse_prose(markdown.encode(), FILE).faults
    return [(fault.code, fault.place.line) for fault in faults]


def test_first_heading_is_the_title() -> None:
    """The first heading becomes the title and does not stand in the text again."""
    prose = parse_prose(b"# How *we* measure\n\nIn a room.\n", FILE)
    assert prose.title == "How we measure"
    assert prose.summary == "In a room."
    assert prose.parts == (Part("<p>In a room.</p>\n"),)
    assert prose.faults == ()


def test_a_page_without_heading_is_a_fault() -> None:
    """A page whose text has no heading is told at its first line."""
    assert _codes("Only a sentence.\n") == [("prose-without-title", 1)]


@pytest.mark.parametrize(
    "markdown",
    [
        "<script>alert(1)</script>",
        "<img src=x onerror=alert(1)>",
        'text <a href="javascript:alert(1)">x</a>',
        '<a href="device:alder-3">x</a>',
    ],
)
def test_raw_html_is_shown_as_text(markdown: str) -> None:
    """Markup in a text is shown as it was typed and does nothing."""
    html = _html(markdown)
    assert "<script" not in html
    assert "<img" not in html
    assert "<a " not in html
    assert "&lt;" in html


@pytest.mark.parametrize(
    "target",
    [
        "javascript:alert(1)",
        "JaVaScRiPt:alert(1)",
        "data:text/html,x",
        "vbscript:x",
        "../../etc/passwd",
        "file:///etc/passwd",
        "//example.org/x",
        "device:../up",
        "device:Alder",
        "run:",
    ],
)
def test_other_addresses_are_refused(target: str) -> None:
    """A link to anything but the web, a mailbox or a record is a fault and no link."""
    prose = parse_text(f"see [this *thing*](<{target}>) here")
    assert [fault.code for fault in prose.faults] == ["link-refused"]
    assert prose.parts == (Part("<p>see this <em>thing</em> here</p>\n"),)


def test_links_outside_carry_rel() -> None:
    """A link that leaves the site hands no reference on and no window."""
    assert _html("[x](https://example.org/a?b=1&c=2)") == (
        '<p><a href="https://example.org/a?b=1&amp;c=2" rel="nofollow noopener">x</a>'
        "</p>\n"
    )


def test_record_links_become_addresses() -> None:
    """A link to a record is written as the page asks; its title text is dropped."""
    html = _html('[A](device:alder-3#sound "t") and [*G*](page:glossary)')
    assert html == (
        '<p><a href="../devices/alder-3/index.html#sound">A</a> and '
        '<a href="../glossary/index.html"><em>G</em></a></p>\n'
    )


def test_addresses_are_escaped() -> None:
    """What the page puts in for a record is escaped for the attribute."""
    assert 'index.html?a=1&amp;b=2"' in _html("[m](method:decay-1)")


def test_a_link_without_address_leaves_its_text() -> None:
    """A record that is not published is named, but not linked."""
    assert _html("See [run 7](run:r-7).") == "<p>See run 7.</p>\n"


def test_links_are_listed_with_their_lines() -> None:
    """Each link is listed with the line on which it stands, over soft breaks too."""
    prose = parse_prose(
        b"# T\n\nOne\ntwo [a](device:alder-3)\n\n- [b](run:r-7)\n", FILE
    )
    assert [(link.target, link.line) for link in prose.links] == [
        ("device:alder-3", 4),
        ("run:r-7", 6),
    ]
    assert prose.targets == ("device:alder-3", "run:r-7")


def test_unknown_links_are_told_with_a_guess() -> None:
    """A link to a record that does not exist is told with the likeliest id."""
    prose = parse_prose(b"# T\n\n[a](device:alder-3) [b](device:aldar-3)\n", FILE)
    there = {"device:alder-3"}
    (fault,) = unknown_links(prose, FILE, there.__contains__, there)
    assert fault.code == "link-unknown"
    assert fault.place == Place(FILE, 3)
    assert fault.values == {"target": "device:aldar-3", "guess": "device:alder-3"}


def test_figures_stand_between_the_texts() -> None:
    """A comparison's figure splits the text where it stands."""
    prose = parse_prose(
        b"# T\n\nBefore.\n\n![Air *and* noise](comparison:quiet)\n\nAfter.\n", FILE
    )
    assert prose.parts == (
        Part("<p>Before.</p>\n"),
        Part("", "quiet", "Air and noise"),
        Part("<p>After.</p>\n"),
    )
    assert prose.embeds == ("quiet",)
    assert prose.targets == ("comparison:quiet",)
    assert linked(prose, ADDRESSES.get) == prose.parts


@pytest.mark.parametrize(
    ("markdown", "code"),
    [
        ("# T\n\nin ![c](comparison:quiet) text\n", "figure-not-alone"),
        ("# T\n\n- ![c](comparison:quiet)\n", "figure-not-alone"),
        ("# T\n\n![c](https://example.org/x.png)\n", "image-refused"),
        ("# T\n\n![c](data:image/png;base64,AA)\n", "image-refused"),
        ("# T\n\n![c](photos/x.jpg)\n", "image-refused"),
        ("# T\n\n![c](comparison:NO)\n", "image-refused"),
    ],
)
def test_other_pictures_are_faults(markdown: str, code: str) -> None:
    """Pictures from elsewhere, and figures within other text, are refused."""
    assert _codes(markdown) == [(code, 3)]
    prose = parse_prose(markdown.encode(), FILE)
    assert "<img" not in "".join(part.html for part in prose.parts)


def test_a_record_holds_no_figure() -> None:
    """The text of a record's field cannot bring a figure along."""
    (fault,) = parse_text(
        "![c](comparison:quiet)", Place("records/devices/a.yaml", 9, 3), "note"
    ).faults
    assert fault.code == "figure-not-alone"
    assert fault.place == Place("records/devices/a.yaml", 9, 3)
    assert fault.field == "note"


def test_heading_levels_skip_none() -> None:
    """Headings below the title count on from the second level, without a gap."""
    prose = parse_prose(b"# T\n\n### A\n\n###### B\n\n## C\n\n# A\n", FILE)
    html = "".join(part.html for part in prose.parts)
    assert html == (
        '<h2 id="a">A</h2>\n<h3 id="b">B</h3>\n<h2 id="c">C</h2>\n<h2 id="a-2">A</h2>\n'
    )


def test_headings_of_a_record_begin_at_the_third_level() -> None:
    """A record's text stands below a page's own headings and brings no ids."""
    assert _html("# A\n\n## B\n") == "<h3>A</h3>\n<h4>B</h4>\n"


def test_links_within_the_page() -> None:
    """A link to a heading of the page is taken; one to no heading is a fault."""
    text = "# T\n\n[a](#über-uns) [b](#nowhere)\n\n## Uber uns\n"
    assert _codes(text) == [("link-fragment-unknown", 3)] * 2
    assert _codes("# T\n\n[a](#uber-uns)\n\n## Über uns\n") == []
    assert _codes("# T\n\n[a](#шум)\n\n## Шум\n") == []


def test_tables_scroll_in_a_frame_without_style() -> None:
    """A table stands in a focusable frame; alignment is a class, never a style."""
    html = _html("| a | b |\n| - | -: |\n| 1 | 2 |\n")
    assert html.startswith('<div class="frame" tabindex="0" role="region"')
    assert '<th class="to-right" scope="col">b</th>' in html
    assert "style" not in html
    assert html.count("<div") == html.count("</div>") == 1


def test_bytes_that_are_no_text_are_told() -> None:
    """A file in another encoding gives a fault and no page."""
    prose = parse_prose(b"# T\n\n\xff\xfa\xff", FILE)
    assert prose.parts == ()
    assert [fault.code for fault in prose.faults] == ["not-utf-8"]


def test_summary_is_cut_at_a_word() -> None:
    """A long first paragraph is shortened to 200 characters at a word's end."""
    prose = parse_prose(b"# T\n\n" + b"seven77 " * 40, FILE)
    assert len(prose.summary) <= 200
    assert prose.summary.endswith("seven77…")


def test_every_fault_has_words() -> None:
    """Each code that a text can give has an entry in the table of faults."""
    text = "[a](x) ![b](c)\n\n![d](comparison:e) x\n\n[f](#g)\n"
    codes = {fault.code for fault in parse_prose(text.encode(), FILE).faults}
    assert codes == {
        "prose-without-title",
        "link-refused",
        "image-refused",
        "figure-not-alone",
        "link-fragment-unknown",
    }
    assert codes | {"link-unknown"} <= CODES.keys()
