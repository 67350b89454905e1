"""Sums at the ends of what can be typed: nothing, 0, no end, what is no word of theirs. An answer, or one line."""

from __future__ import annotations

import csv
import json
import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from rootcase.ground.errors import RootcaseError
from rootcase.services.calculators.contract import Calculator, Entry
from rootcase.services.calculators.example import example_pairs
from rootcase.services.calculators.shelf import calculator, calculators
from rootcase.services.calculators.told import answer_json, answer_lines, entry_line, taken_lines
from rootcase.services.calculators.working import work_out
from tests.cli.test_calc import answered, run

QUICK, SEED = 800, 1
NUMBERS = ("0", "1", "-1", "1e30", "1e-30", "nan", "inf", "5;7", "1;", ";", "", "x")
WORDS = ("x", "", ";", "yes;no", "x;y", "0")
DOUBTS = ("3 +- 4", "0 to 1e3")
"""Each takes a thousand draws."""

ALL_TUBES = ("mpn", "inoculum=10;1;0.1", "tubes=5;5;5", "positive=5;5;5", "confidence=.95")


@pytest.mark.parametrize(("typed", "told"), [
    (ALL_TUBES, "number: no end"),
    (("fields_needed", "mean_per_field=4", "k=inf", "relative_half_width=0.2", "confidence=0.95"), "k: no end"),
    (("dispersion", "counts=5;7;9"), ": no end"),
    (("hours_to_floor", "oxygen=8.2", "floor=6", "uptake=0"), "no end"),
    (("rows_of", "material=moonshine"), "\nnothing\n"),
])
def test_what_has_no_end_is_told_in_words(typed: tuple[str, ...], told: str) -> None:
    assert told in run(*typed).stdout


def test_json_has_no_word_for_no_end_and_none_for_not_known() -> None:
    found = {each["name"]: each["value"] for each in answered(*ALL_TUBES)["answer"]}
    assert found["number"] is None
    assert answered("fields_needed", "mean_per_field=4", "k=inf", "relative_half_width=0.2", "confidence=0.95")[
        "taken"]["k"] is None
    json.loads(run(*ALL_TUBES, "--json").stdout, parse_constant=pytest.fail)


@pytest.mark.parametrize(("typed", "told"), [
    (("feedstock", "name="), "not told: name; name=a word"),
    (("feedstock", "name=;"), "name: nothing was typed"),
    (("kind_told", "kind=", "trait=drought"), "not told: kind"),
    (("together", "effect=1", "variance=1"), "these figures do not go together; lists are equally long"),
    (("compare_rates", "first=3", "first_effort=1", "second=inf", "second_effort=1", "confidence=0.9"), "second"),
    (("penman_monteith_mm_day", *(f"{name}={typed}" for name, typed in example_pairs(
        calculator("penman_monteith_mm_day")).items()), "cover.aerodynamic=900"), "every figure of cover, or none"),
])
def test_nothing_typed_and_what_no_answer_comes_of_is_one_line(typed: tuple[str, ...], told: str) -> None:
    wrong = run(*typed).exception
    assert isinstance(wrong, RootcaseError)
    assert told in str(wrong)
    assert "\n" not in str(wrong)


def test_every_sum_says_what_it_asks_for() -> None:
    assert all(entry_line(entry) for name in calculators() for entry in calculator(name).entries)
    assert "knapp_hartung: scale the interval" in run("together").stdout


def test_whatever_is_typed_gets_an_answer_or_one_line(long: bool) -> None:
    """Every sum, every thing it asks for, all else as in its example; a part of them each time, all with --long."""
    trials = list(tried(DOUBTS if long else ()))
    refused: list[str] = []
    for sum_, pairs in trials if long else random.Random(SEED).sample(trials, QUICK):
        try:
            worked = work_out(sum_, pairs)
        except RootcaseError as wrong:
            refused.append(str(wrong))
            continue
        lines = [*answer_lines(worked, "us"), *answer_lines(worked, "metric"), *taken_lines(sum_, worked, "us")]
        assert "".join(answer_lines(worked, "us")).strip(), (sum_.name, pairs)
        assert not {"nan", "inf"} & set(" ".join(lines).split()), (sum_.name, pairs)
        json.dumps(answer_json(sum_, worked), allow_nan=False)
    assert refused
    assert not [each for each in refused if "\n" in each]


def tried(doubts: tuple[str, ...]) -> Iterator[tuple[Calculator, dict[str, str]]]:
    for sum_ in calculators().values():
        example = example_pairs(sum_)
        for entry in sum_.entries:
            for value in edges(entry, doubts):
                yield sum_, {**example, entry.name: value}


def edges(entry: Entry, doubts: tuple[str, ...]) -> Iterator[str]:
    if entry.kind not in ("number", "numbers", "whole", "wholes"):
        yield from WORDS
        return
    yield from (*NUMBERS, *doubts)
    if entry.low is not None and entry.high is not None:
        yield from (f"{entry.low:g}", f"{entry.high:g}")


TREES = ("tree_water_l", "reference=1in", "factor=.5")


def test_a_column_counts_by_its_full_name_alone(tmp_path: Path) -> None:
    """12 in of trunk are no crown; the crown that was typed holds."""
    table = tmp_path / "trees.csv"
    table.write_text("tree,diameter\nA,12 in\n", encoding="utf-8")
    (row,) = csv.DictReader(run(*TREES, "crown=30ft", "--csv", str(table)).stdout.splitlines())
    assert (row["tree"], row["diameter"]) == ("A", "12 in")
    assert float(row["tree_water_l (L)"]) == pytest.approx(833.99997, abs=1e-4)
    assert float(row["tree_water_l (gal)"]) == pytest.approx(833.99997 / 3.785412, abs=1e-3)


@pytest.mark.parametrize("heading", ["crown_diameter_m", "crown diameter", "crown-diameter"])
def test_a_column_is_named_with_its_unit_or_without_and_parted_by_semicolons_too(tmp_path: Path, heading: str) -> None:
    table = tmp_path / "trees.csv"
    table.write_text(f"tree;{heading}\nA;30 ft\n", encoding="utf-8")
    (row,) = csv.DictReader(run(*TREES, "--csv", str(table)).stdout.splitlines())
    assert float(row["tree_water_l (gal)"]) == pytest.approx(220.3, abs=0.1)


@pytest.mark.parametrize(("text", "typed", "told"), [
    ("crown_diameter\n30 ft\n", ("crown=20ft",), "crown_diameter_m: told twice (got crown_diameter)"),
    ("crown_diameter,crown_diameter_m\n30 ft,20 ft\n", (), "crown_diameter_m: told twice"),
    ("tree\nA\n", ("crown=20ft", "--json"), "--json: a table comes back as a table"),
])
def test_one_thing_told_twice_in_a_table_is_refused(tmp_path: Path, text: str, typed: tuple[str, ...],
                                                    told: str) -> None:
    table = tmp_path / "trees.csv"
    table.write_text(text, encoding="utf-8")
    wrong = run(*TREES, *typed, "--csv", str(table)).exception
    assert isinstance(wrong, RootcaseError)
    assert str(wrong).startswith(told)


def test_one_thing_typed_by_two_names_is_refused() -> None:
    wrong = run(*TREES, "crown=30ft", "diameter=20ft").exception
    assert isinstance(wrong, RootcaseError)
    assert str(wrong).startswith("crown_diameter_m: told twice (got diameter=20ft); tell it once")


def test_no_end_stands_in_a_table_in_words_and_what_is_not_known_is_empty(tmp_path: Path) -> None:
    table = tmp_path / "tubes.csv"
    table.write_text('positive\n"5;5;5"\n', encoding="utf-8")
    done = run(*(each for each in ALL_TUBES if not each.startswith("positive")), "--csv", str(table))
    assert "no end" in done.stdout
    assert "inf" not in done.stdout.splitlines()[1]


@pytest.mark.parametrize(("typed", "told"), [
    (("trunk_rule_l_week", "trunk=4", "rule=weekly"), "m: 13.12 ft (4 m), typed without a unit and read as m\n"),
    (("trunk_rule_l_week", "trunk=12in", "rule=weekly"), "trunk_diameter_m: 12 in (30.48 cm)\n"),
    (("average_degree_days_c", "t_min=40F", "t_max=58F", "base=50F"), "t_max_c: 58 °F (14.44 °C)\n"),
])
def test_an_answer_says_what_a_number_without_a_unit_was_read_as(typed: tuple[str, ...], told: str) -> None:
    assert told in run(*typed).stdout


@pytest.mark.parametrize(("typed", "told"), [
    (("average_degree_days_c", "t_min=40F", "t_max=58", "base=50F"), 't_max_c: no unit, where others have one (got'),
    ((*TREES, "crown=30"), 'crown_diameter_m: no unit, where others have one (got "30"); say whether it is ft or m'),
    (("tree_water_l", "reference=1in", "factor=.5", "crown=6 to 8"), "crown_diameter_m: no unit"),
])
def test_a_number_without_a_unit_beside_us_units_is_asked_about(typed: tuple[str, ...], told: str) -> None:
    wrong = run(*typed).exception
    assert isinstance(wrong, RootcaseError)
    assert str(wrong).startswith(told)


def test_a_number_without_a_unit_in_a_table_is_in_the_unit_of_its_heading_or_asked_about(tmp_path: Path) -> None:
    table = tmp_path / "trees.csv"
    table.write_text("crown_diameter_m\n9.144\n", encoding="utf-8")
    (row,) = csv.DictReader(run(*TREES, "--csv", str(table)).stdout.splitlines())
    assert float(row["tree_water_l (L)"]) == pytest.approx(833.99997, abs=1e-4)
    table.write_text("crown diameter\n30\n", encoding="utf-8")
    assert "no unit in the cell or in the heading of its column" in run(*TREES, "--csv", str(table)).stdout


@pytest.mark.parametrize(("name", "told"), [
    ("soil_water", "normal density: 1.432 Mg/m³"), ("heat_rule", "lowest: 131 °F (55 °C)"),
    ("ounce_plot", "side: 18.5 ft (5.639 m)"),
    ("applied_l_m2", "gal/1000 ft²"), ("single_day", "depletion: 2.867 in (72.81 mm)"), ("feedstock", "lb/yd³"),
    ("as_one", "1: 37.04 lb (16.8 kg)"), ("poisson_limits", "lower end: 4.795"), ("families_named", "2: 1, 4"),
    ("evenness", "cv: 8.685 %"), ("found_elsewhere", "2.low: 1.5 %"),
])
def test_a_figure_carries_the_unit_that_its_name_ends_with(name: str, told: str) -> None:
    pairs = [f"{entry}={typed}" for entry, typed in example_pairs(calculator(name)).items()]
    assert told in run(name, *pairs).stdout


def test_a_word_that_no_table_has_is_refused_with_those_it_has() -> None:
    wrong = run("reaction_dose_mg_mg", "chemical=moonshine", "product=sulfate").exception
    assert isinstance(wrong, RootcaseError)
    assert "no table has this together" in str(wrong)
    assert "tables/" not in str(wrong)
    assert "ascorbic_acid" in str(wrong)


@pytest.mark.parametrize(("typed", "told"), [
    (("crown_area_m2", "radii=12ft,15ft,10ft,14ft"), "ft²"),
    (("age_h", "ended=2026-05-04T08:30-04:00", "at=2026-05-04T10:30-04:00"), "2 h"),
])
def test_what_is_typed_as_the_help_says_is_read(typed: tuple[str, ...], told: str) -> None:
    assert told in run(*typed).stdout


AIR = ("vapour_pressure_from_humidity_kpa", "t_min=18", "t_max=25", "humidity_max=82", "humidity_min=54")
LEAST = ("least_limiting_water", "bulk=1.4", "strength=.2", "air=.1")


@pytest.mark.parametrize(("typed", "told"), [
    (("mean_saturation_vapour_pressure_kpa", "t_min=30", "t_max=10"), "t_min_c is not below t_max_c (got 30"),
    ((AIR[0], "t_min=25", "t_max=18", *AIR[3:]), "t_min_c is not below t_max_c"),
    ((*AIR[:3], "humidity_max=54", "humidity_min=82"), "humidity_min_pct is not below humidity_max_pct"),
    ((*LEAST, "field=.1", "wilting=.3"), "wilting_point is not below field_capacity"),
    (("share_limits", "found=0", "others=0", "confidence=.9"), "nothing was counted"),
    (("extract_texture", "sand=.9", "clay=.9"), "sand plus clay is outside its range"),
])
def test_what_contradicts_itself_is_refused(typed: tuple[str, ...], told: str) -> None:
    wrong = run(*typed).exception
    assert isinstance(wrong, RootcaseError)
    assert str(wrong).startswith(told)


@pytest.mark.parametrize("typed", [
    ("mean_saturation_vapour_pressure_kpa", "t_min=20", "t_max=20"), (*AIR[:3], "humidity_max=54", "humidity_min=54"),
    (*LEAST, "field=.3", "wilting=.1"), ("share_limits", "found=0", "others=1", "confidence=.9"),
])
def test_ends_that_are_alike_are_none_that_were_swapped(typed: tuple[str, ...]) -> None:
    assert run(*typed).exception is None


def test_short_words_are_found_as_words() -> None:
    found = run("--find", "pH").stdout
    assert "\nlime_" in found
    assert "philip" not in found
