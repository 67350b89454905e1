"""The printed card on a photo: its four markers found, read and measured, and how the photo lies to it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage
from scipy.spatial import ConvexHull, QhullError

from rootcase.ground.errors import OutOfRange
from rootcase.ground.words import say
from rootcase.science.lanes import Lanes
from rootcase.science.photo.light import Picture, shrunk
from rootcase.science.photo.plane import homography, mapped
from rootcase.tables.load import table

LEAST_MARKERS = 3
"""Two leave the card's slant open. JUDGEMENT: with three a bent print still shows itself by its residual."""
SEARCHED_PX = 1600
"""The longer side of the picture that markers are looked for on; sides are measured on the whole one. JUDGEMENT"""
WINDOWS = (0.05, 0.12, 0.3)
"""Of that side, over which the brightness about a pixel is taken: a marker is smaller than one of them. JUDGEMENT"""
DARK = 0.7
"""A marker's black against the mean about it, in brightness as it is stored. [-] JUDGEMENT"""
LEAST_SIDE_PX = 14
"""Six cells of two pixels each and a rest for blur. JUDGEMENT"""
SQUARE = 0.85
"""So much of a found outline its four corners must span, and the other way round. [-] JUDGEMENT"""
CELLS = 6
"""A side of a marker: four cells that tell and a black one at each end."""
SIDE_SPAN = (0.12, 0.88)
"""The part of a side whose edge is measured: blur rounds the corners. JUDGEMENT"""
PROFILES = 40
REACH = 0.12
"""How far beside a side its edge is looked for, in sides. JUDGEMENT: less than the black cell, a sixth."""

POWERS = (1.0, 2.4)
"""Of stored brightness, in which edges may stand half-way: as stored, and linear light. JUDGEMENT"""
HALVINGS = 12
BLUR_SHARES, BLUR_SPAN = (0.3, 0.7), 1.0488
"""Of the way from black to white, and how many spreads of a bell curve lie between them. (computed)"""


class Card(NamedTuple):
    """How a photo lies to the card on it."""

    to_mm: Lanes
    """3 x 3: takes (x, y) of the upright photo, from the middle of its upper left pixel, to millimeters."""
    markers: tuple[int, ...]
    power: float
    """Edges stand half-way in stored brightness to this power: found so that black squares have their printed size."""
    residual_mm: float
    """Root mean square of how far the markers' corners lie off the flat card, growth left out."""
    growth_mm: float
    """How far outside its place a black edge is still seen: half of what a marker measures over its printed side."""
    px_per_mm: float
    """At the card's middle, of the shorter way where the card is seen aslant."""
    blur_px: float
    """Of the markers' sides, the spread of a bell curve in the photo's pixels."""


@cache
def places_mm() -> Mapping[int, Lanes]:
    """Where is each corner of the card's markers?

    Returns
    -------
    by a marker's number its corners from the upper left one clockwise, (x, y) a row. [mm]

    Raises
    ------
    Nothing.

    Notes
    -----
    x right and y down from the card's upper left corner.

    References
    ----------
    Table photo/card.

    Examples
    --------
    >>> places_mm()[1].tolist()
    [[170.0, 6.0], [194.0, 6.0], [194.0, 30.0], [170.0, 30.0]]
    """
    return {int(row["number"]): np.array([(row["left_mm"] + across * row["width_mm"],
                                           row["top_mm"] + down * row["height_mm"])
                                          for across, down in ((0, 0), (1, 0), (1, 1), (0, 1))])
            for row in table("photo/card").rows if row["part"] == "marker"}


def find_card(shown: Picture) -> Card:
    """Where on a photo is the card, and how does the photo lie to it?

    Parameters
    ----------
    shown : brightness as it is stored, one a pixel of the upright photo. [-], 0 to 1

    Returns
    -------
    Card(to_mm, markers, power, residual_mm, growth_mm, px_per_mm, blur_px). [mm, px/mm, px]

    Raises
    ------
    OutOfRange : fewer than three markers can be read, or the card is mirrored.

    Notes
    -----
    What is darker than its surroundings and has four corners is read as 4 x 4 cells; a marker counts where every cell
    is as printed. Its sides are then measured on the whole picture, along many lines across each, and a straight line
    is laid through those points; the corners of all markers give one projective map. Where an edge stands on a blurred
    picture hangs on the brightness it is taken in: the markers, whose size is known, tell it, between stored values
    and linear light.

    References
    ----------
    Zhang 2000, A flexible new technique for camera calibration, IEEE Trans. Pattern Anal. 22:1330-1334; Hartley and
    Zisserman 2004, Multiple View Geometry in Computer Vision (memory); JUDGEMENT for the search and the markers' size.

    Examples
    --------
    >>> photo = np.ones((600, 800), np.float32)
    >>> for row in (row for row in table("photo/card").rows if row["part"] == "marker"):
    ...     cells = np.pad(np.array(list(row["code"]), np.float32).reshape(4, 4), 1)
    ...     left, top = int(row["left_mm"]) * 4, int(row["top_mm"]) * 4
    ...     photo[top:top + 96, left:left + 96] = np.kron(cells, np.ones((16, 16), np.float32))
    >>> found = find_card(photo)
    >>> found.markers, round(found.residual_mm, 2), round(found.px_per_mm, 2)
    ((0, 1, 2, 3), 0.0, 4.0)
    """
    return _evened(_read_markers(shown))


def _px_per_mm(to_mm: Lanes) -> float:
    whole = table("photo/card").row(part="card")
    middle = np.array([whole["width_mm"] / 2, whole["height_mm"] / 2])
    beside = mapped(np.linalg.inv(to_mm), middle + np.array([(0, 0), (1, 0), (0, 1)]))
    return float(np.linalg.svd(beside[1:] - beside[0], compute_uv=False)[-1])


def _read_markers(shown: Picture) -> dict[int, list[_Side]]:
    codes = {int(row["number"]): np.array([int(sign) for sign in row["code"]]).reshape(4, 4)
             for row in table("photo/card").rows if row["part"] == "marker"}
    found: dict[int, list[_Side]] = {}
    turned_over = 0
    for rough in _outlines(shown):
        cells = _cells_of(shown, rough)
        if cells is None:
            continue
        for number, code in ((number, code) for number, code in codes.items() if number not in found):
            for turn in range(4):
                if np.array_equal(np.rot90(cells, turn), code):
                    corners = np.roll(rough, -turn, axis=0)
                    found[number] = [_side(shown, corners[at], corners[(at + 1) % 4]) for at in range(4)]
                turned_over += bool(np.array_equal(np.rot90(cells.T, turn), code))
        if len(found) == len(codes):
            break
    if len(found) < LEAST_MARKERS:
        if turned_over >= LEAST_MARKERS:
            raise OutOfRange(say("photo.mirrored"), right=say("photo.right_mirrored"))
        raise OutOfRange(say("photo.few_markers"), value=str(len(found)),
                         right=say("photo.right_markers", least=LEAST_MARKERS))
    return found


def _outlines(shown: Picture) -> Iterator[Lanes]:
    """The four corners of everything dark and four-sided, clockwise, on the whole picture."""
    factor = max(1, -(-max(shown.shape) // SEARCHED_PX))
    small = shrunk(shown, factor)
    for window in WINDOWS:
        about = ndimage.uniform_filter(small, round(window * max(small.shape)), mode="nearest")
        labels, _ = ndimage.label(small < np.float32(DARK) * about, np.ones((3, 3)))
        for number, box in enumerate(ndimage.find_objects(labels), 1):
            high, wide = (side.stop - side.start for side in box)
            if min(high, wide) < LEAST_SIDE_PX or max(high, wide) > max(small.shape) / 2:
                continue
            corners = _four_corners(labels[box] == number)
            if corners is not None:
                yield factor * (corners + (box[1].start, box[0].start) + 0.5) - 0.5


def _four_corners(inside: NDArray[np.bool_]) -> Lanes | None:
    """Of the hull of what is inside the four corners that keep the most of it, or None if that is no four-sided
    thing."""
    rows, columns = np.nonzero(inside & ~ndimage.binary_erosion(inside))
    try:
        hull = ConvexHull(np.column_stack([columns, rows]))
    except QhullError:
        return None
    points = hull.points[hull.vertices]
    while len(points) > 4:
        before, after = np.roll(points, 1, axis=0), np.roll(points, -1, axis=0)
        points = np.delete(points, np.argmin(np.abs(_turned(points - before, after - points))), axis=0)
    if len(points) < 4:
        return None
    area = float(_turned(points, np.roll(points, -1, axis=0)).sum()) / 2
    if abs(area) < SQUARE * hull.volume or np.count_nonzero(inside) < abs(area) / 3:
        return None
    return np.asarray(points if area > 0 else points[::-1])


def _turned(first: Lanes, second: Lanes) -> Lanes:
    return np.asarray(first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0])


def _at(picture: Picture, points: Lanes) -> Lanes:
    """Brightness between pixels, straight from one to the next."""
    return np.asarray(ndimage.map_coordinates(picture, points[:, ::-1].T, order=1, mode="nearest"), np.float64)


def _cells_of(shown: Picture, corners: Lanes) -> NDArray[np.int64] | None:
    """The inner cells, 1 white; None where the rim is not black all round."""
    unit = np.array([(0, 0), (1, 0), (1, 1), (0, 1)]) * CELLS
    steps = np.arange(CELLS)[:, np.newaxis] + np.array([0.35, 0.5, 0.65])
    down, along = np.meshgrid(steps.ravel(), steps.ravel(), indexing="ij")
    try:
        to_photo = homography(unit, corners)
    except OutOfRange:
        return None
    sampled = _at(shown, mapped(to_photo, np.column_stack([along.ravel(), down.ravel()])))
    cells = sampled.reshape(CELLS, 3, CELLS, 3).mean(axis=(1, 3))
    white = cells > (cells.min() + cells.max()) / 2
    inner = white[1:-1, 1:-1]
    return None if np.count_nonzero(white) > np.count_nonzero(inner) else inner.astype(np.int64)


class _Side(NamedTuple):
    """Brightness along many lines across a marker's side, from inside outwards."""

    starts: Lanes
    outward: Lanes
    steps: Lanes
    profiles: Lanes

    def edge(self, power: float) -> Lanes:
        """The line a x + b y + c = 0 along which the edge is seen half-way in brightness of that power."""
        crossing = self._crossing(half_way(*self._levels(), power))
        kept = np.abs(crossing - np.sort(crossing)[PROFILES // 2]) < self.steps[-1] / 2
        points = (self.starts + crossing[:, np.newaxis] * self.outward)[kept]
        middle = points.mean(axis=0)
        normal = np.linalg.svd(points - middle)[2][-1]
        return np.array([*normal, -normal @ middle])

    def blur_px(self) -> float:
        """The spread of a bell curve that leads from black to white as the side does."""
        dark, bright = self._levels()
        first, second = (self._crossing(dark + share * (bright - dark)) for share in BLUR_SHARES)
        return float(np.median(second - first)) / BLUR_SPAN

    def _levels(self) -> tuple[float, float]:
        """Of the marker's black and of the paper."""
        rest, columns = max(2, len(self.steps) // 6), np.median(self.profiles, axis=0)
        return (float(np.sort(columns[:len(columns) // 2])[:rest].mean()), float(np.median(columns[-rest:])))

    def _crossing(self, level: float) -> Lanes:
        """Where each line first passes the level, from its darkest place outwards: further in a white cell may be
        seen."""
        darkest = int(np.argmin(np.median(self.profiles, axis=0)[:len(self.steps) // 2]))
        after = darkest + np.maximum(np.argmax(self.profiles[:, darkest:] > level, axis=1), 1)
        low, high = (self.profiles[np.arange(PROFILES), after - back] for back in (1, 0))
        step = self.steps[1] - self.steps[0]
        return np.asarray(self.steps[after] - (high - level) / np.maximum(high - low, 1e-9) * step)


def _side(shown: Picture, start: Lanes, end: Lanes) -> _Side:
    way = end - start
    length = float(np.hypot(*way))
    outward = np.array([way[1], -way[0]]) / length
    starts = start + np.linspace(*SIDE_SPAN, PROFILES)[:, np.newaxis] * way
    reach = max(3.0, REACH * length)
    steps = np.linspace(-reach, reach, max(25, int(8 * reach) + 1))
    places = starts[:, np.newaxis] + steps[:, np.newaxis] * outward
    return _Side(starts, outward, steps, _at(shown, places.reshape(-1, 2)).reshape(PROFILES, -1))


def _corners(sides: list[_Side], power: float) -> Lanes:
    """Where straight lines through the measured edges of neighboring sides meet."""
    lines = [side.edge(power) for side in sides]
    met = [np.cross(lines[at - 1], lines[at]) for at in range(4)]
    return np.array([point[:2] / point[2] for point in met])


def _laid(sides: Mapping[int, list[_Side]], power: float) -> Card:
    """How the photo lies to the card, edges taken half-way in brightness of that power."""
    order = sorted(sides)
    seen = np.concatenate([_corners(sides[each], power) for each in order])
    meant = np.concatenate([places_mm()[each] for each in order])
    to_mm = homography(seen, meant)
    placed = mapped(to_mm, seen)
    blocks, printed = placed.reshape(-1, 4, 2), float(np.ptp(meant[:4, 0]))
    side_mm = float(np.hypot(*(blocks - np.roll(blocks, 1, axis=1)).reshape(-1, 2).T).mean())
    middle = meant.reshape(-1, 4, 2).mean(axis=1, keepdims=True)
    evened = (meant.reshape(-1, 4, 2) - middle) * side_mm / printed + middle
    residual = float(np.sqrt(((blocks - evened) ** 2).sum(axis=2).mean()))
    blur_px = float(np.median([side.blur_px() for each in order for side in sides[each]]))
    return Card(to_mm, tuple(order), power, residual, (side_mm - printed) / 2, _px_per_mm(to_mm), blur_px)


def _evened(sides: Mapping[int, list[_Side]]) -> Card:
    """The brightness in which black squares have their printed size, else the end of the range that comes nearest."""
    low, high = (_laid(sides, power) for power in POWERS)
    if low.growth_mm >= 0.0 or high.growth_mm <= 0.0:
        return min(low, high, key=lambda card: abs(card.growth_mm))
    for _ in range(HALVINGS):
        middle = _laid(sides, (low.power + high.power) / 2)
        low, high = (middle, high) if middle.growth_mm < 0.0 else (low, middle)
    return middle


def half_way(dark: float, bright: float, power: float) -> float:
    """Which stored brightness lies half-way between two, in brightness of that power?

    Parameters
    ----------
    dark, bright : as stored. [-], 0 to 1
    power : 1 half-way as stored, about 2.2 half-way in linear light. [-], 1 to 3

    Returns
    -------
    float: as stored. [-]

    Raises
    ------
    Nothing.

    Notes
    -----
    A lens blurs light, so that an edge stands half-way in linear light; what a program blurs or sharpens afterwards it
    does to the stored values.

    References
    ----------
    IEC 61966-2-1 (sRGB): stored values follow linear light by about the power of 1 / 2.2 (memory).

    Examples
    --------
    >>> round(half_way(0.0, 1.0, 2.2), 3)
    0.73
    """
    return float(((dark ** power + bright ** power) / 2) ** (1 / power))
