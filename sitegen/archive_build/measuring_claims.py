"""Steps from claims and directories to what measurement says of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from sitegen.archive_build.codecs import typed_codec
from sitegen.findings.claims import claim_views, rating_views
from sitegen.findings.claims_nearby import ClaimContext
from sitegen.findings.views import ClaimView, ResultRow
from sitegen.rebuild import Ask, Step, json_codec

RatedViews = tuple[tuple[int, ClaimView], ...]


def _airflows(ask: Ask, device_id: str) -> dict[str, float]:
    """Return the mean measured airflow of each configuration that has one, m³/h."""
    found: dict[str, list[float]] = {}
    for entry in ask("entries_of", device_id):
        if entry.kind == "decay" and entry.counts:
            flow = ask("bare_run", entry.id).airflow_m3h
            if flow:
                name = f"{entry.device}.{entry.filter}.{entry.speed}"
                found.setdefault(name, []).append(flow)
    return {name: sum(flows) / len(flows) for name, flows in found.items()}


def _context(ask: Ask, device_id: str, rows: Sequence[ResultRow]) -> ClaimContext:
    decays = sorted({row.method for row in rows})
    sounds = sorted({row.sound_method for row in rows if row.sound_method})
    meters = {name: ask("bare_method", name) for name in sounds}
    device = ask("bare_device", device_id)
    fitted = [ask("bare_filter", use.id) for use in device.filters if use.included]
    return ClaimContext(
        ceiling_m=ask("cost_basis").assumptions.ceiling_m,
        primary_fraction=ask("primary_fraction"),
        meters={name: (m.distance_m, m.position) for name, m in meters.items()},
        rooms={
            name: (
                ask("figures", name).volume_m3,
                ask("bare_method", name).clearance_target,
            )
            for name in decays
        },
        lifetimes=tuple(each.lifetime for each in fitted if each.lifetime),
        airflows=ask("airflows", device_id),
    )


def _aerosols(ask: Ask, rows: Sequence[ResultRow]) -> dict[str, str]:
    methods = sorted({row.method for row in rows})
    return {name: ask("bare_method", name).aerosol_kind for name in methods}


def _by_method_in_force(
    ask: Ask, device_id: str, views: Callable[[Sequence[ResultRow]], list[ClaimView]]
) -> list[ClaimView]:
    """Return views by the methods in force; what these cannot answer, by older ones."""
    rows = ask("rows", device_id)
    replaced = set(ask("replaced_methods"))
    now = [row for row in rows if row.method not in replaced]
    return [
        older if _more(older, newer) else newer
        for newer, older in zip(views(now), views(rows), strict=True)
    ]


def _more(older: ClaimView, newer: ClaimView) -> bool:
    """Return whether an older method says something of a claim that a newer cannot."""
    if newer.measured is None and older.measured is not None:
        return True
    return newer.measured is None and newer.nearby is None


def _claims(ask: Ask, device_id: str) -> tuple[ClaimView, ...]:
    device = ask("bare_device", device_id)
    if not device.claims:
        return ()
    context = _context(ask, device_id, ask("rows", device_id))
    fraction = ask("primary_fraction")

    def views(rows: Sequence[ResultRow]) -> list[ClaimView]:
        return list(claim_views(device, rows, _aerosols(ask, rows), fraction, context))

    return tuple(_by_method_in_force(ask, device_id, views))


def _ratings(ask: Ask, device_id: str) -> RatedViews:
    device = ask("bare_device", device_id)
    if not device.ratings:
        return ()
    context = _context(ask, device_id, ask("rows", device_id))
    fraction = ask("primary_fraction")

    def rated(rows: Sequence[ResultRow]) -> RatedViews:
        return rating_views(device, rows, _aerosols(ask, rows), fraction, context)

    def views(rows: Sequence[ResultRow]) -> list[ClaimView]:
        return [view for _, view in rated(rows)]

    found = _by_method_in_force(ask, device_id, views)
    positions = [at for at, _ in rated(())]
    return tuple(zip(positions, found, strict=True))


def claim_steps() -> tuple[Step, ...]:
    """Return these steps."""
    return (
        Step("airflows", _airflows, json_codec),
        Step("claims", _claims, typed_codec(tuple[ClaimView, ...])),
        Step("ratings", _ratings, typed_codec(RatedViews)),
    )
