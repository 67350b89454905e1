"""Soil on the printed card: where it lies, and which color it has against the paper beside it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from rootcase.ground.errors import OutOfRange
from rootcase.ground.words import say
from rootcase.science.lanes import Lanes
from rootcase.science.photo.card import Card
from rootcase.science.photo.chips import ChipDoubt, chip_of, lab_beside_white
from rootcase.science.photo.light import Picture, shrunk
from rootcase.science.photo.paper import Mask, fit_paper, paper_light, terms_at
from rootcase.science.photo.plane import mapped
from rootcase.science.photo.stored import linear_light
from rootcase.tables.load import table

STEP_MM = 0.5
SAMPLES = 3
"""A side of a step: so many places of the photo are brought together to one. JUDGEMENT"""
CLEAR_MM = 3.0
"""Beside what is printed nothing is taken for paper or soil. JUDGEMENT"""
RING_MM = 20.0
"""Width of the rim of the empty place that the card's paper is laid through. JUDGEMENT"""
NO_PAPER = 0.75
"""Of lit paper's light, in the darkest channel: what has less is soil or shadow. JUDGEMENT: pale chips have 0.7"""
SHADE, NEUTRAL = 0.15, 1.12
"""What keeps more of the light and has its channels as even is paper in shadow. JUDGEMENT: of chips only the grays from
value 5 on are as even and as bright, and those have to be pointed to"""
LEAST_RADIUS_MM, MEASURED = 5.0, 0.7
"""Of the widest round place in the soil, and the part of that radius which is measured. JUDGEMENT"""
BESIDE_MM = (3.0, 9.0)
"""From the soil, between what its paper is measured. JUDGEMENT"""
WHITE, WHITE_OFF = 0.87, 0.03
"""What printing paper gives back of the light, and its standard error. JUDGEMENT"""
CAMERA_OFF = 3.0
"""Standard error of each of the three for a camera's own colors, with paper for white. [CIELAB units] JUDGEMENT: one
phone under even light, fitted to soils, was off by 3.75 in all on average, which is 2.35 of each (Gomez-Robledo and
others 2013, abstract)"""
LUMP_STEPS = 4
"""Colors of places so many steps wide are as good as independent. JUDGEMENT"""
SHADED, BRIGHT, BURNT, DIM, LAMP = 0.8, 0.97, 0.995, 0.35, 1.6
"""Paper beside the soil over the card's lit paper in light; paper as stored, too bright, with nothing more to tell, and
too dark; the strongest of its channels over the weakest in light. JUDGEMENT"""
UNEVEN, MOTTLED, NO_EARTH = 8.0, 5.0, 9.0
"""Spread of the soil's places in lightness, and of its steps in color; how far off the nearest chip. [CIELAB units]
JUDGEMENT"""
MOST_PAPER = 0.2
"""Of a place that a person pointed to. JUDGEMENT"""


class SoilSpot(NamedTuple):
    """Soil on the card and its color, CIELAB under illuminant C."""

    chip: ChipDoubt
    lab: tuple[float, float, float]
    off: tuple[float, float, float]
    """Standard errors of the three."""
    middle_mm: tuple[float, float]
    radius_mm: float
    doubts: tuple[str, ...]
    """Of "several", "shadow", "bright", "dark", "lamp", "uneven", "mottled" and "beyond" those that hold."""


def soil_on(pixels: NDArray[np.uint8], card: Card, at_mm: tuple[float, float] | None = None) -> SoilSpot:
    """Which Munsell chip has the color of the soil that lies on the card?

    Parameters
    ----------
    pixels : rows of (red, green, blue) of the upright photo. [-], 0 to 255
    card : as `find_card` gives it for the same photo
    at_mm : middle of the soil, x right and y down from the card's upper left corner, where a person pointed; else it is
        looked for. [mm]

    Returns
    -------
    SoilSpot(chip, lab, off, middle_mm, radius_mm, doubts). [mm, CIELAB units]

    Raises
    ------
    OutOfRange : the photo is black and white, no soil with paper all round it is found, the place pointed at is outside
        the card's empty part or shows paper, the paper is burnt out, or the color is far from every chip.

    Notes
    -----
    The card's empty place is looked at in steps of half a millimeter. The soil is the largest part of it with less
    light than paper that does not reach its rim; what is measured is a round place well within, the median in linear
    light over that of the paper right beside it, so that a shadow on both falls out. The paper is taken for
    white, which tells the color of the light too. Errors: the camera's own colors, what paper gives back, and how the
    soil's places differ; they are wide, for nothing on a printed card has a known color but its paper.

    References
    ----------
    Gomez-Robledo, Lopez-Ruiz, Melgosa, Palma, Capitan-Vallvey and Sanchez-Maranon 2013, Using the mobile phone as
    Munsell soil-colour sensor, Comput. Electron. Agric. 99:200-208 (abstract seen); JUDGEMENT for the place and the
    errors.

    Examples
    --------
    >>> photo = np.full((600, 800, 3), 220, np.uint8)
    >>> photo[240:320, 300:400] = (100, 88, 70)
    >>> flat = Card(np.diag([0.25, 0.25, 1.0]), (0, 1, 2, 3), 1.0, 0.0, 0.0, 4.0, 0.5)
    >>> soil_on(photo, flat).chip.nearest.notation
    '2.5Y 4/2'
    """
    if not np.ptp(pixels, axis=2).any():
        raise OutOfRange(say("photo.soil.colorless"), right=say("photo.soil.right_color"))
    left, top, right, low = _empty_mm()
    x, y = (np.arange(start + STEP_MM / 2, end, STEP_MM) for start, end in ((left, right), (top, low)))
    stored = _flat(pixels, card, x, y)
    light, lit = linear_light(stored), linear_light(_lit(stored))
    darker, less = _less(np.asarray(light / lit, np.float64))
    spot, radius_mm, middle, several = _spot(less, x, y, at_mm)
    if float(np.mean(darker[spot])) < 1.0 - MOST_PAPER:
        raise OutOfRange(say("photo.soil.on_paper"), right=say("photo.soil.right_pointed"))
    if float(np.mean(less[spot])) < 0.5:  # a gray that a person pointed to
        less = darker
    away_mm = STEP_MM * ndimage.distance_transform_edt(~(less | spot))
    beside = (away_mm > BESIDE_MM[0]) & (away_mm < BESIDE_MM[1])
    if not beside.any():
        raise OutOfRange(say("photo.soil.no_paper"), right=say("photo.soil.right_place"))
    white, paper = np.median(light[beside], axis=0), float(np.median(stored[beside], axis=0).max())
    if paper > BURNT:
        raise OutOfRange(say("photo.soil.burnt"), right=say("photo.soil.right_burnt"))
    lab, off, spread = _color(np.asarray(light / white, np.float64), spot)
    chip = chip_of(lab, off)
    if chip.away > NO_EARTH:
        raise OutOfRange(say("photo.soil.no_earth"), value=say("photo.soil.away", units=f"{chip.away:.0f}"),
                         right=say("photo.soil.right_earth"))
    held = {"several": several, "shadow": float(np.median((light / lit)[beside])) < SHADED, "bright": paper > BRIGHT,
            "dark": paper < DIM, "lamp": float(white.max() / white.min()) > LAMP, "uneven": spread[0] > UNEVEN,
            "mottled": spread[1] > MOTTLED, "beyond": chip.beyond}
    return SoilSpot(chip, _three(lab), _three(off), middle, radius_mm,
                    tuple(name for name, holds in held.items() if holds))


def _less(over: Lanes) -> tuple[Mask, Mask]:
    """What has less light than lit paper, and what of it is no paper in shadow."""
    smooth = ndimage.uniform_filter(over, (3, 3, 1))
    dark, bright = smooth.min(axis=2), smooth.max(axis=2)
    darker = dark < NO_PAPER
    return darker, darker & ((dark < SHADE) | (bright > NEUTRAL * dark))


def _color(over: Lanes, spot: Mask) -> tuple[Lanes, Lanes, tuple[float, float]]:
    """CIELAB of what lies there, the errors of its three, how its places differ in lightness and its steps in color."""
    middle = np.median(over[spot], axis=0)
    lab = lab_beside_white(middle, WHITE)
    whiter = lab_beside_white(middle, WHITE + WHITE_OFF) - lab
    lumps = _lumps(over, spot)
    spread = np.std(lumps, axis=0, ddof=1) if len(lumps) > 1 else np.zeros(3)
    mottles = float(np.hypot(*np.std(lab_beside_white(over[spot], WHITE), axis=0)[1:]))
    return (lab, np.sqrt(CAMERA_OFF ** 2 + whiter ** 2 + spread ** 2 / max(1, len(lumps))),
            (float(spread[0]), mottles))


def _three(each: Lanes) -> tuple[float, float, float]:
    return float(each[0]), float(each[1]), float(each[2])


def _lit(stored: Picture) -> Picture:
    """The lit paper's stored color at every place, laid through the rim of the empty place."""
    terms = terms_at(stored.shape, np.indices(stored.shape[:2]).astype(np.float64))
    rim = np.ones(stored.shape[:2], np.bool_)
    edge = round(RING_MM / STEP_MM)
    rim[edge:-edge, edge:-edge] = False
    return paper_light(terms, fit_paper(stored, rim, terms))


def _empty_mm() -> tuple[float, float, float, float]:
    """Left, top, right and lower end of the place on the card where nothing is printed."""
    rows = table("photo/card").rows
    markers = [row for row in rows if row["part"] == "marker"]
    half = float(table("photo/card").row(part="card")["width_mm"]) / 2
    return (max(row["left_mm"] + row["width_mm"] for row in markers if row["left_mm"] < half) + CLEAR_MM,
            max(row["top_mm"] + row["height_mm"] for row in rows if row["part"] == "patch") + CLEAR_MM,
            min(row["left_mm"] for row in markers if row["left_mm"] > half) - CLEAR_MM,
            min(row["top_mm"] for row in rows if row["part"] == "bar") - CLEAR_MM)


def _flat(pixels: NDArray[np.uint8], card: Card, x: Lanes, y: Lanes) -> Picture:
    """The card as it lies, its stored colors. 0 to 1"""
    fine = ((np.arange(SAMPLES) + 0.5) / SAMPLES - 0.5) * STEP_MM
    down, along = np.meshgrid((y[:, np.newaxis] + fine).ravel(), (x[:, np.newaxis] + fine).ravel(), indexing="ij")
    at = np.rint(mapped(np.linalg.inv(card.to_mm), np.column_stack([along.ravel(), down.ravel()]))).astype(np.intp)
    columns, rows = (each.clip(0, most - 1) for each, most in zip(at.T, pixels.shape[1::-1], strict=True))
    seen = pixels[rows, columns].reshape(*down.shape, 3).astype(np.float32) / np.float32(255)
    return np.stack([shrunk(seen[..., each], SAMPLES) for each in range(3)], axis=-1)


def _spot(less: Mask, x: Lanes, y: Lanes,
          at_mm: tuple[float, float] | None) -> tuple[Mask, float, tuple[float, float], bool]:
    """The places that are measured, the radius and the middle of their round, and whether other things lie there."""
    (middle, radius), several = (_pointed(x, y, at_mm), False) if at_mm is not None else _widest(less, x, y)
    return np.hypot(x - middle[0], (y - middle[1])[:, np.newaxis]) <= radius, radius, middle, several


def _pointed(x: Lanes, y: Lanes, at_mm: tuple[float, float]) -> tuple[tuple[float, float], float]:
    if not (x[0] <= at_mm[0] <= x[-1] and y[0] <= at_mm[1] <= y[-1]):
        raise OutOfRange(say("photo.soil.outside"), value=f"{at_mm[0]:.0f}, {at_mm[1]:.0f} mm",
                         right=say("photo.soil.right_place"))
    return at_mm, MEASURED * LEAST_RADIUS_MM


def _widest(less: Mask, x: Lanes, y: Lanes) -> tuple[tuple[tuple[float, float], float], bool]:
    """A round place well within the largest thing that does not reach the rim; whether there are other things."""
    labels, count = ndimage.label(less)
    rim = np.unique(np.concatenate([labels[0], labels[-1], labels[:, 0], labels[:, -1]]))
    sizes = np.bincount(labels.ravel(), minlength=count + 1)
    sizes[rim] = sizes[0] = 0
    largest = int(np.argmax(sizes))
    deep = STEP_MM * ndimage.distance_transform_edt(np.isin(labels, np.flatnonzero(sizes)))
    own = np.where(labels == largest, deep, 0.0)
    if not sizes.any() or float(own.max()) < LEAST_RADIUS_MM:
        raise OutOfRange(say("photo.soil.none"), right=say("photo.soil.right_none"))
    row, column = np.unravel_index(np.argmax(own), own.shape)
    return (((float(x[column]), float(y[row])), MEASURED * float(own.max())),
            float(np.where(labels == largest, 0.0, deep).max()) >= LEAST_RADIUS_MM)


def _lumps(over: Lanes, spot: Mask) -> Lanes:
    """CIELAB of the soil's places, each some steps wide and whole within the spot."""
    within = shrunk(spot.astype(np.float32), LUMP_STEPS) == 1.0
    colors = np.stack([shrunk(over[..., each].astype(np.float32), LUMP_STEPS) for each in range(3)], axis=-1)
    return lab_beside_white(colors[within].astype(np.float64), WHITE)
