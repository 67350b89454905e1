"""What trials say of a treatment, carried to a tree that was in none of them."""

from __future__ import annotations

from math import log

import numpy as np

from rootcase.ground.errors import require_range
from rootcase.science.trials.cells import Floats

LEAST_PROMISED = 0.01
"""A promise under one percent says too little for trees to be sized by. JUDGEMENT."""
MOST_TIMES = 2.0
"""How much more than at the trees of the trials a treatment may do elsewhere; beyond that nobody looked. JUDGEMENT."""


def log_ratio(with_it: float, without: float) -> float:
    """How much more grows with a treatment than without, as the analysis of a trial counts it.

    Parameters
    ----------
    with_it : growth with it, above 0. [any unit]
    without : growth without it, above 0. [its unit]

    Returns
    -------
    Log ratio. [-]

    Raises
    ------
    OutOfRange : a growth that is not above 0.

    Notes
    -----
    None.

    References
    ----------
    None: arithmetic (computed).

    Examples
    --------
    >>> round(log_ratio(0.6, 0.5), 3)
    0.182
    """
    require_range("growth with it", with_it, 1e-9, 1e9, "")
    require_range("growth without it", without, 1e-9, 1e9, "")
    return log(with_it / without)


def size_here(expected: float, promised: float | None) -> float | None:
    """How many times the effect at the trees of the trials a treatment is to have at this tree.

    Parameters
    ----------
    expected : what the model expects here, log ratio. [-]
    promised : what it had promised at the trees of the trials, log ratio; None: nothing that is known. [-]

    Returns
    -------
    Share of the trials' effect, above 0 and at most MOST_TIMES; 1 where nothing to speak of was promised there; None
    where the model expects no gain here, so that the trials, which stood where it did, say nothing of such a tree. [-]

    Raises
    ------
    Nothing.

    Notes
    -----
    The trials say how large the effect is, the model only how trees differ in it.

    References
    ----------
    JUDGEMENT; docs/decisions/0008-trials-replace-the-handbook.md.

    Examples
    --------
    >>> size_here(0.10, 0.20), size_here(0.9, 0.1), size_here(0.02, None), size_here(-0.01, 0.2)
    (0.5, 2.0, 1.0, None)
    """
    if promised is None or promised < LEAST_PROMISED:
        return 1.0
    return min(expected / promised, MOST_TIMES) if expected > 0.0 else None


def growth_times(mean: float, sd: float, size: float, normals: Floats) -> Floats:
    """What growth is multiplied by under a treatment, drawn from what trials say of it.

    Parameters
    ----------
    mean : of the log ratio at the trees of the trials. [-]
    sd : of that at the next property, >= 0. [-]
    size : how many times that effect it has here, >= 0. [-]
    normals : (n,) standard normal draws. [-]

    Returns
    -------
    (n,) factors, above 0. [-]

    Raises
    ------
    OutOfRange : an argument outside its range.

    Notes
    -----
    On the log scale, as the trials were read.

    References
    ----------
    None: arithmetic (computed).

    Examples
    --------
    >>> growth_times(0.2, 0.1, 0.5, np.array([-1.0, 0.0, 1.0])).round(3).tolist()
    [1.051, 1.105, 1.162]
    """
    require_range("effect in trials", mean, -5.0, 5.0, "")
    require_range("spread of the effect", sd, 0.0, 5.0, "")
    require_range("size of the effect here", size, 0.0, 10.0, "")
    return np.asarray(np.exp(size * (mean + sd * normals)))
