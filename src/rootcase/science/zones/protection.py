"""How far from the trunk the ground is kept from harm."""

from __future__ import annotations

import numpy as np

from rootcase.ground.errors import OutOfRange
from rootcase.science.circle import circle_of_several
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

MOST_STEM_M = 9.0
FEWEST_STEMS, MOST_STEMS = 2, 5


def combined_stem_m(stem_diameters_m: Numbers) -> Lanes:
    """What one stem would count as much as the two to five of a tree.

    Parameters
    ----------
    stem_diameters_m : stems along the last axis. [m], 0 to 9

    Returns
    -------
    one for each tree. [m]

    Raises
    ------
    OutOfRange : a diameter leaves its range, or the tree has not two to five stems.

    Notes
    -----
    The root of the sum of squares, so that basal area is kept. The source has another rule for more than five stems,
    which is not here.

    References
    ----------
    BS 5837:2012, Trees in relation to design, demolition and construction (seen in summaries on the web; the standard
    not read).

    Examples
    --------
    >>> round(float(combined_stem_m([0.3, 0.4])), 9)
    0.5
    """
    stems = np.atleast_1d(within("stem_diameters_m", stem_diameters_m, 0.0, MOST_STEM_M, "m"))
    if not FEWEST_STEMS <= stems.shape[-1] <= MOST_STEMS:
        raise OutOfRange("the rule is for two to five stems", value=f"{stems.shape[-1]} stems",
                         right="one stem is taken as it is; for more than five read the standard")
    return circle_of_several(stems)


def protection_radius_m(stem_diameter_m: Numbers, rule: str) -> Lanes:
    """How far from the trunk a rule keeps the ground from harm.

    Parameters
    ----------
    stem_diameter_m : scalar or one per lane, where the rule measures it: 1.37 m up, under BS 5837 1.5 m. [m], 0 to 9
    rule : "foot_per_inch", "foot_and_half_per_inch" or "bs_5837"

    Returns
    -------
    same shape. [m]

    Raises
    ------
    OutOfRange : the diameter leaves its range.
    Missing : no such rule.

    Notes
    -----
    A foot for an inch and twelve diameters are the same rule; BS 5837 caps it at 15 m. The zone is to be protected
    and is no measure of where roots end or where to treat. The code of the place and its arborist's order go before
    any of them.

    References
    ----------
    Table zones/protection_rules, a source each row.

    Examples
    --------
    >>> [float(m) for m in protection_radius_m([0.5, 1.5], "bs_5837")]
    [6.0, 15.0]
    """
    row = table("zones/protection_rules").row(rule=rule)
    radius = row["radius_per_diameter"] * within("stem_diameter_m", stem_diameter_m, 0.0, MOST_STEM_M, "m")
    return np.asarray(np.minimum(radius, np.inf if row["most_radius_m"] is None else row["most_radius_m"]))
