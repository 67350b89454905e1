"""The catalogue of readings: whole, in order, and its messages as the person reads them."""

from __future__ import annotations

import math
import re

import pytest

from rootcase.ground.errors import FileError, Missing
from rootcase.ground.units import convert, convertible
from rootcase.tables.load import table
from rootcase.tables.readings import ReadingKind, _kind, candidates, check, kind_of, kinds, message

ALL = list(kinds().values())
MEASURED = {"number", "share", "count", "integer", "profile"}


def test_the_catalogue_is_whole() -> None:
    assert len(ALL) >= 299
    assert {kind.of for kind in ALL} == {"tree", "sample", "pit", "place", "heap", "visit", "batch", "load"}
    assert [kind.kind for kind in ALL if kind.quick] == [
        "species", "shoot_length_last", "root_flare_state", "ground_under_crown", "probe_depth"]


def test_two_minutes_are_enough_for_the_first_answer() -> None:
    pushes = {"shoot_length_last": 3, "probe_depth": 3}
    assert sum(kind.minutes * pushes.get(kind.kind, 1) for kind in ALL if kind.quick) <= 2


@pytest.mark.parametrize("kind", ALL, ids=lambda kind: kind.kind)
def test_a_kind_says_all_it_must(kind: ReadingKind) -> None:
    assert kind.label
    assert kind.method
    assert kind.season
    assert kind.source
    assert set(kind.used_by) <= {"compare", "explain", "prescribe", "make", "apply", "prove"}
    assert kind.error_model in {"", "normal", "lognormal", "binomial", "poisson", "class-width"}
    assert (kind.error_size is None) == (kind.error_model == "")
    if kind.value_type in MEASURED:
        assert convertible(kind.us_unit, kind.si_unit)
        assert convertible(kind.metric_unit, kind.si_unit)
        assert None not in (kind.lower_hard, kind.lower_doubt, kind.upper_doubt, kind.upper_hard)
    assert bool(kind.choices) == (kind.value_type == "choice")
    assert bool(kind.axis) == (kind.value_type == "profile")


@pytest.mark.parametrize("kind", [kind for kind in ALL if kind.lower_hard is not None], ids=lambda kind: kind.kind)
def test_each_limit_parts_what_it_should(kind: ReadingKind) -> None:
    low, doubt_low, doubt_high, high = kind.lower_hard, kind.lower_doubt, kind.upper_doubt, kind.upper_hard
    assert low is not None and doubt_low is not None and doubt_high is not None and high is not None  # noqa: PT018
    assert low <= doubt_low < doubt_high <= high
    assert check(kind, doubt_low) == check(kind, doubt_high) == "ok"
    assert check(kind, low) == ("ok" if low == doubt_low else "doubt")
    assert check(kind, high) == ("ok" if high == doubt_high else "doubt")
    assert check(kind, low - 1) == check(kind, high + 1) == "impossible"
    assert check(kind, float("nan")) == "impossible"


def test_parts_of_the_choices_cell_are_told_apart() -> None:
    assert kind_of("ece").required == {"extract": ("paste", "1_1", "1_2", "1_5")}
    assert kind_of("ece").note == "only paste is ECe"
    assert kind_of("buffer_ph").required == {"buffer": ()}
    assert kind_of("shoot_length_by_year").axis.startswith("growth_year")
    assert kind_of("soil_colour").pattern.startswith("hue value/chroma")
    assert kind_of("applicator").note == "name; licence number; any uncertified helper"
    assert kind_of("slake_class").choices["0"] == "too loose to test, falls through the sieve"


def test_an_unknown_kind_gets_its_nearest() -> None:
    with pytest.raises(Missing, match=r'not in the catalogue \(got "probe_dept"\); Did you mean probe_depth'):
        kind_of("probe_dept")


# The slips of the catalogue's design: what was typed, and what is proposed.
@pytest.mark.parametrize(("code", "value", "unit", "proposed"), [
    ("penetration_profile", 300, "MPa", ("300 psi (2.07 MPa)",)),
    ("penetration_profile", 2, "psi", ("2 MPa (290 psi)",)),
    ("soil_temperature", 55, "degC", ("55 °F (12.8 °C)",)),
    ("heap_temperature", 64, "degF", ("64 °C (147 °F)",)),
    ("soil_ph", 65, "pH", ("6.5",)),
    ("soil_ph", 65.5, "pH", ()),  # it has its point
    ("hole_spacing", 2.5, "m", ("2.5 ft (0.762 m)",)),
    ("pump_pressure", 150, "bar", ("150 psi (10.3 bar)",)),
    ("bulk_density", 1350, "g/cm3", ("1350 kg/m³ (1.35 g/cm³)",)),
    ("bulk_density", 85, "g/cm3", ("0.85 g/cm³", "85 lb/ft³ (1.36 g/cm³)")),
    ("water_ec", 560, "dS/m", ("560 µS/cm (0.56 dS/m)", "560 ppm (0.875 dS/m)")),
    ("ece", 560, "dS/m", ("5.6 dS/m", "560 µS/cm (0.56 dS/m)", "560 mS/m (5.6 dS/m)", "560 ppm (0.875 dS/m)")),
    ("dissolved_oxygen", 92, "mg/L", ("9.2 mg/L", "92 % of saturation")),
    ("dissolved_oxygen", 900, "mg/L", ("9 mg/L",)),
    ("crown_dieback", 0.3, "%", ("30 %",)),
    ("soil_water_content", 0.25, "%", ("25 %",)),
    ("leaf_n", 25000, "%", ("25000 ppm (2.5 %)",)),
    ("calcium", 0.2, "ppm", ("0.2 % (2000 ppm)",)),
    ("batch_screen", 6000, "um", ("600 µm",)),
])
def test_a_slip_is_answered_with_what_was_meant(code: str, value: float, unit: str, proposed: tuple[str, ...]) -> None:
    kind = kind_of(code)
    assert check(kind, convert(value, unit, kind.si_unit)) != "ok"
    assert candidates(kind, value, unit) == proposed


@pytest.mark.parametrize(("code", "value", "unit", "line"), [
    ("penetration_profile", 300, "MPa",
     "Penetration resistance by depth, pit 3: 300 MPa is not possible (0 to 10 MPa). Did you mean 300 psi (2.07 MPa)?"),
    ("water_ec", 560, "dS/m",
     ("Water salinity, pit 3: 560 dS/m is not possible (0 to 20 dS/m). "
      "Did you mean 560 µS/cm (0.56 dS/m) or 560 ppm (0.875 dS/m)?")),
    ("heap_temperature", 64, "degF",
     "Heap temperature, pit 3: 64 °F is unusual (usual is 68 to 171 °F). Did you mean 64 °C (147 °F)?"),
    ("soil_ph", 1.9, "pH", "Soil pH, pit 3: 1.9 is not possible (2 to 12). Type it again."),
    ("soil_ph", 6.5, "pH", ""),
    ("crown_dieback", 0.3, "%", "Crown dieback, pit 3: 0.3 % is less than anybody can tell. Did you mean 30 %?"),
    ("slope", 60, "%", ("Slope, pit 3: 60 %. Was it read in degrees? 60 % is 31 degrees; 60 degrees would be 173 %.")),
    ("shoot_length_last", 0, "in",
     ("Last full year's shoot, pit 3: 0 in can be no growth or a part not read, and these are different. "
      "Write none seen, or not read.")),
])
def test_the_line_names_thing_value_limits_and_way_out(code: str, value: float, unit: str, line: str) -> None:
    assert message(kind_of(code), value, unit, "pit 3") == line


@pytest.mark.parametrize(("code", "share"), [
    ("crown_dieback", 0.05), ("crown_dieback", 0.0), ("esp", 0.005), ("carbonate", 0.004), ("slope", 0.005),
    ("total_nitrogen", 0.0009), ("heap_oxygen", 0.011)])
def test_a_share_that_may_lie_under_one_percent_is_not_taken_for_a_fraction(code: str, share: float) -> None:
    assert check(kind_of(code), share) == "ok"


@pytest.mark.parametrize("kind", [kind for kind in ALL if kind.value_type in MEASURED], ids=lambda kind: kind.kind)
def test_every_kind_has_its_line_in_both_units(kind: ReadingKind) -> None:
    assert kind.upper_hard is not None
    for unit in set(kind.pair) - {"mesh"}:
        typed = convert(kind.upper_hard * 1.5 + 1, kind.si_unit, unit)
        line = message(kind, typed, unit)
        assert "\n" not in line
        assert re.fullmatch(r".+: .+ is not possible \(.+\)\. (Did you mean .+\?|Type it again\.)", line)


@pytest.mark.parametrize(("cells", "wrong"), [
    ({"us_unit": "psi"}, "psi cannot become mm"),
    ({"lower_doubt": 9999.0}, "the limits are not in order"),
    ({"value_type": "choice", "choices": "a=first|b"}, "a choice has no definition"),
])
def test_a_wrong_row_is_named(cells: dict[str, object], wrong: str) -> None:
    row = dict(table("observe/readings").row(kind="dbh")) | cells
    with pytest.raises(FileError, match=rf"readings.csv dbh: {wrong}"):
        _kind(row)


def test_a_value_that_was_worked_out_is_not_told_to_nine_figures() -> None:
    assert message(kind_of("dbh"), 1380 / math.pi, "cm").startswith("Trunk diameter (DBH): 439.3 cm is unusual")
    assert "1234.56 cm" in message(kind_of("dbh"), 1234.56, "cm")
