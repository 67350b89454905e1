"""Slides from their events, in any order."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations

from rootcase.fieldbook.events import Event
from rootcase.fieldbook.made.heaps import HeapStarted
from rootcase.fieldbook.making.slide_log import slides_of
from tests.fieldbook.made_examples import SLIDES
from tests.fieldbook.sheets import event


def test_a_slide_stands_with_its_photos_whatever_comes_first() -> None:
    for order in permutations(SLIDES[:2]):
        slide, = slides_of(order)
        assert (slide.figure("dilution"), slide.rows[0].figure("outer_mm"), slide.photos[0].deleted_um) == (
            100.0, 3.0, "12.5 40; 7 9.25")


def test_a_slide_stays_with_its_heap_when_it_is_renamed_and_one_of_before_is_found_by_its_name_then() -> None:
    def named(heap: str, name: str, day: int) -> Event:
        body = HeapStarted(slot=heap, heap=heap, name=name, shape="static", rule="nop", by="rs",
                           complete_at="2016-03-01T08:00:00.000Z", time_zone="UTC", parts=())
        return event(f"{heap}-{day}", body, f"2016-05-0{day}T08:00:00.000Z")

    heaps = [named("h1", "old", 1), named("h1", "new", 3), named("h2", "old", 4)]
    for told in ("old", "h1"):
        slide = event("s1", replace(SLIDES[0].body, source="heap", source_id=told), "2016-05-02T08:00:00.000Z")
        for order in permutations([slide, *heaps]):
            one, = slides_of(order)
            assert (one.source_id, one.source_called) == ("h1", "new")


def test_a_correction_takes_the_place_and_what_was_taken_back_is_gone() -> None:
    corrected = event("s9", replace(SLIDES[0].body, supersedes="s1", counted="cells"))
    for order in permutations([SLIDES[0], corrected]):
        slide, = slides_of(order)
        assert (slide.counted, slide.corrected) == ("cells", True)
    elsewhere = event("s0", corrected.body)
    for order in permutations([SLIDES[0], elsewhere, SLIDES[2]]):  # two at once: nothing that was typed is lost
        assert [slide.counted for slide in slides_of(order)] == ["cells"]
    assert slides_of(SLIDES) == ()
