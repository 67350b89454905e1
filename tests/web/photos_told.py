"""Invented photos of a tree in a fieldbook, measured, for tests that look at pages."""

from __future__ import annotations

from pathlib import Path

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.photographed import TreePhotoMeasured
from rootcase.records.tree_photo import LeafOnCard
from rootcase.services.demo import DAY

CARD = Path(__file__).parents[1] / "data" / "card_flat.jpg"
LEAF = LeafOnCard(number=1, area_mm2=1500.0, low_mm2=1480.0, high_mm2=1520.0, x_mm=60.0, y_mm=75.0, dark_green=0.55)


def measured_ids(book: Fieldbook, property_id: str, tree_id: str) -> dict[str, str]:
    """What stands in the address of a measured photo, which is told where it is not there."""
    with CARD.open("rb") as file:
        mark = book.drawing.keep_photo(file)
    book.photographing.add(property_id, TreePhotoMeasured(
        slot="measured-leaves", tree=tree_id, shows="leaves", photo=mark, day=DAY, by="rs", leaves=(LEAF,)))
    return {"measured_id": "measured-leaves"}
