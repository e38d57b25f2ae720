"""What several tests of pages share."""

from __future__ import annotations

from sitegen.pages.frame import Site

SITE = Site(
    name="Bench",
    tagline="",
    base="https://example.org/",
    language="en",
    units="metric",
    currency="EUR",
    simulated=True,
    publisher="Us",
    contact="",
    licence="CC BY 4.0",
    licence_url="",
    disclosure="",
    navigation=(),
)
