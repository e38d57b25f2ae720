"""Picking among results: the headline, the best quiet one, what serves a room."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from sitegen.findings.views import FinderAnswer, FinderPick, QuietPick, ResultRow
from sitegen.measure.cost import cost_with_price
from sitegen.measure.sizing import units_needed
from sitegen.measure.sound import Speed, best_under_cap, several_units

MOST_UNITS = 4
MOST_PICKS = 5
ROOM_AREAS_M2 = (10.0, 16.0, 25.0, 40.0, 60.0)
"""Floors for which rooms are reckoned in advance, m²."""


def current_rows(
    rows: Sequence[ResultRow], fraction: str, replaced: Collection[str]
) -> tuple[ResultRow, ...]:
    """Return the rows of a fraction under methods still in force, where there are any.

    Args:
        rows: rows of one device, or of all.
        fraction: size fraction.
        replaced: ids of methods that a newer version replaces.
    """
    of_fraction = [row for row in rows if row.fraction == fraction]
    chosen: list[ResultRow] = []
    by_configuration: dict[str, list[ResultRow]] = {}
    for row in of_fraction:
        by_configuration.setdefault(row.configuration, []).append(row)
    for group in by_configuration.values():
        newest = [row for row in group if row.method not in replaced]
        chosen += newest or group
    return tuple(chosen)


def headline(rows: Sequence[ResultRow]) -> ResultRow | None:
    """Return the row with the highest CADR, or nothing."""
    known = [row for row in rows if row.cadr_m3h is not None]
    return max(
        known, key=lambda row: (row.cadr_m3h or 0.0, row.configuration), default=None
    )


def quiet_pick(rows: Sequence[ResultRow], cap_dba: float) -> QuietPick:
    """Return the best CADR among tested configurations at or under a cap.

    Nothing is interpolated; where none meets the cap the answer is none, with the
    quietest level tested.

    Args:
        rows: rows of one device, those with a level and without a CADR among them.
        cap_dba: the cap, dB(A).
    """
    found = best_under_cap(
        [
            Speed(
                speed=str(at),
                level_dba=row.sound_dba,
                half_db=(row.sound_high or row.sound_dba or 0.0)
                - (row.sound_dba or 0.0),
                cadr_m3h=row.cadr_m3h,
            )
            for at, row in enumerate(rows)
        ],
        cap_dba,
    )
    best = rows[int(found.speed)] if found.speed else None
    return QuietPick(cap_dba, best, found.near_cap, found.quietest_dba, found.reason)


def finder_answer(
    area_m2: float,
    ceiling_m: float,
    target_per_h: float,
    cap_dba: float,
    rows: Sequence[ResultRow],
    prices: Mapping[str, float],
    budget: float | None = None,
    years: int = 5,
) -> FinderAnswer:
    """Return what serves a room: one configuration a device, cheapest to own first.

    Counted with the lower limit of the CADR; sound is that of all units together.

    Args:
        area_m2: floor area.
        ceiling_m: ceiling height.
        target_per_h: air changes wanted.
        cap_dba: most sound accepted, all units together.
        rows: rows to choose from, one fraction and comparable methods.
        prices: device id to price, where known.
        budget: most that all units together may cost, or nothing; a device without a
            known price does not meet one.
        years: over how many years the price is spread.
    """
    volume = area_m2 * ceiling_m
    picks: dict[str, FinderPick] = {}
    for row in rows:
        pick = _pick(row, volume, target_per_h, prices.get(row.device), cap_dba, years)
        if pick is None or pick.sound_dba is None or pick.sound_dba > cap_dba:
            continue
        if budget is not None and (pick.first_cost is None or pick.first_cost > budget):
            continue
        known = picks.get(row.device)
        if known is None or _order(pick) < _order(known):
            picks[row.device] = pick
    chosen = sorted(picks.values(), key=_order)[:MOST_PICKS]
    return FinderAnswer(area_m2, volume, volume * target_per_h, tuple(chosen))


def with_ends(
    answer: FinderAnswer,
    running: Mapping[str, tuple[float, float]],
    years: int,
) -> FinderAnswer:
    """Return an answer with the cheap and the dear end of each pick's costs.

    Picks are ordered by the costs themselves, so that ends are wanted for them alone.

    Args:
        answer: the answer.
        running: ends of one unit's running cost of a year, by configuration, where
            they differ.
        years: over how many years the price is spread.
    """
    picks = []
    for pick in answer.picks:
        ends = running.get(pick.row.configuration)
        if ends is None or pick.running_cost_year is None:
            picks.append(pick)
            continue
        low, high = (end * pick.units for end in ends)
        price = pick.first_cost
        owning = None
        if price is not None:
            owning = (
                cost_with_price(low, price, years),
                cost_with_price(high, price, years),
            )
        picks.append(replace(pick, running_ends=(low, high), owning_ends=owning))
    return replace(answer, picks=tuple(picks))


def _order(pick: FinderPick) -> tuple[bool, float, int, str]:
    """Sort by a year's cost with its share of the price, unknown costs last."""
    cost = pick.owning_cost_year
    return (cost is None, cost or 0.0, pick.units, pick.row.configuration)


def _pick(
    row: ResultRow,
    volume_m3: float,
    target_per_h: float,
    price: float | None,
    cap_dba: float,
    years: int,
) -> FinderPick | None:
    if row.cadr_low is None or row.cadr_low <= 0 or row.sound_dba is None:
        return None
    units = units_needed(target_per_h, volume_m3, row.cadr_low)
    if not 1 <= units <= MOST_UNITS:
        return None
    running = None if row.running_cost_year is None else row.running_cost_year * units
    first = None if price is None else price * units
    known = running is not None and first is not None
    return FinderPick(
        row=row,
        units=units,
        sound_dba=several_units(row.sound_dba, units),
        first_cost=first,
        running_cost_year=running,
        owning_cost_year=cost_with_price(running or 0.0, first or 0.0, years)
        if known
        else None,
        near_cap=row.sound_high is not None
        and several_units(row.sound_high, units) > cap_dba,
    )
