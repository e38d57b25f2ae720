"""The list of published files, for whoever uploads them."""

from __future__ import annotations

import hashlib
import subprocess
import sys
from pathlib import Path

import pytest

from sitegen.archive_build.manifest import (
    HEAD,
    manifest_file,
    manifest_text,
    media_type,
    write_manifest,
)
from sitegen.desk.start import Beginning, start_archive
from sitegen.errors import MachineFault
from tests.conftest import Compiled, site_files

ROOT = Path(__file__).resolve().parents[2]


def test_every_file_with_its_digest_size_and_type(demo: Compiled) -> None:
    """The manifest lists exactly the published files, as they are on the disk."""
    head, *lines = manifest_text(demo.site).splitlines()
    assert head == HEAD
    files = demo.files()
    del files[".written"]
    rows = [line.split("\t") for line in lines]
    assert [row[3] for row in rows] == sorted(files)
    for digest, size, media, path in rows:
        assert digest == hashlib.sha256(files[path]).hexdigest()
        assert size == str(len(files[path]))
        assert media != "application/octet-stream", path


def test_media_types_are_those_of_the_standards() -> None:
    """Endings have their registered types; text says its encoding."""
    assert media_type("changes.atom") == "application/atom+xml"
    assert media_type("a/b.HTML") == "text/html; charset=utf-8"
    assert media_type("data/results.csv") == "text/csv; charset=utf-8"
    assert media_type("photos/a.webp") == "image/webp"
    assert media_type("nothing") == "application/octet-stream"


def test_the_same_site_gives_the_same_list(demo: Compiled) -> None:
    """Written again, the list is the same and its file is left alone."""
    first = write_manifest(demo.site)
    stamp = first.stat().st_mtime_ns
    assert (
        first == manifest_file(demo.site) == demo.site.with_name("published.manifest")
    )
    assert write_manifest(demo.site).stat().st_mtime_ns == stamp
    first.unlink()


def test_a_folder_without_a_list_is_a_fault_of_the_machine(tmp_path: Path) -> None:
    """A folder that was not compiled, or whose list is damaged, is refused."""
    (tmp_path / ".written").write_text("nonsense\n")
    with pytest.raises(MachineFault):
        manifest_text(tmp_path)


def test_an_uploader_sees_what_changed(tmp_path: Path) -> None:
    """By the command: after an edit, the lines that differ are the files that do."""
    bench = tmp_path / "bench"
    plain = Beginning("My bench", "https://example.org/bench/", "EUR", "metric")
    start_archive(bench, plain)

    def compiled() -> tuple[set[str], dict[str, bytes]]:
        done = subprocess.run(
            [sys.executable, "-m", "sitegen.cli", "compile", "--manifest"],
            cwd=bench,
            env={"PYTHONPATH": str(ROOT), "PATH": ""},
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        assert "published.manifest" in done.stderr
        lines = (bench / "published.manifest").read_text(encoding="utf-8").splitlines()
        return set(lines), site_files(bench / "published")

    lines, files = compiled()
    with (bench / "texts" / "glossary.md").open("a", encoding="utf-8") as text:
        text.write("\nOne more word.\n")
    later_lines, later_files = compiled()
    changed = {line.split("\t")[3] for line in later_lines - lines}
    assert changed == {
        path
        for path in later_files
        if later_files[path] != files.get(path) and path != ".written"
    }
    assert "glossary/index.html" in changed
    assert len(changed) < len(later_files) / 4
