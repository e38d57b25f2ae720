"""``sitemap.xml`` and ``robots.txt``, as sitemaps.org and RFC 9309 have them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from sitegen.pages.addresses import SITEMAP, Address

# The protocol's limit for one file; it also bounds a file to 50 MB, which this count
# of addresses stays below by far (an address of ours has under 300 characters).
MOST_ADDRESSES = 50_000

_NAMESPACE = "http://www.sitemaps.org/schemas/sitemap/0.9"


def sitemap_xml(base: str, addresses: Iterable[Address]) -> bytes:
    """Return one sitemap, its addresses sorted, each once.

    Args:
        base: canonical base of the archive.
        addresses: the pages to list.

    Raises:
        ValueError: if there are more than one file may list.
    """
    listed = _listed(base, addresses)
    if len(listed) > MOST_ADDRESSES:
        raise ValueError(len(listed))
    return _written("urlset", "url", listed)


def sitemap_files(
    base: str, addresses: Iterable[Address]
) -> tuple[tuple[Address, bytes], ...]:
    """Return the sitemap as one file, or as an index with as many as are needed.

    Args:
        base: canonical base of the archive.
        addresses: the pages to list.
    """
    listed = _listed(base, addresses)
    if len(listed) <= MOST_ADDRESSES:
        return ((SITEMAP, _written("urlset", "url", listed)),)
    starts = range(0, len(listed), MOST_ADDRESSES)
    parts = tuple(
        (
            Address(f"sitemap-{number}.xml"),
            _written("urlset", "url", listed[start : start + MOST_ADDRESSES]),
        )
        for number, start in enumerate(starts, 1)
    )
    places = [address.canonical(base) for address, _ in parts]
    return ((SITEMAP, _written("sitemapindex", "sitemap", places)), *parts)


def robots_txt(base: str) -> bytes:
    """Return ``robots.txt``: everything may be read, and where the sitemap is.

    Robots look for the file at the root of a host only; under a sub-path it is there
    to be copied.

    Args:
        base: canonical base of the archive.
    """
    return f"User-agent: *\nAllow: /\n\nSitemap: {SITEMAP.canonical(base)}\n".encode()


def _listed(base: str, addresses: Iterable[Address]) -> list[str]:
    # An element of a page is no page of its own.
    pages = {Address(address.path) for address in addresses}
    return sorted(page.canonical(base) for page in pages)


def _written(root: str, item: str, places: Sequence[str]) -> bytes:
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<{root} xmlns="{_NAMESPACE}">',
        *(f"<{item}><loc>{escape(place)}</loc></{item}>" for place in places),
        f"</{root}>",
    ]
    return ("\n".join(lines) + "\n").encode()
