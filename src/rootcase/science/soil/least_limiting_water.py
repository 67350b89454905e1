"""The water contents at which a soil neither starves roots of water or air nor holds them back by its strength."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.ground.errors import require_order
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.soil.porosity import total_porosity


class LeastLimitingWater(NamedTuple):
    """Ends of the range and its width [m3 m-3]; where the ends cross the width is 0."""

    lower: Lanes
    upper: Lanes
    width: Lanes


def least_limiting_water(
    bulk_density_mg_m3: Numbers, field_capacity: Numbers, wilting_point: Numbers, water_at_strength_limit: Numbers,
    least_air: Numbers
) -> LeastLimitingWater:
    """Between which water contents roots grow unhindered, and how wide that is.

    Parameters
    ----------
    bulk_density_mg_m3 : scalar or one per lane. [Mg m-3], 0.3 to 2.65
    field_capacity : same shape. [m3 m-3], 0 to 1
    wilting_point : same shape. [m3 m-3], 0 to 1
    water_at_strength_limit : same shape, below which the soil is too hard; see `water_at_strength`. [m3 m-3], 0 to 1
    least_air : same shape, air-filled porosity roots need. [m3 m-3], 0 to 0.5; the source takes 0.10

    Returns
    -------
    LeastLimitingWater(lower, upper, width). [m3 m-3]

    Raises
    ------
    OutOfRange : a value leaves its range, or the wilting point lies above field capacity.

    Notes
    -----
    The source writes LLWR: the drier of field capacity and porosity less 0.10, down to the wetter of the wilting point
    and the water at 2 MPa. Where neither strength nor air binds it is the available water. It never goes below 0.

    References
    ----------
    da Silva, Kay and Perfect 1994, Characterization of the least limiting water range of soils, Soil Sci. Soc. Am. J.
    58:1775-1781 (definition memory); 0.10 of air: Grable and Siemer 1968 (memory).

    Examples
    --------
    >>> [round(float(part), 3) for part in least_limiting_water(1.65, 0.30, 0.137, 0.20, 0.10)]
    [0.2, 0.277, 0.077]
    """
    pores = total_porosity(within("bulk_density_mg_m3", bulk_density_mg_m3, 0.3, 2.65, "Mg/m3"))
    aired = pores - within("least_air", least_air, 0.0, 0.5, "m3/m3")
    full = within("field_capacity", field_capacity, 0.0, 1.0, "m3/m3")
    dry = within("wilting_point", wilting_point, 0.0, 1.0, "m3/m3")
    require_order("wilting_point", dry, "field_capacity", np.nextafter(full, np.inf), "m3/m3")  # alike leaves no width
    upper = np.minimum(full, aired)
    lower = np.maximum(dry, within("water_at_strength_limit", water_at_strength_limit, 0.0, 1.0, "m3/m3"))
    return LeastLimitingWater(lower, upper, np.maximum(upper - lower, 0.0))
