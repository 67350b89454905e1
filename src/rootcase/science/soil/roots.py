"""How deep the roots of a kind of vegetation go where nothing stops them."""

from __future__ import annotations

from typing import NamedTuple

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.soil.by_class import Names, figures_by_name


class DeepestRoots(NamedTuple):
    """Mean of the deepest roots found and the doubt printed with it [m]."""

    deepest_m: Lanes
    plus_minus_m: Lanes


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


def deepest_roots(vegetation: Names) -> DeepestRoots:
    """How deep the deepest roots under a vegetation went.

    Parameters
    ----------
    vegetation : name or one per lane, as in the table soil/root_max_depth, such as "temperate_deciduous_forest"

    Returns
    -------
    DeepestRoots(deepest_m, plus_minus_m). [m]

    Raises
    ------
    Missing : the table has no such vegetation.

    Notes
    -----
    Extremes of what anyone has dug up, not a depth to work with: most roots stand far above, see `root_share_above`.
    The abstract does not say what its plus-minus is.

    References
    ----------
    Canadell and others 1996, Maximum rooting depth of vegetation types at the global scale, Oecologia 108:583-595
    (abstract seen).

    Examples
    --------
    >>> [float(part) for part in deepest_roots("temperate_deciduous_forest")]
    [2.9, 0.2]
    """
    return DeepestRoots(*figures_by_name("soil/root_max_depth", "vegetation", vegetation, DeepestRoots._fields))
