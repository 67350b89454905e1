"""A recipe from what is typed: materials of the library or with the practice's figures, by bucket, volume or weight."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from math import isnan, nan
from types import MappingProxyType

from rootcase.casework.make.recipe import WATER_KG_M3, from_yard, volume_ends_m3, worked_out
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.errors import Missing, RootcaseError, UnreadableValue
from rootcase.ground.typed import Limits, Typed, read
from rootcase.ground.units import convert, convertible
from rootcase.ground.words import say
from rootcase.records.make.heap import HeapPart
from rootcase.records.make.recipe import WATER, Goals, Ingredient, NoRecipe, Recipe, Stock
from rootcase.records.observe import System
from rootcase.science.compost.feedstocks import Feedstock, rows_of
from rootcase.science.compost.material import carbon_from_ratio_pct
from rootcase.science.compost.reach import Bounds
from rootcase.services.heap import beside, heaps, line_perhaps

ROWS = 6
OWN = "own:"
"""What stands before a material whose figures the practice measured."""
NOTHING_OWN: Mapping[str, HeapPart] = MappingProxyType({})
CELLS = ("feedstock", "amount", "moisture", "nitrogen", "cn", "density", "have", "cost", "bought_from", "lot")
"""Of each material; a number and a point stand before: 1.feedstock."""
_BUCKETS = re.compile(r"(.*\S)\s*(?:buckets?|loads?)\.?", re.IGNORECASE)
_USUAL_BUCKET_GAL = 5.0
_MOST_KG, _MOST_M3 = 1e7, 1e4


@dataclass(frozen=True, slots=True)
class Worked:
    """A recipe, or why there is none; or what is wrong, by cell, under no name what is wrong with all of it."""

    recipe: Recipe | None = None
    none: NoRecipe | None = None
    wrong: dict[str, str] = field(default_factory=dict)


@cache
def library() -> tuple[Feedstock, ...]:
    """Every printed row, rows of one material beside each other."""
    return tuple(sorted(rows_of(""), key=lambda row: row.material))


def own_figures(book: Fieldbook) -> dict[str, HeapPart]:
    """What the practice measured of its materials when it built heaps with them, the newest of each."""
    built = sorted(heaps(book), key=lambda heap: heap.complete_at)
    return {part.material: part for heap in built for part in heap.parts
            if not part.feedstock and part.material != WATER}


def work_recipe(cells: Mapping[str, str], system: System, own: Mapping[str, HeapPart] = NOTHING_OWN) -> Worked:
    """Reckon a mix. cells: those of each material, bucket, goal_moisture, goal_cn; way "yard": volume as well.

    own: what the practice measured of its materials before, by material; chosen as own:leaves.
    """
    wrong: dict[str, str] = {}
    bucket = _bucket(cells, system, wrong)
    yard = cells.get("way") == "yard"
    numbers = [at for at in range(1, ROWS + 1) if cells.get(f"{at}.feedstock", "").strip()]
    found = {at: _ingredient(cells, at, bucket, system, own, wrong) for at in numbers}
    if not numbers:
        wrong["1.feedstock"] = say("recipe.no_material")
    try:
        told = {at: each for at, each in found.items() if each}
        result = (_yard if yard else _mix)(cells, told, bucket, system, wrong)
    except RootcaseError as error:
        wrong[""] = str(error)
        result = None
    if wrong or result is None:
        return Worked(wrong=wrong)
    return Worked(none=result) if isinstance(result, NoRecipe) else Worked(result)


def recipe_cells(cells: Mapping[str, str], recipe: Recipe, system: System) -> dict[str, str]:
    """The cells of a recipe with every amount filled in by weight, water added as a material, without what takes none.
    """
    box = "lb" if system == "us" else "kg"
    numbers = [at for at in range(1, ROWS + 1) if cells.get(f"{at}.feedstock", "").strip()]
    filled = {name: text for name, text in cells.items() if re.fullmatch(r"\d+\.\w+", name)}
    for at, each in zip([*numbers, next((n for n in range(1, ROWS + 2) if n not in numbers), ROWS + 1)],
                        recipe.ingredients, strict=False):
        if not each.mass_kg:
            filled = {name: text for name, text in filled.items() if not name.startswith(f"{at}.")}
            continue
        filled |= {f"{at}.feedstock": cells.get(f"{at}.feedstock", "").strip() or WATER,
                   f"{at}.amount": f"{convert(each.mass_kg, 'kg', box):.6g} {box}"}
    return filled


def parts_of(cells: Mapping[str, str], system: System, own: Mapping[str, HeapPart] = NOTHING_OWN
             ) -> tuple[HeapPart, ...]:
    """What goes into a heap by a recipe's cells, each with its amount; water is none."""
    wrong: dict[str, str] = {}
    bucket = _bucket(cells, system, wrong)
    parts = []
    for at in range(1, ROWS + 2):
        each = _ingredient(cells, at, bucket, system, own, wrong) if cells.get(f"{at}.feedstock", "").strip() else None
        if each is not None and each.mass_kg:
            parts.append(HeapPart(
                material=each.material, mass_kg=each.mass_kg, moisture_pct=each.moisture_pct,
                carbon_pct=each.carbon_pct, nitrogen_pct=each.nitrogen_pct, feedstock=each.feedstock,
                source=each.source, bought_from=line_perhaps(cells, f"{at}.bought_from", wrong),
                lot=line_perhaps(cells, f"{at}.lot", wrong)))
    if wrong:
        name = next(iter(wrong)).partition(".")[2]
        where = say(f"heap.page.{name}") if name in ("bought_from", "lot") else ""
        raise Missing(next(iter(wrong.values())), where=where, right=say("recipe.right_parts"))
    return tuple(parts)


def _mix(cells: Mapping[str, str], found: Mapping[int, Ingredient], bucket: float, system: System,
         wrong: dict[str, str]) -> Recipe | NoRecipe | None:
    goals = Goals(moisture_pct=_number(cells, "goal_moisture", 0.0, 95.0, wrong),
                  carbon_nitrogen=_number(cells, "goal_cn", 1.0, 2000.0, wrong))
    return None if wrong else worked_out(tuple(found.values()), goals)


def _yard(cells: Mapping[str, str], found: Mapping[int, Ingredient], bucket: float, system: System,
          wrong: dict[str, str]) -> Recipe | NoRecipe | None:
    goal = Bounds(_band(cells, "goal_moisture", 0.0, 100.0, wrong), _band(cells, "goal_cn", 1.0, 2000.0, wrong))
    try:
        volume = read(cells.get("volume", ""))
        ends = _ends(volume, "yd3" if system == "us" else "m3") if volume else None
    except RootcaseError as error:
        wrong["volume"] = beside(error)
        return None
    if ends is None or not 0 < ends[0] <= ends[1] <= _MOST_M3:
        wrong["volume"] = say("recipe.no_volume")
    wrong |= {f"{at}.have": say("recipe.no_buckets_there") for at in found if not cells.get(f"{at}.have", "").strip()}
    stock = [Stock(ingredient=each, most_units=int(_number(cells, f"{at}.have", 0.0, 1e5, wrong) or 0),
                   unit_cost=_number(cells, f"{at}.cost", 0.0, 1e6, wrong) or 0.0) for at, each in found.items()]
    return None if wrong or ends is None else from_yard(stock, goal, bucket, ends)


def _ends(typed: Typed, box: str) -> tuple[float, float]:
    """A range in m3, also of one number."""
    turned = typed.to("m3", box)
    if turned.low is not None and turned.high is not None:
        return turned.low, turned.high
    return volume_ends_m3(turned.value or 0.0)


def _ingredient(cells: Mapping[str, str], at: int, bucket: float, system: System, own: Mapping[str, HeapPart],
                wrong: dict[str, str]) -> Ingredient | None:
    """A material with its amount, its figures those that the practice measured where it did."""
    name = cells[f"{at}.feedstock"].strip()
    known = _known(name, own)
    if known is None:
        wrong[f"{at}.feedstock"] = say("recipe.no_feedstock")
        return None
    typed = {cell: _number(cells, f"{at}.{cell}", 0.0, most, wrong)
             for cell, most in (("moisture", 100.0), ("nitrogen", 20.0), ("cn", 2000.0))}
    density = _density(cells, at, system, wrong) or known.density_kg_m3
    mass = _mass(cells, f"{at}.amount", density, bucket, system, wrong)
    if known.material == WATER:
        return replace(known, mass_kg=mass)
    moisture = known.moisture_pct if typed["moisture"] is None else typed["moisture"]
    nitrogen = known.nitrogen_pct if typed["nitrogen"] is None else typed["nitrogen"]
    if isnan(moisture):
        wrong[f"{at}.moisture"] = say("recipe.no_moisture")
    carbon = known.carbon_pct
    measured = typed["nitrogen"] is not None or typed["cn"] is not None
    if typed["cn"] is not None:
        try:
            carbon = float(carbon_from_ratio_pct(nitrogen, typed["cn"]))
        except RootcaseError as error:
            wrong[f"{at}.cn"] = beside(error)
    if any(key.startswith(f"{at}.") for key in wrong):
        return None
    return replace(known, moisture_pct=moisture, carbon_pct=carbon, nitrogen_pct=nitrogen, density_kg_m3=density,
                   mass_kg=mass, feedstock="" if measured else known.feedstock,
                   source=say("recipe.own_figures") if measured else known.source)


def _known(name: str, own: Mapping[str, HeapPart]) -> Ingredient | None:
    """A material as its row prints it, as the practice measured it before, or water."""
    if name == WATER:
        return Ingredient(material=WATER, feedstock="", moisture_pct=100.0, carbon_pct=0.0, nitrogen_pct=0.0,
                          density_kg_m3=WATER_KG_M3, source="")
    if name.startswith(OWN):
        part = own.get(name.removeprefix(OWN))
        return None if part is None else Ingredient(
            material=part.material, feedstock="", moisture_pct=part.moisture_pct, carbon_pct=part.carbon_pct,
            nitrogen_pct=part.nitrogen_pct, density_kg_m3=None, source=part.source)
    row = next((each for each in library() if each.feedstock == name), None)
    if row is None:
        return None
    nitrogen, moisture = row.nitrogen_pct[1] or 0.0, row.moisture_pct[1]
    return Ingredient(material=row.material, feedstock=row.feedstock, nitrogen_pct=nitrogen, source=row.source,
                      moisture_pct=nan if moisture is None else moisture, density_kg_m3=row.density_kg_m3[1],
                      carbon_pct=float(carbon_from_ratio_pct(nitrogen, row.carbon_nitrogen[1] or 0.0)))


def _mass(cells: Mapping[str, str], name: str, density: float | None, bucket: float, system: System,
          wrong: dict[str, str]) -> float | None:
    """An amount in kg: by weight, by volume or by bucket; None where it is left open."""
    text = cells.get(name, "").strip()
    try:
        buckets = _BUCKETS.fullmatch(text)
        typed = read(buckets[1] if buckets else text)
        if typed is None:
            return None
        box = "lb" if system == "us" else "kg"
        if typed.value is None or typed.sign != "=":
            raise UnreadableValue(say("recipe.one_amount"), value=f'"{text[:60]}"', right=say("recipe.right_amount"))
        if buckets or (typed.unit is not None and convertible(typed.unit, "m3")):
            volume = typed.value * bucket if buckets else typed.to("m3", "m3").value or 0.0
            if density is None:
                raise Missing(say("recipe.no_density"), value=f'"{text[:60]}"', right=say("recipe.right_density"))
            mass = volume * density
        else:
            mass = typed.to("kg", box).value or 0.0
    except RootcaseError as error:
        wrong[name] = beside(error)
        return None
    if not 0 <= mass <= _MOST_KG:
        wrong[name] = say("recipe.under_nothing" if mass < 0 else "recipe.no_such_amount")
    return mass


def _density(cells: Mapping[str, str], at: int, system: System, wrong: dict[str, str]) -> float | None:
    box = "lb/yd3" if system == "us" else "kg/m3"
    name = f"{at}.density"
    try:
        typed = read(cells.get(name, ""), Limits(1.0, 2500.0, "kg/m3", box))
        value = None if typed is None else typed.to("kg/m3", box).value
    except RootcaseError as error:
        wrong[name] = beside(error)
        return None
    if typed is not None and (value is None or not 1.0 <= value <= 2500.0):
        wrong[name] = say("recipe.no_such_density")
    return value


def _bucket(cells: Mapping[str, str], system: System, wrong: dict[str, str]) -> float:
    """What a bucket holds, in m3; the usual one where nothing is told or what is told is wrong."""
    text, box = cells.get("bucket", "").strip(), "gal" if system == "us" else "L"
    usual = convert(_USUAL_BUCKET_GAL, "gal", "m3")
    try:
        typed = read(text)
        if typed is None:
            return usual
        liters = typed.to("L", box).value
        if liters is None or not 0.1 <= liters <= 10_000:
            wrong["bucket"] = say("recipe.no_bucket")
        else:
            return convert(liters, "L", "m3")
    except RootcaseError as error:
        wrong["bucket"] = beside(error)
    return usual


def _number(cells: Mapping[str, str], name: str, low: float, high: float, wrong: dict[str, str]) -> float | None:
    """A plain number inside its ends, in % where it has a unit; None where the cell is empty."""
    try:
        typed = read(cells.get(name, ""), Limits(low, high, "%", "%"))
    except RootcaseError as error:
        wrong[name] = beside(error)
        return None
    if typed is None:
        return None
    if typed.value is None or typed.sign != "=" or typed.unit not in (None, "%") or not low <= typed.value <= high:
        wrong[name] = say("recipe.no_number", low=f"{low:g}", high=f"{high:g}")
    return typed.value


def _band(cells: Mapping[str, str], name: str, low: float, high: float, wrong: dict[str, str]
          ) -> tuple[float, float] | None:
    """A range such as 50-60; None where the cell is empty."""
    try:
        typed = read(cells.get(name, ""))
    except RootcaseError as error:
        wrong[name] = beside(error)
        return None
    if typed is None:
        return None
    if typed.low is None or typed.high is None or not low <= typed.low <= typed.high <= high:
        wrong[name] = say("recipe.no_band", low=f"{low:g}", high=f"{high:g}")
        return None
    return typed.low, typed.high
