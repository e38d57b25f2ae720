"""Words for what is wrong with a layout of the archive's own."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sitegen.errors.code import Code

_BACK = "compare it with the tool's layout of that name, or delete it to have that back"

LAYOUTS: Mapping[str, Code] = MappingProxyType(
    {
        "layout-missing": Code(
            "A layout names another that is not there",
            'there is no layout "{name}"',
            remedy="correct the name, or write that layout into own/layouts",
            about="A layout that extends, includes or imports another needs it, unless"
            ' it says "ignore missing".',
        ),
        "layout-dynamic": Code(
            "A layout names another by an expression",
            "which layout is meant is known only while a page is made",
            "a name in quotation marks",
            "name the layout, and choose between several with if",
            "What a page rests on has to be known before it is made: otherwise a"
            " change in a layout could leave pages as they were.",
        ),
        "layout-syntax": Code(
            "A layout is broken",
            "the layout cannot be read from here on ({why})",
            remedy=_BACK,
            about="The template engine stumbled over something. The cause is often"
            " above the line named.",
        ),
        "layout-failed": Code(
            "A layout cannot make its page",
            "the layout asks for what the page does not have ({why})",
            remedy=_BACK,
            about="Layouts may change with a new version of the tool, and with them"
            " what a page is made from. Look at the tool's layout of that name.",
        ),
    }
)
