"""What is read from the tokens of a text, and how its tables are framed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from sitegen.pages.links import DISCLOSURE_MARK

if TYPE_CHECKING:
    from markdown_it.token import Token

_ALIGNED = {"left": "to-left", "right": "to-right", "center": "centred"}


def titled(tokens: list[Token]) -> tuple[str, list[Token]]:
    """Return the text of the first heading, and the tokens without it."""
    for at, token in enumerate(tokens):
        if token.type == "heading_open" and token.level == 0:
            return plain(tokens[at + 1]), [*tokens[:at], *tokens[at + 3 :]]
    return "", tokens


def plain(token: Token) -> str:
    """Return the text of an inline token or of an image, without its marks."""
    texts = []
    for child in token.children or []:
        if child.type in {"text", "code_inline"}:
            texts.append(child.content)
        elif child.type in {"softbreak", "hardbreak"}:
            texts.append(" ")
        elif child.children:
            texts.append(plain(child))
    return "".join(texts).strip()


def summary(tokens: Sequence[Token], longest: int = 200) -> str:
    """Return the first paragraph, cut at a word where it is long."""
    for before, token in pairwise(tokens):
        if before.type == "paragraph_open" and token.type == "inline":
            text = " ".join(plain(token).split())
            if len(text) > longest:
                text = f"{text[:longest].rpartition(' ')[0]}…"
            if text:
                return text
    return ""


def stands_alone(tokens: Sequence[Token], at: int) -> bool:
    """Return whether an inline token is a paragraph of one thing, outside of lists."""
    children = tokens[at].children or []
    before = tokens[at - 1]
    return len(children) == 1 and before.type == "paragraph_open" and before.level == 0


def marker() -> Token:
    """Return what stands before a link that earns, until the disclosure does."""
    from markdown_it.token import Token as Made  # noqa: PLC0415

    made = Made("html_inline", "", 0)
    made.content = DISCLOSURE_MARK
    return made


def framed(tokens: Sequence[Token]) -> Iterator[Token]:
    """Yield the tokens with each table in a frame that scrolls by itself.

    Alignment becomes a class: the site's policy allows no style attributes.
    """
    from markdown_it.token import Token as Made  # noqa: PLC0415

    heading = ""
    for before, token in zip([None, *tokens], tokens, strict=False):
        if before is not None and before.type == "heading_open":
            heading = plain(token)
        if token.type == "table_open":
            frame = Made("div_open", "div", 1, block=True)
            frame.attrs = {"class": "frame", "tabindex": "0", "role": "region"}
            frame.attrs["aria-label"] = heading or "Table"
            yield frame
        if token.type in {"th_open", "td_open"}:
            aligned = str(token.attrs.pop("style", "")).rpartition(":")[2]
            if aligned in _ALIGNED:
                token.attrSet("class", _ALIGNED[aligned])
            if token.type == "th_open":
                token.attrSet("scope", "col")
        yield token
        if token.type == "table_close":
            yield Made("div_close", "div", -1, block=True)
