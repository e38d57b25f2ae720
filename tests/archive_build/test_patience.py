"""Work is done here until there is enough of it for other processes."""

from __future__ import annotations

from concurrent.futures import Executor, Future

import pytest

from sitegen.archive_build.patience import Patient


class Others(Executor):
    """Stands in for processes; remembers what it was given."""

    def __init__(self) -> None:
        self.given: list[int] = []
        self.ended = False

    def submit(self, fn, /, *args, **kwargs):  # type: ignore[no-untyped-def] # noqa: ANN001, ANN002, ANN003, ANN201 - as the class above
        """Take work on."""
        self.given += args
        future: Future[object] = Future()
        future.set_result(fn(*args, **kwargs))
        return future

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """End."""
        del wait, cancel_futures
        self.ended = True


@pytest.fixture
def others() -> Others:
    """The processes that are started when they are wanted."""
    return Others()


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> None:
    """A clock on which every piece of work takes one second."""
    ticks = iter(range(1000))
    monkeypatch.setattr(
        "sitegen.archive_build.patience.time.monotonic", lambda: float(next(ticks))
    )


@pytest.mark.usefixtures("clock")
def test_little_work_starts_no_process(others: Others) -> None:
    """Two seconds' work is done here; nothing is started, nothing need be ended."""
    started: list[int] = []

    def make() -> Others:
        started.append(1)
        return others

    with Patient(make, 2.0) as pool:
        assert [pool.submit(abs, -at).result() for at in range(2)] == [0, 1]
    assert started == []
    assert not others.ended


@pytest.mark.usefixtures("clock")
def test_the_rest_is_handed_over(others: Others) -> None:
    """What comes after the patience is spent goes to the others, who are then ended."""
    with Patient(lambda: others, 2.0) as pool:
        assert [pool.submit(abs, -at).result() for at in range(5)] == [0, 1, 2, 3, 4]
    assert others.given == [-2, -3, -4]
    assert others.ended


def test_without_patience_all_is_handed_over(others: Others) -> None:
    """A clean compile begins with the others at once."""
    with Patient(lambda: others, 0.0) as pool:
        pool.submit(abs, -7)
    assert others.given == [-7]
