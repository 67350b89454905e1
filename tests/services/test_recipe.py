"""Recipes from what is typed: buckets, volumes and weights, goals met or refused with the reason, and hostile cells."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from rootcase.cli.making.recipe import recipe as command
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.ground.errors import Missing, RootcaseError
from rootcase.ground.units import convert
from rootcase.records.make.recipe import NoRecipe, Recipe
from rootcase.report.text.recipe import no_recipe_told, recipe_finding
from rootcase.services.heap import start_heap
from rootcase.services.recipe import own_figures, parts_of, recipe_cells, work_recipe

NOW = datetime(2015, 12, 1, 12, tzinfo=UTC)
STRAW = {"1.feedstock": "straw_general", "1.amount": "100 kg", "1.nitrogen": "0.7", "1.cn": "80", "1.moisture": "12"}
FOOD = {"2.feedstock": "vegetable_wastes", "2.nitrogen": "2.4", "2.cn": "15", "2.moisture": "70"}
BOTH = {"goal_moisture": "60", "goal_cn": "30"}


def mixed(cells: dict[str, str]) -> Recipe:
    found = work_recipe(cells, "us")
    assert found.recipe is not None, (found.wrong, found.none)
    return found.recipe


def refused(cells: dict[str, str]) -> NoRecipe:
    found = work_recipe(cells, "us")
    assert found.none is not None, found
    return found.none


@pytest.mark.published
def test_the_handbooks_straw_and_food_waste() -> None:
    recipe = mixed({**STRAW, **FOOD, **BOTH})
    assert recipe.ingredients[1].mass_kg == pytest.approx(285.2, abs=0.05)
    assert recipe.water_kg == pytest.approx(48.7, abs=0.05)
    assert recipe.moisture_pct[1] == pytest.approx(60.0)
    assert recipe.carbon_nitrogen[1] == pytest.approx(30.0)
    assert recipe_finding(recipe, "metric") == (
        "Add 285 kg (629 lb) of vegetable wastes and 48.7 kg (107 lb) water.")


@pytest.mark.published
def test_grass_leaves_and_shrubs_are_refused_with_the_reason() -> None:
    none = refused({"1.feedstock": "grass_clippings", "1.amount": "100 kg", "2.feedstock": "leaves",
                    "3.feedstock": "shrub_trimmings", **BOTH})
    told = no_recipe_told(none)
    assert told[0] == "These materials cannot meet both goals; either alone they can."
    assert "something dry" in told[1]
    assert "31.6 to 34.6" in told[-1]


@pytest.mark.property
def test_a_bucket_a_volume_and_a_weight_are_one_amount() -> None:
    for amount, bucket in (("3 buckets", "5 gal"), ("15 gal", "1 L"), ("0.075 yd3", "1 L")):
        found = mixed({"1.feedstock": "leaves_compacted", "1.amount": amount, "bucket": bucket,
                       "1.density": "400 lb/yd3"})
        volume = convert(0.075, "yd3", "m3") if "yd3" in amount else convert(15, "gal", "m3")
        assert found.mass_kg == pytest.approx(volume * convert(400, "lb/yd3", "kg/m3"))
    assert mixed({"1.feedstock": "leaves", "1.amount": "100"}).mass_kg == pytest.approx(convert(100, "lb", "kg"))


@pytest.mark.property
def test_one_goal_takes_one_open_amount() -> None:
    grass = {"1.feedstock": "grass_clippings", "1.amount": "10 kg", "1.moisture": "77", "2.feedstock": "leaves",
             "2.moisture": "35", "goal_moisture": "60"}
    assert mixed(grass).ingredients[1].mass_kg == pytest.approx(6.8)
    wrong = work_recipe({**grass, "3.feedstock": "shrub_trimmings"}, "us").wrong
    assert "leave one amount open for each goal" in wrong[""]


@pytest.mark.property
def test_own_figures_narrow_what_printed_ones_leave_wide() -> None:
    printed = mixed({"1.feedstock": "leaves", "1.amount": "100 kg"})
    own = mixed({"1.feedstock": "leaves", "1.amount": "100 kg", "1.nitrogen": "0.9", "1.cn": "54", "1.moisture": "38"})
    assert printed.carbon_nitrogen[2] - printed.carbon_nitrogen[0] > 10
    assert own.carbon_nitrogen[2] - own.carbon_nitrogen[0] < 1e-6
    assert own.ingredients[0].source == "The practice's own figures."


@pytest.mark.property
def test_nitrogen_alone_keeps_the_carbon_and_moves_the_ratio() -> None:
    printed = mixed({"1.feedstock": "leaves", "1.amount": "100 kg"})
    own = mixed({"1.feedstock": "leaves", "1.amount": "100 kg", "1.nitrogen": "1.8"})
    assert printed.carbon_nitrogen[1] == pytest.approx(54.0)
    assert own.carbon_nitrogen[1] == pytest.approx(27.0)
    assert own.ingredients[0].carbon_pct == printed.ingredients[0].carbon_pct
    ratio = mixed({"1.feedstock": "leaves", "1.amount": "100 kg", "1.cn": "27"})
    assert ratio.ingredients[0].carbon_pct == pytest.approx(24.3)


@pytest.mark.property
def test_one_volume_lets_a_tenth_more_pass() -> None:
    cells = {**STRAW, "1.amount": "", "1.density": "135 kg/m3", "1.have": "60", "1.cost": "1", "way": "yard",
             "bucket": "20 L", "goal_moisture": "5-20"}
    assert mixed({**cells, "volume": "0.99 m3"}).units == (50,)
    assert refused({**cells, "volume": "0.991 m3", "bucket": "100 L", "1.have": "9"})


@pytest.mark.property
def test_the_cheapest_from_the_yard_and_a_yard_that_cannot() -> None:
    cells = {**STRAW, **FOOD, "1.amount": "", "1.density": "135 kg/m3", "1.have": "60", "1.cost": "1",
             "2.density": "420 kg/m3", "2.have": "40", "3.feedstock": "water", "3.have": "20", "way": "yard",
             "bucket": "20 L", "goal_moisture": "50-60", "goal_cn": "25-40", "volume": "1-1.1 m3"}
    found = mixed(cells)
    assert found.units[:2] == (20, 30)
    assert found.cost == pytest.approx(20.0)
    assert refused({**cells, "2.have": "1"}).goal
    assert "how many buckets" in work_recipe({**cells, "2.have": " "}, "us").wrong["2.have"]
    assert "volume" in work_recipe({**cells, "volume": ""}, "us").wrong
    assert "goal_cn" in work_recipe({**cells, "goal_cn": "30"}, "us").wrong


@pytest.mark.property
@pytest.mark.parametrize(("cells", "name"), [
    ({}, "1.feedstock"), ({"1.feedstock": "gold"}, "1.feedstock"), ({"1.amount": "some"}, "1.amount"),
    ({"1.amount": "-3 kg"}, "1.amount"), ({"1.amount": "9e20 kg"}, "1.amount"), ({"1.amount": "3 psi"}, "1.amount"),
    ({"1.moisture": "130"}, "1.moisture"), ({"1.nitrogen": "x"}, "1.nitrogen"), ({"bucket": "-1 gal"}, "bucket"),
    ({"goal_moisture": "60-70"}, "goal_moisture"), ({"goal_cn": "0"}, "goal_cn"), ({"1.density": "9999"}, "1.density"),
    ({"1.feedstock": "potato_tops", "1.amount": "3 kg"}, "1.moisture"), ({"1.amount": "3 buckets"}, "1.amount"),
    ({"1.amount": ""}, "")])
def test_what_is_wrong_stands_beside_its_cell(cells: dict[str, str], name: str) -> None:
    told = {"1.feedstock": "fruit_wastes", "1.amount": "3 kg", **cells} if cells else {}
    wrong = work_recipe(told, "us").wrong
    assert name in wrong
    assert all("\n" not in line for line in wrong.values())


@pytest.mark.property
@given(st.dictionaries(st.sampled_from(["1.feedstock", "1.amount", "2.feedstock", "2.amount", "2.moisture", "bucket",
                                        "goal_moisture", "goal_cn", "way", "volume", "1.have"]),
                       st.sampled_from(["leaves", "water", "yard", "0", "1e9", "-1", "3 buckets", "50-60", "½", "\0",
                                        "٣", "nan", "x" * 500, "1/0", "100 %", ""])))
def test_any_cells_are_a_recipe_a_reason_or_lines(cells: dict[str, str]) -> None:
    found = work_recipe(cells, "metric")
    assert sum([found.recipe is not None, found.none is not None, bool(found.wrong)]) == 1


@pytest.mark.property
def test_a_heap_is_started_from_the_recipe_with_what_was_found() -> None:
    cells = {**STRAW, **FOOD, **BOTH, "2.bought_from": "A farm", "2.lot": "row 3"}
    filled = {**recipe_cells(cells, mixed(cells), "us"), "2.bought_from": "A farm", "2.lot": "row 3"}
    parts = parts_of(filled, "us")
    with pytest.raises(Missing, match="at most 200 signs"):
        parts_of({**filled, "2.lot": "r" * 201}, "us")
    assert [(part.material, round(part.mass_kg, 1)) for part in parts] == [
        ("straw", 100.0), ("vegetable_wastes", 285.2), ("water", 48.7)]
    assert (parts[1].bought_from, parts[1].lot) == ("A farm", "row 3")


@pytest.mark.property
def test_what_takes_nothing_of_the_yard_goes_into_no_heap_and_amounts_are_in_the_persons_units() -> None:
    cells = {**STRAW, **FOOD, "1.amount": "", "1.density": "135 kg/m3", "1.have": "60", "2.density": "420 kg/m3",
             "2.have": "40", "3.feedstock": "leaves_compacted", "3.have": "9", "3.density": "300 kg/m3",
             "3.cost": "900", "4.feedstock": "water", "4.have": "20", "way": "yard", "bucket": "20 L",
             "goal_moisture": "50-60", "goal_cn": "25-40", "volume": "1-1.1 m3"}
    found = mixed(cells)
    assert found.units[2] == 0
    filled = recipe_cells(cells, found, "us")
    assert not [name for name in filled if name.startswith("3.")]
    assert filled["1.amount"] == "184.527 lb"
    assert recipe_cells(cells, found, "metric")["1.amount"] == "83.7 kg"
    assert parts_of(filled, "us")[0].mass_kg == pytest.approx(83.7, rel=1e-5)


@pytest.mark.property
@pytest.mark.parametrize(("goals", "words"), [
    ({"goal_cn": "30"}, "C:N 80, not 30: add something rich in nitrogen, or leave one amount open. The mix comes"),
    ({"goal_cn": "95"}, "C:N 80, not 95: add something rich in carbon"),
    ({"goal_moisture": "10"}, "Moisture 12 %, not 10: add something dry"),
    ({"goal_cn": "80.4"}, "The mix comes to 12 %"), ({"goal_moisture": "60", "goal_cn": "30"}, "C:N 80, not 30: ")])
def test_a_goal_that_is_missed_is_named_first(goals: dict[str, str], words: str) -> None:
    assert recipe_finding(mixed({**STRAW, **goals}), "us").startswith(words)


@pytest.mark.property
def test_less_than_nothing_is_told_as_that() -> None:
    assert work_recipe({**STRAW, "1.amount": "-5 kg"}, "us").wrong["1.amount"] == "an amount is 0 or more"


@pytest.mark.property
def test_what_the_practice_measured_before_is_offered_anew(tmp_path: Path) -> None:
    with open_fieldbook(tmp_path / "book.sqlite") as book:
        parts = [parts_of({**STRAW, "1.nitrogen": nitrogen}, "us") for nitrogen in ("0.7", "0.9")]
        assert own_figures(book) == {}
        for name, each in zip(("4", "5"), parts, strict=True):
            start_heap(book, {"name": name, "shape": "windrow", "rule": "nop", "time_zone": "UTC",
                              "day": f"2015-05-0{name}", "time": "8:00"}, by="rs", now=NOW, parts=each)
        own = own_figures(book)
    assert own["straw"].nitrogen_pct == 0.9
    found = work_recipe({"1.feedstock": "own:straw", "1.amount": "9 kg"}, "us", own)
    assert found.recipe is not None
    assert found.recipe.carbon_nitrogen[1] == pytest.approx(80.0)
    assert work_recipe({"1.feedstock": "own:straw", "1.amount": "9 kg"}, "us").wrong


def test_the_command_says_the_same_and_refuses_in_one_line() -> None:
    typed = ["straw_general=100 kg,moisture=12,nitrogen=0.7,cn=80", "vegetable_wastes,moisture=70,nitrogen=2.4,cn=15",
             "--moisture", "60", "--cn", "30"]
    done = CliRunner().invoke(command, typed)
    assert done.exit_code == 0, done.output
    assert "107 lb (48.7 kg) water" in done.output
    told = json.loads(CliRunner().invoke(command, [*typed, "--json"]).output)
    assert told["water_kg"] == pytest.approx(48.7, abs=0.05)
    for wrong, line in ((["gold=3 kg"], "no material"), (["leaves=3 kg,age=4"], "no figure"),
                        (["leaves"] * 7, "at once")):
        failed = CliRunner().invoke(command, wrong)
        assert isinstance(failed.exception, RootcaseError)
        assert line in str(failed.exception)


def test_the_command_asks_the_yard_and_the_practices_own_figures(tmp_path: Path) -> None:
    path = tmp_path / "own.sqlite"
    with open_fieldbook(path) as book:
        parts = parts_of({**STRAW, **FOOD, "2.amount": "50 kg"}, "metric")
        told = {"name": "4", "shape": "windrow", "rule": "cfr_503", "time_zone": "UTC", "day": "2015-05-01",
                "time": "8:00"}
        start_heap(book, told, by="rs", now=NOW, parts=parts)
    yard = ["own:straw,density=135 kg/m3,have=60,cost=1", "own:vegetable_wastes,density=420 kg/m3,have=40",
            "water,have=20", "--yard", "1-1.1 m3", "--bucket", "20 L", "--moisture", "50-60", "--cn", "25-40"]
    done = CliRunner().invoke(command, [*yard, "--fieldbook", str(path), "--json"])
    assert done.exit_code == 0, done.output
    assert json.loads(done.output)["units"][:2] == [20, 30]
    assert "Take 20 of straw, 30 of vegetable wastes" in CliRunner().invoke(
        command, [*yard, "--fieldbook", str(path)]).output
    unknown = CliRunner().invoke(command, ["own:gold=3 kg", "--fieldbook", str(path)])
    assert "no material of this name in the library" in str(unknown.exception)
