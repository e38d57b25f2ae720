"""The frame of every page under ``/_desk/``: for the tester alone, never published."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from pathlib import Path

DESK = (("manual", "Manual for testers"), ("worklist", "Worklist"))

_FRAME = """<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy"
 content="default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="robots" content="noindex">
<title>{title} · Desk</title>
<link rel="icon" type="image/svg+xml" href="/assets/icon.svg">
<link rel="stylesheet" href="/assets/site.css">
</head>
<body>
<a class="skip" href="#main">Skip to the content</a>
<header class="head">
<div class="head-line">
<p class="archive"><a href="/">The archive</a></p>
<nav aria-label="Desk">{desk}</nav>
</div>
</header>
<main id="main" tabindex="-1">
{trail}{body}
</main>
<footer class="foot">
<div class="foot-text">
<p>For the tester alone; never published. Follow local codes, safety data sheets and
people licensed for electrical and ventilation work.</p>
</div>
{foot}</footer>
</body>
</html>
"""


@dataclass(frozen=True, slots=True)
class DeskLink:
    """A link to another page of the desk.

    Attributes:
        text: its words.
        to: where it leads.
        current: whether it is the page that is shown.
    """

    text: str
    to: str
    current: bool = False

    @property
    def item(self) -> str:
        """The link as an item of a list."""
        here = ' aria-current="page"' if self.current else ""
        return f'<li><a href="{escape(self.to)}"{here}>{escape(self.text)}</a></li>'


@dataclass(frozen=True, slots=True)
class DeskPage:
    """A page for the tester.

    Attributes:
        title: its heading.
        body: what it says, HTML.
        here: which page of the desk it is, or ``""`` for one below these.
        trail: text and place of each page above it.
        chapters: links at its foot.
    """

    title: str
    body: str
    here: str = ""
    trail: tuple[tuple[str, str], ...] = ()
    chapters: tuple[DeskLink, ...] = ()


def framed(page: DeskPage) -> str:
    """Return a page of the desk, whole."""
    desk = (
        DeskLink(text, f"/_desk/{name}/", current=name == page.here)
        for name, text in DESK
    )
    above = tuple(DeskLink(*link) for link in page.trail)
    trail = f'<nav class="trail" aria-label="Above this page">{_list(above)}</nav>'
    foot = f'<nav aria-label="Chapters">{_list(page.chapters)}</nav>'
    return _FRAME.format(
        title=escape(page.title),
        desk=_list(desk),
        trail=f"{trail}\n" if above else "",
        body=page.body,
        foot=f"{foot}\n" if page.chapters else "",
    )


def _list(links: Iterable[DeskLink]) -> str:
    items = "\n".join(link.item for link in links)
    return f"<ul>\n{items}\n</ul>"


def dressed(html: str, out: Path) -> str:
    """Return a page with stylesheet and icon by the names that the preview gave them.

    Their names follow their bytes; before the first compile there are none.

    Args:
        html: a page of the desk.
        out: where the preview is compiled into.
    """
    for name in ("site.css", "icon.svg"):
        stem, _, ending = name.rpartition(".")
        made = sorted((out / "assets").glob(f"{stem}.*.{ending}"))
        if made:
            html = html.replace(f"/assets/{name}", f"/assets/{made[0].name}")
    return html
