"""Prose: Markdown of a page or of a record's text field, as safe HTML.

Raw HTML is off. A link names a record (``device:alder-3``), a prose page
(``page:glossary``) or an address outside; the former stay as they are written until
``linked`` puts the addresses in, so that what is parsed does not depend on where
other records stand. Figures are put in place by their comparison's id.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING
from urllib.parse import unquote

from sitegen.errors import Fault, Place
from sitegen.load.decoded import decode
from sitegen.load.guesses import guess
from sitegen.model.chronicle import TARGET_KINDS
from sitegen.model.scalars import ID_PATTERN
from sitegen.pages.frame import Block
from sitegen.pages.links import REL_OUTSIDE, REL_SPONSORED, safe_link
from sitegen.pages.markdown_tokens import (
    framed,
    marker,
    plain,
    stands_alone,
    summary,
    titled,
)

if TYPE_CHECKING:
    from markdown_it import MarkdownIt
    from markdown_it.token import Token

Hrefs = Callable[[str], str | None]
"""``KIND:ID`` (or ``page:ID``) to the link to write, or nothing where none is."""

SPONSORED = "sponsored"
"""Title of a link that earns: ``[the shop](https://example.org "sponsored")``."""
MAX_BYTES = 150_000
_KINDS = (*TARGET_KINDS, "page")
_RECORD_LINK = re.compile(rf"({'|'.join(_KINDS)}):([^#]*)(?:#([\w-]+))?")
# Only our own renderer writes an ``<a``: what a text holds of it is escaped.
_WRITTEN_LINK = re.compile(
    rf'<a href="((?:{"|".join(_KINDS)}):[a-z0-9-]+)(#[^"]*)?">(.*?)</a>', re.DOTALL
)


@dataclass(frozen=True, slots=True)
class Part:
    """A stretch of prose, or a figure that stands between two of them.

    Attributes:
        html: safe HTML; ``""`` for a figure.
        comparison: for a figure: id of the comparison whose figure and table it is.
        caption: for a figure: its caption, plain text.
    """

    html: str
    comparison: str = ""
    caption: str = ""


@dataclass(frozen=True, slots=True)
class RecordLink:
    """A link to a record, a prose page or a comparison's figure.

    Attributes:
        target: ``KIND:ID``, or ``page:ID``.
        line: line on which it stands, counted from 1.
    """

    target: str
    line: int


@dataclass(frozen=True, slots=True)
class Prose:
    """A text as it was parsed.

    Attributes:
        title: text of the first heading; ``""`` for a record's text.
        summary: the first paragraph as plain text, shortened.
        parts: the text, in order; links to records are not yet addresses.
        links: the records that it links to, in order.
        embeds: ids of the comparisons whose figures it shows, in order.
        faults: everything wrong with it.
    """

    title: str
    summary: str
    parts: tuple[Part, ...]
    links: tuple[RecordLink, ...] = ()
    embeds: tuple[str, ...] = ()
    faults: tuple[Fault, ...] = ()

    @property
    def targets(self) -> tuple[str, ...]:
        """The records that it links to or shows, each once, sorted."""
        shown = (f"comparison:{one}" for one in self.embeds)
        return tuple(sorted({*(link.target for link in self.links), *shown}))


def parse_prose(data: bytes, file: str) -> Prose:
    """Return a prose page.

    Args:
        data: bytes of the Markdown file.
        file: its path below the archive, for the places of faults.
    """
    decoded = decode(data, file, MAX_BYTES)
    if decoded.text is None:
        return Prose("", "", (), faults=decoded.faults)
    reading = _Reading(Place(file), "", is_page=True)
    prose = reading.read(decoded.text)
    faults = (*decoded.faults, *prose.faults)
    if not prose.title:
        faults = (Fault("prose-without-title", Place(file, 1, 1)), *faults)
    return Prose(
        prose.title, prose.summary, prose.parts, prose.links, prose.embeds, faults
    )


def parse_text(text: str, place: Place = Place(""), path: str = "") -> Prose:  # noqa: B008 - frozen
    """Return the Markdown text of a record's field.

    Its headings begin at the third level, and it holds no figures.

    Args:
        text: the Markdown.
        place: where the field stands, for the places of faults.
        path: dotted path of the field.
    """
    return _Reading(place, path, is_page=False).read(text)


def linked(prose: Prose, hrefs: Hrefs) -> tuple[Part, ...]:
    """Return the parts of a text with the addresses of its links.

    Args:
        prose: the text.
        hrefs: ``KIND:ID`` to the link to write on the page where the text stands;
            where it returns nothing, the link's text stays without a link.
    """
    return tuple(
        Part(_with_links(part.html, hrefs), part.comparison, part.caption)
        for part in prose.parts
    )


def text_block(text: str, hrefs: Hrefs) -> Block:
    """Return the Markdown text of a record's field as it stands in a page.

    Args:
        text: the Markdown.
        hrefs: see ``linked``.
    """
    prose = parse_text(text)
    html = "".join(part.html for part in linked(prose, hrefs))
    return Block(html, prose.targets)


def unknown_links(
    prose: Prose,
    file: str,
    known: Callable[[str], bool],
    choices: Collection[str] = (),
) -> tuple[Fault, ...]:
    """Return a fault for each link to something that does not exist.

    Args:
        prose: a prose page.
        file: its path below the archive.
        known: whether ``KIND:ID`` or ``page:ID`` exists.
        choices: what exists, to guess from what was meant.
    """
    return tuple(
        Fault(
            "link-unknown",
            Place(file, link.line),
            "",
            {"target": link.target, **like(link.target, choices)},
        )
        for link in prose.links
        if not known(link.target)
    )


def like(target: str, choices: Collection[str]) -> dict[str, str]:
    """Return ``{"guess": …}`` for what a link to nothing was meant for, else nothing.

    Args:
        target: ``KIND:ID`` as written.
        choices: what exists, in the same form.
    """
    kind, _, name = target.partition(":")
    start = f"{kind}:"
    ids = [each.removeprefix(start) for each in choices if each.startswith(start)]
    found = guess(name, ids)
    return {"guess": f"{start}{found['guess']}"} if found else {}


def _with_links(html: str, hrefs: Hrefs) -> str:
    def written(found: re.Match[str]) -> str:
        href = hrefs(found[1])
        if href is None:
            return found[3]
        safe = href.replace("&", "&amp;").replace('"', "&quot;")
        return f'<a href="{safe}{found[2] or ""}">{found[3]}</a>'

    return _WRITTEN_LINK.sub(written, html)


def slug(text: str) -> str:
    """Return a heading's text as an element's id: letters, digits and hyphens."""
    plain = unicodedata.normalize("NFKD", text).casefold()
    kept = "".join(char for char in plain if not unicodedata.combining(char))
    return re.sub(r"[^\w]+", "-", kept).strip("-_") or "section"


def _parser(*, is_page: bool) -> MarkdownIt:
    from markdown_it import MarkdownIt  # noqa: PLC0415 - only where prose is read
    from mdit_py_plugins.footnote import footnote_plugin  # noqa: PLC0415

    made = MarkdownIt("commonmark", {"html": False, "xhtmlOut": False}).enable("table")
    if is_page:
        made.use(footnote_plugin)
    # Every link is taken here so that a refused one can be reported below, where
    # otherwise its source would silently be shown as text.
    made.validateLink = _taken_for_now  # type: ignore[method-assign]
    return made


def _taken_for_now(url: str) -> bool:  # noqa: ARG001 - the parser's signature
    return True


@dataclass(slots=True)
class _Reading:
    """The state of reading one text."""

    place: Place
    path: str
    is_page: bool
    faults: list[Fault] = field(default_factory=list)
    links: list[RecordLink] = field(default_factory=list)
    embeds: list[str] = field(default_factory=list)
    anchors: set[str] = field(default_factory=lambda: {"main", "top"})
    fragments: list[tuple[str, int]] = field(default_factory=list)

    def read(self, text: str) -> Prose:
        parser = _parser(is_page=self.is_page)
        tokens = parser.parse(text)
        title, tokens = titled(tokens) if self.is_page else ("", tokens)
        self._headings(tokens)
        wrapped = list(framed(tokens))
        parts: list[Part] = []
        start = 0
        for at, figure in self._figures(wrapped):
            parts.append(self._html(parser, wrapped[start:at]))
            parts.append(figure)
            start = at + 3
        parts.append(self._html(parser, wrapped[start:]))
        for name, line in self.fragments:
            if name not in self.anchors:
                self._fault("link-fragment-unknown", line, target=name)
        return Prose(
            title,
            summary(tokens),
            tuple(part for part in parts if part.html or part.comparison),
            tuple(self.links),
            tuple(self.embeds),
            tuple(sorted(self.faults, key=lambda fault: fault.place)),
        )

    def _fault(self, code: str, line: int, **values: str) -> None:
        # Within a record only the field's own place is known.
        place = Place(self.place.file, line) if self.is_page else self.place
        self.faults.append(Fault(code, place, self.path, values))

    def _headings(self, tokens: Sequence[Token]) -> None:
        """Renumber headings so that no level is skipped, and give them ids."""
        first = 2 if self.is_page else 3
        open_levels: list[int] = []
        for at, token in enumerate(tokens):
            if token.type == "heading_open":
                level = int(token.tag[1:])
                while open_levels and open_levels[-1] >= level:
                    open_levels.pop()
                open_levels.append(level)
                token.tag = f"h{min(6, first + len(open_levels) - 1)}"
                tokens[at + 2].tag = token.tag
                if self.is_page:
                    token.attrSet("id", self._anchor(plain(tokens[at + 1])))

    def _anchor(self, text: str) -> str:
        wanted = name = slug(text)
        count = 1
        while name in self.anchors:
            count += 1
            name = f"{wanted}-{count}"
        self.anchors.add(name)
        return name

    def _figures(self, tokens: Sequence[Token]) -> Iterator[tuple[int, Part]]:
        """Yield figures that stand alone, and check everything inline."""
        for at, token in enumerate(tokens):
            if token.type != "inline":
                continue
            figure = self._inline(token, alone=stands_alone(tokens, at))
            if figure is not None:
                yield at - 1, figure

    def _inline(self, token: Token, *, alone: bool) -> Part | None:
        line = token.map[0] + 1 if token.map else 1
        figure: Part | None = None
        is_refused = False
        kept: list[Token] = []
        for child in token.children or []:
            if child.type in {"softbreak", "hardbreak"}:
                line += 1
            elif child.type == "image":
                figure = self._image(child, line, alone=alone)
                continue
            elif child.type == "link_open":
                earns = child.attrGet("title") == SPONSORED
                is_refused = not self._link(child, line)
                if earns and child.attrGet("rel") == REL_OUTSIDE:
                    child.attrSet("rel", REL_SPONSORED)
                    kept.append(marker())
            # Links do not nest: the next end is that of the link refused.
            if not (is_refused and child.type in {"link_open", "link_close"}):
                kept.append(child)
        token.children = kept
        return figure

    def _image(self, image: Token, line: int, *, alone: bool) -> Part | None:
        source = str(image.attrGet("src") or "")
        kind, _, name = source.partition(":")
        if kind != "comparison" or not ID_PATTERN.fullmatch(name):
            self._fault("image-refused", line, target=source[:60])
        elif not self.is_page or not alone:
            self._fault("figure-not-alone", line, target=source[:60])
        else:
            self.links.append(RecordLink(source, line))
            self.embeds.append(name)
            return Part("", name, plain(image))
        return None

    def _link(self, token: Token, line: int) -> bool:
        """Note a link; return whether it may be written."""
        href = str(token.attrGet("href") or "")
        record = _RECORD_LINK.fullmatch(href)
        if record and ID_PATTERN.fullmatch(record[2]):
            self.links.append(RecordLink(f"{record[1]}:{record[2]}", line))
            token.attrs = {"href": href}
        elif href.startswith("#") and self.is_page:
            self.fragments.append((unquote(href[1:]), line))
        elif not record and safe_link(href):
            token.attrs = {"href": href, "rel": REL_OUTSIDE}
        else:
            self._fault("link-refused", line, target=href[:60])
            return False
        return True

    def _html(self, parser: MarkdownIt, tokens: Sequence[Token]) -> Part:
        return Part(parser.renderer.render(tokens, parser.options, {}))
