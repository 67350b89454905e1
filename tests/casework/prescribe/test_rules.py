"""Rules of law lower, move or bar; nothing legal is built in."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from math import acos, pi, sqrt

import numpy as np
import pytest

from rootcase.casework.explain.ground import Ground
from rootcase.casework.prescribe.remedies import remedies
from rootcase.casework.prescribe.rules import (
    LAW_REASONS,
    Law,
    asked_of,
    law_at,
    leave_of,
    left_of,
    open_season,
    rules_here,
)
from rootcase.ground.words import say
from rootcase.records.observe import KeepOff, Place, Property, PropertyRecord, Reading, Rule, Tree
from rootcase.records.prescribe import Dose
from rootcase.tables.load import table

REMEDY = {remedy.code: remedy for remedy in remedies()}
OWNER = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)


def rule(topic: str, value: float | None = None, *, closed: tuple[str, str] = ("", ""), law: str = "A state",
         to: str = "compost|slow_nitrogen|extract|leach") -> Rule:
    return Rule(topic, law, value, "", *closed, tuple(to.split("|")), "a code", date(2015, 11, 4), "")


def law(*rules: Rule, tested: bool = False, southern: bool = False, **distances_m: float) -> Law:
    return Law(rules, distances_m, 4.0, tested, southern)


def record(*, told: tuple[Rule, ...] = (), of: str = "", outlines: tuple[Place, ...] = ()) -> PropertyRecord:
    return PropertyRecord(replace(OWNER, law=of), (), (), (), (), (), (), (), {}, outlines, told)


def test_without_a_rule_nothing_is_barred_lowered_or_moved() -> None:
    for remedy in remedies():
        leave = leave_of(remedy, law(buffer_water=0.0, buffer_well=0.0))
        assert (leave.reason, leave.share, leave.season) == ("", 1.0, remedy.season)


def test_a_cap_lowers_the_dose_and_a_looser_one_does_not() -> None:
    usual = REMEDY["slow_nitrogen"].mass_kg_m2
    assert usual is not None
    caps = rule("nitrogen_year", usual / 2.0), rule("nitrogen_once", usual * 3.0)
    half = leave_of(REMEDY["slow_nitrogen"], law(*caps))
    assert half.share == pytest.approx(0.5)
    dose = left_of(Dose(100.0, mass_kg=100.0 * usual), half)
    assert dose.mass_kg == pytest.approx(50.0 * usual)
    assert dose.mass_kg <= usual / 2.0 * dose.area_m2 * (1.0 + 1e-12)
    assert leave_of(REMEDY["slow_nitrogen"], law(rule("nitrogen_year", 0.0))).reason == "law_nitrogen"
    assert leave_of(REMEDY["extract"], law(rule("nitrogen_year", 0.0))).reason == ""


def test_compost_is_held_against_a_cap_by_what_nitrogen_it_brings() -> None:
    brings = float(table("prescribe/effects").row(effect="compost_nitrogen_kg_ha")["value"]) / 1e4
    assert leave_of(REMEDY["compost"], law(rule("nitrogen_year", brings * 0.9))).reason == "law_nitrogen"
    assert leave_of(REMEDY["compost"], law(rule("nitrogen_year", brings * 1.1))).reason == ""


def test_compost_waits_for_a_phosphorus_test_where_the_rule_asks_for_one() -> None:
    asks = rule("phosphorus_test")
    assert leave_of(REMEDY["compost"], law(asks)).reason == "law_phosphorus"
    assert leave_of(REMEDY["compost"], law(asks, tested=True)).reason == ""
    assert leave_of(REMEDY["slow_nitrogen"], law(asks)).reason == ""  # a feed can be had without


@pytest.mark.parametrize("beyond_m", [-1.0, 0.0, 1.0, 2.5, 4.0, 9.0])
def test_a_buffer_takes_the_part_of_a_round_root_zone_within_it(beyond_m: float) -> None:
    leave = leave_of(REMEDY["extract"], law(rule("buffer_water", 6.0), buffer_water=6.0 + beyond_m))
    # Beside it: points drawn evenly over the circle, and counted.
    generator = np.random.default_rng(7)
    east = 4.0 * np.sqrt(generator.random(200_000)) * np.cos(2.0 * pi * generator.random(200_000))
    counted = float(np.mean(east > -beyond_m)) if beyond_m > 0.0 else 0.0
    assert leave.area == pytest.approx(counted, abs=0.005)
    assert (leave.reason == "law_buffer") == (beyond_m <= 0.0)


def test_the_nearer_of_water_and_well_binds_and_an_unread_distance_does_not() -> None:
    both = (rule("buffer_water", 6.0), rule("buffer_well", 30.0))
    assert leave_of(REMEDY["leach"], law(*both, buffer_water=20.0)).area == 1.0
    assert leave_of(REMEDY["leach"], law(*both, buffer_water=20.0, buffer_well=25.0)).reason == "law_buffer"


def test_work_of_a_later_year_needs_an_open_season_too() -> None:
    """Chips may be laid at any time, but are laid in autumn and renewed in spring."""
    winter_only, from_summer = (law(rule("closed", closed=closed, to="mulch")) for closed in (
        ("03-01", "11-30"), ("06-16", "11-30")))
    assert leave_of(REMEDY["mulch"], winter_only).reason == "law_closed"
    assert leave_of(REMEDY["mulch"], from_summer).reason == ""


@pytest.mark.parametrize(("season", "closed", "southern", "open_"), [
    ("early_spring", ("12-01", "04-01"), False, "early_spring"),  # April's last weeks stay open
    ("early_spring", ("12-01", "05-01"), False, "spring"),
    ("early_spring", ("01-01", "06-30"), False, "autumn"),
    ("early_spring", ("12-01", "11-30"), False, ""),
    ("winter", ("12-01", "03-01"), False, ""),
    ("winter", ("12-01", "03-01"), True, "winter"),
    ("winter", ("06-01", "08-31"), True, ""),
    ("may_september", ("04-30", "09-30"), False, ""),
    ("may_september", ("10-31", "03-31"), True, ""),
    ("any", ("01-01", "12-30"), False, "any"),
])
def test_a_closed_season_moves_or_bars(season: str, closed: tuple[str, str], southern: bool, open_: str) -> None:
    told = law(rule("closed", closed=closed), southern=southern)
    assert open_season("leach", season, told) == open_
    assert open_season("mulch", season, told) == season  # the rule does not name it
    remedy = replace(REMEDY["leach"], code="sulfur", season=season)  # no year's work of its own stands in the table
    told = law(rule("closed", closed=closed, to="sulfur"), southern=southern)
    assert leave_of(remedy, told).reason == ("" if open_ else "law_closed")


def test_two_closed_times_close_together() -> None:
    told = law(rule("closed", closed=("01-01", "03-31")), rule("closed", closed=("04-01", "06-30")))
    assert open_season("slow_nitrogen", "early_spring", told) == "autumn"


def test_a_property_says_whose_rules_hold_and_where_it_does_not_all_do() -> None:
    told = tuple(rule("notice", days, law=whose) for days, whose in
                 ((2.0, "North"), (3.0, "Our own rules"), (4.0, "South")))
    assert [each.value for each in rules_here(record(told=told))] == [2.0, 3.0, 4.0]
    assert [each.value for each in rules_here(record(told=told, of="north; our own rules"))] == [2.0, 3.0]
    assert rules_here(record(told=told, of="East")) == ()


def test_water_is_measured_from_the_outline_where_the_tree_was_placed() -> None:
    pond = Place("w", "p", "pond", "water", ((10.0, 0.0), (10.0, 20.0), (30.0, 20.0), (30.0, 0.0)))
    read = Reading("r", "water_body_distance", "l", "v", date(2015, 11, 4), "r", 50.0, None, "=", None, "50 m")
    ground, drawn = Ground("lawn", {"water_body_distance": (read,)}), record(outlines=(pond,))
    far = {(4.0, 5.0): 6.0, (20.0, 10.0): 0.0, (33.0, 24.0): 5.0, (35.0, 10.0): 5.0, (20.0, -1.0): 1.0}
    for (east, north), apart in far.items():
        there = law_at(drawn, Tree("t", "p", "l", "oak", east, north), ground, pi * 16.0)
        assert there.distances_m["buffer_water"] == pytest.approx(apart)
        assert there.radius_m == pytest.approx(4.0)
    assert law_at(drawn, Tree("t", "p", "l", "oak", None, None), ground, 50.0).distances_m == {"buffer_water": 50.0}
    assert law_at(record(), Tree("t", "p", "l", "oak", 1.0, 1.0), Ground("lawn", {}), 50.0).distances_m == {}


def test_ground_to_keep_off_counts_with_its_distance_and_takes_ground_like_a_buffer() -> None:
    well = KeepOff("k", "p", "well", "drinking water", ((10.0, 0.0), (12.0, 0.0), (12.0, 2.0), (10.0, 2.0)), 3.0)
    drawn, ground = replace(record(), keep_off=(well,)), Ground("lawn", {})
    for east, beyond in ((4.0, 3.0), (7.0, 0.0), (11.0, -3.0)):
        there = law_at(drawn, Tree("t", "p", "l", "oak", east, 1.0), ground, pi * 16.0)
        assert there.keep_off_m == pytest.approx(beyond)
        left = leave_of(REMEDY["mulch"], there)
        assert (left.reason == "kept_off") == (beyond <= 0.0)
        assert leave_of(REMEDY["keep_off"], there).area == 1.0
    near = leave_of(REMEDY["mulch"], law_at(drawn, Tree("t", "p", "l", "oak", 4.0, 1.0), ground, pi * 16.0))
    # A straight edge 3 m from the middle of a circle of 4 m leaves all but its segment.
    assert near.area == pytest.approx(1 - (acos(0.75) - 0.75 * sqrt(1 - 0.75**2)) / pi)
    nowhere = law_at(drawn, Tree("t", "p", "l", "oak", None, None), ground, pi * 16.0)
    assert leave_of(REMEDY["mulch"], nowhere).area == 1.0
    assert say("prescribe.reason.kept_off")


def test_what_is_asked_names_only_what_is_to_be_done() -> None:
    told = [rule("notice", 2.0), rule("post", to="growth_regulator")]
    asked = asked_of(told, {"mulch", "compost"})
    assert [(each.topic, each.applies_to) for each in asked] == [("notice", ("compost",))]


def test_every_reason_of_the_law_has_words() -> None:
    assert all(say(f"prescribe.reason.{reason}") for reason in LAW_REASONS)


def test_every_season_of_a_remedy_has_its_days() -> None:
    known = {row["season"] for row in table("prescribe/seasons").rows}
    assert {remedy.season for remedy in remedies() if remedy.season} <= known
    assert {each for row in table("prescribe/seasons").rows for each in str(row["instead"]).split("|") if each} <= known
