"""Photos of the card with soil of a known chip on it, drawn anew: nobody's real soil."""

from __future__ import annotations

import numpy as np
from PIL import Image, ImageDraw
from scipy import ndimage

from rootcase.science.photo.chips import C_WHITE, CONES, SRGB_TO_XYZ, soil_chips
from rootcase.tables.load import table
from tests.science.photo.cards import FINE, _seen, compressed

PAPER = 222


def linear_of(chip: str) -> np.ndarray:
    """Linear sRGB of a chip, 1 for a perfect white: the way of the measurement, backwards."""
    chips, colors = soil_chips()
    light, red_green, yellow_blue = colors[[each.notation for each in chips].index(chip)]
    middle = (light + 16) / 116
    root = np.array([middle + red_green / 500, middle, middle - yellow_blue / 200])
    x, y = C_WHITE
    white = np.array([x / y, 1.0, (1 - x - y) / y])
    xyz = np.where(root > 6 / 29, root ** 3, 3 * (6 / 29) ** 2 * (root - 4 / 29)) * white
    d65 = SRGB_TO_XYZ.sum(axis=1)
    back = np.linalg.inv(CONES) @ np.diag(CONES @ d65 / (CONES @ white)) @ CONES
    return np.asarray(np.linalg.solve(SRGB_TO_XYZ, back @ xyz))


def draw_soil(seed: int, chip: str, px_per_mm: float = 4.0, tilt: float = 0.1, paper: float = 0.87,
              camera_off: float = 0.0, lumpy: float = 0.06, jpeg: int = 0, middle_mm: tuple[float, float] = (100, 75),
              radius_mm: float = 16.0, cast: tuple[float, float, float] = (1.0, 1.0, 1.0)) -> np.ndarray:
    """A card with a lump of soil; a camera that is off mixes its channels and bends its curve by as much."""
    random = np.random.default_rng(seed)
    flat = Image.new("RGB", (200 * FINE, 150 * FINE), (PAPER, PAPER, PAPER))
    for row in [row for row in table("photo/card").rows if row["part"] == "marker"]:
        cells = np.pad(np.array(list(row["code"]), np.uint8).reshape(4, 4) * PAPER, 1)
        flat.paste(Image.fromarray(np.kron(cells, np.ones((4 * FINE, 4 * FINE), np.uint8))),
                   (int(row["left_mm"]) * FINE, int(row["top_mm"]) * FINE))
    linear = np.clip(linear_of(chip), 0.0, None) / paper
    if camera_off:
        mix = np.eye(3) + random.normal(0, camera_off, (3, 3))
        linear = (mix / mix.sum(axis=1, keepdims=True)) @ linear
        linear = linear.clip(1e-3) ** (1 + random.normal(0, camera_off))
    turn = np.linspace(0, 2 * np.pi, 200, endpoint=False)
    radius = FINE * radius_mm * (1 + 0.15 * np.cos(3 * turn + random.uniform(0, 6)))
    outline = FINE * np.array(middle_mm) + radius[:, np.newaxis] * np.column_stack([np.cos(turn), np.sin(turn)])
    inside = Image.new("L", flat.size)
    ImageDraw.Draw(inside).polygon([tuple(each) for each in outline.tolist()], fill=1)
    left, top, right, low = inside.getbbox()
    grain = ndimage.gaussian_filter(random.normal(0, 1, (low - top, right - left)), 8)
    shine = np.exp(lumpy * grain / grain.std())[..., np.newaxis]
    soil = PAPER * stored_of((linear * shine).clip(0, 1))
    drawn = np.asarray(flat, np.float64).copy()
    there = np.asarray(inside)[top:low, left:right] == 1
    drawn[top:low, left:right][there] = soil[there]
    drawn *= np.array(cast) ** (1 / 2.2)
    seen = _seen(drawn.clip(0, 255).round().astype(np.uint8), random, px_per_mm, tilt, True)
    return compressed(seen, jpeg) if jpeg else seen


def stored_of(linear: np.ndarray) -> np.ndarray:
    return np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear.clip(1e-9) ** (1 / 2.4) - 0.055)
