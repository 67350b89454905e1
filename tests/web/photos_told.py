"""Invented photos of a tree in a fieldbook, measured, for tests that look at pages."""

from __future__ import annotations

from pathlib import Path

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.photographed import TreePhotoMeasured
from rootcase.records.tree_photo import CrownGaps, LeafOnCard
from rootcase.services.demo import DAY

DATA = Path(__file__).parents[1] / "data"
CARD, CROWN = DATA / "card_flat.jpg", DATA / "canopy_clear.jpg"
LEAVES = tuple(LeafOnCard(number=at, area_mm2=area, low_mm2=0.99 * area, high_mm2=1.01 * area, x_mm=20.0 + 40 * at,
                          y_mm=75.0, dark_green=green)
               for at, area, green in ((1, 345.0, 0.62), (2, 298.0, 0.58), (3, 367.0, 0.49)))
GAPS = CrownGaps(gap_share=0.44, low_share=0.42, high_share=0.46)


def measured_ids(book: Fieldbook, property_id: str, tree_id: str) -> dict[str, str]:
    """What stands in the addresses of measured photos, which are told where they are not there."""
    leaves, crown = kept(book, CARD), kept(book, CROWN)
    book.photographing.add(property_id, TreePhotoMeasured(
        slot="measured-leaves", tree=tree_id, shows="leaves", photo=leaves, day=DAY, by="rs", leaves=LEAVES))
    book.photographing.add(property_id, TreePhotoMeasured(
        slot="measured-crown", tree=tree_id, shows="crown", photo=crown, day=DAY, by="rs", crown=GAPS,
        stand="two steps north of the trunk, phone lens 1x"))
    return {"measured_id": "measured-leaves", "crown_id": "measured-crown"}


def kept(book: Fieldbook, photo: Path) -> str:
    """The mark of a photo, kept."""
    with photo.open("rb") as file:
        return book.drawing.keep_photo(file)
