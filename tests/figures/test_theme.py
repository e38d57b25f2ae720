"""The one theme: tokens as in the style sheet, contrast, looks that differ."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

import pytest

from sitegen.figures import theme
from sitegen.figures.theme import DATA_TOKENS, PAGE_TOKENS, TOKENS

CSS = Path(__file__).resolve().parent.parent.parent / "assets" / "css"
TEXT_TOKENS = ("--ink", "--soft", "--mark", "--accent")


def declared() -> tuple[Mapping[str, str], Mapping[str, str]]:
    """Return the style sheet's colours on light and on dark paper."""
    css = (CSS / "tokens.css").read_text(encoding="utf-8")
    light, dark = css.split("@media (prefers-color-scheme: dark)")
    found = re.compile(r"(--[a-z0-9-]+):\s*(#[0-9a-f]{6});")
    return dict(found.findall(light)), dict(found.findall(dark))


def luminance(colour: str) -> float:
    """Return relative luminance as WCAG 2.2 defines it."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    r, g, b = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
        for part in parts
    )
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, 1 to 21."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_formula_of_contrast() -> None:
    """Black on white is 21:1 and the grey #767676 on white 4.54:1."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("token", TOKENS)
def test_tokens_are_those_of_the_style_sheet(token: str) -> None:
    """A picture's colours are the page's, on light and on dark paper."""
    light, dark = declared()
    assert TOKENS[token] == (light[token], dark[token])


def test_every_data_colour_of_the_style_sheet_is_known() -> None:
    """The style sheet has no data colour that drawings lack."""
    light, dark = declared()
    data = re.compile(r"--d\d+")
    for colours in (light, dark):
        assert {name for name in colours if data.fullmatch(name)} == set(DATA_TOKENS)


@pytest.mark.parametrize("paper", [0, 1], ids=["light", "dark"])
@pytest.mark.parametrize("ground", ["--sheet", "--paper"])
@pytest.mark.parametrize("token", [*DATA_TOKENS, "--mark", "--accent"])
def test_data_colours_can_be_seen(token: str, ground: str, paper: int) -> None:
    """Every data colour stands out from its ground by 3:1 or more."""
    assert contrast(TOKENS[token][paper], PAGE_TOKENS[ground][paper]) >= 3.0


@pytest.mark.parametrize("paper", [0, 1], ids=["light", "dark"])
@pytest.mark.parametrize("token", TEXT_TOKENS)
def test_words_can_be_read(token: str, paper: int) -> None:
    """Every colour that words are set in stands out from the sheet by 4.5:1 or more."""
    assert contrast(TOKENS[token][paper], PAGE_TOKENS["--sheet"][paper]) >= 4.5


@pytest.mark.parametrize("paper", [0, 1], ids=["light", "dark"])
def test_data_colours_differ(paper: int) -> None:
    """No two series have one colour."""
    assert len({pair[paper] for pair in DATA_TOKENS.values()}) == len(DATA_TOKENS)


def test_colour_is_never_the_only_carrier() -> None:
    """Series with one colour differ in dash, for as many as a comparison may have."""
    looks = [(theme.colour(at), tuple(theme.dash(at))) for at in range(24)]
    assert len(set(looks)) == 24
    assert len({tuple(theme.dash(at)) for at in range(7)}) == 7
    assert len({theme.shape(at) for at in range(7)}) == 7


def test_dashes_follow_the_frame() -> None:
    """Twice as thick a line has dashes twice as long."""
    assert theme.dash(1, 2.0) == [16, 8]


@pytest.mark.parametrize(("paper", "place"), [("light", 0), ("dark", 1)])
def test_colours_written_in(paper: theme.Paper, place: int) -> None:
    """Tokens become colours everywhere in a description, and nothing else changes."""
    spec = {
        "a": ["var(--ink)", {"b": "var(--d3)"}, 3, None, True],
        "text": "var(--unknown)",
        "label": "set in var(--ink)",
    }
    assert theme.coloured(spec, paper) == {
        "a": [TOKENS["--ink"][place], {"b": TOKENS["--d3"][place]}, 3, None, True],
        "text": "var(--unknown)",
        "label": "set in var(--ink)",
    }
    assert spec["label"] == "set in var(--ink)"
    assert spec["a"][0] == "var(--ink)"


def test_type_is_never_small() -> None:
    """At the least width at which it is shown, type in a drawing is 12 px or more."""
    # Wide drawings from 640 px of room on, narrow ones down to 288 px.
    assert theme.WIDE.text_px * 640 / theme.WIDE.width >= 12.0
    assert theme.NARROW.text_px * 288 / theme.NARROW.width >= 12.0
