"""The tables of results on the page of a device."""

from __future__ import annotations

from sitegen.findings.views import Labels, ResultRow
from sitegen.pages.device_given import DeviceGiven
from sitegen.pages.frame import Site
from sitegen.pages.result_table import ResultTable, result_table
from sitegen.pages.sound_setups import background_remarks
from sitegen.pages.words import Words

RESULTS = ("cadr_m3h", "clearance_min")
SOUND_AND_ENERGY = ("sound_dba", "power_w", "cadr_per_w", "energy_kwh_year")


def settings_table(
    site: Site, words: Words, given: DeviceGiven, head: ResultRow | None
) -> ResultTable | None:
    """Return clean air and clearance of every setting, with its place and notes."""
    if not given.current:
        return None
    return result_table(
        words,
        site,
        in_order(given.current, given.labels),
        {given.device.id: given.labels},
        RESULTS,
        "",
        label=words("All configurations of {name}", name=given.device.name),
        within=given.device.id,
        ranked=True,
        notes=True,
        methods={link.to.path.split("/")[1]: link.text for link in given.methods},
        chosen=head.configuration if head is not None else "",
        remarks=_pooled_units(words, given),
        families=given.families,
    )


def sound_table(
    site: Site, words: Words, given: DeviceGiven, head: ResultRow | None
) -> ResultTable | None:
    """Return sound and energy of every setting, those without a CADR among them."""
    rows = in_order((*given.current, *given.loose), given.labels)
    if not rows:
        return None
    return result_table(
        words,
        site,
        rows,
        {given.device.id: given.labels},
        SOUND_AND_ENERGY,
        "",
        label=words("Sound and energy of {name}", name=given.device.name),
        within=given.device.id,
        notes=False,
        methods={link.to.path.split("/")[1]: link.text for link in given.methods},
        chosen=head.configuration if head is not None else "",
        remarks=background_remarks(words, rows, given.sound_grades),
        families=given.families,
    )


def _pooled_units(words: Words, given: DeviceGiven) -> dict[str, str]:
    """Return a mark for results in which runs of several units are pooled."""
    units = {run.id: run.specimen for run in given.runs}
    marks = {}
    for row in given.current:
        found = sorted({units[name] for name in row.run_ids if units.get(name)})
        if len(found) > 1:
            marks[f"{row.configuration} {row.method}"] = words(
                "units {units} pooled", units=" + ".join(found)
            )
    return marks


def in_order(rows: tuple[ResultRow, ...], labels: Labels) -> tuple[ResultRow, ...]:
    """Return rows by speed, the fastest first, then by filter as listed."""
    speeds = {name: at for at, (name, _) in enumerate(labels.speeds)}
    filters = {name: at for at, (name, _) in enumerate(labels.filters)}
    return tuple(
        sorted(
            rows,
            key=lambda row: (
                -speeds.get(row.speed, -1),
                filters.get(row.filter, 99),
                row.method,
                row.fraction,
            ),
        )
    )


def more_tables(
    site: Site, words: Words, given: DeviceGiven
) -> tuple[ResultTable, ...]:
    """Return results beside the current ones: other fractions, replaced methods."""
    known = {(r.configuration, r.method, r.fraction) for r in given.current}
    rest = tuple(
        row
        for row in given.rows
        if (row.configuration, row.method, row.fraction) not in known
    )
    if not rest:
        return ()
    return (
        result_table(
            words,
            site,
            in_order(rest, given.labels),
            {given.device.id: given.labels},
            ("cadr_m3h", "clearance_min", "decay_per_h"),
            "",
            label=words("Other size fractions, and methods since replaced"),
            within=given.device.id,
            methods={link.to.path.split("/")[1]: link.text for link in given.methods},
            naming=True,
        ),
    )
