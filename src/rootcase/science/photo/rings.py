"""Lines that run round a disc: the rims of air bubbles and of large grains."""

from __future__ import annotations

from typing import Any

import numpy as np

from rootcase.science.lanes import Lanes
from rootcase.science.photo.kernel import compiled
from rootcase.science.photo.thinning import Mask

LEAST_ARC_PX, PART_PX = 12, 50
FRAME_PX = 3
"""So near to the picture's edge thinning bends a wide rim's middle line; nothing is asked of it there. JUDGEMENT."""
LEAST_ARC_TURN = np.radians(40.0)
NARROWING = (0.12, 0.05, 0.015)
"""How far from a circle, as a part of its radius, a pixel may lie that it is laid through next. JUDGEMENT."""
LEAST_SEEN, SEEN_PER_RADIUS, LEAST_COVERED = 0.25, 1.5, 0.8
"""Of a circle the part inside the picture, and of that the part that must be on a line. JUDGEMENT. The wider the
circle, the more must be inside: a hypha across a corner of the picture is an arc of a wide one too."""


def ring_rims(lines: Mask, arcs_px: Lanes, bounds: Any, least_px: float, most_px: float) -> Mask:
    """Which pixels of middle lines run round a disc, as the rims of bubbles and of large grains do?

    Parameters
    ----------
    lines : 1 on a middle line
    arcs_px : smooth lines through those pixels, one after another, (row, column) a row. [px]
    bounds : where each of them begins and the last ends
    least_px, most_px : radius of such a disc. [px], above 0

    Returns
    -------
    same shape: 1 on a line round a disc.

    Raises
    ------
    Nothing.

    Notes
    -----
    A circle is laid through every arc of 40 degrees and more, then twice through all that lies near that circle. It
    is a rim where
    four fifths of it, as far as it is inside the picture, are on a line, and enough of it is inside: a quarter of a
    small one,
    all of one two thirds as wide as the widest, and wider ones are none. What crosses it stays but for a few pixels.

    References
    ----------
    Kasa 1976, A circle fitting procedure and its error analysis, IEEE Trans. Instrum. Meas. 25:8-14 (memory).
    How much of a circle must be there: JUDGEMENT.

    Examples
    --------
    >>> y, x = np.mgrid[:60, :60]
    >>> line = (abs(np.hypot(x - 30, y - 30) - 20) < 0.5).astype(np.uint8)
    >>> turn = np.linspace(0.0, 2.0, 40)
    >>> arc = 30 + 20 * np.column_stack([np.sin(turn), np.cos(turn)])
    >>> bool((ring_rims(line, arc, np.array([0, 40]), 5.0, 50.0) == line).all())
    True
    """
    rims = np.zeros_like(lines)
    rows, columns = map(np.ascontiguousarray, np.nonzero(lines))  # else a second form of the loops is compiled
    begins = np.searchsorted(rows, np.arange(lines.shape[0] + 1))
    _find_rims(lines, rows, columns, begins, np.ascontiguousarray(arcs_px, dtype=np.float64), bounds,
               (least_px, most_px), np.array(NARROWING), rims)
    return rims


@compiled
def _find_rims(lines: Any, rows: Any, columns: Any, begins: Any, points: Any, bounds: Any, radii: Any,
               narrowing: Any, rims: Any) -> None:
    """Of every arc whole and in parts: a line may run round one bubble and on round the next."""
    near = np.empty((len(rows) + 1, 2))
    kept = np.empty((len(rows) + 1, 2))
    for each in range(len(bounds) - 1):
        arc = points[bounds[each]:bounds[each + 1]]
        _rim_of(lines, rows, columns, begins, arc, radii, narrowing, near, kept, rims)
        for start in range(0, len(arc) - PART_PX, PART_PX // 2):
            part = arc[start:start + PART_PX]
            _rim_of(lines, rows, columns, begins, part, radii, narrowing, near, kept, rims)


@compiled
def _rim_of(lines: Any, rows: Any, columns: Any, begins: Any, arc: Any, radii: Any, narrowing: Any, near: Any,
            kept: Any, rims: Any) -> None:
    """Marks the rim that an arc is a part of, if it is of one."""
    middle = arc[len(arc) // 2]
    if len(arc) < LEAST_ARC_PX or rims[int(np.rint(middle[0])), int(np.rint(middle[1]))]:
        return
    row, column, radius = _circle(arc)
    if (not radii[0] <= radius <= radii[1] or len(arc) < LEAST_ARC_TURN * radius
            or _farthest(arc, row, column, radius) > 0.1 * radius):
        return
    count = _around(rows, columns, begins, row, column, (1.0 + narrowing[0]) * radius, near)
    for share in narrowing:
        close = 0
        for at in range(count):
            if _off(near[at], row, column, radius) <= share * radius + 1.5:
                kept[close, 0], kept[close, 1] = near[at, 0], near[at, 1]  # a row at once takes seconds to compile
                close += 1
        if close > LEAST_ARC_PX:
            row, column, radius = _circle(kept[:close])
    least_seen = max(LEAST_SEEN, SEEN_PER_RADIUS * radius / radii[1])
    if radius <= radii[1] and _goes_round(lines, row, column, radius, least_seen, narrowing[-1]):
        for at in range(count):
            if _off(near[at], row, column, radius) <= narrowing[-1] * radius + 2.0:
                rims[int(near[at, 0]), int(near[at, 1])] = 1


@compiled
def _off(place: Any, row: float, column: float, radius: float) -> Any:
    return abs(np.sqrt((place[0] - row) ** 2 + (place[1] - column) ** 2) - radius)


@compiled
def _farthest(points: Any, row: float, column: float, radius: float) -> float:
    most = 0.0
    for at in range(len(points)):
        most = max(most, _off(points[at], row, column, radius))
    return most


@compiled
def _circle(points: Any) -> tuple[float, float, float]:
    """Middle and radius of the circle through points by least squares of the squared distances; of a straight line the
    radius is infinite."""
    count = len(points)
    row = column = 0.0
    for at in range(count):
        row += points[at, 0] / count
        column += points[at, 1] / count
    yy = yx = xx = yz = xz = z_sum = 0.0
    for at in range(count):
        y, x = points[at, 0] - row, points[at, 1] - column
        z = y * y + x * x
        yy += y * y
        yx += y * x
        xx += x * x
        yz += y * z
        xz += x * z
        z_sum += z
    spread = 2.0 * (yy * xx - yx * yx)
    if spread <= 1e-12 * z_sum * z_sum:
        return row, column, np.inf
    down, along = (xx * yz - yx * xz) / spread, (yy * xz - yx * yz) / spread
    return row + down, column + along, np.sqrt(z_sum / count + down * down + along * along)


@compiled
def _around(rows: Any, columns: Any, begins: Any, row: float, column: float, reach: float, near: Any) -> int:
    """Brings the lines' pixels of a square together and counts them."""
    count = 0
    for down in range(max(0, int(row - reach)), min(len(begins) - 1, int(row + reach) + 2)):
        first, stop = begins[down], begins[down + 1]
        left = first + np.searchsorted(columns[first:stop], max(0, int(column - reach)))
        for at in range(left, stop):
            if columns[at] >= int(column + reach) + 2:
                break
            near[count, 0], near[count, 1] = rows[at], columns[at]
            count += 1
    return count


@compiled
def _goes_round(lines: Any, row: float, column: float, radius: float, least_seen: float, narrowest: float) -> Any:
    reach = int(np.rint(narrowest * radius + 1.5))
    turns = int(np.ceil(2.0 * np.pi * radius))
    seen = on_line = 0
    for step in range(turns):
        sine, cosine = np.sin(step / radius), np.cos(step / radius)
        if not _inside(lines, int(np.rint(row + radius * sine)), int(np.rint(column + radius * cosine))):
            continue
        seen += 1
        for away in range(-reach, reach + 1):
            y, x = int(np.rint(row + (radius + away) * sine)), int(np.rint(column + (radius + away) * cosine))
            if _inside(lines, y, x) and lines[y, x]:
                on_line += 1
                break
    return seen >= max(least_seen * turns, 1) and on_line >= LEAST_COVERED * seen


@compiled
def _inside(lines: Any, y: int, x: int) -> Any:
    return FRAME_PX <= y < lines.shape[0] - FRAME_PX and FRAME_PX <= x < lines.shape[1] - FRAME_PX
