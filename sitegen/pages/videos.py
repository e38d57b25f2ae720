"""The page of videos and articles: chapters, devices, comparisons."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.pages.addresses import VIDEOS
from sitegen.pages.formats import clock_text, date_text
from sitegen.pages.frame import Block, Linked, Page, Site
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class VideoEntry:
    """One video, or article, as its record and those it names describe it.

    Attributes:
        id: id of the record; the entry's anchor.
        title: its title.
        url: its address.
        date: day of publication, ISO.
        chapters: start in seconds and title, in order.
        devices: devices shown that have a page.
        comparisons: comparisons linked that have a page.
        disclosure: who paid for it or lent what, or ``""``.
        text: what it is about, or nothing.
        held: whether it is held (preview only).
    """

    id: str
    title: str
    url: str
    date: str
    chapters: tuple[tuple[int, str], ...] = ()
    devices: tuple[Linked, ...] = ()
    comparisons: tuple[Linked, ...] = ()
    disclosure: str = ""
    text: Block | None = None
    held: bool = False


@dataclass(frozen=True, slots=True)
class VideosGiven:
    """What the page shows.

    Attributes:
        videos: every video, in any order.
    """

    videos: tuple[VideoEntry, ...]


@dataclass(frozen=True, slots=True)
class ChapterShown:
    """A chapter.

    Attributes:
        at: start, as ``m:ss`` or ``h:mm:ss``.
        title: its title.
    """

    at: str
    title: str


@dataclass(frozen=True, slots=True)
class VideoShown:
    """An entry of the page.

    Attributes:
        entry: the video.
        day: day of publication, for readers.
        chapters: its chapters.
    """

    entry: VideoEntry
    day: str
    chapters: tuple[ChapterShown, ...]


@dataclass(frozen=True, slots=True)
class VideosContext:
    """What the layout loops over.

    Attributes:
        videos: newest first.
    """

    videos: tuple[VideoShown, ...]


def videos_page(site: Site, words: Words, given: VideosGiven) -> Page:
    """Return the page of videos, the newest first."""
    by_id = sorted(given.videos, key=lambda video: video.id)
    newest_first = sorted(by_id, key=lambda video: video.date, reverse=True)
    return Page(
        address=VIDEOS,
        layout="videos.html",
        title=words("Videos"),
        summary=words(
            "Videos and articles that show results of {site}, with the devices and "
            "comparisons that they are about.",
            site=site.name,
        ),
        context=VideosContext(
            tuple(
                VideoShown(
                    entry=video,
                    day=date_text(video.date, words),
                    chapters=tuple(
                        ChapterShown(clock_text(at), title)
                        for at, title in video.chapters
                    ),
                )
                for video in newest_first
            )
        ),
        section=VIDEOS,
    )
