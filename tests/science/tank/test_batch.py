"""Truths about a batch: its water, its compost, its tests, its age."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import ImpossibleValue, Missing, OutOfRange
from rootcase.science.tank import batch, hygiene, water
from rootcase.tables.load import table

pytestmark = pytest.mark.property

WEIGHT = {"H": 1.008, "C": 12.011, "O": 15.999, "Na": 22.990, "S": 32.06}
FORMULA = {
    "ascorbic_acid": {"C": 6, "H": 8, "O": 6}, "sodium_ascorbate": {"C": 6, "H": 7, "O": 6, "Na": 1},
    "sodium_thiosulfate": {"Na": 2, "S": 2, "O": 3},
    "sodium_thiosulfate_pentahydrate": {"Na": 2, "S": 2, "O": 8, "H": 10},
    "sodium_sulfite": {"Na": 2, "S": 1, "O": 3}, "sodium_bisulfite": {"Na": 1, "H": 1, "S": 1, "O": 3},
    "sodium_metabisulfite": {"Na": 2, "S": 2, "O": 5},
}


@pytest.mark.parametrize("row", table("tank/neutraliser_reactions").rows,
                         ids=lambda row: f"{row['chemical']} to {row['product']}")
def test_a_neutralisers_mass_is_its_atoms(row: dict[str, float]) -> None:
    atoms = FORMULA[str(row["chemical"])]
    assert row["molar_mass_g_mol"] == pytest.approx(sum(WEIGHT[atom] * n for atom, n in atoms.items()), abs=0.002)


@pytest.mark.parametrize(("chemical", "product"), [
    ("ascorbic_acid", "dehydroascorbic_acid"), ("sodium_sulfite", "sulfate"), ("sodium_bisulfite", "sulfate"),
    ("sodium_metabisulfite", "sulfate")])
def test_the_told_dose_is_the_reactions_with_something_to_spare(chemical: str, product: str) -> None:
    spare = water.told_dose_mg_mg(chemical, "field_guide") / water.reaction_dose_mg_mg(chemical, product)
    assert 1.0 <= spare <= 1.15


def test_a_strip_for_free_chlorine_is_refused_even_at_zero() -> None:
    with pytest.raises(Missing, match=r"misses chloramine.*use a total-chlorine test"):
        water.neutraliser_g(1000.0, 0.0, 2.5, "free")


@given(st.floats(1, 1e5), st.floats(0.02, 10), st.floats(0.2, 10))
def test_a_weighing_turned_back_gives_its_dose(volume: float, chlorine: float, dose: float) -> None:
    grams = water.neutraliser_g(volume, chlorine, dose, "total")
    assert water.implied_dose_mg_mg(grams, volume, chlorine) == pytest.approx(dose)


def test_the_rules_for_water_stay_apart() -> None:
    assert water.water_finding("electrical_conductivity", "tank", 2.0) == "poor"
    assert water.water_finding("electrical_conductivity", "irrigation", 2.0) == "with_care"
    assert [water.water_finding("ph", "tank", value) for value in (5.9, 6.0, 8.0, 8.1)] == [
        "with_care", "good", "good", "with_care"]
    assert [water.water_finding("total_chlorine", "tank", value) for value in (0.1, 0.11)] == ["good", "poor"]
    assert [water.water_origin(name).fit for name in ("mains", "well", "softened", "pond", "roof")] == [
        True, True, False, False, False]


@given(st.floats(1, 1e4), st.floats(0.001, 1), st.floats(0.2, 1.2))
def test_weight_and_volume_ratios_meet_where_compost_is_as_heavy_as_water(
        litres: float, ratio: float, density: float) -> None:
    by_weight, by_volume = batch.compost_by_weight_kg(litres, ratio), batch.compost_by_volume_kg(litres, ratio, density)
    assert by_weight / by_volume == pytest.approx(batch.WATER_KG_L / density)


@given(st.floats(1e6, 1e10), st.floats(1, 1e5), st.floats(100, 1e6), st.floats(0, 2))
def test_recovery_is_what_came_across(per_g: float, grams: float, millilitres: float, share: float) -> None:
    all_of_it = batch.expected_per_ml(per_g, grams, millilitres)
    assert batch.recovery(share * all_of_it, all_of_it) == pytest.approx(share)


def test_no_water_makes_a_liquid_stronger() -> None:
    assert batch.stock_volume_l(1e8, 1e8, 50.0) == 50.0
    with pytest.raises(OutOfRange, match="wanted_per_ml is not below stock_per_ml"):
        batch.stock_volume_l(1e8, 2e8, 50.0)


def test_finer_screens_have_smaller_openings() -> None:
    assert [batch.usual_opening_um(place) for place in ("bag", "strainer_coarse", "strainer_fine")] == [425, 300, 150]


@given(st.lists(st.floats(0.1, 1e5), min_size=2, max_size=8))
def test_one_high_test_weighs_more_by_the_rule_for_additives(counts: list[float]) -> None:
    plain, bathing = (hygiene.pretest(counts, "e_coli", rule) for rule in ("additives", "bathing"))
    assert plain.mean >= bathing.mean * (1 - 1e-12)
    assert plain.verdict == ("met" if plain.mean <= 126 else "not_met")


def test_one_clean_test_shows_nothing_and_the_limit_itself_is_met() -> None:
    assert hygiene.pretest([1.0], "e_coli", "additives").verdict == "not_shown"
    assert hygiene.pretest([126.0, 126.0], "e_coli", "additives").verdict == "met"
    assert hygiene.pretest([33.0, 33.2], "enterococci", "additives").verdict == "not_met"
    with pytest.raises(ImpossibleValue, match="no tests"):
        hygiene.pretest([], "e_coli", "additives")
    with pytest.raises(OutOfRange, match="counts_per_100_ml"):
        hygiene.pretest([0.0, 100.0], "e_coli", "bathing")


def test_an_additive_nobody_tried_is_not_known() -> None:
    assert hygiene.regrowth("humic_acid", 0.0) == "not_known"
    assert hygiene.regrowth("kelp", 0.5) == "not_known"
    assert hygiene.regrowth("fish_hydrolysate", 0.8) == "seen"


def test_the_night_the_clocks_change_makes_no_extract_younger() -> None:
    place = ZoneInfo("America/Chicago")
    ended = datetime(2026, 11, 1, 1, 30, tzinfo=place)
    used = datetime(2026, 11, 1, 1, 45, tzinfo=place, fold=1)
    assert hygiene.age_h(ended, used) == 1.25
    assert hygiene.age_h(ended, used) > hygiene.holding_limit_h("extract")


def test_times_that_cannot_be_are_refused() -> None:
    now = datetime(2026, 5, 3, 9, 0, tzinfo=UTC)
    assert hygiene.age_h(now, now) == 0.0
    with pytest.raises(ImpossibleValue, match=r"used before its extraction ended .got 5 min before"):
        hygiene.age_h(now, now - timedelta(minutes=5))
    with pytest.raises(ImpossibleValue, match="extraction_ended: a time without its zone"):
        hygiene.age_h(now.replace(tzinfo=None), now)
