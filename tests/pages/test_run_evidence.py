"""A check on a run's page says its limit, its outcome, and how much it can find."""

from __future__ import annotations

from sitegen.findings.views import FlagView
from sitegen.measure.step_power import STEP_FALSE_FLAGS, STEP_POWER
from sitegen.pages.run_evidence import checks_shown, step_power_text
from sitegen.pages.words import ENGLISH


def _plain(text: str) -> str:
    return text.replace("\u202f", " ").replace("\xa0", " ")


def test_the_check_for_steps_prints_its_power() -> None:
    """Every simulated share stands in the sentence, and so does that of false flags."""
    said = _plain(step_power_text(ENGLISH))
    for each in STEP_POWER:
        low, high = (f"{100 * share:.3g}" for share in (each.least, each.most))
        assert f"{low} % to {high} % of steps of {100 * each.step:g} %" in said
    assert f"at most {100 * STEP_FALSE_FLAGS:.2g} % of runs" in said


def test_a_step_is_said_with_its_minute() -> None:
    """A raised step names the minute to look at, a quiet one none."""
    raised = FlagView("STEP", True, 6.0, 5.0, "", "notes", decide=True, at_min=12.25)
    quiet = FlagView("STEP", False, 2.0, 5.0, "", "rated", decide=False, at_min=30.0)
    [first, second] = checks_shown(ENGLISH, "metric", (quiet, raised), {})
    assert _plain(first.case) == "at 12.2 min"
    assert (first.raised, second.case) == (True, "")
    assert first.power == second.power != ""
