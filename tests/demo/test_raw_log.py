"""The raw log beside the demo is what its script writes, and says that it is none."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path

import pytest

DEMO = Path(__file__).resolve().parent.parent.parent / "demo_site"


def test_the_script_writes_the_log_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """The log is simulated, says so, and comes out the same byte for byte."""
    monkeypatch.syspath_prepend(str(DEMO))
    spec = importlib.util.spec_from_file_location("raw_log", DEMO / "raw_log.py")
    assert spec is not None
    assert spec.loader is not None
    for name in ("simulate", "physics"):
        monkeypatch.delitem(sys.modules, name, raising=False)
    script = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(script)
    text = (DEMO / "raw" / script.NAME).read_text(encoding="utf-8")
    assert "simulated, not measured" in text.splitlines()[0]
    assert script.log_text() == text
