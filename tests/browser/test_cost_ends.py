"""Cheap and dear ends of costs are the script's as they are the compiler's."""

from __future__ import annotations

import random
from collections.abc import Sequence
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from sitegen.archive_build import ask_archive, published_folders
from sitegen.findings.costs import CostBasis, cost_view
from sitegen.findings.readings import PowerDraw
from sitegen.findings.views import CostView, Interval, Standby
from sitegen.model import Configuration, Filter
from sitegen.pages.amounts import amount
from sitegen.pages.cost_parts import (
    CLEAN_PARTS,
    COST_PARTS,
    END_PARTS,
    cost_parts,
    end_parts,
)
from sitegen.pages.words import ENGLISH
from tests.conftest import Compiled
from tests.findings.builders import basis, device, filter_record

pytestmark = pytest.mark.browser

ENDS = """(cases) => cases.map(
  ([parts, assumed]) => window.benchReckon.costEnds(parts, assumed))"""
SCRIPT_COSTS = (
    "energy_kwh_year",
    "energy_cost_year",
    "filter_cost_year",
    "running_cost_year",
    "ownership_cost",
)


def _equal(found: Any, view: CostView, names: Sequence[str] = SCRIPT_COSTS) -> int:
    """Hold the script's ends against those of Python; returns how many there were."""
    there = 0
    for name in names:
        ends = getattr(view.ends, name)
        if ends is None:
            assert found[name] is None, name
        else:
            assert found[name] == pytest.approx(list(ends), rel=1e-9), name
            there += 1
    return there


def _worn(rng: random.Random) -> Filter:
    """Return a filter with a life in months or hours, with both, one or no end."""
    unit, most = rng.choice([("months", 30.0), ("hours", 9000.0)])
    life = round(rng.uniform(most / 20, most), 2)
    ends = {
        "low": round(life * rng.uniform(0.3, 1.0), 2),
        "high": round(life * rng.uniform(1.0, 2.5), 2),
    }
    kept = rng.choice([(), ("low",), ("high",), ("low", "high"), ("low", "high")])
    told = {name: ends[name] for name in kept}
    price = {"amount": str(round(rng.uniform(3, 90), 2)), "currency": "EUR"}
    return filter_record(
        price={**price, "date": "2024-01-01"},
        lifetime={unit: life, "basis": "assumed", **told},
    )


def _case(
    rng: random.Random,
) -> tuple[dict[str, float | None], dict[str, float], CostView]:
    """Return what the page would hold, what a reader sets, and Python's costs of it."""
    worn = _worn(rng)
    fitted = rng.choice(["fine", "fine", "fine", "none"])
    watts = round(rng.uniform(2, 90), 3)
    sd = rng.choice([None, round(rng.uniform(0.01, 0.9) * watts, 3)])
    below = rng.choice([None, round(rng.uniform(0.1, 0.9), 2)])
    off = round(rng.uniform(0, below or 2.0), 3)
    standby = rng.choice([None, Standby(off, below)])
    clean = round(rng.uniform(5, 600), 2)
    cadr = rng.choice([None, Interval(clean, clean * 0.9, round(clean * 1.2, 2))])
    of = device(filters=[{"id": "fine", "pieces": rng.randint(1, 3), "included": True}])
    own = {
        "tariff": round(rng.uniform(0.05, 0.9), 4),
        "hours": rng.choice([24.0, round(rng.uniform(0.5, 24), 2)]),
        "years": rng.randint(1, 15),
        "discount": rng.choice([0.0, round(rng.uniform(0, 9), 2)]),
    }

    def costs(assumed: CostBasis) -> CostView:
        return cost_view(
            of,
            Configuration("alder", fitted, "high"),
            {"fine": worn},
            PowerDraw("power-a", ("p1",), watts, sd),
            standby,
            cadr,
            assumed,
        )

    # The page holds what the archive's own assumptions gave; the reader's are others.
    archive = costs(basis())
    parts: dict[str, float | None] = {"power_w": watts, "power_sd": sd}
    parts |= zip(COST_PARTS, cost_parts(archive), strict=True)
    parts |= zip(END_PARTS, end_parts(archive), strict=True)
    told = (None,) * 3 if cadr is None else (cadr.value, cadr.low, cadr.high)
    parts |= zip(CLEAN_PARTS, told, strict=True)
    tariff = {"per_kwh": own["tariff"], "date": "2024-01-01", "source": "a bill"}
    readers = basis(
        tariff=tariff,
        hours_per_day=own["hours"],
        years=own["years"],
        discount_pct=own["discount"],
    )
    return parts, own, costs(readers)


def test_ends_by_own_numbers_are_as_the_formulas_say(page: Page, served: str) -> None:
    """Of 400 machines under a reader's own numbers all ends agree to 1e-9."""
    rng = random.Random(7)  # noqa: S311 - numbers to try, no secret
    cases = [_case(rng) for _ in range(400)]
    page.goto(served)
    names = (*SCRIPT_COSTS, "per_1000_m3")
    found = page.evaluate(ENDS, [[parts, own] for parts, own, _ in cases])
    compared = [
        _equal(ends, view, names)
        for ends, (_, _, view) in zip(found, cases, strict=True)
    ]
    # Some of them have no end at all, and some have all six.
    assert {0, len(names)} <= set(compared)
    costs = page.evaluate(
        "(cases) => cases.map(([p, a]) => window.benchReckon.costs(p, a))",
        [[parts, own] for parts, own, _ in cases],
    )
    for cost, (_, _, view) in zip(costs, cases, strict=True):
        for name in names:
            wanted = getattr(view, name)
            assert cost[name] == (wanted and pytest.approx(wanted, rel=1e-9)), name


def test_ends_of_the_archive_are_those_that_were_compiled(
    page: Page, served: str, demo: Compiled
) -> None:
    """At the archive's own assumptions the finder's data give Python's ends to 1e-9."""
    page.goto(f"{served}?room=20")
    page.wait_for_function("window.benchFinder")
    data = page.evaluate("window.benchFinder")
    rows = [dict(zip(data["columns"], row, strict=True)) for row in data["rows"]]
    assumed = {name: data["assumed"][name] for name in ("tariff", "hours", "years")}
    assumed["discount"] = data["assumed"]["discount"]
    found = page.evaluate(ENDS, [[row, assumed] for row in rows])
    devices = sorted({row["device"] for row in rows})
    answers, *costs = ask_archive(
        published_folders(demo.archive),
        [("finder",), *(("costs", name) for name in devices)],
        show_held=False,
        workers=1,
    )
    views = {view.configuration: view for each in costs for view in each}
    compared = sum(
        _equal(ends, views[row["configuration"]])
        for row, ends in zip(rows, found, strict=True)
    )
    assert compared > 200
    for answer in answers:
        wanted = {**data["assumed"], "volume": answer.volume_m3, "budget": None}
        picks = page.evaluate(
            "(wanted) => window.benchFind.picks(window.benchFinder, wanted)", wanted
        )
        for pick, own in zip(answer.picks, picks, strict=True):
            assert pick.row.configuration == own["row"]["configuration"]
            for name in ("running_ends", "owning_ends"):
                ends = getattr(pick, name)
                assert own[name] == (ends and pytest.approx(list(ends), rel=1e-9))
    assert any(pick.running_ends for answer in answers for pick in answer.picks)


def test_the_script_writes_ends_as_the_compiler_does(page: Page, served: str) -> None:
    """Ends of 500 amounts in three currencies read the same, to the last digit."""
    rng = random.Random(8)  # noqa: S311 - numbers to try, no secret
    cases: list[tuple[float, list[float] | None, str]] = []
    for _ in range(500):
        value = 10 ** rng.uniform(-2, 4)
        share = 10 ** rng.uniform(-5, -0.1)
        both = [value * (1 - share), value * (1 + share)]
        cases.append((value, both, rng.choice(["EUR", "JPY", "KWD"])))
    cases += [(12.0, None, "EUR"), (0.001, [0.0, 0.004], "EUR")]
    page.goto(served)
    found = page.evaluate(
        """(cases) => cases.map(([value, ends, currency]) =>
          window.benchNumbers.moneyEnds(value, ends, currency, 'en-GB'))""",
        [list(case) for case in cases],
    )
    unsaid = 0
    for (value, ends, currency), shown in zip(cases, found, strict=True):
        pair = (ends[0], ends[1]) if ends else None
        said = amount(value, pair, currency, ENGLISH).ends
        if shown is None:
            unsaid += 1
            assert said == ""
        else:
            assert said == (shown[0] if shown[0] == shown[1] else " to ".join(shown))
    assert 10 < unsaid < len(cases) / 2


@pytest.mark.parametrize("area", ["10", "16", "25", "40"])
def test_a_room_that_is_printed_is_answered_alike(
    page: Page, served: str, area: str
) -> None:
    """A room typed in reads, ends and all, as the same one in the page itself."""
    page.goto(f"{served}?room={area}")
    answer = page.locator("#finder-table tbody:not([data-area])")
    expect(answer).to_have_count(1)
    printed = page.locator(f"#finder-table tbody[data-area='{area}']")
    texts = [
        body.locator("tr:not(:has(th[scope=rowgroup]))").evaluate_all(
            "(rows) => rows.map((row) => Array.from(row.cells).map((cell) =>"
            " Array.from(cell.childNodes).map((node) => node.textContent)))"
        )
        for body in (printed, answer)
    ]
    assert texts[0] == texts[1]
    ends = printed.locator("td:last-child small:not(.setting)")
    assert ends.count() >= len(texts[0])


def test_ends_stand_there_without_scripts(chromium: Browser, served: str) -> None:
    """The page itself holds a cost's ends, about it, and says what they are."""
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(served)
    cell = page.locator("#finder-table td:last-child", has=page.locator("small"))
    parts = cell.first.evaluate(
        "(cell) => Array.from(cell.childNodes).map((node) => node.textContent)"
    )
    value, ends, owning, owning_ends = parts
    for one, both in ((value, ends), (owning.split(" with ")[0], owning_ends)):
        low, high = (float(end) for end in both.split(" to "))
        assert low < float(one.strip("€")) < high
    expect(
        page.get_by_text("Below a cost stand its cheap and its dear end")
    ).to_be_visible()
    context.close()
