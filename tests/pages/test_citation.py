"""How a page is cited."""

from __future__ import annotations

import dataclasses

import pytest

from sitegen.pages.addresses import HOME, of_record
from sitegen.pages.citation import citation, tex
from sitegen.pages.frame import Site

SITE = Site(
    name="Quiet Bench",
    tagline="",
    base="https://example.org/bench/",
    language="en",
    units="metric",
    currency="EUR",
    simulated=False,
    publisher="Workshop & Co.",
    contact="",
    licence="CC BY 4.0",
    licence_url="",
    disclosure="",
    navigation=(),
)
FEN = of_record("device", "fen-2")


def test_text() -> None:
    """A citation says who, what, where, when and the permanent address."""
    assert citation(SITE, "Fen 2", FEN, "2026-03-12").text == (
        "Workshop & Co. Fen 2. Quiet Bench. 12 March 2026. "
        "https://example.org/bench/devices/fen-2/"
    )


def test_archive_itself() -> None:
    """The archive as a whole is cited by its name, once, and without a date."""
    assert citation(SITE, "", HOME, "").text == (
        "Workshop & Co. Quiet Bench. https://example.org/bench/"
    )


def test_simulated_says_so() -> None:
    """A citation of simulated data says so in both forms."""
    cited = citation(dataclasses.replace(SITE, simulated=True), "Fen 2", FEN, "")
    assert " Simulated data. " in cited.text
    assert "= {Simulated data}," in cited.bibtex


def test_bibtex() -> None:
    """The entry has a key of its own, braces that balance and an address as it is."""
    assert citation(SITE, "Fen 2: 40 % off_peak", FEN, "2026-03-12").bibtex == (
        "@misc{quiet-bench-devices-fen-2,\n"
        "  author       = {{Workshop \\& Co.}},\n"
        "  title        = {{Fen 2: 40 \\% off\\_peak}},\n"
        "  howpublished = {Quiet Bench},\n"
        "  year         = {2026},\n"
        "  month        = mar,\n"
        "  date         = {2026-03-12},\n"
        "  url          = {https://example.org/bench/devices/fen-2/},\n"
        "}"
    )


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("a{b}c", r"a\{b\}c"),
        ("\\x", r"\textbackslash{}x"),
        ("$&#%_", r"\$\&\#\%\_"),
        ("~^", r"\textasciitilde{}\textasciicircum{}"),
        ("é", "é"),
    ],
)
def test_tex(text: str, written: str) -> None:
    """A character that instructs TeX is written so that it is printed."""
    assert tex(text) == written
