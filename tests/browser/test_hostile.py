"""The archive of attacks in the browser: nothing runs, nothing is requested."""

from __future__ import annotations

from collections.abc import Iterator
from urllib.parse import quote

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.conftest import Watched, serving, watch
from tests.conftest import Compiled

pytestmark = pytest.mark.browser

# Whatever an attack would call is counted; whatever it would show is refused.
TRAP = """
window.trapped = [];
for (const name of ["boom", "alert", "confirm", "prompt", "print"]) {
  window[name] = (...given) => { window.trapped.push([name, ...given.map(String)]); };
}
"""
ADDRESSES = (
    "?v=1&q=" + quote("<img src=x onerror=boom()>"),
    "?v=1&c=" + quote("<script>boom()</script>.a.b,x.y.z"),
    "?v=1&f.form=" + quote('"><svg onload=boom()>') + "&sort=" + quote("-<b>"),
    "?v=1&rate=" + quote("<i>:1") + "&tariff=" + quote("javascript:boom()"),
    "?" + quote("<script>boom()</script>") + "=1&__proto__=1&f.__proto__=..1",
    "?v=1&f.constructor=1&sort=constructor&figure=__proto__&u=toString&x=valueOf",
    "?v=1&x=%00%E2%80%AE&room=1e999&cap=" + "9" * 400,
    "?v=1&cols=" + quote("<img src=x onerror=boom()>,__proto__,constructor,power_w"),
    "?v=1&cols="
    + "x," * 4000
    + "&ach=1e309&f.filter_class="
    + quote("<b onclick=boom()>"),
    "#" + quote("<img src=x onerror=boom()>"),
)


@pytest.fixture(scope="module")
def address(hostile: Compiled) -> Iterator[str]:
    """Address of the archive of attacks, served under a sub-path."""
    with serving(hostile.site) as served:
        yield served


@pytest.fixture
def trapped(chromium: Browser) -> Iterator[Watched]:
    """A fresh page with traps set."""
    context = chromium.new_context(viewport={"width": 1280, "height": 900})
    context.add_init_script(TRAP)
    yield watch(context.new_page())
    context.close()


def _stir(page: Page) -> None:
    """Do what a reader might: open, scroll, hover, sort, look for."""
    page.evaluate(
        "document.querySelectorAll('details').forEach((d) => { d.open = true })"
    )
    for figure in page.locator("figure").all():
        figure.scroll_into_view_if_needed()
    page.wait_for_load_state("networkidle")
    for mark in page.locator("figure svg path, figure svg circle").all()[:12]:
        box = mark.bounding_box()
        if box:
            page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    for button in page.locator("th button:visible").all()[:3]:
        button.click()


def _check(watched: Watched, address: str) -> None:
    assert watched.page.evaluate("window.trapped") == []
    assert watched.errors == []
    assert [url for url in watched.requests if not url.startswith(address)] == []
    # What an attack would put in, had it been taken for markup.
    assert (
        watched.page.locator("img[src='x'], svg[onload], [onerror], iframe").count()
        == 0
    )


def test_nothing_runs_on_any_page(
    trapped: Watched, hostile: Compiled, address: str
) -> None:
    """On every page of the site, stirred, no attack runs and no request leaves."""
    out = hostile.site
    pages = sorted(path.relative_to(out).as_posix() for path in out.rglob("*.html"))
    assert len(pages) > 30
    for path in pages:
        if path in {"404.html", "devices/older/index.html"}:
            continue  # served elsewhere; leads on at once
        trapped.page.goto(f"{address}{quote(path)}")
        trapped.page.wait_for_load_state("networkidle")
        _stir(trapped.page)
        _check(trapped, address)


@pytest.mark.parametrize("asked", ADDRESSES)
@pytest.mark.parametrize("path", ["compare/", "tables/everything/", "devices/older/"])
def test_nothing_runs_from_an_address(
    trapped: Watched, address: str, path: str, asked: str
) -> None:
    """An address made to attack shows a note at the most."""
    trapped.page.goto(f"{address}{path}{asked}")
    trapped.page.wait_for_load_state("networkidle")
    if path != "devices/older/":
        _stir(trapped.page)
    _check(trapped, address)


def test_the_texts_are_shown_as_written(trapped: Watched, address: str) -> None:
    """Heading, title and tooltip-free labels show the attack as the letters it is."""
    trapped.page.goto(f"{address}devices/constructor/")
    attack = "device.name <img src=x onerror=boom()>\"'></title></script>"
    assert attack in trapped.page.locator("h1").inner_text()
    assert attack in trapped.page.title()


def test_nothing_runs_from_disk(trapped: Watched, hostile: Compiled) -> None:
    """Opened from disk, where there is no server to help, nothing runs either."""
    out = hostile.site
    for path in (
        "index.html",
        "devices/constructor/index.html",
        "compare/index.html",
    ):
        trapped.page.goto(f"{out.as_uri()}/{path}")
        trapped.page.wait_for_load_state("networkidle")
        _stir(trapped.page)
        _check(trapped, out.as_uri())
