"""What others found, as the table of findings holds it and `found_elsewhere` tells it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest

from rootcase.science.tank.claims import trial_found_difference
from rootcase.science.trials.findings import About, Finding, found_elsewhere
from rootcase.tables.load import table
from tests.published.vectors import Answer, Row, asserted, check

YEARS = "five years"
OURS = {
    "best_single_sign": "sign that best foretells whether a tree lives",
    "temperate_three_species": "sycamore maple, beech, English oak: impaired below",
    "leaf_N_at_25": "sycamore maple, beech, English oak: leaf nitrogen at 25, below",
    "cottonwood": "eastern cottonwood: short of nitrogen below",
    "red_maple_cultivars_chl": "12 red maple cultivars: correlation with chlorophyll",
    "red_maple_cultivars_N": "12 red maple cultivars: correlation with leaf nitrogen",
    "healthy": "earthworms of a healthy soil, more than",
    "sgr_found_when_collar_examined": "girdling roots found where a root collar was examined",
    "planted_too_deep": "trees planted too deep by professionals",
    "effect_sometimes_from": "depth of a buried root collar from which it sometimes tells",
    "nursery_6mo": "growth or roots colonized, five kinds in pots, six months",
    "dissolved_oxygen_mean": "oxygen, mean", "temperature_mean": "temperature, mean", "pH": "pH", "EC": "conductivity",
    "brew_time": "time of brewing", "bacteria": "bacteria", "fungi": "fungi", "ciliates": "ciliates",
    "flagellates": "flagellates", "amoebae": "amoebae", "nematodes": "nematodes",
    "dilution_water_parts_per_part": "water to a part of tea",
    "mulch": f"mulch, {YEARS}", "compost": f"compost, {YEARS}", "NPK": f"mineral fertilizer, {YEARS}",
    "ACT": f"aerated compost tea, {YEARS}", "commercial biological": f"commercial biological product, {YEARS}",
    "Percival2023|vertical mulching native soil": "dry mass of roots, vertical mulching with native soil, year 5",
    "Percival2023|vertical mulching biochar": "dry mass of roots, vertical mulching with biochar, year 5",
    "fert_establishment": "3 lb of nitrogen on 1000 square feet each year, three years",
    "root_crown_excavation": "root crown excavation, sites without effect",
    "biochar_meta": "biochar, mean gain in mass",
    "biostimulant_oak": "biostimulant on English oak, trunk and shoots, two seasons",
    "mycorrhiza_pin_oak": "mycorrhiza on pin oak of 13 cm, chlorophyll or trunk, twelve months",
    "mycorrhiza_tilia_y3": "mycorrhiza on silver linden, gain in shoots in year 3",
    "mycorrhiza_tilia_trunk": "mycorrhiza on silver linden, gain in trunk in four years",
    "Liriodendron tulipifera": "tulip tree, leader shorter over three years",
    "Quercus rubra": "red oak, leader shorter over three years",
    "Fraxinus americana": "white ash, leader shorter over three years",
    "Pinus strobus": "white pine, leader shorter over three years",
    "Juglans nigra": "black walnut, leader shorter over three years",
    "Quercus alba": "white oak, leader shorter over three years",
    "beds": "compost worked into the top 5 in of a bed", "turf": "compost worked into the top 6.25 in of turf",
    "under_2MPa": "share of tree roots in soil under 2 MPa", "under_3MPa": "share of tree roots in soil under 3 MPa",
    "most": "share of new roots above 9 degC",
}
"""Our name of each case of the collection."""
ABOUT: dict[str, About] = {
    "crown_survival": "crown_ratings", "spad": "leaf_meter", "earthworms": "ground", "frequency": "roots",
    "planting_depth": "roots", "act_effect": "compost_tea", "act_trial_brew": "compost_tea",
    "remedy_trial": "remedies", "growth_regulator": "growth_regulator", "compost_incorporation": "ground",
    "penetration": "roots", "root_temperature": "roots"}


def finding(row: Row) -> Finding:
    return next(each for each in found_elsewhere(ABOUT[row.topic]) if each.what == OURS[row.case])


def told(row: Row) -> Answer:
    """The figure, or the words where there is none."""
    ours = finding(row)
    return ours.told if ours.low is None else ours.low


def tea_differs(trial: str, otherwise: str) -> Callable[[Row], Answer]:
    return lambda _: "differs" if trial_found_difference(trial) else otherwise


def start_of_degree_days(_: Row) -> Answer:
    starts = {each["start"] for each in table("explain/pest_stages").rows if "New Hampshire" in each["source"]}
    assert len(starts) == 1
    day = date.fromisoformat(f"2015-{starts.pop()}")
    return f"{day.day} {day:%B}"


ELSEWHERE: dict[str, Callable[[Row], Answer]] = {
    "dilute_vs_water": tea_differs("laboratory_dilute", "none detected"),
    "field_5yr": tea_differs("field_five_years", "not significant"), "unh": start_of_degree_days}


@pytest.mark.parametrize("row", asserted("practice-findings.csv"))
def test_what_was_found_is_told(row: Row) -> None:
    check(row, {(row.topic, row.quantity): ELSEWHERE.get(row.case, told)})


def test_a_figure_has_its_unit_and_a_word_none() -> None:
    told = [each for about in ABOUT.values() for each in found_elsewhere(about)]
    assert [each.what for each in told if each.low is None and (each.unit or not each.told)] == []
    assert [each.what for each in told if each.low is not None and each.high is not None and each.low > each.high] == []
