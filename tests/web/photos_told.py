"""Invented photos of a tree in a fieldbook, measured, for tests that look at pages."""

from __future__ import annotations

from functools import cache
from io import BytesIO
from pathlib import Path

from PIL import Image

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.photographed import TreePhotoMeasured
from rootcase.records.tree_photo import CrownGaps, LeafOnCard, NearChip, SoilOnCard
from rootcase.services.demo import DAY
from tests.science.photo.soils import draw_soil

DATA = Path(__file__).parents[1] / "data"
CARD, CROWN = DATA / "card_flat.jpg", DATA / "canopy_clear.jpg"
LEAVES = tuple(LeafOnCard(number=at, area_mm2=area, low_mm2=0.99 * area, high_mm2=1.01 * area, x_mm=20.0 + 40 * at,
                          y_mm=75.0, dark_green=green)
               for at, area, green in ((1, 345.0, 0.62), (2, 298.0, 0.58), (3, 367.0, 0.49)))
GAPS = CrownGaps(gap_share=0.44, low_share=0.42, high_share=0.46)
SOIL = SoilOnCard(chip="10YR 4/3", near=(NearChip(chip="10YR 4/3", likely_share=0.4),
                                        NearChip(chip="7.5YR 4/3", likely_share=0.2)),
                  state="moist", spot="spot by the trunk", from_m=0.05, to_m=0.1)


def measured_ids(book: Fieldbook, property_id: str, tree_id: str) -> dict[str, str]:
    """What stands in the addresses of measured photos, which are told where they are not there."""
    leaves, crown = kept(book, CARD), kept(book, CROWN)
    book.photographing.add(property_id, TreePhotoMeasured(
        slot="measured-leaves", tree=tree_id, shows="leaves", photo=leaves, day=DAY, by="rs", leaves=LEAVES))
    book.photographing.add(property_id, TreePhotoMeasured(
        slot="measured-crown", tree=tree_id, shows="crown", photo=crown, day=DAY, by="rs", crown=GAPS,
        stand="two steps north of the trunk, phone lens 1x"))
    book.photographing.add(property_id, TreePhotoMeasured(
        slot="measured-soil", tree=tree_id, shows="soil", photo=book.drawing.keep_photo(soil_photo()), day=DAY, by="rs",
        soil=SOIL))
    return {"measured_id": "measured-leaves", "crown_id": "measured-crown", "soil_id": "measured-soil"}


def soil_photo() -> BytesIO:
    """A drawn lump of 10YR 4/3 on the card."""
    return BytesIO(_drawn())


@cache
def _drawn() -> bytes:
    file = BytesIO()
    Image.fromarray(draw_soil(6, "10YR 4/3", px_per_mm=3.0)).save(file, "PNG")
    return file.getvalue()


def kept(book: Fieldbook, photo: Path) -> str:
    """The mark of a photo, kept."""
    with photo.open("rb") as file:
        return book.drawing.keep_photo(file)
