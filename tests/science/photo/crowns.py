"""Crowns from below, drawn anew: leaves thrown at random before a sky that is uneven, blurred, in noise."""

from __future__ import annotations

import numpy as np
from PIL import Image, ImageDraw
from scipy import ndimage

from tests.science.photo.cards import compressed

FINE = 2
"""Pixels of the drawing a pixel of the photo."""
LEAF_LIGHT, SKY_LIGHT = (0.03, 0.06, 0.02), (0.30, 0.45, 0.70)
CLOUD_LIGHT, DEEP_SKY_LIGHT = (0.85, 0.90, 0.95), (0.08, 0.18, 0.50)


def draw_crown(seed: int, side: int = 500, leaves: int = 500, sun: bool = False, exposed: float = 1.0,
               jpeg: int = 0, clouds: bool = False) -> tuple[np.ndarray, float]:
    """Its pixels, with so much light, before clouds and compressed with that quality, and how much of it is sky."""
    random = np.random.default_rng(seed)
    drawing = Image.new("L", (side * FINE, side * FINE), 255)
    turn = np.linspace(0, 2 * np.pi, 24, endpoint=False)
    for x, y, long, wide, angle in zip(*random.uniform(0, side, (2, leaves)), random.uniform(6, 16, leaves),
                                       random.uniform(3, 8, leaves), random.uniform(0, np.pi, leaves), strict=True):
        along, across = long * np.cos(turn), wide * np.sin(turn)
        points = np.column_stack([x + along * np.cos(angle) - across * np.sin(angle),
                                  y + along * np.sin(angle) + across * np.cos(angle)]) * FINE
        ImageDraw.Draw(drawing).polygon([tuple(each) for each in points.tolist()], fill=0)
    open_sky = np.asarray(drawing.resize((side, side), Image.Resampling.BOX), np.float32) / 255
    down, along = np.mgrid[:side, :side] / side
    sky = (0.8 + 0.4 * along)[..., np.newaxis] * np.array(SKY_LIGHT)
    if clouds:
        heaps = ndimage.gaussian_filter(random.normal(size=(side, side)), side / 20)
        cloud = 1 / (1 + np.exp(-4 * heaps / heaps.std()))[..., np.newaxis]
        sky = cloud * np.array(CLOUD_LIGHT) + (1 - cloud) * np.array(DEEP_SKY_LIGHT)
    if sun:
        place = random.uniform(0.2, 0.8, 2)
        sky = sky + 6 * np.exp(-((down - place[0]) ** 2 + (along - place[1]) ** 2) / 0.004)[..., np.newaxis]
    light = open_sky[..., np.newaxis] * sky + (1 - open_sky)[..., np.newaxis] * np.array(LEAF_LIGHT)
    light = (exposed * ndimage.gaussian_filter(light, (0.9, 0.9, 0))).clip(0, 1)
    stored = 255 * light ** (1 / 2.2) + random.normal(0, 3, light.shape)
    pixels = stored.clip(0, 255).round().astype(np.uint8)
    return compressed(pixels, jpeg) if jpeg else pixels, float(open_sky.mean())
