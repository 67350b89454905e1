"""Pests: the plant's threshold decides, the eye's is told apart; degree days call looks or say that they cannot."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.casework.explain.pests import pests_of
from rootcase.casework.explain.pests_findings import tree_pests
from rootcase.casework.explain.pests_looks import SHIFT
from rootcase.records.observe import Forecast, PropertyRecord, Reading, Tree, Weather
from rootcase.records.pests import VERDICTS, PestFinding
from rootcase.tables.load import table
from rootcase.tables.readings import kinds
from tests.casework.property import OWNER, PLACES

QUIET, WATCH, ACT = VERDICTS
JUNE = date(2015, 6, 2)
TREE = Tree("t", "prop", "field", "tree 1", None, None)


def read(kind: str, value: float | None = None, choice: str | None = None, day: date = JUNE, *,
         none_seen: bool = False) -> Reading:
    return Reading(f"{kind}/{day}/{value}/{choice}", kind, "t", "visit", day, "a", value, choice, "=",
                   "none seen" if none_seen else None, str(value or choice))


def ground(*readings: Reading, species: str = "Quercus rubra", south: bool = False) -> PropertyRecord:
    named = (read("species", choice=species, day=date(2014, 1, 1)),) if species else ()
    owner = replace(OWNER, latitude_deg=-37.0) if south else OWNER
    return PropertyRecord(owner, PLACES, (TREE,), (), (), (), (*named, *readings), (), {})


def one(*readings: Reading, today: date = JUNE, **ground_of: object) -> PestFinding:
    found = tree_pests(ground(*readings, **ground_of), TREE, today, {})  # type: ignore[arg-type]
    assert found is not None
    return found.findings[0]


@pytest.mark.parametrize(("loss", "verdict", "if_worse"), [
    (0.08, QUIET, QUIET), (0.20, WATCH, WATCH), (0.40, WATCH, ACT), (0.60, ACT, ACT)])
def test_a_broadleaf_bears_what_the_bands_say(loss: float, verdict: str, if_worse: str) -> None:
    assert one(read("defoliation", loss)).verdict == verdict
    assert one(read("defoliation", loss), read("crown_dieback", 0.3)).verdict == if_worse
    assert one(read("defoliation", loss), read("defoliation", 0.2, day=date(2014, 6, 1))).verdict == if_worse
    assert one(read("defoliation", loss), read("planting_year", 2014.0)).verdict == if_worse


def test_a_conifer_bears_less_and_a_tree_of_unknown_kind_is_held_to_that() -> None:
    assert one(read("defoliation", 0.32)).verdict == WATCH
    assert one(read("defoliation", 0.32), species="Picea abies").verdict == ACT
    assert one(read("defoliation", 0.32), species="Larix decidua").verdict == WATCH
    unknown = one(read("defoliation", 0.32), species="")
    assert (unknown.verdict, unknown.reasons) == (ACT, ("kind_not_known",))


def test_the_eye_and_the_plant_have_thresholds_of_their_own() -> None:
    leaf = one(read("defoliation", 0.15))
    assert (leaf.plant_from, leaf.eye_from) == (0.30, 0.10)
    assert one(read("defoliation", 0.15), species="Pinus strobus").plant_from == 0.20
    stipple = one(read("stipple", choice="light"))
    assert (stipple.verdict, stipple.plant_from, stipple.eye_from) == (QUIET, None, 0.05)
    assert one(read("borer_hole_count", 2.0)).plant_from is None, "holes are no share"


def test_late_in_the_season_a_leafy_tree_minds_less() -> None:
    assert one(read("defoliation", 0.6, day=date(2015, 8, 20)), today=date(2015, 8, 20)).verdict == WATCH
    assert one(read("defoliation", 0.6, day=date(2015, 8, 20)), today=date(2015, 8, 20),
               species="Picea abies").verdict == ACT
    assert one(read("defoliation", 0.6, day=date(2015, 2, 20)), south=True).verdict == WATCH
    assert one(read("defoliation", 0.6, day=date(2015, 2, 20))).verdict == ACT


@pytest.mark.parametrize(("readings", "verdict"), [
    ((read("borer_hole_count", 1.0),), ACT),
    ((read("borer_hole_count", 20.0), read("borer_hole_shape", choice="rows")), QUIET),
    ((read("borer_hole_shape", choice="d_shape"),), ACT),
    ((read("limb_flagging", choice="several"),), WATCH),
    ((read("limb_flagging", choice="one"), read("wood_stain", choice="stain")), ACT),
    ((read("leaf_spots", choice="moderate"),), QUIET),
    ((read("leaf_spots", choice="heavy"),), WATCH)])
def test_borers_and_stained_wood_have_no_tolerable_level_and_spots_are_mostly_cosmetic(
        readings: tuple[Reading, ...], verdict: str) -> None:
    assert one(*readings).verdict == verdict


def test_helpers_go_first_unless_the_count_runs_away() -> None:
    before = date(2015, 5, 12)
    heavy = (read("honeydew", choice="heavy"), read("crown_dieback", 0.3))
    assert one(*heavy, read("aphid_count", 400.0)).verdict == ACT
    calm = one(*heavy, read("aphid_count", 400.0), read("helper_count", 5.0))
    assert (calm.verdict, "helpers_found" in calm.reasons) == (WATCH, True)
    runs = one(*heavy, read("aphid_count", 400.0), read("aphid_count", 100.0, day=before), read("helper_count", 5.0))
    assert (runs.verdict, "rising" in runs.reasons) == (ACT, True)
    assert "helpers_not_counted" in one(read("aphid_count", 40.0)).reasons
    assert "helpers_not_counted" not in one(read("aphid_count", 40.0), read("helper_count", none_seen=True)).reasons


def test_a_count_without_its_damage_is_watched_and_chance_is_no_rise() -> None:
    alone = one(read("scale_count", 4.0))
    assert (alone.verdict, "damage_not_read" in alone.reasons) == (WATCH, True)
    assert one(read("aphid_count", 4.0), read("honeydew", choice="light")).verdict == QUIET
    doubled = [read("aphid_count", 2.0, day=date(2015, 5, 20)), read("honeydew", choice="light")]
    assert "rising" not in one(*doubled, read("aphid_count", 4.0)).reasons
    assert one(*doubled, read("aphid_count", 40.0)).verdict == WATCH


def test_looked_for_and_not_there_is_neither_a_finding_nor_silence() -> None:
    found = tree_pests(ground(read("borer_hole_count", none_seen=True), read("wood_stain", choice="none"),
                              read("pest_name", choice="some beetle")), TREE, JUNE, {})
    assert found is not None
    assert (found.findings, found.clean, found.named) == ((), ("borer_hole_count", "wood_stain"), ("some beetle",))
    assert tree_pests(ground(replace(read("defoliation", None), nothing="not looked")), TREE, JUNE, {}) is None
    assert tree_pests(ground(read("wood_stain", choice="not_cut")), TREE, JUNE, {}) is None


def test_the_date_to_look_again_lies_ahead() -> None:
    quiet = read("defoliation", 0.05)
    assert one(quiet).look_again == date(2015, 6, 30)
    assert one(read("defoliation", 0.4)).look_again == date(2015, 6, 16)
    winter = date(2016, 1, 15)
    assert one(quiet, today=winter).look_again == date(2016, 6, 2)
    found = tree_pests(ground(quiet), TREE, winter, {"leaf_eaters": date(2016, 4, 1)})
    assert found is not None
    assert found.findings[0].look_again == date(2016, 4, 1)


@pytest.mark.property
@given(st.floats(0, 1), st.floats(0, 1), st.booleans(), st.sampled_from(["Quercus rubra", "Picea abies", ""]))
def test_more_loss_is_never_taken_more_lightly(one_loss: float, other: float, stressed: bool, species: str) -> None:
    beside = (read("crown_dieback", 0.3),) if stressed else ()
    less, more = (one(read("defoliation", loss), *beside, species=species) if loss > 0 else None
                  for loss in sorted((one_loss, other)))
    if less and more:
        assert VERDICTS.index(less.verdict) <= VERDICTS.index(more.verdict)


def spring(*years: int, warm_from: int = 100, last: date | None = None) -> Weather:
    """Days of 10 degree days (C) each from a day of the year on, later by ten in every further year."""
    days, lows = [], []
    for at, year in enumerate(years):
        for n in range(366 if year % 4 == 0 else 365):
            day = date(year, 1, 1) + timedelta(n)
            if last is None or day <= last:
                days.append(day)
                lows.append(20.0 if n >= warm_from + 10 * at else 0.0)
    return Weather("s", tuple(days), tuple(lows), tuple(lows), *((math.nan,) * len(days),) * 3, "made up")


def look(weather: Weather, today: date, pest: str = "emerald ash borer", stage: str = "first adults",
         forecast: Forecast | None = None, species: str = "Fraxinus excelsior"):  # type: ignore[no-untyped-def]
    found = pests_of(ground(species=species), weather, forecast, today)
    return next(each for each in found.looks if (each.pest, each.stage) == (pest, stage)), found


def test_only_pests_whose_hosts_stand_here_are_looked_for() -> None:
    found = pests_of(ground(species="Ginkgo biloba"), spring(2013, 2014), None, date(2015, 1, 1))
    assert found.looks == ()
    assert {each.pest for each in pests_of(ground(species="Fagus sylvatica"), spring(2013), None, JUNE).looks} >= {
        "beech scale"}


def test_dates_by_hand_from_earlier_years() -> None:
    # 450 F days are 250 C days: the 25th warm day; 500 are the 28th. Warm from day 100 in one year, 110 in the next.
    found, pests = look(spring(2013, 2014), date(2015, 1, 10))
    assert found.first == date(2015, 1, 1) + timedelta(100 + 24) - SHIFT
    assert found.last == date(2015, 1, 1) + timedelta(110 + 27) + SHIFT
    assert (found.state, pests.earlier_years, found.cue) == ("coming", 2, "black_locust")
    assert pests.degree_days is not None
    assert (pests.degree_days.days_lacking, pests.degree_days.observed_to) == (9, None)


def test_what_was_observed_narrows_the_span_and_the_look_falls_due() -> None:
    this_year = spring(2013, 2014, 2015, last=date(2015, 5, 20))  # warm from day 120 of 2015
    found, pests = look(this_year, date(2015, 5, 21))
    assert found.first == date(2015, 1, 1) + timedelta(120 + 24) - SHIFT
    assert (found.state, pests.degree_days.most_c_day) == ("due", 200.0)
    later, _ = look(spring(2013, 2014, 2015), date(2015, 9, 1))
    assert (later.state, later.since) == ("coming", date(2016, 3, 1))


def test_a_forecast_stands_before_earlier_years() -> None:
    cold = tuple(date(2015, 5, 21) + timedelta(n) for n in range(10))
    ahead = Weather("s", cold, (0.0,) * 10, (0.0,) * 10, *((math.nan,) * 10,) * 3, "forecast")
    seen = spring(2013, 2014, 2015, last=date(2015, 5, 20))
    without, _ = look(seen, date(2015, 5, 21))
    with_it, pests = look(seen, date(2015, 5, 21), forecast=Forecast("2015-05-21T06:00", ahead))
    assert with_it.first == without.first + timedelta(10)
    assert pests.forecast_days == 10


def test_without_weather_nothing_is_known_and_it_says_so() -> None:
    found, pests = look(Weather("s", (), (), (), (), (), (), ""), date(2015, 5, 21))
    assert (found.state, found.first, pests.degree_days) == ("not known", None, None)
    gap = spring(2015, last=date(2015, 5, 20))
    holed = replace(gap, t_min_c=(*gap.t_min_c[:40], math.nan, *gap.t_min_c[41:]))
    assert look(holed, date(2015, 5, 21))[0].state == "not known"
    assert look(gap, date(2015, 5, 21))[0].state == "not known"
    april = spring(2015, last=date(2015, 4, 17))
    assert look(april, date(2015, 4, 18), "ash plant bug", "active")[0].state == "due"


def test_a_gap_is_filled_by_each_earlier_year_and_counted() -> None:
    seen = spring(2013, 2014, 2015, last=date(2015, 5, 20))
    at = seen.days.index(date(2015, 4, 15))  # warm in 2013 alone
    _, pests = look(replace(seen, t_max_c=(*seen.t_max_c[:at], math.nan, *seen.t_max_c[at + 1:])), date(2015, 5, 21))
    assert pests.degree_days is not None
    assert (pests.degree_days.days_lacking, pests.degree_days.least_c_day, pests.degree_days.most_c_day) == (
        1, 200.0, 210.0)


def test_too_cool_a_place_says_that_no_year_reached_it_and_the_south_begins_in_july() -> None:
    cool = spring(2013, 2014, warm_from=360)
    assert look(cool, date(2015, 5, 21))[0].state == "not reached"
    south = pests_of(ground(species="Fraxinus excelsior", south=True), spring(2013, 2014), None, date(2015, 3, 1))
    assert south.degree_days is not None
    assert south.degree_days.since == date(2014, 7, 1)


def test_the_tables_name_kinds_choices_and_words_that_exist() -> None:
    groups = {str(row["group"]): str(row["kinds"]).split("|") for row in table("explain/pest_groups").rows}
    for kind in [kind for named in groups.values() for kind in named]:
        assert kind in kinds()
    for row in table("explain/pest_thresholds").rows:
        assert row["kind"] in groups[str(row["group"])]
        assert set(filter(None, str(row["choices"]).split("|"))) <= set(kinds()[str(row["kind"])].choices)
        assert row["whose"] == "eye" or {row["verdict"], row["verdict_if_worse"]} <= set(VERDICTS)
    assert {row["group"] for row in table("explain/pest_stages").rows} <= set(groups)
    assert {row["kind"] for row in table("explain/pest_stress").rows} <= set(kinds())
