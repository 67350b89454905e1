"""Drawn microscope pictures whose hyphal length is known: curves, crossings, uneven light, noise, debris, bubbles."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from scipy.ndimage import gaussian_filter, gaussian_filter1d

from rootcase.science.lanes import Lanes

FINE = 4
"""The picture is drawn so many times larger and brought down by the mean, so that edges are as a camera has them."""
STEP_PX = 1.0


@dataclass(frozen=True)
class Slide:
    """What is drawn; lengths in pixels, contrast and noise as parts of the light."""

    seed: int
    width_px: int = 640
    height_px: int = 480
    strands: int = 8
    dark_particles: int = 8
    bright_particles: int = 4
    bubbles: int = 1
    contrast: float = 0.3
    noise: float = 0.04
    uneven: float = 0.3
    thinnest_px: float = 3.0
    thickest_px: float = 6.0


def drawn(slide: Slide) -> tuple[NDArray[np.float64], float]:
    """The picture (0 to 255) and the length of all curves inside its frame, to their tips, in pixels.

    Grains may hide a curve; of bubbles that one of twenty is taken that hides least: what a bubble hides nobody finds.
    """
    chance = np.random.default_rng(slide.seed)
    light = np.ones((slide.height_px, slide.width_px))
    length_px = 0.0
    hyphae = np.zeros_like(light)
    for _ in range(slide.strands):
        curve, width_px = _curve(slide, chance), chance.uniform(slide.thinnest_px, slide.thickest_px)
        stroke = _stroke(slide, curve, width_px)
        hyphae += stroke
        light *= 1.0 - slide.contrast * chance.uniform(0.75, 1.25) * stroke
        length_px += _inside(slide, curve)
    for _ in range(slide.dark_particles):
        light *= 1.0 - chance.uniform(0.15, 0.5) * _particle(slide, chance)
    for _ in range(slide.bright_particles):
        light *= 1.0 + chance.uniform(0.15, 0.4) * _particle(slide, chance)
    for _ in range(slide.bubbles):
        light *= min((_bubble(slide, chance) for _ in range(20)), key=lambda air: float((hyphae * (air < 0.95)).sum()))
    light = gaussian_filter(light, 0.8) * _lamp(slide, chance)
    noisy = light + chance.normal(0.0, slide.noise, light.shape)
    return np.clip(np.rint(190.0 * noisy), 0, 255), length_px


def _curve(slide: Slide, chance: np.random.Generator) -> Lanes:
    """A path whose direction drifts slowly, as (x, y) a row."""
    steps = int(chance.uniform(0.15, 0.8) * slide.width_px / STEP_PX)
    bend = gaussian_filter1d(chance.normal(0.0, 1.0, steps + 1000), 40.0)[500:steps + 500]  # its mean wanders about 0
    heading = chance.uniform(0.0, 2.0 * np.pi) + np.cumsum(0.1 * bend) * STEP_PX
    path = np.cumsum(STEP_PX * np.column_stack([np.cos(heading), np.sin(heading)]), axis=0)
    middle = chance.uniform((0.1, 0.1), (0.9, 0.9)) * (slide.width_px, slide.height_px)
    return np.asarray(path - path[steps // 2] + middle)


def _inside(slide: Slide, curve: Lanes) -> float:
    middles = (curve[1:] + curve[:-1]) / 2
    inside = ((middles >= 0) & (middles < (slide.width_px, slide.height_px))).all(axis=1)
    return float(np.hypot(*np.diff(curve, axis=0).T)[inside].sum())


def _canvas(slide: Slide) -> tuple[Image.Image, ImageDraw.ImageDraw]:
    image = Image.new("L", (slide.width_px * FINE, slide.height_px * FINE))
    return image, ImageDraw.Draw(image)


def _brought_down(slide: Slide, image: Image.Image) -> Lanes:
    return np.asarray(image.reduce(FINE), dtype=np.float64) / 255.0


def _stroke(slide: Slide, curve: Lanes, width_px: float) -> Lanes:
    image, pen = _canvas(slide)
    radius = width_px * FINE / 2
    shortened = curve[round(width_px / 2 / STEP_PX):len(curve) - round(width_px / 2 / STEP_PX)]  # a round tip ends it
    fine = np.column_stack([np.interp(np.arange(0, len(shortened) - 1, 0.25), np.arange(len(shortened)), along)
                            for along in shortened.T]) * FINE
    for x, y in fine:
        pen.ellipse((x - radius, y - radius, x + radius, y + radius), fill=255)
    return _brought_down(slide, image)


def _particle(slide: Slide, chance: np.random.Generator) -> Lanes:
    """A grain: round or with corners, up to three times as long as wide."""
    image, pen = _canvas(slide)
    corners = int(chance.integers(5, 30))
    turns = np.sort(chance.uniform(0.0, 2.0 * np.pi, corners)) if corners < 12 else np.linspace(0, 2 * np.pi, corners)
    radius = chance.uniform(3.0, 18.0) * FINE
    along, across = radius * np.cos(turns), radius * np.sin(turns) / chance.uniform(1.0, 3.0)
    turned = chance.uniform(0.0, np.pi)
    x = along * np.cos(turned) - across * np.sin(turned) + chance.uniform(0, slide.width_px) * FINE
    y = along * np.sin(turned) + across * np.cos(turned) + chance.uniform(0, slide.height_px) * FINE
    pen.polygon(list(zip(x.tolist(), y.tolist(), strict=True)), fill=255)
    return _brought_down(slide, image)


def _bubble(slide: Slide, chance: np.random.Generator) -> Lanes:
    """Air: a dark rim round a lit middle."""
    y, x = np.mgrid[:slide.height_px, :slide.width_px]
    radius_px, rim_px = chance.uniform(20.0, 60.0), chance.uniform(2.0, 5.0)
    away = np.hypot(x - chance.uniform(0, slide.width_px), y - chance.uniform(0, slide.height_px))
    return np.asarray(1.0 - 0.5 * np.exp(-0.5 * ((away - radius_px) / rim_px) ** 2) + 0.08 * (away < radius_px))


def _lamp(slide: Slide, chance: np.random.Generator) -> Lanes:
    """Brightest somewhere near the middle, darker towards the corners."""
    y, x = np.mgrid[:slide.height_px, :slide.width_px]
    across = (x / slide.width_px - chance.uniform(0.3, 0.7), y / slide.height_px - chance.uniform(0.3, 0.7))
    return np.asarray(1.0 - slide.uneven * 2.0 * (across[0] ** 2 + across[1] ** 2))
