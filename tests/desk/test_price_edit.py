"""A new price stands beside the old ones, written as they are."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from sitegen.desk.opened import OpenArchive
from sitegen.desk.price_edit import Seen, add_price, renew_price
from sitegen.desk.start import Beginning, start_archive
from sitegen.errors import FaultsFound

SEEN = Seen("89.90", None, dt.date(2026, 11, 20), "list", "Shop: one")
DEVICE, FILTER = "example-cleaner", "example-filter"


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """A new archive."""
    start_archive(tmp_path, Beginning("B", "https://example.org/", "EUR", "metric"))
    return tmp_path


def changed(diff: str) -> list[str]:
    return [line for line in diff.splitlines() if line[:1] in "+-"][2:]


def edit_prices(bench: Path, prices: str) -> None:
    """Write the device's prices in another way."""
    path = bench / f"records/devices/{DEVICE}.yaml"
    text = path.read_text(encoding="utf-8")
    start = text.index("prices:\n")
    end = text.index("\n# What the maker states")
    path.write_text(text[:start] + prices + text[end:], encoding="utf-8")


@pytest.mark.parametrize(
    ("prices", "added"),
    [
        (
            "prices:\n  - {amount: 5, currency: SEK, date: 2026-01-01, kind: duty}\n"
            "  - {amount: 9,   currency: EUR, date: 2026-01-08}   # odd\n",
            [
                "+  - {amount: 89.90, currency: EUR, date: 2026-11-20, kind: list, "
                "source: 'Shop: one'}"
            ],
        ),
        (
            "prices:\n  - amount: 9\n    currency: EUR\n    date: 2026-01-08\n",
            [
                "+  - amount: 89.90",
                "+    currency: EUR",
                "+    date: 2026-11-20",
                "+    kind: list",
                "+    source: 'Shop: one'",
            ],
        ),
        (
            "",
            [
                "+prices:",
                "+  - {amount: 89.90, currency: EUR, date: 2026-11-20, kind: list, "
                "source: 'Shop: one'}",
            ],
        ),
    ],
)
def test_a_price_is_added_in_the_record_s_own_way(
    bench: Path, prices: str, added: list[str]
) -> None:
    """On one line or several, as the others are; no line that was there changes."""
    edit_prices(bench, prices)
    settings = bench / "archive.yaml"
    text = settings.read_text(encoding="utf-8")
    rate = "\nrates:\n  - {currency: SEK, value: 0.09, date: 2026-01-01, source: A}\n"
    settings.write_text(text.replace("\nfunding:", f"{rate}\nfunding:"), "utf-8")
    assert changed(add_price(OpenArchive(bench), DEVICE, SEEN).diff) == added


def test_the_same_price_twice_is_refused(bench: Path) -> None:
    """One price of a kind a day; another kind is another price."""
    again = replace(SEEN, on=dt.date(2026, 1, 8))
    with pytest.raises(FaultsFound) as refused:
        add_price(OpenArchive(bench), DEVICE, again)
    assert [fault.code for fault in refused.value.faults] == ["price-there"]
    assert add_price(OpenArchive(bench), DEVICE, replace(again, kind="duty")).diff


@pytest.mark.parametrize(
    ("seen", "code"),
    [
        (replace(SEEN, amount="1.234,50"), "not-an-amount"),
        (replace(SEEN, currency="euro"), "not-a-currency"),
        # Only the other records tell that it cannot be converted.
        (replace(SEEN, currency="USD"), "rate-missing"),
    ],
)
def test_what_would_be_a_fault_is_not_made(bench: Path, seen: Seen, code: str) -> None:
    """The fault that the record would have is told in the words of check."""
    with pytest.raises(FaultsFound) as refused:
        add_price(OpenArchive(bench), DEVICE, seen)
    assert [fault.code for fault in refused.value.faults] == [code]


def test_a_filter_has_one_price_and_it_is_renewed(bench: Path) -> None:
    """Amount, day and shop change on their line; a price of an earlier day does not."""
    edit = renew_price(OpenArchive(bench), FILTER, SEEN)
    assert changed(edit.diff) == [
        '-price: {amount: 35.00, currency: "EUR", date: 2026-01-08, source: Example '
        "shop}",
        '+price: {amount: 89.90, currency: "EUR", date: 2026-11-20, source: \'Shop: '
        "one'}",
    ]
    with pytest.raises(FaultsFound) as refused:
        renew_price(OpenArchive(bench), FILTER, replace(SEEN, on=dt.date(2026, 1, 8)))
    assert [fault.code for fault in refused.value.faults] == ["price-older"]
