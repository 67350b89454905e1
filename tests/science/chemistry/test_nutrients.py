"""Truths about organic matter, nitrogen, cations, lime and sulfur."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import Missing, OutOfRange
from rootcase.ground.units import convert
from rootcase.science.chemistry import cations, fertiliser, lime_and_sulfur, organic_matter
from rootcase.science.chemistry.soil_mass import FURROW_SLICE_KG_M2, amount_in_soil_kg_m2, soil_mass_kg_m2
from rootcase.tables.load import table

pytestmark = pytest.mark.property

contents = st.floats(0, 5000)


def test_the_furrow_slice_is_six_and_two_thirds_inches_of_common_soil() -> None:
    assert soil_mass_kg_m2(1.33, convert(20 / 3, "in", "m")) == pytest.approx(FURROW_SLICE_KG_M2, rel=0.005)


def test_parts_per_million_doubled_are_pounds_an_acre() -> None:
    amounts = amount_in_soil_kg_m2([1.0, 37.5], FURROW_SLICE_KG_M2)
    pounds = [convert(float(kg_m2), "kg/m2", "lb/ac") for kg_m2 in amounts]
    assert pounds == pytest.approx([2.0, 75.0])


def test_layers_of_soil_add_up() -> None:
    upper, lower, both = soil_mass_kg_m2(1.4, [0.1, 0.2, 0.3])
    assert upper + lower == pytest.approx(both)


def test_the_rules_for_carbon_stand_apart_and_lie_between_half_and_all_carbon() -> None:
    rules = [row["rule"] for row in table("chemistry/carbon_rules").rows]
    told = [float(organic_matter.organic_matter_pct(2.0, rule)) for rule in rules]
    assert len(set(told)) == len(rules) == 3
    assert all(2.0 / 0.6 <= matter <= 2.0 / 0.5 for matter in told)


def test_more_organic_matter_than_soil_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"organic_matter_pct is outside its range .got 110 %"):
        organic_matter.organic_matter_pct(55.0, "pribyl_2010")


def test_both_roads_to_nitrogen_meet_where_carbon_and_nitrogen_agree() -> None:
    """5 % nitrogen in organic matter of 50 % carbon is a C:N of 10."""
    matter = organic_matter.share_of_soil_kg_m2(4.0, 200.0)
    by_matter = organic_matter.organic_nitrogen_kg_m2(matter, 5.0)
    assert organic_matter.organic_nitrogen_from_carbon_kg_m2(matter / 2.0, 10.0) == pytest.approx(by_matter)


def test_a_material_on_a_limit_is_between_the_two() -> None:
    told = organic_matter.nitrogen_turnover([19.99, 20.0, 30.0, 30.01])
    assert told.tolist() == ["mineralises", "transitional", "transitional", "immobilises"]


def test_a_turnover_beyond_the_source_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"turnover_pct is outside its range .got 10 %"):
        organic_matter.nitrogen_release_kg_m2(0.4, 10.0)


@given(st.floats(0, 1), st.floats(1, 100))
def test_the_product_brings_what_was_asked(nutrient: float, share: float) -> None:
    product = fertiliser.product_kg_m2(nutrient, share)
    assert fertiliser.nutrient_kg_m2(product, share) == pytest.approx(nutrient)


def test_the_ceilings_of_the_standard_are_as_printed() -> None:
    """2 to 4 and 6 a year slow, 1 to 2 and 4 a year quick, lb of N on 1,000 ft2 (memory)."""
    printed = {release: [round(convert(kg_m2, "kg/m2", "lb/1000ft2"), 9)
                         for kg_m2 in fertiliser.nitrogen_limits("a300_1998_2004", release)]
               for release in ("slow", "quick")}
    assert printed == {"slow": [2.0, 4.0, 6.0], "quick": [1.0, 2.0, 4.0]}


@pytest.mark.parametrize("row", table("chemistry/tree_nitrogen").rows,
                         ids=lambda row: row["rule"] + " " + row["release"])
def test_one_dose_stays_within_the_year(row: dict[str, str]) -> None:
    limits = fertiliser.nitrogen_limits(row["rule"], row["release"])
    assert 0.0 < limits.low_kg_m2 <= limits.high_kg_m2 <= limits.most_a_year_kg_m2


def test_a_release_the_rule_does_not_name_is_missing() -> None:
    with pytest.raises(Missing, match="no rows of the table fit"):
        fertiliser.nitrogen_limits("kentucky_extension", "slow")


@given(contents, contents, contents, contents, st.floats(0.1, 30))
def test_what_is_held_adds_up_to_the_whole_exchange(ca: float, mg: float, k: float, na: float, acidity: float) -> None:
    held = cations.cations_cmol_kg(ca, mg, k, na, "rounded")
    capacity = cations.exchange_capacity_cmol_kg(held, acidity)
    shares = [cations.saturation_pct(part, capacity) for part in (*held, acidity)]
    assert sum(shares) == pytest.approx(100.0)
    assert cations.saturation_pct(cations.base_sum_cmol_kg(held), capacity) == pytest.approx(100.0 - shares[-1])


def test_the_laboratories_differ_in_potassium_alone() -> None:
    clemson, rounded = (cations.cations_cmol_kg(100.0, 100.0, 100.0, 100.0, laboratory)
                        for laboratory in ("clemson", "rounded"))
    assert [name for name, here, there in zip(clemson._fields, clemson, rounded, strict=True) if here != there] == [
        "potassium"]


def test_each_buffer_has_its_own_answer_and_none_below_no_acidity() -> None:
    assert cations.acidity_cmol_kg([6.5, 7.5, 8.5], "clemson_8") == pytest.approx([12.0, 4.0, 0.0])
    assert cations.acidity_cmol_kg([6.5, 7.5, 8.5], "summation_7") == pytest.approx([6.0, 0.0, 0.0])


def test_more_held_than_the_exchange_can_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"saturation_pct is outside its range .got 150 %"):
        cations.saturation_pct(15.0, 10.0)


@given(st.floats(0.1, 20), st.floats(10, 400))
def test_lime_and_the_sulfur_that_undoes_it_are_one_acid(acidity: float, soil: float) -> None:
    """A mole of sulfur makes two of acid: 16.03 g for each mole of charge."""
    lime = lime_and_sulfur.lime_kg_m2(acidity, soil, 100.0)
    sulfur = acidity / 100.0 * soil * 0.01603
    assert lime_and_sulfur.lime_undone_kg_m2(sulfur) == pytest.approx(lime, rel=2e-4)


def test_a_weaker_lime_is_spread_thicker() -> None:
    pure, half = lime_and_sulfur.lime_kg_m2(2.0, 200.0, [100.0, 50.0])
    assert half == pytest.approx(2 * pure)


@pytest.mark.parametrize(("rule", "textures", "low_ph", "high_ph"), [
    ("michigan_to_4_5", ("sand", "loam", "clay"), 5.0, 7.0), ("western_to_6_5", ("sand", "loam", "clay"), 7.0, 8.5),
    ("royal_horticultural_to_6_5", ("sand", "clay"), 7.0, 7.5)])
def test_sulfur_rises_with_ph_and_with_clay(rule: str, textures: tuple[str, ...], low_ph: float,
                                            high_ph: float) -> None:
    ph = np.linspace(low_ph, high_ph, 31)
    doses = np.array([lime_and_sulfur.sulfur_kg_m2(rule, texture, ph, False) for texture in textures])
    assert np.all(np.diff(doses, axis=0) > 0.0)
    assert np.all(np.diff(doses, axis=1) >= 0.0)


def test_halfway_between_two_printed_lines_is_half_of_each() -> None:
    between = lime_and_sulfur.sulfur_kg_m2("michigan_to_4_5", "clay", [6.0, 6.25, 6.5], False)
    assert between[1] == pytest.approx((between[0] + between[2]) / 2)


def test_limy_soil_gets_no_sulfur_even_among_others() -> None:
    with pytest.raises(OutOfRange, match="sulfur is not attempted where the soil holds free lime"):
        lime_and_sulfur.sulfur_kg_m2("western_to_6_5", "loam", [7.5, 8.0], [False, True])


@pytest.mark.parametrize(("rule", "texture"), [
    ("royal_horticultural_to_6_5", "loam"), ("western_to_6_5", "peat"), ("western_to_6_5", "rule"), ("nobody", "loam")])
def test_what_a_rule_does_not_say_is_missing(rule: str, texture: str) -> None:
    with pytest.raises(Missing, match="the rule does not say how much sulfur"):
        lime_and_sulfur.sulfur_kg_m2(rule, texture, 7.0, False)


def test_a_ph_beyond_what_a_rule_prints_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"ph is outside its range .got 9.; it must"):
        lime_and_sulfur.sulfur_kg_m2("western_to_6_5", "loam", 9.0, False)


@given(st.floats(0, 0.5), st.floats(0.01, 0.1))
def test_doses_cover_the_whole_and_none_is_over_the_cap(total: float, cap: float) -> None:
    doses = int(lime_and_sulfur.sulfur_doses(total, cap))
    assert doses * cap >= total - 1e-9
    assert (doses - 1) * cap < total or doses == 0


def test_turf_bears_two_careful_doses_a_year() -> None:
    turf, landscape = (lime_and_sulfur.sulfur_cap(rule) for rule in ("purdue_turf", "clemson_landscape"))
    assert turf.high_kg_m2 == landscape.low_kg_m2
    assert turf.most_a_year_kg_m2 == pytest.approx(2 * turf.high_kg_m2)
    assert (landscape.most_a_year_kg_m2, turf.least_months_apart) == (None, None)
