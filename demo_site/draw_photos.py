"""Draw the demo's pictures: invented devices, so that no photograph exists.

Each is a plain drawing on a gradient, a small JPEG without metadata.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw

HERE = Path(__file__).parent / "photos"
SIZE = (800, 600)
INK, BODY, SHADE, DARK = (52, 58, 64), (226, 228, 224), (196, 200, 196), (112, 118, 120)


def background(top: tuple[int, int, int], floor: tuple[int, int, int]) -> Image.Image:
    """Return a wall that fades downwards, with a floor."""
    width, height = SIZE
    fade = np.linspace(1.0, 0.86, height)[:, None, None]
    wall = np.broadcast_to(np.array(top) * fade, (height, width, 3)).astype(np.uint8)
    image = Image.fromarray(np.ascontiguousarray(wall))
    ImageDraw.Draw(image).rectangle((0, 480, width, height), fill=floor)
    return image


def round_unit() -> Image.Image:
    """Return a round unit with a ring of slots at the top."""
    image = background((214, 222, 226), (168, 150, 128))
    draw = ImageDraw.Draw(image)
    draw.ellipse((290, 500, 520, 540), fill=(140, 124, 106))
    draw.rounded_rectangle((300, 170, 500, 525), 60, fill=BODY, outline=INK, width=3)
    draw.ellipse((312, 160, 488, 214), fill=SHADE, outline=INK, width=3)
    for at in range(322, 482, 12):
        draw.line((at, 232, at, 262), fill=DARK, width=4)
    draw.ellipse((388, 290, 412, 314), fill=DARK)
    return image


def box_kit() -> Image.Image:
    """Return a cube of pleated panels with a fan lying on top."""
    image = background((222, 216, 204), (150, 142, 132))
    draw = ImageDraw.Draw(image)
    front, side = (
        [(230, 260), (470, 300), (470, 530), (230, 480)],
        [(470, 300), (620, 250), (620, 470), (470, 530)],
    )
    draw.polygon(front, fill=(238, 236, 228), outline=INK)
    draw.polygon(side, fill=(218, 214, 204), outline=INK)
    for part in range(1, 16):
        share = part / 16
        x = 230 + 240 * share
        draw.line((x, 260 + 40 * share, x, 480 + 50 * share), fill=SHADE, width=3)
        x = 470 + 150 * share
        draw.line(
            (x, 300 - 50 * share, x, 530 - 60 * share), fill=(190, 186, 176), width=2
        )
    draw.polygon(
        [(230, 260), (380, 212), (620, 250), (470, 300)], fill=DARK, outline=INK
    )
    draw.ellipse((300, 215, 550, 297), fill=(60, 64, 68), outline=INK, width=3)
    draw.ellipse((400, 244, 450, 266), fill=SHADE)
    return image


def tall_unit() -> Image.Image:
    """Return a tall square unit with a round grille and five lamps."""
    image = background((206, 214, 210), (124, 128, 132))
    draw = ImageDraw.Draw(image)
    draw.rectangle((270, 90, 530, 530), fill=BODY, outline=INK, width=3)
    draw.rectangle((270, 320, 530, 530), fill=SHADE, outline=INK, width=3)
    for radius in range(100, 10, -18):
        box = (400 - radius, 205 - radius, 400 + radius, 205 + radius)
        draw.ellipse(box, outline=DARK, width=5)
    for at in range(5):
        fill = (232, 196, 96) if at < 3 else BODY
        draw.ellipse((340 + 28 * at, 340, 354 + 28 * at, 354), fill=fill, outline=INK)
    return image


def wall_unit() -> Image.Image:
    """Return a flat unit high on a wall, with one long slot."""
    image = background((228, 224, 216), (146, 134, 122))
    draw = ImageDraw.Draw(image)
    draw.rounded_rectangle(
        (210, 90, 590, 250), 18, fill=(248, 248, 246), outline=INK, width=3
    )
    draw.rectangle((240, 205, 560, 228), fill=DARK)
    for at in range(250, 560, 14):
        draw.line((at, 205, at, 228), fill=INK)
    draw.line((590, 170, 700, 170, 700, 480), fill=SHADE, width=5)
    return image


def main() -> None:
    """Write every picture."""
    HERE.mkdir(exist_ok=True)
    pictures = {
        "merl-200.jpg": round_unit(),
        "netloft-box.jpg": box_kit(),
        "q7.jpg": tall_unit(),
        "transom.jpg": wall_unit(),
    }
    for name, image in pictures.items():
        image.save(HERE / name, quality=80, optimize=True)


if __name__ == "__main__":
    main()
