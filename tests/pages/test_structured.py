"""What search engines for data are told."""

from __future__ import annotations

import json

from sitegen.findings.views import ResultRow
from sitegen.pages.addresses import of_record
from sitegen.pages.environment import script_json
from sitegen.pages.frame import Site
from sitegen.pages.structured import Opinion, ProductGiven, dataset, product

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


def test_a_release_is_a_version() -> None:
    """The day of the newest release is the data's version and date of publication."""
    found = dataset(SITE, released="2026-04-01")
    assert (found["version"], found["datePublished"]) == ("2026-04-01", "2026-04-01")
    assert "version" not in dataset(SITE)


ROW = ResultRow(
    device="fen-2",
    filter="none",
    speed="low",
    method="decay-a",
    fraction="pm2_5",
    runs=2,
    run_ids=("r-1", "r-2"),
    validity="rated",
    flags=(),
    cadr_m3h=100.0,
    cadr_low=-0.25,
    cadr_high=110.5,
    power_w=0.0,
    currency="EUR",
    address="https://example.org/devices/fen-2/",
)
FEN = ProductGiven(
    page=of_record("device", "fen-2"),
    name="Fen 2",
    maker="Nobody",
    category="Portable",
    summary="A cleaner.",
    row=ROW,
    setting="low",
    opinion=Opinion("2026-03-01", "Does what it says.", ("quiet",), ()),
)


def test_a_device_is_a_product_with_its_review() -> None:
    """A verdict is a review with author, day and words; no rating is invented."""
    # Google's guide to Product wants a name and one of review, rating or offer; its
    # guide to Review an author.
    found = product(SITE, FEN)
    assert (found["@type"], found["name"]) == ("Product", "Fen 2")
    assert found["url"] == "https://example.org/bench/devices/fen-2/"
    review = found["review"]
    assert review["author"] == {"@type": "Organization", "name": SITE.publisher}
    assert (review["datePublished"], review["reviewBody"]) == (
        "2026-03-01",
        "Does what it says.",
    )
    assert [p["name"] for p in review["positiveNotes"]["itemListElement"]] == ["quiet"]
    assert "negativeNotes" not in review
    text = json.dumps(found).lower()
    for invented in ("ratingvalue", "aggregaterating", "reviewrating", "offers"):
        assert invented not in text


def test_numbers_of_a_product_carry_their_interval() -> None:
    """Each number told has its unit, its setting and the limits that it has."""
    cadr, power = product(SITE, FEN)["additionalProperty"]
    assert (cadr["value"], cadr["minValue"], cadr["maxValue"]) == (100.0, -0.25, 110.5)
    assert (cadr["unitText"], cadr["description"]) == ("m³/h", "low")
    assert power["value"] == 0.0
    assert "minValue" not in power


def test_without_a_verdict_there_is_no_review() -> None:
    """Of a device without verdict and result only what it is is told."""
    found = product(SITE, ProductGiven(FEN.page, "Fen 2", "Nobody", "Kit", "A kit."))
    assert {"review", "additionalProperty", "image"} & set(found) == set()
