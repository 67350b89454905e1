"""What a picture stores of light, and the light itself."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike


def linear_light(stored: ArrayLike) -> Any:
    """How much light does a stored value of a picture or a color stand for?

    Parameters
    ----------
    stored : values of sRGB over the largest, one or an array of any shape. [-], 0 to 1

    Returns
    -------
    same shape and precision. [-], 0 to 1

    Raises
    ------
    Nothing.

    Notes
    -----
    Phones bend the curve as they like; what matters in that stands where a picture is measured.

    References
    ----------
    IEC 61966-2-1 (sRGB) (memory).

    Examples
    --------
    >>> [round(float(each), 4) for each in linear_light([0.0, 0.02, 0.5, 1.0])]
    [0.0, 0.0015, 0.214, 1.0]
    """
    values = np.asarray(stored)
    return np.where(values <= 0.04045, values / 12.92, ((values + 0.055) / 1.055) ** 2.4)
