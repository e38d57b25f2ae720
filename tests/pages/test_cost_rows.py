"""Costs as a device's page shows them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from sitegen.findings.costs import CostBasis, cost_view
from sitegen.findings.readings import PowerDraw
from sitegen.findings.views import Interval, Labels, Standby
from sitegen.model import Configuration, Device, Filter
from sitegen.pages.cost_rows import Costs, costs
from sitegen.pages.words import ENGLISH
from tests.findings.builders import basis, device, filter_record, rate
from tests.pages.builders import SITE

LABELS = Labels(
    id="alder",
    name="Alder",
    maker="Quillmoor",
    form="portable",
    speeds=(("low", "Low"), ("high", "High")),
    filters=(("fine", "Fine filter"),),
    held=False,
    withdrawn=False,
)

OFF = Standby(1.2)
CLEAN = Interval(180.0, 180.0, 180.0)


def shown(
    *,
    of: Device | None = None,
    worn: Filter | None = None,
    standby: Standby | None = OFF,
    cadr: Interval = CLEAN,
    assumed: CostBasis | None = None,
    currency: str = "EUR",
) -> Costs:
    """Return the costs of the worked example, with what a test changes in it."""
    rests = assumed or basis()
    view = cost_view(
        of or device(),
        Configuration("alder", "fine", "high"),
        {"fine": worn or filter_record()},
        PowerDraw("power-a", ("p1",), 45.0, None),
        standby,
        cadr,
        rests,
    )
    site = replace(SITE, currency=currency)
    return costs(ENGLISH, site, LABELS, [view], rests.assumptions)


def life(**fields: Any) -> Filter:
    """Return the filter of the worked example with another lifetime."""
    return filter_record(lifetime={"months": 8, "basis": "stated", **fields})


def test_worked_example() -> None:
    """The worked example stands in the row, without ends and with its one remark."""
    found = shown()
    (row,) = found.rows
    assert [row.running, row.ownership, row.per_1000] == [
        ("€150.71", ""),
        ("€943.53", ""),
        ("€0.24", ""),
    ]
    assert (found.gaps, found.years) == ((), "5 years")
    (remark,) = found.remarks
    assert "takes the CADR as constant" in remark


def test_ends_stand_below_the_amount() -> None:
    """A plausible life of 6 to 12 months gives filters of 60 to 120 EUR a year."""
    (row,) = shown(worn=life(low=6, high=12)).rows
    assert row.filters == ("€90.00", "60.00 to 120.00")
    # 150.7068 less 30 and plus 30.
    assert row.running == ("€150.71", "120.71 to 180.71")
    # 220 and five years at 60.7068, with 4 or 9 changes of 60.
    assert row.ownership == ("€943.53", "763.53 to 1,063.53")
    # The energy itself: 202.356 kWh at 0.30 EUR.
    assert row.energy == ("€60.71", "202 kWh")


def test_ends_have_the_digits_of_the_currency() -> None:
    """A currency without a smaller unit has no digits after the mark."""
    (row,) = shown(worn=life(low=6, high=12), currency="JPY", assumed=basis()).rows
    assert row.filters == ("JP¥90", "60 to 120")


def test_ends_that_round_to_the_amount_are_not_printed() -> None:
    """Ends that read like the amount itself say nothing and stand nowhere."""
    clean = Interval(180.0, 179.9, 180.1)
    (row,) = shown(cadr=clean).rows
    assert row.per_1000 == ("€0.24", "")


def test_assumed_life_without_a_range_is_told() -> None:
    """An assumed life says whether a range is recorded for it."""
    said = "The life of Fine filter is assumed, and no range is recorded for it"
    assert any(said in each for each in shown(worn=life(basis="assumed")).remarks)
    ranged = shown(worn=life(basis="assumed", low=6, high=12))
    assert not any(said in each for each in ranged.remarks)
    assert not any(said in each for each in shown().remarks)


@pytest.mark.parametrize(
    ("standby", "said"),
    [
        (None, "not measured; counts as 0 W"),
        (Standby(1.2), "1.2 W"),
        (Standby(0.0), "0 W"),
        (Standby(0.05, 0.1), "below 0.1 W, the least that the meter shows"),
    ],
)
def test_power_when_off(standby: Standby | None, said: str) -> None:
    """Power when off is given, or below the meter's step, or said to be missing."""
    assert dict(shown(standby=standby).facts)["Power when off"] == said


def test_who_says_what() -> None:
    """Each input is named as measured, stated by others or assumed."""
    facts = dict(shown(worn=life(basis="assumed")).facts)
    assert facts["Measured"] == "power, power when off, clean air"
    assert facts["Stated by others"] == (
        "tariff, price of the device, price of Fine filter"
    )
    assert facts["Assumed"] == "hours a day, years, life of Fine filter"
    measured = dict(shown(worn=life(basis="measured"), standby=None).facts)
    assert measured["Measured"] == "power, clean air, life of Fine filter"


def test_price_from_its_parts() -> None:
    """Each part stands with its day, rate and source, and so does their sum."""
    parts = [
        {"amount": "100", "currency": "USD", "date": "2024-01-02"},
        {"amount": "9.5", "kind": "carriage", "currency": "EUR", "date": "2024-01-03"},
        {"amount": "4", "kind": "duty", "currency": "EUR", "date": "2024-01-04"},
    ]
    rests = basis(rate("USD", 0.9, "2024-01-01"))
    facts = dict(shown(of=device(prices=parts), assumed=rests).facts)
    assert facts["List price"] == (
        "€90.00, which is US$100.00 of 2 January 2024 at 0.9 of 1 January 2024 (a bank)"
    )
    assert facts["Carriage"] == "€9.50, 3 January 2024"
    assert facts["Duty"] == "€4.00, 4 January 2024"
    assert facts["Price, all parts together"] == "€103.50"
    assert "Price, all parts together" not in dict(shown().facts)


def test_discount_years_hours_and_tariff_are_told() -> None:
    """What the archive assumes stands with its date and source."""
    facts = dict(shown(assumed=basis(discount_pct=3)).facts)
    assert facts["Electricity"] == "€0.30 a kWh, a bill, 1 January 2024"
    assert facts["Use"] == "12 hours a day, every day"
    assert facts["Ownership"] == "5 years, discounted at 3 % a year"


def test_mixed_years_and_stale_rates_are_told() -> None:
    """Amounts of different years, and a rate far off, have a sentence each."""
    old = device(prices=[{"amount": "9", "currency": "USD", "date": "2020-03-01"}])
    found = shown(of=old, assumed=basis(rate("USD", 0.9, "2021-03-01")))
    assert (
        "Amounts of different years are added up as they stand, from 1 March 2020 to "
        "1 January 2024." in found.remarks
    )
    assert (
        "An exchange rate lies 365 days from the price that it converts; both days "
        "stand below." in found.remarks
    )


def test_clean_air_not_told_from_none() -> None:
    """Without clean air there is no cost of it, and the reason is named."""
    found = shown(cadr=Interval(4.0, -1.0, 9.0))
    assert found.rows[0].per_1000 == ("", "")
    assert found.gaps == (
        "clean air that cannot be told from none has no cost for each 1,000 m³",
    )
    assert not any("constant" in each for each in found.remarks)
