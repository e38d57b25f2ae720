"""What a comparison begins with: the answer to what its figure is about."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from sitegen.figures.numbers import within_sentence
from sitegen.findings.unbeaten import perhaps_unbeaten, unbeaten
from sitegen.findings.views import ComparisonFinding, ResultRow
from sitegen.model import QUANTITIES, Comparison
from sitegen.pages.comparison_sentence import listing, sentence
from sitegen.pages.formats import quantity_text, unit_text
from sitegen.pages.frame import Site
from sitegen.pages.words import Words

_NAMED = 3


def lead_sentence(
    words: Words,
    site: Site,
    record: Comparison,
    finding: ComparisonFinding,
    names: Mapping[str, str],
) -> str:
    """Return the sentence that a comparison begins with.

    Where its figure is about clean air, which cleared faster and which cannot be told
    apart; where it is about another quantity, which are at its better end; where it
    holds two against each other, which no other beats on both.

    Args:
        words: the interface's words.
        site: units and currency.
        record: the comparison.
        finding: what was found.
        names: configuration to the name by which it is shown.
    """
    y = record.y or "cadr_m3h"
    if record.figure == "ranked" and y != "cadr_m3h":
        return _ends(words, site, finding, names, y) or sentence(words, finding, names)
    if record.figure == "scatter" and not finding.mixed_methods:
        x = record.x or "sound_dba"
        said = _unbeaten(words, site, finding, names, (x, y))
        return said or sentence(words, finding, names)
    return sentence(words, finding, names)


def _ends(
    words: Words,
    site: Site,
    finding: ComparisonFinding,
    names: Mapping[str, str],
    quantity: str,
) -> str:
    known = [row for row in finding.rows if getattr(row, quantity) is not None]
    if len(known) < 2:
        return ""
    ordered = _sorted(known, quantity)
    first = [_with_value(words, site, row, quantity, names) for row in ordered[:_NAMED]]
    last = _with_value(words, site, ordered[-1], quantity, names)
    label = within_sentence(words(QUANTITIES[quantity].label), words)
    if QUANTITIES[quantity].better == "up":
        text = words(
            "of {n} configurations the highest {quantity}: {names}; the lowest: {last}",
            n=len(known),
            quantity=label,
            names=listing(words, first),
            last=last,
        )
    else:
        text = words(
            "of {n} configurations the lowest {quantity}: {names}; the highest: {last}",
            n=len(known),
            quantity=label,
            names=listing(words, first),
            last=last,
        )
    return f"{text[:1].upper()}{text[1:]}."


def _sorted(rows: Sequence[ResultRow], quantity: str) -> list[ResultRow]:
    """Return rows with the better end of a quantity first."""
    sign = -1 if QUANTITIES[quantity].better == "up" else 1
    return sorted(rows, key=lambda r: (sign * getattr(r, quantity), r.configuration))


def _with_value(
    words: Words,
    site: Site,
    row: ResultRow,
    quantity: str,
    names: Mapping[str, str],
) -> str:
    shown = quantity_text(quantity, row, site.units, words).value
    if QUANTITIES[quantity].holds != "money":
        shown = (
            f"{shown} {unit_text(quantity, site.units, site.currency, words)}".rstrip()
        )
    name = names.get(row.configuration, row.configuration)
    return words("{name}, {value}", name=name, value=shown)


def _unbeaten(
    words: Words,
    site: Site,
    finding: ComparisonFinding,
    names: Mapping[str, str],
    quantities: tuple[str, str],
) -> str:
    """Return which rows no other beats on both quantities, from end to end."""
    x, y = quantities
    known = [
        row
        for row in finding.rows
        if getattr(row, x) is not None and getattr(row, y) is not None
    ]
    if len(known) < 2:
        return ""
    best = unbeaten(known, x, y)
    if not best:
        return ""
    lower = [
        within_sentence(words(QUANTITIES[name].label), words) for name in quantities
    ]
    ends = [
        words(
            "{row} with {value}",
            row=_with_value(words, site, row, x, names),
            value=" ".join(
                (
                    quantity_text(y, row, site.units, words).value,
                    unit_text(y, site.units, site.currency, words),
                )
            ).strip(),
        )
        for row in (best[0], best[-1])
    ]
    unsure = _perhaps(words, perhaps_unbeaten(known, x, y), names)
    if len(best) == 1:
        said = words(
            "Of {n} configurations one is beaten by no other on both {x} and {y}: "
            "{first}.",
            n=len(known),
            x=lower[0],
            y=lower[1],
            first=ends[0],
        )
    else:
        said = words(
            "Of {n} configurations {m} are beaten by no other on both {x} and {y}: "
            "from {first} to {last}. The table has their intervals.",
            n=len(known),
            m=len(best),
            x=lower[0],
            y=lower[1],
            first=ends[0],
            last=ends[1],
        )
    return f"{said} {unsure}".rstrip()


def _perhaps(words: Words, rows: Sequence[ResultRow], names: Mapping[str, str]) -> str:
    """Return which of those beaten may not be, as far as the intervals tell."""
    if not rows:
        return ""
    if len(rows) > _NAMED:
        return words(
            "Another {n} may be as good as far as the intervals tell.", n=len(rows)
        )
    return words(
        "As far as the intervals tell, {names} may be as good.",
        names=listing(
            words, [names.get(row.configuration, row.configuration) for row in rows]
        ),
    )
