"""Follows the links of a compiled site on disk, as a reader without scripts does."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from posixpath import dirname, join, normpath
from urllib.parse import unquote, urlsplit

# Attributes that lead somewhere, by element.
_LEADING = {
    "a": "href",
    "link": "href",
    "img": "src",
    "script": "src",
    "audio": "src",
    "source": "src",
}


@dataclass
class Seen(HTMLParser):
    """What a page holds.

    Attributes:
        links: where it leads, as written.
        ids: ids of its elements.
        refresh: where it leads on by itself, or ``""``.
        canonical: the address that it calls its own.
    """

    links: list[str] = field(default_factory=list)
    ids: set[str] = field(default_factory=set)
    refresh: str = ""
    canonical: str = ""

    def __post_init__(self) -> None:
        super().__init__()

    def __hash__(self) -> int:
        return id(self)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note where an element leads and what it is called."""
        given = {name: value or "" for name, value in attrs}
        if given.get("id"):
            self.ids.add(given["id"])
        if tag == "link" and given.get("rel") == "canonical":
            self.canonical = given["href"]
        elif tag == "meta" and given.get("http-equiv") == "refresh":
            self.refresh = given["content"].partition("url=")[2]
        elif given.get(_LEADING.get(tag, "")):
            self.links.append(given[_LEADING[tag]])


class Site:
    """A compiled site."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._seen: dict[str, Seen] = {}

    def pages(self) -> list[str]:
        """Return the paths of all pages, without the one that has no address."""
        found = sorted(self.folder.rglob("*.html"))
        paths = [path.relative_to(self.folder).as_posix() for path in found]
        return [path for path in paths if path != "404.html"]

    def seen(self, path: str) -> Seen:
        """Return what a page holds."""
        if path not in self._seen:
            page = Seen()
            page.feed((self.folder / path).read_text(encoding="utf-8"))
            self._seen[path] = page
        return self._seen[path]

    def addresses(self) -> set[tuple[str, str]]:
        """Return path and fragment of all that is published and linked within."""
        found = {
            (path.relative_to(self.folder).as_posix(), "")
            for path in self.folder.rglob("*")
            if path.is_file()
        }
        for page in self.pages():
            found.update(self.targets(page))
        return found

    def targets(self, page: str) -> set[tuple[str, str]]:
        """Return path and fragment of what a page leads to within the site."""
        links = [*self.seen(page).links, self.seen(page).refresh]
        return {self._from(page, link) for link in links if link and not _outside(link)}

    def _from(self, page: str, link: str) -> tuple[str, str]:
        parts = urlsplit(link)
        path = unquote(parts.path)
        target = normpath(join(dirname(page), path)) if path else page
        return target, unquote(parts.fragment)

    def trouble(self, path: str, fragment: str = "", steps: int = 5) -> str:
        """Return why an address does not resolve, or ``""``.

        A page that moved is followed, with the fragment; one that is gone resolves
        with a page that says so.
        """
        if not (self.folder / path).is_file():
            return f"{path}: there is nothing"
        if not path.endswith(".html"):
            return ""
        page = self.seen(path)
        if page.refresh:
            if not steps:
                return f"{path}: leads in a circle"
            to, _ = self._from(path, page.refresh)
            return self.trouble(to, fragment, steps - 1)
        if fragment and fragment not in page.ids and not self.is_gone(path):
            return f"{path}: no #{fragment}"
        return ""

    def is_gone(self, path: str) -> bool:
        """Return whether a page says that what stood there was taken away."""
        return "No longer here" in (self.folder / path).read_text(encoding="utf-8")

    def end_of(self, path: str) -> str:
        """Return the page at which one arrives from a path."""
        refresh = self.seen(path).refresh
        return self.end_of(self._from(path, refresh)[0]) if refresh else path

    def broken(self) -> list[str]:
        """Return every link of the site that does not resolve."""
        return sorted(
            f"{page} -> {trouble}"
            for page in self.pages()
            for target in self.targets(page)
            if (trouble := self.trouble(*target))
        )


def _outside(link: str) -> bool:
    return bool(urlsplit(link).scheme) or link.startswith("//")
