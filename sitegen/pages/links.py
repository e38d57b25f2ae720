"""Links that leave the site: which may be written, and with which ``rel``."""

from __future__ import annotations

from html import escape
from urllib.parse import quote

from pydantic_core import PydanticCustomError

from sitegen.model.scalars import parse_link
from sitegen.pages.frame import Page, Site

REL_OUTSIDE = "nofollow noopener"
REL_SPONSORED = "sponsored nofollow noopener"


def safe_link(text: str) -> str | None:
    """Return a web or mail address as it may stand in a page, or nothing.

    Only ``https``, ``http`` and ``mailto`` are taken, as in records.
    """
    try:
        return parse_link(text)
    except PydanticCustomError:
        return None


DISCLOSURE_MARK = "<!--disclosure-->"
"""Stands before a link in a text that earns; no text can hold it, HTML being off."""


def disclosed(html: str, disclosure: str) -> str:
    """Return HTML with the disclosure before the first link in a text that earns.

    Args:
        html: a page or a part of one.
        disclosure: the archive's sentence, plain text.
    """
    before, mark, after = html.partition(DISCLOSURE_MARK)
    if not mark:
        return html
    said = f'<small class="disclosure">{escape(disclosure)}</small> '
    return f"{before}{said}{after.replace(DISCLOSURE_MARK, '')}"


def rel(*, sponsored: bool = False) -> str:
    """Return the ``rel`` of a link that leaves the site.

    Args:
        sponsored: whether the link can earn the tester money; only a record says so.
    """
    return REL_SPONSORED if sponsored else REL_OUTSIDE


def doubt_link(site: Site, page: Page) -> str:
    """Return where a doubt about a page is reported, or ``""``.

    A mail begins with the page's permanent address as its subject.
    """
    if site.contact.startswith("mailto:") and "?" not in site.contact:
        return f"{site.contact}?subject={quote(page.address.canonical(site.base))}"
    return site.contact
