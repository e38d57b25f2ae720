"""Which settings nobody beats."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from sitegen.errors import MeasureError
from sitegen.measure.frontier import Setting, clearly_dominated_by, dominated_by


def setting(cadr: float, level: float, cost: float, half: float = 10.0) -> Setting:
    """Return a setting whose CADR is known to a half-width."""
    return Setting(cadr, cadr - half, cadr + half, level, cost)


def test_frontier_by_hand() -> None:
    """Three settings trade clean air for noise; a fourth is worse than one of them."""
    settings = [
        setting(100, 35, 50),
        setting(180, 45, 60),
        setting(260, 55, 90),
        setting(170, 46, 60),
    ]
    assert dominated_by(settings) == [None, None, None, 1]


def test_equal_settings_do_not_beat_each_other() -> None:
    """Of two settings alike in all three figures, both are on the frontier."""
    assert dominated_by([setting(180, 45, 60)] * 2) == [None, None]


@pytest.mark.parametrize(
    "worse", [setting(179, 45, 60), setting(180, 46, 60), setting(180, 45, 61)]
)
def test_one_figure_is_enough(worse: Setting) -> None:
    """Equal in two figures and worse in the third is beaten."""
    assert dominated_by([worse, setting(180, 45, 60)]) == [1, None]


def test_the_one_with_most_clean_air_is_named() -> None:
    """Of several that beat a setting the one with the most clean air is named."""
    settings = [setting(100, 50, 90), setting(180, 45, 60), setting(200, 45, 60)]
    assert dominated_by(settings) == [2, 2, None]
    first = [setting(100, 50, 90), setting(200, 45, 60), setting(200, 45, 60)]
    assert dominated_by(first) == [1, None, None]


def test_frontier_equals_all_pairs() -> None:
    """A setting is on the frontier exactly when comparing all pairs leaves it there."""
    rng = np.random.default_rng(3)
    settings = [
        setting(*(float(one) for one in row)) for row in rng.integers(0, 8, (60, 3))
    ]

    def beats(a: Setting, b: Setting) -> bool:
        at_least = (
            a.cadr_m3h >= b.cadr_m3h and a.level_dba <= b.level_dba and a.cost <= b.cost
        )
        return at_least and (a.cadr_m3h, a.level_dba, a.cost) != (
            b.cadr_m3h,
            b.level_dba,
            b.cost,
        )

    got = dominated_by(settings)
    for i, name in enumerate(got):
        rivals = [a for a in settings if beats(a, settings[i])]
        assert (name is None) == (not rivals)
        if name is not None:
            assert beats(settings[name], settings[i])
            assert settings[name].cadr_m3h == max(a.cadr_m3h for a in rivals)


def test_no_cycles() -> None:
    """Who is named as better is never in turn beaten by the one it beats."""
    rng = np.random.default_rng(4)
    got = dominated_by([setting(*row) for row in rng.random((40, 3))])
    for start in range(40):
        at: int | None = start
        for _ in itertools.repeat(None, 41):
            if at is None:
                break
            at = got[at]
        assert at is None


@pytest.mark.parametrize(
    ("other", "beaten"),
    [
        (setting(200, 44.0, 60), True),
        (setting(199, 44.0, 60), False),
        (setting(200, 44.1, 60), False),
        (setting(200, 44.0, 61), False),
        (setting(300, 30.0, 10), True),
    ],
)
def test_beyond_doubt_at_its_edges(other: Setting, beaten: bool) -> None:
    """The lower limit reaches the upper one, by 1 dB quieter and no dearer."""
    got = clearly_dominated_by([setting(180, 45.0, 60), other])
    assert got == [1 if beaten else None, None]


def test_one_decibel_at_any_level() -> None:
    """Readings of one decimal that are 1 dB apart count as such at every level."""
    for tenths in range(250, 700):
        pair = [setting(180, tenths / 10, 60), setting(200, (tenths - 10) / 10, 60)]
        assert clearly_dominated_by(pair)[0] == 1


def test_no_settings() -> None:
    """Nothing to compare gives nothing."""
    assert dominated_by([]) == []
    assert clearly_dominated_by([]) == []


@pytest.mark.parametrize("bad", [math.nan, math.inf])
def test_missing_figures_are_refused(bad: float) -> None:
    """A setting without all figures must be kept apart by the caller."""
    for find in (dominated_by, clearly_dominated_by):
        with pytest.raises(MeasureError) as caught:
            find([setting(180, bad, 60)])
        assert caught.value.code == "not_finite"
