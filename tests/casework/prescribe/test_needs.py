"""When a remedy has a need: a test, never a guess; when the trade forbids it; what to mind on this ground."""

from __future__ import annotations

from datetime import date

import pytest

from rootcase.casework.explain.ground import Ground
from rootcase.casework.prescribe.needs import (
    TRADE_REASONS,
    UNREAD,
    Standing,
    cautions_here,
    law_of_the_trade,
    no_use,
    trial_only,
)
from rootcase.casework.prescribe.remedies import remedies
from rootcase.ground.words import say
from rootcase.records.observe import Reading
from rootcase.science.tree.site import Site

REMEDY = {remedy.code: remedy for remedy in remedies()}
COVERS = {"turf": 0.5, "bare": 0.5, "paved": 0.0}
GAIN = 0.2


def reading(kind: str, told: float | str, series: str = "", **attributes: str) -> Reading:
    number = told if isinstance(told, float) else None
    return Reading(f"{kind} {told}", kind, "t", "v", date(2015, 11, 4), "r", number,
                   told if isinstance(told, str) else None, "=", None, str(told), series=series, attributes=attributes)


def standing(*readings: Reading, **site: float) -> Standing:
    by_kind: dict[str, tuple[Reading, ...]] = {}
    for each in readings:
        by_kind[each.kind] = (*by_kind.get(each.kind, ()), each)
    facts = {"ph": 6.5, "sar": 1.0, "ece_ds_m": 0.4} | site
    return Standing(Ground("lawn", by_kind), Site(
        sand=0.4, clay=0.2, organic_matter_pct=2.0, turf=0.5, bare=0.5, trunk_diameter_m=0.2, crown_radius_m=3.0,
        salt_threshold_ds_m=2.0, salt_slope_pct=14.0, lock_up_per_ph=0.03, **facts), COVERS)


OAK, MAPLE = reading("species", "Quercus rubra"), reading("species", "Acer negundo")
LIMY = reading("soil_ph", 7.8, method="water_1_1")


@pytest.mark.parametrize(("code", "here", "reason"), [
    # Gypsum: on sodium that was read; exchangeable sodium of 15 % stands beside a ratio of 13 (Handbook 60, memory).
    ("gypsum", standing(sar=20.0), "sodium_not_read"),
    ("gypsum", standing(reading("sar", 5.0), sar=5.0), "no_sodium"),
    ("gypsum", standing(reading("sar", 20.0), sar=20.0), ""),
    ("gypsum", standing(reading("esp", 0.3), sar=20.0), ""),
    # Slow nitrogen: oak leaves of European forests 1.5 to 2.5 % (ICP Forests, table compare/laboratory_ranges).
    ("slow_nitrogen", standing(OAK), "feed_not_tested"),
    ("slow_nitrogen", standing(OAK, reading("leaf_n", 0.019)), "no_shortage"),
    ("slow_nitrogen", standing(OAK, reading("leaf_n", 0.015)), "no_shortage"),
    ("slow_nitrogen", standing(OAK, reading("leaf_n", 0.0149)), ""),
    ("slow_nitrogen", standing(reading("leaf_n", 0.0149)), "no_shortage"),  # of what kind nobody said
    # Sulfur: pH, then the kind, then the fizz test.
    ("sulfur", standing(OAK, ph=7.8), "lime_not_read"),
    ("sulfur", standing(OAK, reading("soil_ph", 6.9), ph=6.9), "no_lime"),
    ("sulfur", standing(MAPLE, LIMY, ph=7.8), "bears_lime"),
    ("sulfur", standing(OAK, LIMY, ph=7.8), "fizz_first"),
    ("sulfur", standing(OAK, LIMY, reading("carbonate_fizz", "slight"), ph=7.8), "free_lime"),
    ("sulfur", standing(OAK, LIMY, reading("carbonate_fizz", "none"), reading("carbonate_fizz", "strong"), ph=7.8),
     "free_lime"),
    ("sulfur", standing(OAK, LIMY, reading("carbonate_fizz", "none"), ph=7.8), ""),
    # Chelate: by sign or by test.
    ("chelate", standing(OAK), "lime_not_read"),
    ("chelate", standing(OAK, reading("chlorosis_young", "none")), "no_lime"),
    ("chelate", standing(OAK, reading("chlorosis_young", "heavy")), ""),
    ("chelate", standing(OAK, LIMY, ph=7.8), ""),
])
def test_a_remedy_waits_for_its_need(code: str, here: Standing, reason: str) -> None:
    assert no_use(REMEDY[code], here, GAIN) == reason


@pytest.mark.parametrize(("code", "here", "reason"), [
    ("slow_nitrogen", standing(years_since_planting=2.0), "newly_planted"),
    ("slow_nitrogen", standing(years_since_planting=3.0), ""),
    ("slow_nitrogen", standing(reading("roots_cut_share", 0.1)), "roots_lost"),
    ("slow_nitrogen", standing(reading("roots_cut_share", 0.05)), ""),
    ("slow_nitrogen", standing(reading("site_event", "trench", "1"), reading("site_event_year", 2012.0, "1")),
     "roots_lost"),
    ("slow_nitrogen", standing(reading("site_event", "trench", "1"), reading("site_event_year", 2011.0, "1")), ""),
    ("slow_nitrogen", standing(reading("site_event", "trench", "1"), reading("site_event", "flood", "2"),
                               reading("site_event_year", 2014.0, "2")), ""),
    ("slow_nitrogen", standing(reading("soil_moisture_feel", "dust")), "too_dry"),
    ("slow_nitrogen", standing(reading("site_event", "drought", "1"), reading("site_event_year", 2015.0, "1")),
     "too_dry"),
    ("leach", standing(drainage_mm_day=1.0), "drains_badly"),
    ("leach", standing(mottle_depth_m=0.1), "drains_badly"),
    ("leach", standing(reading("slope", 0.1)), "too_steep"),
    ("extract", standing(reading("slope", 0.1)), "too_steep"),
    ("extract", standing(reading("slope", 0.09)), ""),
    ("extract", standing(reading("sensitive_use", "children"), reading("sensitive_use", "food")), "food_plants"),
    # Rutgers calls over 68.5 mg/kg by Mehlich 3 very high; by another extractant the same figure says nothing.
    ("compost", standing(reading("phosphorus", 70.0, extractant="mehlich_3")), "phosphorus_high"),
    ("compost", standing(reading("phosphorus", 60.0, extractant="mehlich_3")), ""),
    ("compost", standing(reading("phosphorus", 70.0, extractant="other")), ""),
])
def test_the_trade_forbids(code: str, here: Standing, reason: str) -> None:
    assert law_of_the_trade(REMEDY[code], here) == reason
    assert reason in ("", *TRADE_REASONS)


def test_every_reason_and_caution_has_words() -> None:
    for reason in (*TRADE_REASONS, *UNREAD):
        assert say(f"prescribe.reason.{reason}")
    seen = standing(*(reading("sensitive_use", who) for who in ("children", "pets", "food", "bees", "school")),
                    reading("slope", 0.08), reading("well_distance", 20.0))
    told = cautions_here(REMEDY["extract"], seen)
    assert told == ("keep_off_wet", "food_plants", "bees", "well", "slope_slow")
    assert all(say(f"prescribe.caution.{caution}") for caution in told)


def test_nobody_asked_who_uses_the_ground() -> None:
    asked = standing(reading("sensitive_use", "none"))
    for code in ("leach", "extract", "slow_nitrogen", "growth_regulator"):
        assert "ask_who_uses" in cautions_here(REMEDY[code], standing())
        assert cautions_here(REMEDY[code], asked) == ()
    assert cautions_here(REMEDY["mulch"], standing()) == ()


def test_only_the_extract_is_a_trial() -> None:
    assert [code for code, remedy in REMEDY.items() if trial_only(remedy)] == ["extract"]
