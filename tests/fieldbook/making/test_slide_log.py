"""Slides from their events, in any order."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations

from rootcase.fieldbook.making.slide_log import slides_of
from tests.fieldbook.made_examples import SLIDES
from tests.fieldbook.sheets import event


def test_a_slide_stands_with_its_photos_whatever_comes_first() -> None:
    for order in permutations(SLIDES[:2]):
        slide, = slides_of(order)
        assert (slide.figure("dilution"), slide.rows[0].figure("outer_mm"), slide.photos[0].deleted_um) == (
            100.0, 3.0, "12.5 40; 7 9.25")


def test_a_correction_takes_the_place_and_what_was_taken_back_is_gone() -> None:
    corrected = event("s9", replace(SLIDES[0].body, supersedes="s1", counted="cells"))
    for order in permutations([SLIDES[0], corrected]):
        slide, = slides_of(order)
        assert (slide.counted, slide.corrected) == ("cells", True)
    elsewhere = event("s0", corrected.body)
    for order in permutations([SLIDES[0], elsewhere, SLIDES[2]]):  # two at once: nothing that was typed is lost
        assert [slide.counted for slide in slides_of(order)] == ["cells"]
    assert slides_of(SLIDES) == ()
