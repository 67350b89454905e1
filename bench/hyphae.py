"""The length of hyphae on a photo of 12 million pixels: ours, and the Gaussian second derivatives alone by scipy."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import numpy as np
from PIL import Image
from scipy.ndimage import gaussian_filter

from bench.work import Work
from rootcase.science.photo.darkness import darkness
from rootcase.science.photo.hyphae import hyphae_of
from rootcase.science.photo.ridges import line_strength

PHOTO = Path(__file__).parents[1] / "tests" / "data" / "hyphae_dense.jpg"
UM_PER_PX = 0.5
SCALES_PX = tuple(0.866 * 2**half for half in (0.0, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0))


def about() -> Work:
    return Work(what="25 drawn pictures of 800 x 600 side by side, each with 24 strands and grains. Ours: two threads "
                     "of our own; scipy: one, and only the Hessians and their eigenvalues, at the same scales.",
                unit="pixel", units=12_000_000, yardsticks=("scipy, Hessians",))


def run() -> Mapping[str, Callable[[], object]]:
    picture = np.tile(np.asarray(Image.open(PHOTO)), (5, 5))
    dark = darkness(picture, 80)
    return {
        "scipy, Hessians": lambda: _hessians(dark),
        "ours, lines' strength": lambda: line_strength(dark, SCALES_PX, 0.02, 5.0),
        "ours, photo to length": lambda: hyphae_of(picture, UM_PER_PX),
    }


def _hessians(dark: np.ndarray) -> np.ndarray:
    strength = np.zeros_like(dark)
    for scale in SCALES_PX:
        down, across, both = (gaussian_filter(dark, scale, order, truncate=3.5) for order in ((2, 0), (0, 2), (1, 1)))
        lower = (down + across) / 2 - np.hypot((down - across) / 2, both)
        np.maximum(strength, -scale**2 * lower, out=strength)
    return strength
