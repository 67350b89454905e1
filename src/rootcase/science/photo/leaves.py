"""Leaves on the printed card: which pixels are leaf, how much of the card they cover, and of which color they are."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from rootcase.science.lanes import Lanes
from rootcase.science.photo.card import Card
from rootcase.science.photo.leaf import LEAST_MM2, Leaf, color_of, edge_doubt_mm2
from rootcase.science.photo.light import Picture
from rootcase.science.photo.outline import half_way_outline
from rootcase.science.photo.paper import Mask
from rootcase.science.photo.sheet import Coarse, Sheet, sheet_of

SHADE = 0.5
"""A neutral shadow keeps more than this of the paper's stored brightness. JUDGEMENT"""
COLORED = 0.18
"""Difference of the brightest and the darkest channel over paper, from which a pixel has a color. JUDGEMENT"""
CLEAN = 0.05
"""Paper without a leaf's color in it, in shadow or not, is even in its channels to so much. JUDGEMENT"""
CORE_PX, BAND_PX = 3, 6
"""Of a sharp photo, inwards and outwards of a leaf's rough outline: there a pixel may be part leaf and part paper.
JUDGEMENT: its blur and that of the compression of its colors."""
SHARP_PX = 0.8
"""The spread of a sharp photo's blur; of a softer one all these widths are as much larger. JUDGEMENT"""
CLEAN_PX = 4
SMOOTH_PX = 5
NOISE = 0.02
"""Of a pixel's channel over paper. JUDGEMENT"""
LOOSE = 0.2
"""So far off at first, to see whether a shadow falls closer to the leaf than clean paper is. JUDGEMENT"""
MOSTLY_PAPER, CAST = 0.25, 0.85
"""Pixels with less leaf than this tell of it; it is one where they are darker than this part of lit paper. JUDGEMENT"""
PAPER_OFF, SHADE_OFF = 0.005, 2.0
"""How far the paper's brightness under a pixel may be off that of the nearest clean paper: at least, and of how much
darker than lit paper that is. JUDGEMENT"""
EDGE_PX = 0.10
"""An edge's place is uncertain by so much of the photo's pixels, 95 %. JUDGEMENT from drawn photos"""
SHADE_EDGE_PX = 1.1
"""And by so much more of them times how much darker than lit paper the paper beside it is. JUDGEMENT from the same"""
OUTLINE_POINTS = 200


class _Ground(NamedTuple):
    """The part of the photo with the card, coarse, and what was made out on it."""

    sheet: Sheet
    coarse: Coarse
    owner: NDArray[np.int32]
    """By pixel the number of the leaf that is nearest."""
    boxes: list[tuple[slice, slice] | None]


def leaves_on(pixels: NDArray[np.uint8], card: Card) -> list[Leaf]:
    """Which leaves lie on the card, and how large is each?

    Parameters
    ----------
    pixels : rows of (red, green, blue) of the upright photo. [-], 0 to 255
    card : as `find_card` gives it for the same photo

    Returns
    -------
    Leaf(area_mm2, low_mm2, high_mm2, middle_mm, color, dark_green, shade, reaches_out, outline_px), from left to right
    on the card. [mm2, mm, px]

    Raises
    ------
    Nothing.

    Notes
    -----
    What is colored or much darker than paper is a leaf's rough inside. About its outline each pixel is taken for so
    much leaf and so much paper, whatever light falls on that paper, as together give its three channels, in the
    brightness the card's markers tell; where an edge passes half-way between leaf and paper the two are equal. That
    share of the pixel's place on the card is counted, so that blur moves nothing. Holes are no leaf. The interval knows
    the edge's place, the markers' and the paper's shade; not a leaf that is curled, nor one that lies above the card,
    which reads too large by about twice its height over the camera's distance.

    References
    ----------
    Two brightnesses that add up in a mixed pixel: Shimabukuro and Smith 1991, The least-squares mixing models, IEEE
    Trans. Geosci. Remote Sens. 29:16-20 (memory); JUDGEMENT for its use on leaves and for the interval.

    Examples
    --------
    >>> photo = np.full((600, 800, 3), 220, np.uint8)
    >>> photo[240:320, 300:400] = (40, 100, 30)
    >>> flat = Card(np.diag([0.25, 0.25, 1.0]), (0, 1, 2, 3), 1.0, 0.0, 0.0, 4.0, 0.5)
    >>> [round(leaf.area_mm2) for leaf in leaves_on(photo, flat)]
    [500]
    """
    ground = _ground(pixels, card)
    found = [_leaf(pixels, card, ground, number) for number, box in enumerate(ground.boxes, 1) if box is not None]
    return sorted(found, key=lambda leaf: leaf.middle_mm)


def _ground(pixels: NDArray[np.uint8], card: Card) -> _Ground:
    sheet, coarse = sheet_of(pixels, card)
    rows, columns = coarse.rows(), coarse.columns()
    sure = ndimage.binary_opening(_inside(coarse.seen / sheet.lit(rows, columns)) & sheet.field(rows, columns))
    labels, count = ndimage.label(sure)
    sizes = ndimage.sum_labels(sheet.mm2(rows, columns) * coarse.factor ** 2, labels, np.arange(1, count + 1))
    boxes = [box if size >= LEAST_MM2 else None
             for box, size in zip(ndimage.find_objects(labels), sizes, strict=True)]
    nearest = ndimage.distance_transform_edt(labels == 0, return_distances=False, return_indices=True)
    return _Ground(sheet, coarse, labels[tuple(nearest)], boxes)


def _inside(over: Picture) -> Mask:
    least, most = _least_and_most(ndimage.uniform_filter(over, (3, 3, 1)))
    return np.asarray((most - least > COLORED) | (most < SHADE))


def _least_and_most(over: Picture) -> tuple[Picture, Picture]:
    """Of the three channels; taken two at a time, many times as fast as pixel by pixel."""
    red, green, blue = (over[..., channel] for channel in range(3))
    return np.minimum(np.minimum(red, green), blue), np.maximum(np.maximum(red, green), blue)


def _leaf(pixels: NDArray[np.uint8], card: Card, ground: _Ground, number: int) -> Leaf:
    """One leaf, from the part of the photo about it."""
    box = ground.boxes[number - 1]
    assert box is not None  # who asks knows
    core_px, band_px, clean_px = (round(each * max(1.0, card.blur_px / SHARP_PX))
                                  for each in (CORE_PX, BAND_PX, CLEAN_PX))
    coarse, rim = ground.coarse, 4 * (core_px + band_px) + ground.coarse.factor
    rows, columns = (np.arange(max(0, first + coarse.factor * side.start - rim),
                               min(most, first + coarse.factor * side.stop + rim))
                     for first, side, most in zip((coarse.top, coarse.left), box, pixels.shape, strict=False))
    stored = pixels[rows[0]:rows[-1] + 1, columns[0]:columns[-1] + 1].astype(np.float32) / np.float32(255)
    field, mm2 = ground.sheet.field(rows, columns), ground.sheet.mm2(rows, columns)
    lit = ground.sheet.lit(rows, columns)
    sure = _inside(stored / lit)
    owner = ground.owner[np.ix_(*(np.clip((side - first) // coarse.factor, 0, most - 1) for side, first, most in zip(
        (rows, columns), (coarse.top, coarse.left), ground.owner.shape, strict=True)))]
    labels, _ = ndimage.label(sure & (owner == number))
    inside = labels == np.argmax(np.bincount(labels.ravel())[1:]) + 1
    core = ndimage.binary_erosion(inside, iterations=core_px)
    core = core if core.any() else inside
    band = ndimage.binary_dilation(inside, iterations=band_px) & ~core & ~(sure & (owner != number))
    seen, paper = stored ** np.float32(card.power), lit ** np.float32(card.power)
    least, most = _least_and_most(ndimage.uniform_filter(stored / lit, (SMOOTH_PX, SMOOTH_PX, 1)))
    shade = _shade(seen / paper, ~ndimage.binary_dilation(sure, iterations=clean_px) & field & (most - least <= CLEAN))
    over, inner = seen / paper, _leaf_over(seen / paper, core)
    share, rest = _shares(over[band], inner[band], shade[band], LOOSE)
    shade = _shade_under(shade, band, share, rest)
    share, _ = _shares(over[band], inner[band], shade[band], PAPER_OFF)
    area = float(mm2[core].sum() + (share * mm2[band]).sum())
    rim_mm = float(np.sqrt(mm2[inside ^ ndimage.binary_erosion(inside)]).sum())
    low_shade = float(np.percentile(shade[band], 5))
    edge_px = (EDGE_PX + SHADE_EDGE_PX * max(0.0, 1.0 - low_shade)) * max(1.0, card.blur_px / SHARP_PX)
    off = edge_doubt_mm2(card, area, rim_mm, edge_px)
    x, y = (float(np.average(each[inside], weights=mm2[inside])) for each in ground.sheet.places_mm(rows, columns))
    touches = not field[ndimage.binary_dilation(inside, iterations=2)].all()
    outline = _outline(core, band, share) + np.array([columns[0], rows[0]])
    return Leaf(area, area - off, area + off, (x, y), *color_of(stored[core], lit[core]), low_shade, touches,
                outline)


def _outline(core: Mask, band: Mask, share: Lanes) -> Lanes:
    leaf = core.astype(np.float32)
    leaf[band] = share.clip(0.0, 1.0)
    labels, _ = ndimage.label(leaf > np.float32(0.5))
    leaf[(labels > 0) & (labels != np.argmax(np.bincount(labels.ravel())[1:]) + 1)] = 0.0
    return half_way_outline(leaf, OUTLINE_POINTS)


def _shade(over: Picture, clean: Mask) -> Lanes:
    """The paper's brightness over lit paper's: where it is clean as seen, elsewhere that of the nearest clean."""
    if not clean.any():
        return np.ones(clean.shape)
    weight = ndimage.uniform_filter(clean.astype(np.float32), SMOOTH_PX)
    mean = ndimage.uniform_filter(np.where(clean, over.mean(axis=2), 0), SMOOTH_PX) / np.maximum(weight, 1e-6)
    nearest = ndimage.distance_transform_edt(~clean, return_distances=False, return_indices=True)
    return np.asarray(mean[tuple(nearest)], np.float64)


def _leaf_over(over: Picture, core: Mask) -> Picture:
    """The leaf's own brightness over lit paper's, from within it outwards."""
    weight = np.maximum(ndimage.uniform_filter(core.astype(np.float32), SMOOTH_PX), 1e-6)
    nearest = ndimage.distance_transform_edt(~core, return_distances=False, return_indices=True)
    return np.stack([(ndimage.uniform_filter(np.where(core, over[..., each], 0), SMOOTH_PX) / weight)[tuple(nearest)]
                     for each in range(3)], axis=-1)


def _shares(seen: Picture, leaf: Picture, shade: Lanes, off: float) -> tuple[Lanes, Lanes]:
    """How much of each pixel is leaf, and the light of its paper: of the leaf's color f, of the paper's u, that
    together give the three channels with the least squares; u is known to be about (1 - f) of the shade."""
    noise, sure = 1 / NOISE ** 2, 1 / (off + SHADE_OFF * np.maximum(0.0, 1.0 - shade)) ** 2
    leaf_leaf = noise * (leaf ** 2).sum(axis=1) + sure * shade ** 2
    leaf_paper = noise * leaf.sum(axis=1) + sure * shade
    paper_paper = 3 * noise + sure
    leaf_seen = noise * (leaf * seen).sum(axis=1) + sure * shade ** 2
    paper_seen = noise * seen.sum(axis=1) + sure * shade
    bottom = leaf_leaf * paper_paper - leaf_paper ** 2
    return (np.asarray(((leaf_seen * paper_paper - paper_seen * leaf_paper) / bottom).clip(-0.5, 1.5)),
            np.asarray((paper_seen * leaf_leaf - leaf_seen * leaf_paper) / bottom))


def _shade_under(beside: Lanes, band: Mask, share: Lanes, rest: Lanes) -> Lanes:
    """The shade as the pixels themselves tell that are more paper than leaf, each by how much it is paper."""
    paper = (1.0 - share) * (share < MOSTLY_PAPER)
    weight, light = beside * 0.0, beside * 0.0
    weight[band], light[band] = paper ** 2, paper * rest * (paper > 0)
    summed = ndimage.uniform_filter(weight, SMOOTH_PX)
    told = ndimage.uniform_filter(light, SMOOTH_PX) / np.maximum(summed, 1e-6)
    return np.where((summed > 0.02) & (told < CAST), told, beside)
