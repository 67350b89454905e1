"""A flat thing seen aslant: where a point of the one plane lies in the other."""

from __future__ import annotations

import numpy as np

from rootcase.ground.errors import OutOfRange
from rootcase.ground.words import say
from rootcase.science.lanes import Lanes, Numbers

LEAST_POINTS = 4
FLATTEST = 1e-9
"""Points on one line leave more than one answer: the second smallest singular value over the largest. [-] JUDGEMENT"""


def homography(seen: Numbers, meant: Numbers) -> Lanes:
    """Which projective map takes points of one plane to those of another?

    Parameters
    ----------
    seen : (x, y) a row, four or more, not all but one on one line. [any]
    meant : where each of them belongs, in the same order. [any]

    Returns
    -------
    3 x 3 matrix that takes (x, y, 1) to (x, y, 1) times a factor. [-]

    Raises
    ------
    OutOfRange : fewer than four points, or all but one on one line.

    Notes
    -----
    The direct linear transform with both sets of points brought to their middle and to a mean distance of the square
    root of 2; with more than four points the squares of the algebraic errors are least.

    References
    ----------
    Hartley and Zisserman 2004, Multiple View Geometry in Computer Vision, 2nd ed., algorithm 4.2; Hartley 1997, In
    defense of the eight-point algorithm, IEEE Trans. Pattern Anal. 19:580-593 (memory).

    Examples
    --------
    >>> square = [(0, 0), (1, 0), (1, 1), (0, 1)]
    >>> mapped(homography(square, [(0, 0), (2, 0), (2, 2), (0, 2)]), [(0.5, 0.25)]).round(6).tolist()
    [[1.0, 0.5]]
    """
    first, second = np.asarray(seen, np.float64), np.asarray(meant, np.float64)
    if len(first) < LEAST_POINTS or first.shape != second.shape:
        raise OutOfRange(say("photo.few_points"), value=str(len(first)), right=say("photo.right_points"))
    (near, to_near), (far, to_far) = _centered(first), _centered(second)
    ones, zeros = np.column_stack([near, np.ones(len(near))]), np.zeros((len(near), 3))
    rows = np.concatenate([np.hstack([ones, zeros, -far[:, :1] * ones]), np.hstack([zeros, ones, -far[:, 1:] * ones])])
    strengths, ways = np.linalg.svd(rows)[1:]
    if strengths[7] < FLATTEST * strengths[0]:
        raise OutOfRange(say("photo.points_in_line"), right=say("photo.right_points"))
    found = np.linalg.inv(to_far) @ ways[-1].reshape(3, 3) @ to_near
    return np.asarray(found / found[2, 2])


def _centered(points: Lanes) -> tuple[Lanes, Lanes]:
    """The points about their middle at a mean distance of the root of 2, and the matrix that brings them there."""
    middle = points.mean(axis=0)
    factor = np.sqrt(2.0) / max(float(np.hypot(*(points - middle).T).mean()), 1e-12)
    return (points - middle) * factor, np.array([[factor, 0, -factor * middle[0]], [0, factor, -factor * middle[1]],
                                                 [0, 0, 1]])


def mapped(matrix: Numbers, points: Numbers) -> Lanes:
    """Where do points come to lie by a projective map?

    Parameters
    ----------
    matrix : 3 x 3, as `homography` gives it. [-]
    points : (x, y) a row. [any]

    Returns
    -------
    (x, y) a row, in the same order. [any]

    Raises
    ------
    Nothing.

    Notes
    -----
    A point on the map's line at infinity comes back as infinite or as no number.

    References
    ----------
    Hartley and Zisserman 2004, Multiple View Geometry in Computer Vision, 2nd ed., chapter 2 (memory).

    Examples
    --------
    >>> mapped([[1, 0, 3], [0, 1, 0], [0, 0, 1]], [(2, 5)]).tolist()
    [[5.0, 5.0]]
    """
    places = np.asarray(points, np.float64)
    made = np.column_stack([places, np.ones(len(places))]) @ np.asarray(matrix, np.float64).T
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(made[:, :2] / made[:, 2:])
