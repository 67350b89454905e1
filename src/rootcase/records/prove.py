"""Trials that were read: what went in, and what they say of a treatment."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

FreedomBy = Literal["satterthwaite", "kenward-roger"]
Replicate = Literal["tree", "plot"]
Warned = Literal["plots", "one_arm", "lost", "few", "no_spread", "unread", "trend", "one_shoot", "one_site"]


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialReading:
    """One reading of one tree in one year."""

    site: str
    tree: str
    year: int
    after: bool
    """Read after the treatment began."""
    treated: bool
    """The tree's arm, the same in every year."""
    value: float | None
    """None: not read. [any unit, the same in a trial]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialWarning:
    """What a reader of the answer has to know."""

    kind: Warned
    names: tuple[str, ...] = ()
    """Of trees, sites or spreads it is about."""
    figures: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialFit:
    """What one trial says of a treatment: how much more the treated changed than the untreated."""

    effect: float
    """[unit of the readings]"""
    standard_error: float
    """[unit of the readings]"""
    freedom: float
    """Degrees of freedom. [-]"""
    p: float
    """Chance of an effect as far from nothing where there is none. [-]"""
    low: float
    """[unit of the readings]"""
    high: float
    """[unit of the readings]"""
    level: float
    """Of the interval. [-]"""
    freedom_by: FreedomBy
    variances: Mapping[str, float]
    """Of site, site_year, tree, tree_year and residual, or of plot; what the trial cannot tell apart is missing.
    [unit squared]"""
    replicate: Replicate
    """What was treated as one."""
    treated: int
    """Replicates."""
    untreated: int
    """Replicates."""
    sites: int
    trees: int
    readings: int
    warnings: tuple[TrialWarning, ...] = field(default=())
