"""How likely a figure that is not sure lies on one side of a limit."""

from __future__ import annotations

from math import erf, inf, sqrt

from rootcase.ground.errors import require_range

NINE_IN_TEN = 1.6448536269514722
"""Standard errors to each side of the middle that hold nine in ten of a normal error."""


def chance_within(figure: float, error: float, low: float = -inf, high: float = inf) -> float:
    """The chance that what is told by a figure with an error lies between two limits.

    Parameters
    ----------
    figure : what is told. [unit]
    error : its standard error. [unit], 0 and more
    low : of the limits. [unit]
    high : of the limits. [unit]

    Returns
    -------
    0 to 1; dimensionless. Without an error 1 between the limits and 0 outside or on them.

    Raises
    ------
    OutOfRange : the error is below 0.

    Notes
    -----
    Errors spread as the normal curve does. Rain does not, so its chance is a rough one.

    References
    ----------
    Normal distribution (computed).

    Examples
    --------
    >>> round(chance_within(8.0, 2.0, low=6.0), 4), chance_within(6.0, 0.0, low=6.0)
    (0.8413, 0.0)
    """
    require_range("error", error, 0.0, inf, "")
    if error == 0.0:
        return float(low < figure < high)

    def below(limit: float) -> float:
        return 0.5 * (1.0 + erf((limit - figure) / (error * sqrt(2.0))))

    return below(high) - below(low)
