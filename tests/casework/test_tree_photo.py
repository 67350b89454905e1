"""What a measured photo says as readings."""

from __future__ import annotations

from dataclasses import replace

from rootcase.casework.tree_photo import photo_readings
from rootcase.fieldbook.photographing import tree_photos_of
from rootcase.records.tree_photo import CrownGaps, SoilOnCard
from tests.fieldbook.photo_examples import LEAF, PHOTOS


def test_each_leaf_is_a_reading_and_the_greenness_is_of_the_green_ones() -> None:
    photo, = tree_photos_of(PHOTOS[:1])
    leaves = (LEAF, replace(LEAF, number=2, dark_green=None), replace(LEAF, number=5, dark_green=0.4),
              replace(LEAF, number=6, dark_green=0.1))
    said = photo_readings(replace(photo, leaves=leaves))
    assert [(each.kind, each.number) for each in said] == [
        *(("leaf_area_photo", number) for number in (1, 2, 5, 6)), ("leaf_colour_photo", 1)]
    assert said[-1].value == 0.4
    assert photo_readings(replace(photo, leaves=())) == ()
    crown = CrownGaps(gap_share=0.31, low_share=0.29, high_share=0.33)
    assert [(each.kind, each.value) for each in photo_readings(replace(photo, leaves=(), crown=crown))] == [
        ("crown_gap_photo", 0.31)]
    soil = SoilOnCard(chip="10YR 3/2", state="dry", spot="oak 1 spot 1")
    assert [(each.kind, each.choice) for each in photo_readings(replace(photo, leaves=(), soil=soil))] == [
        ("soil_colour_photo", "10YR 3/2"), ("soil_colour_state", "dry")]
