"""Which stylesheets, scripts and icons the site has, and in which order.

Stylesheets are joined into one file, so that a page asks for one; scripts that pages
need together are joined too, the others are asked for one by one. A test holds these
lists and the folders equal. An archive may replace any of them by a file of its own,
but for what keeps cautions in sight.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

# Below assets/css, in the order in which they are joined: what comes later holds.
STYLES: tuple[str, ...] = (
    "care.css",
    "tokens.css",
    "base.css",
    "frame.css",
    "rows.css",
    "tables.css",
    "bars.css",
    "strip.css",
    "figures.css",
    "compare.css",
    "forced_colours.css",
    "print.css",
)

KEPT = frozenset({"css/care.css"})
"""Files below ``assets`` that an archive cannot replace."""

# Published script to its parts below assets/js, in the order in which they rest on each
# other.
JOINED: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "table_rows.js": ("long_table.js", "sort.js"),
        "reckoning.js": (
            "numbers.js",
            "reckon.js",
            "own_values.js",
            "own.js",
            "own_fields.js",
        ),
        "device_numbers.js": ("rooms.js", "costs.js"),
        "own_comparison.js": (
            "save.js",
            "qr_code.js",
            "pick.js",
            "compare_points.js",
            "compare_sheet.js",
            "compare_figure.js",
            "compare_decay.js",
            "compare_drawing.js",
            "compare_chosen.js",
        ),
        "table_tools.js": (
            "query.js",
            "table_filters.js",
            "table_columns.js",
            "compare_cells.js",
            "compare_lines.js",
            "compare_table.js",
            "compare_form.js",
            "compare_own.js",
            "compare_address.js",
            "compare_download.js",
            "compare.js",
        ),
    }
)

# Below assets/js, each published by itself.
SINGLE: tuple[str, ...] = (
    "address_bar.js",
    "choose.js",
    "copy.js",
    "figure.js",
    "find.js",
    "finder.js",
    "moved.js",
    "units.js",
)

SCRIPTS: tuple[str, ...] = (*JOINED, *SINGLE)
"""Scripts as they are published."""

# Below assets/icons.
ICONS: tuple[str, ...] = ("icon.svg",)

STYLESHEET = "site.css"
"""The joined stylesheet, below ``assets`` of the site."""

CHART_RUNTIME = "chart_runtime.js"
"""The charts' own script, below ``assets`` of the site; made at compile time."""


NAMED = frozenset({STYLESHEET, CHART_RUNTIME, *SCRIPTS, *ICONS})
"""Files that are published under a name that follows their bytes."""


def name_by_bytes(name: str, digest: str) -> str:
    """Return the name under which a file is published.

    A browser may keep such a file for ever: other bytes have another name.

    Args:
        name: its plain name, for example ``site.css``.
        digest: hexadecimal digest of its bytes.

    Returns:
        For example ``site.0b1c2d3e4f.css``.
    """
    stem, dot, ending = name.rpartition(".")
    return f"{stem}.{digest[:10]}{dot}{ending}"


def joined(parts: Sequence[bytes], between: bytes = b"") -> bytes:
    """Return stylesheets or scripts as one file.

    Args:
        parts: their bytes, in the order of ``STYLES`` or ``JOINED``.
        between: what parts them, beside the end of a line: a script of an archive's own
            need not end with a semicolon.

    Returns:
        The parts, each ending with one newline; a byte order mark at the start of a
        part, which would break the rule after it, is left out.
    """
    return between.join(
        part.removeprefix(b"\xef\xbb\xbf").rstrip() + b"\n" for part in parts
    )
