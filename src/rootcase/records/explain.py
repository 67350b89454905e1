"""What explaining gives: the waterfall, its remainder, the soil column, and the conditioned results apart."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np
import numpy.typing as npt

from rootcase.records.estimate import Estimate
from rootcase.records.signs import Signs

Limit = Literal["strength", "air", "water", "salt", "nutrition", "establishment"]
LIMITS: tuple[Limit, ...] = ("strength", "air", "water", "salt", "nutrition", "establishment")
WaterPart = Literal["turf", "sealing", "rest"]
WATER_PARTS: tuple[WaterPart, ...] = ("turf", "sealing", "rest")


@dataclass(frozen=True, slots=True)
class LimitShare:
    """Growth one limit takes, in points of the yardstick (100 = all of it); below zero it gives."""

    limit: Limit
    points: Estimate
    same_as_yardstick: bool
    """The inputs are the same for tree and yardstick in every draw, so it is exactly zero."""
    rests_on: tuple[str, ...]
    """Ids of the readings it rests on; empty where only the model's priors stand behind it."""
    assumed: tuple[str, ...]
    """Kinds that were not read and stand in by a prior."""


@dataclass(frozen=True, slots=True)
class WaterShare:
    part: WaterPart
    points: Estimate


@dataclass(frozen=True, slots=True)
class Conditioned:
    """What the readings say once the growth that was seen is taken in; never part of the waterfall."""

    share: Estimate
    limits: tuple[LimitShare, ...]
    other_cause_points: Estimate
    """Growth lost to a cause outside the soil."""
    chance_other_cause: float
    chance_largest: tuple[float, ...]
    """That a limit takes more than any other and than a cause outside the soil, in the order of LIMITS; what is left to
    1 is that cause's."""
    effective_draws: float
    temper: float
    """1, or the power the likelihood was lowered to because readings and growth disagree."""
    disagree: bool
    """The observed share lies outside the predicted nine in ten, or weights collapsed."""


@dataclass(frozen=True, slots=True)
class SoilLayer:
    """One of the model's four layers, central figures."""

    top_m: float
    bottom_m: float
    texture: str
    """USDA class code, such as clay_loam."""
    organic_matter_pct: float
    resistance_mpa: Estimate
    available_water_mm: float
    """Between field capacity and wilting point, in this layer."""
    water_in_reach_mm: float
    """What of it roots can reach: weighted by how far roots can live there."""
    root_share: float
    """Share of the tree's fine roots, 0 to 1, summing to 1 over the layers."""
    air_filled: float
    """Air-filled porosity at field capacity [m3 m-3]."""


@dataclass(frozen=True, slots=True)
class SoilColumn:
    """The soil under one tree as the model sees it, or under the yardstick."""

    layers: tuple[SoilLayer, ...]
    cover: tuple[tuple[str, float], ...]
    """(litter|mulch|turf|bare|paved, share of the rooted ground)."""
    rootable_depth_m: Estimate
    """Depth at which resistance passes the value that halves root growth (or the probe's refusal)."""
    water_in_reach_mm: Estimate
    hardness_depth_m: tuple[float, ...]
    hardness_mpa: tuple[Estimate, ...]
    known_to_m: float
    """Deepest reading; below it nothing was read."""
    read_kinds: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NextReading:
    """A reading that could be made, or made again, and what it would take from the doubt about the limits."""

    kind: str
    """A code of the catalogue; sample_cores stands for all that a laboratory tells of one sample."""
    tools: str
    season: str
    """As the catalogue codes it."""
    times: int
    minutes: float
    """In the field, for all the times."""
    days_to_answer: int | None
    """Until a laboratory or a drying oven tells; None where the field does."""
    ground_opened: bool
    """Something is pushed or dug into the ground, so buried lines are located first."""
    taken_before: bool
    share_removed: float
    """Of the sum of the six limits' variances, 0 to 1; 0 where chance alone could give as much."""
    share_removed_per_minute: float
    """The same over the minutes: readings stand in this order."""


@dataclass(frozen=True, slots=True)
class Turned:
    """A laboratory's reading that was turned into the way the model takes it."""

    kind: str
    """The input it stands for, a code of the catalogue."""
    way: str
    """Key of the words under explain.turned."""
    reading_ids: tuple[str, ...]
    least: float
    """What was done to it, at least: times or plus, as the words of the way say."""
    most: float
    """And at most, over textures and sources."""
    at_yardstick: bool = False


@dataclass(frozen=True, slots=True)
class Explanation:
    tree_id: str
    predicted_share: Estimate
    observed_share: Estimate | None
    limits: tuple[LimitShare, ...]
    """All six, in the order of LIMITS."""
    water_parts: tuple[WaterShare, ...]
    """Turf, sealing, rest: the water step once more."""
    unexplained_points: Estimate | None
    """Predicted minus observed share, in points, per joint draw; above zero more is lost than the soil explains."""
    conditioned: Conditioned | None
    soil: SoilColumn
    yardstick_soil: SoilColumn
    missing: tuple[str, ...]
    """Kinds that would narrow the answer and were not read."""
    growth_years: tuple[int, ...]
    """Years whose weather the model ran: the year before the first shoots, then the years the shoots grew in."""
    weather_ends: date
    reading_ids: tuple[str, ...]
    table_versions: tuple[tuple[str, str], ...]
    draws: int
    seed: int
    engine: str
    balances: int
    """Seasons of lanes that were run for this tree."""
    share_draws: npt.NDArray[np.float64]
    """(draws,) predicted share."""
    limit_draws: npt.NDArray[np.float64]
    """(6, draws) loss of each limit as a fraction; sums to 1 - share in every draw."""
    weights: npt.NDArray[np.float64]
    """(draws,) conditioned weights, sum 1; equal where nothing was observed."""
    doubts: tuple[str, ...] = ()
    """Keys of the words that say what was read beyond a formula's range and taken at its limit."""
    next_readings: tuple[NextReading, ...] = ()
    """The best for its minutes first; empty where too few draws are left to tell."""
    doubt_no_reading_removes: float | None = None
    """Share of the limits' variance that stays when all of `next_readings` are known without error, 0 to 1."""
    weather_told: tuple[str, ...] = ()
    """What is said of the weather it was run with: formula, distance, gauge, filled days, a typical year."""
    turned: tuple[Turned, ...] = ()
    """Laboratory readings that were turned into the way the model takes them, the tree's first."""
    signs: Signs | None = None
    """Causes outside the soil; their chance that there is none is the prior under `conditioned`."""
