"""Words for what `sheet` and `stills` refuse."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sitegen.errors.code import Code

FILMS: Mapping[str, Code] = MappingProxyType(
    {
        "sheet-limit": Code(
            "The limit is too low for a sheet",
            "the shortest sheet of this video takes {length} characters",
            "{length} or more",
            "raise the limit, or shorten title and disclosure",
            "Title, disclosure, one link, the headings of the cautions and the address"
            " of the data always stay; all else is left out before that.",
        ),
        "still-held": Code(
            "The comparison is held",
            "{kind} {id} is held, or all that it shows is",
            "what compile publishes",
            'delete its line "held: yes", or wait until it may be shown',
            "A picture names the address of a page that viewers would not find.",
        ),
        "still-empty": Code(
            "There is no figure to draw",
            "comparison {id} has no figure: nothing that it would draw is measured",
            "a comparison whose page has a figure",
            "take in the runs of its configurations first",
            "The picture is the page's own figure, so that both say the same.",
        ),
    }
)
