"""The page of one method version: what it prescribes, what rests on it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from sitegen.findings.repeatability import RepeatabilityFinding
from sitegen.findings.views import Labels
from sitegen.model import DecayMethod, PowerMethod, SoundMethod
from sitegen.pages.addresses import METHODS, RUNS, Address, of_record
from sitegen.pages.formats import date_text, minutes, percent, with_unit
from sitegen.pages.fractions import as_given, fraction_text, reading_unit_text
from sitegen.pages.frame import Block, Caution, Linked, Page, Site
from sitegen.pages.repeatability import RepeatabilityShown, repeatability_shown
from sitegen.pages.words import Words

AnyMethod = DecayMethod | SoundMethod | PowerMethod


@dataclass(frozen=True, slots=True)
class MethodGiven:
    """What the page shows.

    Attributes:
        method: the method's record.
        text: the method in full.
        room: for a decay method: the room.
        instruments: the instruments.
        unit: unit of the primary fraction's readings, as in the instrument's record.
        comparable: methods whose results may stand beside these, either way declared.
        replaced_by: the version that replaces this one, or nothing.
        replaces: versions that this one replaces.
        runs: how many published runs were made under it.
        results: how many results rest on it.
        cautions: cautions that follow from it.
        repeatability: for a decay method: adopted and current.
        names: labels of devices by id.
    """

    method: AnyMethod
    text: Block
    room: Linked | None = None
    instruments: tuple[Linked, ...] = ()
    unit: str = "ug/m3"
    comparable: tuple[Linked, ...] = ()
    replaced_by: Linked | None = None
    replaces: tuple[Linked, ...] = ()
    runs: int = 0
    results: int = 0
    cautions: tuple[Caution, ...] = ()
    repeatability: RepeatabilityFinding | None = None
    names: Mapping[str, Labels] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class MethodContext:
    """What the layout shows.

    Attributes:
        name: name of the method.
        version: its version.
        kind: what it measures.
        since: first day of this version.
        given: links, cautions and text.
        parameters: what it prescribes: label and value.
        rests: how many runs and results rest on it.
        to_runs: where the runs are.
        repeatability: for a decay method: how far its repeats scatter.
    """

    name: str
    version: str
    kind: str
    since: str
    given: MethodGiven
    parameters: tuple[tuple[str, str], ...]
    rests: str
    to_runs: Address
    repeatability: RepeatabilityShown | None


def kind_text(words: Words, kind: str) -> str:
    """Return what a method of a kind measures, for readers."""
    return {
        "decay": words("Decay of a test aerosol"),
        "sound": words("Sound level"),
        "power": words("Electrical power"),
    }[kind]


def method_title(words: Words, name: str, version: str) -> str:
    """Return a method's name with its version."""
    return words("{name}, version {version}", name=name, version=version)


def method_page(site: Site, words: Words, given: MethodGiven) -> Page:
    """Return the page of a method."""
    method = given.method
    title = method_title(words, method.name, method.version)
    rests = words(
        "{runs} and {results} rest on it.",
        runs=words.plural("{n} run", "{n} runs", given.runs),
        results=words.plural("{n} result", "{n} results", given.results),
    )
    return Page(
        address=of_record("method", method.id),
        layout="method.html",
        title=title,
        summary=words(
            "{kind}, as {site} measures it: {title}.",
            kind=kind_text(words, method.kind),
            site=site.name,
            title=title,
        ),
        context=MethodContext(
            name=method.name,
            version=method.version,
            kind=kind_text(words, method.kind),
            since=date_text(method.since.isoformat(), words),
            given=given,
            parameters=tuple(_parameters(site, words, given)),
            rests=rests,
            to_runs=RUNS,
            repeatability=None
            if given.repeatability is None
            else repeatability_shown(words, given.repeatability, given.names),
        ),
        section=METHODS,
        trail=((words("Methods"), METHODS),),
        held=method.held,
    )


def _parameters(
    site: Site, words: Words, given: MethodGiven
) -> Iterator[tuple[str, str]]:
    method = given.method
    if isinstance(method, DecayMethod):
        yield from _decay(words, method, reading_unit_text(words, given.unit))
    elif isinstance(method, SoundMethod):
        yield words("Distance"), with_unit(method.distance_m, "m", site.units, words)
        yield words("Position"), method.position
        yield words("Frequency weighting"), method.weighting
        if method.duration_s is not None:
            yield words("Averaging time"), f"{as_given(words, method.duration_s)} s"
    else:
        yield words("Averaging time"), minutes(method.duration_min, words)
        if method.voltage_v is not None:
            yield words("Mains voltage"), f"{as_given(words, method.voltage_v)} V"


def _decay(words: Words, method: DecayMethod, unit: str) -> Iterator[tuple[str, str]]:
    yield words("Test aerosol"), method.aerosol
    yield (
        words("Size fraction of results"),
        fraction_text(words, method.primary_fraction),
    )
    yield words("Time between readings"), f"{as_given(words, method.sampling_s)} s"
    if method.start_range is not None:
        yield (
            words("Concentration at the start"),
            words(
                "{low} to {high} {unit}",
                low=as_given(words, method.start_range.low),
                high=as_given(words, method.start_range.high),
                unit=unit,
            ),
        )
    yield (
        words("Cleared at"),
        words(
            "{share} of the start", share=percent(method.clearance_target, words=words)
        ),
    )
    yield words("Wait before the fitted part"), minutes(method.mixing_wait_min, words)
    yield words("E-fold time of mixing"), f"{as_given(words, method.mixing_efold_s)} s"
    yield words("Longest fitted part"), minutes(method.longest_min, words)
    yield words("Fitted part of a natural decay"), minutes(method.natural_min, words)
    yield (
        words("A natural decay counts for runs within"),
        words.plural("{n} day", "{n} days", method.natural_valid_days),
    )
    if method.linearity_u is not None:
        yield (
            words("Relative uncertainty of the sensors' linearity"),
            percent(method.linearity_u, words=words),
        )
