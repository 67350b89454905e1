"""Every formula of the trade through its door: as its docstring says, with units, doubts, tables and slips."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from rootcase.cli.calc import calc
from rootcase.ground.errors import RootcaseError
from rootcase.services.calculators.example import called_with, example_pairs
from rootcase.services.calculators.inner import INNER
from rootcase.services.calculators.shelf import SUBJECTS, calculators
from rootcase.services.calculators.working import flat
from tests.house.test_docstrings import FUNCTIONS

ALL = calculators()
LEFT_OUT = {
    "compost.feedstocks.printed_spread", "compost.goals.two_for_both", "compost.heat.judge", "compost.heat.lethality",
    "compost.heat_log.probes", "compost.heat_rules.starts_within", "compost.material.stacked", "compost.reach.reach",
    "compost.reach.rows", "compost.spread.mix_interval", "compost.yard.cheapest",
    "microscope.combining.product_limits_drawn", "microscope.nematodes.community_indices",
    "microscope.nematodes.feeding_group_shares", "soil.by_class.figures_by_name", "trials.believed.believed_after",
    "trials.cells.cells_of", "trials.freedom.kenward_roger", "trials.freedom.satterthwaite",
    "trials.freedom.spread_is_left",
    "trials.power.least_difference", "trials.power.trees_for_power", "trials.reml.bend_of", "trials.reml.fit_reml",
    "trials.reml.profile_of", "trials.reml.told_apart", "trials.several.together_in_groups",
    "water.reference_et_compiled.evaporate_mm_day",
}
"""They take a log, a model's parts, a random generator or another formula, which nobody types."""


def run(*arguments: str) -> Result:
    return CliRunner().invoke(calc, arguments)


def answered(*arguments: str) -> dict[str, Any]:
    done = run(*arguments, "--json")
    assert done.exception is None, done.exception
    return json.loads(done.stdout)  # type: ignore[no-any-return]


@pytest.mark.parametrize("name", list(ALL))
def test_the_docstring_s_example_goes_through_the_door(name: str) -> None:
    _, given = called_with(ALL[name])
    pairs = [f"{entry}={typed}" for entry, typed in example_pairs(ALL[name]).items()]
    found = {each["name"]: each["value"] for each in answered(name, *pairs)["answer"]}
    expected = dict(flat(given))
    assert found.keys() == expected.keys()
    for figure, value in expected.items():
        same(found[figure], value)
    in_words = run(name, *pairs)
    assert in_words.exception is None, in_words.exception
    assert in_words.stdout.startswith(ALL[name].question[:20])


def same(one: Any, other: Any) -> None:
    if isinstance(other, list):
        assert len(one) == len(other)
        for each in zip(one, other, strict=True):
            same(*each)
    elif isinstance(other, float) and not math.isfinite(other):
        assert one is None
    elif isinstance(other, float):
        assert math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-12)
    else:
        assert one == other


DOSE = ("neutraliser_g", "dose=2.5", "tested=total")


def test_units_are_typed_as_people_type_them() -> None:
    """100 gal of 2 ppm at 2.5 to 1: 378.5412 L x 2 mg/L x 2.5."""
    found = answered(*DOSE, "volume=100 gal", "chlorine-mg-l=2ppm")
    assert found["answer"] == [{"name": "", "value": pytest.approx(1.892706, abs=1e-6), "unit": "g", "low": None,
                                "high": None}]
    assert answered("saturation_vapour_pressure_kpa", "temperature=68 F")["answer"][0]["value"] == pytest.approx(
        answered("saturation_vapour_pressure_kpa", "temperature=20")["answer"][0]["value"])


def test_an_answer_stands_in_both_systems() -> None:
    assert "0.06676 oz (1.893 g)" in run(*DOSE, "volume=100gal", "chlorine=2").stdout
    assert "1.893 g (0.06676 oz)" in run(*DOSE, "volume=100gal", "chlorine=2", "--units", "metric").stdout


@pytest.mark.property
@pytest.mark.parametrize("typed", ["2+-0.5", "2 ± 0.5 mg/L", "1.5 to 2.5"])
def test_a_doubt_goes_through_a_product_as_it_is(typed: str) -> None:
    found = answered(*DOSE, "volume=1000", f"chlorine={typed}")["answer"][0]
    assert found["value"] == pytest.approx(5.0)
    assert found["low"] == pytest.approx(3.75, abs=0.1)
    assert found["high"] == pytest.approx(6.25, abs=0.1)


def test_how_far_a_temperature_may_be_off_is_a_difference() -> None:
    """9 F of doubt are 5 C, not -13."""
    one, other = (answered("saturation_vapour_pressure_kpa", f"temperature={typed}")["answer"][0]
                  for typed in ("68+-9 F", "20+-5 C"))
    assert one["low"] == pytest.approx(other["low"])
    assert one["low"] < 2.0 < one["high"]


def test_a_word_that_is_not_sure_is_told_with_how_often_it_came() -> None:
    shares = answered("salt_class", "ece=4+-0.5", "esp=5")["shares"]
    assert len(shares[""]) == 2
    assert sum(shares[""].values()) == pytest.approx(1.0)


@pytest.mark.parametrize(("typed", "told"), [
    (("drenched",), "there is no sum of this name (got drenched); near it: drench_l"),
    (("single_sine_degree_days_c", "t=1"), "single_sine_degree_days_c: this sum does not ask for that, or for more"),
    ((*DOSE, "volume=1000"), "not told: chlorine_mg_l; chlorine_mg_l=a number in mg/L, 0 to 50"),
    ((*DOSE, "volume=1000", "chlorine=2 psi"), "chlorine_mg_l: psi cannot become mg/L (got \"2 psi\"); type a number"),
    ((*DOSE, "volume=1000", "chlorine=200"), "chlorine_mg_l is outside its range (got 200 mg/L); it must lie between"),
    ((*DOSE, "volume=1000", "chlorine=much"), "chlorine_mg_l: this is not a value (got \"much\"); type a number"),
    ((*DOSE, "volume=1000", "colour=red"), "neutraliser_g: this sum does not ask for that"),
    (("neutraliser_g", "volume=1", "chlorine=1", "dose=2", "tested=maybe"), "tested: none of the words it may be ("),
    ((*DOSE, "volume"), "no name and value (got volume); write name=value"),
    ((*DOSE, "dose=3"), "told twice (got dose=3)"),
    (("hole_count", "area_m2=1;2;3", "spacing_m=1;2", "grid=square"), "these figures do not go together"),
    (("level_of_look", "level=0.9", "look=1.5"), "look: no whole number (got \"1.5\"); type a number"),
])
def test_a_slip_gets_one_line_that_says_what_would_be_right(typed: tuple[str, ...], told: str) -> None:
    done = run(*typed)
    assert isinstance(done.exception, RootcaseError)
    line = str(done.exception)
    assert line.startswith(told)
    assert "\n" not in line


def test_a_table_is_worked_row_by_row_and_says_which_rows_have_no_answer(tmp_path: Path) -> None:
    table = tmp_path / "vats.csv"
    table.write_text("vat,volume_l,chlorine_mg_l\nA,100 gal,2\nB,100 gal,much\n", encoding="utf-8")
    done = run(*DOSE, "--csv", str(table))
    assert done.exit_code == 1
    heading, first, second = done.stdout.splitlines()
    assert heading == "vat,volume_l,chlorine_mg_l,neutraliser_g (oz),neutraliser_g (g),wrong"
    assert first == "A,100 gal,2,0.06676323561615466,1.892705892,"
    assert second.startswith('B,100 gal,much,,,"chlorine_mg_l: this is not a value')


def test_all_are_listed_by_subject_and_found_by_words() -> None:
    listed = run().stdout
    assert f"{len(ALL)} sums." in listed
    assert all(f"{name}: " in listed for name in ALL)
    assert "neutraliser_g" in run("--find", "chlorine vat").stdout
    assert run("--find", "moonshine").stdout.startswith("\nNo sum speaks of")


@pytest.mark.parametrize(("words", "name"), [
    ("dbh", "years_to_root_in"), ("fence", "protection_radius_m"), ("vitamin C", "told_dose_mg_mg"),
    ("neutralizer", "neutraliser_g"), ("crawlers", "pest_stages"), ("liters hole", "litres_per_hole"),
])
def test_words_of_the_yard_find_what_the_sums_call_otherwise(words: str, name: str) -> None:
    assert f"\n{name}: " in run("--find", words).stdout


def test_a_sum_says_what_it_asks_for_with_an_example_that_runs() -> None:
    told = run("neutraliser_g").stdout
    assert "chlorine_mg_l: total chlorine as Cl2: a number in mg/L, 0 to 50" in " ".join(told.split())
    command = " ".join(told.split("Such as: rootcase calc ")[1].split())
    assert "5 g" in run(*command.split()).stdout


def test_every_formula_of_the_trade_is_there_or_is_asked_for_what_nobody_types() -> None:
    """Left out are those that take a log, a model's parts or another program's arrays."""
    offered = {f"{each.module}.{each.name}" for each in ALL.values()}
    left = {name.removeprefix("rootcase.science.") for name in FUNCTIONS.keys() - offered
            if name.startswith(tuple(f"rootcase.science.{subject}." for subject in SUBJECTS))}
    assert INNER.keys() <= left
    assert {each for each in left if not each.startswith("tree.")} - INNER.keys() == LEFT_OUT


def test_names_may_be_told_in_part_where_only_one_has_it() -> None:
    assert answered("drench", "area=100", "rate=2")["sum"] == "drench_l"
    assert answered("single-sine-degree-days-c", "min=50F", "max=75F", "base=50F")["taken"] == {
        "t_min_c": 10.0, "t_max_c": pytest.approx(23.8889, abs=1e-4), "base_c": 10.0}


@pytest.mark.parametrize(("typed", "value", "unit"), [
    (("layer_volume_m3", "area=1,000 ft2", 'depth=3"'), 7.079211648, "m3"),
    (("layer_volume_m3", "area=1/2 acre", "depth=3 in"), 154.1852297, "m3"),
    (("soil_temperature_c", "day=20", "depth=0", "mean=50F", "amplitude=18 F", "coldest=20", "diffusivity=5e-7"), 0.0,
     "degC"),
    (("field_diameter_mm", "field_number=18", "objective=40x"), 0.45, "mm"),
    (("compost_by_volume_kg", "volume=100L", "compost_per_water=1:10", "density=0.6"), 6.0, "kg"),
    (("density_limits", "sand=40%", "clay=20%"), 1.4, "Mg/m3"),
    (("drench_l", "area=1000 sq ft", "rate=2.5 gal/1000ft2"), 9.463529, "L"),
    (("litres_per_hole", "rate=120gal/900 sq ft", "spacing=2.5ft", "grid=square"), 3.154510, "L"),
    (("hours_to_floor", "oxygen=8.2 ppm", "floor=6ppm", "uptake=4 ppm/h"), 0.55, "h"),
    (("smear_per_gram", "mean=12", "fields=5000/cm2", "dry=0.00001 g/cm2"), 6e9, "1/g dry"),
    (("carbon_from_ratio_pct", "nitrogen_pct=2.4%", "carbon_nitrogen=20:1"), 48.0, "%"),
    (("years_to_root_in", "trunk=4in", "hardiness_zone=6a"), 4.0, "year"),
    (("number_per_ml", "mean_count=18", "volume=6e-7", "dilution=1:1000"), 3e10, "1/mL"),
    (("relative_yield_pct", "ece=4.2", "threshold=1.5", "slope=18%"), 51.4, "%"),
    (("fertilizer_closed", "law=new_york", "month=Dec", "day=5"), True, ""),
    (("paste_salt", "ec=0.9 mmhos/cm", "extract=1:2", "texture=medium"), 1.755, "dS/m"),
    (("handbook_available_water_mm_m", "texture=Silt loam", "by=nrcs"), 125.0, "mm/m"),
    (("sd_of_change", "tree_year_sd=1.2in", "shoot_sd=2.5 in", "shoots=5", "years_before=2", "years_after=3"),
     1.4972196, "its unit"),
])
def test_us_spellings_are_read_as_they_are_meant(typed: tuple[str, ...], value: float, unit: str) -> None:
    first = answered(*typed)["answer"][0]
    assert (first["value"], first["unit"]) == (pytest.approx(value, rel=1e-6, abs=1e-9), unit)


@pytest.mark.parametrize(("typed", "told"), [
    (("density_limits", "sand=40", "clay=20"), "write 0.4 or 40%"),
    (("layer_volume_m3", "area=1,000", "depth=3in"), "1 or 1,000"),
    (("layer_volume_m3", "area=1,500 m2", "depth=3in"), "1.5 or 1,500"),
    (("density_limits", "sand=150", "clay=0.2"), "between 0 and 1"),
    (("years_to_root_in", "trunk=2in", "hardiness_zone=14b"), "1 to 13"),
    (("trees_of_each_arm", "spread=3ft", "difference=20%"), "a number without a unit is asked for, not in ft (got "),
    (("philip_rate_mm_h", "sorptivity=3 lb", "steady=1", "time=1"), "or one in mm h-0.5, is asked for, not one in lb"),
    (("ring_depth_mm", "water=2qt", "ring_diameter=0in"), "between 40 and 1000 mm, which is 1.575 to 39.37 in"),
    (("crown_area_m2", "radii=12ft"), "give two or more"),
    (("mass_ug", "volume=1", "organism=bacteria", "constant=fry", "quantity=carbon"), "constant is one of: bratbak_"),
    (("soil_below_air_c", "air=5; 6", "mean_days=5", "least_days=9"), "between 1 and 5 d"),
    (("sd_of_change", "tree_year_sd=1.2in", "shoot_sd=2 cm", "shoots=5", "years_before=2", "years_after=3"),
     "more than one unit (got cm, in); give all of them in one"),
    (("strength_limits", "psi=3"), "this sum asks for nothing (got psi)"),
    (("extract_texture", "sand=80%", "clay=42%"), "sand plus clay is outside its range"),
    (("pest_stages", "pest=moonshine"), "one of: white pine weevil"),
])
def test_what_could_be_meant_is_said_in_one_line(typed: tuple[str, ...], told: str) -> None:
    wrong = run(*typed).exception
    assert isinstance(wrong, RootcaseError)
    assert told in str(wrong)
    assert "\n" not in str(wrong)


@pytest.mark.parametrize(("typed", "told"), [
    (("leaf_area_m2", "length=4in", "width=2.5in", "shape=0.65"), "6.5 in² (41.94 cm²)"),
    (("years_to_root_in", "trunk=2in", "hardiness_zone=9"), "0.5 years"),
    (("average_degree_days_c", "t_min=52F", "t_max=78F", "base=50F"), "15 °F day (8.333 °C day)"),
    (("protection_radius_m", "stem=20in", "rule=foot_per_inch"), "stem_diameter_m: 20 in (50.8 cm)"),
    (("mpn", "inoculum=0.1;0.01;0.001", "tubes=5;5;5", "positive=5;3;1", "confidence=95%"), "number: 108.6 per g\n"),
    (("soil_water", "sand=40%", "clay=22%", "organic=3%"), "conductivity: 0.5822 in/h (14.79 mm/h)\n"),
    (("handbook_available_water_mm_m", "texture=loam", "by=nrcs"), "low: 1.5 in/ft (125 mm/m)"),
    (("told_dose_mg_mg",), "a word, such as\nascorbic_acid, sodium_ascorbate"),
    (("second_for_moisture", "mass=10", "first.moisture=77%", "first.carbon=45%", "first.nitrogen=2.4%",
      "second.moisture=35%", "second.carbon=50", "second.nitrogen=0.75", "goal=60%"), "second.moisture_pct: 35 %\n"),
    (("pest_stages", "pest=euonymus scale"), "from: 517 °F day"),
    (("trunk_rule_l_week", "trunk=12in", "rule=weekly"), "120 gal (454.2 L)"),
    (("soil_temperature_c",), "amplitude_c: half the swing at the surface: a number in degC, a difference"),
    (("drench_l",), "Type units as you say them"),
    (("nitrogen_limits", "rule=a300_1998_2004", "release=slow"), "\nlow: 2 lb/1000 ft²"),
])
def test_an_answer_and_what_is_asked_for_are_in_words_of_the_yard(typed: tuple[str, ...], told: str) -> None:
    assert told in run(*typed).stdout
