"""An archive in a language of marks: each word of the interface stands in brackets.

What a page shows outside of brackets was written by the tester, or by code that asks
no catalogue. That finds a text left in English even where no translation is known.
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from babel.messages.pofile import read_po, write_po

from sitegen.archive_build import compile_archive, published_folders
from sitegen.archive_build.shipped import shipped_folder
from sitegen.desk.start import Beginning, start_archive

_INNERMOST = re.compile(r"⟦[^⟦⟧]*⟧")
_CUT = re.compile(r"⟦[^⟦⟧]*$|^[^⟦⟧]*⟧")


def marked_archive(folder: Path) -> Path:
    """Return the published folder of a new archive whose words are all marked."""
    content = folder / "content"
    shutil.copytree(shipped_folder("content"), content)
    _mark(content / "words" / "de.po")
    for path in (content / "cautions" / "de").iterdir():
        lines = path.read_text(encoding="utf-8").splitlines()
        path.write_text(
            "\n".join(re.sub(r"^(#* ?)(.+)$", r"\1⟦\2⟧", line) for line in lines),
            encoding="utf-8",
        )

    def shipped(name: str) -> Path:
        return content if name == "content" else shipped_folder(name)

    archive = folder / "archive"
    start_archive(archive, Beginning(language="de"))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("sitegen.archive_build.folders.shipped_folder", shipped)
        compile_archive(published_folders(archive))
    return archive / "published"


def outside(text: str) -> list[str]:
    """Return what of a text stands outside of all brackets, in pieces.

    A text that was cut to lines ends or begins within a bracket.
    """
    text = " ".join(text.split())
    while _INNERMOST.search(text):
        text = _INNERMOST.sub("\0", text)
    pieces = _CUT.sub("\0", _CUT.sub("\0", text)).split("\0")
    return [piece for each in pieces if (piece := each.strip(" ,.;:()·“”„"))]


def _mark(path: Path) -> None:
    with path.open("rb") as file:
        catalogue = read_po(file, locale="de")
    for entry in catalogue:
        if isinstance(entry.id, str):
            entry.string = f"⟦{entry.id}⟧" if entry.id else entry.string
        else:
            entry.string = tuple(f"⟦{form}⟧" for form in entry.id)
    with path.open("wb") as file:
        write_po(file, catalogue)
