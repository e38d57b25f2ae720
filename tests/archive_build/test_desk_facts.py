"""What is open in the demonstration: on its pages, on the worklist, never published."""

from __future__ import annotations

import csv
import datetime as dt
import math
import re
import shutil
from html import unescape
from pathlib import Path

import numpy as np
import pytest

from sitegen.archive_build import Folders, ask_archive
from sitegen.desk.worklist import list_work
from sitegen.findings.repeatability import RepeatabilityFinding
from sitegen.findings.worklist import WorkItem
from tests.conftest import Compiled

TODAY = dt.date(2026, 11, 20)


@pytest.fixture(scope="module")
def folders(demo: Compiled, tmp_path_factory: pytest.TempPathFactory) -> Folders:
    """The demonstration with a copy of its state, so that nothing of it is touched."""
    aside = tmp_path_factory.mktemp("aside")
    shutil.copytree(demo.archive / ".sitegen" / "state", aside / "state")
    return Folders(demo.archive, aside / "out", aside / "state")


@pytest.fixture(scope="module")
def work(folders: Folders) -> tuple[WorkItem, ...]:
    """The demonstration's worklist."""
    return list_work(folders, TODAY)


def text_of(demo: Compiled, path: str) -> str:
    """Return what a page says, without markup."""
    html = demo.files()[f"{path}/index.html"].decode("utf-8")
    main = html[html.index("<main") : html.index("</main>")]
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", main)).split())


def table(demo: Compiled, name: str) -> list[dict[str, str]]:
    """Return a data file's rows."""
    return list(csv.DictReader(demo.files()[f"data/{name}"].decode().splitlines()))


def test_every_case_is_in_the_demonstration(work: tuple[WorkItem, ...]) -> None:
    """The demonstration has something of nearly every kind to be done."""
    assert {item.kind for item in work} >= {
        "undecided",
        "outlier",
        "repeatability-differs",
        "variable",
        "zero",
        "claim-open",
        "wide",
        "natural-old",
        "sound-missing",
        "cadr-missing",
    }


def test_checks_to_decide_stand_on_run_and_device_until_decided(
    demo: Compiled, work: tuple[WorkItem, ...]
) -> None:
    """A run that waits says so on its page and its device's; a decided one nowhere."""
    waiting = [item for item in work if item.kind == "undecided"]
    shown = [i for i in waiting if f"runs/{i.subject[4:]}/index.html" in demo.files()]
    assert len(shown) >= 5
    for item in shown:
        run = item.subject.removeprefix("run:")
        assert "Not yet decided:" in text_of(demo, f"runs/{run}")
        if item.configuration:
            device = item.configuration.partition(".")[0]
            about = text_of(demo, f"devices/{device}").partition(f" {run} ")[2]
            assert "Not yet decided" in about[:250], run
    # Its record says that a step was looked at and kept.
    assert "run:qh-0099" not in {item.subject for item in waiting}
    page = text_of(demo, "runs/qh-0099")
    assert "Not yet decided" not in page
    assert "a step in the decay" in page
    (row,) = [
        row
        for row in table(demo, "results.csv")
        if "qh-0099" in row["run_ids"].split() and row["fraction"] == "pm2_5"
    ]
    assert "STEP" in row["flags"].split()


def test_run_that_stands_off_is_named_with_both_means(demo: Compiled) -> None:
    """The result carries the flag, the device page the run, the run's row neither."""
    flagged = [
        row
        for row in table(demo, "results.csv")
        if "OUTLIER" in row["flags"] and row["fraction"] == "pm2_5"
    ]
    assert [row["device"] for row in flagged] == ["fosskeld-drum"]
    (row,) = flagged
    about = text_of(demo, "devices/fosskeld-drum").partition("Runs that stand off")[2]
    assert "qh-0068" in about[:120]
    assert f"as published: {float(row['cadr_m3h']):.0f} m³/h" in about[:200]
    # The two others by themselves: the root of their product.
    k_n = float(row["natural_per_h"])
    (room,) = demo.archive.glob("records/rooms/*.yaml")
    found = re.search(r"volume_m3:\s*(?:\{value:\s*)?([\d.]+)", room.read_text())
    assert found is not None
    each = {
        run["run"]: float(found[1]) * (float(run["decay_per_h"]) - k_n)
        for run in table(demo, "runs.csv")
        if run["run"] in row["run_ids"].split()
        and (run["instrument"], run["fraction"]) == ("all", "pm2_5")
    }
    assert "Not yet decided" in about[:300]
    off = each.pop("qh-0068")
    without = math.sqrt(math.prod(each.values()))
    assert off < 0.9 * without
    assert f"Without it: {without:.0f} m³/h" in about[:300]
    flags = {f for r in table(demo, "runs.csv") for f in r["flags"].split()}
    assert "OUTLIER" not in flags


@pytest.mark.parametrize("method", ["decay-v1", "decay-v2", "decay-v2-fast"])
def test_current_repeatability_from_the_published_tables(
    demo: Compiled, folders: Folders, method: str
) -> None:
    """What the published runs give by hand is what the step and the page say."""
    decays: dict[str, float] = {}
    none: set[str] = set()
    for run in table(demo, "runs.csv"):
        if (run["instrument"], run["fraction"]) == ("all", "pm2_5"):
            decays[run["run"]] = float(run["decay_per_h"] or "nan")
            if "CADR_ZERO" in run["flags"].split():
                none.add(run["run"])
    square, nu = 0.0, 0
    for row in table(demo, "results.csv"):
        runs = row["run_ids"].split()
        wanted = (row["method"], row["fraction"]) == (method, "pm2_5")
        if wanted and len(runs) > 1 and not none & set(runs):
            logs = np.log([decays[run] - float(row["natural_per_h"]) for run in runs])
            square += float(((logs - logs.mean()) ** 2).sum())
            nu += len(runs) - 1
    (found,) = ask_archive(folders, [("repeatability", method)], show_held=False)
    assert isinstance(found, RepeatabilityFinding)
    assert found.current is not None
    assert found.current.degrees == nu
    assert found.current.cv == pytest.approx(math.sqrt(square / nu), rel=1e-6)
    page = text_of(demo, f"methods/{method}").partition("Repeatability")[2]
    assert f"{100 * found.current.cv:.2g} %" in page
    assert f"{nu}" in page


def test_method_page_says_whether_the_two_differ(demo: Compiled) -> None:
    """Adopted and current stand side by side, with what the difference means."""
    page = text_of(demo, "methods/decay-v2")
    assert "they differ by more than chance explains (F test, p =" in page
    assert "Two runs of one setting differ by less than 10 % in 95 % of cases." in page
    fast = text_of(demo, "methods/decay-v2-fast")
    assert "no more than chance explains (F test, p =" in fast
    assert "None is adopted:" in text_of(demo, "methods/decay-v1")
    assert "Repeatability" not in text_of(demo, "methods/sound-v2")


def test_what_would_settle_a_result_stands_beside_it(demo: Compiled) -> None:
    """A device with results that are not settled says what would settle each."""
    page = text_of(demo, "devices/fosskeld-drum")
    about = page.partition("What is not settled, and what would settle it")[2]
    assert "Its runs differ by more than this method's repeatability." in about
    assert re.search(r"\d more runs? would narrow the interval to about \d+ % ", about)
    tiffle = text_of(demo, "devices/ombrafane-tiffle")
    assert "1 more natural decay would narrow the interval" in tiffle
    assert "units a + b pooled" in text_of(demo, "devices/ruddlesk-merl-200")


def test_nothing_of_the_worklist_is_published(demo: Compiled) -> None:
    """No page, file or folder of the published site is the tester's list."""
    for path, data in demo.files().items():
        assert "_desk" not in path
        assert "worklist" not in path
        assert b"_desk" not in data, path


def test_today_changes_only_what_is_out_of_date(
    folders: Folders, work: tuple[WorkItem, ...]
) -> None:
    """On an early day the natural decays are not old; all else stays."""
    early = list_work(folders, dt.date(2026, 9, 1))
    assert [item for item in early if item.kind == "natural-old"] != [
        item for item in work if item.kind == "natural-old"
    ]
    dated = {"natural-old", "correction-open"}
    rest = [item for item in work if item.kind not in dated]
    assert [item for item in early if item.kind not in dated] == rest
    assert Path(folders.out).exists() is False or not any(folders.out.iterdir())
