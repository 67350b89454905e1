"""Readings of one thing that must agree: each row of the table, just inside, just outside, and across imports."""

from __future__ import annotations

import math
from datetime import date

import pytest

from rootcase.fieldbook.events import Body, VisitStarted
from rootcase.fieldbook.intake.doubts.agreements import MEASURES
from rootcase.tables.load import table
from tests.fieldbook.intake.doubts.made import asked, asking, taken

RING = "152.4 mm"
RING_M2 = math.pi * 0.1524**2 / 4
# Readings of one thing: the last of them just inside its band, then just outside.
CASES: dict[str, tuple[list[Body], Body, Body]] = {
    "height_over_trunk": ([taken("tree_height", "12 m")], taken("dbh", "101 mm"), taken("dbh", "99 mm")),
    "crown_over_height": ([taken("tree_height", "4 m")], taken("crown_spread", "9.9 m"),
                          taken("crown_spread", "10.1 m")),
    "soil_fractions": ([taken("sand", "40 %", "s"), taken("silt", "40 %", "s")], taken("clay", "23 %", "s"),
                       taken("clay", "24 %", "s")),
    "probe_over_rod": ([taken("rod_length", "90 cm", "new")], taken("probe_depth", "90 cm", "pit 1"),
                       taken("probe_depth", "91 cm", "pit 1")),
    "ring_water": ([taken("infiltration_ring_diameter", RING, "pit 1")],
                   taken("infiltration_water", f"{59e3 * RING_M2:.0f} mL", "pit 1"),
                   taken("infiltration_water", f"{61e3 * RING_M2:.0f} mL", "pit 1")),
    "holes_on_area": ([taken("hole_spacing", "0.5 m"), taken("applied_area", "100 m2")], taken("hole_count", "490"),
                      taken("hole_count", "510")),
    "volume_on_area": ([taken("applied_area", "100 m2")], taken("applied_volume", "2490 L"),
                       taken("applied_volume", "2510 L")),
    "solid_on_area": ([taken("applied_area", "100 m2"), taken("applied_solid_volume", "10 m3")],
                      taken("applied_depth", "14 cm"), taken("applied_depth", "15 cm")),
    "tank": ([taken("applied_volume", "600 L"), taken("applied_volume", "300 L", "oak 1"),
              taken("load_volume", "1000 L", "load 1")], taken("leftover_volume", "60 L", "load 1"),
             taken("leftover_volume", "40 L", "load 1")),
    "work_days": ([taken("work_started", "2016-06-09", "new")], taken("work_ended", "2016-06-09", "new"),
                  taken("work_ended", "2016-06-08", "new")),
    "batch_days": ([taken("batch_started", "2016-06-09", "batch 1")], taken("batch_done", "2016-06-10", "batch 1"),
                   taken("batch_done", "2016-06-08", "batch 1")),
    "oxygen_saturation": ([taken("extract_temperature", "20 degC", "batch 1")],
                          taken("dissolved_oxygen", "9.3 mg/L", "batch 1"),
                          taken("dissolved_oxygen", "9.6 mg/L", "batch 1")),
    "thawed_soil": ([taken("soil_moisture_feel", "good", "pit 1")], taken("soil_temperature", "-0.9 degC", "pit 1"),
                    taken("soil_temperature", "-1.1 degC", "pit 1")),
}


@pytest.mark.parametrize("name", CASES)
def test_a_band_parts_what_agrees_from_what_does_not(name: str) -> None:
    others, inside, outside = CASES[name]
    assert asking([*others, inside]) == set()
    assert asking([*others, outside]) == {"agreement"}
    doubts = asked([*others, outside])
    assert set(doubts) == {body.slot for body in (*others, outside)}
    assert len({doubt for found in doubts.values() for doubt in found}) == 1


@pytest.mark.parametrize("name", CASES)
def test_what_came_earlier_counts_and_is_not_doubted_again(name: str) -> None:
    others, _, outside = CASES[name]
    assert set(asked([outside], others)) == {outside.slot}
    assert set(asked(others[-1:], [*others[:-1], outside])) == {others[-1].slot}
    assert asked([*others, outside], [*others, outside]) == {}


@pytest.mark.parametrize("name", CASES)
def test_readings_of_different_things_are_not_held_against_each_other(name: str) -> None:
    if name == "tank":  # all trees of a visit drink from its tank
        return
    others, _, outside = CASES[name]
    elsewhere = taken(outside.kind, outside.typed, "elsewhere", "old")  # type: ignore[attr-defined]
    assert asking([*others, elsewhere]) == set()


def test_the_words_name_each_reading_what_they_come_to_and_what_is_usual() -> None:
    doubts = asked([*CASES["soil_fractions"][0], taken("clay", "30 %", "s")])
    assert {found[0] for found in doubts.values()} == {
        "these do not go together: Sand 40 %, Silt 40 %, Clay 30 %; their sum is 110 %, usual is 97 to 103 %"}
    assert "usual is 0.79 to 2.36 in (20 to 60 mm)" in str(asked([*CASES["ring_water"][0], CASES["ring_water"][2]]))


def heap(typed: str, day: str, visit: str, series: str = "core") -> Body:
    return taken("heap_temperature", typed, "heap 4", visit, series)


def test_a_trunk_too_thick_for_its_height_and_for_a_girth_disagrees_too() -> None:
    assert asking([taken("tree_height", "5 m"), taken("dbh", "160 cm")]) == {"agreement"}


def test_a_heap_that_cools_in_a_day_was_turned_or_misread() -> None:
    days: list[Body] = [VisitStarted(slot=name, visit=name, label=name, day=date(2016, 6, day))
                        for name, day in (("a", 1), ("b", 2), ("c", 4))]
    hot, cold = heap("64 degC", "", "a"), heap("43 degC", "", "b")
    assert asking([*days, hot, cold]) == {"agreement"}
    assert asking([*days, hot, heap("45 degC", "", "b")]) == set()
    assert asking([*days, hot, heap("40 degC", "", "c")]) == set()  # three days
    assert asking([*days, hot, heap("40 degC", "", "b", "edge")]) == set()  # another probe place
    assert asking([*days, hot, cold, taken("heap_turn", "2016-06-02", "heap 4", "b")]) == set()


def test_frozen_soil_may_be_cold() -> None:
    for feel in ("frozen", "dust"):
        cold = taken("soil_temperature", "-5 degC", "pit 1")
        assert asking([taken("soil_moisture_feel", feel, "pit 1"), cold]) == set()


def test_the_thickest_stem_bears_the_crown_and_sizes_of_two_visits_are_compared() -> None:
    thin = [taken("dbh", "60 cm"), taken("dbh", "5 cm", series="2"), taken("tree_height", "12 m")]
    assert asking(thin) == set()
    assert asking([taken("tree_height", "3 m")], [taken("dbh", "60 cm", visit="old")]) == {"agreement"}


def test_every_row_has_its_rule_or_stands_where_it_is_read() -> None:
    names = {row["name"] for row in table("observe/agreements").rows}
    assert names - MEASURES.keys() == {"ring_covers", "trunk_growth"}
    assert MEASURES.keys() == CASES.keys() | {"heap_fall"}
