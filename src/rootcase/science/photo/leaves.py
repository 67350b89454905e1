"""Leaves on the printed card: which pixels are leaf, how much of the card they cover, and of which color they are."""

from __future__ import annotations

from colorsys import rgb_to_hsv
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from rootcase.science.crown.leaf import dark_green_index
from rootcase.science.lanes import Lanes
from rootcase.science.photo.card import Card
from rootcase.science.photo.light import Picture, shrunk
from rootcase.science.photo.paper import fit_paper, paper_light, terms_at
from rootcase.science.photo.plane import mapped
from rootcase.tables.load import table

Mask = NDArray[np.bool_]

MARGIN_MM = 3.0
"""Beside markers and the card's own edge nothing is taken for leaf. JUDGEMENT"""
COARSE_PX = 800
"""The longer side of the card's part of the photo that leaves are looked for on. JUDGEMENT"""
SHADE = 0.5
"""A neutral shadow keeps more than this of the paper's stored brightness. JUDGEMENT"""
COLORED = 0.18
"""Difference of the brightest and the darkest channel over paper, from which a pixel has a color. JUDGEMENT"""
CLEAN = 0.05
"""Paper without a leaf's color in it, in shadow or not, is even in its channels to so much. JUDGEMENT"""
LEAST_MM2 = 20.0
"""Crumbs are no leaves. JUDGEMENT"""
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
GREEN_DEG = (60.0, 180.0)
"""Hues that the index of dark green is made for."""
EDGE_PX = 0.10
"""An edge's place is uncertain by so much of the photo's pixels, 95 %. JUDGEMENT from drawn photos"""
SHADE_EDGE_PX = 1.1
"""And by so much more of them times how much darker than lit paper the paper beside it is. JUDGEMENT from the same"""
SHADED = 0.8
"""Paper beside a leaf darker than this part of lit paper, in light, lies in shadow. JUDGEMENT"""
BENT_MM, BENT_FROM_PX_PER_MM = 0.15, 4.0
"""A residual that tells of a bent card or a lens that bends lines, of a photo that is fine enough. JUDGEMENT from drawn
photos"""
COARSE_PX_PER_MM = 2.0
"""Of a coarser photo areas were not tried. JUDGEMENT"""
MIDDLE_MM = 80.0
"""From the markers' corners to the middle of all of them, about: a place that is off there changes the scale."""


class Leaf(NamedTuple):
    """One leaf as it lies on the card."""

    area_mm2: float
    low_mm2: float
    high_mm2: float
    middle_mm: tuple[float, float]
    """x right and y down from the card's upper left corner."""
    color: tuple[float, float, float]
    """Red, green and blue against lit paper as white, as a picture stores them. 0 to 1"""
    dark_green: float | None
    """Of that color, None where it is no green."""
    shade: float
    """Paper beside it over lit paper at its darkest, in light. 0 to 1"""
    reaches_out: bool
    """It touches a marker's place or the card's edge, and part of it may be missing."""


class _Ground(NamedTuple):
    """The part of the photo with the card, coarse, and what was made out on it."""

    left: int
    top: int
    factor: int
    owner: NDArray[np.int32]
    """By pixel the number of the leaf that is nearest."""
    boxes: list[tuple[slice, slice] | None]
    weights: Lanes
    """Of the terms of lit paper's stored brightness, a column a channel."""


def leaves_on(pixels: NDArray[np.uint8], card: Card) -> list[Leaf]:
    """Which leaves lie on the card, and how large is each?

    Parameters
    ----------
    pixels : rows of (red, green, blue) of the upright photo. [-], 0 to 255
    card : as `find_card` gives it for the same photo

    Returns
    -------
    Leaf(area_mm2, low_mm2, high_mm2, middle_mm, color, dark_green, shade, reaches_out), from left to right on the card.
    [mm2, mm]

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
    whole = table("photo/card").row(part="card")
    wide, high = float(whole["width_mm"]), float(whole["height_mm"])
    corners = mapped(np.linalg.inv(card.to_mm), [(0, 0), (wide, 0), (wide, high), (0, high)])
    left, top = (max(0, int(least)) for least in corners.min(axis=0))
    right, low = (int(most) + 1 for most in corners.max(axis=0))
    part = pixels[top:low, left:right]
    factor = max(1, -(-max(part.shape[:2]) // COARSE_PX))
    seen = np.stack([shrunk(part[..., each].astype(np.float32), factor) for each in range(3)], axis=-1)
    seen = seen / np.float32(255)
    at = factor * (np.indices(seen.shape[:2]) + 0.5) - 0.5 + np.array([top, left])[:, np.newaxis, np.newaxis]
    field, mm2 = _field(card, at), _mm2(card, at)
    terms = terms_at(pixels.shape, at)
    weights = fit_paper(seen, field, terms)
    sure = ndimage.binary_opening(_inside(seen / paper_light(terms, weights)) & field)
    labels, count = ndimage.label(sure)
    sizes = ndimage.sum_labels(mm2 * factor ** 2, labels, np.arange(1, count + 1))
    boxes = [box if size >= LEAST_MM2 else None
             for box, size in zip(ndimage.find_objects(labels), sizes, strict=True)]
    nearest = ndimage.distance_transform_edt(labels == 0, return_distances=False, return_indices=True)
    return _Ground(left, top, factor, labels[tuple(nearest)], boxes, weights)


def _places(card: Card, at: Lanes) -> tuple[Lanes, Lanes]:
    """The card's x and y where the photo's (rows, columns) show it, and the factor they were divided by."""
    made = np.tensordot(card.to_mm, np.stack([at[1], at[0], np.ones_like(at[0])]), 1)
    return made[:2] / made[2], made[2]


def _mm2(card: Card, at: Lanes) -> Lanes:
    """How much of the card each pixel shows: the determinant of the map's slope."""
    return np.asarray(np.abs(np.linalg.det(card.to_mm) / _places(card, at)[1] ** 3))


def _field(card: Card, at: Lanes) -> Mask:
    """Where leaves may lie."""
    (x, y), _ = _places(card, at)
    field = np.ones(x.shape, np.bool_)
    for row in table("photo/card").rows:
        rim = -MARGIN_MM if row["part"] == "card" else MARGIN_MM
        within = ((x > row["left_mm"] - rim) & (x < row["left_mm"] + row["width_mm"] + rim)
                  & (y > row["top_mm"] - rim) & (y < row["top_mm"] + row["height_mm"] + rim))
        field &= within if row["part"] == "card" else ~within
    return field


def _inside(over: Picture) -> Mask:
    smooth = ndimage.uniform_filter(over, (3, 3, 1))
    colored = smooth.max(axis=2) - smooth.min(axis=2) > COLORED
    return np.asarray(colored | (smooth.max(axis=2) < SHADE))


def _leaf(pixels: NDArray[np.uint8], card: Card, ground: _Ground, number: int) -> Leaf:
    """One leaf, from the part of the photo about it."""
    box = ground.boxes[number - 1]
    assert box is not None  # who asks knows
    core_px, band_px, clean_px = (round(each * max(1.0, card.blur_px / SHARP_PX))
                                  for each in (CORE_PX, BAND_PX, CLEAN_PX))
    rim = 4 * (core_px + band_px) + ground.factor
    rows, columns = (np.arange(max(0, first + ground.factor * side.start - rim),
                               min(most, first + ground.factor * side.stop + rim))
                     for first, side, most in zip((ground.top, ground.left), box, pixels.shape, strict=False))
    at = np.stack(np.meshgrid(rows, columns, indexing="ij")).astype(np.float64)
    stored = pixels[rows[0]:rows[-1] + 1, columns[0]:columns[-1] + 1].astype(np.float32) / np.float32(255)
    field, mm2, lit = _field(card, at), _mm2(card, at), paper_light(terms_at(pixels.shape, at), ground.weights)
    sure = _inside(stored / lit)
    owner = ground.owner[np.ix_(*(np.clip((side - first) // ground.factor, 0, most - 1) for side, first, most in zip(
        (rows, columns), (ground.top, ground.left), ground.owner.shape, strict=True)))]
    labels, _ = ndimage.label(sure & (owner == number))
    inside = labels == np.argmax(np.bincount(labels.ravel())[1:]) + 1
    core = ndimage.binary_erosion(inside, iterations=core_px)
    core = core if core.any() else inside
    band = ndimage.binary_dilation(inside, iterations=band_px) & ~core & ~(sure & (owner != number))
    seen, paper = stored ** np.float32(card.power), lit ** np.float32(card.power)
    colored = np.ptp(ndimage.uniform_filter(stored / lit, (SMOOTH_PX, SMOOTH_PX, 1)), axis=2) > CLEAN
    shade = _shade(seen / paper, ~ndimage.binary_dilation(sure, iterations=clean_px) & field & ~colored)
    over, inner = seen / paper, _leaf_over(seen / paper, core)
    share, rest = _shares(over[band], inner[band], shade[band], LOOSE)
    shade = _shade_under(shade, band, share, rest)
    share, _ = _shares(over[band], inner[band], shade[band], PAPER_OFF)
    area = float(mm2[core].sum() + (share * mm2[band]).sum())
    rim_mm = float(np.sqrt(mm2[inside ^ ndimage.binary_erosion(inside)]).sum())
    low_shade = float(np.percentile(shade[band], 5))
    edge_px = (EDGE_PX + SHADE_EDGE_PX * max(0.0, 1.0 - low_shade)) * max(1.0, card.blur_px / SHARP_PX)
    off = float(np.hypot(rim_mm * np.hypot(edge_px / card.px_per_mm, card.growth_mm),
                         2 * area * card.residual_mm / MIDDLE_MM))
    color = _color(stored[core], lit[core])
    x, y = (float(np.average(each[inside], weights=mm2[inside])) for each in _places(card, at)[0])
    touches = bool((ndimage.binary_dilation(inside, iterations=2) & ~field).any())
    return Leaf(area, area - off, area + off, (x, y), color, _dark_green(color), low_shade, touches)


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


def _color(stored: Picture, lit: Picture) -> tuple[float, float, float]:
    """In linear light over that of lit paper, and stored again."""
    light = np.median((stored / lit) ** 2.2, axis=0).clip(0.0, 1.0) ** (1 / 2.2)
    red, green, blue = (float(each) for each in light)
    return red, green, blue


def _dark_green(color: tuple[float, float, float]) -> float | None:
    hue, saturation, brightness = rgb_to_hsv(*color)
    if not GREEN_DEG[0] <= 360 * hue <= GREEN_DEG[1]:
        return None
    return float(dark_green_index(360 * hue, saturation, brightness))


def leaf_doubts(card: Card, leaves: list[Leaf]) -> tuple[str, ...]:
    """What speaks against the areas of the leaves on a photo?

    Parameters
    ----------
    card : as `find_card` gives it
    leaves : as `leaves_on` gives them

    Returns
    -------
    of "none", "bent", "coarse", "shadow" and "reaches_out" those that hold.

    Raises
    ------
    Nothing.

    Notes
    -----
    No leaf found; the markers lie off one plane; fewer pixels a millimeter than were tried; paper beside a leaf in
    shadow; a leaf that touches a square or the card's edge.

    References
    ----------
    JUDGEMENT from drawn photos.

    Examples
    --------
    >>> leaf_doubts(Card(np.eye(3), (0, 1, 2), 1.0, 0.2, 0.0, 5.0, 0.5), [])
    ('none', 'bent')
    """
    held = {"none": not leaves,
            "bent": card.residual_mm > BENT_MM and card.px_per_mm >= BENT_FROM_PX_PER_MM,
            "coarse": card.px_per_mm < COARSE_PX_PER_MM,
            "shadow": any(leaf.shade < SHADED for leaf in leaves),
            "reaches_out": any(leaf.reaches_out for leaf in leaves)}
    return tuple(name for name, holds in held.items() if holds)
