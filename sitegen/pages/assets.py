"""Which stylesheets, scripts and icons the site has, and in which order.

Stylesheets are joined into one file, so that a page asks for one; scripts are asked
for one by one, by the pages that need them. A test holds these lists and the folders
equal. An archive may replace any of them by a file of its own, but for what keeps
cautions in sight.
"""

from __future__ import annotations

from collections.abc import Sequence

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

# Below assets/js.
SCRIPTS: tuple[str, ...] = (
    "address_bar.js",
    "choose.js",
    "compare.js",
    "compare_address.js",
    "compare_cells.js",
    "compare_chosen.js",
    "compare_decay.js",
    "compare_download.js",
    "compare_drawing.js",
    "compare_figure.js",
    "compare_form.js",
    "compare_lines.js",
    "compare_own.js",
    "compare_points.js",
    "compare_sheet.js",
    "compare_table.js",
    "copy.js",
    "costs.js",
    "figure.js",
    "find.js",
    "finder.js",
    "long_table.js",
    "moved.js",
    "numbers.js",
    "own.js",
    "own_fields.js",
    "own_values.js",
    "pick.js",
    "qr_code.js",
    "query.js",
    "reckon.js",
    "rooms.js",
    "save.js",
    "sort.js",
    "table_columns.js",
    "table_filters.js",
    "units.js",
)

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


def joined_styles(parts: Sequence[bytes]) -> bytes:
    """Return the stylesheets as one.

    Args:
        parts: their bytes, in the order of ``STYLES``.

    Returns:
        The parts, each ending with one newline; a byte order mark at the start of a
        part, which would break the rule after it, is left out.
    """
    return b"".join(
        part.removeprefix(b"\xef\xbb\xbf").rstrip() + b"\n" for part in parts
    )
