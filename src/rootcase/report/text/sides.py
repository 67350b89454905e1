"""A tree's figures and its healthy kind's, side by side, each a result of its own: shoots, measures, soil."""

from __future__ import annotations

from collections.abc import Iterable

from rootcase.ground.quantity import show, show_interval
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.compare import TreeComparison
from rootcase.records.estimate import Estimate
from rootcase.records.explain import Explanation, SoilColumn, SoilLayer
from rootcase.records.observe import PropertyRecord, System
from rootcase.report.text.comparison import measure_row
from rootcase.report.text.figures import percent
from rootcase.report.text.naming import kind_name
from rootcase.report.text.result import Result
from rootcase.report.text.statements import of_tree

LENGTH, WATER, HARDNESS = ("in", "cm"), ("in", "mm"), ("psi", "MPa")
_KINDS = {"texture": ("texture_feel",), "hardness": ("probe_depth", "penetration_profile"),
          "reach": ("probe_depth", "penetration_profile", "texture_feel", "bulk_density", "organic_matter")}
"""Readings that decide what is said of a layer. By the model's equations, docs/model.md 1.1 to 1.4."""


def year_results(line: TreeComparison, label: str, record: PropertyRecord) -> dict[str, Result]:
    """Return the typical shoot of every year here and at the kind, and the share of the two."""
    known = {reading.id: reading for reading in record.readings}
    read = [known[each] for each in line.reading_ids if each in known]
    system, found = record.property.system, {}
    for year in line.years:
        own, theirs = (tuple(each.id for each in read if each.growth_year == year.year
                             and (each.of == line.tree_id) is here) for here in (True, False))
        what = say("report.side.shoot", year=year.year)
        for kind, estimate, readings in (("", year.tree_mm, own), (".kind", year.yardstick_mm, theirs)):
            if estimate:
                found[of_tree(line.tree_id, f"year.{year.year}{kind}")] = Result(
                    _of(kind, label, what), *_typical(estimate, system), readings=readings)
        if year.share:
            found[of_tree(line.tree_id, f"year.{year.year}.share")] = Result(
                say("report.mark.share_of", tree=label, year=year.year), *percent(year.share),
                readings=(*own, *theirs))
    return found


def measure_results(line: TreeComparison, label: str, record: PropertyRecord) -> dict[str, Result]:
    """Return each measure's value here and at the kind, and how far apart they are."""
    at = {reading.id: reading.of for reading in record.readings}
    found = {}
    for measure in line.measures:
        name, here, there, apart = measure_row(measure, record)
        about = of_tree(line.tree_id, f"measure.{measure.kind}")
        own, theirs = (tuple(each for each in measure.reading_ids if (at.get(each) == line.tree_id) is mine)
                       for mine in (True, False))
        found[about] = Result(say("report.mark.measure", tree=label, measure=name, here=here, there=there), apart, "",
                              readings=measure.reading_ids)
        for kind, value, figure, readings in (("", measure.tree_value, here, own),
                                              (".kind", measure.yardstick_value, there, theirs)):
            if value is not None:
                found[about + (kind or ".here")] = Result(_of(kind, label, kind_name(measure.kind)), figure, "",
                                                          readings=readings)
    return found


def soil_results(explanation: Explanation, label: str, record: PropertyRecord) -> dict[str, Result]:
    """Return what is said of the soil here and at the kind, as a whole and layer by layer."""
    own = {each for step in explanation.limits for each in step.rests_on}
    assumed = tuple(dict.fromkeys(kind for step in explanation.limits[:3] for kind in step.assumed))
    rests_on = frozenset(explanation.reading_ids)
    found: dict[str, Result] = {}
    for kind, column in (("", explanation.soil), (".kind", explanation.yardstick_soil)):
        readings = [each for each in record.readings if each.id in rests_on and (each.id in own) is (not kind)]
        for name, what, figure, interval in _told(column, record.property.system):
            kinds = _KINDS[name.rpartition(".")[2].replace("rootable", "hardness")]
            found[of_tree(explanation.tree_id, f"{name}{kind}")] = Result(
                _of(kind, label, what), figure, interval,
                readings=tuple(each.id for each in readings if each.kind in kinds),
                assumed=() if kind else tuple(each for each in assumed if each in kinds))
    return found


def depths_of(layer: SoilLayer, system: System) -> str:
    """Return from where to where a layer reaches."""
    unit = LENGTH[system == "metric"]
    top, bottom = (f"{convert(depth, 'm', unit):.0f}" for depth in (layer.top_m, layer.bottom_m))
    return say("case.soil.depths", top=top, bottom=bottom, unit=unit)


def _told(column: SoilColumn, system: System) -> Iterable[tuple[str, str, str, str]]:
    """Name, words, figure and interval of each."""
    depth, water = column.rootable_depth_m, column.water_in_reach_mm
    yield "rootable", say("report.side.rootable"), show(depth.mean, "m", system, LENGTH), _interval(
        depth, "m", system, LENGTH)
    yield "reach", say("report.side.reach"), show(water.mean, "mm", system, WATER), _interval(
        water, "mm", system, WATER)
    for at, layer in enumerate(column.layers):
        hard, depths = layer.resistance_mpa, depths_of(layer, system)
        yield (f"soil.{at}.texture", say("report.side.texture", depths=depths),
               say(f"section.texture.{layer.texture}"), "")
        yield (f"soil.{at}.hardness", say("report.side.hardness", depths=depths), show(hard.mean, "MPa", system),
               _interval(hard, "MPa", system, HARDNESS))
        yield (f"soil.{at}.reach", say("report.side.reach_in", depths=depths),
               show(layer.water_in_reach_mm, "mm", system), "")


def _typical(shoot: Estimate, system: System) -> tuple[str, str]:
    return show(shoot.median, "mm", system, LENGTH), _interval(shoot, "mm", system, LENGTH)


def _interval(value: Estimate, unit: str, system: System, units: tuple[str, str]) -> str:
    return show_interval(value.low, value.high, unit, system, (units[system == "metric"],) * 2)


def _of(kind: str, label: str, what: str) -> str:
    return say("report.mark.kind" if kind else "report.mark.here", tree=label, what=what)
