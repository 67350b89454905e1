"""A recipe in words: what to add, what it comes to, and why there is none."""

from __future__ import annotations

from rootcase.ground.quantity import System, number, show, show_interval
from rootcase.ground.words import say
from rootcase.records.make.recipe import WATER, Ingredient, NoRecipe, Recipe

_WEIGHT, _VOLUME, _DENSITY = ("lb", "kg"), ("yd3", "m3"), ("lb/yd3", "kg/m3")


def weight(kg: float, system: System) -> str:
    """A weight in the person's own system with the other behind it.

    >>> weight(48.7, "us"), weight(48.7, "metric")
    ('107 lb (48.7 kg)', '48.7 kg (107 lb)')
    """
    return show(kg, "kg", system, _WEIGHT, 3)


def recipe_finding(recipe: Recipe, system: System) -> str:
    """The goals that are missed first, then what to add, or what the mix comes to where nothing is to be added."""
    missed = [say(f"recipe.missed.{each.goal}", comes_to=number(each.comes_to, 3), wished=number(each.wished, 3),
                  what=say(f"recipe.kind.{each.missing}")) for each in recipe.missed]
    return " ".join([*missed, _adding(recipe, system)])


def _adding(recipe: Recipe, system: System) -> str:
    adds = [say("recipe.add_of", amount=weight(recipe.ingredients[at].mass_kg or 0.0, system),
                material=material_told(recipe.ingredients[at])) for at in recipe.found] if not recipe.units else []
    adds += [say("recipe.add_water", amount=weight(recipe.water_kg, system))] if recipe.water_kg > 0 else []
    if adds:
        return say("recipe.finding_add", adds=say("recipe.and").join(adds))
    if recipe.units:
        told = [say("recipe.units", count=f"{count:,}", material=material_told(each))
                for each, count in zip(recipe.ingredients, recipe.units, strict=False) if count]
        return say("recipe.finding_yard", units=", ".join(told), cost=number(recipe.cost))
    return say("recipe.finding_mix", moisture=number(recipe.moisture_pct[1]), ratio=number(recipe.carbon_nitrogen[1]))


def recipe_lines(recipe: Recipe, system: System) -> tuple[str, ...]:
    """What the mix comes to, a line each."""
    wet, ratio = ([number(each, 3) for each in three] for three in (recipe.moisture_pct, recipe.carbon_nitrogen))
    lines = [say("recipe.mass", amount=weight(recipe.mass_kg, system)),
             say("recipe.moisture", low=wet[0], middle=wet[1], high=wet[2]),
             say("recipe.ratio", low=ratio[0], middle=ratio[1], high=ratio[2])]
    if recipe.too_wet:
        lines.append(say("recipe.too_wet", goal=number(recipe.goals.moisture_pct)))
    if recipe.volume_m3 is None or recipe.density_kg_m3 is None:
        return (*lines, say("recipe.volume_unknown"))
    lines += [say("recipe.volume", volume=show(recipe.volume_m3, "m3", system, _VOLUME),
                  density=show(recipe.density_kg_m3, "kg/m3", system, _DENSITY))]
    lines += [say("recipe.air", air=number(recipe.air_pct))] if recipe.air_pct is not None else []
    lines += [say(f"recipe.left.{left.rule}", volume=show_interval(left.low_m3, left.high_m3, "m3", system, _VOLUME))
              for left in recipe.left]
    return tuple(lines)


def no_recipe_told(none: NoRecipe) -> tuple[str, ...]:
    """Why there is none, what the materials can give and what is missing."""
    what = say("recipe.and").join(say(f"recipe.kind.{each}") for each in none.missing)
    lines = [say(f"recipe.none.{none.goal}")]
    lines += [say("recipe.missing", what=what)] if what else []
    both = "_both" if none.goal == "both" else ""
    if none.moisture_pct is not None and none.goal in ("moisture", "both"):
        low, high = (number(each) for each in none.moisture_pct)
        lines.append(say(f"recipe.gives_moisture{both}", low=low, high=high))
    if none.carbon_nitrogen is not None and none.goal in ("carbon_nitrogen", "both"):
        low, high = (number(min(each, 1e6), 3) for each in none.carbon_nitrogen)
        lines.append(say(f"recipe.gives_ratio{both}", low=low, high=high))
    return tuple(lines)


def material_told(each: Ingredient) -> str:
    """A material as it is called."""
    return say("recipe.water") if each.material == WATER else each.material.replace("_", " ")
