"""The kinds of events of slides; they belong to the practice."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from rootcase.fieldbook.body import Body
from rootcase.records.make.batch import Figure
from rootcase.records.make.slide import Method, SlideRow, Source


@dataclass(frozen=True, slots=True, kw_only=True)
class SlideCounted(Body):
    """One count by one method; one of the same slot that supersedes it corrects it."""

    KIND = "slide_counted"
    slide: str
    method: Method
    source: Source
    source_id: str
    counted: str
    day: date
    by: str
    """A code, never a name."""
    rows: tuple[SlideRow, ...] = ()
    figures: tuple[Figure, ...] = ()
    constant: str = ""
    repeat_of: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoMeasured(Body):
    """The hyphae on a photo of a slide; one of the same slot tells what a person mended."""

    KIND = "photo_measured"
    slide: str
    photo: str
    um_per_px: float
    area_mm2: float
    length_mm: float
    low_mm: float
    high_mm: float
    by: str
    day: date
    mended_mm: float | None = None
    deleted_um: str = ""
    drawn: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SlideTakenBack(Body):
    """What stands in this slot was told by mistake."""

    KIND = "slide_taken_back"
    slide: str
    reason: str
    by: str


SLIDE_EVENTS: tuple[type[Body], ...] = (SlideCounted, PhotoMeasured, SlideTakenBack)
