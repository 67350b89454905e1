"""How dense a soil of its texture may be before roots mind, and the air it leaves them."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.ground.errors import require_range
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.soil.by_class import Between, Names, figures_by_name
from rootcase.science.soil.porosity import total_porosity
from rootcase.science.soil.texture import texture_class_without_silt
from rootcase.tables.load import table


class DensityLimits(NamedTuple):
    """Bulk densities [Mg m-3]: ideal below the first, roots may mind at the second, stopped above the third."""

    ideal: Lanes
    may_affect: Lanes
    restricts: Lanes


def density_limits(sand: Numbers, clay: Numbers) -> DensityLimits:
    """Up to which bulk density roots grow freely, and above which they do not.

    Parameters
    ----------
    sand : scalar or one per lane. [kg kg-1], 0 to 1
    clay : same shape. [kg kg-1], 0 to 1

    Returns
    -------
    DensityLimits(ideal, may_affect, restricts). [Mg m-3]

    Raises
    ------
    OutOfRange : a share leaves 0 to 1, or the two are more than the whole.

    Notes
    -----
    The source names texture classes; loam and silt loam stand in two of its rows. Where more than one row fits,
    the one with the lower "restricts" is taken. Clay loam is split at 35 % clay as the source has it; a soil of
    just 35 %, the middle of its class, is a plain clay loam, or that row would hold no usual one. The row for 35 to
    45 % clay takes clays of 40 to 45 % too, which it calls clay loams, for its last row begins above 45 %.

    References
    ----------
    USDA Natural Resources Conservation Service, Soil Quality Test Kit Guide, bulk density table (seen in a copy
    in a state's stormwater manual); choice between rows: JUDGEMENT.

    Examples
    --------
    >>> [float(x) for x in density_limits(0.40, 0.20)]
    [1.4, 1.6, 1.75]
    """
    sand = within("sand", sand, 0.0, 1.0, "")
    clay = within("clay", clay, 0.0, 1.0, "")
    require_range("sand plus clay", sand + clay, 0.0, 1.0 + 1e-9, "")
    texture = texture_class_without_silt(sand, clay)
    chosen = np.full((3, *np.shape(texture)), np.inf)
    for row in table("soil/density_nrcs").rows:
        over = (clay > row["clay_from"]) | (row["clay_from"] == 0.0)
        fits = (texture == row["texture"]) & over & (clay <= row["clay_to"])
        limits = np.array([row["ideal_mg_m3"], row["may_affect_mg_m3"], row["restricts_mg_m3"]], dtype=np.float64)
        chosen = np.where(fits & (limits[2] < chosen[2]), limits.reshape(3, *[1] * np.ndim(texture)), chosen)
    return DensityLimits(*chosen)


def tree_density_limits(texture: Names) -> Between:
    """From which bulk density tree roots are limited, by the list made for urban trees.

    Parameters
    ----------
    texture : name of a class or one per lane, as `texture_class` gives it

    Returns
    -------
    Between(low, high); high is infinite for the sands, where the source prints only "over". [Mg m-3]

    Raises
    ------
    Missing : there is no such class.

    Notes
    -----
    A second source beside `density_limits`: stricter for loam (1.45 to 1.60 against 1.75), looser at its upper end
    for clay (1.55 against 1.47). They stay apart; say which one a figure comes from.

    References
    ----------
    University of Florida, Institute of Food and Agricultural Sciences, Critical bulk density values, after Harris
    1990 and Morris and Lowery 1988: table soil/density_trees (seen; the works behind it not read).

    Examples
    --------
    >>> [float(end) for end in tree_density_limits("loam")]
    [1.45, 1.6]
    """
    return Between(*figures_by_name("soil/density_trees", "texture", texture, ("low_mg_m3", "high_mg_m3")))


def air_filled_porosity(bulk_density_mg_m3: Numbers, water_content: Numbers) -> Lanes:
    """The share of a soil's volume that holds air when it holds so much water.

    Parameters
    ----------
    bulk_density_mg_m3 : scalar or one per lane. [Mg m-3], 0 to 2.65
    water_content : same shape. [m3 m-3], 0 to the porosity

    Returns
    -------
    same shape. [m3 m-3]

    Raises
    ------
    OutOfRange : a value leaves its range, or the soil cannot hold that much water.

    Notes
    -----
    Total porosity less water content.

    References
    ----------
    Grable and Siemer 1968, Soil Sci. Soc. Am. Proc. 32:180-186, who set 0.10 as what roots need (memory).

    Examples
    --------
    >>> round(float(air_filled_porosity(1.60, 0.28)), 3)
    0.116
    """
    porosity = total_porosity(bulk_density_mg_m3)
    water = within("water_content", water_content, 0.0, 1.0, "m3/m3")
    return within("what water leaves for air", porosity - water, 0.0, 1.0, "m3/m3")
