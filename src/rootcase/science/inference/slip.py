"""The chance that a value is another one mistyped: read on the wrong scale, or with the wrong face of the tape."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rootcase.ground.errors import require_range

SLIP_BEFOREHAND = 0.02
"""JUDGEMENT: one entry in fifty is a slip, before anything is known of its value."""
ASK_OVER = 0.2
"""JUDGEMENT: a person is asked where one entry in five or more of such entries would be a slip."""


def chance_of_slip(log_ratio: ArrayLike, log_factors: ArrayLike, log_spread: ArrayLike,
                   beforehand: float = SLIP_BEFOREHAND) -> NDArray[np.float64]:
    """How likely is each way a value may have been mistyped, once it is held against what was to be expected?

    Parameters
    ----------
    log_ratio : (...), natural log of the value over what was to be expected. -50 to 50
    log_factors : (slips,), natural log of what each slip multiplies a right value by. -20 to 20, none 0
    log_spread : scalar or (...), standard deviation of that ratio among right values. 0.001 to 10
    beforehand : chance of any slip before the value is looked at, shared evenly by the slips. 0 to 1

    Returns
    -------
    (..., slips). [chance of each slip; what is left to 1 is the chance that the value is right]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Bayes' rule with a normal log ratio: centre 0 for a right value, the slip's log factor for a slipped one, the same
    spread for both. A slip that nobody thought of is not among the choices, so far from every choice the nearest one
    takes all; a ratio several spreads from each of them says another thing is wrong.

    References
    ----------
    Bayes' rule: textbook (memory). Beforehand 2 %, asked over 20 %: JUDGEMENT.

    Examples
    --------
    A trunk of 14 cm where 14 in stood: read in inches. Half way between, nobody can say, and the slip is the rarer.

    >>> half = np.log(2.54) / 2
    >>> chance_of_slip([-2 * half, -half, 0.0], [-2 * half], 0.2).round(3).tolist()
    [[0.999], [0.02], [0.0]]
    """
    require_range("log_ratio", log_ratio, -50.0, 50.0, "")
    require_range("log_factors", np.abs(log_factors), 1e-6, 20.0, "")
    require_range("log_spread", log_spread, 0.001, 10.0, "")
    require_range("beforehand", beforehand, 0.0, 1.0, "")
    ratio, spread = np.broadcast_arrays(np.asarray(log_ratio, float), np.asarray(log_spread, float))
    factors = np.atleast_1d(np.asarray(log_factors, float))
    centres = np.concatenate([[0.0], factors])
    prior = np.concatenate([[1.0 - beforehand], np.full(factors.size, beforehand / factors.size)])
    with np.errstate(divide="ignore"):  # what was impossible beforehand stays so
        logs = np.log(prior) - ((ratio[..., None] - centres) / spread[..., None]) ** 2 / 2.0
    weights = np.exp(logs - logs.max(axis=-1, keepdims=True))
    chances: NDArray[np.float64] = weights[..., 1:] / weights.sum(axis=-1, keepdims=True)
    return chances
