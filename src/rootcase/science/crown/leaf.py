"""Leaves: area from length and width, and the index of how dark green a picture shows them."""

from __future__ import annotations

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within


def leaf_area_m2(length_m: Numbers, width_m: Numbers, shape: Numbers) -> Lanes:
    """How large is a leaf, from its length, its width and the factor of its shape?

    Parameters
    ----------
    length_m : blade without stalk; scalar or one per lane. [m], 0 to 2
    width_m : same shape, at the widest. [m], 0 to 2
    shape : same shape, area over length times width: 0.5 a triangle, 0.785 an ellipse. [1], 0.2 to 1

    Returns
    -------
    same shape. [m2]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    A lobed leaf has a factor of its own: trace 20 to 30 leaves of the kind once.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> round(float(leaf_area_m2(0.10, 0.05, 0.5)), 6)
    0.0025
    """
    return np.asarray(within("length_m", length_m, 0.0, 2.0, "m") * within("width_m", width_m, 0.0, 2.0, "m")
                      * within("shape", shape, 0.2, 1.0, ""))


def dark_green_index(hue_deg: Numbers, saturation: Numbers, brightness: Numbers) -> Lanes:
    """How dark green is a leaf in a picture, from 0 to 1?

    Parameters
    ----------
    hue_deg : scalar or one per lane; outside the range is no green leaf. [degree], 60 to 180
    saturation : same shape. [1], 0 to 1
    brightness : same shape. [1], 0 to 1

    Returns
    -------
    same shape, larger is darker green. [1]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Not for red-leaved and variegated kinds. Without a color card in the picture only leaves of one picture compare. It
    does not say which nutrient is short.

    References
    ----------
    Karcher and Richardson 2003, Crop Sci. 43:943-951 (memory).

    Examples
    --------
    >>> round(float(dark_green_index(100.0, 0.54545, 0.43137)), 4)
    0.5633
    """
    hue = (within("hue_deg", hue_deg, 60.0, 180.0, "degree") - 60.0) / 60.0
    return np.asarray((hue + 1.0 - within("saturation", saturation, 0.0, 1.0, "")
                       + 1.0 - within("brightness", brightness, 0.0, 1.0, "")) / 3.0)
