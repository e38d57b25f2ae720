"""Where the engine and the domain meet: which steps make an archive's site.

The names below are loaded when first used: a compile with nothing to do needs none.
"""

from __future__ import annotations

# Spelled as a constant so that typing need not be imported; type checkers know it.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from sitegen.archive_build.checking import check_archive
    from sitegen.archive_build.compile import (
        CompileOutcome,
        ask_archive,
        compile_archive,
        hasten_pages,
    )
    from sitegen.archive_build.folders import Folders, published_folders
    from sitegen.archive_build.shipped import shipped_folder

__all__ = [
    "CompileOutcome",
    "Folders",
    "ask_archive",
    "check_archive",
    "compile_archive",
    "hasten_pages",
    "published_folders",
    "shipped_folder",
]


def __getattr__(name: str) -> object:
    homes = {
        **dict.fromkeys(
            ("CompileOutcome", "ask_archive", "compile_archive", "hasten_pages"),
            "compile",
        ),
        "check_archive": "checking",
        **dict.fromkeys(("Folders", "published_folders"), "folders"),
        "shipped_folder": "shipped",
    }
    if name not in homes:
        message = f"module {__name__!r} has no attribute {name!r}"
        raise AttributeError(message)
    from importlib import import_module  # noqa: PLC0415 - only when a name is asked for

    return getattr(import_module(f"{__name__}.{homes[name]}"), name)
