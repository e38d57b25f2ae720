"""One page becomes bytes."""

from __future__ import annotations

import traceback
from collections.abc import Callable
from typing import TYPE_CHECKING, Any
from urllib.parse import quote, urlsplit

from sitegen.pages import addresses
from sitegen.pages.addresses import Address
from sitegen.pages.environment import LayoutFault
from sitegen.pages.frame import Page, Site
from sitegen.pages.links import disclosed, doubt_link, rel
from sitegen.pages.words import Words

if TYPE_CHECKING:
    from jinja2 import Environment

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
) -> bytes:
    """Return the bytes of a page: UTF-8, ending with one newline.

    A layout sees ``site``, ``page``, ``ctx`` (the page's context), ``_`` and
    ``plural`` (the words), ``locale``, ``link(to, query)``, ``asset(name)``,
    ``addresses`` (the module of fixed addresses), ``doubt`` (where to report a doubt
    about this page) and ``rel(sponsored=…)``.

    Args:
        environment: as made by ``sitegen.pages.environment``.
        site: what every page says.
        page: the page.
        words: the interface's words.
        published: name of an asset to the name under which it is published.

    Raises:
        LayoutFault: if the layout is missing, malformed, or asks for what the page
            does not have.
    """
    from jinja2 import (  # noqa: PLC0415 - only where layouts are rendered
        TemplateError,
        TemplateNotFound,
        TemplateSyntaxError,
    )

    try:
        template = environment.get_template(
            page.layout, globals=_bound(site, page, words, published)
        )
        text = template.render()
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
    return f"{disclosed(text.rstrip(), site.disclosure)}\n".encode()


def _bound(
    site: Site, page: Page, words: Words, published: Callable[[str], str]
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
