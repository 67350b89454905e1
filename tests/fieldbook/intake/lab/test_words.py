"""Headers of laboratories' sheets: the kind, the unit, the factor and the method each means, and what is asked."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rootcase.fieldbook.intake.lab.amounts import formula_factor
from rootcase.fieldbook.intake.lab.words import Analyte, Matrix, analyte
from rootcase.ground.units import convert, convertible
from rootcase.ground.words import say
from rootcase.tables.load import table
from rootcase.tables.readings import kinds

MANY = settings(max_examples=5 * settings.default.max_examples)
"""10,000 in the long run: what a laboratory prints is a stranger's as much as its file is."""


def meant(header: str, unit: str = "", matrix: Matrix = "soil", layer_m: float | None = None) -> Analyte:
    found = analyte(header, unit, matrix, layer_m)
    assert found is not None
    return found


@pytest.mark.parametrize(("header", "kind", "ten", "attributes"), [
    # Header, kind, what a printed 10 is in the kind's own unit, what the header says of the method.
    ("P (Mehlich III) ppm", "phosphorus", 10, {"extractant": "mehlich_3"}),
    ("M3-P mg/kg", "phosphorus", 10, {"extractant": "mehlich_3"}),
    ("Olsen-P mg/kg", "phosphorus", 10, {"extractant": "olsen"}),
    ("OLSEN P (PPM)", "phosphorus", 10, {"extractant": "olsen"}),
    ("Weak Bray, ppm", "phosphorus", 10, {"extractant": "bray_p1"}),
    ("P lb P2O5/A (0-6 in)", "phosphorus", 10 * 0.43643 / 2, {"layer_as_printed": "0-6 in"}),
    ("P (Kelowna) ppm", "phosphorus", 10, {"extractant": "other", "extractant_as_printed": "Kelowna"}),
    ("Phosphorus, M1, ppm", "phosphorus", 10, {"extractant": "other", "extractant_as_printed": "M1"}),
    ("P₂O₅ mg/100 g", "phosphorus", 10 * 10 * 0.43643, {}),
    ("Potassium (NH4OAc) [mg kg-1]", "potassium", 10, {"extractant": "ammonium_acetate"}),
    ("K meq/100g", "potassium", 10 * 390.98, {}),
    ("Exch. Ca cmol(+)/kg", "calcium", 10 * 200.39, {}),
    ("Mg mg/kg", "magnesium", 10, {}),
    ("Na ppm", "sodium", 10, {}),
    ("Exch. Na %", "esp", 0.1, {}),
    ("NO3-N ppm", "nitrate_n", 10, {}),
    ("Nitrate Nitrogen (NO3-N) mg/kg", "nitrate_n", 10, {}),
    ("Nitrate as NO3 mg/kg", "nitrate_n", 2.2590, {}),
    ("NH4-N mg kg⁻¹", "ammonium_n", 10, {}),
    ("SO4-S (M3) ppm", "sulfate_s", 10, {"extractant": "mehlich_3"}),
    ("Zn DTPA µg/g", "zinc", 10, {"extractant": "dtpa"}),
    ("B, hot water, ppm", "boron", 10, {"extractant": "hot_water"}),
    ("OM % (LOI)", "organic_matter", 0.1, {"method": "loss_on_ignition"}),
    ("Org. Matter (Walkley-Black) g/kg", "organic_matter", 0.01,
     {"method": "carbon_x_1.724", "method_as_printed": "Walkley-Black"}),
    ("Organic C x 1.724 %", "organic_matter", 0.1724, {"method": "carbon_x_1.724"}),
    ("Org C % (Walkley-Black) (x 2)", "organic_matter", 0.2,
     {"method": "carbon_x_2", "method_as_printed": "Walkley-Black"}),
    ("Total N %", "total_nitrogen", 0.1, {}),
    ("N %", "total_nitrogen", 0.1, {}),
    ("TKN mg/kg", "total_nitrogen", 1e-5, {}),
    ("pH (1:1 water)", "soil_ph", 10, {"method": "water_1_1"}),
    ("Soil pH 1:2.5 H2O", "soil_ph", 10, {"method": "water_1_2.5"}),
    ("pH CaCl2", "soil_ph", 10, {"method": "cacl2"}),
    ("pH CaCl2 0.01M", "soil_ph", 10, {"method": "cacl2"}),
    ("pH (0.01 M CaCl₂)", "soil_ph", 10, {"method": "cacl2"}),
    ("pH", "soil_ph", 10, {}),
    ("pH CaCl2 (1:2.5)", "soil_ph", 10, {"method": "cacl2", "method_as_printed": "1:2.5"}),
    ("pH KCl 1:2.5", "soil_ph", 10, {"method_as_printed": "KCl 1:2.5"}),
    ("pH (H2O) 1:2.5, glass electrode", "soil_ph", 10,
     {"method": "water_1_2.5", "method_as_printed": "glass electrode H2O"}),
    ("pH in water", "soil_ph", 10, {"method_as_printed": "water"}),
    ("Buffer pH (SMP)", "buffer_ph", 10, {"buffer": "SMP"}),
    ("Mehlich Buffer pH", "buffer_ph", 10, {"buffer": "Mehlich Buffer"}),
    ("EC 1:2 mmhos/cm", "ece", 10, {"extract": "1_2"}),
    ("EC1:5 (µS/cm)", "ece", 0.01, {"extract": "1_5"}),
    ("Sol. Salts 1:5 dS/m", "ece", 10, {"extract": "1_5"}),
    ("ECe (sat. paste) mS/cm", "ece", 10, {"extract": "paste"}),
    ("Soluble Salts, 1:2, ppm (640 ppm = 1 dS/m)", "ece", 10 / 640, {"extract": "1_2"}),
    ("CEC meq/100g", "cec", 10, {}),
    ("CEC, sum of cations, cmolc/kg", "cec", 10, {"method": "summation"}),
    ("% Sand", "sand", 0.1, {}),
    ("Clay (<0.002 mm) g/kg", "clay", 0.01, {"size_as_printed": "<0.002 mm"}),
    ("ESP %", "esp", 0.1, {}),
    ("SAR", "sar", 10, {}),
    ("Lime CaCO3 %", "carbonate", 0.1, {}),
    ("Cl mg/L 1:5", "chloride", 50, {"extract": "1_5"}),
    ("C.E.C. (meq/100 g)", "cec", 10, {}),
    ("E.C. (1:1) dS/m", "ece", 10, {"extract": "1_1"}),
    ("P1 (weak Bray) ppm", "phosphorus", 10, {"extractant": "bray_p1"}),
    ("Colwell P mg/kg", "phosphorus", 10, {"extractant": "other", "extractant_as_printed": "Colwell"}),
    ("Respiration mg CO2/kg/day", "soil_respiration", 10 * 12.011 / 44.009, {}),
    ("Respiration mg CO2-C/kg/day (24 h)", "soil_respiration", 10, {"hours": "24"}),
    ("CO2-C, 72 hr, ppm", "soil_respiration", 10 / 3, {"hours": "72"}),
])
def test_a_header_means_one_kind(header: str, kind: str, ten: float, attributes: dict[str, str]) -> None:
    found = meant(header)
    assert (found.kind, dict(found.attributes), found.asks) == (kind, attributes, ())
    assert convert(10 * found.factor, found.unit, kinds()[kind].si_unit) == pytest.approx(ten, rel=1e-4)


@pytest.mark.parametrize(("header", "unit", "kind", "ten"), [
    ("N", "%", "leaf_n", 0.1), ("Nitrogen (N)", "% DM", "leaf_n", 0.1), ("P", "g/kg", "leaf_p", 0.01),
    ("K %", "", "leaf_k", 0.1), ("Ca", "", "leaf_ca", 0.1), ("Mg", "mg/kg", "leaf_mg", 1e-5),
    ("S %", "", "leaf_s", 0.1),
    ("Fe ppm", "", "leaf_fe", 10), ("Mn", "ppm dry matter", "leaf_mn", 10), ("Zn", "", "leaf_zn", 10),
    ("Cu mg kg-1", "", "leaf_cu", 10), ("B", "ppm", "leaf_b", 10), ("Al", "ppm", "leaf_al", 10),
    ("Na", "%", "leaf_na", 1e5), ("Cl %", "", "leaf_cl", 0.1), ("Total N", "%", "leaf_n", 0.1),
])
def test_in_a_leaf_the_same_words_mean_the_leaf(header: str, unit: str, kind: str, ten: float) -> None:
    found = meant(header, unit, "leaf")
    assert (found.kind, found.asks) == (kind, ())
    assert convert(10 * found.factor, found.unit, kinds()[kind].si_unit) == pytest.approx(ten, rel=1e-9)


@pytest.mark.parametrize(("header", "headers"), [
    ("NO3 ppm", ("NO3 ppm (as N)", "NO3 ppm (as NO3)")),
    ("Nitrate (NO3) mg/kg", ("Nitrate (NO3) mg/kg (as N)", "Nitrate (NO3) mg/kg (as NO3)")),
    ("Phosphate mg/kg", ("Phosphate mg/kg (as P)", "Phosphate mg/kg (as P2O5)")),
    ("EC dS/m", tuple(f"EC dS/m ({each})" for each in ("saturated paste", "1:1", "1:2", "1:5"))),
    ("Org C %", ("Org C % (x 1.724)", "Org C % (x 2)")),
    ("P Mehlich ppm", ("P Mehlich ppm (mehlich 1)", "P Mehlich ppm (mehlich 3)")),
    ("K", ("K (ppm)", "K (lb/ac of 0-6 in)", "K (kg/ha of 0-15 cm)")),
    ("Bray-1 P lb/A", ("Bray-1 P lb/A (0-6 in)", "Bray-1 P lb/A (0-8 in)", "Bray-1 P lb/A (0-12 in)")),
    ("P mg/l (Olsen)", ("P mg/l (Olsen) (1.0 kg/l)", "P mg/l (Olsen) (1.2 kg/l)")),
    ("N ppm", ("Nitrate-N (ppm)", "Ammonium-N (ppm)", "Total N (ppm)")),
    ("Na %", ("Na % (exchangeable)",)),
    ("Lime", ("Lime (%)",)),
    ("Respiration mg/kg/day", ("Respiration mg/kg/day (as C)", "Respiration mg/kg/day (as CO2)")),
    ("Cl- mg/L (ISE)", tuple(f"Cl- mg/L (ISE) ({each})" for each in ("1:1", "1:2", "1:5"))),
])
def test_what_can_mean_two_things_is_asked_and_any_answer_settles_it(header: str, headers: tuple[str, ...]) -> None:
    (ask,) = meant(header).asks
    assert ask.headers == headers
    assert [meant(answer).asks for answer in headers] == [()] * len(headers)


@pytest.mark.parametrize("header", [
    "P index", "K rating", "P2O5 recommended lb/A", "Lime requirement t/ha", "K base saturation %", "Ca:Mg ratio",
    "Ca %", "Total P mg/kg", "C:N", "Crop", "Notes", "Number", "", "pH ppm", "OM meq/100g", "SAR dS/m", "EC %",
    "P dS/m", "Nitrogen needed lb/A", "Sufficiency K", "P (Kelowna index)", "K lb/A (recommended)",
    "H %", "Species", "DBH (in)", "Tree height ft",
])
def test_what_is_no_content_is_left_alone(header: str) -> None:
    assert analyte(header) is None


def test_pounds_an_acre_follow_the_layer() -> None:
    """2,000,000 lb an acre in the furrow slice of 6 2/3 in, so 2 lb/acre are 1 ppm; 13 1/3 in weigh twice."""
    assert meant("P lb/A", layer_m=convert(6, "in", "m")).factor == pytest.approx(0.5, rel=1e-12)
    assert meant("P lb/A (0-7 in)").factor == pytest.approx(0.5, rel=1e-12)
    assert meant("P lb/A", layer_m=convert(40, "in", "m") / 3).factor == pytest.approx(0.25, rel=1e-12)
    # By hand: 2,000,000 lb/acre are 2,241,702 kg/ha, so 1 kg/ha in them is 0.4461 mg/kg.
    assert meant("P kg/ha 0-15 cm").factor == pytest.approx(0.4461, rel=1e-4)
    assert "0-12 in" in meant("P lb/A (0-12 in)").attributes["layer_as_printed"]


@pytest.mark.published
@pytest.mark.parametrize(("form", "element", "printed"), [
    # Factors as fertiliser and water handbooks print them (memory).
    ("NO3", "N", 0.2259), ("NH4", "N", 0.7765), ("P2O5", "P", 0.4364), ("K2O", "K", 0.8301), ("CaO", "Ca", 0.7147),
    ("MgO", "Mg", 0.6030), ("SO4", "S", 0.3338)])
def test_substances_by_atomic_weights(form: str, element: str, printed: float) -> None:
    assert formula_factor(form, element) == pytest.approx(printed, abs=1.01e-4)


def test_a_unit_in_the_header_wins_and_one_we_do_not_know_stops_the_column() -> None:
    assert meant("P mg/kg", "lb/A").unit == "mg/kg"
    (ask,) = meant("P", "furlongs").asks
    assert (ask.headers, "furlongs" in ask.question) == ((), True)


def words_of(name: str) -> list[str]:
    return [word for row in table(name).rows for word in row["words"].split("|")]


PIECES = st.sampled_from([
    *words_of("observe/analyte_words"), *words_of("observe/laboratory_methods"), *say("lab.beside").split("|"),
    "%", "ppm", "mg/kg", "mg/L", "lb/A", "kg/ha", "meq/100g", "dS/m", "g/kg", "pH", "as N", "as NO3", "as P2O5",
    "(", ")", ",", "[", "]", "0-6 in", "0-20 cm", "1:5", "1.2 kg/l", "640 ppm = 1 dS/m", "index", "<0.002 mm"])


def hold(header: str, unit: str, matrix: Matrix) -> None:
    found = analyte(header, unit, matrix)
    if found is None:
        return
    kind = kinds()[found.kind]
    assert convertible(found.unit, kind.si_unit)
    assert found.factor > 0
    assert kind.of == "sample"
    allowed: dict[str, Any] = dict(kind.required)
    for name, value in found.attributes.items():
        assert value
        assert name.endswith("_as_printed") or not allowed[name] or value in allowed[name]
    for ask in found.asks:
        assert ask.question
        for answer in ask.headers:
            settled = meant(answer, unit, matrix)
            assert len(settled.asks) < len(found.asks), answer


@MANY
@given(st.lists(PIECES, max_size=7).map(" ".join),
       st.sampled_from(["", "%", "ppm", "mg/l", "lb/ac", "dS/m", "x", "pH"]), st.sampled_from(["soil", "leaf"]))
def test_no_header_of_known_words_misleads(header: str, unit: str, matrix: Matrix) -> None:
    hold(header, unit, matrix)


@pytest.mark.parametrize("header", ["organic matter organic carbon", "Organic carbon / organic matter %", "OM (OC)"])
def test_a_header_of_matter_and_carbon_is_neither(header: str) -> None:
    assert analyte(header) is None


@MANY
@given(st.text(max_size=40), st.text(max_size=12), st.sampled_from(["soil", "leaf"]))
def test_no_text_breaks_it(header: str, unit: str, matrix: Matrix) -> None:
    hold(header, unit, matrix)
