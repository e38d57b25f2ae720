"""What the page of a device is given to show."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from sitegen.findings.results import Pooled
from sitegen.findings.settle import Surprise
from sitegen.findings.views import (
    ClaimView,
    CostView,
    Labels,
    Place,
    QuietPick,
    ResultRow,
)
from sitegen.model import Device, SoundMethod
from sitegen.model.archive import Assumptions
from sitegen.pages.addresses import Address
from sitegen.pages.changes import ChangeEntry
from sitegen.pages.citation import Citation
from sitegen.pages.frame import Block, Caution, DrawnFigure, Linked
from sitegen.pages.run_rows import RunBrief


@dataclass(frozen=True, slots=True)
class PhotoShown:
    """A photograph.

    Attributes:
        to: the file.
        alt: what it shows.
        credit: who took it.
        width: in pixels.
        height: in pixels.
        smaller: width in pixels and file of each smaller size.
    """

    to: Address
    alt: str
    credit: str
    width: int
    height: int
    smaller: tuple[tuple[int, Address], ...] = ()


@dataclass(frozen=True, slots=True)
class DeviceGiven:
    """What the page shows.

    Attributes:
        device: the device's record.
        labels: names of its parts.
        rows: all its results.
        current: those of the primary fraction under the newest methods.
        places: where the headline's numbers stand among all tested.
        quiet: the best under the quiet cap.
        costs: a year's cost and that of ownership, by configuration.
        assumptions: what costs rest on.
        claims: the maker's claims against measurement.
        ratings: index of a directory and one figure listed there.
        runs: all its runs.
        methods: methods that its results rest on.
        families: method to its comparable set.
        surprises: current results that are not settled.
        outlying: results of the primary fraction, one of whose runs stands off.
        figure: its decay figure, or nothing.
        texts: Markdown of the record: ``note``, ``modified``, ``verdict``,
            ``withdrawn``, ``response:0`` …, ``acquired:0`` ….
        cautions: cautions that follow from the record.
        changes: entries of the change log about it or what it rests on.
        comparisons: comparisons that it stands in.
        tables: tables that it stands in.
        videos: videos about it.
        superseded_by: the device that replaces it, or nothing.
        filters: filters that fit it, with how many at once as note.
        photos: photographs.
        bundle: whether there is a zip of its series.
        qr: QR code of the permanent address, as SVG.
        cite: how to cite the page, or nothing.
        airflows: configuration to measured airflow, m³/h.
        loose: settings with sound or power and no decay run.
        sound_methods: how the levels were measured.
        sound_grades: how their background was treated, by configuration.
    """

    device: Device
    labels: Labels
    rows: tuple[ResultRow, ...]
    current: tuple[ResultRow, ...]
    places: tuple[Place, ...]
    quiet: QuietPick
    costs: tuple[CostView, ...]
    assumptions: Assumptions
    claims: tuple[ClaimView, ...] = ()
    ratings: tuple[tuple[int, ClaimView], ...] = ()
    runs: tuple[RunBrief, ...] = ()
    methods: tuple[Linked, ...] = ()
    families: Mapping[str, str] = field(default_factory=dict)
    surprises: tuple[Surprise, ...] = ()
    outlying: tuple[Pooled, ...] = ()
    figure: DrawnFigure | None = None
    texts: Mapping[str, Block] | None = None
    cautions: tuple[Caution, ...] = ()
    changes: tuple[ChangeEntry, ...] = ()
    comparisons: tuple[Linked, ...] = ()
    tables: tuple[Linked, ...] = ()
    videos: tuple[Linked, ...] = ()
    superseded_by: Linked | None = None
    filters: tuple[Linked, ...] = ()
    photos: tuple[PhotoShown, ...] = ()
    bundle: bool = False
    qr: str = ""
    cite: Citation | None = None
    airflows: Mapping[str, float] = field(default_factory=dict)
    loose: tuple[ResultRow, ...] = ()
    sound_methods: tuple[SoundMethod, ...] = ()
    sound_grades: Mapping[str, str] = field(default_factory=dict)
