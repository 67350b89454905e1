"""What comparing gives: the share of each tree, year by year and measure by measure."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np
import numpy.typing as npt

from rootcase.records.estimate import Estimate
from rootcase.records.observe import Sign

Basis = Literal["yardstick", "growth class"]
RangeVerdict = Literal["below", "inside", "above", "described", "undecided"]
"""Described: the list judges nothing, or has no word for the value. Undecided: only a limit was told, and it decides
nothing."""


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
class LabRange:
    """What one published list says of one laboratory value, read by the list's own method."""

    plants: str
    """For what the list was made."""
    low: float | None
    """From here the list calls it good, in the kind's SI unit; None where it says no lower end, or judges nothing."""
    high: float | None
    """Up to here."""
    wanted: str
    """What the list calls that range; empty where it judges nothing."""
    called: str
    """What the list calls the range the value lies in; empty where it has no word for it."""
    verdict: RangeVerdict
    sure: bool
    """Whether nine tenths of what the value may be lie on the same side."""
    source: str
    how_known: str


@dataclass(frozen=True, slots=True)
class LabLine:
    """One value of a laboratory, beside published ranges of its method and beside the yardstick's."""

    sample_id: str
    kind: str
    reading_id: str
    value: float
    """In the kind's SI unit; where the sign is < or > a limit."""
    sign: Sign
    interval: Estimate | None
    """What the value may be by the catalogue's error; None for a limit."""
    method: str
    """Code of the method, extractant or extract; empty where the kind has none or nobody told it."""
    ranges: tuple[LabRange, ...]
    other_methods: tuple[str, ...]
    """Methods for which there are ranges that say nothing of this value."""
    yardstick_value: float | None
    """Of the same kind and method, in the kind's SI unit."""
    share: Estimate | None
    """Fraction of the yardstick's value, for amounts."""
    difference: Estimate | None
    """From the yardstick's value, in the kind's SI unit, for scales such as pH."""
    note: str
    """Key of the words under laboratory.note that say why it is not compared, or empty."""
    yardstick_reading_ids: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Comparison:
    property_id: str
    trees: tuple[TreeComparison, ...]
    """Every tree that is compared, in the order of the record; yardstick trees are not among them."""
    draws: int
    seed: int
    made_on: date
    laboratory: tuple[LabLine, ...] = ()
    """Every value of every soil and leaf test, sample by sample."""
