"""One leaf on the printed card: what its area may be off, which color it is of, and what speaks against it."""

from __future__ import annotations

from colorsys import rgb_to_hsv
from typing import NamedTuple

import numpy as np

from rootcase.science.crown.leaf import dark_green_index
from rootcase.science.lanes import Lanes, Numbers
from rootcase.science.photo.card import Card

LEAST_MM2 = 20.0
"""Crumbs are no leaves. JUDGEMENT"""
GREEN_DEG = (60.0, 180.0)
"""Hues that the index of dark green is made for."""
LEAST_SATURATION = 0.1
"""A leaf with less is grey or black: its hue is chance. JUDGEMENT"""
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
    outline_px: Lanes
    """(x, y) a row on the upright photo, clockwise, at most 200 of them, half-way between leaf and paper."""


def edge_doubt_mm2(card: Card, area_mm2: float, rim_mm: float, edge_px: float) -> float:
    """How far may a leaf's area be off, its outline's place and the card's known as well as they are?

    Parameters
    ----------
    card : as `find_card` gives it
    area_mm2 : of the leaf. [mm2]
    rim_mm : how long its outline is. [mm]
    edge_px : how far within or outside of its place the whole outline may lie, 95 %. [px]

    Returns
    -------
    to either side, 95 %. [mm2]

    Raises
    ------
    Nothing.

    Notes
    -----
    What the outline's length sweeps when it moves, as far as black edges are seen outside their place at least, and
    what the scale is off when the markers lie off the flat card; the two do not know of each other.

    References
    ----------
    Errors that add by their squares: common practice, no source. JUDGEMENT for what is off.

    Examples
    --------
    >>> edge_doubt_mm2(Card(np.eye(3), (0, 1, 2), 1.0, 0.0, 0.0, 4.0, 0.5), 400.0, 80.0, 0.5)
    10.0
    """
    swept = rim_mm * np.hypot(edge_px / card.px_per_mm, card.growth_mm)
    return float(np.hypot(swept, 2 * area_mm2 * card.residual_mm / MIDDLE_MM))


def color_of(stored: Numbers, lit: Numbers) -> tuple[tuple[float, float, float], float | None]:
    """Which color has a leaf against the paper it lies on, and how dark a green is it?

    Parameters
    ----------
    stored : red, green and blue of its pixels, one a row, as stored. [-], 0 to 1
    lit : the same of lit paper in their place. [-], above 0 to 1

    Returns
    -------
    red, green and blue with the paper as white, as stored [-], 0 to 1; the index of dark green, None where it is no
    green. [-]

    Raises
    ------
    Nothing.

    Notes
    -----
    The median of the pixels' linear light over that of the paper, stored again. What is nearly grey has no hue to tell.

    References
    ----------
    IEC 61966-2-1 (sRGB) for the power, about 2.2 (memory); `dark_green_index`. JUDGEMENT for the hues it is made for.

    Examples
    --------
    >>> color, dark_green = color_of([(0.2, 0.4, 0.1)], [(0.8, 0.8, 0.8)])
    >>> [round(each, 3) for each in color], round(dark_green, 2)
    ([0.25, 0.5, 0.125], 0.47)
    """
    over = np.asarray(stored, np.float64) / np.asarray(lit, np.float64)
    red, green, blue = (float(each) for each in np.median(over ** 2.2, axis=0).clip(0.0, 1.0) ** (1 / 2.2))
    hue, saturation, brightness = rgb_to_hsv(red, green, blue)
    if saturation < LEAST_SATURATION or not GREEN_DEG[0] <= 360 * hue <= GREEN_DEG[1]:
        return (red, green, blue), None
    return (red, green, blue), float(dark_green_index(360 * hue, saturation, brightness))


def leaf_doubts(card: Card, leaves: list[Leaf]) -> tuple[str, ...]:
    """What speaks against the areas of the leaves on a photo?

    Parameters
    ----------
    card : as `find_card` gives it
    leaves : as `leaves_on` gives them

    Returns
    -------
    of "none", "bent", "coarse", "shadow", "reaches_out" and "not_green" those that hold.

    Raises
    ------
    Nothing.

    Notes
    -----
    No leaf found; the markers lie off one plane; fewer pixels a millimeter than were tried; paper beside a leaf in
    shadow; a leaf that touches a square or the card's edge; one that is no green, and may be none.

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
            "reaches_out": any(leaf.reaches_out for leaf in leaves),
            "not_green": any(leaf.dark_green is None for leaf in leaves)}
    return tuple(name for name, holds in held.items() if holds)
