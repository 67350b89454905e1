"""Where strands cross, meet or are hidden for a stretch: what the middle lines alone would count too little."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np
from scipy.spatial import cKDTree

from rootcase.science.lanes import Lanes
from rootcase.science.photo.kernel import compiled
from rootcase.science.photo.light import Picture
from rootcase.science.photo.sides import between
from rootcase.science.photo.strands import OPEN

HEADING_WIDTHS = 1.5
"""Over how many widths a line's heading at its end is taken. JUDGEMENT."""
STRAIGHT_ON = np.cos(np.radians(50.0))
"""A line that goes on beyond a crossing turns less than this. JUDGEMENT."""
FACING = np.cos(np.radians(30.0))
"""Two ends that face each other over a gap are off the straight by less than this. JUDGEMENT."""
SLACK = 1.6
"""Two areas of width w that cross at an angle t are one over w / sin(t/2) along; a blurred picture adds. JUDGEMENT."""
NARROWEST_SINE = 0.07
TIP_STEP_PX, TIP_LEVEL, TIP_HALF_WIDTHS = 0.5, 0.5, 2.5
"""A tip is where darkness has fallen to half of the line's; no farther is looked for it. JUDGEMENT."""


class Line(NamedTuple):
    """A strand as it is measured: its smooth points, its forks, the half-width of its area."""

    points_px: Lanes
    forks: tuple[int, int]
    half_width_px: float


def _heading(line: Line, end: int) -> Lanes:
    """Outwards at the end: the unit vector of the last stretch."""
    points = line.points_px if end else line.points_px[::-1]
    back = min(len(points) - 1, max(4, round(2 * HEADING_WIDTHS * line.half_width_px)))
    way = points[-1] - points[-1 - back]
    return np.asarray(way / max(float(np.hypot(*way)), 1e-9))


def with_tips(line: Line, dark: Picture) -> Line:
    """A line drawn out at its free ends to where it ceases to be dark.

    Parameters
    ----------
    line : Line(points_px, forks, half_width_px)
    dark : darkness against the surroundings, a little smoothed. [-]

    Returns
    -------
    Line with a point more at each free end.

    Raises
    ------
    Nothing.

    Notes
    -----
    Thinning takes about half a width off each end. The tip is where darkness along the line's heading has fallen to
    half of its median over the line's last stretch.

    References
    ----------
    JUDGEMENT: half a step's height is where its edge was before a lens blurred it.

    Examples
    --------
    >>> dark = np.zeros((21, 60), np.float32)
    >>> dark[8:13, 10:50] = 0.4
    >>> points = np.column_stack([np.full(31, 10.0), np.arange(15.0, 46.0)])
    >>> with_tips(Line(points, (-1, -1), 2.5), dark).points_px[[0, -1], 1].tolist()
    [9.5, 49.5]
    """
    points = line.points_px
    for end in (0, 1):
        if line.forks[end] != OPEN or len(points) < 2:
            continue
        heading, tip = _heading(line, end), line.points_px[-end]
        last = points[-20:] if end else points[:20]
        reach = _reach_of(dark, tip, heading, np.ascontiguousarray(last), TIP_HALF_WIDTHS * line.half_width_px)
        added = (tip + reach * heading)[np.newaxis]
        points = np.concatenate([points, added] if end else [added, points])
    return line._replace(points_px=points)


@compiled
def _reach_of(dark: Any, tip: Any, heading: Any, last: Any, most: float) -> Any:
    """How far beyond its tip a line is darker than a part of what its last stretch is."""
    there = np.empty(len(last))
    for at in range(len(last)):
        there[at] = between(dark, last[at, 0], last[at, 1])
    level = TIP_LEVEL * np.median(there)
    for step in range(int(np.ceil(most / TIP_STEP_PX)) + 1):
        reach = step * TIP_STEP_PX
        y, x = tip[0] + reach * heading[0], tip[1] + reach * heading[1]
        outside = not (0.0 <= y <= dark.shape[0] - 1 and 0.0 <= x <= dark.shape[1] - 1)
        if (0.0 if outside else between(dark, y, x)) <= level:
            return reach
    return TIP_STEP_PX * np.ceil(most / TIP_STEP_PX)


def walked_twice_px(lines: Sequence[Line]) -> float:
    """How much of the lines is one where two strands cross at a small angle?

    Parameters
    ----------
    lines : Line(points_px, forks, half_width_px), all of a picture

    Returns
    -------
    float: to be counted a second time. [px]

    Raises
    ------
    Nothing.

    Notes
    -----
    A stretch between two forks of three is such a place where the two lines at each end go on from it nearly
    straight and
    it is no longer than the areas of two strands that part at the angle seen lie on each other.

    References
    ----------
    The overlap of two bars: geometry (computed).

    Examples
    --------
    >>> def at(row, column, onto_row, onto_column, forks):
    ...     return Line(np.linspace((row, column), (onto_row, onto_column), 20), forks, 2.0)
    >>> crossing = [at(10, 10, 10, 16, (0, 1)), at(0, 0, 10, 10, (-1, 0)), at(20, 0, 10, 10, (-1, 0)),
    ...             at(10, 16, 0, 26, (1, -1)), at(10, 16, 20, 26, (1, -1))]
    >>> walked_twice_px(crossing)
    6.0
    """
    at_fork: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for number, line in enumerate(lines):
        for end in (0, 1):
            at_fork[line.forks[end]].append((number, end))
    twice = 0.0
    for number, line in enumerate(lines):
        if OPEN in line.forks or line.forks[0] == line.forks[1] or any(len(at_fork[fork]) != 3 for fork in line.forks):
            continue
        between = line.points_px[-1] - line.points_px[0]
        length = float(np.hypot(*between))
        sines: list[float] = []
        for end in (0, 1):
            onward = between / max(length, 1e-9) * (1 if end else -1)
            arms = [-_heading(lines[other], side) for other, side in at_fork[line.forks[end]] if other != number]
            if len(arms) == 2 and all(arm @ onward > STRAIGHT_ON for arm in arms):
                sines.append(float(np.sqrt(max(0.0, 0.5 - 0.5 * float(arms[0] @ arms[1])))))
        if len(sines) == 2 and length <= SLACK * 2 * line.half_width_px / max(sum(sines) / 2, NARROWEST_SINE):
            twice += length
    return twice


def gaps_bridged(lines: Sequence[Line], longest_px: float) -> list[Lanes]:
    """The gaps over which two free ends face each other: a grain, a rim or a bright spot hides what is between.

    Parameters
    ----------
    lines : Line(points_px, forks, half_width_px), all of a picture
    longest_px : no wider gap is bridged. [px], above 0

    Returns
    -------
    list of the two ends of each gap, (row, column) a row. [px]

    Raises
    ------
    Nothing.

    Notes
    -----
    The nearest first; an end is used once. Both ends must look at each other within 30 degrees, or be less than a
    width apart.

    References
    ----------
    JUDGEMENT: what goes on straight beyond a grain is one line.

    Examples
    --------
    >>> one, other = np.array([[5.0, 0.0], [5.0, 20.0]]), np.array([[6.0, 26.0], [6.0, 50.0]])
    >>> len(gaps_bridged([Line(one, (-1, -1), 2.0), Line(other, (-1, -1), 2.0)], 10.0))
    1
    """
    ends = [(number, line.points_px[-end], _heading(line, end), line.half_width_px)
            for number, line in enumerate(lines) for end in (0, 1) if line.forks[end] == OPEN]
    if not ends:
        return []
    near = []
    for one, other in cKDTree([place for _, place, _, _ in ends]).query_pairs(longest_px):
        (number, here, heading, width), there = ends[one], ends[other]
        gap = there[1] - here
        length = float(np.hypot(*gap))
        faces = min(heading @ gap, -(there[2] @ gap)) > FACING * length
        if there[0] != number and (faces or (length < width and heading @ there[2] < -FACING)):
            near.append((length, one, other))
    bridged, used = [], set[int]()
    for _, one, other in sorted(near):
        if not {one, other} & used:
            used |= {one, other}
            bridged.append(np.array([ends[one][1], ends[other][1]]))
    return bridged
