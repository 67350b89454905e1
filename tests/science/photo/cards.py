"""Photos of the card drawn anew: leaves of known area on it, seen aslant, blurred, in noise; nobody's real leaf."""

from __future__ import annotations

import io
from typing import NamedTuple

import numpy as np
from PIL import Image, ImageDraw
from scipy import ndimage

from rootcase.science.photo.plane import homography
from rootcase.tables.load import table

FINE = 10
"""Pixels of the flat drawing a millimeter."""
TABLE = (150, 130, 110)


class Drawn(NamedTuple):
    pixels: np.ndarray
    """Rows of (red, green, blue), 0 to 255, upright."""
    areas_mm2: list[float]
    """From left to right on the card."""


def draw_card(seed: int, px_per_mm: float = 4.0, tilt: float = 0.1, linear: bool = True, markers: int = 4,
              shadow: float = 1.0, jpeg: int = 0, color: tuple[int, int, int] | None = None) -> Drawn:
    """A card with three leaves, of some green or of that color; blurred as light, or as stored where it is not linear;
    compressed with that quality."""
    random = np.random.default_rng(seed)
    flat = Image.new("RGB", (200 * FINE, 150 * FINE), (222, 222, 222))
    for row in [row for row in table("photo/card").rows if row["part"] == "marker"][:markers]:
        cells = np.pad(np.array(list(row["code"]), np.uint8).reshape(4, 4) * 222, 1)
        flat.paste(Image.fromarray(np.kron(cells, np.ones((4 * FINE, 4 * FINE), np.uint8))),
                   (int(row["left_mm"]) * FINE, int(row["top_mm"]) * FINE))
    areas = []
    ink = ImageDraw.Draw(flat)
    outlines = [_leaf(random, middle) for middle in (62, 100, 138)]
    if shadow < 1.0:
        cast = Image.new("L", flat.size, 255)
        for outline in outlines:
            ImageDraw.Draw(cast).polygon([(x + 18, y + 18) for x, y in outline.tolist()], fill=round(255 * shadow))
        share = ndimage.gaussian_filter(np.asarray(cast, np.float32), 8) / 255
        flat = Image.fromarray((np.asarray(flat) * share[..., np.newaxis]).round().astype(np.uint8))
        ink = ImageDraw.Draw(flat)
    for outline in outlines:
        some_green = tuple(int(each) for each in random.integers((25, 70, 15), (90, 130, 60)))
        ink.polygon([tuple(point) for point in outline.tolist()], fill=color or some_green)
        alone = Image.new("1", flat.size)  # what is drawn reaches half a pixel over the outline
        ImageDraw.Draw(alone).polygon([tuple(point) for point in outline.tolist()], fill=1)
        areas.append(np.count_nonzero(np.asarray(alone)) / FINE ** 2)
    seen = _seen(np.asarray(flat), random, px_per_mm, tilt, linear)
    return Drawn(compressed(seen, jpeg) if jpeg else seen, areas)


def compressed(pixels: np.ndarray, quality: int) -> np.ndarray:
    kept = io.BytesIO()
    Image.fromarray(pixels).save(kept, "JPEG", quality=quality)
    return np.asarray(Image.open(kept))


def _leaf(random: np.random.Generator, middle_mm: float) -> np.ndarray:
    turn = np.linspace(0, 2 * np.pi, 720, endpoint=False)
    lobes, depth = random.integers(2, 6), random.uniform(0.05, 0.3)
    radius = random.uniform(8, 12) * (1 + depth * np.cos(lobes * turn)) * (1 + random.uniform(0, 0.04)
                                                                          * np.cos(30 * turn))
    angle, stretch = random.uniform(0, np.pi), random.uniform(0.8, 1.25)
    x, y = radius * np.cos(turn) * stretch, radius * np.sin(turn) / stretch
    return FINE * np.column_stack([middle_mm + x * np.cos(angle) - y * np.sin(angle),
                                   75 + x * np.sin(angle) + y * np.cos(angle)])


def _seen(flat: np.ndarray, random: np.random.Generator, px_per_mm: float, tilt: float, linear: bool) -> np.ndarray:
    wide, high = round(260 * px_per_mm), round(210 * px_per_mm)
    left, top, right, low = 30 * px_per_mm, 30 * px_per_mm, 230 * px_per_mm, 180 * px_per_mm
    squeeze = tilt * 75 * px_per_mm
    quad = [(left + squeeze, top + squeeze), (right - squeeze, top + squeeze / 2), (right, low), (left, low - squeeze)]
    to_flat = homography(quad, np.array([(0, 0), (200, 0), (200, 150), (0, 150)]) * FINE - 0.5)
    power = 2.2 if linear else 1.0
    bright = np.pad((flat / 255.0) ** power, ((FINE, FINE), (FINE, FINE), (0, 0)), mode="constant",
                    constant_values=(np.mean(TABLE) / 255) ** power)
    bright = ndimage.uniform_filter(bright, (round(FINE / px_per_mm), round(FINE / px_per_mm), 1))
    down, along = np.mgrid[:high, :wide]
    places = np.stack([along, down, np.ones_like(along)], axis=-1) @ to_flat.T
    places = places[..., 1::-1] / places[..., 2:] + FINE
    seen = np.stack([ndimage.map_coordinates(bright[..., each], np.moveaxis(places, -1, 0), order=1, mode="nearest")
                     for each in range(3)], axis=-1)
    seen = ndimage.gaussian_filter(seen, (0.8, 0.8, 0)).clip(0) ** (1 / power)
    seen *= np.linspace(1.0, 0.85, wide)[:, np.newaxis]
    return (255 * seen + random.normal(0, 2.5, seen.shape)).clip(0, 255).round().astype(np.uint8)
