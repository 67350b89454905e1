"""A remedy that can hurt somebody is never offered without the warning that belongs to it."""

from __future__ import annotations

import pytest

from rootcase.ground.words import say
from rootcase.tables.load import table

ROWS = {row["remedy"]: row for row in table("prescribe/remedies").rows}
CAUTIONS = {remedy: row["cautions"].split("|") if row["cautions"] else [] for remedy, row in ROWS.items()}
SPADE = {"turf_off"}  # turf is lifted by spade: the holes a client forbids are others, a cable is found all the same
SOAKED_AFTERWARDS = {"gypsum"}  # its sodium has to be washed out
RUNS_OFF = {"compost", "leach", "slow_nitrogen", "extract", "biostimulant"}
BOUGHT_WITH_A_LABEL = {"chelate", "sulfur", "growth_regulator", "slow_nitrogen", "mycorrhiza", "biostimulant"}


@pytest.mark.parametrize("remedy", sorted({r for r, row in ROWS.items() if row["breaks_surface"]} | SPADE))
def test_no_ground_is_opened_before_lines_are_marked(remedy: str) -> None:
    assert "locate_lines" in CAUTIONS[remedy]


@pytest.mark.parametrize("remedy", sorted({r for r, row in ROWS.items() if row["water_mm"]} | SOAKED_AFTERWARDS))
def test_no_hose_is_used_without_a_back_flow_guard(remedy: str) -> None:
    assert "backflow" in CAUTIONS[remedy]


@pytest.mark.parametrize(("remedy", "caution"), [
    *((each, "water_body") for each in sorted(RUNS_OFF)), *((each, "label") for each in sorted(BOUGHT_WITH_A_LABEL)),
    ("leach", "needs_drainage"), ("gypsum", "needs_drainage"), ("gypsum", "lab_rate"),
    ("slow_nitrogen", "fertiliser_law"), ("air_tillage", "air_lance"), ("air_tillage", "not_when_wet"),
    *((each, "not_when_wet") for each in ("open_flare", "core_holes", "radial_trenches", "soil_cracking")),
    *((each, "air_lance") for each in ("open_flare", "radial_trenches", "soil_cracking")), ("core_holes", "auger"),
    ("sulfur", "sulfur_dust"), ("gypsum", "gypsum_salt"), ("chelate", "trunk_wounds"), ("water", "not_in_rain"),
    ("growth_regulator", "licence"), ("extract", "extract_hygiene"), ("mulch", "off_trunk"),
    ("core_holes", "holes_trip"), ("radial_trenches", "no_large_roots"),
    ("air_tillage", "no_large_roots"), ("soil_cracking", "probe_pressure"),
    ("biochar", "raises_ph"), ("biochar", "dust"), ("sulfur", "ph_again"), ("deadwood", "work_at_height"),
    ("deadwood", "power_lines"), ("deadwood", "keep_live_leaf"), ("deadwood", "oak_wilt"),
])
def test_what_a_remedy_can_do_harm_with_is_said(remedy: str, caution: str) -> None:
    assert caution in CAUTIONS[remedy]


def test_every_caution_has_words() -> None:
    assert [c for each in CAUTIONS.values() for c in each if not say(f"prescribe.caution.{c}")] == []


@pytest.mark.parametrize("remedy", sorted(ROWS))
def test_every_remedy_says_what_it_is_and_what_speaks_against_it(remedy: str) -> None:
    assert say(f"dose.what.{remedy}")
    against = say(f"dose.why_not.{remedy}")
    if ROWS[remedy]["evidence"] == "trials found nothing":
        assert against.startswith("Trials found nothing")
    if ROWS[remedy]["evidence_without_need"] == "trials found nothing":
        assert "Trials found" in against


def test_the_list_holds_every_remedy_of_the_trade() -> None:
    assert {"core_holes", "radial_trenches", "soil_cracking", "biochar", "mycorrhiza", "biostimulant", "deadwood",
            "keep_off", "open_flare", "drainage", "soil_volume", "chelate", "sulfur", "growth_regulator", "stop_salt",
            "nothing"} <= ROWS.keys()
