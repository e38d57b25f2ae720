"""A method's repeatability on its page: adopted and current, side by side."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from sitegen.findings.repeatability import (
    AdoptedRepeatability,
    CurrentRepeatability,
    RepeatabilityFinding,
)
from sitegen.findings.views import Labels
from sitegen.pages.addresses import of_record
from sitegen.pages.configuration_names import configuration_name
from sitegen.pages.formats import date_text, fixed, percent, whole
from sitegen.pages.frame import Linked
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class RepeatabilityShown:
    """The section.

    Attributes:
        rows: label, adopted and current value, each ``""`` where there is none.
        adopted: whether one is adopted.
        said: what it means, and whether the two differ, in sentences.
        rests: what it rests on, and whether all settings scatter alike.
        variable: configurations that scatter more than the rest.
    """

    rows: tuple[tuple[str, str, str], ...]
    adopted: bool
    said: tuple[str, ...]
    rests: tuple[str, ...]
    variable: tuple[Linked, ...]


def repeatability_shown(
    words: Words, found: RepeatabilityFinding, names: Mapping[str, Labels]
) -> RepeatabilityShown:
    """Return the section on repeatability.

    Args:
        words: the interface's words.
        found: adopted and current.
        names: labels of devices by id, for those that scatter more.
    """
    current = found.current
    variable = () if current is None else current.variable
    return RepeatabilityShown(
        rows=tuple(_rows(words, found.adopted, current)),
        adopted=found.adopted is not None,
        said=tuple(_said(words, found)),
        rests=tuple(_rests(words, found)),
        variable=tuple(
            Linked(
                configuration_name(words, names.get(device), configuration),
                of_record("device", device),
            )
            for configuration in variable
            if (device := configuration.partition(".")[0]) in names
        ),
    )


def _rows(
    words: Words,
    adopted: AdoptedRepeatability | None,
    current: CurrentRepeatability | None,
) -> Iterator[tuple[str, str, str]]:
    pairs = (adopted, current)

    def both(label: str, *values: str) -> tuple[str, str, str]:
        return label, values[0], values[1]

    cv = [percent(each.cv, 2, words) if each else "" for each in pairs]
    yield both(words("Coefficient of variation"), *cv)
    limit = [percent(each.limit, 2, words) if each else "" for each in pairs]
    yield both(words("Repeatability limit"), *limit)
    nu = [whole(round(each.degrees), words) if each else "" for each in pairs]
    yield both(words("Degrees of freedom"), *nu)


def _said(words: Words, found: RepeatabilityFinding) -> Iterator[str]:
    adopted, current = found.adopted, found.current
    holds = adopted or current
    if holds is None:
        yield words("Nothing has been repeated yet, so that none can be given.")
        return
    yield words(
        "Two runs of one setting differ by less than {share} in 95 % of cases.",
        share=percent(holds.limit, 2, words),
    )
    if current is None:
        return
    if adopted is not None and found.ratio is not None:
        yield _held_against(words, found)
    elif not current.enough:
        yield words(
            "None should be adopted yet: that takes at least 8 degrees of freedom, "
            "better 20."
        )
    else:
        yield words(
            "None is adopted: settings with repeats speak for themselves, and a single "
            "run has its own interval, which does not know how runs differ."
        )


def _rests(words: Words, found: RepeatabilityFinding) -> Iterator[str]:
    adopted, current = found.adopted, found.current
    if adopted is not None:
        yield words("Adopted on {date}.", date=date_text(adopted.day, words))
    if current is None:
        return
    yield words(
        "The current one rests on {runs} of {settings}.",
        runs=words.plural("{n} run", "{n} runs", current.runs),
        settings=words.plural("{n} setting", "{n} settings", current.configurations),
    )
    yield from _alike(words, current)
    if current.apart is not None:
        yield words.plural(
            "To tell two settings that differ by 10 % apart four times in five takes "
            "{n} run of each.",
            "To tell two settings that differ by 10 % apart four times in five takes "
            "{n} runs of each.",
            current.apart,
        )


def _held_against(words: Words, found: RepeatabilityFinding) -> str:
    ratio, p = fixed(found.ratio or 0.0, 2, words), _probability(words, found.p)
    if found.differ:
        return words(
            "The current one is {ratio} times the adopted: they differ by more than "
            "chance explains (F test, p {p}). The adopted one holds until another is "
            "adopted.",
            ratio=ratio,
            p=p,
        )
    return words(
        "The current one is {ratio} times the adopted, no more than chance explains "
        "(F test, p {p}).",
        ratio=ratio,
        p=p,
    )


def _alike(words: Words, current: CurrentRepeatability) -> Iterator[str]:
    """Say whether the settings scatter alike, and what the rest gives if not."""
    if current.homogeneous is None:
        yield words("Whether settings scatter alike cannot be tested yet.")
        return
    tests = {
        "bartlett": _probability(words, current.bartlett_p),
        "cochran": _probability(words, current.cochran_p),
    }
    if current.homogeneous:
        yield words(
            "The settings scatter alike, as far as can be told (Bartlett, p "
            "{bartlett}; Cochran, p {cochran}).",
            **tests,
        )
    else:
        yield words(
            "The settings do not all scatter alike (Bartlett, p {bartlett}; Cochran, p "
            "{cochran}).",
            **tests,
        )
    if current.variable and current.steady_cv is not None:
        yield words(
            "Without those named below the current one would be {cv}; each of them "
            "keeps its own scatter.",
            cv=percent(current.steady_cv, 2, words),
        )


def _probability(words: Words, p: float | None) -> str:
    """Return ``= 0.024``, ``< 0.001``, or that there is none."""
    if p is None:
        return words("not tested")
    if p < 0.001:
        return words("below {limit}", limit=fixed(0.001, 3, words))
    return words("= {p}", p=fixed(p, 3, words))
