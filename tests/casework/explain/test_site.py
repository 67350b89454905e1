"""From readings to the model's inputs: which readings count, with what error, and what stands in for the missing."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from rootcase.casework.explain.site import tree_inputs
from rootcase.ground.words import say
from rootcase.science.soil.texture import central_fractions
from tests.casework.property import (
    FIELD,
    LAWN,
    TREES,
    WOOD,
    changed,
    pushes,
    read,
    record,
    ring,
    soil_readings,
    tree_readings,
    without,
)

N = 2000
OAK = TREES[0]
NEARLY_FULL = (1.0 - 0.125 * (1.0 - 0.30 / 0.42)) ** 2.5
"""What brings a push in clay felt as full (75 to 100 % of available water) to field capacity."""
OTHERS = tuple(LAWN) + tuple(WOOD)


def inputs(readings, tree=OAK, draws=N, seed=5):
    return tree_inputs(record(list(readings) + list(OTHERS)), tree, draws=draws, seed=seed)


def log_spread(values):
    return float(np.std(np.log(values)))


def test_the_rod_s_median_and_its_error():
    depth = inputs(FIELD).tree.refusal_depth_m
    assert np.median(depth) == pytest.approx(0.076, rel=0.02)
    assert log_spread(depth) == pytest.approx(0.3 / np.sqrt(3), rel=0.05)


def test_many_pushes_never_go_under_the_floor_of_the_error():
    many = without(FIELD, "probe_depth", "probe_stop") + pushes("p-t-field", *[76] * 60)
    assert log_spread(inputs(many).tree.refusal_depth_m) == pytest.approx(0.12, rel=0.05)


@pytest.mark.parametrize("stop", ["stone", "root", "gave_up"])
def test_what_did_not_stop_on_soil_is_left_out(stop):
    more = [*FIELD, read("probe_depth", "p-t-field", 12.0, series="x"),
            read("probe_stop", "p-t-field", choice=stop, series="x")]
    assert np.array_equal(inputs(more).tree.refusal_depth_m, inputs(FIELD).tree.refusal_depth_m)
    only = without(FIELD, "probe_depth", "probe_stop") + pushes("p-t-field", 12.0, stop=stop)
    assert "probe_depth" in inputs(only).assumed


def test_a_rod_that_went_all_the_way_in_says_at_least():
    deep = without(FIELD, "probe_depth", "probe_stop") + pushes("p-t-field", 900, 900, 900, stop="rod_end")
    found = inputs(deep)
    assert found.tree.refusal_depth_m.min() >= 0.9
    assert np.median(found.tree.refusal_depth_m) > 1.0
    assert "probe_depth" not in found.assumed


def test_one_deep_push_among_stopped_ones_leaves_the_median_a_stop():
    mixed = [*FIELD, read("probe_depth", "p-t-field", 900.0, series="x"),
             read("probe_stop", "p-t-field", choice="rod_end", series="x")]
    assert np.median(inputs(mixed).tree.refusal_depth_m) == pytest.approx(np.sqrt(0.076 * 0.085), rel=0.03)


def test_a_push_nobody_explained_is_taken_with_more_doubt():
    untold = without(FIELD, "probe_stop")
    assert log_spread(inputs(untold).tree.refusal_depth_m) == pytest.approx(0.25, rel=0.05)


CONE = read("penetrometer_cone", "visit", choice="small")


def cone(*mpa, feel="full", depths=(0.0, 0.15, 0.3, 0.45)):
    found = [read("penetration_profile", "p-t-field", value, series=str(at), depth_from_m=depth)
             for at, (depth, value) in enumerate(zip(depths, mpa, strict=False))]
    return [*found, CONE] + [read("soil_moisture_feel", "p-t-field", choice=feel, series=str(at), depth_from_m=depth)
                    for at, depth in enumerate(depths[:len(mpa)]) if feel]


def test_a_cone_counts_only_beside_the_moisture_felt_there():
    assert inputs(FIELD + cone(1.0, 2.0, 2.5, 3.0, feel="")).tree.cone_depth_m == ()
    assert inputs(FIELD + without(cone(1.0, 2.0, 2.5, 3.0), "penetrometer_cone")).tree.cone_depth_m == ()
    found = inputs(FIELD + cone(1.0, 2.0, 2.5, 3.0))
    assert found.tree.cone_depth_m == (0.0, 0.15, 0.3, 0.45)
    assert np.median(found.tree.cone_resistance_mpa[2]) == pytest.approx(2.5 * NEARLY_FULL, rel=0.03)
    assert "penetration_profile" not in found.assumed


def test_drier_ground_is_brought_to_field_capacity():
    full, dry = (inputs(FIELD + cone(1.0, 2.0, 2.5, 3.0, feel=feel)).tree for feel in ("full", "dust"))
    # Clay: .30 at the wilting point, .42 at field capacity (Saxton and Rawls 2006, Table 3); neighbours hold less.
    assert np.median(full.cone_resistance_mpa[1]) == pytest.approx(2.0 * NEARLY_FULL, rel=0.03)
    assert np.median(dry.cone_resistance_mpa[1]) == pytest.approx(2.0 * (0.30 / 0.42) ** 2.5, rel=0.12)


@pytest.mark.property
def test_dry_soil_moves_what_was_pushed_and_not_what_is_assumed():
    dust = [read("soil_moisture_feel", "p-t-field", choice="dust")]
    pushed, dry = inputs(FIELD), inputs(FIELD + dust)
    assert np.median(dry.tree.reference_resistance_mpa) < 0.75 * np.median(pushed.tree.reference_resistance_mpa)
    assert np.array_equal(dry.tree.surface_resistance_mpa, pushed.tree.surface_resistance_mpa)


@pytest.mark.property
def test_dry_soil_at_the_yardstick_moves_no_forest_floor():
    rod = pushes("p-y-1", 700, 720, 690)
    dry_rod = [*rod, read("soil_moisture_feel", "p-y-1", choice="dust")]
    dry_cone = [CONE, read("penetration_profile", "p-y-1", 1.0, depth_from_m=0.0, series="0"),
                read("soil_moisture_feel", "p-y-1", choice="dust", depth_from_m=0.0, series="0")]
    by_rod, by_cone = (inputs(FIELD + found).yardstick for found in (dry_rod, dry_cone))
    assert (by_rod.surface_resistance_mpa, by_rod.wetness_when_read) == (0.8, 1.0)
    assert (by_cone.refusal_depth_m, by_cone.reference_resistance_mpa) == (1.2, 2.0)
    assert np.median(by_cone.surface_resistance_mpa) < 0.8


def test_what_was_read_at_the_yardstick_stands_in_place_of_the_forest_floor():
    lawn = [replace(r, of="y-1") for r in ring("t-field", "dripline", turf=1.0)]
    watered = [read("irrigation_kind", "wood", choice="spray"), read("irrigation_depth", "wood", 14.0)]
    one_class = [read("ground_under_crown", "y-1", choice="mulch")]
    assert np.all(inputs(FIELD + lawn).yardstick.turf == 1.0)
    assert np.mean(inputs(FIELD + one_class).yardstick.mulch) > 0.6
    assert np.median(inputs(FIELD + watered).yardstick.irrigation_mm) == pytest.approx(6.0, rel=0.05)


def test_a_cone_that_went_no_deeper_than_the_rod_tells_the_surface():
    found = inputs(FIELD + cone(1.9))
    assert found.tree.cone_depth_m == ()
    assert np.median(found.tree.surface_resistance_mpa) == pytest.approx(1.9 * NEARLY_FULL, rel=0.03)
    assert np.median(found.tree.refusal_depth_m) == pytest.approx(0.076, rel=0.02)


def test_what_was_taken_from_deeper_is_not_the_topsoil():
    deep_core = [*FIELD, read("bulk_density", "p-t-field", 1.75, depth_from_m=0.45)]
    assert np.array_equal(inputs(deep_core).tree.bulk_density_mg_m3, inputs(FIELD).tree.bulk_density_mg_m3)
    assert "organic_matter" in inputs([*FIELD, read("sample_depth_top", "s-t-field", 450.0)]).assumed
    assert "organic_matter" not in inputs([*FIELD, read("sample_depth_top", "s-t-field", 0.0)]).assumed


def test_hands_mistake_a_texture_for_its_neighbours_alone():
    clay = inputs(FIELD).tree.clay
    neighbours = [central_fractions(name)[1] for name in ("clay", "clay_loam", "sandy_clay", "silty_clay")]
    assert np.mean(np.isin(clay, neighbours)) > 0.99
    assert np.mean(clay == np.median(clay)) == pytest.approx(0.65, abs=0.12)
    twice = [*FIELD, read("texture_feel", "p-t-field", choice="clay", series="2")]
    assert np.std(inputs(twice).tree.clay) < np.std(clay)


def test_a_laboratory_stands_before_hands():
    lab = [*FIELD, read("sand", "s-t-field", 0.6), read("clay", "s-t-field", 0.1)]
    found = inputs(lab).tree
    assert (np.mean(found.sand), np.mean(found.clay)) == pytest.approx((0.6, 0.1), abs=0.005)


def test_what_lies_beyond_the_water_formulas_is_taken_at_their_limit_and_said():
    """The source of the water formulas ends at 60 % clay and 8 % organic matter."""
    heavy = [*FIELD, read("sand", "s-t-field", 0.1), read("clay", "s-t-field", 0.75)]
    found = inputs(changed(heavy, "organic_matter", value=0.2))
    assert found.doubts == ("explain.doubt.clay", "explain.doubt.organic_matter")
    assert np.max(found.tree.clay) == 0.59
    assert inputs(FIELD).doubts == ()
    assert all(say(key) for key in found.doubts)


@pytest.mark.property
def test_covers_sum_to_one_and_rings_weigh_by_their_ground():
    rings = ring("t-field", "dripline", turf=1.0) + ring("t-field", "twice crown", paving=1.0)
    found = inputs(without(FIELD, "cover_share_by_ring") + rings).tree
    total = found.litter + found.mulch + found.turf + found.bare + found.paved
    assert np.allclose(total, 1.0, atol=1e-9)
    # Roots reach the root of 2.2 times the crown's radius: 1/2.2 of the ground lies inside the dripline.
    assert np.mean(found.turf) == pytest.approx(1 / 2.2, abs=0.02)


def test_a_ring_counted_twice_is_no_larger_for_it():
    """Once half turf and half mulch, once all turf: three quarters turf."""
    twice = without(FIELD, "cover_share_by_ring") + ring("t-field", "dripline", turf=0.5, mulch=0.5) + [
        replace(r, id=f"{r.id} again") for r in ring("t-field", "dripline", turf=1.0)]
    assert np.mean(inputs(twice).tree.turf) == pytest.approx(0.75, abs=0.02)


@pytest.mark.parametrize("odd", [
    lambda r: replace(r, series="1"), lambda r: replace(r, attributes={}), lambda r: replace(r, value=0.0)],
    ids=["no known ring", "no cover", "none of anything"])
def test_counts_that_tell_nothing_leave_the_kind_of_place(odd):
    counts = [odd(r) for r in ring("t-field", "dripline", mulch=1.0)]
    found = inputs(without(FIELD, "cover_share_by_ring") + counts)
    assert np.array_equal(found.tree.turf, inputs(without(FIELD, "cover_share_by_ring")).tree.turf)
    assert "cover_share_by_ring" in found.assumed


def test_one_class_says_less_than_rings():
    one = [*without(FIELD, "cover_share_by_ring"), read("ground_under_crown", "t-field", choice="mulch")]
    found = inputs(one)
    assert np.mean(found.tree.mulch) > 0.6
    assert np.std(found.tree.mulch) > 2 * np.std(inputs(FIELD).tree.turf)
    assert "cover_share_by_ring" in found.assumed
    assert found.read["cover_share_by_ring"] == ("ground_under_crown/t-field///",)


def test_the_ring_s_rate_is_depth_over_time():
    """444 mL in a ring of 149 mm are one inch; in ten minutes 152.8 mm/h."""
    ring_ = [read("infiltration_water", "p-t-field", 444.0), read("infiltration_ring_diameter", "p-t-field", 149.0),
             read("infiltration_time", "p-t-field", 10.0)]
    assert inputs(FIELD + ring_).tree.infiltration_ring_mm_h == pytest.approx(152.8, abs=0.2)


@pytest.mark.parametrize(("basis", "sd"), [("record", 0.0), ("told", 1.0), ("guess", 3.0)])
def test_how_a_planting_year_is_known_is_its_error(basis, sd):
    planted = [*without(FIELD, "stock_kind"), read("planting_year", "t-field", 2003.0),
               read("planting_year_basis", "t-field", choice=basis)]
    years = inputs(planted).tree.years_since_planting
    assert np.mean(years) == pytest.approx(12.0, abs=0.2)
    assert np.std(years) == pytest.approx(sd, abs=0.15)


def test_years_since_planting_go_on_after_the_year_was_told():
    told = [replace(r, day=date(2010, 10, 4)) for r in (
        read("planting_year", "t-field", 2008.0), read("planting_year_basis", "t-field", choice="record"))]
    assert np.all(inputs([*without(FIELD, "stock_kind"), *told]).tree.years_since_planting == 7.0)


def test_a_tree_planted_this_year_has_none_behind_it():
    told = [read("planting_year", "t-field", 2015.0), read("planting_year_basis", "t-field", choice="record")]
    assert np.all(inputs([*without(FIELD, "stock_kind"), *told]).tree.years_since_planting == 0.0)


def test_a_planting_year_nobody_knows_is_reckoned_and_named():
    found = inputs(without(FIELD, "stock_kind"))
    assert "planting_year" in found.assumed
    assert 20 < np.median(found.tree.years_since_planting) < 80
    assert np.all(np.isinf(inputs(FIELD).tree.years_since_planting))


def test_ground_nobody_asked_about_may_be_watered():
    watered = inputs(without(FIELD, "irrigation_kind")).tree.irrigation_mm
    assert 0.3 < np.mean(watered > 0) < 0.5
    told = changed(FIELD, "irrigation_kind", choice="spray")
    assert np.all(inputs([*told, read("irrigation_depth", "field", 14.0)]).tree.irrigation_mm > 0)


def test_light_on_three_sides_is_neighbours_on_the_rest():
    assert inputs([*FIELD, read("crown_exposure", "t-field", 3.0)]).tree.neighbours == pytest.approx(0.4)


def test_stems_count_as_one_trunk_of_their_basal_area_and_are_not_averaged():
    def stem(number, mm):
        return replace(read("dbh", "t-field", mm, series=number), attributes={"stem": number})

    bare = without(FIELD, "dbh")
    stems = inputs([*bare, stem("1", 300.0), stem("2", 400.0), stem("3", 1200.0)]).tree.trunk_diameter_m
    assert np.median(stems) == pytest.approx(1.3, rel=0.01)
    twice = inputs([*bare, read("dbh", "t-field", 300.0, series="1"), read("dbh", "t-field", 300.0, series="2")])
    assert np.median(twice.tree.trunk_diameter_m) == pytest.approx(0.3, rel=0.01)


MISSING = {"probe_depth": "refusal_depth_m", "bulk_density": "bulk_density_mg_m3",
           "organic_matter": "organic_matter_pct", "ece": "ece_ds_m", "soil_ph": "ph", "sar": "sar",
           "texture_feel": "clay", "cover_share_by_ring": "turf", "dbh": "trunk_diameter_m",
           "crown_spread": "crown_radius_m"}


@pytest.mark.property
@pytest.mark.parametrize("kind", list(MISSING))
def test_a_missing_reading_widens_its_input_and_is_named(kind):
    field = MISSING[kind]
    gone = inputs(without(FIELD, kind, *(["probe_stop"] if kind == "probe_depth" else [])))
    here = inputs(FIELD)
    assert kind in gone.assumed
    assert kind not in here.assumed

    def width(site):
        values = np.asarray(getattr(site, field))
        return np.std(np.log(values)) if field.endswith(("_m", "pct", "ds_m", "sar")) else np.std(values)

    assert width(gone.tree) > 1.3 * width(here.tree)


@pytest.mark.property
def test_a_reading_less_leaves_the_other_draws_as_they_were():
    gone, here = inputs(without(FIELD, "soil_ph")).tree, inputs(FIELD).tree
    assert np.array_equal(gone.refusal_depth_m, here.refusal_depth_m)
    assert np.array_equal(gone.turf, here.turf)
    assert np.array_equal(gone.clay, here.clay)


def test_a_yardstick_without_readings_is_a_forest_floor():
    floor = inputs(FIELD).yardstick
    assert (floor.litter, floor.turf, floor.refusal_depth_m, floor.reference_resistance_mpa) == (1.0, 0.0, 1.2, 2.0)


@pytest.mark.property
def test_trees_of_one_yardstick_share_its_errors():
    own = soil_readings("y-1", organic=0.06, density=1.1, texture="clay") + pushes("p-y-1", 700, 720, 690)
    both = record([*FIELD, *LAWN, *WOOD, *own])
    field, lawn = (tree_inputs(both, tree, draws=300, seed=5).yardstick for tree in TREES[:2])
    assert np.array_equal(field.organic_matter_pct, lawn.organic_matter_pct)
    assert np.array_equal(field.refusal_depth_m, lawn.refusal_depth_m)
    assert np.median(field.organic_matter_pct) == pytest.approx(6.0, rel=0.02)
    # The same hand and rod: where it stops is one draw for tree and yardstick.
    tree = tree_inputs(both, TREES[0], draws=300, seed=5)
    assert np.array_equal(tree.yardstick.reference_resistance_mpa, tree.tree.reference_resistance_mpa)
    assert field.surface_resistance_mpa == 0.8


def test_mottles_are_read_with_a_ruler_s_error():
    seen = inputs([*without(FIELD, "mottles"), read("mottle_top", "p-t-field", 250.0)]).tree.mottle_depth_m
    assert (np.median(seen), np.std(seen)) == pytest.approx((0.25, 0.03), rel=0.05)


def test_mottles_deeper_than_the_pit_are_none_seen_and_the_newest_look_holds():
    bare = without(FIELD, "mottles")
    deeper = [*bare, read("mottle_top", "p-t-field", 300.0, sign=">")]
    assert np.all(np.isinf(inputs(deeper).tree.mottle_depth_m))
    assert "mottle_top" not in inputs(deeper).assumed
    before = replace(read("mottle_top", "p-t-field", 100.0), day=date(2012, 5, 4))
    assert np.all(np.isinf(inputs([*FIELD, before]).tree.mottle_depth_m))
    assert np.all(np.isfinite(inputs([*bare, before]).tree.mottle_depth_m))


def test_less_than_lies_under_its_limit_and_a_ph_stands_as_it_is():
    found = inputs(changed(changed(FIELD, "ece", sign="<"), "soil_ph", sign="<")).tree
    assert found.ece_ds_m.max() <= 0.4
    assert np.median(found.ph) == pytest.approx(6.2, rel=0.02)


def test_nothing_looked_at_is_no_reading():
    looked = [replace(r, value=None, nothing="not looked") if r.kind == "ece" else r for r in FIELD]
    assert "ece" in inputs(looked).assumed


def test_a_species_the_table_lacks_is_named():
    odd = tree_readings("t-field", species="Planta ignota") + [r for r in FIELD if r.of != "t-field"]
    assert "species" in inputs(odd).assumed
    genus = changed(FIELD, "species", choice="Quercus sp.")
    assert "species" not in inputs(genus).assumed
