"""Water that roots can draw on."""

from __future__ import annotations

from rootcase.ground.errors import require_order
from rootcase.science.lanes import Lanes, Numbers, within

MM_PER_M = 1000.0


def total_available_water_mm(field_capacity: Numbers, wilting_point: Numbers, root_depth_m: Numbers) -> Lanes:
    """Water roots can draw on, from field capacity down to the wilting point.

    Parameters
    ----------
    field_capacity : scalar or one per lane. [m3 m-3], 0 to 1
    wilting_point : same shape. [m3 m-3], below field_capacity
    root_depth_m : same shape. [m], 0 to 10

    Returns
    -------
    same shape. [mm]

    Raises
    ------
    OutOfRange : a value leaves its range, or the wilting point is not below field capacity.

    Notes
    -----
    The source writes TAW, theta_FC, theta_WP and Z_r. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 82
    (memory; its Example 36 seen).

    Examples
    --------
    >>> round(float(total_available_water_mm(0.15, 0.06, 0.4)), 9)
    36.0
    """
    full = within("field_capacity", field_capacity, 0.0, 1.0, "m3/m3")
    dry = within("wilting_point", wilting_point, 0.0, 1.0, "m3/m3")
    require_order("wilting_point", dry, "field_capacity", full, "m3/m3")
    return MM_PER_M * (full - dry) * within("root_depth_m", root_depth_m, 0.0, 10.0, "m")
