"""A recipe: what is there, what is to be found, and what the mix comes to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from rootcase.casework.draws import stream
from rootcase.casework.make.heap import spread_of
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.make.heap import HeapPart
from rootcase.records.make.recipe import WATER, Goals, Ingredient, Left, Missed, NoRecipe, Recipe, Stock
from rootcase.science.compost import material as matter
from rootcase.science.compost.density import free_air_space_by_density_pct, volume_left_m3
from rootcase.science.compost.goals import Solved, second_for_carbon_nitrogen, second_for_moisture, two_for_both
from rootcase.science.compost.material import Material, organic_from_carbon_pct, stacked
from rootcase.science.compost.mix import as_one, mix_carbon_nitrogen, mix_moisture_pct, water_to_add_kg
from rootcase.science.compost.reach import Bounds, Reach
from rootcase.science.compost.spread import Spread, mix_interval
from rootcase.science.compost.yard import Yard, cheapest
from rootcase.tables.load import table

WATER_KG_M3 = 1000.0
_MORE = 1.1
"""Whole buckets seldom come to a volume exactly: a tenth more is let pass. JUDGEMENT."""
NEAR_RATIO = 0.5
"""So near to the C:N wished for a mix is at its goal. JUDGEMENT."""


def worked_out(ingredients: Sequence[Ingredient], goals: Goals) -> Recipe | NoRecipe:
    """What do materials come to, and how much of those left open brings them to their goals?

    Parameters
    ----------
    ingredients : at least one with its mass [kg]; at most two whose mass is None
    goals : moisture [%] and carbon to nitrogen [-]

    Returns
    -------
    Recipe with every mass; or NoRecipe, what the materials can give and what is missing.

    Raises
    ------
    Missing : nothing is there, or more amounts are open than goals were given.
    OutOfRange, ImpossibleValue : a figure cannot be, or two materials pull the mix the same way.

    Notes
    -----
    With no amount open water brings a mix that is too dry to its moisture, and a goal that is not come to is `missed`.
    With one open and both goals water is the second one. With one open and one goal, it is brought to that goal.

    References
    ----------
    `rootcase.science.compost.goals`, `rootcase.science.compost.mix.water_to_add_kg`.

    Examples
    --------
    >>> straw = Ingredient(material="straw", feedstock="", moisture_pct=12.0, carbon_pct=56.0, nitrogen_pct=0.7,
    ...                    density_kg_m3=None, source="", mass_kg=100.0)
    >>> food = Ingredient(material="food", feedstock="", moisture_pct=70.0, carbon_pct=36.0, nitrogen_pct=2.4,
    ...                   density_kg_m3=None, source="")
    >>> found = worked_out([straw, food], Goals(moisture_pct=60.0, carbon_nitrogen=30.0))
    >>> round(found.ingredients[1].mass_kg, 1), round(found.water_kg, 1)
    (285.2, 48.7)
    """
    open_ = [at for at, each in enumerate(ingredients) if each.mass_kg is None]
    asked = [goal for goal in (goals.moisture_pct, goals.carbon_nitrogen) if goal is not None]
    if len(open_) == len(ingredients):
        raise Missing(say("recipe.nothing_there"), right=say("recipe.right_there"))
    if len(open_) > len(asked):
        raise Missing(say("recipe.too_open"), value=str(len(open_)), right=say("recipe.right_open"))
    if not open_:
        return _told(ingredients, (), _water(ingredients, goals), goals)
    solved, with_water = _solved(ingredients, open_, goals)
    if solved.mass_kg is None:
        return _refused(solved.reach)
    masses = dict(zip(open_, solved.mass_kg if with_water or len(open_) == 2 else solved.mass_kg[1:], strict=False))
    full = [replace(each, mass_kg=masses.get(at, each.mass_kg)) for at, each in enumerate(ingredients)]
    return _told(full, tuple(open_), solved.mass_kg[1] if with_water else 0.0, goals)


def from_yard(stock: Sequence[Stock], goal: Bounds, unit_m3: float, volume_m3: tuple[float, float]
              ) -> Recipe | NoRecipe:
    """Which whole units of what lies in the yard meet the goals at least cost?

    Parameters
    ----------
    stock : each with its density [kg m-3]; water has no volume of its own
    goal : bands of moisture [%] and carbon to nitrogen [-]
    unit_m3 : of a bucket or a bucket of a loader. [m3], above 0
    volume_m3 : least and most put in. [m3]

    Returns
    -------
    Recipe with the units of each and their cost; or NoRecipe.

    Raises
    ------
    Missing : a material has no density.
    OutOfRange : a figure leaves its range.

    Notes
    -----
    The least cost is proved.

    References
    ----------
    `rootcase.science.compost.yard.cheapest`.

    Examples
    --------
    >>> def lies(name, density, moisture, carbon, nitrogen, most, cost):
    ...     return Stock(ingredient=Ingredient(material=name, feedstock="", moisture_pct=moisture, carbon_pct=carbon,
    ...                                        nitrogen_pct=nitrogen, density_kg_m3=density, source=""),
    ...                  most_units=most, unit_cost=cost)
    >>> yard = [lies("straw", 135.0, 12.0, 56.0, 0.7, 60, 1.0), lies("food", 420.0, 70.0, 36.0, 2.4, 40, 0.0),
    ...         lies("water", 1000.0, 100.0, 0.0, 0.0, 20, 0.0)]
    >>> found = from_yard(yard, Bounds((50.0, 60.0), (25.0, 40.0)), 0.02, (1.0, 1.1))
    >>> found.units[:2], round(found.cost, 2)
    ((20, 30), 20.0)
    """
    if lacking := [each.ingredient.material for each in stock if each.ingredient.density_kg_m3 is None]:
        raise Missing(say("recipe.no_density"), value=", ".join(lacking), right=say("recipe.right_density"))
    parts = [each.ingredient for each in stock]
    mass = np.array([(part.density_kg_m3 or 0.0) * unit_m3 for part in parts])
    volume = [0.0 if part.material == WATER else unit_m3 for part in parts]
    yard = Yard(mass, volume, [each.unit_cost for each in stock], [each.most_units for each in stock], _matter(parts))
    mix = cheapest(yard, goal, volume_m3)
    if mix.units is None:
        return _refused(mix.reach)
    taken = [replace(part, mass_kg=float(kg * count)) for part, kg, count in zip(parts, mass, mix.units, strict=True)]
    found = _told(taken, tuple(range(len(taken))), 0.0, Goals())
    return replace(found, units=tuple(mix.units.tolist()), cost=mix.cost)


def volume_ends_m3(wanted_m3: float) -> tuple[float, float]:
    """Between which volumes may a mix of whole buckets lie, where one volume was wanted?

    Parameters
    ----------
    wanted_m3 : at least this much. [m3], above 0

    Returns
    -------
    (least, most) : the volume wanted, and a tenth more. [m3]

    Raises
    ------
    Nothing.

    Notes
    -----
    Who wants other ends gives a range.

    References
    ----------
    None: the tenth is JUDGEMENT.

    Examples
    --------
    >>> volume_ends_m3(2.0)
    (2.0, 2.2)
    """
    return wanted_m3, _MORE * wanted_m3


def _solved(ingredients: Sequence[Ingredient], open_: Sequence[int], goals: Goals) -> tuple[Solved, bool]:
    """The masses, and whether the second is of water to be added."""
    there = [each for each in ingredients if each.mass_kg is not None]
    mass = np.array([each.mass_kg for each in there], dtype=np.float64)
    unknown = [_one(ingredients[at]) for at in open_]
    if goals.moisture_pct is not None and goals.carbon_nitrogen is not None:
        pair = (unknown[0], unknown[1] if len(unknown) == 2 else matter.WATER)
        return two_for_both(mass, _matter(there), pair, goals.moisture_pct, goals.carbon_nitrogen), len(unknown) == 1
    whole, first = as_one(mass, _matter(there))
    if goals.moisture_pct is not None:
        return second_for_moisture(whole, first, unknown[0], goals.moisture_pct), False
    return second_for_carbon_nitrogen(whole, first, unknown[0], goals.carbon_nitrogen or 0.0), False


def _water(ingredients: Sequence[Ingredient], goals: Goals) -> float:
    """What a mix that is too dry wants."""
    mass = np.array([each.mass_kg for each in ingredients], dtype=np.float64)
    moisture = float(mix_moisture_pct(mass, _matter(ingredients).moisture_pct))
    if goals.moisture_pct is None or moisture >= goals.moisture_pct:
        return 0.0
    return float(water_to_add_kg(mass.sum(), moisture, goals.moisture_pct))


def _told(ingredients: Sequence[Ingredient], found: tuple[int, ...], water_kg: float, goals: Goals) -> Recipe:
    wet = Ingredient(material=WATER, feedstock="", moisture_pct=100.0, carbon_pct=0.0, nitrogen_pct=0.0,
                     density_kg_m3=WATER_KG_M3, source="", mass_kg=water_kg)
    whole = (*ingredients, wet) if water_kg > 0 else tuple(ingredients)
    mass = np.array([each.mass_kg for each in whole], dtype=np.float64)
    spreads = [spread_of(_as_part(each)) for each in whole]
    ends = (stacked(tuple(getattr(each, end) for each in spreads)) for end in Spread._fields)
    interval = mix_interval(mass, Spread(*ends), stream(0, "recipe"))
    all_ = _matter(whole)
    moisture, ratio = float(mix_moisture_pct(mass, all_.moisture_pct)), float(mix_carbon_nitrogen(mass, all_))
    too_wet = goals.moisture_pct is not None and moisture > goals.moisture_pct + 0.05
    recipe = Recipe(ingredients=whole, found=found, water_kg=water_kg, mass_kg=float(mass.sum()), goals=goals,
                    moisture_pct=_middle(interval.moisture_pct, moisture),
                    carbon_nitrogen=_middle(interval.carbon_nitrogen, ratio),
                    too_wet=too_wet, missed=_missed(goals, moisture if too_wet else None, ratio))
    return _with_volume(recipe, as_one(mass, all_)[1])


def _missed(goals: Goals, too_moist_pct: float | None, ratio: float) -> tuple[Missed, ...]:
    """With every amount told, water can bring the moisture up, and nothing brings the C:N anywhere."""
    found: list[Missed] = []
    if goals.carbon_nitrogen is not None and abs(ratio - goals.carbon_nitrogen) > NEAR_RATIO:
        found.append(Missed(goal="carbon_nitrogen", comes_to=ratio, wished=goals.carbon_nitrogen,
                            missing="nitrogen" if ratio > goals.carbon_nitrogen else "carbon"))
    if goals.moisture_pct is not None and too_moist_pct is not None:
        found.append(Missed(goal="moisture", comes_to=too_moist_pct, wished=goals.moisture_pct, missing="dry"))
    return tuple(found)


def _with_volume(recipe: Recipe, whole: Material) -> Recipe:
    """Water fills what air there is and adds no volume."""
    parts = [each for each in recipe.ingredients if each.material != WATER]
    if any(each.density_kg_m3 is None for each in parts) or not parts:
        return recipe
    volume = sum((each.mass_kg or 0.0) / (each.density_kg_m3 or 1.0) for each in parts)
    density = recipe.mass_kg / volume
    air = None if density > 1000.0 else float(free_air_space_by_density_pct(
        density, whole.moisture_pct, organic_from_carbon_pct(whole.carbon_pct)))
    left = []
    for row in table("compost/shrink").rows:
        low, high = volume_left_m3(volume, row["rule"])
        left.append(Left(rule=row["rule"], low_m3=float(low), high_m3=float(high)))
    return replace(recipe, volume_m3=volume, density_kg_m3=density, air_pct=air, left=tuple(left))


def _middle(ends: tuple[float, float, float], middle: float) -> tuple[float, float, float]:
    """The ends of the draws beside the figure of the middles, which is what the goals were solved for."""
    return min(ends[0], middle), middle, max(ends[2], middle)


def _refused(reach: Reach | None) -> NoRecipe:
    assert reach is not None
    return NoRecipe(goal=reach.goal, moisture_pct=reach.moisture_pct, carbon_nitrogen=reach.carbon_nitrogen,
                    missing=reach.missing)


def _as_part(each: Ingredient) -> HeapPart:
    return HeapPart(material=each.material, mass_kg=each.mass_kg or 0.0, moisture_pct=each.moisture_pct,
                    carbon_pct=each.carbon_pct, nitrogen_pct=each.nitrogen_pct, feedstock=each.feedstock)


def _one(each: Ingredient) -> Material:
    return Material(each.moisture_pct, each.carbon_pct, each.nitrogen_pct)


def _matter(parts: Sequence[Ingredient]) -> Material:
    return stacked(tuple(_one(each) for each in parts))
