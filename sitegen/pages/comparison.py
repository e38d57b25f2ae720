"""A named comparison: a question, its answer, and what the answer rests on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from sitegen.findings.comparisons import WORTHWHILE
from sitegen.findings.views import ComparisonFinding, Labels, Pair, ResultRow
from sitegen.model import QUANTITIES, Comparison
from sitegen.pages.addresses import (
    COMPARE,
    COMPARISONS,
    Address,
    card_of,
    data_file,
    of_record,
)
from sitegen.pages.comparison_lead import lead_sentence
from sitegen.pages.comparison_sentence import listing, sentence
from sitegen.pages.conditions import condition_texts
from sitegen.pages.configuration_names import names_in
from sitegen.pages.formats import interval_text, number, percent
from sitegen.pages.frame import Block, Caution, DrawnFigure, Linked, Page, Site
from sitegen.pages.page_scripts import page_scripts
from sitegen.pages.reading_tools import SCRIPTS as TOOLS
from sitegen.pages.reading_tools import (
    ReadingTools,
    Reckoning,
    held_columns,
    reading_tools,
)
from sitegen.pages.result_table import ResultTable, result_table
from sitegen.pages.since import Since, SinceGiven, since
from sitegen.pages.table import compare_query
from sitegen.pages.words import Words

COLUMNS = ("cadr_m3h", "clearance_min", "sound_dba", "power_w", "running_cost_year")
"""What the table of a comparison shows, beside what its figure is about."""

MOST_IN_A_SENTENCE = 6
"""So many configurations are named in one sentence; more stand in a list."""
MOST_PAIRS = 66
"""So many pairs (of twelve configurations) are shown one by one."""


@dataclass(frozen=True, slots=True)
class ComparisonGiven:
    """What the page shows.

    Attributes:
        comparison: the comparison's record.
        finding: what was found.
        names: names of the devices, by id.
        figure: its figure, or nothing.
        text: what was compared and how, or nothing.
        video: the video that it was made for, or nothing.
        devices: devices compared.
        methods: methods that the results rest on.
        editions: its editions, newest first.
        since: what changed since the newest of them, or nothing.
        cautions: cautions that follow from the devices.
        qr: QR code of the permanent address, as SVG.
        cite: how to cite the page.
        reckoning: what costs were reckoned from.
    """

    comparison: Comparison
    finding: ComparisonFinding
    names: Mapping[str, Labels]
    figure: DrawnFigure | None = None
    text: Block | None = None
    video: Linked | None = None
    devices: tuple[Linked, ...] = ()
    methods: tuple[Linked, ...] = ()
    editions: tuple[Linked, ...] = ()
    since: SinceGiven | None = None
    cautions: tuple[Caution, ...] = ()
    qr: str = ""
    cite: str = ""
    reckoning: Reckoning = field(default_factory=Reckoning)


@dataclass(frozen=True, slots=True)
class ComparisonContext:
    """What the layout shows.

    Attributes:
        given: links, blocks and figure.
        title: title of the comparison.
        question: the question.
        sentence: the answer.
        apart: which cleared the air faster, where that is not the answer itself.
        conditions: what a configuration must meet, one text a condition.
        table: the table, or nothing when nothing has a result.
        tools: what a reader sets for it.
        since: what changed since its newest edition, or nothing.
        caveats: what to bear in mind, whole sentences.
        named_caveats: the same about configurations that are too many for a sentence:
            how many they are, and their names.
        pair_head: heads of the table of pairs.
        pairs: its rows; empty where there is nothing to tell apart.
        pairs_left: said when there are too many pairs to show, else ``""``.
        compare: where readers go on comparing.
        query: the choice of rows there.
        data: where the numbers can be downloaded.
        address: the permanent address.
    """

    given: ComparisonGiven
    title: str
    question: str
    sentence: str
    apart: str
    conditions: tuple[str, ...]
    table: ResultTable | None
    tools: ReadingTools
    since: Since | None
    caveats: tuple[str, ...]
    named_caveats: tuple[tuple[str, tuple[str, ...]], ...]
    pair_head: tuple[str, ...]
    pairs: tuple[tuple[str, ...], ...]
    pairs_left: str
    compare: Address
    query: str
    data: Address
    address: str


def comparison_columns(record: Comparison) -> tuple[str, ...]:
    """Return the quantities in a comparison's table, those of its figure first."""
    drawn = [each for each in (record.y, record.x) if each]
    return tuple(dict.fromkeys([*drawn, *COLUMNS]))


def comparison_page(site: Site, words: Words, given: ComparisonGiven) -> Page:
    """Return the page of a comparison."""
    record, finding = given.comparison, given.finding
    address = of_record("comparison", record.id)
    names = names_in(words, finding, given.names)
    answer = lead_sentence(words, site, record, finding, names)
    apart = sentence(words, finding, names)
    chosen = list(dict.fromkeys(row.configuration for row in finding.rows))
    many = len(finding.pairs) > MOST_PAIRS
    return Page(
        address=address,
        layout="comparison.html",
        title=record.title,
        summary=answer,
        context=ComparisonContext(
            given=given,
            title=record.title,
            question=record.question,
            sentence=answer,
            apart=apart if apart != answer else "",
            conditions=condition_texts(words, site, record.where),
            table=_table(site, words, given) if finding.rows else None,
            tools=reading_tools(
                site,
                words,
                finding.rows,
                given.names,
                _order(record),
                given.reckoning,
                f"{record.id}.csv",
            ),
            since=since(site, words, given.since) if given.since else None,
            caveats=tuple(_caveats(words, finding, names)),
            named_caveats=tuple(named_caveats(words, finding.rows, names)),
            pair_head=(
                words("Configuration"),
                words("held against"),
                words("Told apart, all pairs allowed for"),
                words("Ratio of CADR"),
                words("95 % interval of this pair alone"),
            ),
            pairs=()
            if many
            else tuple(_pair(words, pair, names) for pair in finding.pairs),
            pairs_left=words(
                "{n} pairs were held against each other, too many to list here.",
                n=str(len(finding.pairs)),
            )
            if many
            else "",
            compare=COMPARE,
            query=compare_query(chosen),
            data=data_file("results.csv"),
            address=address.canonical(site.base),
        ),
        section=COMPARISONS,
        trail=((words("Comparisons"), COMPARISONS),),
        held=record.held or any(each.held for each in given.names.values()),
        scripts=tuple(dict.fromkeys((*page_scripts(given.figure), *TOOLS))),
        image=card_of(address) if given.figure else None,
    )


def _table(site: Site, words: Words, given: ComparisonGiven) -> ResultTable:
    order = _order(given.comparison)
    columns = comparison_columns(given.comparison)
    return result_table(
        words,
        site,
        given.finding.rows,
        given.names,
        columns,
        order,
        label=given.comparison.title,
        choose=True,
        methods={link.to.path.split("/")[1]: link.text for link in given.methods},
        families=given.reckoning.families,
        behind=held_columns(),
    )


def _order(record: Comparison) -> str:
    """Return how the table is sorted: by what is drawn, its better end first."""
    name = record.y or "cadr_m3h"
    if record.figure != "ranked":
        name = "cadr_m3h"
    return f"-{name}" if QUANTITIES[name].better == "up" else name


def _caveats(
    words: Words, finding: ComparisonFinding, names: Mapping[str, str]
) -> Iterator[str]:
    rows = finding.rows
    if finding.mixed_methods:
        yield words(
            "Some of these were measured under methods that are not declared "
            "comparable. Their numbers stand in one table but are not held against "
            "each other."
        )
    if len(finding.pairs) > 1:
        yield words(
            "Which can be told apart is decided for all pairs together, so that many "
            "pairs do not bring forth a difference by chance."
        )
    if finding.leader_only:
        yield words(
            "As there are many, only the one with the most clean air is held against "
            "each of the others."
        )
    if finding.pairs:
        yield words(
            "The interval of each number has in it what all tests in one room share, "
            "so two can be told apart even where their intervals overlap."
        )
    yield from short_caveats(words, rows, names)
    if finding.dropped:
        yield words(
            "Asked for, but without a result: {names}.",
            names=listing(words, [names[each] for each in finding.dropped]),
        )


def short_caveats(
    words: Words, rows: tuple[ResultRow, ...], names: Mapping[str, str]
) -> Iterator[str]:
    """Yield what is to be known of a few results, by name."""
    for what, found in _noted(words, rows, names):
        if len(found) <= MOST_IN_A_SENTENCE:
            yield words("{what}: {names}.", what=what, names=listing(words, found))


def named_caveats(
    words: Words, rows: tuple[ResultRow, ...], names: Mapping[str, str]
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield what is to be known of many results, with their names."""
    for what, found in _noted(words, rows, names):
        if len(found) > MOST_IN_A_SENTENCE:
            many = words.plural("{n} configuration", "{n} configurations", len(found))
            yield words("{what}: {names}", what=what, names=many), tuple(found)


def _noted(
    words: Words, rows: tuple[ResultRow, ...], names: Mapping[str, str]
) -> Iterator[tuple[str, list[str]]]:
    """Yield what is to be known of some results, with the names of these."""
    kinds = (
        (
            words("Shown, but not rated"),
            [row for row in rows if row.validity == "not_rated"],
        ),
        (
            words("With notes on the quality of its runs"),
            [row for row in rows if row.validity == "notes"],
        ),
        (
            words(
                "Resting on a single run, so that its repeatability is borrowed from "
                "other tests"
            ),
            [row for row in rows if row.runs == 1],
        ),
    )
    for what, found in kinds:
        if found:
            asked = dict.fromkeys(row.configuration for row in found)
            yield what, [names[each] for each in asked]


def told_apart(words: Words, pair: Pair) -> str:
    """Return whether a pair can be told apart, and whether it matters."""
    share = percent(WORTHWHILE, words=words)
    if pair.apart:
        return words("yes, by less than {n}", n=share) if pair.alike else words("yes")
    if pair.alike:
        return words("no, within {n} of each other", n=share)
    return words("no (p = {p})", p=number(pair.p_adjusted, 2, words))


def _pair(words: Words, pair: Pair, names: Mapping[str, str]) -> tuple[str, ...]:
    ratio = interval_text(pair.ratio, words)
    return (
        names.get(pair.first, pair.first),
        names.get(pair.second, pair.second),
        told_apart(words, pair),
        ratio.value,
        ratio.interval,
    )
