"""Rows, devices, filters and runs made short for the tests of findings."""

from __future__ import annotations

from typing import Any

from sitegen.findings.costs import CostBasis
from sitegen.findings.fitted import FractionChecks, RunFound, Slope
from sitegen.findings.index import RunEntry
from sitegen.findings.views import Clearance, FlagView, ResultRow, Validity
from sitegen.model import Device, Filter
from sitegen.model.archive import Assumptions, Rate


def row(configuration: str = "alder.fine.high", **fields: Any) -> ResultRow:
    """Return a result of ``DEVICE.FILTER.SPEED`` with what a test cares for."""
    device, filter_id, speed = configuration.split(".")
    named: dict[str, Any] = {
        "method": "decay-a",
        "fraction": "pm2_5",
        "runs": 2,
        "run_ids": ("r1", "r2"),
        "validity": "rated",
        "flags": (),
        **fields,
    }
    return ResultRow(device=device, filter=filter_id, speed=speed, **named)


def device(**fields: Any) -> Device:
    """Return a device with two speeds and one filter in the box."""
    record: dict[str, Any] = {
        "id": "alder",
        "name": "Alder",
        "maker": "Quillmoor",
        "form": "portable",
        "speeds": [{"id": "low", "label": "1"}, {"id": "high", "label": "2"}],
        "filters": [{"id": "fine", "pieces": 1, "included": True}],
        "specimens": [
            {"id": "a", "acquired": {"how": "bought", "date": "2024-01-05"}},
        ],
        "prices": [{"amount": "220", "currency": "EUR", "date": "2024-01-01"}],
        **fields,
    }
    return Device.model_validate(record)


def filter_record(**fields: Any) -> Filter:
    """Return a filter of 60 EUR a piece that lasts eight months."""
    record: dict[str, Any] = {
        "id": "fine",
        "name": "Fine filter",
        "maker": "Quillmoor",
        "price": {"amount": "60", "currency": "EUR", "date": "2024-01-01"},
        "lifetime": {"months": 8, "basis": "stated"},
        **fields,
    }
    return Filter.model_validate(record)


def rate(currency: str, value: float, date: str) -> Rate:
    """Return an exchange rate of a day."""
    return Rate.model_validate(
        {"currency": currency, "value": value, "date": date, "source": "a bank"}
    )


def basis(*rates: Rate, **assumed: Any) -> CostBasis:
    """Return 0.30 EUR per kWh, 12 hours a day, five years, unless said otherwise."""
    given: dict[str, Any] = {
        "tariff": {"per_kwh": 0.30, "date": "2024-01-01", "source": "a bill"},
        "hours_per_day": 12,
        "years": 5,
        **assumed,
    }
    return CostBasis("EUR", Assumptions.model_validate(given), tuple(rates))


def entry(run: str = "r1", **fields: Any) -> RunEntry:
    """Return the entry of an accepted decay run of one configuration."""
    named: dict[str, Any] = {
        "kind": "decay",
        "method": "decay-a",
        "day": "2024-03-01",
        "status": "accepted",
        "device": "alder",
        "specimen": "a",
        "filter": "fine",
        "speed": "high",
        **fields,
    }
    return RunEntry(id=run, **named)


def natural_entry(run: str = "n1", **fields: Any) -> RunEntry:
    """Return the entry of an accepted natural decay."""
    named: dict[str, Any] = {
        "kind": "natural-decay",
        "method": "decay-a",
        "day": "2024-03-01",
        "status": "accepted",
        **fields,
    }
    return RunEntry(id=run, **named)


def slope(
    decay_per_h: float,
    sd: float,
    limits: tuple[float, float] | None = None,
    *,
    instrument: str = "all",
    fraction: str = "pm2_5",
) -> Slope:
    """Return a decay rate; without limits these lie two deviations off."""
    low, high = limits or (decay_per_h - 2 * sd, decay_per_h + 2 * sd)
    return Slope(
        instrument=instrument,
        fraction=fraction,
        points=46,
        start_min=4.0,
        end_min=26.5,
        zero_offset=None if instrument == "all" else 1.0,
        zero_u_per_h=0.0,
        decay_per_h=decay_per_h,
        sd_per_h=sd,
        low_per_h=low,
        high_per_h=high,
        decay_low=low,
        decay_high=high,
        plain_per_h=decay_per_h,
        plain_se_per_h=sd / 2,
        r_squared=0.99,
    )


def flag(
    code: str,
    validity: Validity = "notes",
    *,
    raised: bool = True,
    decide: bool = False,
) -> FlagView:
    """Return the outcome of a check."""
    return FlagView(
        code=code,
        raised=raised,
        value=1.0,
        limit=0.5,
        unit="",
        validity=validity if raised else "rated",
        decide=decide,
    )


def found(
    *slopes: Slope,
    flags: tuple[FlagView, ...] = (),
    validity: Validity = "rated",
    clearance: Clearance | None = None,
    sensors: int = 3,
    error: str = "",
) -> RunFound:
    """Return what a series says: these rates, with one outcome a fraction."""
    fractions = dict.fromkeys(one.fraction for one in slopes)
    return RunFound(
        error=error,
        start_rule="mixing",
        end_rule="fraction",
        slopes=slopes,
        checks=tuple(
            FractionChecks(name, flags, validity, clearance, sensors)
            for name in fractions
        ),
        failures=(),
    )
