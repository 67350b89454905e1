"""One event of each kind that tells of a measured photo of a tree."""

from __future__ import annotations

from datetime import date

from rootcase.fieldbook.photographed import TreePhotoMeasured, TreePhotoTakenBack
from rootcase.records.tree_photo import CrownGaps, LeafOnCard, NearChip, SoilOnCard
from tests.fieldbook.sheets import event

LEAF = LeafOnCard(number=1, area_mm2=1550.5, low_mm2=1540.0, high_mm2=1561.0, x_mm=60.2, y_mm=75.0, dark_green=0.55)
MEASURED = TreePhotoMeasured(slot="tp", tree="t1", shows="leaves", photo="0" * 64, day=date(2016, 6, 3), by="rs",
                             leaves=(LEAF,))
PHOTOS = [
    event("90", MEASURED),
    event("91", TreePhotoMeasured(slot="tp", supersedes="90", tree="t1", shows="leaves", photo="0" * 64,
                                  day=date(2016, 6, 3), by="jk", left_out="60.2 75",
                                  drawn="10 12, 40 12, 25 60", leaves=(LeafOnCard(
                                      number=2, area_mm2=900.0, low_mm2=850.0, high_mm2=950.0, x_mm=120.0, y_mm=70.5,
                                      by_hand=True),))),
    event("92", TreePhotoMeasured(slot="tc", tree="t1", shows="crown", photo="1" * 64, day=date(2016, 6, 3), by="rs",
                                  crown=CrownGaps(gap_share=0.31, low_share=0.29, high_share=0.33),
                                  stand="painted mark, 24 mm")),
    event("94", TreePhotoMeasured(slot="tc", supersedes="92", tree="t1", shows="soil", photo="1" * 64,
                                  day=date(2016, 6, 3), by="rs", drawn="410 320", soil=SoilOnCard(
                                      chip="10YR 3/2", near=(NearChip(chip="10YR 3/2", likely_share=0.5),),
                                      value="2.5 3", chroma="1 3", hue="7.5YR 2.5Y", state="moist", spot="oak 1 spot 1",
                                      from_m=0.05, to_m=0.1),
                                  warnings=("The photo is too dark for a color: let more light in.",))),
    event("93", TreePhotoTakenBack(slot="tc", supersedes="94", tree="t1", reason="another tree", by="rs")),
]
