"""Compare: what goes into a share, and what must not."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from rootcase.casework.compare.compare import compare
from rootcase.casework.compare.shoots import growth_prior, shoots_of
from rootcase.records.observe import Place, Property, PropertyRecord, Reading, Tree, Visit, Yardstick
from rootcase.tables.load import table

GROUND = Property("p", "practice", "invented green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
DAY = date(2015, 11, 5)
TODAY = date(2016, 1, 15)


def reading(of, kind, value=None, **more):
    return Reading(id=f"{of} {kind} {more.get('growth_year', '')} {more.get('series', '')} {more.get('day', '')}",
                   kind=kind, of=of, visit_id="v", observer="reader 1", value=value,
                   **{"day": DAY, "choice": None, "sign": "=", "nothing": None, "typed": str(value)} | more)


def shoots(of, mean_mm, rng, *, number=10, years=(2015, 2014, 2013), position="lower", dry=None):
    def length(year):
        return mean_mm * np.exp(0.35 * rng.standard_normal()) * (0.6 if year == dry else 1.0)

    where = {"position": position}
    return [reading(of, "shoot_length_by_year", length(y), growth_year=y, series=str(s), attributes=where)
            for s in range(number) for y in years]


def record_of(readings, *, healthy=("a", "b", "c"), compared=("x",), species="Quercus rubra"):
    trees = tuple(Tree(t, "p", "lawn", f"oak {t}", None, None) for t in (*healthy, *compared))
    named = [reading(t.id, "species", choice=species) for t in trees]
    yardsticks = (Yardstick("y", "p", "wood oaks", healthy, "healthy, like light"),) if healthy else ()
    return PropertyRecord(GROUND, (Place("lawn", "p", "lawn", "lawn"),), trees, (), (),
                          (Visit("v", "p", "autumn", DAY, "reader 1"),), (*named, *readings), yardsticks,
                          dict.fromkeys(compared, "y") if healthy else {})


def healthy_shoots(rng, **more):
    return [r for t in "abc" for r in shoots(t, 400.0, rng, **more)]


def compared(record, draws=1000):
    return compare(record, TODAY, draws=draws, seed=1).trees[0]


@pytest.mark.property
def test_a_tree_at_a_seventh_is_found_with_an_honest_interval():
    rng = np.random.default_rng(1)
    tree = compared(record_of([*healthy_shoots(rng), *shoots("x", 400 / 7, rng)]))
    assert tree.share.low < 1 / 7 < tree.share.high
    assert tree.share.high / tree.share.low < 2.6
    assert tree.basis == "yardstick"
    assert (tree.shoot_count, tree.yardstick_tree_count, tree.yardstick_shoot_count) == (10, 3, 30)
    np.testing.assert_allclose(np.exp(tree.log_share_draws).mean(), tree.share.mean, rtol=0, atol=1e-12)


@pytest.mark.property
def test_the_order_of_readings_and_other_trees_do_not_matter():
    rng = np.random.default_rng(2)
    readings = [*healthy_shoots(rng), *shoots("x", 200.0, rng)]
    shuffled = [readings[i] for i in np.random.default_rng(3).permutation(len(readings))]
    assert compared(record_of(readings)).share == compared(record_of(shuffled)).share


@pytest.mark.parametrize("spoil", [
    lambda r: replace(r, attributes={"position": "shaded"}),
    lambda r: replace(r, growth_year=2016),
    lambda r: replace(r, value=0.0),
], ids=["shaded", "not finished", "zero is not a length"])
def test_what_may_not_be_compared_is_left_out(spoil):
    rng = np.random.default_rng(4)
    spoiled = [spoil(r) for r in shoots("x", 200.0, rng)]
    tree = compared(record_of([*healthy_shoots(rng), *spoiled]))
    assert tree.share is None
    assert "no_shoots" in tree.notes


def test_shoots_from_before_planting_say_nothing_of_this_place():
    rng = np.random.default_rng(5)
    record = record_of([*healthy_shoots(rng), *shoots("x", 200.0, rng), reading("x", "planting_year", 2014.0)])
    assert {s.year for s in shoots_of(record, "x")} == {2015}
    assert "one_year" in compared(record).notes


@pytest.mark.property
def test_without_a_healthy_tree_the_growth_class_stands_in_and_says_so():
    rng = np.random.default_rng(6)
    beside = compared(record_of([*healthy_shoots(rng), *shoots("x", 200.0, rng)]))
    alone = compared(record_of(shoots("x", 200.0, rng), healthy=()))
    assert alone.basis == "growth class"
    assert "no_yardstick" in alone.notes
    assert np.log(alone.share.high / alone.share.low) > 2 * np.log(beside.share.high / beside.share.low)
    assert np.exp(growth_prior("Ginkgo biloba")[0]) <= 450.0 == np.exp(growth_prior("no such kind")[0]).round(6)


def test_a_synonym_is_its_kind_and_a_genus_what_most_of_it_is():
    assert growth_prior("Ginkgo sp.") == growth_prior("Ginkgo biloba")
    synonym = next(row for row in table("species").rows if row["synonym"])
    assert growth_prior(synonym["synonym"]) == growth_prior(synonym["botanical_name"])


@pytest.mark.property
def test_trees_of_no_told_kind_are_not_one_kind():
    """Pooled as one kind, nine poor ones would drag a tenth down."""
    rng = np.random.default_rng(12)
    readings = [*healthy_shoots(rng), *shoots("x", 400.0, rng, number=1, years=(2015,)),
                *(r for n in range(9) for r in shoots(f"p{n}", 40.0, rng))]
    trees = ("x", *(f"p{n}" for n in range(9)))
    record = record_of(readings, compared=trees)
    spread_out = replace(record, trees=tuple(replace(t, place_id=t.id) for t in record.trees),
                         places=tuple(Place(t.id, "p", t.id, "lawn") for t in record.trees))
    untold = replace(spread_out, readings=tuple(r for r in spread_out.readings if r.kind != "species"))
    assert compared(untold).share.median > 1.1 * compared(spread_out).share.median


def test_a_yardstick_of_another_kind_is_named():
    rng = np.random.default_rng(13)
    record = record_of([*healthy_shoots(rng), *shoots("x", 200.0, rng)])
    assert "other_kind" not in compared(record).notes
    maple = tuple(replace(r, choice="Acer rubrum" if (r.kind, r.of) == ("species", "x") else r.choice)
                  for r in record.readings)
    assert "other_kind" in compared(replace(record, readings=maple)).notes


def test_few_healthy_trees_and_other_positions_are_named():
    rng = np.random.default_rng(7)
    readings = [*shoots("a", 400.0, rng), *shoots("x", 200.0, rng, position="leader")]
    assert {"few_yardstick_trees", "position_differs"} <= set(compared(record_of(readings, healthy=("a",))).notes)
    unknown = [*healthy_shoots(rng), *shoots("x", 200.0, rng, position="")]
    assert "position_unknown" in compared(record_of(unknown)).notes


@pytest.mark.property
def test_a_dry_year_is_named_and_counted_for_both():
    rng = np.random.default_rng(8)
    dry = [*healthy_shoots(rng, dry=2014), *shoots("x", 200.0, rng, dry=2014)]
    tree = compared(record_of(dry))
    assert "short_year=2014" in tree.notes
    assert tree.share.low < 0.5 < tree.share.high


def test_years_stand_beside_the_yardstick():
    rng = np.random.default_rng(9)
    unread = reading("x", "shoot_length_by_year", None, growth_year=2014, series="9", nothing="not read",
                     attributes={"position": "lower"})
    tree = compared(record_of([*healthy_shoots(rng), *shoots("x", 200.0, rng, number=9), unread]))
    assert [y.year for y in tree.years] == [2013, 2014, 2015]
    of_2014 = tree.years[1]
    assert of_2014.not_read == 1
    assert len(of_2014.lengths_mm) == 9
    assert len(of_2014.yardstick_tree_means_mm) == 3
    assert of_2014.yardstick_shoots_mm.low < of_2014.yardstick_mm.low < of_2014.yardstick_mm.high
    assert of_2014.tree_mm.high < of_2014.yardstick_mm.low
    assert of_2014.share.low < 0.5 < of_2014.share.high


def test_measures_keep_their_own_line_and_need_their_companions():
    rng = np.random.default_rng(10)
    leaves = [reading(t, "leaf_length", v) for t, v in (("a", 180.0), ("b", 170.0), ("x", 115.0))]
    dieback = [reading(t, "crown_dieback", v) for t, v in (("a", 0.05), ("x", 0.25))]
    light = reading("v", "sky_light", choice="even")
    lines = {m.kind: m for m in compared(record_of([*healthy_shoots(rng), *leaves, *dieback, light])).measures}
    assert lines["leaf_length"].share.low < 115 / 175 < lines["leaf_length"].share.high
    assert lines["crown_dieback"].share is None
    assert lines["crown_dieback"].difference.low < 0.20 < lines["crown_dieback"].difference.high
    without = {m.kind: m for m in compared(record_of([*healthy_shoots(rng), *leaves, *dieback])).measures}
    assert without["crown_dieback"].note == "companion_missing"
    assert without["crown_dieback"].difference is None
    assert without["crown_dieback"].tree_value == 0.25


def measure(kind, *readings):
    rng = np.random.default_rng(11)
    return {m.kind: m for m in compared(record_of([*healthy_shoots(rng), *readings])).measures}[kind]


def test_leaves_read_out_of_leaf_are_shown_and_not_compared():
    leaves = [reading(t, "leaf_length", v) for t, v in (("a", 180.0), ("x", 115.0))]
    assert measure("leaf_length", *leaves, reading("x", "leaf_stage", choice="full")).share is not None
    falling = measure("leaf_length", *leaves, reading("x", "leaf_stage", choice="falling"))
    assert (falling.share, falling.note, falling.tree_value) == (None, "other_season", 115.0)


@pytest.mark.parametrize(("here", "there"), [(0.0, 40.0), (40.0, 0.0), (0.2, 0.1)])
def test_a_meter_that_shows_next_to_nothing_gives_no_ratio(here, there):
    line = measure("leaf_colour_meter", *(reading(t, "leaf_colour_meter", v) for t, v in (("a", there), ("x", here))))
    assert (line.share, line.note) == (None, "too_small")


def test_leaves_on_photos_are_compared_by_all_of_them_and_no_surer_than_leaves_differ():
    here, there = (260.0, 210.0, 240.0), (520.0, 480.0, 500.0)
    line = measure("leaf_area_photo", *(reading(t, "leaf_area_photo", v, series=str(at))
                                        for t, found in (("a", there), ("x", here)) for at, v in enumerate(found)))
    assert line.share.median == pytest.approx(sum(here) / sum(there), rel=0.01)
    sd = np.sqrt(2 * 0.35 ** 2 / 3 + 0.2 ** 2)
    assert np.log(line.share.high / line.share.low) == pytest.approx(2 * 1.645 * sd, rel=0.01)
    green = measure("leaf_colour_photo", *(reading(t, "leaf_colour_photo", v) for t, v in (("a", 0.6), ("x", 0.45))))
    assert green.share.low < 0.75 < green.share.high


def test_the_newest_look_is_compared_and_rings_of_the_same_years():
    old = reading("x", "leaf_length", 60.0, day=date(2012, 7, 3))
    leaves = [reading(t, "leaf_length", v) for t, v in (("a", 180.0), ("x", 115.0))]
    assert measure("leaf_length", *leaves, old).tree_value == 115.0
    rings = [reading(t, "ring_width_by_year", v, growth_year=y)
             for t, v, y in (("a", 4.0, 2014), ("a", 1.0, 2009), ("x", 2.0, 2014), ("x", 9.0, 2015))]
    line = measure("ring_width_by_year", *rings)
    assert (line.tree_value, line.yardstick_value) == (2.0, 4.0)


def test_what_is_doubted_or_only_a_limit_is_in_no_mean():
    theirs, sure = reading("a", "leaf_length", 180.0), reading("x", "leaf_length", 115.0)
    unsure = (reading("x", "leaf_length", 300.0, series="2", doubts=("long",)),
              reading("x", "leaf_length", 50.0, series="3", sign=">"))
    assert measure("leaf_length", theirs, sure, *unsure) == measure("leaf_length", theirs, sure)
    line = measure("leaf_length", theirs, *unsure)
    assert (line.tree_value, line.share, line.note, len(line.reading_ids)) == (None, None, "doubted", 1)
    assert measure("leaf_length", sure, replace(theirs, doubts=("long",))).note == "doubted"


def test_nothing_read_is_nothing_known():
    tree = compared(record_of([]))
    assert tree.share is None
    assert tree.years == ()
    assert tree.yardstick_typical_mm is None
