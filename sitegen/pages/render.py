"""One page becomes bytes."""

from __future__ import annotations

import traceback
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any
from urllib.parse import quote, urlsplit

from sitegen.pages import addresses
from sitegen.pages.addresses import Address
from sitegen.pages.environment import LayoutFault
from sitegen.pages.frame import Page, Site
from sitegen.pages.links import disclosed, doubt_link, rel
from sitegen.pages.other_units import other_system, with_other_units
from sitegen.pages.own_words import own_words
from sitegen.pages.words import Words

if TYPE_CHECKING:
    from jinja2 import Environment

UNIT_SCRIPTS = ("reckoning.js", "units.js")
"""Scripts of a page whose units the reader can change, before its own."""
# What an expression in a layout can raise; a layout that includes itself, the last.
_OF_A_LAYOUT = (
    TypeError,
    AttributeError,
    LookupError,
    ValueError,
    ArithmeticError,
    RecursionError,
)


def _as_named(name: str) -> str:
    return name


def render(
    environment: Environment,
    site: Site,
    page: Page,
    words: Words,
    published: Callable[[str], str] = _as_named,
    other: Page | None = None,
) -> bytes:
    """Return the bytes of a page: UTF-8, ending with one newline.

    A layout sees ``site``, ``page``, ``ctx`` (the page's context), ``_`` and
    ``plural`` (the words), ``locale``, ``link(to, query)``, ``asset(name)``,
    ``addresses`` (the module of fixed addresses), ``doubt`` (where to report a doubt
    about this page), ``rel(sponsored=…)``, ``scripts`` (all that the page needs) and
    ``both_units`` (the archive's own units where the reader can change them, else
    ``""``).

    Args:
        environment: as made by ``sitegen.pages.environment``.
        site: what every page says.
        page: the page.
        words: the interface's words.
        published: name of an asset to the name under which it is published.
        other: the same page in the other system of units, for a page that holds both.

    Raises:
        LayoutFault: if the layout is missing, malformed, or asks for what the page
            does not have.
    """
    text = ""
    if other is not None:
        own = site.units
        there = replace(site, units=other_system(own))
        mine = _text(environment, site, page, words, published, own)
        theirs = _text(environment, there, other, words, published, own)
        text = with_other_units(mine, theirs)
        if text == mine:
            text = ""
    if not text:
        text = _text(environment, site, page, words, published)
    return f"{disclosed(text.rstrip(), site.disclosure)}\n".encode()


def _text(
    environment: Environment,
    site: Site,
    page: Page,
    words: Words,
    published: Callable[[str], str],
    both_units: str = "",
) -> str:
    from jinja2 import (  # noqa: PLC0415 - only where layouts are rendered
        TemplateError,
        TemplateNotFound,
        TemplateSyntaxError,
    )

    bound = _bound(site, page, words, published, both_units)
    try:
        template = environment.get_template(page.layout, globals=bound)
        return template.render()
    except TemplateNotFound as error:
        missing = str(error.name or page.layout)
        raise LayoutFault("missing", page.layout, 0, missing) from error
    except TemplateSyntaxError as error:
        name = error.name or page.layout
        raise LayoutFault("syntax", name, error.lineno, error.message or "") from error
    except (*_OF_A_LAYOUT, TemplateError) as error:
        # The engine rewrites tracebacks so that they name the layout and its line.
        name, line = _where(error, page.layout)
        raise LayoutFault("failed", name, line, str(error)) from error


def _bound(
    site: Site,
    page: Page,
    words: Words,
    published: Callable[[str], str],
    both_units: str,
) -> dict[str, Any]:
    def link(to: Address, query: str = "") -> str:
        if page.address == addresses.NOT_FOUND:
            return _from_root(site, to, query)
        return addresses.link(page.address, to, query)

    def asset(name: str) -> str:
        return link(addresses.asset(published(name)))

    return {
        "site": site,
        "page": page,
        "ctx": page.context,
        "_": words,
        "plural": words.plural,
        "locale": words.locale,
        "addresses": addresses,
        "doubt": doubt_link(site, page),
        "link": link,
        "asset": asset,
        "rel": rel,
        "both_units": both_units,
        "own_words": own_words(words),
        "scripts": tuple(
            dict.fromkeys((*(UNIT_SCRIPTS if both_units else ()), *page.scripts))
        ),
    }


def _from_root(site: Site, to: Address, query: str) -> str:
    """Return a link for the page that a server shows at addresses of any depth."""
    base = urlsplit(site.base).path.rstrip("/")
    asked = f"?{query}" if query else ""
    fragment = f"#{quote(to.fragment)}" if to.fragment else ""
    return f"{base}/{quote(to.path)}{asked}{fragment}"


def _where(error: BaseException, layout: str) -> tuple[str, int]:
    for frame in reversed(traceback.extract_tb(error.__traceback__)):
        if not frame.filename.endswith(".py"):
            return frame.filename, frame.lineno or 0
    return layout, 0
