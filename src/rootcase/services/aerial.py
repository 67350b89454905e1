"""A picture from above, of the person's own, under the map: taken in, and laid by two of its points."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from io import BytesIO
from math import atan2, cos, degrees, radians, sin
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import BinaryIO

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.fence import picture_anew
from rootcase.fieldbook.intake.foreign.limits import FILE_BYTES, MB
from rootcase.ground.errors import FileError, ImpossibleValue, Missing, UnreadableValue
from rootcase.ground.words import say
from rootcase.records.observe import Aerial, PropertyRecord, System
from rootcase.science.plane import similarity
from rootcase.services.ground import Form, read_corners, read_far_m

Point = tuple[float, float]


def take_picture(fieldbook: Fieldbook, property_id: str, source: BinaryIO) -> None:
    """Keep a picture, drawn anew without place or time; it lies nowhere until two of its points are told."""
    with TemporaryDirectory(prefix="rootcase-") as folder:
        path = Path(folder) / "picture"
        raw = source.read(FILE_BYTES + 1)
        if not raw:
            raise Missing(say("ground.aerial.no_file"), right=say("fence.right_photo"))
        if len(raw) > FILE_BYTES:
            raise FileError(say("fence.large", most=FILE_BYTES // MB), right=say("fence.right_pixels"))
        path.write_bytes(raw)
        try:
            data, size, own = picture_anew(path)
        except FileError as error:
            raise FileError(error.what, value=error.value, right=error.right) from None
    mark = fieldbook.drawing.keep_photo(BytesIO(data))
    fieldbook.drawing.lay_aerial(property_id, Aerial("", mark, *size, 0.0, 0.0, 0.0, 0.0, *own))


def lies(aerial: Aerial | None) -> bool:
    """Whether somebody has said where a picture lies."""
    return aerial is not None and aerial.scale_m_px > 0.0


def lay_picture(fieldbook: Fieldbook, record: PropertyRecord, cells: Mapping[str, str],
                system: System) -> dict[str, str]:
    """Lay the picture by two of its points, whose positions, or distance and bearing, are typed.

    Returns what is wrong, by its cell; then it lies where it lay.
    """
    aerial = fieldbook.drawing.aerial(record.property.id)
    if aerial is None:
        return {"first_right": str(Missing(say("ground.aerial.none"), right=say("ground.aerial.right_none")))}
    form = Form(cells)
    pixels = [_pixels(form, which, aerial) for which in ("first", "second")]
    first = form.read("first_at", lambda text: _position(form.text("first_tree"), text, record, system))
    second = form.read("second_at", lambda text: _second(form, text, record, system, first, pixels))
    if form.wrong or first is None or second is None:
        return form.wrong
    laid = form.read("second_at", lambda _: similarity(pixels[0], pixels[1], first, second))
    if laid is not None:
        scale, turned, east, north = (part + 0.0 for part in laid)  # no zero bears a sign in an event
        fieldbook.drawing.lay_aerial(record.property.id, replace(
            aerial, scale_m_px=scale, turned_deg=turned, east_m=east, north_m=north))
    return form.wrong


def _pixels(form: Form, which: str, aerial: Aerial) -> Point:
    """A point of the picture as it is kept, from its upper left corner; counted in pixels of the person's own file."""
    def read(text: str, most: int) -> float:
        try:
            found = float(text)
        except ValueError:
            raise UnreadableValue(say("ground.aerial.no_pixels"), value=f'"{text}"',
                                  right=say("ground.aerial.right_pixels")) from None
        if not 0.0 <= found <= most:
            raise ImpossibleValue(say("ground.aerial.outside"), value=f"{found:g}",
                                  right=say("ground.aerial.right_outside", most=most))
        return found

    wide, high = aerial.counted_px
    right = form.read(f"{which}_right", lambda text: read(text, wide))
    down = form.read(f"{which}_down", lambda text: read(text, high))
    return (right or 0.0) * aerial.width_px / wide, (down or 0.0) * aerial.height_px / high


def _position(tree_id: str, text: str, record: PropertyRecord, system: System) -> Point:
    """Where a point is on the ground: a tree's place, or as typed."""
    if not tree_id:
        return read_corners(text, 1, system)[0]
    tree = next((each for each in record.trees if each.id == tree_id), None)
    if tree is None or tree.east_m is None or tree.north_m is None:
        raise Missing(say("ground.aerial.no_tree"), value=tree.label if tree else tree_id,
                      right=say("ground.aerial.right_tree"))
    return tree.east_m, tree.north_m


def _second(form: Form, text: str, record: PropertyRecord, system: System, first: Point | None,
            pixels: list[Point]) -> Point:
    """Where the second point is; by its distance and bearing from the first where no position is told.

    Without a bearing the picture is taken to have north at its upper edge.
    """
    if form.text("second_tree") or text or not form.text("distance"):
        return _position(form.text("second_tree"), text, record, system)
    far = read_far_m(form.text("distance"), system, say("ground.distance"))
    (right, down), (right_2, down_2) = pixels
    bearing = degrees(atan2(right_2 - right, down - down_2))
    if form.text("bearing"):
        try:
            bearing = float(form.text("bearing").removesuffix("°"))
        except ValueError:
            raise UnreadableValue(say("ground.aerial.no_bearing"), value=f'"{form.text("bearing")}"',
                                  right=say("ground.aerial.right_bearing")) from None
        if not 0.0 <= bearing <= 360.0:
            raise ImpossibleValue(say("ground.aerial.no_bearing"), value=f"{bearing:g}",
                                  right=say("ground.aerial.right_bearing"))
    east, north = first or (0.0, 0.0)
    return east + far * sin(radians(bearing)), north + far * cos(radians(bearing))
