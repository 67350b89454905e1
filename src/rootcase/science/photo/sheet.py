"""The card on a photo: where each pixel lies on it, and how bright its paper would be there if nothing lay on it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rootcase.science.lanes import Lanes
from rootcase.science.photo.card import Card
from rootcase.science.photo.light import Picture, shrunk
from rootcase.science.photo.paper import Mask, fit_paper, paper_light_over, terms_at
from rootcase.science.photo.plane import mapped
from rootcase.tables.load import table

MARGIN_MM = 3.0
"""Beside markers and the card's own edge nothing is taken for what was laid on it. JUDGEMENT"""
COARSE_PX = 800
"""The longer side of the card's part of the photo that the paper is looked at on. JUDGEMENT"""


@dataclass(frozen=True, slots=True)
class Sheet:
    """Where the card lies on a photo, and how its paper would be stored there if nothing lay or fell on it."""

    card: Card
    high: int
    wide: int
    weights: Lanes
    """As `fit_paper` gives them, for the whole photo."""

    def lit(self, rows: Lanes, columns: Lanes) -> Picture:
        """Stored brightness of lit paper, red, green and blue, 0 to 1."""
        return paper_light_over((self.high, self.wide), self.weights, rows, columns)

    def places_mm(self, rows: Lanes, columns: Lanes) -> tuple[Lanes, Lanes]:
        """x right and y down on the card where the photo's rows and columns cross."""
        return _places(self.card, rows, columns)[:2]

    def mm2(self, rows: Lanes, columns: Lanes) -> Lanes:
        """How much of the card each pixel shows: the determinant of the map's slope."""
        slope = np.linalg.det(self.card.to_mm)
        return np.asarray(np.abs(slope / _places(self.card, rows, columns)[2] ** 3), np.float64)

    def field(self, rows: Lanes, columns: Lanes) -> Mask:
        """Where something may have been laid on the card: off all that is printed."""
        return _field(*self.places_mm(rows, columns))


@dataclass(frozen=True, slots=True)
class Coarse:
    """The part of a photo that shows the card, brought down."""

    left: int
    top: int
    factor: int
    seen: Picture
    """Stored brightness, 0 to 1."""

    def rows(self) -> Lanes:
        return _middles(self.seen.shape[0], self.factor, self.top)

    def columns(self) -> Lanes:
        return _middles(self.seen.shape[1], self.factor, self.left)


def sheet_of(pixels: NDArray[np.uint8], card: Card) -> tuple[Sheet, Coarse]:
    """Where on a photo is the card, and how bright is its paper there?

    Parameters
    ----------
    pixels : rows of (red, green, blue) of the upright photo. [-], 0 to 255
    card : as `find_card` gives it for the same photo

    Returns
    -------
    Sheet(card, high, wide, weights), and the card's part of the photo at a size of at most 800 pixels. [-]

    Raises
    ------
    Nothing.

    Notes
    -----
    The paper's surface is laid through the brought down picture, off all that is printed.

    References
    ----------
    `fit_paper`.

    Examples
    --------
    >>> photo = np.full((600, 800, 3), 204, np.uint8)
    >>> photo[240:320, 300:400] = (40, 100, 30)
    >>> flat = Card(np.diag([0.25, 0.25, 1.0]), (0, 1, 2, 3), 1.0, 0.0, 0.0, 4.0, 0.5)
    >>> sheet, coarse = sheet_of(photo, flat)
    >>> sheet.lit(np.array([300.0]), np.array([350.0])).round(3).tolist(), coarse.factor
    ([[[0.800000011920929, 0.800000011920929, 0.800000011920929]]], 1)
    """
    whole = table("photo/card").row(part="card")
    wide_mm, high_mm = float(whole["width_mm"]), float(whole["height_mm"])
    corners = mapped(np.linalg.inv(card.to_mm), [(0, 0), (wide_mm, 0), (wide_mm, high_mm), (0, high_mm)])
    left, top = (max(0, int(least)) for least in corners.min(axis=0))
    right, low = (int(most) + 1 for most in corners.max(axis=0))
    part = pixels[top:low, left:right]
    factor = max(1, -(-max(part.shape[:2]) // COARSE_PX))
    seen = np.stack([shrunk(part[..., each].astype(np.float32), factor) for each in range(3)], axis=-1)
    coarse = Coarse(left, top, factor, seen / np.float32(255))
    high, wide = pixels.shape[:2]
    rows, columns = coarse.rows(), coarse.columns()
    terms = terms_at((high, wide), np.stack(np.meshgrid(rows, columns, indexing="ij")))
    return Sheet(card, high, wide, fit_paper(coarse.seen, _field(*_places(card, rows, columns)[:2]), terms)), coarse


def _middles(count: int, factor: int, first: int) -> Lanes:
    """Where the middles of brought down pixels lie on the photo."""
    return np.asarray(factor * (np.arange(count) + 0.5) - 0.5 + first, np.float64)


def _places(card: Card, rows: Lanes, columns: Lanes) -> tuple[Lanes, Lanes, Lanes]:
    """x and y on the card, and the factor they were divided by."""
    x, y, factor = (each[0] * columns + (each[1] * rows + each[2])[:, np.newaxis] for each in card.to_mm)
    return x / factor, y / factor, factor


def _field(x: Lanes, y: Lanes) -> Mask:
    field = np.ones(x.shape, np.bool_)
    span = (x.min(), x.max(), y.min(), y.max())
    for row in table("photo/card").rows:
        rim = -MARGIN_MM if row["part"] == "card" else MARGIN_MM
        left, right = row["left_mm"] - rim, row["left_mm"] + row["width_mm"] + rim
        top, low = row["top_mm"] - rim, row["top_mm"] + row["height_mm"] + rim
        if row["part"] != "card" and (span[0] >= right or span[1] <= left or span[2] >= low or span[3] <= top):
            continue
        within = (x > left) & (x < right) & (y > top) & (y < low)
        field &= within if row["part"] == "card" else ~within
    return field
