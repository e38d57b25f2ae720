"""No published address dies: it leads on, or says why it is gone."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from sitegen.model import Addresses
from sitegen.pages.addresses import HOME, Address, of_record
from sitegen.pages.environment import environment
from sitegen.pages.frame import Page, Site
from sitegen.pages.moved import (
    Departure,
    GoneGiven,
    MovedGiven,
    departures,
    gone_page,
    moved_page,
    not_found_page,
)
from sitegen.pages.render import render
from sitegen.pages.words import ENGLISH

LAYOUTS = Path(__file__).resolve().parents[2] / "layouts"
SITE = Site(
    name="Bench",
    tagline="",
    base="https://example.org/bench/",
    language="en",
    units="metric",
    currency="EUR",
    simulated=False,
    publisher="Nobody",
    contact="mailto:a@example.org",
    licence="CC BY 4.0",
    licence_url="",
    disclosure="",
    navigation=(("Devices", Address("devices/")),),
)


def _read(name: str) -> str | None:
    path = LAYOUTS / name
    return path.read_text(encoding="utf-8") if path.is_file() else None


def _html(page: Page) -> str:
    return render(environment(_read), SITE, page, ENGLISH).decode()


def _departures(*entries: dict[str, Any]) -> tuple[Departure, ...]:
    return departures(Addresses.model_validate({"addresses": list(entries)}))


def _moved(old: str, new: str, day: str) -> dict[str, str]:
    return {"kind": "device", "id": old, "moved_to": new, "date": day}


def test_moves_are_followed_to_their_end() -> None:
    """An address that moved twice leads straight to where the record is now."""
    assert _departures(
        _moved("a", "b", "2026-01-01"), _moved("b", "c", "2026-02-01")
    ) == (
        Departure("device", "a", "c", "", "2026-01-01"),
        Departure("device", "b", "c", "", "2026-02-01"),
    )


def test_a_move_to_something_gone_is_gone() -> None:
    """What moved to a record that was taken away later says why, and since when."""
    gone = {"kind": "device", "id": "b", "gone": "Never sold", "date": "2026-02-01"}
    assert _departures(_moved("a", "b", "2026-01-01"), gone) == (
        Departure("device", "a", "", "Never sold", "2026-02-01"),
        Departure("device", "b", "", "Never sold", "2026-02-01"),
    )


def test_kinds_do_not_mix() -> None:
    """A record of another kind with the same id has nothing to do with a move."""
    gone = {"kind": "table", "id": "b", "gone": "Merged", "date": "2026-02-01"}
    found = _departures(_moved("a", "b", "2026-01-01"), gone)
    assert found[0] == Departure("device", "a", "b", "", "2026-01-01")


def test_a_circle_ends() -> None:
    """Addresses that lead in a circle, which is a fault, do not hang the tool."""
    found = _departures(_moved("a", "b", "2026-01-01"), _moved("b", "a", "2026-01-01"))
    assert len(found) == 2


def test_a_moved_page_leads_on() -> None:
    """A former address links to the present one, by script or without, canonically."""
    page = moved_page(
        SITE,
        ENGLISH,
        MovedGiven(
            at=of_record("device", "cube"),
            to=of_record("device", "box"),
            name="Box <1>",
            date="2026-03-27",
        ),
    )
    html = _html(page)
    to = "../box/index.html"
    assert f'<a id="moved-to" href="{to}">Box &lt;1&gt;</a>' in html
    assert f'<noscript><meta http-equiv="refresh" content="0; url={to}">' in html
    assert 'src="../../assets/moved.js"' in html
    assert (
        '<link rel="canonical" href="https://example.org/bench/devices/box/">' in html
    )
    assert html.count('rel="canonical"') == 1
    assert "27 March 2026" in html
    assert "noindex" in html
    assert not page.listed


def test_a_gone_page_says_why() -> None:
    """The address of what is gone says since when and why, and where to go on."""
    page = gone_page(
        SITE,
        ENGLISH,
        GoneGiven(
            at=of_record("comparison", "ten-loudest"),
            kind="comparison",
            id="ten-loudest",
            reason="It mixed <two> distances",
            date="2025-09-10",
        ),
    )
    html = _html(page)
    assert "<h1>No longer here: ten-loudest</h1>" in html
    assert "<p>It mixed &lt;two&gt; distances</p>" in html
    assert "10 September 2025" in html
    assert '<a href="../index.html">All comparisons</a>' in html
    assert "noindex" in html
    assert not page.listed


def test_not_found_links_from_the_root() -> None:
    """Links of the page for missing addresses hold at whatever depth it is shown."""
    html = _html(not_found_page(SITE, ENGLISH))
    assert "<h1>No such page</h1>" in html
    assert '<a href="/bench/devices/">All devices</a>' in html
    assert 'href="../' not in html
    assert 'rel="canonical"' not in html


def test_each_page_has_one_heading_of_the_first_level() -> None:
    """Each of these pages has exactly one main heading."""
    pages = (
        moved_page(SITE, ENGLISH, MovedGiven(Address("x/"), HOME, "X", "2026-01-01")),
        gone_page(
            SITE,
            ENGLISH,
            GoneGiven(Address("y/"), "prose", "y", "Old", "2026-01-01"),
        ),
        not_found_page(SITE, ENGLISH),
    )
    assert [_html(page).count("<h1>") for page in pages] == [1, 1, 1]
