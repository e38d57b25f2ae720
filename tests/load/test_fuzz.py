"""A small draw of made-up input; ``python -m tests.bench.fuzz`` is the large one."""

from __future__ import annotations

import pytest

from tests.bench.fuzz import Target, feed, targets


@pytest.mark.parametrize("target", targets(), ids=lambda target: str(target.name))
def test_made_up_input_is_met_with_faults_or_data(target: Target) -> None:
    """Whatever is read, nothing is raised, hangs, or breaks what is promised of it."""
    tally = feed(target, inputs=max(20, int(1_200 * target.share)), seed=20_260_301)
    assert tally.wrong == ""
    assert tally.inputs >= 20
