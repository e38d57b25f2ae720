"""One writer at a time; the other waits, and is told who it is."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import threading
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from sitegen.errors import LockHeld
from sitegen.rebuild import Holder, Key
from sitegen.rebuild.fastcheck import STATE_FILE
from sitegen.rebuild.lock import StateLock

if TYPE_CHECKING:
    from tests.rebuild.conftest import Toy

HOLD = """
import sys, time
from pathlib import Path
from sitegen.rebuild.lock import StateLock
lock = StateLock(Path(sys.argv[1]))
lock.take(0, print)
print("held", flush=True)
time.sleep(600)
"""


def _nobody(_: Holder | None) -> None:
    pytest.fail("nobody had to be waited for")


def test_the_second_is_told_who_has_the_state_and_since_when(toy: Toy) -> None:
    """After its time is up the second ends, naming process, time and what to do."""
    with (
        toy.engine(),
        pytest.raises(LockHeld) as caught,
        toy.engine(wait_s=0.0),
    ):
        pass
    text = str(caught.value)
    assert f"process {os.getpid()} has had it since" in text
    assert re.search(r"since \d{4}-\d\d-\d\d \d\d:\d\d:\d\d,", text)
    assert "try again" in text


def test_the_second_waits_and_goes_on_when_the_first_ends(toy: Toy) -> None:
    """Whoever waits is told once for whom, and has the state afterwards."""
    lock = StateLock(toy.state)
    lock.take(0.0, _nobody)
    waited: list[Holder | None] = []

    def release(holder: Holder | None) -> None:
        waited.append(holder)
        threading.Thread(target=lock.release).start()

    with toy.engine(wait_s=60.0, on_wait=release) as engine:
        assert engine.value(Key("total")) == 6
    assert [holder.pid for holder in waited if holder] == [os.getpid()]


def test_a_killed_process_leaves_no_lock(tmp_path: Path) -> None:
    """The system takes the lock back from a process that was killed."""
    lock = StateLock(tmp_path)
    with subprocess.Popen(
        [sys.executable, "-c", HOLD, str(tmp_path)],
        stdout=subprocess.PIPE,
        text=True,
        cwd=Path(__file__).resolve().parents[2],
    ) as process:
        try:
            assert process.stdout is not None
            assert process.stdout.readline() == "held\n"
            with pytest.raises(LockHeld, match=f"process {process.pid} "):
                lock.take(0.0, lambda _: None)
        finally:
            process.kill()
    lock.take(0.0, _nobody)
    assert lock.holder() is not None
    lock.release()


@pytest.mark.parametrize("note", [b"", b"{", b"[1]", b'{"pid": "x"}', b"\xff"])
def test_a_damaged_note_about_the_holder_is_passed_over(
    tmp_path: Path, note: bytes
) -> None:
    """Without a readable note the second is told that it is another process."""
    first = StateLock(tmp_path)
    first.take(0.0, _nobody)
    (tmp_path / "holder.json").write_bytes(note)
    with pytest.raises(LockHeld, match="another process"):
        StateLock(tmp_path).take(0.0, lambda _: None)
    first.release()


def test_beginning_anew_waits_for_the_lock_as_well(toy: Toy) -> None:
    """Nobody deletes the state of a process that is at work."""
    with toy.engine():
        before = (toy.state / STATE_FILE).stat().st_ino
        with pytest.raises(LockHeld), toy.engine(fresh=True):
            pass
        assert (toy.state / STATE_FILE).stat().st_ino == before


def test_beginning_anew_runs_everything(toy: Toy) -> None:
    """With the state forgotten every step runs, and equal files are not rewritten."""
    first = toy.build()
    with toy.engine(fresh=True) as engine:
        wanted = engine.value(Key("site"))
        report = engine.build([Key(kind, tuple(rest)) for kind, *rest in wanted])
    assert len(report.ran) + 2 >= len(first.ran)
    assert report.written == ()
