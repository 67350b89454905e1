"""What of the rain a root zone can use: by the day, and by four rules for the month."""

from __future__ import annotations

import numpy as np

from rootcase.ground.units import convert
from rootcase.science.lanes import Lanes, Numbers, within

MM_PER_INCH = convert(1.0, "in", "mm")
MOST_RAIN_MM_DAY, MOST_RAIN_MM_MONTH = 2000.0, 10_000.0


def rain_that_counts_mm(rain_mm: Numbers, reference_mm: Numbers) -> Lanes:
    """The day's rain, unless it is so little that it dries before it wets roots.

    Parameters
    ----------
    rain_mm : scalar or one per lane, of the day. [mm], 0 to 2000
    reference_mm : same shape, reference evapotranspiration of the day. [mm], 0 to 30

    Returns
    -------
    same shape. [mm]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Rain below 0.2 ET_o counts as none.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, page 171
    (memory; the rule seen in quotation).

    Examples
    --------
    >>> rain_that_counts_mm([0.9, 1.0], 5.0).tolist()
    [0.0, 1.0]
    """
    rain = within("rain_mm", rain_mm, 0.0, MOST_RAIN_MM_DAY, "mm")
    return np.where(rain < 0.2 * within("reference_mm", reference_mm, 0.0, 30.0, "mm"), 0.0, rain)


def storage_factor_of_scs(usual_depletion_mm: Numbers) -> Lanes:
    """How the water a root zone takes up at a time changes the rain it can use.

    Parameters
    ----------
    usual_depletion_mm : scalar or one per lane, lost before it is refilled. [mm], 10 to 190

    Returns
    -------
    same shape. [-], 1 at 75 mm

    Raises
    ------
    OutOfRange : the depletion leaves its range.

    Notes
    -----
    The source writes SF and D, in inches.

    References
    ----------
    USDA Soil Conservation Service 1970, Irrigation water requirements, Technical Release 21; National Engineering
    Handbook 623, Chapter 2 (memory; that it gives 1.001 at 3 inches is computed).

    Examples
    --------
    >>> round(float(storage_factor_of_scs(76.2)), 4)
    1.0007
    """
    depth = within("usual_depletion_mm", usual_depletion_mm, 10.0, 190.0, "mm") / MM_PER_INCH
    return 0.531747 + 0.295164 * depth - 0.057697 * depth**2 + 0.003804 * depth**3


def effective_rain_of_scs_mm(rain_mm: Numbers, demand_mm: Numbers, usual_depletion_mm: Numbers) -> Lanes:
    """A month's useful rain by rain, demand and store: the US Soil Conservation Service's full equation.

    Parameters
    ----------
    rain_mm : scalar or one per lane, of the month. [mm], 0 to 10000
    demand_mm : same shape, evapotranspiration of the month. [mm], 0 to 500
    usual_depletion_mm : same shape, see `storage_factor_of_scs`. [mm], 10 to 190

    Returns
    -------
    same shape. [mm], never above rain or demand

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes P_e, P_t, ET_c and SF, in inches. No departure from it.

    References
    ----------
    USDA Soil Conservation Service 1970, Irrigation water requirements, Technical Release 21 (memory).

    Examples
    --------
    >>> round(float(effective_rain_of_scs_mm(76.2, 127.0, 76.2)), 1)
    55.1
    """
    rain = within("rain_mm", rain_mm, 0.0, MOST_RAIN_MM_MONTH, "mm")
    demand = within("demand_mm", demand_mm, 0.0, 500.0, "mm")
    useful = (storage_factor_of_scs(usual_depletion_mm)
              * (0.70917 * (rain / MM_PER_INCH) ** 0.82416 - 0.11556) * 10.0 ** (0.02426 * demand / MM_PER_INCH))
    return np.clip(useful * MM_PER_INCH, 0.0, np.minimum(rain, demand))


def effective_rain_of_scs_simplified_mm(rain_mm: Numbers) -> Lanes:
    """A month's useful rain by rain alone: the same service's equation as FAO's irrigation programs have it.

    Parameters
    ----------
    rain_mm : scalar or one per lane, of the month. [mm], 0 to 10000

    Returns
    -------
    same shape. [mm]

    Raises
    ------
    OutOfRange : the rain leaves its range.

    Notes
    -----
    P (125 - 0.2 P) / 125 up to 250 mm, 125 + 0.1 P above: the two meet at 250.

    References
    ----------
    Smith 1992, CROPWAT, a computer program for irrigation planning and management, FAO Irrigation and Drainage Paper 46
    (memory).

    Examples
    --------
    >>> effective_rain_of_scs_simplified_mm([100, 300]).tolist()
    [84.0, 155.0]
    """
    rain = within("rain_mm", rain_mm, 0.0, MOST_RAIN_MM_MONTH, "mm")
    return np.where(rain <= 250.0, rain * (125.0 - 0.2 * rain) / 125.0, 125.0 + 0.1 * rain)


def dependable_rain_of_fao_mm(rain_mm: Numbers) -> Lanes:
    """A month's rain one can count on in most years, by FAO's two lines that meet at 70 mm.

    Parameters
    ----------
    rain_mm : scalar or one per lane, of the month. [mm], 0 to 10000

    Returns
    -------
    same shape. [mm]

    Raises
    ------
    OutOfRange : the rain leaves its range.

    Notes
    -----
    0.6 P - 10 up to 70 mm, 0.8 P - 24 above, never below 0. FAO has printed another pair, see
    `dependable_rain_of_training_manual_mm`.

    References
    ----------
    Smith 1992, CROPWAT, FAO Irrigation and Drainage Paper 46 (memory; the lines seen in a ministry's sheet).

    Examples
    --------
    >>> dependable_rain_of_fao_mm([10, 70, 100]).tolist()
    [0.0, 32.0, 56.0]
    """
    rain = within("rain_mm", rain_mm, 0.0, MOST_RAIN_MM_MONTH, "mm")
    return np.maximum(np.where(rain <= 70.0, 0.6 * rain - 10.0, 0.8 * rain - 24.0), 0.0)


def dependable_rain_of_training_manual_mm(rain_mm: Numbers) -> Lanes:
    """A month's rain one can count on in most years, by FAO's training manual: the break at 75 mm.

    Parameters
    ----------
    rain_mm : scalar or one per lane, of the month. [mm], 0 to 10000

    Returns
    -------
    same shape. [mm]

    Raises
    ------
    OutOfRange : the rain leaves its range.

    Notes
    -----
    0.6 P - 10 up to 75 mm, 0.8 P - 25 above, never below 0. At most 1 mm from `dependable_rain_of_fao_mm`.

    References
    ----------
    Brouwer and Heibloem 1986, Irrigation water needs, FAO Irrigation Water Management Training Manual 3 (seen).

    Examples
    --------
    >>> dependable_rain_of_training_manual_mm([10, 70, 100]).tolist()
    [0.0, 32.0, 55.0]
    """
    rain = within("rain_mm", rain_mm, 0.0, MOST_RAIN_MM_MONTH, "mm")
    return np.maximum(np.where(rain <= 75.0, 0.6 * rain - 10.0, 0.8 * rain - 25.0), 0.0)
