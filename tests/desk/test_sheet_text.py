"""A sheet keeps within its limit, and what must stay stays."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sitegen.desk.sheet_text import Led, Sheet, Warned, sheet_text, shortened
from sitegen.errors import UsageFault
from sitegen.pages.words import ENGLISH

FULL = Sheet(
    title="Two machines, one room",
    disclosure="The harbour lent the room.",
    simulated=False,
    earns="Sponsored links can earn us money.",
    text="What we did on a wet Sunday.",
    comparisons=(
        Led("Quiet ones", "https://bench.example/c/quiet/"),
        Led("Loud ones", "https://bench.example/c/loud/"),
    ),
    devices=(
        Led("Alder", "https://bench.example/devices/alder/"),
        Led("Birch", "https://bench.example/devices/birch/"),
    ),
    shops=(
        Led("Alder, maker", "https://alder.example/"),
        Led("Alder, shop", "https://shop.example/?via=us", sponsored=True),
    ),
    chapters=((0, "Start"), (65, "Run"), (3725, "Answers")),
    cautions=(
        Warned("Smoke", "Stay out of the room. Air it.", "Stay out of the room."),
        Warned("Ozone", "Its smell is no warning. Ask.", "Its smell is no warning."),
    ),
    cite="Bench. Quiet ones. https://bench.example/c/quiet/",
    data="https://bench.example/data/",
    licence="CC BY 4.0",
    as_of="Links and numbers as of 9 March 2026.",
)
WHOLE = """\
Two machines, one room

The harbour lent the room.

Sponsored links can earn us money.

What we did on a wet Sunday.

Comparisons, with all numbers:
Quiet ones: https://bench.example/c/quiet/
Loud ones: https://bench.example/c/loud/

Devices tested:
Alder: https://bench.example/devices/alder/
Birch: https://bench.example/devices/birch/

Chapters:
0:00 Start
1:05 Run
1:02:05 Answers

Elsewhere:
Alder, maker: https://alder.example/
Alder, shop (sponsored link): https://shop.example/?via=us

Cautions:
Smoke
Stay out of the room. Air it.
Ozone
Its smell is no warning. Ask.

Data and methods (CC BY 4.0): https://bench.example/data/
To cite: Bench. Quiet ones. https://bench.example/c/quiet/
Links and numbers as of 9 March 2026."""
SHORTEST = """\
Two machines, one room

The harbour lent the room.

Comparisons, with all numbers:
Quiet ones: https://bench.example/c/quiet/

Cautions:
Smoke; Ozone. In full on the pages linked above.

Data and methods (CC BY 4.0): https://bench.example/data/
Links and numbers as of 9 March 2026."""


def test_the_whole_sheet() -> None:
    """Title, disclosures, links, chapters, cautions and data stand in this order."""
    assert sheet_text(FULL, ENGLISH) == WHOLE
    kept, left_out = shortened(FULL, ENGLISH, len(WHOLE))
    assert (kept, left_out) == (FULL, ())


def test_the_shortest_sheet() -> None:
    """What always stays is title, disclosure, a link, cautions' headings and data."""
    kept, left_out = shortened(FULL, ENGLISH, len(SHORTEST))
    assert sheet_text(kept, ENGLISH) == SHORTEST
    assert left_out == (
        "what the video is about",
        "2 links elsewhere",
        "cautions cut to their headings",
        "the line on how to cite",
        "2 links to devices",
        "all chapters",
        "a comparison's link",
    )
    with pytest.raises(UsageFault, match=f"takes {len(SHORTEST)} characters"):
        shortened(FULL, ENGLISH, len(SHORTEST) - 1)


@pytest.mark.parametrize("limit", range(len(SHORTEST), len(WHOLE)))
def test_no_sheet_is_longer_than_its_limit(limit: int) -> None:
    """Whatever the limit, it is kept, in order, and no earning link is undisclosed."""
    kept, left_out = shortened(FULL, ENGLISH, limit)
    text = sheet_text(kept, ENGLISH)
    assert len(text) <= limit
    assert left_out
    assert text.startswith(FULL.title)
    assert all(caution.title in text for caution in FULL.cautions)
    assert kept.chapters in {(), FULL.chapters}
    if "sponsored link" in text:
        assert text.index(FULL.earns) < text.index("https://")
    # Devices go only once shops, words of cautions and the citation have gone.
    if kept.devices != FULL.devices:
        assert (kept.shops, kept.cite, kept.caution_form) == ((), "", "heading")


def test_nothing_earns_nothing_is_said() -> None:
    """Without a link that earns, the sentence on them does not stand either."""
    honest = replace(FULL, shops=FULL.shops[:1])
    assert FULL.earns not in sheet_text(honest, ENGLISH)
    assert "Simulated data" in sheet_text(replace(FULL, simulated=True), ENGLISH)


def test_a_device_is_linked_where_no_comparison_is() -> None:
    """A video of devices alone keeps its first device's link."""
    bare = replace(FULL, comparisons=())
    least = len(SHORTEST) - len(FULL.comparisons[0].url)
    with pytest.raises(UsageFault):
        shortened(bare, ENGLISH, least - 40)
    kept, _ = shortened(bare, ENGLISH, len(SHORTEST) + 10)
    assert kept.devices == FULL.devices[:1]
