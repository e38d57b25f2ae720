"""The words of a text without its markup."""

from __future__ import annotations

from html.parser import HTMLParser

_ENDS_A_STRETCH = frozenset({"p", "li", "blockquote", "h2", "h3", "h4", "tr", "br"})


def plain_text(html: str) -> str:
    """Return the words of a page's text on one line.

    Args:
        html: HTML as prose is written here.
    """
    reader = _Reader()
    reader.feed(html)
    reader.close()
    return " ".join("".join(reader.parts).split())


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.parts: list[str] = []

    def handle_data(self, data: str) -> None:
        self.parts.append(data)

    def handle_endtag(self, tag: str) -> None:
        if tag in _ENDS_A_STRETCH:
            self.parts.append(" ")
