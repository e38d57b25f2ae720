"""Cautions follow from the records, and each has its text."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any, get_args

import pytest

from sitegen.errors import MachineFault
from sitegen.model import Device, Filter, adapter
from sitegen.model.archive import Language
from sitegen.pages import cautions
from sitegen.pages.cautions import caution_from

FOLDER = Path(__file__).resolve().parents[2] / "content" / "cautions"
DEFERS = {
    "en": ("licensed", "local", "Local", "rules", "maker"),
    "de": ("zugelassen", "örtliche", "Vorschriften", "Regeln", "Hersteller"),
}
DECAY: dict[str, Any] = {
    "id": "decay-1",
    "kind": "decay",
    "name": "Decay",
    "version": "1",
    "since": "2026-01-05",
    "room": "box",
    "aerosol": "salt",
    "aerosol_kind": "salt",
    "instruments": ["counter"],
    "sampling_s": 20,
    "text": "As usual.",
}
POWER: dict[str, Any] = {
    "id": "power-1",
    "kind": "power",
    "name": "Power",
    "version": "1",
    "since": "2026-01-05",
    "instrument": "meter",
    "duration_min": 10,
    "text": "At the plug.",
}
SOUND: dict[str, Any] = {
    "id": "sound-1",
    "kind": "sound",
    "name": "Sound",
    "version": "1",
    "since": "2026-01-05",
    "instrument": "ear",
    "distance_m": 1,
    "position": "front",
    "text": "In the evening.",
}


def _device(**fields: Any) -> Device:
    plain = {
        "id": "alder-3",
        "name": "Alder 3",
        "maker": "Nobody",
        "form": "portable",
        "speeds": [{"id": "low", "label": "Low"}],
    }
    return Device.model_validate(plain | fields)


def _method(fields: dict[str, Any], **more: Any) -> tuple[str, ...]:
    method: Any = adapter("method").validate_python(fields | more)
    return cautions.for_method(method)


@pytest.mark.parametrize(
    ("fields", "added"),
    [
        ({}, set()),
        ({"modified": "A fan on a box of filters."}, {"modified-fan"}),
        ({"form": "kit"}, {"modified-fan"}),
        ({"features": ["ioniser"]}, {"ozone"}),
        ({"features": ["ozone"]}, {"ozone"}),
        ({"features": ["photocatalytic"]}, {"ozone"}),
        ({"speeds": [{"id": "i", "label": "I", "ioniser": True}]}, {"ozone"}),
        ({"features": ["uvc"]}, {"uv-c"}),
        ({"speeds": [{"id": "u", "label": "U", "uvc": True}]}, {"uv-c"}),
        ({"form": "in-duct"}, {"in-duct"}),
        ({"filters": [{"id": "panel"}]}, {"used-filters"}),
        ({"features": ["timer", "prefilter"]}, set()),
    ],
)
def test_a_devices_cautions_follow_from_its_record(
    fields: dict[str, Any], added: set[str]
) -> None:
    """Each trait of a device brings its caution, beside those of every device."""
    found = cautions.for_device(_device(**fields))
    assert set(found) == {"health-and-ventilation", "sizing"} | added


@pytest.mark.parametrize(
    ("kind", "wanted"),
    [
        ("salt", ("test-aerosol",)),
        ("dust", ("test-aerosol",)),
        ("oil-mist", ("test-aerosol",)),
        ("smoke", ("test-aerosol", "smoke-and-fire")),
        ("other", ("test-aerosol", "smoke-and-fire")),
    ],
)
def test_an_aerosol_brings_its_cautions(kind: str, wanted: tuple[str, ...]) -> None:
    """Every decay method warns of breathing; one that may burn something, of fire."""
    assert _method(DECAY, aerosol_kind=kind) == wanted


def test_other_methods() -> None:
    """A power method warns of the mains; a sound method of nothing."""
    assert _method(POWER) == ("mains",)
    assert _method(SOUND) == ()


def test_a_run_warns_of_what_runs() -> None:
    """A run shows its method's cautions and those of a device that runs."""
    device = cautions.for_device(_device(form="kit", features=["uvc"]))
    assert cautions.for_run(("test-aerosol",), device) == (
        "test-aerosol",
        "modified-fan",
        "uv-c",
    )
    assert cautions.for_run(("test-aerosol",)) == ("test-aerosol",)


def test_lists_of_devices_show_each_caution_once() -> None:
    """A list shows what any of its devices warns of, and what cleaners are not."""
    kit = cautions.for_device(_device(form="kit"))
    ion = cautions.for_device(_device(features=["ioniser"]))
    assert cautions.for_devices([ion, kit, kit]) == (
        "modified-fan",
        "ozone",
        "health-and-ventilation",
    )
    assert cautions.for_devices([]) == ("health-and-ventilation",)


def test_other_places() -> None:
    """Filter, finder and bench have the cautions of what they are about."""
    record = Filter.model_validate({"id": "panel", "name": "P", "maker": "N"})
    assert cautions.for_filter(record) == ("used-filters",)
    assert cautions.for_finder() == ("sizing", "health-and-ventilation")
    assert cautions.for_bench([("mains",), ("test-aerosol",), ()]) == (
        "test-aerosol",
        "mains",
    )


def test_unknown_codes_are_refused() -> None:
    """A caution that does not exist cannot be asked for unnoticed."""
    with pytest.raises(KeyError, match="nothing"):
        cautions.in_order(["sizing", "nothing"])


@pytest.mark.parametrize("language", get_args(Language))
def test_every_caution_has_its_file(language: str) -> None:
    """In each language there is a text for each code and a code for each text."""
    assert {path.stem for path in (FOLDER / language).iterdir()} == set(cautions.CODES)


@pytest.mark.parametrize("language", get_args(Language))
@pytest.mark.parametrize("code", cautions.CODES)
def test_texts_defer_to_those_who_know(code: str, language: str) -> None:
    """Each text reads without fault and defers to rules, makers or the licensed."""
    data = (FOLDER / language / f"{code}.md").read_bytes()
    caution = caution_from(data, code)
    assert caution.code == code
    assert caution.title
    assert caution.html.startswith("<p>")
    assert any(word in caution.html for word in DEFERS[language])


@pytest.mark.parametrize("code", cautions.CODES)
def test_every_language_cautions_at_the_same_length(code: str) -> None:
    """A translated caution has as many paragraphs, and the same numbers, as English."""
    english = (FOLDER / "en" / f"{code}.md").read_text(encoding="utf-8")
    for language in get_args(Language):
        text = (FOLDER / language / f"{code}.md").read_text(encoding="utf-8")
        assert text.count("\n\n") == english.count("\n\n"), language
        numbers = [re.findall(r"\d+", each) for each in (english, text)]
        assert numbers[0] == numbers[1], language


@pytest.mark.parametrize("data", [b"no heading", b"# T\n\n[x](device:a)", b"\xff\xfe"])
def test_damaged_texts_are_refused(data: bytes) -> None:
    """A caution that was cut or altered stops the compile instead of being shown."""
    with pytest.raises(MachineFault):
        caution_from(data, "sizing")
