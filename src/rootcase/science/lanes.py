"""What every formula takes and gives: a number, or an array with one number for each lane."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rootcase.ground.errors import require_range

Numbers = ArrayLike
Lanes = NDArray[np.float64]


def within(name: str, values: Numbers, low: float, high: float, unit: str) -> Lanes:
    """Are all values inside the range a formula is good for? Gives them back as floats.

    Parameters
    ----------
    name : how the value is called in the message
    values : scalar or one per lane. [unit]
    low, high : the range, ends included. [unit]
    unit : the unit in the message; "" for none

    Returns
    -------
    array of floats of the same shape. [unit]

    Raises
    ------
    OutOfRange : a value leaves the range, or is not a number.

    Notes
    -----
    A missing value (NaN) raises as well: a formula never turns "not known" into a number.

    References
    ----------
    JUDGEMENT: a rule of this house.

    Examples
    --------
    >>> float(within("depth", 0.3, 0.0, 2.0, "m"))
    0.3
    """
    require_range(name, values, low, high, unit)
    return np.asarray(values, dtype=np.float64)
