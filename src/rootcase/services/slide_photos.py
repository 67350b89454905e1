"""Photos of a slide: measured for hyphae, kept, and mended by hand."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace
from datetime import date
from math import hypot
from pathlib import Path
from typing import Literal

import numpy as np

from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.fence import picture_anew
from rootcase.fieldbook.made.slides import PhotoMeasured
from rootcase.fieldbook.making.slide_log import slides_of
from rootcase.ground.errors import FileError, Missing, RootcaseError, UnreadableValue
from rootcase.ground.length import MOST_LINE, require_length
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.make.slide import PhotoLength, Slide
from rootcase.records.observe import System
from rootcase.services.asked import Ask, read_one
from rootcase.services.hyphae import HyphaePhoto, OverlayLine
from rootcase.services.slides import slides, standing

Measure = Callable[[Path, float], HyphaePhoto]
_SAME_LINE_UM = 3.0
"""JUDGEMENT: about the width of a hypha."""
MOST_DRAWN = 20_000
"""Signs of what is drawn by hand. JUDGEMENT: some hundred lines."""
_LEAST = {"line": 2, "outline": 3, "place": 1}
"""Points."""
_ALIKE = 0.01
"""Photos of one slide show as much ground, to this part of it. JUDGEMENT."""
SCALE = (Ask("um_per_px", "um_per_px", "um", ("um", "um"), 0.01, 0.75, needed=False),
         Ask("micrometer", "micrometer", "um", ("um", "um"), 1.0, 1e5, needed=False),
         Ask("pixels", "pixels", "1", ("1", "1"), 1.0, 1e5, needed=False))
"""The scale itself, or a length on a stage micrometer and over how many pixels it goes."""


def add_photo(book: Fieldbook, slide: Slide, file: Path | None, cells: Mapping[str, str], measure: Measure, *, by: str,
              today: date, system: System) -> tuple[str, dict[str, str]]:
    """Measure a photo and keep it with its slide. Returns the photo's id, or what is wrong by cell."""
    wrong: dict[str, str] = {}
    scale = _scale(cells, system, wrong)
    if file is None:
        wrong["photo"] = str(Missing(say("ground.aerial.no_file"), right=say("fence.right_photo")))
    if wrong or scale is None or file is None:
        return "", wrong
    try:
        picture_anew(file)  # what the fence refuses is opened by nobody else
        found = measure(file, scale)
    except FileError as error:  # where the copy lies is nobody's business
        return "", {"photo": str(FileError(error.what, where=file.name, value=error.value, right=error.right))}
    except RootcaseError as error:
        return "", {"photo": str(error)}
    if any(abs(photo.area_mm2 / found.area_mm2 - 1.0) > _ALIKE for photo in slide.photos):
        return "", {"photo": say("slide.photo.unlike")}
    with file.open("rb") as source:
        mark = book.drawing.keep_photo(source)
    slot = book.making.new_id()
    length, low, high = (convert(each, "um", "mm") for each in (found.length_um, found.low_um, found.high_um))
    body = PhotoMeasured(slot=slot, slide=slide.id, photo=mark, um_per_px=scale, area_mm2=found.area_mm2,
                         length_mm=length, low_mm=low, high_mm=high, by=by, day=today)

    def unless_it_is_there(events: Sequence[Event]) -> list[Body]:
        of_slide = next((each for each in slides_of(events) if each.id == slide.id), slide)
        return [] if mark in {photo.photo for photo in of_slide.photos} else [body]

    return (slot, {}) if book.making.tell(unless_it_is_there) else ("", {"photo": say("slide.photo.twice")})


def photo_named(slide: Slide, photo_id: str) -> PhotoLength:
    """The photo of a slide of this id."""
    found = next((photo for photo in slide.photos if photo.id == photo_id), None)
    if found is None:
        raise Missing(say("slide.photo.none"), value=photo_id, right=say("slide.right_slide"))
    return found


def last_scale(book: Fieldbook, by: str) -> float | None:
    """The scale of the operator's last photo, as long as the microscope is the same."""
    photos = [photo for slide in slides(book) for photo in slide.photos if photo.by == by]
    return max(photos, key=lambda photo: (photo.day, photo.id)).um_per_px if photos else None


def mend_photo(book: Fieldbook, photo: PhotoLength, found: HyphaePhoto, gone: Collection[int], drawn: str, *, by: str,
               today: date) -> str:
    """Keep what a person deleted and drew, and the length that is left. Returns what is wrong with what was drawn."""
    from rootcase.science.photo.hyphae import Piece, corrected_length_um

    pieces = [Piece(np.array(line.points_px), line.length_um, line.seen) for line in found.lines]
    try:
        lines = drawn_lines(drawn, found.width_px, found.height_px)
        length_um = corrected_length_um(found.length_um, pieces, photo.um_per_px, gone,
                                        [np.array(line) for line in lines])
    except RootcaseError as error:
        return str(error)
    mended = convert(length_um, "um", "mm") if gone or lines else None
    told = "; ".join(", ".join(f"{x:g} {y:g}" for x, y in line) for line in lines)

    def body(events: object) -> list[PhotoMeasured]:
        before = standing(events, photo.id)  # type: ignore[arg-type]
        if not isinstance(before.body, PhotoMeasured):
            raise Missing(say("slide.photo.none"), value=photo.id, right=say("slide.right_slide"))
        return [replace(before.body, supersedes=before.id, by=by, day=today, mended_mm=mended,
                        deleted_um=_middles_told(found, gone, photo.um_per_px), drawn=told)]

    book.making.tell(body)
    return ""


def deleted_lines(photo: PhotoLength, found: HyphaePhoto) -> tuple[tuple[int, ...], int]:
    """Places of the lines that a person deleted among those found now, and how many are not there any more.

    Where the lines are found in a newer way, one is the same whose middle lies where it lay; no other is deleted."""
    left = {at: _middle_um(line, photo.um_per_px) for at, line in enumerate(found.lines)}
    middles = [tuple(float(each) for each in point.split()) for point in photo.deleted_um.split(";") if point.strip()]
    gone = []
    for x, y in middles:
        nearest = min(left, key=lambda at: hypot(left[at][0] - x, left[at][1] - y), default=None)
        if nearest is not None and hypot(left[nearest][0] - x, left[nearest][1] - y) <= _SAME_LINE_UM:
            gone.append(nearest)
            del left[nearest]
    return tuple(sorted(gone)), len(middles) - len(gone)


def _middles_told(found: HyphaePhoto, gone: Collection[int], um_per_px: float) -> str:
    middles = (_middle_um(found.lines[at], um_per_px) for at in sorted(gone))
    return "; ".join(f"{x:.2f} {y:.2f}" for x, y in middles)


def _middle_um(line: OverlayLine, um_per_px: float) -> tuple[float, float]:
    x, y = line.points_px[len(line.points_px) // 2]
    return x * um_per_px, y * um_per_px


def drawn_lines(text: str, width_px: int, height_px: int,
                shape: Literal["line", "outline", "place"] = "line") -> list[list[tuple[float, float]]]:
    """Lines, outlines or places drawn by hand, inside the photo.

    >>> drawn_lines("10 20, 30 40; 5 5, 9 9", 100, 100)
    [[(10.0, 20.0), (30.0, 40.0)], [(5.0, 5.0), (9.0, 9.0)]]
    """
    require_length(text, MOST_DRAWN)
    found = []
    for line in re.split(r"[;\n]", text):
        if not line.strip():
            continue
        points = [_point(each, width_px, height_px, shape) for each in line.split(",")]
        if len(points) < _LEAST[shape]:
            raise UnreadableValue(say(f"drawn.{shape}.one_point"), value=f'"{line.strip()[:60]}"',
                                  right=say(f"drawn.{shape}.right_drawn"))
        found.append(points)
    return found


def _point(text: str, width_px: int, height_px: int, shape: str) -> tuple[float, float]:
    numbers = re.fullmatch(r"\s*(\d{1,6}(?:\.\d{1,3})?)\s+(\d{1,6}(?:\.\d{1,3})?)\s*", text)
    if numbers is None or float(numbers[1]) > width_px or float(numbers[2]) > height_px:
        raise UnreadableValue(say(f"drawn.{shape}.no_point"), value=f'"{text.strip()[:60]}"',
                              right=say(f"drawn.{shape}.right_drawn"))
    return float(numbers[1]), float(numbers[2])


def _scale(cells: Mapping[str, str], system: System, wrong: dict[str, str]) -> float | None:
    """The scale itself where it is told, else by the stage micrometer."""
    typed: dict[str, float] = {}
    for ask in SCALE:
        text = cells.get(ask.name, "").strip()
        try:
            require_length(text, MOST_LINE)
            if (value := read_one(ask, text, system, [])) is not None:
                typed[ask.name] = value
        except RootcaseError as error:
            wrong[ask.name] = str(error)
    if wrong:
        return None
    if "um_per_px" in typed:
        return typed["um_per_px"]
    if {"micrometer", "pixels"} <= typed.keys():
        try:
            from rootcase.science.photo.hyphae import scale_um_px

            return scale_um_px(typed["micrometer"], typed["pixels"])
        except RootcaseError as error:
            wrong["micrometer"] = str(error)
            return None
    wrong["um_per_px"] = say("slide.photo.no_scale")
    return None
