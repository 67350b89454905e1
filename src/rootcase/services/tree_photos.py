"""Photos of a tree: measured, kept, mended by hand, and their figures kept as readings."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import replace
from datetime import date
from io import BytesIO
from math import hypot
from pathlib import Path
from typing import Any, get_args

from PIL import Image

from rootcase.casework.tree_photo import photo_readings
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.forms import Filled
from rootcase.fieldbook.intake.desk import between
from rootcase.fieldbook.intake.fence import picture_anew
from rootcase.fieldbook.intake.grid import Cell
from rootcase.fieldbook.intake.values import box_unit, read_length_m
from rootcase.fieldbook.photographed import TreePhotoMeasured
from rootcase.ground.dates import read_date
from rootcase.ground.errors import FileError, ImpossibleValue, Missing, RootcaseError, UnreadableValue
from rootcase.ground.length import MOST_LINE, cut, require_length, too_long
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord, Reading, System, Tree
from rootcase.records.tree_photo import (
    CrownGaps,
    LeafOnCard,
    NearChip,
    PhotoReading,
    Shows,
    SoilOnCard,
    SoilState,
    TreePhoto,
)
from rootcase.services.canopy_photo import CanopyPhoto, canopy_in
from rootcase.services.leaf_photo import LeafPhoto, LeafSeen, leaves_in
from rootcase.services.read import spots, visit_label
from rootcase.services.slide_photos import drawn_lines
from rootcase.services.soil_photo import SoilPhoto, soil_in
from rootcase.tables.readings import kinds

Call = Callable[..., Any]
"""Does short work, function(*arguments), wherever it is done."""
Outlines = tuple[tuple[tuple[float, float], ...], ...]
"""In pixels of the upright photo."""
SHOWS: tuple[Shows, ...] = get_args(Shows)
_SAME_LEAF_MM = 3.0
"""Middles of one leaf, found in two ways, lie no farther apart. JUDGEMENT: leaves lie apart from each other."""
_SMALL_PX = 240
_FIGURES = 4
_ROUNDED = 1e-3
"""What is written with so many figures is off by less than this part of it."""
_SIGNS = 12
"""Of a photo's id, by which its readings know it."""


def photos_of(book: Fieldbook, property_id: str, tree: Tree) -> tuple[TreePhoto, ...]:
    """The measured photos of a tree, newest first."""
    return tuple(photo for photo in book.photographing.of(property_id) if photo.tree_id == tree.id)


def tree_photo_named(book: Fieldbook, property_id: str, tree: Tree, photo_id: str) -> TreePhoto:
    """The measured photo of a tree of this id."""
    found = next((photo for photo in photos_of(book, property_id, tree) if photo.id == photo_id), None)
    if found is None:
        raise Missing(say("photos.none"), value=photo_id, right=say("photos.right_photo"))
    return found


def add_tree_photo(book: Fieldbook, record: PropertyRecord, tree: Tree, file: Path | None, cells: Mapping[str, str],
                   call: Call, *, by: str, today: date, system: System) -> tuple[str, dict[str, str]]:
    """Measure a photo and keep it with its tree. Returns the photo's id, or what is wrong by cell."""
    shows = next((each for each in SHOWS if each == cells.get("shows")), None)
    wrong: dict[str, str] = {}
    day = _day(cells.get("day", ""), today, wrong)
    stand = " ".join(cells.get("stand", "").split()) if shows == "crown" else ""
    wrong |= too_long({"stand": stand}, MOST_LINE)
    soil = _soil_told(record, tree, cells, system, wrong) if shows == "soil" else None
    if shows is None:
        wrong["shows"] = say("photos.right_shows")
    if shows == "crown" and not stand:
        wrong["stand"] = say("photos.crown.no_stand")
    if file is None:
        wrong["photo"] = str(Missing(say("ground.aerial.no_file"), right=say("fence.right_photo")))
    if wrong or day is None or shows is None or file is None:
        return "", wrong
    try:
        picture_anew(file)  # what the fence refuses is opened by nobody else
        figures = _figures(shows, file, call, soil)
    except FileError as error:  # where the copy lies is nobody's business
        return "", {"photo": str(FileError(error.what, where=file.name, value=error.value, right=error.right))}
    except RootcaseError as error:
        return "", {"photo": str(error)}
    with file.open("rb") as source:
        mark = book.drawing.keep_photo(source)
    slot = book.photographing.new_id()
    body = TreePhotoMeasured(slot=slot, tree=tree.id, shows=shows, photo=mark, day=day, by=by,
                             stand=stand, **figures)
    kept = book.photographing.add(record.property.id, body)
    return (slot, {}) if kept else ("", {"photo": say("photos.twice")})


def leaves_of(found: LeafPhoto, left_out: Collection[int] = ()) -> tuple[LeafOnCard, ...]:
    """The leaves of a photo that count, each under its number."""
    return tuple(_leaf(at + 1, leaf) for at, leaf in enumerate(found.leaves) if at not in left_out)


def mend_leaves(book: Fieldbook, property_id: str, photo: TreePhoto, drawn: str, size_px: tuple[int, int], call: Call,
                path: Path, *, left_out: Collection[int], by: str) -> str:
    """Keep which leaves are none and which were drawn; returns what is wrong with what was drawn."""
    try:
        found: LeafPhoto = call(leaves_in, path, outlines(drawn, size_px))
    except RootcaseError as error:
        return str(error)
    gone = [at for at in sorted(left_out) if not found.leaves[at].by_hand]
    middles = ((found.leaves[at].x_mm, found.leaves[at].y_mm) for at in gone)
    book.photographing.mend(property_id, replace(
        _body(photo), by=by, leaves=leaves_of(found, gone), warnings=found.warnings, drawn=_told(drawn, size_px),
        left_out="; ".join(f"{x:.1f} {y:.1f}" for x, y in middles)))
    return ""


def mend_crown(book: Fieldbook, property_id: str, photo: TreePhoto, drawn: str, size_px: tuple[int, int], call: Call,
               path: Path, *, by: str) -> str:
    """Keep which parts of the photo are left out; returns what is wrong with what was drawn."""
    try:
        found: CanopyPhoto = call(canopy_in, path, outlines(drawn, size_px))
    except RootcaseError as error:
        return str(error)
    book.photographing.mend(property_id, replace(_body(photo), by=by, crown=_gaps(found), warnings=found.warnings,
                                                 left_out=_told(drawn, size_px)))
    return ""


def point_at_soil(book: Fieldbook, property_id: str, photo: TreePhoto, drawn: str, size_px: tuple[int, int], call: Call,
                  path: Path, *, by: str) -> str:
    """Keep where a person pointed to the soil, or that it is looked for; returns what is wrong with the place."""
    assert photo.soil is not None  # of soil
    try:
        pointed = place_px(drawn, size_px)
        found: SoilPhoto = call(soil_in, path, pointed)
    except RootcaseError as error:
        return str(error)
    body = replace(_body(photo), by=by, soil=_chips(photo.soil, found), warnings=found.warnings,
                   drawn=f"{pointed[0]:g} {pointed[1]:g}" if pointed else "")
    book.photographing.mend(property_id, body)
    return ""


def place_px(text: str, size_px: tuple[int, int]) -> tuple[float, float] | None:
    """The place that a person pointed to, None where nothing was told.

    >>> place_px("10 20", (100, 100)), place_px(" ", (100, 100))
    ((10.0, 20.0), None)
    """
    points = [point for line in drawn_lines(text, *size_px, "place") for point in line]
    if len(points) > 1:
        raise UnreadableValue(say("drawn.place.one_point"), value=cut(text), right=say("drawn.place.right_drawn"))
    return points[0] if points else None


def outlines(text: str, size_px: tuple[int, int]) -> Outlines:
    """Outlines drawn by hand, inside a photo of this size; a point on its rim lies on the last pixels.

    >>> outlines("10 20, 30 100, 10 40", (100, 100))
    (((10.0, 20.0), (30.0, 99.0), (10.0, 40.0)),)
    """
    wide, high = (each - 1.0 for each in size_px)
    return tuple(tuple((min(x, wide), min(y, high)) for x, y in each)
                 for each in drawn_lines(text, *size_px, "outline"))


def leaves_left_out(photo: TreePhoto, found: LeafPhoto) -> tuple[tuple[int, ...], int]:
    """Places of the leaves that a person left out among those found now, the nearest to where each lay; and how many
    are not there any more."""
    near = {at: (leaf.x_mm, leaf.y_mm) for at, leaf in enumerate(found.leaves) if not leaf.by_hand}
    points = [tuple(float(each) for each in point.split()) for point in photo.left_out.split(";") if point.strip()]
    gone = []
    for x, y in points:
        nearest = min(near, key=lambda at: hypot(near[at][0] - x, near[at][1] - y), default=None)
        if nearest is not None and hypot(near[nearest][0] - x, near[nearest][1] - y) <= _SAME_LEAF_MM:
            gone.append(nearest)
            del near[nearest]
    return tuple(sorted(gone)), len(points) - len(gone)


def small_picture(drawn: bytes) -> bytes:
    """A photo that was drawn anew, as small as a list shows it."""
    made = BytesIO()
    with Image.open(BytesIO(drawn)) as image:
        image.thumbnail((_SMALL_PX, _SMALL_PX))
        image.save(made, "JPEG", quality=80)
    return made.getvalue()


def readings_of_photo(record: PropertyRecord, photo: TreePhoto) -> tuple[Reading, ...]:
    """The readings that a photo gave, as they stand."""
    return tuple(each for each in record.readings if _mark_in(each) == photo.id[-_SIGNS:])


def photo_behind(book: Fieldbook, property_id: str, reading: Reading | None) -> TreePhoto | None:
    """The photo that a reading was measured on, if it was."""
    mark = _mark_in(reading) if reading else ""
    return next((photo for photo in book.photographing.of(property_id) if photo.id[-_SIGNS:] == mark), None)


def keep_as_readings(book: Fieldbook, record: PropertyRecord, tree: Tree, photo: TreePhoto, *, by: str,
                     system: System) -> str:
    """Keep what a photo says as readings of its day, in the place of what it said before; returns what is wrong."""
    wanted = photo_readings(photo)
    if not wanted:
        return say("photos.nothing_to_keep")
    visit, observer = _visit(record, photo, by)
    rows: dict[int, dict[str, str]] = {}
    for each in wanted:
        row = rows.setdefault(each.number, {"visit": visit, "tree": tree.label, "repeat": _series(photo, each)})
        row[each.kind] = _typed(each, system)
        row |= {f"{each.kind}.mark": photo.stand} if photo.stand else {}
        row |= _depths(photo.soil) if photo.soil else {}
    visits = [{"visit": visit, "date": photo.day.isoformat(), "observer": observer}]
    source = say("photos.source", shows=say(f"photos.shows.{photo.shows}"))
    taken = book.forms.take(record.property.id, Filled(photo.id[-_SIGNS:], {
        "visits": visits, "pits" if photo.soil else "trees": list(rows.values())}, system, came_by=source), by=by)
    if taken.faults:
        return "; ".join(dict.fromkeys(str(RootcaseError(each.what, value=each.value, right=each.right))
                                       for each in taken.faults))
    said = {(each.kind, _series(photo, each)) for each in wanted}
    for reading in readings_of_photo(record, photo):
        if (reading.kind, reading.series) not in said:
            book.take_back(reading.id, say("photos.mended_away"), by=by)
    return ""


def is_kept(record: PropertyRecord, photo: TreePhoto) -> bool:
    """Whether the readings that stand are what the photo says now."""
    stand = {(each.kind, each.series): each for each in readings_of_photo(record, photo)}
    said = {(each.kind, _series(photo, each)): each for each in photo_readings(photo)}
    return bool(said) and stand.keys() == said.keys() and all(_same(stand[key], said[key]) for key in said)


def take_tree_photo_back(book: Fieldbook, record: PropertyRecord, photo: TreePhoto, reason: str, *, by: str) -> str:
    """Take a photo back, and the readings it gave; all stays on record. Returns what is wrong with the reason."""
    why = " ".join(reason.split())
    if not why or len(why) > MOST_LINE:
        return say("heap.empty") if not why else say("heap.too_long", most=MOST_LINE)
    for reading in readings_of_photo(record, photo):
        book.take_back(reading.id, why, by=by)
    book.photographing.take_back(record.property.id, photo, why, by=by)
    return ""


def _figures(shows: Shows, file: Path, call: Call, soil: SoilOnCard | None) -> dict[str, Any]:
    if shows == "crown":
        gaps: CanopyPhoto = call(canopy_in, file)
        return {"crown": _gaps(gaps), "warnings": gaps.warnings}
    if soil is not None:
        color: SoilPhoto = call(soil_in, file)
        return {"soil": _chips(soil, color), "warnings": color.warnings}
    found: LeafPhoto = call(leaves_in, file)
    return {"leaves": leaves_of(found), "warnings": found.warnings}


def _soil_told(record: PropertyRecord, tree: Tree, cells: Mapping[str, str], system: System,
               wrong: dict[str, str]) -> SoilOnCard | None:
    """What is asked of soil beside its photo."""
    state = next((each for each in get_args(SoilState) if each == cells.get("state")), None)
    if state is None:
        wrong["state"] = say("photos.soil.no_state")
    spot = cells.get("pit", "")
    if spot not in spots(record, tree):
        wrong["pit"] = say("photos.soil.no_pit")
    try:
        for name in ("depth_from", "depth_to"):
            require_length(cells.get(name, ""), MOST_LINE)
        depth = between(*(read_length_m(Cell(cells.get(name, "").strip()), "", system, small=True)
                          for name in ("depth_from", "depth_to")))
    except RootcaseError as error:
        wrong["depth_from"] = str(error)
        return None
    return None if state is None else SoilOnCard(chip="", state=state, spot=spot, from_m=depth.depth_from_m,
                                                 to_m=depth.depth_to_m)


def _chips(soil: SoilOnCard, found: SoilPhoto) -> SoilOnCard:
    value, chroma = (" ".join(dict.fromkeys(f"{each:g}" for each in ends)) for ends in (found.value, found.chroma))
    near = tuple(NearChip(chip=each.chip, likely_share=each.share) for each in found.near)
    return replace(soil, chip=found.chip, near=near, value=value, chroma=chroma,
                   hue=" ".join(dict.fromkeys(found.hue or ())))


def _depths(soil: SoilOnCard) -> dict[str, str]:
    """Pit and depths as a row of the field sheet has them."""
    told = {"depth_from": soil.from_m, "depth_to": soil.to_m}
    return {"pit": soil.spot, **{name: f"{depth:.9g} m" for name, depth in told.items() if depth is not None}}


def _gaps(found: CanopyPhoto) -> CrownGaps:
    return CrownGaps(gap_share=found.gap_fraction, low_share=found.low, high_share=found.high)


def _leaf(number: int, leaf: LeafSeen) -> LeafOnCard:
    return LeafOnCard(number=number, area_mm2=leaf.area_mm2, low_mm2=leaf.low_mm2, high_mm2=leaf.high_mm2,
                      x_mm=leaf.x_mm, y_mm=leaf.y_mm, dark_green=leaf.colour.dark_green, by_hand=leaf.by_hand)


def _body(photo: TreePhoto) -> TreePhotoMeasured:
    return TreePhotoMeasured(slot=photo.id, tree=photo.tree_id, shows=photo.shows, photo=photo.photo, day=photo.day,
                             by=photo.by, stand=photo.stand)


def _told(drawn: str, size_px: tuple[int, int]) -> str:
    return "; ".join(", ".join(f"{x:g} {y:g}" for x, y in line) for line in drawn_lines(drawn, *size_px, "outline"))


def _day(text: str, today: date, wrong: dict[str, str]) -> date | None:
    try:
        require_length(text, MOST_LINE)
        day = read_date(text)
        if day > today:
            raise ImpossibleValue(say("photos.day_ahead"), value=text, right=say("photos.right_day"))
        return day
    except RootcaseError as error:
        wrong["day"] = str(error)
        return None


def _visit(record: PropertyRecord, photo: TreePhoto, by: str) -> tuple[str, str]:
    """Label and observer: of the visit that the photo's readings have, else of this person's on its day."""
    ids = {each.visit_id for each in readings_of_photo(record, photo)}
    own = visit_label(record, photo.day, by), by
    return next(((each.label, each.observer) for each in record.visits if each.id in ids), own)


def _series(photo: TreePhoto, reading: PhotoReading) -> str:
    return f"{photo.id[-_SIGNS:]}.{reading.number}"


def _same(reading: Reading, said: PhotoReading) -> bool:
    if said.value is None:
        return reading.choice == said.choice
    return reading.value is not None and abs(reading.value - said.value) <= _ROUNDED * abs(said.value)


def _mark_in(reading: Reading) -> str:
    """Of its photo, as its series bears it."""
    mark, dot, number = reading.series.partition(".")
    return mark if dot and number.isdigit() and len(mark) == _SIGNS else ""


def _typed(reading: PhotoReading, system: System) -> str:
    """As a person of this system would write it."""
    if reading.value is None:
        return reading.choice
    kind = kinds()[reading.kind]
    unit = box_unit(kind, system)
    return f"{convert(reading.value, kind.si_unit, unit):.{_FIGURES}g} {'' if unit == '1' else unit}".strip()
