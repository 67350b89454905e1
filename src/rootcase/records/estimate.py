"""A number with its doubt."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Estimate:
    """Best estimate and interval of one quantity; low..high hold nine in ten, inner_low..inner_high one in two."""

    mean: float
    median: float
    low: float
    high: float
    inner_low: float
    inner_high: float
