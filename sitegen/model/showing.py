"""What is shown: tables, comparisons, their frozen editions, videos."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, model_validator

from sitegen.model.base import (
    ComparisonRef,
    LooseComparisonRef,
    LooseDeviceRef,
    LooseVideoRef,
    Part,
    Record,
)
from sitegen.model.configuration import ConfigurationText
from sitegen.model.scalars import (
    Clock,
    Date,
    Id,
    Line,
    NotNegative,
    Number,
    Share,
    Text,
    WebLink,
    parse_number,
)

FigureKind = Literal["decay", "scatter", "ranked"]


class Condition(Part):
    """One condition that a row must meet; exactly one of the four tests."""

    field: Line
    """A quantity, or ``form``, ``maker``, ``device``, ``filter``, ``speed``."""
    is_: Line | None = None
    """The value wanted."""
    one_of: tuple[Line, ...] | None = None
    """The values taken."""
    at_most: Number | None = None
    """Largest number taken."""
    at_least: Number | None = None
    """Smallest number taken."""

    @model_validator(mode="before")
    @classmethod
    def _is_is_no_name(cls, data: Any) -> Any:  # noqa: ANN401 - bytes from outside
        # ``is`` is no name that Python takes for a field.
        if isinstance(data, dict):
            return {("is_" if key == "is" else key): item for key, item in data.items()}
        return data


class Table(Record):
    """A sortable comparison table."""

    title: Line
    """Title of the table."""
    intro: Text | None = None
    """What the table is for, in Markdown."""
    columns: tuple[Line, ...]
    """Quantities shown, by their names in ``results.csv``."""
    where: tuple[Condition, ...] = ()
    """Conditions that a row must meet."""
    order: Line = "-cadr_m3h"
    """Column to sort by; a leading hyphen puts the largest first."""
    caption: Line | None = None
    """A line under the table."""


class Comparison(Record):
    """A named chart and table of chosen configurations, made for linking."""

    title: Line
    """Title of the comparison."""
    question: Line
    """The question that it answers."""
    text: Text | None = None
    """What was compared and how, in Markdown."""
    configurations: tuple[ConfigurationText, ...] = ()
    """The configurations, as ``DEVICE.FILTER.SPEED``; or use ``where``."""
    where: tuple[Condition, ...] = ()
    """Conditions that a configuration must meet."""
    figure: FigureKind = "ranked"
    """Which figure is drawn."""
    x: Line | None = None
    """Quantity across, for a scatter."""
    y: Line | None = None
    """Quantity up, for a scatter; quantity ranked, for ranked intervals."""
    video: LooseVideoRef | None = None
    """The video that it was made for."""


def _number_or_gap(value: Any) -> float | None:  # noqa: ANN401 - bytes from outside
    return None if value is None or value == "" else parse_number(value)


NumberOrGap = Annotated[float | None, BeforeValidator(_number_or_gap)]
"""A number; an empty text where there is a gap."""


class FrozenLine(Part):
    """One run of a decay figure as it was drawn."""

    label: Line
    """Name of its configuration; the runs of one share it."""
    role: Literal["middle", "repeat"]
    """Drawn strongly or thinly."""
    minutes: tuple[NotNegative, ...]
    """Minutes since the start of the fitted part."""
    share: tuple[NumberOrGap, ...]
    """Share of the start's concentration at these minutes."""
    decay_per_h: Number | None = None
    """Fitted decay rate, 1/h."""
    decay_low: Number | None = None
    """Lower limit of its 95 % interval."""
    decay_high: Number | None = None
    """Upper limit of its 95 % interval."""


class FrozenFigure(Part):
    """What a comparison's figure showed; quantities stand in the edition's rows."""

    kind: FigureKind
    """Which figure was drawn."""
    x: Line | None = None
    """Quantity across, for a scatter."""
    y: Line | None = None
    """Quantity up, or ranked."""
    target: Share | None = None
    """For decay: the share that counted as cleared, where all agreed."""
    sets: dict[Id, Line] = {}
    """Method to the name of its comparable set, where several sets met."""
    lines: tuple[FrozenLine, ...] = ()
    """For decay: the lines."""


class Edition(Record):
    """A comparison's numbers frozen on a date, as a video showed them."""

    comparison: ComparisonRef
    """The comparison."""
    pinned: Date
    """The date; part of the edition's address."""
    title: Line
    """Its title on that date."""
    question: Line | None = None
    """The question that it answered."""
    answer: Line | None = None
    """The sentence that answered it."""
    columns: tuple[Line, ...]
    """Names of the quantities frozen."""
    shown: tuple[Line, ...] = ()
    """Those that its table showed; all of them when not given."""
    rows: tuple[tuple[str, ...], ...]
    """One row a configuration, as published that day; empty = not measured."""
    names: dict[ConfigurationText, Line] = {}
    """Configuration to the name by which it was shown."""
    methods: dict[Id, Line] = {}
    """Methods that the numbers rest on, and their names and versions."""
    units: Literal["metric", "us"] | None = None
    """Units in which they were shown; those of the archive when not given."""
    figure: FrozenFigure | None = None
    """What its figure showed."""
    assumptions: dict[Line, str] = {}
    """The assumptions behind costs on that date."""
    note: Text | None = None
    """A remark, in Markdown."""


class Chapter(Part):
    """A chapter of a video."""

    at: Clock
    """Start, as ``m:ss`` or ``h:mm:ss``; seconds."""
    title: Line
    """Title."""


class Video(Record):
    """A video, or an article, that shows results of the archive."""

    title: Line
    """Title."""
    url: WebLink
    """Address."""
    date: Date
    """Day of publication."""
    chapters: tuple[Chapter, ...] = ()
    """Chapters, in order."""
    devices: tuple[LooseDeviceRef, ...] = ()
    """Devices shown."""
    comparisons: tuple[LooseComparisonRef, ...] = ()
    """Comparisons linked; the first is the one that the sheet cites."""
    disclosure: Line | None = None
    """Who paid for it or lent what, if anybody; said before all links."""
    text: Text | None = None
    """What it is about, in Markdown."""
