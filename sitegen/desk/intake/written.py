"""A proposal is written beside what is there, and a confirmed form is kept."""

from __future__ import annotations

from pathlib import Path

from sitegen.desk.intake.forms import form_lines
from sitegen.desk.intake.proposal import Proposal
from sitegen.desk.intake.taken import Taken
from sitegen.desk.opened import OpenArchive
from sitegen.errors import Fault, FaultsFound, Place, is_fault
from sitegen.load import load_record


def write_proposal(archive: Path, proposal: Proposal) -> tuple[Path, ...]:
    """Write the files of a proposal; nothing that is there is ever written over.

    Raises:
        FaultsFound: if one of them is there already; neither is written then.
    """
    written: list[Path] = []
    try:
        for name, text in proposal.files:
            path = archive / name
            path.parent.mkdir(parents=True, exist_ok=True)
            with path.open("x", encoding="utf-8", newline="\n") as file:
                written.append(path)
                file.write(text)
    except OSError as error:
        for path in written:
            path.unlink()
        if isinstance(error, FileExistsError):
            values = {"path": name}
            fault = Fault("intake-exists", Place("intake"), "", values)
            raise FaultsFound([fault]) from None
        raise
    return tuple(written)


def keep_forms(archive: OpenArchive, taken: Taken) -> tuple[str, ...]:
    """Add confirmed forms to the records of instruments that have none.

    The field is put after what the record holds, which stays as it is, byte for byte.

    Returns:
        Paths of the records, below the archive.
    """
    kept: list[str] = []
    for known, instrument in zip(taken.forms, taken.instruments, strict=True):
        if instrument.log is not None or known.form is None:
            continue
        name = archive.path("instrument", instrument.id)
        if name in kept:
            continue
        path = archive.folder / name
        before = path.read_bytes()
        line_end = b"" if before.endswith(b"\n") else b"\n"
        lines = ["# How its raw logs read; found by `sitegen intake` and confirmed."]
        lines += form_lines(known.form)
        after = before + line_end + ("\n".join(lines) + "\n").encode()
        loaded = load_record("instrument", instrument.id, after, name)
        if loaded.record is None:
            raise FaultsFound([fault for fault in loaded.faults if is_fault(fault)])
        aside = path.with_name(f".{path.name}.new")
        aside.write_bytes(after)
        aside.replace(path)
        kept.append(name)
    return tuple(kept)
