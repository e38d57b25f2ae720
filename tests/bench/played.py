"""An archive that is edited, killed while compiling, and compared with a clean one."""

from __future__ import annotations

import multiprocessing
import pickle
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from concurrent.futures import Executor, Future
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from sitegen.archive_build import (
    CompileOutcome,
    Folders,
    compile_archive,
    hasten_pages,
    published_folders,
)
from sitegen.errors import MachineFault, fault_line
from sitegen.rebuild import First
from tests.bench.features import LATE_FAULTS, beginning, files_of

STRANGER = b"not ours"
SPOILT = b"spoilt"
STATE = ".sitegen"


class Remembering(Executor):
    """Does costly work at once, and never the same work twice.

    Fits and figures are pure, so a clean compile may take them from one before; the
    comparisons then cost what pages cost. ``forget`` makes the next one pay in full.
    """

    def __init__(self) -> None:
        self._known: dict[bytes, Any] = {}

    def submit(self, fn: Callable[..., Any], /, *args: Any, **_: Any) -> Future[Any]:
        """Do the work, or look it up."""
        asked = pickle.dumps((fn.__qualname__, args[0].__qualname__, args[1:]))
        if asked not in self._known:
            self._known[asked] = fn(*args)
        future: Future[Any] = Future()
        future.set_result(self._known[asked])
        return future

    def forget(self) -> None:
        """Forget all."""
        self._known.clear()


@dataclass(slots=True)
class Tally:
    """What a history came to.

    Attributes:
        edits: changes of the archive's files, of published files or of the state.
        kills: processes killed while they were compiling.
        idle: processes that had ended before they could be killed.
        compared: comparisons with a clean compile.
        faulty: compiles of an archive with faults.
        hastened: pages made before the archive was looked at as a whole.
    """

    edits: int = 0
    kills: int = 0
    idle: int = 0
    compared: int = 0
    faulty: int = 0
    hastened: int = 0


def compile_until_killed(archive: str, out: str, state: str, begun: Any) -> None:
    """Compile in a process of its own; ``begun`` is set when it begins."""
    folders = Folders(Path(archive), Path(out), Path(state))
    begun.set()
    compile_archive(folders, workers=1)


@dataclass(slots=True)
class Played:
    """An archive in play.

    Attributes:
        folder: where everything lies.
        tally: what was done so far.
        work: does costly work, for the compiles in this process.
        chosen: the options that the archive's files say.
        show_held: the setting of ``preview``.
        strange: files in the output folder that the tool did not write.
        took_s: how long a compile took lately, s.
    """

    folder: Path
    tally: Tally
    work: Remembering
    chosen: dict[str, str] = field(default_factory=beginning)
    show_held: bool = False
    strange: set[str] = field(default_factory=set)
    took_s: float = 1.0

    def __post_init__(self) -> None:
        """Write the archive as it begins."""
        self.write()

    @property
    def folders(self) -> Folders:
        """Where it is compiled."""
        archive = self.folder / "archive"
        return published_folders(archive, self.folder / "site")

    # Edits

    def choose(self, feature: str, option: str) -> None:
        """Change one feature, and the files that follow from it."""
        self.chosen[feature] = option
        self.write()

    def write(self) -> None:
        """Make the archive's files what the options say; what only moved is renamed."""
        archive = self.folders.archive
        wanted = files_of(self.chosen)
        present = {
            path.relative_to(archive).as_posix(): path
            for path in archive.rglob("*")
            if path.is_file() and STATE not in path.parts
        }
        gone = {path: present[path].read_bytes() for path in present.keys() - wanted}
        for path, data in wanted.items():
            target = archive / path
            if path in present and target.read_bytes() == data:
                continue
            target.parent.mkdir(parents=True, exist_ok=True)
            moved = next((old for old, was in gone.items() if was == data), None)
            if path not in present and moved is not None:
                del gone[moved]
                (archive / moved).rename(target)
            else:
                target.write_bytes(data)
        for path in gone:
            (archive / path).unlink()

    def hurried(self, feature: str, option: str, place: float) -> None:
        """Change one feature, and have some page made by what changed alone."""
        if self.compiled().stopped:
            return
        archive = self.folders.archive
        before = files_of(self.chosen)
        self.choose(feature, option)
        after = files_of(self.chosen)
        changed = sorted(p for p in after if before.get(p) != after[p])
        # Not all of it is told every time.
        told = changed[: 1 + int(place * 3)]
        site = self.folders.out
        paths = [path.relative_to(site).as_posix() for path in self.published()]
        if not told or not paths:
            return
        assert all((archive / path).is_file() for path in told)
        some = First(tuple(paths[int(place * 3) :: 3]), self._hastened)
        hasten_pages(self.folders, told, some, show_held=self.show_held)

    def _hastened(self) -> None:
        self.tally.hastened += 1

    def again(self) -> None:
        """Delete the folder of records and write it anew: other inodes and times."""
        shutil.rmtree(self.folders.archive / "records")
        self.write()

    def published(self) -> list[Path]:
        """Return every file in the output folder, sorted."""
        return sorted(path for path in self.folders.out.rglob("*") if path.is_file())

    def spoil(self, place: float, data: bytes | None) -> None:
        """Overwrite or delete a published file."""
        theirs = {self.folders.out / path for path in self.strange}
        files = [
            path
            for path in self.published()
            if path.name != ".written" and path not in theirs
        ]
        if files:
            path = files[int(place * len(files))]
            if data is None:
                path.unlink()
            else:
                path.write_bytes(data)

    def put_beside(self, path: str) -> None:
        """Put a stranger's file into the output folder."""
        target = self.folders.out / path
        if not target.exists():
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(STRANGER)
            self.strange.add(path)

    def damage(self, place: float, how: str) -> None:
        """Lose, cut off or overwrite a part of the state."""
        state = self.folders.state / "state.sqlite"
        if not state.is_file():
            return
        if how == "lose":
            shutil.rmtree(self.folders.state)
        elif how == "cut":
            with state.open("r+b") as stream:
                stream.truncate(int(place * state.stat().st_size))
        else:
            with state.open("r+b") as stream:
                stream.seek(int(place * state.stat().st_size))
                stream.write(b"garbage" * 200)

    # Compiles

    def killed(self, place: float, *, command: bool) -> None:
        """Compile in a process, and kill it at some moment."""
        process: Any
        if command:
            words = ["compile", str(self.folders.archive), "--workers", "2"]
            words += ["--out", str(self.folders.out), "-q"]
            process = subprocess.Popen(
                [sys.executable, "-m", "sitegen", *words],
                stderr=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
            )
            time.sleep(0.5 + place * (self.took_s + 2.0))
            process.kill()
            code = process.wait()
        else:
            context = multiprocessing.get_context("forkserver")
            context.set_forkserver_preload(["tests.bench.warm"])
            begun = context.Event()
            words = [str(part) for part in self.folders]
            process = context.Process(target=compile_until_killed, args=(*words, begun))
            process.start()
            begun.wait()
            time.sleep(place * self.took_s)
            process.kill()
            process.join()
            code = process.exitcode
            process.close()
        if code == -signal.SIGKILL:
            self.tally.kills += 1
        else:
            self.tally.idle += 1

    def compiled(self, folders: Folders | None = None) -> CompileOutcome:
        """Compile in this process."""
        begin = time.monotonic()
        try:
            return compile_archive(
                folders or self.folders, show_held=self.show_held, executor=self.work
            )
        finally:
            self.took_s = max(0.3, time.monotonic() - begin)

    def compare(self) -> None:
        """Compile, and hold what is published against a clean compile, byte for byte.

        With a fault that stops a compile, nothing published may change. With one that
        shows only when something is made, all else must be as in a clean compile and
        nothing may be removed. Then the fault is mended and all is compared.
        """
        if self.chosen["fault"] != "none":
            self._compare_faulty()
            self.choose("fault", "none")
        try:
            outcome = self.compiled()
        except MachineFault:
            # A file that we cannot know to be ours was spoilt and left to its owner,
            # who removes it now.
            for path in self.published():
                if path.read_bytes() == SPOILT:
                    path.unlink()
            outcome = self.compiled()
        assert outcome.report is not None, [fault_line(f) for f in outcome.faults]
        assert outcome.report.ok
        mine, theirs = self._as_published(), self._clean(outcome)
        for name in self.strange:
            assert mine.pop(name, STRANGER) == STRANGER
        left = {p for p in mine.keys() - theirs.keys() if mine[p] == SPOILT}
        kept = {note.detail for note in outcome.notes}
        assert left <= kept, (left, kept)
        for name in left:
            (self.folders.out / name).unlink()
            del mine[name]
        over, missing = mine.keys() - theirs.keys(), theirs.keys() - mine.keys()
        differ = [name for name in mine if mine[name] != theirs.get(name)]
        assert not over | missing | {*differ}, (over, missing, differ)
        again = self.compiled()
        assert again.report is not None
        ran = (dict(again.report.reasons), again.notes)
        assert ran == ({}, ()), ran
        self.tally.compared += 1

    def _compare_faulty(self) -> None:
        self.tally.faulty += 1
        before = self._as_published()
        try:
            outcome = self.compiled()
        except MachineFault:
            return
        assert outcome.stopped
        assert outcome.faults
        after = self._as_published()
        if self.chosen["fault"] not in LATE_FAULTS:
            assert after == before, self.chosen["fault"]
            return
        assert before.keys() - after.keys() == set()
        assert outcome.report is not None
        assert outcome.report.removed == ()
        clean = self._clean(outcome)
        wrong = [p for p in clean if p != ".written" and after[p] != clean[p]]
        assert not wrong, wrong
        kept = {path for stayed in outcome.stayed for path in stayed.files}
        assert not kept & clean.keys()

    def _clean(self, outcome: CompileOutcome) -> dict[str, bytes]:
        aside = self.folder / "clean"
        folders = Folders(self.folders.archive, aside / "site", aside / "state")
        other = self.compiled(folders)
        try:
            lines = [{*map(fault_line, each.faults)} for each in (other, outcome)]
            assert lines[0] == lines[1], lines
            return self._as_published(folders.out)
        finally:
            shutil.rmtree(aside)

    def _as_published(self, out: Path | None = None) -> dict[str, bytes]:
        start = out or self.folders.out
        return {
            path.relative_to(start).as_posix(): path.read_bytes()
            for path in start.rglob("*")
            if path.is_file()
        }
