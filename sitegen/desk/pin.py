"""Pinning: a comparison's numbers of a day are kept as an edition."""

from __future__ import annotations

import io
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

from sitegen.archive_build.published import Published
from sitegen.desk.release import write_record
from sitegen.errors import Fault, FaultsFound, Place, usage_fault
from sitegen.load.guesses import guess
from sitegen.model.scalars import ID_PATTERN
from sitegen.pages.edition_words import ASSUMED

EDITION_HEAD = """\
# A comparison's numbers as they stood on this day. Written by sitegen pin; the numbers
# are not to be changed. A remark may be added as "note".
"""


_ORDER = (
    "comparison",
    "pinned",
    "title",
    "question",
    "answer",
    "note",
    "units",
    "columns",
    "shown",
    "rows",
    "names",
    "methods",
    "assumptions",
    "figure",
)


def pin(
    archive: Published, folder: Path, comparison_id: str, today: date, note: str = ""
) -> str:
    """Write an edition of a comparison and return its path below the archive.

    Args:
        archive: what is published.
        folder: the archive.
        comparison_id: the comparison.
        today: day of the edition; part of its address.
        note: a remark for its page, Markdown, or ``""``.

    Raises:
        FaultsFound: if the archive has a fault, or the day has an edition already.
        UsageFault: if there is no such comparison to publish.
    """
    archive.refuse_faults()
    known = archive.ids().get("comparison", ())
    if comparison_id not in known:
        raise usage_fault(
            "pin",
            "not-published",
            kind="comparison",
            id=comparison_id,
            **guess(comparison_id, known),
        )
    name = f"{comparison_id}-{today.isoformat()}"
    if not ID_PATTERN.fullmatch(name):
        raise usage_fault("pin", "id-too-long", value=name)
    path = f"records/editions/{name}.yaml"
    if any(day == today.isoformat() for _, day in archive.editions(comparison_id)):
        values = {"other": name}
        raise FaultsFound([Fault("edition-twice", Place(path), "pinned", values)])
    held = archive.freezable(comparison_id)
    assumed = held["assumptions"]
    held["assumptions"] = {name: assumed[name] for name in ASSUMED}
    held |= {"comparison": comparison_id, "pinned": today.isoformat()}
    held["note"] = note.strip() or None
    write_record(folder, path, EDITION_HEAD.encode() + _yaml(held))
    return path


def _yaml(held: Mapping[str, Any]) -> bytes:
    """Return an edition as YAML: a row a line, texts quoted where they must be."""
    from ruamel.yaml import YAML
    from ruamel.yaml.comments import CommentedMap, CommentedSeq

    def flowing(items: Any) -> CommentedSeq:  # noqa: ANN401 - a list of scalars
        made = CommentedSeq(items)
        made.fa.set_flow_style()
        return made

    top = CommentedMap({key: held[key] for key in _ORDER if held.get(key) is not None})
    for key in ("columns", "shown"):
        top[key] = flowing(held[key])
    top["rows"] = CommentedSeq(flowing(row) for row in held["rows"])
    figure = held.get("figure")
    if figure:
        top["figure"] = CommentedMap(figure)
        if "lines" in figure:
            top["figure"]["lines"] = CommentedSeq(
                CommentedMap(
                    {
                        key: flowing("" if each is None else each for each in value)
                        if isinstance(value, list)
                        else value
                        for key, value in line.items()
                    }
                )
                for line in figure["lines"]
            )
    yaml = YAML(typ="rt")
    yaml.width = 1_000_000
    yaml.indent(mapping=2, sequence=4, offset=2)
    written = io.StringIO()
    yaml.dump(top, written)
    return written.getvalue().encode()
