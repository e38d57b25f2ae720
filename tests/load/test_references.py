"""What is wrong between records, asked of small archives made in memory."""

from __future__ import annotations

from typing import Any

import pytest

from sitegen.load import (
    ArchiveIndex,
    Facts,
    Problem,
    SettingsFacts,
    bare_tree,
    check_record,
    check_references,
    comparable,
    facts_of,
    faults_of,
)
from sitegen.model import Addresses, adapter

Key = tuple[str, str]

ROOM = {"name": "R", "volume_m3": 30}
COUNTER = {
    "name": "C",
    "kind": "particle",
    "fractions": {"pm2_5": {"resolution": 1, "range": 9}},
}
DECAY = {
    "kind": "decay",
    "name": "D",
    "version": "1",
    "since": "2026-01-01",
    "room": "r",
    "aerosol": "salt",
    "aerosol_kind": "salt",
    "instruments": ["c"],
    "sampling_s": 30,
    "text": "T",
}
DEVICE = {
    "name": "H",
    "maker": "M",
    "form": "kit",
    "speeds": [{"id": "low", "label": "L"}],
    "specimens": [{"id": "a", "acquired": {"how": "lent", "date": "2026-01-01"}}],
}
RUN = {
    "kind": "decay",
    "device": "h",
    "specimen": "a",
    "filter": "none",
    "speed": "low",
    "method": "d",
    "started": "2026-03-01T10:00Z",
    "series": "s",
}
SOUND = {
    "kind": "sound",
    "name": "S",
    "version": "1",
    "since": "2026-01-01",
    "instrument": "ear",
    "distance_m": 1,
    "position": "front",
    "text": "T",
}
GOOD: dict[Key, dict[str, Any]] = {
    ("room", "r"): ROOM,
    ("instrument", "c"): COUNTER,
    ("method", "d"): DECAY,
    ("device", "h"): DEVICE,
    ("run", "x"): RUN,
}


def facts(key: Key, data: dict[str, Any]) -> Facts:
    """Return the facts of a record made of plain data."""
    kind, name = key
    return facts_of(kind, adapter(kind).validate_python({**data, "id": name}))


def archive(
    changed: dict[Key, dict[str, Any] | None] | None = None,
    *,
    more: tuple[Key, ...] = (("series", "s"),),
    settings: SettingsFacts | None = None,
    addresses: list[dict[str, str]] | None = None,
) -> ArchiveIndex:
    """Return the small good archive with some records changed, added or left out."""
    data = {**GOOD, **(changed or {})}
    records = {key: facts(key, item) for key, item in data.items() if item is not None}
    return ArchiveIndex(
        records=records,
        present=frozenset({*records, *more}),
        archive=settings,
        addresses=Addresses.model_validate({"addresses": addresses or []}),
    )


def told(index: ArchiveIndex) -> list[tuple[str, str, str]]:
    """Return id, code and path of each problem."""
    return [
        (found.id, found.code, ".".join(map(str, found.path)))
        for found in check_references(index)
    ]


def test_a_good_archive_has_no_problem() -> None:
    """The archive that the others here are made from is whole."""
    assert told(archive()) == []


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        ({("device", "h"): None}, [("x", "unknown-reference", "device")]),
        ({("room", "r"): None}, [("d", "unknown-reference", "room")]),
        (
            {("run", "x"): {**RUN, "speed": "top"}},
            [("x", "speed-not-of-device", "speed")],
        ),
        (
            {("run", "x"): {**RUN, "filter": "f"}},
            [("x", "filter-not-of-device", "filter")],
        ),
        (
            {("run", "x"): {**RUN, "specimen": "b"}},
            [("x", "specimen-not-of-device", "specimen")],
        ),
        (
            {("run", "x"): {**RUN, "series": "t"}},
            [("x", "series-missing", "series"), ("s", "series-unused", "")],
        ),
        (
            {("run", "y"): RUN},
            [("y", "series-shared", "series")],
        ),
        (
            {("run", "x"): {**RUN, "natural": ["x"]}},
            [("x", "natural-kind", "natural.0")],
        ),
        (
            {("device", "h"): {**DEVICE, "specimens": []}},
            [
                ("h", "acquisition-missing", ""),
                ("x", "specimen-not-of-device", "specimen"),
            ],
        ),
        (
            {("device", "h"): {**DEVICE, "specimens": [{"id": "a"}]}},
            [("h", "acquisition-missing", "specimens.0")],
        ),
        ({("device", "h"): {**DEVICE, "specimens": [{"id": "a"}], "held": True}}, []),
        (
            {("method", "d"): {**DECAY, "primary_fraction": "pm10"}},
            [("d", "fraction-not-read", "primary_fraction")],
        ),
        (
            {
                ("method", "s"): SOUND,
                ("instrument", "ear"): {"name": "E", "kind": "power"},
            },
            [("s", "instrument-kind", "instrument")],
        ),
        (
            {
                ("method", "s"): {**SOUND, "comparable_with": ["d"]},
                ("instrument", "ear"): {"name": "E", "kind": "sound"},
            },
            [("s", "comparable-kind", "comparable_with.0")],
        ),
        (
            {
                ("device", "h"): {
                    **DEVICE,
                    "photos": [{"file": "h.jpg", "alt": "a", "credit": "c"}],
                }
            },
            [("h", "media-missing", "photos.0.file")],
        ),
        (
            {
                ("table", "t"): {
                    "title": "T",
                    "columns": ["cadr_m3h", "device"],
                    "order": "cadr_m3h",
                }
            },
            [("t", "unknown-quantity", "columns.1")],
        ),
        (
            {
                ("table", "t"): {
                    "title": "T",
                    "columns": ["cadr_m3h"],
                    "where": [
                        {"field": "form", "one_of": ["kit", "box"]},
                        {"field": "filter", "one_of": ["none", "f"]},
                        {"field": "withdrawn", "is": "maybe"},
                        {"field": "price", "at_most": 3},
                        {"field": "maker", "at_most": 3},
                        {"field": "colour", "is": "red"},
                    ],
                }
            },
            [
                ("t", "not-one-of", "where.0.one_of.1"),
                ("t", "unknown-reference", "where.1.one_of.1"),
                ("t", "not-yes-or-no", "where.2.is"),
                ("t", "test-needs-number", "where.4.at_most"),
                ("t", "unknown-quantity", "where.5.field"),
            ],
        ),
        (
            {
                ("change", "c1"): {
                    "date": "2026-01-01",
                    "kind": "retest",
                    "text": "T",
                    "affects": ["device:h", "run:gone"],
                }
            },
            [("c1", "unknown-reference", "affects.1")],
        ),
    ],
)
def test_each_reference_is_followed(
    changed: dict[Key, dict[str, Any] | None], expected: list[tuple[str, str, str]]
) -> None:
    """What names something that is not there, or not of that sort, is told once."""
    assert told(archive(changed)) == expected


def test_a_natural_decay_follows_the_same_or_a_comparable_method() -> None:
    """Another method's natural decay is refused unless declared comparable."""
    changed: dict[Key, dict[str, Any] | None] = {
        ("method", "e"): DECAY,
        ("run", "n"): {
            "kind": "natural-decay",
            "method": "e",
            "started": "2026-03-01T09:00Z",
            "series": "n",
        },
        ("run", "x"): {**RUN, "natural": ["n"]},
    }
    more = (("series", "s"), ("series", "n"))
    assert told(archive(changed, more=more)) == [("x", "natural-method", "natural.0")]
    changed["method", "e"] = {**DECAY, "comparable_with": ["d"]}
    assert told(archive(changed, more=more)) == []


def test_comparability_holds_both_ways_and_with_itself() -> None:
    """Declared in one record, it holds for both; a method is comparable with itself."""
    d, e = facts(("method", "d"), DECAY), facts(("method", "e"), DECAY)
    also = facts(("method", "e"), {**DECAY, "comparable_with": ["d"]})
    assert comparable(d, d)
    assert not comparable(d, e)
    assert comparable(d, also)
    assert comparable(also, d)
    assert not comparable(d, facts(("room", "r"), ROOM))


def test_a_circle_of_successors_is_told_once() -> None:
    """Three devices that replace each other are one problem, not three."""
    circle = {
        ("device", name): {**DEVICE, "superseded_by": following}
        for name, following in (("h", "i"), ("i", "j"), ("j", "h"))
    }
    assert told(
        archive({**circle, ("device", "k"): {**DEVICE, "superseded_by": "h"}})
    ) == [("h", "supersession-cycle", "superseded_by")]


def test_a_faulty_record_is_there_all_the_same() -> None:
    """What has a file is not missing, even when nothing is known of it."""
    index = archive({("device", "h"): None}, more=(("series", "s"), ("device", "h")))
    assert told(index) == []
    # A faulty run may be the one that uses a series.
    waiting = archive({("run", "x"): None}, more=(("series", "s"), ("run", "x")))
    assert told(waiting) == []


def test_foreign_prices_need_a_rate() -> None:
    """A price in another currency is told when no rate leads to the archive's."""
    priced = {
        **DEVICE,
        "prices": [{"amount": 9, "currency": "USD", "date": "2026-01-01"}],
    }
    changed: dict[Key, dict[str, Any] | None] = {("device", "h"): priced}
    bare = SettingsFacts("EUR", (), ())
    assert told(archive(changed, settings=bare)) == [
        ("h", "rate-missing", "prices.0.currency")
    ]
    assert (
        told(
            archive(
                changed, settings=SettingsFacts("EUR", (("USD", "2026-01-05"),), ())
            )
        )
        == []
    )
    assert told(archive(changed, settings=SettingsFacts("USD", (), ()))) == []
    # Without settings the currency is not known, so nothing is claimed.
    assert told(archive(changed)) == []


@pytest.mark.parametrize(
    ("rated", "days", "stale"),
    [
        # 2026-01-01 is the 181st day after 2025-07-04 and the 180th after 2025-07-05.
        (("2025-07-05",), 180, False),
        (("2025-07-04",), 180, True),
        (("2026-06-30",), 180, False),
        (("2026-07-01",), 180, True),
        (("2025-07-04", "2026-02-01"), 180, False),
        (("2025-12-25",), 7, False),
        (("2025-12-24",), 7, True),
        (("2026-01-01",), 0, False),
    ],
)
def test_a_stale_rate_is_told(rated: tuple[str, ...], days: int, stale: bool) -> None:
    """The nearest rate may lie so many days from the price, either way, and no more."""
    priced = {
        **DEVICE,
        "prices": [
            {"amount": 9, "currency": "EUR", "date": "2019-01-01"},
            {"amount": 9, "currency": "USD", "date": "2026-01-01"},
        ],
    }
    rates = (*(("USD", day) for day in rated), ("GBP", "2026-01-01"))
    index = archive(
        {("device", "h"): priced}, settings=SettingsFacts("EUR", rates, (), days)
    )
    expected = [("h", "rate-stale", "prices.1.currency")] if stale else []
    assert told(index) == expected


def test_a_stale_rate_says_both_days() -> None:
    """The warning names the price's day, the rate's, and how far they are apart."""
    price = {"amount": 9, "currency": "USD", "date": "2026-01-01"}
    index = archive(
        {("filter", "f"): {"name": "F", "maker": "M", "price": price}},
        settings=SettingsFacts("EUR", (("USD", "2024-01-01"),), ()),
    )
    assert [(one.path, one.values) for one in check_references(index)] == [
        (
            ("price", "currency"),
            {
                "currency": "USD",
                "wanted": "EUR",
                "day": "2026-01-01",
                "rated": "2024-01-01",
                "apart": "731",
                "most": "180",
            },
        )
    ]


def test_a_price_paid_needs_no_near_rate() -> None:
    """What was paid for a unit is printed as paid, so its rate may be of any day."""
    paid = {"amount": 9, "currency": "USD"}
    unit = {"id": "a", "acquired": {"how": "bought", "date": "2019-01-01"}}
    changed: dict[Key, dict[str, Any] | None] = {
        ("device", "h"): {**DEVICE, "specimens": [{**unit, "price_paid": paid}]}
    }
    rates = (("USD", "2026-01-05"),)
    assert told(archive(changed, settings=SettingsFacts("EUR", rates, ()))) == []


def test_the_navigation_leads_to_pages_and_prose() -> None:
    """A first segment is one of the site's or a prose page's."""
    settings = SettingsFacts("EUR", (), ("devices", "about", "gone"))
    index = archive(more=(("series", "s"), ("prose", "about")), settings=settings)
    assert told(index) == [("", "unknown-navigation", "navigation.2")]


def entry(kind: str, name: str, **fate: str) -> dict[str, str]:
    """Return an address that moved or is gone."""
    return {"kind": kind, "id": name, "date": "2026-01-01", **fate}


@pytest.mark.parametrize(
    ("addresses", "expected"),
    [
        ([entry("device", "old", moved_to="h")], []),
        (
            [
                entry("device", "old", moved_to="older"),
                entry("device", "older", gone="x"),
            ],
            [],
        ),
        (
            [entry("device", "old", moved_to="x")],
            [("address-lost", "addresses.0.moved_to")],
        ),
        ([entry("device", "h", gone="x")], [("address-present", "addresses.0.id")]),
        (
            [entry("device", "old", gone="x"), entry("device", "old", moved_to="h")],
            [("address-twice", "addresses.1.id")],
        ),
        ([entry("device", "old", gone="x"), entry("run", "old", gone="x")], []),
        (
            [
                entry("run", "p", moved_to="q"),
                entry("run", "q", moved_to="p"),
                entry("run", "o", moved_to="p"),
            ],
            [("address-circle", "addresses.0.moved_to")],
        ),
        (
            [entry("run", "p", moved_to="p")],
            [("address-circle", "addresses.0.moved_to")],
        ),
        # The one that leads to nothing is told, not those that lead to it.
        (
            [entry("run", "a", moved_to="b"), entry("run", "b", moved_to="lost")],
            [("address-lost", "addresses.1.moved_to")],
        ),
    ],
)
def test_every_move_ends_somewhere(
    addresses: list[dict[str, str]], expected: list[tuple[str, str]]
) -> None:
    """A moved address leads to a record, or on to one that is gone with its reason."""
    problems = check_references(archive(addresses=addresses))
    assert [
        (found.code, ".".join(map(str, found.path))) for found in problems
    ] == expected


def test_a_change_may_name_what_is_gone() -> None:
    """The log can speak of a record whose address is listed as moved or gone."""
    change = {
        "date": "2026-01-01",
        "kind": "withdrawal",
        "text": "T",
        "affects": ["run:old"],
    }
    index = archive(
        {("change", "c1"): change}, addresses=[entry("run", "old", gone="x")]
    )
    assert told(index) == []


def test_a_check_asks_only_of_what_the_record_names() -> None:
    """An incremental caller sees each question, so it knows what an answer needs."""

    class Asked:
        def __init__(self) -> None:
            self.keys: set[Key] = set()
            self.index = archive()

        def exists(self, kind: str, id: str) -> bool:  # noqa: A002
            self.keys.add((kind, id))
            return self.index.exists(kind, id)

        def facts(self, kind: str, id: str) -> Facts | None:  # noqa: A002
            self.keys.add((kind, id))
            return self.index.facts(kind, id)

        def ids(self, kind: str) -> list[str]:
            raise AssertionError(kind)

        def left(self, kind: str, id: str) -> bool:  # noqa: A002
            return self.index.left(kind, id)

        def settings(self) -> SettingsFacts | None:
            return None

    asked = Asked()
    assert check_record(facts(("run", "x"), RUN), asked) == ()
    assert asked.keys == {("device", "h"), ("method", "d"), ("series", "s")}


def test_problems_find_their_place_when_they_are_told() -> None:
    """A problem becomes a fault through the file of the record that it is in."""
    problems = [
        Problem("series", "s", (), "series-unused"),
        Problem(
            "run", "x", ("natural", 0), "natural-kind", {"run": "y", "found": "sound"}
        ),
    ]
    found = faults_of(problems, lambda kind, name: bare_tree(f"{kind}/{name}"))
    assert [(f.place.file, f.field, f.code) for f in found] == [
        ("run/x", "natural[0]", "natural-kind"),
        ("series/s", "", "series-unused"),
    ]
