"""The archive of attacks, made whole: what a repository cannot carry is added."""

from __future__ import annotations

import io
import shutil
import wave
from pathlib import Path

from PIL import Image

CASES = Path(__file__).resolve().parent / "cases" / "hostile"
PHOTOS = ("a'onerror='boom()' x.jpg", "{{7+7}} $(touch x);&amp;#x,2x.jpg")
SOUND = "low'autoplay'.wav"


def inert_archive(target: Path) -> Path:
    """Write the archive whose every text is an attack; return its folder."""
    shutil.copytree(CASES / "inert", target)
    (target / "photos").mkdir()
    for name in PHOTOS:
        picture = Image.linear_gradient("L").resize((1000, 700)).convert("RGB")
        picture.save(target / "photos" / name, comment=b"<script>boom()</script>")
    (target / "audio").mkdir()
    written = io.BytesIO()
    with wave.open(written, "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(2)
        sound.setframerate(8000)
        sound.writeframes(bytes(1600))
    (target / "audio" / SOUND).write_bytes(written.getvalue())
    return target
