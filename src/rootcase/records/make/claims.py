"""What a tank brings to the ground, beside what is there."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Brought:
    """How much of an element a rich liquid brings."""

    element: str
    """nitrogen, phosphorus or potassium."""
    content_mg_l: float
    kg_m2: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OrganismsAdded:
    """How many bacteria are added, as a share of those in the soil under them."""

    per_ml: float
    counted: bool
    """On this batch; else what a good one is said to hold."""
    pct: float
    """Of the soil's bacteria. [%]"""
    depth_m: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """What a published trial of compost tea found."""

    trial: str
    differs: bool
    """From plain water, in what stands under found."""
    growth: bool
    """Whether growth of landscape trees was measured in it."""
    source: str
    years: float | None
    """In the field; None: in the laboratory."""
    rate_l_m2: float | None
    found: str
    """In what it differed, or in what no difference was found."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Claims:
    """All that an honest sentence about a tank needs."""

    rate_l_m2: float
    brought: tuple[Brought, ...]
    mineral_nitrogen_kg_m2: float
    """Of the mineral arm of a published trial."""
    mineral_source: str
    compost_layer_m: float
    compost_nitrogen_kg_m2: float
    """In a layer of compost, most of it slow."""
    compost_source: str
    organisms: OrganismsAdded
    trials: tuple[Trial, ...]
