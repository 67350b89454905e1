"""Few colours for the pictures of docs/screens, so that they stay small: those of the style sheets, and of a photo."""

from __future__ import annotations

import io
import re
from pathlib import Path

from PIL import Image, ImageChops

SHEETS = Path(__file__).parents[1] / "src" / "rootcase" / "web" / "static"
PALETTE, GREYS, WELD, WHITE = 256, 6, bytes.fromhex("F2C230"), bytes.fromhex("FFFFFF")


def shrunk(png: bytes, scale: float, theme: str, photo: bool) -> Image.Image:
    """In the page's own colours and, where it is wide, smaller: to be looked over, not to be measured.

    A page with a photo has the photo's colours too, as many as a palette can hold.
    """
    whole = Image.open(io.BytesIO(png)).convert("RGB")
    small = whole.resize((round(whole.width * scale), round(whole.height * scale)), Image.Resampling.LANCZOS)
    own = b"".join(palette_of(theme))
    plain = indexed(small, own)
    if not photo:
        return plain
    rich = indexed(small, own + bytes(small.quantize(PALETTE - len(own) // 3).getpalette() or ()))
    same = ImageChops.difference(small, plain.convert("RGB")).convert("L").point([255] + [0] * 255)
    rich.paste(plain, mask=same)  # among many whites the nearest is told too roughly for paper
    return rich


def indexed(image: Image.Image, colours: bytes) -> Image.Image:
    palette = Image.new("P", (1, 1))
    palette.putpalette(colours)
    return image.quantize(palette=palette, dither=Image.Dither.NONE)


def palette_of(theme: str) -> list[bytes]:
    """The colours that the style sheet of a theme names, the middle half of a band of shoots, and steps from ink to
    paper for the edges of letters."""
    sheet = (SHEETS / ("dark.css" if theme == "dark" else "desk.css")).read_text(encoding="utf-8")
    named = {name: bytes.fromhex(colour) for name, colour in re.findall(r"--([a-z-]+): #([0-9A-F]{6})", sheet)}
    steps = [mixed(named["ink"], named["paper"], step / GREYS) for step in range(1, GREYS)]
    return [*named.values(), mixed(named["forest-tint"], named["forest-middle"], 0.75), *steps, WELD, WHITE]


def mixed(one: bytes, other: bytes, share: float) -> bytes:
    return bytes(round(a + (b - a) * share) for a, b in zip(one, other, strict=True))
