"""A leaf on the printed card that a person outlined on the photo."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from rootcase.ground.errors import OutOfRange
from rootcase.ground.words import say
from rootcase.science.lanes import Lanes, Numbers
from rootcase.science.photo.card import Card
from rootcase.science.photo.leaf import LEAST_MM2, Leaf, color_of, edge_doubt_mm2
from rootcase.science.photo.outline import drawn_outline, filled
from rootcase.science.photo.plane import mapped
from rootcase.science.photo.sheet import Sheet, sheet_of
from rootcase.science.plane import outline_area_m2
from rootcase.tables.load import table

HAND_PX = 1.0
"""The whole of an outline drawn by hand may lie so far within or outside of the leaf's edge, 95 %. JUDGEMENT"""
RIM_PX = 2
"""So far within the outline a pixel is all leaf, where there is room. JUDGEMENT"""
MM2_PER_M2 = 1e6


def leaf_inside(pixels: NDArray[np.uint8], card: Card, outline_px: Numbers) -> Leaf:
    """How large is a leaf on the card that a person outlined on the photo?

    Parameters
    ----------
    pixels : rows of (red, green, blue) of the upright photo. [-], 0 to 255
    card : as `find_card` gives it for the same photo
    outline_px : (x, y) a row in order, from the middle of the upper left pixel, 3 to 1000 of them. [px]

    Returns
    -------
    Leaf, as `leaves_on` gives it for one that was found; its shade is 1, for no shadow moves what a hand drew. [mm2,
    mm, px]

    Raises
    ------
    OutOfRange : too few points or too many, a point beside the photo or the card, sides that cross, less than 20 mm2.

    Notes
    -----
    Straight lines stay straight on the card, so that the area is that of the corners' places. The interval knows of a
    hand that draws all around a pixel too far out or in, and of the markers' places.

    References
    ----------
    `outline_area_m2`, `mapped`. JUDGEMENT for the hand's pixel.

    Examples
    --------
    >>> photo = np.full((600, 800, 3), 220, np.uint8)
    >>> photo[240:320, 300:400] = (40, 100, 30)
    >>> flat = Card(np.diag([0.25, 0.25, 1.0]), (0, 1, 2, 3), 1.0, 0.0, 0.0, 4.0, 0.5)
    >>> leaf = leaf_inside(photo, flat, [(299.5, 239.5), (399.5, 239.5), (399.5, 319.5), (299.5, 319.5)])
    >>> round(leaf.area_mm2), round(leaf.low_mm2, 1), round(leaf.high_mm2, 1)
    (500, 477.5, 522.5)
    """
    high, wide = pixels.shape[:2]
    outline = drawn_outline(outline_px, wide, high)
    corners = mapped(card.to_mm, outline)
    _within_the_card(corners)
    area = outline_area_m2(corners / 1000.0) * MM2_PER_M2
    rows, columns = (np.arange(max(0, int(first)), min(most, int(last) + 2)) for first, last, most in zip(
        outline.min(axis=0)[::-1], outline.max(axis=0)[::-1], (high, wide), strict=True))
    inside = filled(outline - (columns[0], rows[0]), len(columns), len(rows))
    if area < LEAST_MM2 or not inside.any():
        raise OutOfRange(say("photo.outline.small"), value=f"{area:.2g} mm²",
                         right=say("photo.outline.right_small", least=f"{LEAST_MM2:g} mm²"))
    sheet, _ = sheet_of(pixels, card)
    color, dark_green = _color(pixels[rows[0]:rows[-1] + 1, columns[0]:columns[-1] + 1], inside,
                               sheet.lit(rows, columns))
    off = edge_doubt_mm2(card, area, float(np.hypot(*(corners - np.roll(corners, -1, axis=0)).T).sum()), HAND_PX)
    return Leaf(area, area - off, area + off, _middle(sheet, rows, columns, inside), color, dark_green, 1.0,
                bool((inside & ~sheet.field(rows, columns)).any()), outline)


def _within_the_card(corners: Lanes) -> None:
    whole = table("photo/card").row(part="card")
    beside = ~((corners >= 0.0) & (corners <= (whole["width_mm"], whole["height_mm"]))).all(axis=1)
    if beside.any():
        x, y = corners[beside][0]
        raise OutOfRange(say("photo.outline.off_card"), value=f"{x:.0f}, {y:.0f} mm",
                         right=say("photo.outline.right_off_card", wide=f"{whole['width_mm']:g}",
                                   high=f"{whole['height_mm']:g} mm"))


def _color(stored: NDArray[np.uint8], inside: NDArray[np.bool_],
           lit: NDArray[np.float32]) -> tuple[tuple[float, float, float], float | None]:
    core = ndimage.binary_erosion(inside, iterations=RIM_PX)
    core = core if core.any() else inside
    return color_of(stored[core].astype(np.float32) / np.float32(255), lit[core])


def _middle(sheet: Sheet, rows: Lanes, columns: Lanes, inside: NDArray[np.bool_]) -> tuple[float, float]:
    weights = sheet.mm2(rows, columns)[inside]
    x, y = (float(np.average(each[inside], weights=weights)) for each in sheet.places_mm(rows, columns))
    return x, y
