"""The forms of the full reading ask every kind that a phone can take, moisture before hardness, each by its words."""

from __future__ import annotations

import pytest

from rootcase.ground.words import catalogue
from rootcase.services.field_forms import field_forms
from rootcase.tables.load import table
from rootcase.tables.readings import kinds

BY_ITSELF = {"visit_start", "observer", "latitude", "longitude", "degree_days"}
"""Made by the phone, the map and the station."""
FIRST_LOOK = {"shoot_length_last"}
ON_THE_FIELD_SHEET = {"ring_width_by_year", "deadwood_count", "root_count_profile", "catch_depth", "catch_volume",
                      "catch_cup_diameter", "catch_minutes", "zone_heads"}
AT_A_BENCH = {"leaf_shape_factor", "leaf_area_photo", "crown_gap_photo", "soil_colour_photo",
              "fine_root_length", "mycorrhiza_tips"}
ROWS = table("observe/forms").rows


def test_every_kind_that_is_observed_is_asked_once_or_left_for_a_reason() -> None:
    asked = [row["kind"] for row in ROWS]
    wanted = {code for code, kind in kinds().items()
              if kind.stage == "observe" and kind.of in ("tree", "pit", "place", "visit")}
    assert len(asked) == len(set(asked))
    assert wanted - set(asked) == BY_ITSELF | FIRST_LOOK | ON_THE_FIELD_SHEET | AT_A_BENCH
    assert {code for code in asked if kinds()[code].stage != "observe"} == set()


def test_moisture_is_felt_before_hardness_and_smell_at_once() -> None:
    asked = [row["kind"] for row in ROWS]
    hardness = ("penetration_profile", "pocket_penetration", "probe_depth")
    assert all(asked.index("soil_moisture_feel") < asked.index(each) for each in hardness)
    assert asked.index("soil_smell") == asked.index("soil_moisture_feel") + 1
    assert asked.index("penetrometer_cone") < asked.index("penetration_profile")


@pytest.mark.parametrize("section", ["form", "tool", "season"])
def test_all_that_is_named_has_words(section: str) -> None:
    named = {"form": {f"form_name.{row['form']}" for row in ROWS},
             "tool": {f"tool.{row['tool']}" for row in ROWS if row["tool"]},
             "season": {f"season.{kinds()[row['kind']].season}" for row in ROWS} - {"season.any"}}[section]
    assert {f"field.{each}" for each in named} - catalogue("en").keys() == set()


def test_companions_and_seasons_are_of_the_catalogue() -> None:
    told = {each for row in table("observe/companions").rows for each in (row["kind"], row["companion"])}
    assert told <= kinds().keys()
    assert {kind.season for kind in kinds().values()} - field_forms()["seasons"].keys() == {"any"}
    assert all(step[0] < step[1] for system in field_forms()["depths"].values()
               for step in (tuple(map(float, ends)) for ends in system))


def test_what_a_method_sends_to_the_note_has_one() -> None:
    noted = {ask["kind"] for form in field_forms()["forms"] for ask in form["asks"] if ask["noted"]}
    assert {"borer_hole_count", "wind_speed", "layer_change", "trunk_flat_side"} <= noted
    assert not noted & {"dbh", "cover_share_by_ring", "helper_count"}
