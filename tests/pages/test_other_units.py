"""Two readings of a page become one page that holds both."""

from __future__ import annotations

import re

import pytest

from sitegen.pages.other_units import other_system, with_other_units
from tests.conftest import Compiled

HEAD = "<html><head><title>196 m³/h</title></head><body>"


def test_texts_and_attributes_stand_side_by_side() -> None:
    """A text is wrapped, blanks outside; an attribute has its other value beside it."""
    mine = f'{HEAD}<main><p aria-label="196 m³/h">\n196 <small>m³/h</small></p></main>'
    there = f'{HEAD}<main><p aria-label="115 cfm">\n115 <small>cfm</small></p></main>'
    got = with_other_units(mine, there)
    assert got == (
        f'{HEAD}<main><p aria-label="196 m³/h" data-others '
        'data-other-aria-label="115 cfm">\n<span data-other="115">196</span> '
        '<small><span data-other="cfm">m³/h</span></small></p></main>'
    )


def test_a_quote_in_the_other_text_stays_in_its_attribute() -> None:
    """Texts are escaped for a page, not for an attribute."""
    got = with_other_units("<main><p>1 m</p>", '<main><p>3 "ft" &lt;b&gt;</p>')
    assert '<span data-other="3 &#34;ft&#34; &lt;b&gt;">1 m</span>' in got


def test_the_head_stays_as_it_is() -> None:
    """Titles and descriptions are the archive's: what is shared is one text."""
    mine = f"{HEAD}<main><p>1</p></main>"
    there = f"{HEAD.replace('196 m³/h', '115 cfm')}<main><p>2</p></main>"
    assert with_other_units(mine, there).startswith(HEAD)


def test_of_a_drawing_both_forms_stand_there() -> None:
    """Axes of other units have other ticks: the second drawing is whole, and hidden."""
    mine = '<main><svg height="9"><text>200</text></svg></main>'
    there = '<main><svg height="9"><text>100</text><text>120</text></svg></main>'
    assert with_other_units(mine, there) == (
        '<main><svg data-drawn height="9"><text>200</text></svg>'
        '<svg data-drawn hidden height="9"><text>100</text><text>120</text></svg>'
        "</main>"
    )


@pytest.mark.parametrize(
    "there",
    [
        "<main><p>1 m</p><p>more</p></main>",
        '<main><p id="b">3 ft</p></main>',
        '<main><p class="a">3 ft</p></main>',
        "<main><b>3 ft</b></main>",
    ],
)
def test_another_page_is_no_other_reading(there: str) -> None:
    """A layout that says something else in other units keeps the archive's alone."""
    mine = "<main><p>1 m</p></main>"
    assert with_other_units(mine, there) == mine


def test_data_of_scripts_are_no_text() -> None:
    """What stands in a script element is not wrapped."""
    mine = '<main><script type="application/json">[1]</script><p>1</p></main>'
    there = '<main><script type="application/json">[2]</script><p>2</p></main>'
    got = with_other_units(mine, there)
    assert "[1]</script>" in got
    assert "[2]" not in got


def test_pages_of_one_reading_stay_as_they_are() -> None:
    """Without a difference nothing is marked."""
    assert with_other_units("<main><p>1</p>", "<main><p>1</p>") == "<main><p>1</p>"
    assert other_system("us") == "metric"
    assert other_system("metric") == "us"


def test_pages_with_flows_hold_both_units(demo: Compiled) -> None:
    """Devices with a CADR, decay runs, and the lists of both can be turned."""
    pages = [
        *demo.site.glob("devices/**/index.html"),
        *demo.site.glob("runs/**/*.html"),
    ]
    with_flow = [
        path for path in pages if " m³/h<" in path.read_text().partition("<main")[2]
    ]
    assert len(with_flow) > 100
    for path in with_flow:
        text = path.read_text()
        assert 'id="units"' in text, path
        assert re.search(r'data-other="cfm"', text), path
