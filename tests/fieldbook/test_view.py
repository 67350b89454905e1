"""The view: a function of the set of events, with corrections in their place and rivals in sight."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.fieldbook.events import Event, ReadingTakenBack, VisitStarted
from rootcase.fieldbook.view import natural, view
from rootcase.ground.errors import Missing
from rootcase.records.observe import Reading
from tests.fieldbook.sheets import event, reading, whole_property

RIVALS = [event("43", reading("dbh", 320.0, "40"), made_at="2016-01-16T00:00:00.000Z"),
          event("44", ReadingTakenBack(slot="other", supersedes="42", reason="wrong tree"),
                made_at="2016-01-17T00:00:00.000Z"),
          event("45", reading("other", 255.0, "42"))]


def found(events: list[Event], slot_value: float | None = None) -> list[Reading]:
    return [r for r in view(events).readings if slot_value is None or r.value == slot_value]


@pytest.mark.property
@given(st.permutations([*whole_property(), *RIVALS]),
       st.lists(st.sampled_from([*whole_property(), *RIVALS]), max_size=9))
def test_order_and_repeats_change_nothing(shuffled: list[Event], repeated: list[Event]) -> None:
    copies = [replace(each, made_at="2017-01-01T00:00:00.000Z", device="phone") for each in repeated]
    assert view([*copies, *shuffled, *repeated]) == view([*whole_property(), *RIVALS])


@pytest.mark.property
@given(st.data())
def test_any_part_of_the_events_has_a_view_once_the_property_is_there(data: st.DataObject) -> None:
    part = data.draw(st.lists(st.sampled_from([*whole_property(), *RIVALS]), max_size=12))
    assert view([whole_property()[0], *part]).property.name == "Alder Bank"


def test_things_stand_in_natural_order_and_know_each_other() -> None:
    record = view(whole_property())
    assert [tree.label for tree in record.trees] == [f"oak {n}" for n in range(12)]
    assert record.yardsticks[0].tree_ids == ("t2", "t10")
    assert record.compared_with == {"t1": "y"}
    assert record.places[0].outline_m[2] == (10.0, 5.5)
    assert [(outline.name, outline.kind) for outline in record.outlines] == [("house", "building")]
    assert record.pits_of("t1")[0].label == "pit 1"


def test_a_correction_takes_the_place_of_what_it_corrects() -> None:
    one, = (r for r in view(whole_property()).readings if r.id == "41")
    assert (one.value, one.supersedes, one.day, one.observer, one.doubts) == (
        310.0, "40", date(2015, 11, 5), "reader 1", ())
    assert not found(whole_property(), 300.0)


def test_of_two_corrections_the_later_stands_and_the_other_is_told() -> None:
    one, = found([*whole_property(), RIVALS[0]], 320.0)
    assert one.id == "43"
    assert one.doubts == ("somebody else corrected it to 310 mm at the same time",)
    same = event("46", reading("dbh", 320.0, "40"))
    agreed, = found([*whole_property()[:-2], RIVALS[0], same], 320.0)
    assert agreed.doubts == ()  # two who say the same do not disagree


def test_a_correction_stands_before_a_taking_back_at_the_same_time() -> None:
    one, = found([*whole_property(), *RIVALS[1:]], 255.0)
    assert one.doubts == ("somebody else took it back at the same time",)


def test_what_is_taken_back_is_gone() -> None:
    assert not found([*whole_property(), RIVALS[1]], 250.0)


def test_a_reading_waits_for_its_visit_and_follows_its_day() -> None:
    events = whole_property()
    assert found([e for e in events if e.body.KIND != "visit_started"]) == []
    moved = event("60", VisitStarted(slot="visit", supersedes="32", visit="v1", label="autumn", day=date(2015, 11, 6)))
    assert {r.day for r in found([*events, moved])} == {date(2015, 11, 6)}


def test_without_a_property_there_is_no_view() -> None:
    with pytest.raises(Missing, match="do not open a property"):
        view(whole_property()[1:])


def test_events_that_supersede_each_other_in_a_ring_still_have_one_view() -> None:
    ring = [event("70", reading("ring", 1.0, "71")), event("71", reading("ring", 2.0, "70"))]
    assert view([*whole_property(), *ring]) == view([*ring[::-1], *whole_property()])


def test_labels_sort_by_their_numbers_however_long() -> None:
    labels = ["ash", "oak", "oak 0", "oak 1", "oak 1 b", "oak 002", "oak 9", "oak 10", "oak 10.5", f"oak {'9' * 5000}",
              f"oak 1{'0' * 5000}"]
    assert sorted({*labels}, key=natural) == labels
