"""Links that leave the site: which may be written, and with which ``rel``."""

from __future__ import annotations

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
