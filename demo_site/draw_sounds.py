"""Draw the demo's sound recording: an invented fan kit, so that nothing was recorded.

Broadband noise that falls towards high frequencies, with the tones of a fan's blades in
it; three speeds of two seconds each, apart by the levels in ``truth.yaml``.
"""

from __future__ import annotations

import wave
from pathlib import Path

import numpy as np

HERE = Path(__file__).parent / "audio"
SAMPLING_HZ = 16_000
EACH_S, FADE_S = 2.0, 0.05
# Level of each speed below the loudest, dB, and its blade-passing frequency, Hz.
SPEEDS = ((-9.0, 74.0), (-4.5, 92.0), (0.0, 118.0))


def fan(level_db: float, blades_hz: float, random: np.random.Generator) -> np.ndarray:
    """Return one speed as samples between -1 and 1."""
    count = int(EACH_S * SAMPLING_HZ)
    spectrum = np.fft.rfft(random.standard_normal(count))
    hertz = np.fft.rfftfreq(count, 1 / SAMPLING_HZ)
    noise = np.fft.irfft(spectrum / (1 + hertz / 400), count)
    time = np.arange(count) / SAMPLING_HZ
    hum = sum(np.sin(2 * np.pi * blades_hz * n * time) / n**2 for n in (1, 2, 3))
    sound = noise / noise.std() + 0.35 * hum
    fade = np.minimum(1, np.minimum(time, time[::-1]) / FADE_S)
    return np.asarray(0.12 * 10 ** (level_db / 20) * fade * sound)


def main() -> None:
    """Write the recording."""
    random = np.random.default_rng(20260327)
    sound = np.concatenate([fan(level, blades, random) for level, blades in SPEEDS])
    samples = np.clip(sound * 32767, -32768, 32767).astype("<i2")
    HERE.mkdir(exist_ok=True)
    with wave.open(str(HERE / "netloft-box-speeds.wav"), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(SAMPLING_HZ)
        file.writeframes(samples.tobytes())


if __name__ == "__main__":
    main()
