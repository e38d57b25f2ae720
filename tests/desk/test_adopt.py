"""Adopting a repeatability writes three values and nothing else."""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path

import pytest
import yaml

from sitegen.archive_build import published_folders
from sitegen.desk import adopt as module
from sitegen.desk.adopt import Adoption, adopt, adopted
from sitegen.desk.start import Beginning, start_archive
from sitegen.errors import FaultsFound
from sitegen.findings.comparisons import Repeats
from sitegen.findings.repeatability import repeatability_finding

DAY = dt.date(2026, 11, 20)
ROOT = Path(__file__).resolve().parents[2]
RECORD = (ROOT / "demo_site/records/methods/decay-v2.yaml").read_bytes()
NEW = Adoption(
    method="decay-v2",
    file="records/methods/decay-v2.yaml",
    cv=0.0477,
    degrees_of_freedom=84,
    adopted="2026-11-20",
    old=None,
    differs=True,
    runs=156,
    configurations=72,
    homogeneous=False,
    variable=(),
    steady_cv=None,
    changed=True,
)
BLOCK = b"""\
repeatability:
  cv: 0.036
  degrees_of_freedom: 58
  adopted: 2026-06-30
"""
assert BLOCK in RECORD


def with_block(block: bytes) -> bytes:
    return RECORD.replace(BLOCK, block)


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (
            BLOCK,
            b"repeatability:\n  cv: 0.0477\n  degrees_of_freedom: 84\n"
            b"  adopted: 2026-11-20\n",
        ),
        (
            b"repeatability:   # of all\n  adopted:  2026-06-30 # in June\n"
            b"  # so few\n  degrees_of_freedom: 58\n  cv:   3.6e-2   # rounded\n",
            b"repeatability:   # of all\n  adopted: 2026-11-20  # in June\n"
            b"  # so few\n  degrees_of_freedom: 84\n  cv: 0.0477     # rounded\n",
        ),
        (
            b'repeatability: {cv: "0.036", degrees_of_freedom: 58, '
            b"adopted: '2026-06-30'}\n",
            b'repeatability: {cv: "0.0477", degrees_of_freedom: 84, '
            b"adopted: '2026-11-20'}\n",
        ),
    ],
)
@pytest.mark.parametrize("end", [b"\n", b"\r\n"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_only_the_three_values_change(
    before: bytes, after: bytes, end: bytes, mark: bytes
) -> None:
    """Comments, order, quotes, line ends and byte-order mark stay as they were."""
    old = mark + with_block(before).replace(b"\n", end)
    new = mark + with_block(after).replace(b"\n", end)
    assert adopted(old, NEW, NEW.file) == new


@pytest.mark.parametrize("end", [b"\n", b"\r\n"])
def test_record_without_a_repeatability(end: bytes) -> None:
    """The block is put before the text, and before the comment that belongs to it."""
    old = with_block(b"# the whole text\n").replace(b"\n", end)
    wanted = (
        b"repeatability:\n  cv: 0.0477\n  degrees_of_freedom: 84\n"
        b"  adopted: 2026-11-20\n# the whole text\n"
    )
    assert adopted(old, NEW, NEW.file) == with_block(wanted).replace(b"\n", end)


def test_record_in_one_line_is_left_to_its_author() -> None:
    """A record that cannot be edited in place is refused, with a code."""
    data = yaml.safe_load(with_block(b""))
    text = yaml.safe_dump(data, default_flow_style=True, width=10_000).encode()
    with pytest.raises(FaultsFound) as caught:
        adopted(text, NEW, NEW.file)
    assert [fault.code for fault in caught.value.faults] == ["record-not-editable"]


@pytest.fixture
def archive(tmp_path: Path) -> Path:
    """A new archive."""
    folder = tmp_path / "bench"
    start_archive(folder, Beginning("Bench", "https://example.org/", "EUR", "metric"))
    return folder


def decay_record(archive: Path) -> Path:
    (path,) = [
        path
        for path in (archive / "records" / "methods").glob("*.yaml")
        if "kind: decay" in path.read_text(encoding="utf-8")
    ]
    return path


def refused(archive: Path, method: str) -> list[str]:
    with pytest.raises(FaultsFound) as caught:
        adopt(published_folders(archive), method, DAY)
    return [fault.code for fault in caught.value.faults]


def test_too_few_repeats_are_refused(archive: Path) -> None:
    """A new archive has hardly a repeat, so that nothing is adopted or written."""
    path = decay_record(archive)
    before = path.read_bytes()
    assert refused(archive, path.stem) == ["repeatability-too-few"]
    assert path.read_bytes() == before


def test_a_method_that_is_not_of_decay_is_refused(archive: Path) -> None:
    """Neither a method of another kind nor an unknown one has a repeatability."""
    (sound,) = [
        path.stem
        for path in (archive / "records" / "methods").glob("*.yaml")
        if "kind: sound" in path.read_text(encoding="utf-8")
    ]
    assert refused(archive, sound) == ["not-a-decay-method"]
    assert refused(archive, "nothing") == ["not-a-decay-method"]


def test_an_archive_with_faults_is_refused(archive: Path) -> None:
    """With a fault anywhere nothing is adopted; all faults are told."""
    path = decay_record(archive)
    settings = archive / "archive.yaml"
    settings.write_text(settings.read_text(encoding="utf-8") + "nmae: x\n")
    assert refused(archive, path.stem) == ["unknown-field"]


def test_it_is_written_once_and_then_held(
    archive: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The record is replaced with its rights; showing writes nothing; twice is once."""
    path = decay_record(archive)
    path.chmod(0o640)
    before = path.read_bytes()
    name = path.relative_to(archive).as_posix()
    held: list[tuple[float, float, str] | None] = [None]
    each = ((100.0, 104.0, 97.0), (50.0, 52.0, 49.0), (80.0, 84.0, 77.0, 82.0, 79.0))
    repeats = [
        Repeats(f"a.b.{at}", path.stem, "pm2_5", values)
        for at, values in enumerate(each)
    ]

    def asked(
        _: object, questions: list[tuple[str, ...]], **__: object
    ) -> list[object]:
        if questions == [("decay_methods",)]:
            return [{path.stem: name}]
        return [repeatability_finding(path.stem, "pm2_5", held[0], repeats)]

    monkeypatch.setattr(module, "ask_archive", asked)
    folders = published_folders(archive)
    shown = adopt(folders, path.stem, DAY, only_show=True)
    assert shown.changed
    assert path.read_bytes() == before
    done = adopt(folders, path.stem, DAY)
    assert done == shown
    assert (done.degrees_of_freedom, done.runs, done.configurations) == (8, 11, 3)
    assert path.stat().st_mode & 0o777 == 0o640
    assert [p.name for p in path.parent.iterdir() if "tmp" in p.name] == []
    kept = yaml.safe_load(path.read_bytes())["repeatability"]
    assert kept == {"cv": done.cv, "degrees_of_freedom": 8, "adopted": DAY}
    held[0] = (done.cv, 8.0, DAY.isoformat())
    after = path.read_bytes()
    assert not adopt(folders, path.stem, dt.date(2027, 1, 1)).changed
    assert path.read_bytes() == after


def test_new_intervals_follow_from_the_edit(tmp_path: Path) -> None:
    """A demonstration method's edited record still loads, with the new figures."""
    target = tmp_path / "decay-v2.yaml"
    shutil.copy(ROOT / "demo_site/records/methods/decay-v2.yaml", target)
    target.write_bytes(adopted(target.read_bytes(), NEW, NEW.file))
    data = yaml.safe_load(target.read_bytes())
    assert data["repeatability"]["cv"] == 0.0477
    assert data["text"] == yaml.safe_load(RECORD)["text"]
