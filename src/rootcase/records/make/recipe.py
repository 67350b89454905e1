"""What goes into a heap, before it is built, and what the mix would come to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Three = tuple[float, float, float]
"""5, 50 and 95 % of what it may be."""
WATER = "water"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ingredient:
    """A material of a recipe."""

    material: str
    feedstock: str
    """Row of the library; empty where the practice's own figures stand for carbon and nitrogen."""
    moisture_pct: float
    carbon_pct: float
    nitrogen_pct: float
    density_kg_m3: float | None
    source: str
    mass_kg: float | None = None
    """Wet; None where it is to be found."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Goals:
    """What a mix should come to; None where nothing is asked."""

    moisture_pct: float | None = None
    carbon_nitrogen: float | None = None
    """Ratio of carbon to nitrogen by weight."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """Whole units of a material that lie in the yard."""

    ingredient: Ingredient
    most_units: int
    unit_cost: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """What volume may be left, by one rule."""

    rule: str
    low_m3: float
    high_m3: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Missed:
    """A goal that a mix does not come to."""

    goal: Literal["moisture", "carbon_nitrogen"]
    comes_to: float
    """Moisture in %, or carbon to nitrogen."""
    wished: float
    """As `comes_to`."""
    missing: Literal["dry", "carbon", "nitrogen"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """A mix, and what it comes to."""

    ingredients: tuple[Ingredient, ...]
    """Each with its mass; water to be added comes last."""
    found: tuple[int, ...]
    """Places of those whose mass was found and not told."""
    water_kg: float
    """Of it to be added."""
    mass_kg: float
    moisture_pct: Three
    carbon_nitrogen: Three
    goals: Goals
    too_wet: bool = False
    """Wetter than its goal without any water."""
    missed: tuple[Missed, ...] = ()
    """Goals that it does not come to, with what would bring it there."""
    volume_m3: float | None = None
    """As it lies before mixing; None where a density is missing."""
    density_kg_m3: float | None = None
    air_pct: float | None = None
    left: tuple[Left, ...] = ()
    units: tuple[int, ...] = ()
    """Of a mix from the yard: how many of each material."""
    cost: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class NoRecipe:
    """Why no amounts of the materials meet the goals."""

    goal: str
    moisture_pct: tuple[float, float] | None
    carbon_nitrogen: tuple[float, float] | None
    missing: tuple[str, ...]
