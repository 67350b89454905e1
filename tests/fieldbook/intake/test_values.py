"""One cell of one kind: taken, doubted or refused with what would be right."""

from __future__ import annotations

from datetime import date

import pytest

from rootcase.fieldbook.intake.grid import Cell
from rootcase.fieldbook.intake.values import Value, read_value
from rootcase.ground.errors import RootcaseError, UnknownUnit
from rootcase.records.observe import System
from rootcase.tables.readings import kinds

DAY = date(2015, 11, 5)


def value(kind: str, cell: str | Cell, unit: str = "", system: System = "us") -> Value | None:
    return read_value(kinds()[kind], Cell(cell) if isinstance(cell, str) else cell, unit, system, DAY)


@pytest.mark.parametrize(("kind", "cell", "unit", "system", "si", "typed"), [
    ("dbh", "17", "", "us", 431.8, "17 in"), ("dbh", "17", "", "metric", 170.0, "17 cm"),
    ("dbh", "45 cm", "in", "us", 450.0, "45 cm"), ("dbh", "12 1/2", "in", "us", 317.5, "12 1/2 in"),
    ("crown_dieback", "25", "%", "us", 0.25, "25 %"), ("penetration_profile", "300", "psi", "us", 2.0684, "300 psi"),
    ("planting_year", "1978", "", "us", 1978.0, "1978"), ("soil_temperature", "50", "", "us", 10.0, "50 °F"),
    ("borer_hole_count", "0", "", "us", 0.0, "0")])
def test_a_number_is_converted_once_and_kept_as_typed(kind: str, cell: str, unit: str, system: System, si: float,
                                                      typed: str) -> None:
    found = value(kind, cell, unit, system)
    assert found is not None
    assert (found.value, found.typed, found.doubts) == (pytest.approx(si, rel=1e-4), typed, ())


@pytest.mark.parametrize(("kind", "cell", "message"), [
    ("penetration_profile", Cell("300 MPa"), "300 MPa is not possible .* Did you mean 300 psi"),
    ("soil_ph", Cell("65"), "Did you mean 6.5"), ("dbh", Cell("10-15"), "a range is not taken"),
    ("dbh", Cell("2015-04-03", "date"), "turned a number into a date"), ("dbh", Cell("17 furlongs"), "unit"),
    ("dbh", Cell("3 psi"), "psi"),
    ("planting_year", Cell("'03"), "not a year.*Did you mean 2003 or 1903"),
    ("planting_year", Cell("3003"), "3003 is not possible .1500 to 2100."),
    ("planting_year", Cell("2062"), "lies after the visit of 2015.* Did you mean 2002 or 1962"),
    ("stem_count", Cell("2.5"), "whole number"), ("dbh", Cell("big"), "this is not a value"),
    ("ground_under_crown", Cell("grass"), "one of: litter, mulch, turf"),
    ("shoot_length_by_year", Cell("0"), "no growth or a part not read"),
    ("locate_expires", Cell("42313", "number"), "turned a date into a number")])
def test_what_cannot_be_is_refused_with_the_reason(kind: str, cell: Cell, message: str) -> None:
    with pytest.raises(RootcaseError, match=message):
        value(kind, cell)


def test_what_is_unusual_is_taken_with_its_doubt() -> None:
    found = value("dbh", "70")
    assert found is not None
    assert found.value == pytest.approx(1778)
    assert "70 in is unusual" in found.doubts[0] or "70 in" in found.doubts[0]


@pytest.mark.parametrize(("typed", "meant"), [
    ("Qercus rubra", "Quercus rubra"), ("Acer sacharinum", "Acer saccharinum"), ("Red oak", "Quercus rubra"),
    ("ACRU", "Acer rubrum"),
])
def test_a_species_that_looks_like_a_slip_is_kept_and_asked_about(typed: str, meant: str) -> None:
    found = value("species", typed)
    assert found is not None
    assert found.choice == typed
    assert [meant in doubt for doubt in found.doubts] == [True]


@pytest.mark.parametrize(("typed", "kept"), [
    ("Quercus rubra", "Quercus rubra"), ("quercus  RUBRA", "Quercus rubra"), ("Quercus sp.", "Quercus sp."),
    ("Platanus x hispanica", "Platanus x acerifolia"), ("Sassafras albidum", "Sassafras albidum"),
    ("Quercus ilex", "Quercus ilex"), ("oak", "Quercus sp."), ("green ash", "Fraxinus pennsylvanica"),
    ("Quercus hartwissiana", "Quercus hartwissiana"),
])
def test_a_species_we_know_or_could_not_guess_is_not_asked_about(typed: str, kept: str) -> None:
    found = value("species", typed)
    assert found is not None
    assert (found.typed, found.choice, found.doubts) == (typed, kept, ())


def test_a_cultivar_is_kept_beside_its_kind() -> None:
    found = value("species", "Red maple 'October Glory'")
    assert found is not None
    assert (found.choice, found.attributes) == ("Acer rubrum", {"cultivar": "October Glory"})


@pytest.mark.parametrize("typed", ["unknown", "STUMP", "vacant site"])
def test_what_names_no_kind_of_tree_is_no_kind_of_tree(typed: str) -> None:
    found = value("species", typed)
    assert found is not None
    assert (found.typed, found.choice, found.nothing, found.doubts) == (typed, None, "not read", ())


@pytest.mark.parametrize("cell", ["", "-", "n/a", "?"])
@pytest.mark.parametrize("kind", ["dbh", "ground_under_crown", "species"])
def test_blanks_are_no_reading(kind: str, cell: str) -> None:
    assert value(kind, cell) is None


@pytest.mark.parametrize("cell", ["none seen", "not looked", "not read"])
@pytest.mark.parametrize("kind", ["borer_hole_count", "mottles", "pest_name"])
def test_the_three_kinds_of_nothing_are_kept_apart(kind: str, cell: str) -> None:
    found = value(kind, cell)
    assert found is not None
    assert (found.nothing, found.value, found.choice, found.typed) == (cell, None, None, cell)


def test_words_that_are_a_choice_are_the_choice() -> None:
    assert value("root_flare_state", "not looked") == Value("not looked", choice="not_looked")
    assert value("ground_under_crown", "Own leaves and duff") == Value("Own leaves and duff", choice="litter")


def test_more_than_stays_a_sign_and_a_depth_not_reached_is_said() -> None:
    found = value("probe_depth", ">40", "in")
    assert found is not None
    assert (found.sign, found.value) == (">", pytest.approx(1016))
    assert value("penetration_profile", "stopped") == Value("stopped", choice="stopped")


def test_how_an_unclear_text_was_read_is_told_back() -> None:
    found = value("bulk_density", "1,250")
    assert found is not None
    assert found.value == 1.25
    assert "only 1.25 is possible" in found.said


def test_a_factor_makes_the_number_one_of_the_kind_before_it_is_held_against_the_limits() -> None:
    girth = read_value(kinds()["dbh"], Cell("220"), "in", "us", None, factor=0.25)
    assert girth is not None
    assert (girth.typed, girth.value, girth.doubts) == ("220 in", pytest.approx(55 * 25.4), ())


@pytest.mark.parametrize("text", ["0215-06-13", "0001-01-01", "31 Dec 1899"])
def test_a_day_before_anybody_read_anything_is_refused(text: str) -> None:
    with pytest.raises(RootcaseError, match="older than 1900"):
        value("work_started", text)
    first = value("work_started", "1 Jan 1900")
    assert first is not None
    assert first.choice == "1900-01-01"


def test_a_unit_of_something_else_is_answered_with_those_of_the_kind() -> None:
    with pytest.raises(UnknownUnit, match=r'is not measured in lb \(got "3 lb"\); such as in, cm$'):
        read_value(kinds()["dbh"], Cell("3 lb"), "", "us", None)
