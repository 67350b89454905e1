"""What comparing gives: the share of each tree, year by year and measure by measure."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np
import numpy.typing as npt

from rootcase.records.estimate import Estimate

Basis = Literal["yardstick", "growth class"]


@dataclass(frozen=True, slots=True)
class ShootYear:
    """One growth year: this tree's shoots beside the yardstick's."""

    year: int
    lengths_mm: tuple[float, ...]
    not_read: int
    """Shoots of that year that could not be read."""
    tree_mm: Estimate | None
    """This tree's typical (geometric mean) shoot of the year."""
    yardstick_mm: Estimate | None
    """The yardstick's typical shoot of the year, with the doubt of that mean."""
    yardstick_shoots_mm: Estimate | None
    """Spread of single shoots in the yardstick: median, half and nine tenths of them."""
    yardstick_tree_means_mm: tuple[float, ...]
    share: Estimate | None = None
    """Fraction of the yardstick in this year, pooled towards the tree's other years; None where no shoot was read."""


@dataclass(frozen=True, slots=True)
class MeasureLine:
    """One other measure (leaf length, dieback, height ...) on its own line; never added to another."""

    kind: str
    tree_value: float | None
    yardstick_value: float | None
    """Both in the kind's SI unit."""
    share: Estimate | None
    """Fraction of the yardstick; None where it may not be compared."""
    difference: Estimate | None
    """For shares such as dieback: tree minus yardstick, in the SI unit."""
    note: str
    """Key of the words that say why not compared, or empty."""
    reading_ids: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TreeComparison:
    tree_id: str
    yardstick_id: str | None
    basis: Basis
    share: Estimate | None
    """Fraction of the yardstick's shoot growth over the years read; None where no shoot was read."""
    log_share_draws: npt.NDArray[np.float64] | None
    """Posterior draws of ln(share), the same draws the estimate was made of."""
    log_share_sd: float | None
    """SD of ln(share) from the readings: s_o of the model."""
    shoot_count: int
    yardstick_tree_count: int
    yardstick_shoot_count: int
    yardstick_typical_mm: Estimate | None
    years: tuple[ShootYear, ...]
    measures: tuple[MeasureLine, ...]
    notes: tuple[str, ...]
    """Keys of the words under compare.note: dry_year, few_yardstick_trees, position_unknown ..."""
    reading_ids: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    property_id: str
    trees: tuple[TreeComparison, ...]
    """Every tree that is compared, in the order of the record; yardstick trees are not among them."""
    draws: int
    seed: int
    made_on: date
