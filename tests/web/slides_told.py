"""Invented slides in a fieldbook, for tests that look at pages."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from rootcase.fieldbook.body import Body
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.made.slides import PhotoMeasured, SlideCounted
from rootcase.records.make.batch import Figure
from rootcase.records.make.slide import SlideRow
from rootcase.services.demo import DAY
from rootcase.services.slides import slides

PHOTO = Path(__file__).parents[1] / "data" / "hyphae_sparse.jpg"
FIGURES = (Figure("square_mm2", 0.0025), Figure("depth_mm", 0.02), Figure("dilution", 10.0), Figure("cell_um3", 0.2))
COUNTED = SlideCounted(slot="slide-one", slide="slide-one", method="chamber", source="batch", source_id="31",
                       counted="bacteria", day=DAY, by="rs", rows=(SlideRow(counts=(9, 7, 12, 8, 6, 10)),),
                       figures=FIGURES, constant="fry_1990")


def slide_ids(book: Fieldbook) -> dict[str, str]:
    """What stands in the addresses of a slide, which is told where it is not there."""
    if COUNTED.slide not in {each.id for each in slides(book)}:
        told: list[Body] = [COUNTED]
        for name, by, counts in (("slide-two", "rs", (4, 5, 3, 6)), ("slide-three", "jk", (14, 0, 2, 23))):
            told.append(replace(COUNTED, slot=name, slide=name, source="yardstick", source_id="oak wood", by=by,
                                rows=(SlideRow(counts=counts),)))
        told.append(replace(COUNTED, slot="slide-four", slide="slide-four", repeat_of=COUNTED.slide,
                            rows=(SlideRow(counts=(10, 7, 11)),)))
        told.append(replace(COUNTED, slot="slide-photos", slide="slide-photos", method="photos", counted="hyphae",
                            rows=(), constant="", figures=(Figure("spread_mm2", 324.0), Figure("drop_ul", 20.0))))
        told.append(PhotoMeasured(slot="photo-one", slide="slide-photos", photo=kept(book), um_per_px=0.5,
                                  area_mm2=0.12, length_mm=1.6, low_mm=1.5, high_mm=1.7, by="rs", day=DAY))
        book.making.tell(lambda _: told)
    return {"slide_id": COUNTED.slide, "photos_id": "slide-photos", "photo_id": "photo-one"}


def kept(book: Fieldbook) -> str:
    """The mark of an invented photo of hyphae, kept."""
    with PHOTO.open("rb") as photo:
        return book.drawing.keep_photo(photo)
