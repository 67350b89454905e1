"""Means and scatter of a few figures, whatever they are of."""

from __future__ import annotations

import numpy as np

from rootcase.science.lanes import Numbers


def geometric_mean(values: Numbers) -> float:
    """What is the middle of figures that differ by factors?

    Parameters
    ----------
    values : one or more, each above 0. [unit]

    Returns
    -------
    one number. [unit]

    Raises
    ------
    ValueError : no number.

    Notes
    -----
    0 where one of them is 0.

    References
    ----------
    A definition (computed).

    Examples
    --------
    >>> round(geometric_mean([1.0, 10.0, 100.0]), 9)
    10.0
    """
    return float(np.exp(np.mean(np.log(values))))


def variation_pct(values: Numbers) -> float:
    """How far do figures stray from each other, over their mean?

    Parameters
    ----------
    values : two or more, their mean above 0. [unit]

    Returns
    -------
    one number. [%]

    Raises
    ------
    ValueError : no number.

    Notes
    -----
    The standard deviation of a sample.

    References
    ----------
    A definition (computed).

    Examples
    --------
    >>> round(variation_pct([8.0, 10.0, 12.0]), 9)
    20.0
    """
    lanes = np.asarray(values, dtype=np.float64)
    return 100.0 * float(lanes.std(ddof=1)) / float(lanes.mean())
