"""The manual beside the preview: whole, true to the models and rules, unpublished."""

from __future__ import annotations

import re
from collections import defaultdict
from html import unescape
from pathlib import Path

import html5lib
import pytest

from sitegen.archive_build import published_folders
from sitegen.archive_build.published import published
from sitegen.desk.schemas import schemas
from sitegen.measure.flags import CODES
from sitegen.preview.manual import CHAPTERS, manual_pages
from sitegen.preview.manual_fields import manual_kinds, models_said
from sitegen.preview.manual_rules import RULES
from sitegen.preview.server import make_server
from sitegen.preview.state import Bulletin
from tests.conftest import Compiled
from tests.preview.asking import asked

ROOT = Path(__file__).resolve().parent.parent.parent
PAGES = {name: make() for name, make in manual_pages().items()}
# Limits that the record, the method, the run's length or its repeats set.
OF_THE_CASE = {
    # Held against nothing where a floor ended the fitted part.
    ("FLOOR", ""),
    ("GAP", "longest"),
    ("OFF", "against_natural"),
    ("NAT_OLD", ""),
    ("OUTLIER", "grubbs"),
    ("OUTLIER", "robust"),
    ("OUTLIER", ""),
    ("VARIABLE", ""),
}


@pytest.mark.parametrize("name", sorted(PAGES))
def test_pages_are_whole(name: str) -> None:
    """A page of the manual is strict HTML, and every link in it leads to a place."""
    page = PAGES[name]
    html5lib.HTMLParser(strict=True).parse(page)
    assert page.count("<h1>") == 1
    for to in re.findall(r'href="([^"]+)"', page):
        if to.startswith("/_desk/manual"):
            assert to.removeprefix("/_desk/").rstrip("/") in PAGES, to
        elif to.startswith("#"):
            assert f'id="{to[1:]}"' in page, to
        else:
            assert to in {"/", "/_desk/worklist/"} or to.startswith("/assets/"), to


def test_every_chapter_is_in_the_contents() -> None:
    """The contents lead to all chapters, and each chapter to the next."""
    for name in CHAPTERS:
        assert f'href="/_desk/manual/{name}/"' in PAGES["manual"]
    for name, after in zip(CHAPTERS, list(CHAPTERS)[1:], strict=False):
        onward = PAGES[f"manual/{name}"].partition("Next chapter")[2]
        assert f'href="/_desk/manual/{after}/"' in onward


@pytest.mark.parametrize("kind", manual_kinds())
def test_every_field_is_described(kind: str) -> None:
    """A kind's page has each field of its schema, in words, and those required."""
    schema = schemas()[kind]
    page = unescape(PAGES[f"manual/records/{kind}"])
    said = {
        (field.name, field.required)
        for model in models_said(kind)
        for field in model.fields
    }
    for part in (schema, *schema.get("$defs", {}).values()):
        for name, field in part.get("properties", {}).items():
            if {"value", "uncertainty"} == set(part["properties"]):
                continue
            assert (name, name in part.get("required", ())) in said, name
            words = re.sub(
                r"``(.+?)``", r"<code>\1</code>", field.get("description", "")
            )
            assert words in page, (name, words)


def test_what_a_field_takes_is_said() -> None:
    """Bounds, choices, references and quantities are said in words."""
    said = {
        (model.anchor, field.name): field.takes
        for kind in ("run", "device", "room", "video", "comparison")
        for model in models_said(kind)
        for field in model.fields
    }
    assert said["conditions", "humidity_pct"] == "number, at least 0 and at most 100"
    assert said["decayrun", "method"] == "id of a method"
    assert said["device", "form"] == "one of portable, kit, wall, in-duct"
    assert said["room", "volume_m3"].endswith("or {value, uncertainty}")
    assert said["chapter", "at"] == "m:ss or h:mm:ss, in quotes"
    assert said["decayrun", "raw"] == "raw log, see below, or a list of them"
    assert not [key for key, takes in said.items() if not takes]


def test_every_check_is_explained() -> None:
    """The chapter on checks has every check once, with its limits filled in."""
    assert [rule.code for rule in RULES] == list(CODES)
    page = PAGES["manual/checks"]
    for rule in RULES:
        assert page.count(f'<div id="{rule.code}">') == 1
        assert rule.raised.count("{}") == len(rule.limits)
        assert "{" not in rule.said


def test_limits_are_those_that_runs_are_held_against(demo: Compiled) -> None:
    """The limits in the manual are those by which the demo's runs were judged."""
    seen = defaultdict(set)
    asks = set()
    with published(published_folders(demo.archive)) as view:
        for run in view.ask("decay_run_ids"):
            checks = view.ask("fit", run).checks
            told = [flag for each in checks for flag in each.flags]
            for flag in (*told, *view.ask("report", run).flags):
                seen[flag.code, flag.about].add(flag.limit)
                if flag.decide:
                    asks.add(flag.code)
    rules = {rule.code: rule for rule in RULES}
    assert len(seen) >= 20
    for (code, about), limits in seen.items():
        if (code, about) in OF_THE_CASE:
            continue
        known = {limit for of, limit in rules[code].limits if of == about}
        assert limits <= known, (code, about, limits)
    assert asks <= {code for code, rule in rules.items() if rule.decide}


def test_cautions_are_whole() -> None:
    """The chapter of cautions has each text that ships, word for word."""
    page = " ".join(re.sub(r"<[^>]+>", " ", unescape(PAGES["manual/cautions"])).split())
    for path in sorted((ROOT / "content" / "cautions" / "en").glob("*.md")):
        for line in path.read_text(encoding="utf-8").splitlines():
            assert line.lstrip("# ").strip() in page, path.name


def test_served_below_desk(tmp_path: Path) -> None:
    """The preview serves the manual and its chapters, and nothing beside them."""
    server = make_server(tmp_path, Bulletin(), ROOT / "assets/preview", manual_pages())
    for name in ("manual", "manual/checks", "manual/records/device"):
        status, _, body = asked(server, f"/_desk/{name}/")
        assert (status, b"preview.js" in body) == (200, True)
    assert asked(server, "/_desk/manual/nothing/")[0] == 404
    assert asked(server, "/_desk/manual/../../archive.yaml/")[0] == 404


def test_never_published(demo: Compiled) -> None:
    """No file of the published site is of the desk or leads to it."""
    for path, data in demo.files().items():
        assert "_desk" not in path
        assert b"_desk" not in data, path
