"""Any history of an archive ends as a clean compile would; the short version.

``python -m tests.bench.history`` plays the long one.
"""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, Phase, given, settings

from tests.bench.history import Act, histories, play
from tests.bench.played import Remembering, Tally


@pytest.fixture(scope="module")
def work() -> Remembering:
    """What fits and figures were made already, for all histories."""
    return Remembering()


@settings(
    max_examples=4,
    deadline=None,
    phases=(Phase.explicit, Phase.generate),
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(histories(14))
def test_any_history_ends_as_a_clean_compile(
    work: Remembering, acts: list[Act]
) -> None:
    """Edits, renames, kills, losses, restarts: byte for byte the clean site."""
    tally = Tally()
    play(acts, tally, work)
    assert tally.compared >= 1


def test_a_kill_at_work_is_a_kill(work: Remembering) -> None:
    """The process is killed while it compiles, and the next compile mends all."""
    tally = Tally()
    everything = ("edit", ("archive name", "Workshop"))
    play([everything, ("kill", 0.2), ("kill", 0.5)], tally, work)
    assert tally.kills >= 1
