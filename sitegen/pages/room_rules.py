"""Rules of thumb for the size of a room, side by side, each with name and source.

An optical CADR of a size fraction is neither a smoke CADR nor a regulated one, and the
rules are about those; every line says so.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from sitegen.measure.sizing import HOME_GUIDE_CFM, convention_area_m2, home_guide_ft2
from sitegen.measure.units import cfm_from_m3h, m2_from_ft2
from sitegen.pages.formats import number, with_unit
from sitegen.pages.frame import Site
from sitegen.pages.words import Words, message


class RuleShown(NamedTuple):
    """One rule of thumb.

    Attributes:
        name: what it is called.
        area: floor area by it, with its unit.
        source: where it was read, and what it is not about.
    """

    name: str
    area: str
    source: str


_NAMED: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "two_thirds": (
            message("Two-thirds rule"),
            message(
                "CADR in cfm at least two thirds of the floor in ft², under 8 ft; as "
                "published by others, implies 5 air changes an hour."
            ),
        ),
        "five_air_changes": (
            message("CDC aim of 5 air changes or more"),
            message(
                "Under 8 ft; CDC, 12 May 2023, which adds that it “will not guarantee "
                "totally safe air”."
            ),
        ),
    }
)


def rules(
    words: Words, site: Site, cadr_m3h: float, fraction: str
) -> tuple[RuleShown, ...]:
    """Return what each rule of thumb says of a CADR.

    Args:
        words: the interface's words.
        site: units.
        cadr_m3h: lower limit of the CADR, m³/h, above 0.
        fraction: its size fraction, as printed.
    """
    caveat = words(
        "The CADR here is of {fraction} by optical sensors, neither a smoke CADR nor "
        "a regulated one.",
        fraction=fraction,
    )
    shown = [
        RuleShown(
            words(name),
            with_unit(
                convention_area_m2(cadr_m3h, key), "m²", site.units, words, digits=2
            ),
            f"{words(source)} {caveat}",
        )
        for key, (name, source) in _NAMED.items()
    ]
    return (*shown, _home_guide(words, site, cadr_m3h, caveat))


def _home_guide(words: Words, site: Site, cadr_m3h: float, caveat: str) -> RuleShown:
    floor_ft2 = home_guide_ft2(cfm_from_m3h(cadr_m3h))
    smallest = min(HOME_GUIDE_CFM)
    area = with_unit(
        m2_from_ft2(floor_ft2 or smallest), "m²", site.units, words, digits=2
    )
    source = words(
        "The largest floor whose least smoke CADR is met, {least} cfm for {floor} ft², "
        "under 8 ft; from 200 to 600 ft², nothing between the rows, as published by "
        "others.",
        least=number(HOME_GUIDE_CFM[floor_ft2 or smallest], 3, words, plain=True),
        floor=number(floor_ft2 or smallest, 3, words, plain=True),
    )
    return RuleShown(
        words("EPA guide for homes"),
        area if floor_ft2 else words("less than {area}", area=area),
        f"{source} {caveat}",
    )
