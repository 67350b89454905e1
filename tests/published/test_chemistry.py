"""Published figures on chemistry: salts, sodium, fertiliser salt, nitrogen, cations, lime and sulfur."""

from __future__ import annotations

import math

import pytest

from rootcase.ground.units import convert
from rootcase.science.chemistry import cations, fertiliser, lime_and_sulfur, organic_matter, salinity, salt_index
from rootcase.science.chemistry.sodium import exchangeable_sodium_pct, gypsum_kg_m2, sodium_adsorption_ratio
from rootcase.science.chemistry.soil_mass import FURROW_SLICE_KG_M2, amount_in_soil_kg_m2, soil_mass_kg_m2
from tests.published.vectors import Answers, Row, asserted, check

LISTS = {"(1977)": "maas_hoffman_1977", "(1999)": "maas_grattan_1999", "(Hoffman et al. 1989)": "hoffman_1989"}
ONLY_IN_1999 = {"lemon", "guava"}
OLDER_NAMES = {"superphosphate": "single_superphosphate"}
SULFUR_RULES = {4.5: "michigan_to_4_5", 6.5: "western_to_6_5"}


def lb_ac(kg_m2: object) -> float:
    return convert(float(kg_m2), "kg/m2", "lb/ac")  # type: ignore[arg-type]


def lb_1000ft2(kg_m2: object) -> float:
    return convert(float(kg_m2), "kg/m2", "lb/1000ft2")  # type: ignore[arg-type]


def tolerance(row: Row) -> tuple[float, float]:
    crop, _, edition = row.case.partition(" (")
    named = LISTS[f"({edition}"] if edition else "maas_grattan_1999" if crop in ONLY_IN_1999 else "maas_hoffman_1977"
    return tuple(salinity.salt_tolerance(crop.replace(" ", "_"), named))


def relative_yield(row: Row) -> float:
    return float(salinity.relative_yield_pct(row.inputs["ECe"], row.inputs["a"], row.inputs["b"]))


def leaching(row: Row) -> float:
    return float(salinity.leaching_requirement(row.inputs["ECw"], row.inputs["ECe"]))


def salt_on_acre_feet(row: Row) -> float:
    water_mm = convert(row.inputs["acre_ft"], "ft", "mm")
    return lb_ac(salinity.salt_from_water_kg_m2(row.inputs["EC"], water_mm))


def index_2001(row: Row) -> float:
    material = row.case.removesuffix(" (reference)").replace(" ", "_")
    return salt_index.salt_index(material, "mortvedt_2001")


def older_index(row: Row) -> float:
    """The rows add to the name what the product carries, such as "urea 45% N"."""
    words = row.case.lower().split()
    material = "_".join(word for word in words if "%" not in word and word != "n")
    return salt_index.salt_index(OLDER_NAMES.get(material, material), "older_list")


def blend(row: Row) -> float:
    """The grade made of 10-34-0 for the phosphorus, nitrogen solution for what nitrogen lacks, potash."""
    nitrogen, phosphorus, potassium = (float(number) for number in row.case.split()[0].split("-"))
    with_phosphorus = phosphorus * 10 / 34
    per_unit = [row.inputs["per_unit"][part] for part in ("10-34-0", "UAN28", "KCl60")]
    return float(salt_index.blend_salt_index(
        [phosphorus + with_phosphorus, nitrogen - with_phosphorus, potassium], per_unit))


def salt_load(row: Row) -> float:
    nitrogen = convert(row.inputs["N_rate"], "lb/1000ft2", "kg/m2")
    product = fertiliser.product_kg_m2(nitrogen, row.inputs["pctN"])
    return lb_1000ft2(salt_index.sodium_nitrate_equivalent_kg_m2(product, row.inputs["SI"]))


def released(row: Row) -> float:
    given = row.inputs
    if "C_pct" in given:  # the Australian text: C:N 10 and 2 % a year stand in its name
        mass = soil_mass_kg_m2(given["BD"], given["depth_cm"] / 100)
        carbon = organic_matter.share_of_soil_kg_m2(given["C_pct"], mass)
        nitrogen = organic_matter.organic_nitrogen_from_carbon_kg_m2(carbon, 10.0)
        return convert(float(organic_matter.nitrogen_release_kg_m2(nitrogen, 2.0)), "kg/m2", "kg/ha")
    matter = organic_matter.share_of_soil_kg_m2(given["OM_pct"], FURROW_SLICE_KG_M2)
    nitrogen = organic_matter.organic_nitrogen_kg_m2(matter, given["N_pct_of_OM"])
    return lb_ac(organic_matter.nitrogen_release_kg_m2(nitrogen, given["rate_pct"]))


def organic_nitrogen(row: Row) -> float:
    matter = organic_matter.share_of_soil_kg_m2(row.inputs["OM_pct"], FURROW_SLICE_KG_M2)
    return lb_ac(organic_matter.organic_nitrogen_kg_m2(matter, row.inputs["N_pct"]))


def clemson(row: Row) -> tuple[float, ...]:
    """The laboratory prints lb/ac of its 2,000,000 lb, and the base saturation as a whole percent."""
    mg_kg = [row.inputs[f"{cation}_lbac"] / 2 for cation in ("Ca", "Mg", "K", "Na")]
    held = cations.cations_cmol_kg(*mg_kg, "clemson")
    acidity = cations.acidity_cmol_kg(row.inputs["bufpH"], "clemson_8")
    capacity = cations.exchange_capacity_cmol_kg(held, acidity)
    base_pct = float(cations.saturation_pct(cations.base_sum_cmol_kg(held), capacity))
    return tuple(float(part) for part in (
        acidity, held.potassium, held.magnesium, held.calcium, held.sodium, capacity, round(base_pct)))


def summation(row: Row) -> tuple[float, ...]:
    held = cations.cations_cmol_kg(*(row.inputs[cation] for cation in ("Ca", "Mg", "K", "Na")), "rounded")
    capacity = cations.exchange_capacity_cmol_kg(held, row.inputs["acidity"])
    base_pct, calcium_pct = (float(cations.saturation_pct(part, capacity))
                             for part in (cations.base_sum_cmol_kg(held), held.calcium))
    return float(capacity), base_pct, calcium_pct


def calcium(row: Row) -> tuple[float, float]:
    held = cations.cations_cmol_kg(row.inputs["Ca_ppm"], 0.0, 0.0, 0.0, "rounded")
    return float(held.calcium), float(cations.saturation_pct(held.calcium, row.inputs["CEC"]))


def sulfur(row: Row) -> tuple[float, ...]:
    rule = SULFUR_RULES[row.inputs["target_pH"]]
    return tuple(lb_ac(lime_and_sulfur.sulfur_kg_m2(rule, texture, row.inputs["start_pH"], False))
                 for texture in ("sand", "loam", "clay"))


def capped(row: Row) -> tuple[float, float]:
    total = lime_and_sulfur.sulfur_kg_m2("michigan_to_4_5", "loam", 6.5, False)
    assert lb_ac(total) == pytest.approx(row.inputs["S_lb_ac"])
    cap = lime_and_sulfur.sulfur_cap("clemson_landscape").high_kg_m2
    assert lb_1000ft2(cap) == pytest.approx(row.inputs["cap_lb_1000"])
    return lb_1000ft2(total), float(lime_and_sulfur.sulfur_doses(total, cap))


def cap_span(_: Row) -> str:
    return "-".join(f"{lb_1000ft2(dose):g}" for dose in lime_and_sulfur.sulfur_cap("clemson_landscape")[:2])


def garden_span(_: Row) -> str:
    """From sand to clay, the same at both ends of pH 7.0 to 7.5."""
    spans = {"-".join(f"{1000 * lime_and_sulfur.sulfur_kg_m2('royal_horticultural_to_6_5', texture, ph, False):g}"
                      for texture in ("sand", "clay")) for ph in (7.0, 7.5)}
    assert len(spans) == 1
    return spans.pop()


def product(row: Row) -> float:
    """The second row spreads the first row's dose over a circle."""
    if "radius_ft" in row.inputs:
        dose = fertiliser.product_kg_m2(convert(2, "lb/1000ft2", "kg/m2"), 30.0)
        return lb_1000ft2(dose) * math.pi * row.inputs["radius_ft"] ** 2 / 1000
    return lb_1000ft2(fertiliser.product_kg_m2(
        convert(row.inputs["N_rate"], "lb/1000ft2", "kg/m2"), row.inputs["pctN"]))


def nitrogen_span(row: Row) -> str:
    doses = [convert(float(lb), "lb/1000ft2", "kg/m2") for lb in row.inputs["product"].split("-")]
    return "-".join(f"{lb_1000ft2(fertiliser.nutrient_kg_m2(dose, row.inputs['pctN'])):g}" for dose in doses)


def lime(row: Row) -> float:
    if "S_lb" in row.inputs:
        return float(lime_and_sulfur.lime_undone_kg_m2(row.inputs["S_lb"]))
    return lb_ac(lime_and_sulfur.lime_kg_m2(row.inputs["acidity_meq"], FURROW_SLICE_KG_M2, 100.0))


SALTS: Answers = {
    ("salt_class", "class"): lambda row: str(salinity.salt_class(row.inputs["ECe"], row.inputs["ESP"])),
    ("sar", "SAR"):
        lambda row: float(sodium_adsorption_ratio(*(row.inputs[cation] for cation in ("Na", "Ca", "Mg")))),
    ("sar", "ESP"): lambda row: float(exchangeable_sodium_pct(row.inputs["SAR"])),
    ("leaching", "LR"): leaching,
    ("leaching", "applied_water"):
        lambda row: float(salinity.water_with_leaching_mm(row.inputs["ET_mm"], leaching(row))),
    ("maas_hoffman", "threshold_dSm;slope_pct_per_dSm"): tolerance,
    ("maas_hoffman", "relative_yield"): relative_yield,
    ("osmotic", "osmotic_potential"): lambda row: float(salinity.osmotic_potential_kpa(row.inputs["EC"])),
    ("tds", "TDS"): lambda row: float(salinity.dissolved_salt_mg_l(row.inputs["EC"])),
    ("tds", "salt"): salt_on_acre_feet,
    ("salt_index", "salt_index"): index_2001,
    ("salt_index_old", "salt_index"): older_index,
    ("salt_index_blend", "salt_index"): blend,
    ("salt_load", "NaNO3_equivalent"): salt_load,
    ("salt_load", "EC_rise_soil_water"): lambda row: float(salinity.conductivity_rise_ds_m(
        row.inputs["product_g_m2"] / 1000, row.inputs["water_L_m2"])),
}

NUTRIENTS: Answers = {
    ("units", "lb_ac"): lambda row: lb_ac(amount_in_soil_kg_m2(row.inputs["ppm"], FURROW_SLICE_KG_M2)),
    ("units", "soil_mass"): lambda row: lb_ac(soil_mass_kg_m2(
        row.inputs["bulk_density"], convert(row.inputs["depth_in"], "in", "m"))),
    ("units", "lb_1000ft2"): lambda row: convert(row.inputs["lb_ac"], "lb/ac", "lb/1000ft2"),
    ("units", "kg_ha"): lambda row: convert(row.inputs["lb_1000ft2"], "lb/1000ft2", "kg/ha"),
    ("units", "g_m2"): lambda row: convert(row.inputs["lb_1000ft2"], "lb/1000ft2", "g/m2"),
    ("organic_matter", "OM"): lambda row: float(organic_matter.organic_matter_pct(row.inputs["C_pct"], "van_bemmelen")),
    ("organic_matter", "OM_mass"):
        lambda row: lb_ac(organic_matter.share_of_soil_kg_m2(row.inputs["OM_pct"], FURROW_SLICE_KG_M2)),
    ("organic_matter", "organic_N"): organic_nitrogen,
    ("n_release", "N_release"): released,
    ("cn_ratio", "class"): lambda row: str(organic_matter.nitrogen_turnover(row.inputs["CN"])),
    ("cec", "H;K;Mg;Ca;Na;CEC;BS_pct"): clemson,
    ("cec", "CEC;BS_pct;Ca_pct"): summation,
    ("cec", "Ca_meq;Ca_sat_pct"): calcium,
    ("lime", "CaCO3"): lime,
    ("lime", "gypsum"): lambda row: lb_ac(gypsum_kg_m2(row.inputs["Na_meq"], FURROW_SLICE_KG_M2, 100.0, 1.0)),
    ("sulfur_to_pH4.5", "S_sand;loam;clay"): sulfur,
    ("sulfur_to_pH6.5", "S_sand;loam;clay"): sulfur,
    ("sulfur_cap", "S_max"): cap_span,
    ("sulfur_cap", "total;number_of_applications"): capped,
    ("sulfur_rhs", "S"): garden_span,
    ("fert_rate", "product"): product,
    ("fert_rate", "N"): nitrogen_span,
    ("tree_n_limit", "N_rates"): lambda _: tuple(lb_1000ft2(dose) for dose in fertiliser.nitrogen_tried_kg_m2()),
}


@pytest.mark.parametrize("row", asserted("chemistry.csv"))
def test_the_published_figure_is_met(row: Row) -> None:
    check(row, SALTS | NUTRIENTS)
