"""A comparison's figure as pictures for a video, with the numbers of its page."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from sitegen.archive_build.published import Published
from sitegen.errors import usage_fault
from sitegen.figures.render import lean_png, png, still_svg
from sitegen.figures.stills import SHAPES, is_small
from sitegen.figures.theme import Paper, coloured
from sitegen.load.guesses import guess
from sitegen.model import KINDS

# Pixels for each px of a shape's description.
_SCALES = {"wide": (1, 2), "tall": (1,)}


@dataclass(frozen=True, slots=True)
class Still:
    """A picture.

    Attributes:
        name: name of its file.
        data: its bytes.
        small: whether its type is smaller than reads well on a phone.
    """

    name: str
    data: bytes
    small: bool = False


def make_stills(
    archive: Published, comparison_id: str, paper: Paper
) -> tuple[Still, ...]:
    """Return the pictures of a comparison, a file each.

    Args:
        archive: what is published.
        comparison_id: the comparison.
        paper: light or dark.

    Raises:
        FaultsFound: if the archive has a fault.
        UsageFault: if there is no such comparison to publish, or it has no figure.
    """
    archive.refuse_faults()
    known = archive.ask("ids", "comparison")
    values = {"kind": "comparison", "id": comparison_id}
    if comparison_id not in known:
        near = guess(comparison_id, known)
        where = f"records/{KINDS['comparison'].folder}"
        raise usage_fault(
            "stills", "unknown-reference", "COMPARISON", **values, folder=where, **near
        )
    if not archive.ask("has_page", "comparison", comparison_id):
        raise usage_fault("stills", "still-held", "COMPARISON", **values)
    specs = archive.ask("comparison_still", comparison_id)
    if specs is None:
        raise usage_fault("stills", "still-empty", "COMPARISON", **values)
    made = []
    for shape in SHAPES:
        spec = coloured(specs[shape.name], paper)
        for scale in _SCALES[shape.name]:
            size = f"{scale * shape.width}x{scale * shape.height}"
            data = lean_png(png(spec, scale))
            name = f"{comparison_id}-{size}.png"
            made.append(Still(name, data, is_small(spec)))
        drawn = still_svg(spec).encode()
        name = f"{comparison_id}-{shape.width}x{shape.height}.svg"
        made.append(Still(name, drawn, is_small(spec)))
    return tuple(made)


def write_stills(folder: Path, stills: tuple[Still, ...]) -> tuple[Path, ...]:
    """Write pictures into a folder, over those of before; return their paths."""
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for still in stills:
        path = folder / still.name
        aside = path.with_name(f".{path.name}.part")
        aside.write_bytes(still.data)
        aside.replace(path)
        written.append(path)
    return tuple(written)
