"""How much of the ground round a tree is hard, by pacing it, and what that goes with."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

MOST_STEPS = 10_000.0


def paved_share_pct(steps_on_hard: Numbers, steps: Numbers) -> Lanes:
    """How much of the ground round a tree is hard, by pacing?

    Parameters
    ----------
    steps_on_hard : that fell on paving or a building; scalar or one per lane. [-], 0 to 10,000
    steps : same shape, all. [-], 1 to 10,000

    Returns
    -------
    same shape. [%]

    Raises
    ------
    OutOfRange : a value leaves its range, or more fell on hard ground than were taken.

    Notes
    -----
    Four lines of 25 steps from the trunk in the shape of an X, at 45 degrees to the nearest hard edge: 100 steps.

    References
    ----------
    The pacing method of Dale, Frank and others, as table zones/paved_share (seen: two pages).

    Examples
    --------
    >>> float(paved_share_pct(41, 100))
    41.0
    """
    share = within("steps_on_hard", steps_on_hard, 0.0, MOST_STEPS, "") / within("steps", steps, 1.0, MOST_STEPS, "")
    return np.asarray(100.0 * within("share of steps on hard ground", share, 0.0, 1.0, ""))


def red_maple_by_paving(hard_pct: Numbers) -> NDArray[np.str_]:
    """What is a red maple by the street mostly like, by how much of the ground round it is hard?

    Parameters
    ----------
    hard_pct : share of hard ground within 25 m, as `paved_share_pct`; scalar or one per lane. [%], 0 to 100

    Returns
    -------
    same shape: "good to excellent", "fair", "fair or poor" or "poor".

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Red maple in Raleigh, with a scale insect that warmth favors; of no other kind and no other place. Two pages on it
    end "fair" at 62 and at 66 %: between them both words stand. It helps to choose a kind for a site and says nothing
    about one tree.

    References
    ----------
    Table zones/paved_share.

    Examples
    --------
    >>> red_maple_by_paving([32.0, 33.0, 70.0]).tolist()
    ['good to excellent', 'fair', 'poor']
    """
    rows = table("zones/paved_share").rows
    place = np.searchsorted([row["to_pct"] for row in rows], within("hard_pct", hard_pct, 0.0, 100.0, "%"))
    return np.array([row["condition"] for row in rows])[place]
