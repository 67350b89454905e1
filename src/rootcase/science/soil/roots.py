"""How deep the roots of a kind of vegetation go where nothing stops them."""

from __future__ import annotations

from rootcase.science.lanes import Lanes, Numbers, within


def root_share_above(beta: Numbers, depth_m: Numbers) -> Lanes:
    """What share of all roots stands above a depth.

    Parameters
    ----------
    beta : scalar or one per lane; nearer 1 is deeper. [-], 0.5 to 0.999; see the table soil/root_curves
    depth_m : same shape. [m], 0 to 10

    Returns
    -------
    same shape. [-], 0 to 1

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes Y = 1 - beta^d with d in cm. No departure from it.

    References
    ----------
    Gale and Grigal 1987, Vertical root distributions of northern tree species in relation to successional status,
    Can. J. For. Res. 17:829-834; Jackson and others 1996, A global analysis of root distributions for terrestrial
    biomes, Oecologia 108:389-411 (abstract of the latter seen, the rest memory).

    Examples
    --------
    >>> round(float(root_share_above(0.966, 0.30)), 3)
    0.646
    """
    depth_cm = 100.0 * within("depth_m", depth_m, 0.0, 10.0, "m")
    share: Lanes = 1.0 - within("beta", beta, 0.5, 0.999, "") ** depth_cm
    return share
