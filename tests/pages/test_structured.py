"""What search engines for data are told."""

from __future__ import annotations

import json

from sitegen.pages.environment import script_json
from sitegen.pages.frame import Site
from sitegen.pages.structured import dataset

SITE = Site(
    name="Quiet </script> Bench",
    tagline="",
    base="https://example.org/bench/",
    language="en",
    units="metric",
    currency="EUR",
    simulated=True,
    publisher="Invented Workshop",
    contact="",
    licence="CC BY 4.0",
    licence_url="https://example.com/licence",
    disclosure="",
    navigation=(),
)


def test_required_properties() -> None:
    """It is a Dataset with a name and a description of 50 to 5,000 characters."""
    # The two required properties and their lengths: Google's guide to Dataset.
    found = dataset(SITE)
    assert (found["@context"], found["@type"]) == ("https://schema.org/", "Dataset")
    assert found["name"]
    assert 50 <= len(found["description"]) <= 5000


def test_downloads_are_full_addresses() -> None:
    """Each download is told by its permanent address and its media type."""
    found = {
        each["name"]: (each["contentUrl"], each["encodingFormat"])
        for each in dataset(SITE)["distribution"]
    }
    assert found["results.csv"] == (
        "https://example.org/bench/data/results.csv",
        "text/csv",
    )
    assert found["results.json"][1] == "application/json"


def test_measured_quantities_have_units() -> None:
    """Each measured quantity has its unit; costs are in the archive's currency."""
    units = {
        each["propertyID"]: each.get("unitText")
        for each in dataset(SITE)["variableMeasured"]
    }
    assert units["cadr_m3h"] == "m³/h"
    assert units["sound_dba"] == "dB(A)"
    assert units["ownership_cost"] == "EUR"


def test_date_only_where_known() -> None:
    """The day of the newest change is told where there is one."""
    assert dataset(SITE, modified="2026-03-01")["dateModified"] == "2026-03-01"
    assert "dateModified" not in dataset(SITE)


def test_inert_in_a_page() -> None:
    """In a page it cannot end its element, and reads back as it was."""
    written = str(script_json(dataset(SITE)))
    assert "</script>" not in written
    assert json.loads(written) == dataset(SITE)
