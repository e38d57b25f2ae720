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


def bucket() -> Image.Image:
    """Return a bucket with a fan as its lid, wrapped in pleated cloth."""
    image = background((220, 214, 206), (142, 132, 118))
    draw = ImageDraw.Draw(image)
    draw.ellipse((280, 500, 540, 542), fill=(120, 110, 98))
    draw.polygon(
        [(270, 250), (530, 250), (500, 520), (300, 520)], fill=SHADE, outline=INK
    )
    for at in range(1, 22):
        share = at / 22
        draw.line((270 + 260 * share, 290, 300 + 200 * share, 500), fill=DARK, width=2)
    draw.line((264, 300, 536, 300), fill=INK, width=5)
    draw.ellipse((262, 216, 538, 288), fill=BODY, outline=INK, width=3)
    draw.ellipse((310, 228, 490, 276), fill=DARK, outline=INK, width=2)
    draw.arc((264, 120, 536, 384), 180, 360, fill=INK, width=4)
    return image


def plug() -> Image.Image:
    """Return a small plug in a socket, with one lamp and two needles."""
    image = background((230, 226, 216), (160, 148, 132))
    draw = ImageDraw.Draw(image)
    draw.rounded_rectangle((300, 170, 520, 400), 14, fill=(246, 246, 244), outline=INK)
    draw.rounded_rectangle((350, 200, 470, 370), 36, fill=BODY, outline=INK, width=3)
    draw.ellipse((402, 330, 418, 346), fill=(120, 190, 130), outline=INK)
    for at in (388, 432):
        draw.ellipse((at - 12, 232, at + 12, 256), fill=DARK, outline=INK)
        draw.line((at, 226, at, 262), fill=BODY, width=2)
    return image


def small_fans() -> Image.Image:
    """Return a wooden frame with seven small fans between two panels."""
    image = background((212, 218, 224), (152, 140, 124))
    draw = ImageDraw.Draw(image)
    draw.polygon([(560, 150), (640, 120), (640, 480), (560, 530)], fill=SHADE)
    draw.rectangle((200, 150, 560, 530), fill=(206, 178, 138), outline=INK, width=3)
    across = [(260, 235), (380, 210), (500, 235), (260, 355), (500, 355)]
    for x, y in [*across, (380, 340), (380, 465)]:
        draw.ellipse((x - 52, y - 52, x + 52, y + 52), fill=DARK, outline=INK, width=3)
        for angle in range(0, 360, 60):
            box = (x - 46, y - 46, x + 46, y + 46)
            draw.pieslice(box, angle, angle + 28, fill=(84, 90, 94))
        draw.ellipse((x - 15, y - 15, x + 15, y + 15), fill=INK)
    return image


def sleeve_unit() -> Image.Image:
    """Return a low round unit in a woven sleeve, with a lamp on its lid."""
    image = background((204, 212, 218), (120, 106, 96))
    draw = ImageDraw.Draw(image)
    draw.ellipse((288, 490, 520, 532), fill=(98, 86, 78))
    draw.rounded_rectangle((300, 240, 500, 515), 30, fill=(186, 196, 192), outline=INK)
    for at in range(250, 506, 9):
        draw.line((302, at, 498, at + 6), fill=(166, 178, 174), width=2)
    for at in range(306, 500, 9):
        draw.line((at, 244, at, 512), fill=(176, 188, 184), width=1)
    draw.ellipse((296, 216, 504, 272), fill=BODY, outline=INK, width=3)
    draw.ellipse((340, 228, 460, 260), fill=SHADE, outline=DARK, width=2)
    draw.ellipse((394, 240, 406, 248), fill=(232, 196, 96))
    return image


def crate() -> Image.Image:
    """Return an open crate with a panel on each side and a cable."""
    image = background((218, 220, 210), (130, 134, 128))
    draw = ImageDraw.Draw(image)
    draw.rectangle((230, 170, 570, 520), fill=(196, 166, 122), outline=INK, width=3)
    draw.rectangle((262, 202, 538, 488), fill=(238, 236, 228), outline=INK, width=2)
    for at in range(272, 534, 12):
        draw.line((at, 206, at, 484), fill=SHADE, width=3)
    for x in (246, 554):
        for y in (186, 345, 504):
            draw.ellipse((x - 5, y - 5, x + 5, y + 5), fill=DARK)
    draw.line((570, 440, 640, 470, 650, 540, 720, 560), fill=INK, width=4)
    return image


def duct_box() -> Image.Image:
    """Return a long metal box with a round duct at either end, on trestles."""
    image = background((210, 210, 208), (136, 132, 128))
    draw = ImageDraw.Draw(image)
    for x in (270, 530):
        draw.line((x, 380, x - 40, 530), fill=INK, width=6)
        draw.line((x, 380, x + 40, 530), fill=INK, width=6)
    draw.rectangle((120, 270, 220, 350), fill=SHADE, outline=INK, width=3)
    draw.rectangle((580, 270, 680, 350), fill=SHADE, outline=INK, width=3)
    for x in (*range(130, 220, 14), *range(590, 680, 14)):
        draw.line((x, 272, x, 348), fill=DARK, width=2)
    draw.rectangle((220, 230, 580, 390), fill=BODY, outline=INK, width=3)
    draw.rectangle((300, 250, 400, 370), outline=DARK, width=3)
    draw.ellipse((342, 300, 358, 316), fill=DARK)
    draw.rectangle((450, 280, 540, 320), fill=(246, 246, 244), outline=DARK)
    return image


def main() -> None:
    """Write every picture."""
    HERE.mkdir(exist_ok=True)
    pictures = {
        "merl-200.jpg": round_unit(),
        "netloft-box.jpg": box_kit(),
        "q7.jpg": tall_unit(),
        "transom.jpg": wall_unit(),
        "pail.jpg": bucket(),
        "dot.jpg": plug(),
        "netloft-seven.jpg": small_fans(),
        "lull.jpg": sleeve_unit(),
        "crate.jpg": crate(),
        "underfloor.jpg": duct_box(),
    }
    for name, image in pictures.items():
        image.save(HERE / name, quality=80, optimize=True)


if __name__ == "__main__":
    main()
