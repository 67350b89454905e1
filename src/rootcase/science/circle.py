"""Circles and rings, whatever is round: fields of a microscope, cups, rings in the ground, crowns, hyphae."""

from __future__ import annotations

from math import acos, pi, sqrt

import numpy as np

from rootcase.science.lanes import Lanes, Numbers


def ring_in_unit_circles(outer_radius: Numbers, inner_radius: Numbers) -> Lanes:
    """How large is a ring, in circles of radius one?

    Parameters
    ----------
    outer_radius, inner_radius : scalar or one per lane. [unit]

    Returns
    -------
    same shape. [square of the unit]

    Raises
    ------
    ValueError : shapes that do not go together.

    Notes
    -----
    Enough where rings of one round place are weighed against each other.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> float(ring_in_unit_circles(3.0, 1.0))
    8.0
    """
    return np.square(np.asarray(outer_radius, dtype=np.float64)) - np.square(np.asarray(inner_radius, dtype=np.float64))


def ring_area(outer_radius: Numbers, inner_radius: Numbers) -> Lanes:
    """How much lies between two circles of one middle?

    Parameters
    ----------
    outer_radius, inner_radius : scalar or one per lane. [unit]

    Returns
    -------
    same shape. [square of the unit]

    Raises
    ------
    ValueError : shapes that do not go together.

    Notes
    -----
    Ranges are held by who asks.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> round(float(ring_area(2.0, 1.0)), 3)
    9.425
    """
    return np.asarray(np.pi * ring_in_unit_circles(outer_radius, inner_radius))


def circle_area(diameter: Numbers) -> Lanes:
    """How much lies inside a circle?

    Parameters
    ----------
    diameter : scalar or one per lane. [unit]

    Returns
    -------
    same shape. [square of the unit]

    Raises
    ------
    ValueError : no number.

    Notes
    -----
    Ranges are held by who asks.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> round(float(circle_area(2.0)), 4)
    3.1416
    """
    return ring_area(np.asarray(diameter, dtype=np.float64) / 2.0, 0.0)


def circle_radius(area: Numbers) -> Lanes:
    """How far does a circle of this area reach from its middle?

    Parameters
    ----------
    area : scalar or one per lane. [square of a unit]

    Returns
    -------
    same shape. [the unit]

    Raises
    ------
    ValueError : no number.

    Notes
    -----
    Ranges are held by who asks.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> round(float(circle_radius(50.0)), 3)
    3.989
    """
    return np.asarray(np.sqrt(np.asarray(area, dtype=np.float64) / np.pi))


def depth_in_circle_mm(volume_ml: Numbers, diameter_mm: Numbers) -> Lanes:
    """How deep does a volume stand over a circle: in a ring, in a cup with straight sides?

    Parameters
    ----------
    volume_ml : scalar or one per lane. [mL]
    diameter_mm : same shape, above 0. [mm]

    Returns
    -------
    same shape. [mm]

    Raises
    ------
    ValueError : shapes that do not go together.

    Notes
    -----
    Ranges are held by who asks.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> round(float(depth_in_circle_mm(463.33, 152.4)), 2)
    25.4
    """
    return np.asarray(1000.0 * np.asarray(volume_ml, dtype=np.float64) / circle_area(diameter_mm))


def circle_of_several(diameters: Numbers) -> Lanes:
    """How wide is one circle that holds as much as several?

    Parameters
    ----------
    diameters : along the last axis. [unit]

    Returns
    -------
    one for each row. [unit]

    Raises
    ------
    ValueError : no number.

    Notes
    -----
    The root of the sum of squares: areas are added.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> float(circle_of_several([3.0, 4.0]))
    5.0
    """
    return np.asarray(np.sqrt(np.sum(np.asarray(diameters, dtype=np.float64) ** 2, axis=-1)))


def diameter_of_girth(girth: Numbers) -> Lanes:
    """How thick is what was taped round?

    Parameters
    ----------
    girth : scalar or one per lane. [unit]

    Returns
    -------
    same shape. [unit]

    Raises
    ------
    ValueError : no number.

    Notes
    -----
    A trunk is no circle: a tape round it reads high, and never low.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> round(float(diameter_of_girth(1.0)), 4)
    0.3183
    """
    return np.asarray(np.asarray(girth, dtype=np.float64) / np.pi)


def share_beyond_edge(away: float, radius: float) -> float:
    """What share of a circle lies beyond a straight edge, where its middle does?

    Parameters
    ----------
    away : how far beyond the edge the middle is; 0 and less: it is not beyond. [unit]
    radius : above 0. [unit]

    Returns
    -------
    a half to 1, and 0 where the middle is not beyond. [-]

    Raises
    ------
    ZeroDivisionError : no radius.

    Notes
    -----
    A circle whose middle is not beyond the edge counts as not beyond it at all.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> share_beyond_edge(0.0, 5.0), share_beyond_edge(5.0, 5.0), round(share_beyond_edge(1e-9, 5.0), 3)
    (0.0, 1.0, 0.5)
    """
    if away <= 0.0:
        return 0.0
    part = min(away / radius, 1.0)
    return 1.0 - (acos(part) - part * sqrt(1.0 - part * part)) / pi
