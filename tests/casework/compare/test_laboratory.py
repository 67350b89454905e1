"""A laboratory's value beside ranges of its own method and beside the yardstick's: what is said and what never is."""

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.casework.compare.laboratory import laboratory
from rootcase.tables.load import table
from rootcase.tables.readings import kinds
from tests.casework.property import DAY, WOOD, read, record, tree_readings

SAMPLE, HEALTHY = "s-t-field", "s-y-1"
EXTRACTANTS = ("mehlich_3", "bray_p1", "olsen", "morgan", "other")
OAK = [*tree_readings("t-field"), *WOOD]


def lines(*readings, **more):
    return [line for line in laboratory(record([*OAK, *readings], **more)) if line.sample_id == SAMPLE]


def only(*readings, **more):
    (line,) = lines(*readings, **more)
    return line


def phosphorus(value, extractant, of=SAMPLE, **more):
    return read("phosphorus", of, value, attributes={"extractant": extractant} if extractant else {}, **more)


def about(line, source):
    return next(each for each in line.ranges if each.source.startswith(source))


@pytest.mark.parametrize(("value", "verdict", "called"), [
    (10.0, "below", "very low"), (20.0, "below", "low"), (30.0, "below", "medium"), (50.0, "inside", "high"),
    (80.0, "above", "very high")])
def test_a_value_lies_below_inside_or_above_what_its_list_calls_good(value, verdict, called):
    found = about(only(phosphorus(value, "mehlich_3")), "Rutgers")
    assert (found.verdict, found.called, found.wanted) == (verdict, called, "high")
    assert (found.low, found.high) == (35.5, 68.5)  # 71 and 137 lb/acre of 2,000,000 lb of soil


def test_no_list_of_another_method_is_set_beside_it():
    line = only(phosphorus(12.0, "olsen"))
    assert {each.source.partition(",")[0] for each in line.ranges} == {"Oregon State University Extension EC 1478"}
    unknown = only(phosphorus(12.0, "other"))
    assert unknown.ranges == ()
    assert set(unknown.other_methods) == {"mehlich_3", "morgan", "bray_p1", "olsen"}
    assert only(phosphorus(12.0, "")).ranges == ()


@pytest.mark.property
@given(st.floats(0.0, 4000.0), st.sampled_from(EXTRACTANTS))
def test_whatever_is_read_is_only_set_beside_its_own_method(value, extractant):
    own = {row["source"] for row in table("compare/laboratory_ranges").rows
           if row["kind"] == "phosphorus" and extractant in row["method"].split("|")}
    assert {each.source for each in only(phosphorus(value, extractant)).ranges} == own


@pytest.mark.property
@given(st.floats(0.1, 4000.0), st.floats(1.0, 3.0))
def test_more_never_reads_as_less(value, times):
    order = ("below", "inside", "above")
    low, high = (about(only(phosphorus(each, "mehlich_3")), "Rutgers") for each in (value, value * times))
    assert order.index(low.verdict) <= order.index(high.verdict)


@pytest.mark.property
@given(st.floats(0.1, 4000.0))
def test_less_than_a_limit_is_never_above_and_never_sure_of_more_than_it_says(limit):
    line = only(phosphorus(limit, "mehlich_3", sign="<"))
    found = about(line, "Rutgers")
    assert line.interval is None
    assert found.verdict == ("below" if limit <= 35.5 else "undecided")
    more = about(only(phosphorus(limit, "mehlich_3", sign=">")), "Rutgers")
    assert more.verdict == ("above" if limit >= 68.5 else "undecided")


def test_under_a_limit_is_inside_a_range_that_begins_at_nothing():
    salt = only(read("ece", SAMPLE, 0.5, sign="<", attributes={"extract": "paste"}))
    assert {each.verdict for each in salt.ranges} == {"inside"}


def test_an_error_that_reaches_past_the_end_is_said():
    near, far = (about(only(read("soil_ph", SAMPLE, ph, attributes={"method": "water_1_1"})), "University of Illinois")
                 for ph in (6.35, 6.5))
    assert (near.verdict, near.sure) == ("inside", False)
    assert not far.sure  # the range is no wider than a laboratory's error
    assert about(only(read("soil_ph", SAMPLE, 8.0, attributes={"method": "water_1_1"})), "University of Illinois").sure


def test_leaves_are_set_beside_lists_of_their_kind_its_genus_or_its_group():
    oak = about(only(read("leaf_n", SAMPLE, 0.012)), "ICP")
    assert (oak.plants, oak.verdict, oak.sure) == ("oak in European forests", "below", True)
    plane = [*tree_readings("t-field", species="Platanus \N{MULTIPLICATION SIGN} acerifolia"), *WOOD]
    (chloride,) = laboratory(record([*plane, read("leaf_cl", SAMPLE, 0.015)]))
    kopinga = about(chloride, "Kopinga")
    assert (kopinga.plants, kopinga.called) == ("Platanus x acerifolia", "threshold: damage may show or not")
    larch = [*tree_readings("t-field", species="Larix decidua"), *WOOD]
    (needle,) = laboratory(record([*larch, read("leaf_n", SAMPLE, 0.012)]))
    assert about(needle, "ICP").plants == "other conifers in European forests"
    assert not [each for each in needle.ranges if each.source.startswith("Percival")]


@pytest.mark.parametrize(("species", "plants"), [
    ("Calocedrus decurrens", "other conifers in European forests"), ("Platycladus orientalis",
                                                                     "other conifers in European forests"),
    ("Sassafras albidum", "other broadleaves in European forests"), ("Ginkgo biloba", None), ("Sabal palmetto", None),
    ("mystery by the gate", None)])
def test_only_a_tree_known_to_be_one_meets_lists_of_conifers_or_broadleaves(species, plants):
    tree = [*tree_readings("t-field", species=species), *WOOD]
    (line,) = laboratory(record([*tree, read("leaf_n", SAMPLE, 0.012)]))
    assert [each.plants for each in line.ranges if each.source.startswith("ICP")] == ([plants] if plants else [])


def test_an_interval_holds_nothing_that_cannot_be():
    (line,) = lines(read("clay", SAMPLE, 0.01))
    assert line.interval.low == 0.0


def test_a_list_by_nitrogen_goes_by_the_nitrogen_of_the_same_leaf():
    found = {line.kind: line for line in lines(read("leaf_n", SAMPLE, 0.02), read("leaf_p", SAMPLE, 0.0008))}
    of_nitrogen = next(each for each in found["leaf_p"].ranges if each.source.endswith("nitrogen"))
    assert (of_nitrogen.low, of_nitrogen.high) == pytest.approx((0.002, 0.0028))  # 10 to 14 % of 2 %
    assert (of_nitrogen.verdict, of_nitrogen.called) == ("below", "insufficient beside the nitrogen")
    alone = only(read("leaf_p", SAMPLE, 0.0008))
    assert not [each for each in alone.ranges if each.source.endswith("nitrogen")]
    later = replace(read("leaf_n", SAMPLE, 0.02), day=DAY - timedelta(days=1))
    (phosphorus_line,) = [line for line in lines(later, read("leaf_p", SAMPLE, 0.0008)) if line.kind == "leaf_p"]
    assert not [each for each in phosphorus_line.ranges if each.source.endswith("nitrogen")]


def test_leaves_of_no_tree_meet_no_list_of_a_kind():
    nobody = record([*OAK, read("leaf_n", SAMPLE, 0.012)])
    place = replace(nobody, samples=tuple(replace(s, tree_id=None) if s.id == SAMPLE else s for s in nobody.samples))
    (line,) = laboratory(place)
    assert [each.plants for each in line.ranges] == ["25 landscape species, healthy to the eye"]


def test_the_yardstick_s_sample_of_the_same_method_is_set_beside_it():
    found = only(phosphorus(20.0, "mehlich_3"), phosphorus(40.0, "mehlich_3", of=HEALTHY),
                 phosphorus(900.0, "bray_p1", of=HEALTHY, series="b"))
    assert found.yardstick_value == pytest.approx(40.0)
    assert found.share.median == pytest.approx(0.5, rel=0.01)
    assert found.share.low < 0.4 < 0.6 < found.share.high
    assert found.difference is None
    acid = only(read("soil_ph", SAMPLE, 7.2, attributes={"method": "water_1_1"}),
                read("soil_ph", HEALTHY, 5.6, attributes={"method": "water_1_1"}))
    assert acid.share is None
    assert acid.difference.median == pytest.approx(1.6, abs=0.01)


@pytest.mark.parametrize(("theirs", "note"), [
    (phosphorus(40.0, "olsen", of=HEALTHY), "yardstick_other_method"),
    (replace(phosphorus(40.0, "mehlich_3", of=HEALTHY), day=DAY - timedelta(days=800)), "yardstick_other_time"),
    (phosphorus(40.0, "mehlich_3", of=HEALTHY, sign="<"), "yardstick_limit"),
    (read("iron", HEALTHY, 40.0, attributes={"extractant": "mehlich_3"}), "yardstick_not_read")])
def test_why_it_is_not_set_beside_the_yardstick_is_said(theirs, note):
    found = only(phosphorus(20.0, "mehlich_3"), theirs)
    assert (found.share, found.note) == (None, note)


def test_leaves_are_compared_within_a_season_and_nitrate_too():
    for kind in ("leaf_n", "nitrate_n"):
        later = replace(read(kind, HEALTHY, 0.02), day=DAY - timedelta(days=40))
        assert only(read(kind, SAMPLE, 0.01), later).note == "yardstick_other_time"
        assert only(read(kind, SAMPLE, 0.01), replace(later, day=DAY - timedelta(days=20))).share is not None


def test_a_healthy_tree_s_own_sample_is_set_beside_lists_and_no_yardstick():
    found = laboratory(record([*OAK, phosphorus(40.0, "mehlich_3", of=HEALTHY)]))
    assert [(line.yardstick_value, line.note) for line in found] == [(None, "")]
    assert found[0].ranges


def test_no_ratio_of_cations_is_diagnosed():
    named = " ".join(row["kind"] for row in table("compare/laboratory_ranges").rows)
    assert "ratio" not in named
    assert "saturation" not in named
    assert {row["kind"] for row in table("compare/laboratory_ranges").rows} <= set(kinds())


def test_classes_of_a_list_follow_each_other_without_a_gap_that_is_judged():
    rows = table("compare/laboratory_ranges").rows
    assert all(row["low"] is not None or row["high"] is not None for row in rows)
    assert all(row["low"] < row["high"] for row in rows if None not in (row["low"], row["high"]))
    for key in {(row["kind"], row["list"], row["method"], row["matches"]) for row in rows}:
        same = [row for row in rows if (row["kind"], row["list"], row["method"], row["matches"]) == key]
        assert sum(bool(row["wanted"]) for row in same) <= 1, key
        for one in same:
            allowed = {each for names in kinds()[key[0]].required.values() for each in names}
            assert not one["method"] or set(one["method"].split("|")) <= allowed, key
