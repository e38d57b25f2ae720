"""Where the tool's own content, layouts and assets are."""

from __future__ import annotations

from pathlib import Path

NAMES = ("content", "layouts", "assets")


def shipped_folder(name: str) -> Path:
    """Return the folder of what ships with the tool: in the wheel, or the checkout.

    Args:
        name: ``content``, ``layouts`` or ``assets``.

    Raises:
        MachineFault: if the installation is not whole.
    """
    package = Path(__file__).resolve().parent.parent
    for folder in (package / "_shipped" / name, package.parent / name):
        if folder.is_dir():
            return folder
    from sitegen.errors import MachineFault  # not needed where all is well

    raise MachineFault(f"this installation lacks its {name} folder; install it anew")


def shipped_languages() -> tuple[str, ...]:
    """Return the languages of the interface that have a catalogue, English first."""
    found = {path.stem for path in (shipped_folder("content") / "words").glob("*.po")}
    return ("en", *sorted(found - {"en"}))
