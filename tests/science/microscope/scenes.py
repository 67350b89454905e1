"""Straight pieces thrown on a square grid, whose length is known."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from rootcase.science.microscope.crossings import line_length_mm, newman_length_mm

FIELD_MM = 1000.0


def mean_length_ratio(grid_mm: float, segments: int, trials: int, lengths_mm: Sequence[float]) -> float:
    """Mean over trials of the length by crossings over the true one."""
    rng = np.random.default_rng(11)
    size = (trials, segments)
    length, angle = rng.uniform(*lengths_mm, size), rng.uniform(0.0, np.pi, size)
    start = rng.uniform(0.0, FIELD_MM, (2, *size))
    end = start + length * np.stack([np.cos(angle), np.sin(angle)])
    crossings = np.abs(np.floor(end / grid_mm) - np.floor(start / grid_mm)).sum(axis=(0, 2))
    found = newman_length_mm(crossings, FIELD_MM**2, line_length_mm(FIELD_MM**2, grid_mm))
    return float((found / length.sum(axis=1)).mean())
