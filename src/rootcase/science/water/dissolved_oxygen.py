"""How much oxygen water holds that stands in air."""

from __future__ import annotations

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.water.atmosphere import HIGHEST_GROUND_M, LOWEST_GROUND_M

ATMOSPHERE_KPA = 101.325


def station_pressure_kpa(elevation_m: Numbers, sea_level_pressure_kpa: Numbers = ATMOSPHERE_KPA) -> Lanes:
    """Pressure of the air where the water stands.

    Parameters
    ----------
    elevation_m : of the place above the sea. [m], -500 to 6000
    sea_level_pressure_kpa : same shape, as weather reports give it, reduced to the sea; the standard air's without.
        [kPa], 85 to 109

    Returns
    -------
    broadcast shape. [kPa]

    Raises
    ------
    OutOfRange : height or pressure leaves its range.

    Notes
    -----
    A weather report's pressure is of the sea's height, whatever the place; put into a meter as it stands it makes the
    reading wrong by the height. It is turned back here by the standard air: at 1,500 m and 20 degC off that air about
    1 % is left. A barometer at the place needs none of this.

    References
    ----------
    Standard Methods 4500-O, ln P = 5.25 ln(1 - h/44.3 km) (seen in public code); for another day's pressure the same
    ratio: JUDGEMENT.

    Examples
    --------
    >>> station_pressure_kpa([0.0, 1000.0]).round(2).tolist(), round(float(station_pressure_kpa(1000.0, 102.5)), 2)
    ([101.32, 89.88], 90.92)
    """
    height = within("elevation_m", elevation_m, LOWEST_GROUND_M, HIGHEST_GROUND_M, "m")
    at_sea = within("sea_level_pressure_kpa", sea_level_pressure_kpa, 85.0, 109.0, "kPa")
    return np.asarray(at_sea * (1.0 - height / 44_300.0) ** 5.25)


def saturation_at_pressure_mg_l(temperature_c: Numbers, pressure_kpa: Numbers, salinity_g_kg: Numbers = 0.0) -> Lanes:
    """Oxygen in water that has taken up all the air lets it, at the pressure of the place.

    Parameters
    ----------
    temperature_c : of the water. [degC], 0 to 60
    pressure_kpa : same shape, of the air at the water, see `station_pressure_kpa`. [kPa], 40 to 120
    salinity_g_kg : same shape; 0 for fresh water. [g kg-1], 0 to 40

    Returns
    -------
    broadcast shape. [mg/L]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes C, P, u, theta and S. Fitted from 0 to 40 degC; above, to 60 degC, it is carried on, as a warm
    extract must only be held against a limit.

    References
    ----------
    Benson and Krause 1984, Limnology and Oceanography 29(3):620-632, as the coefficients stand in public code
    (seen; the paper itself memory); the salinity term as Standard Methods 4500-O has it (memory).

    Examples
    --------
    >>> saturation_at_pressure_mg_l(20.0, [101.325, 90.0]).round(2).tolist()
    [9.09, 8.05]
    >>> round(float(saturation_at_pressure_mg_l(20.0, 101.325, 35.0)), 2)
    7.4
    """
    warmth = within("temperature_c", temperature_c, 0.0, 60.0, "degC")
    pressure = within("pressure_kpa", pressure_kpa, 40.0, 120.0, "kPa") / ATMOSPHERE_KPA
    salinity = within("salinity_g_kg", salinity_g_kg, 0.0, 40.0, "g/kg")
    kelvin = warmth + 273.15
    at_sea = np.exp(-139.34411 + 1.575701e5 / kelvin - 6.642308e7 / kelvin**2 + 1.243800e10 / kelvin**3
                    - 8.621949e11 / kelvin**4 - salinity * (0.017674 - 10.754 / kelvin + 2140.7 / kelvin**2))
    vapour = np.exp(11.8571 - 3840.70 / kelvin - 216_961.0 / kelvin**2)
    theta = 0.000975 - 1.426e-5 * warmth + 6.436e-8 * warmth**2
    saturation: Lanes = at_sea * pressure * (1.0 - vapour / pressure) * (1.0 - theta * pressure) / (
        (1.0 - vapour) * (1.0 - theta))
    return saturation


def oxygen_saturation_mg_l(temperature_c: Numbers, elevation_m: Numbers = 0.0) -> Lanes:
    """Oxygen in fresh water that has taken up all the standard air of a height lets it.

    Parameters
    ----------
    temperature_c : of the water. [degC], 0 to 60
    elevation_m : of the place above the sea. [m], -500 to 6000

    Returns
    -------
    broadcast shape. [mg/L]

    Raises
    ------
    OutOfRange : temperature or height leaves its range.

    Notes
    -----
    Weather moves the pressure, and so this figure, by some 3 % either way; where the pressure was read, see
    `saturation_at_pressure_mg_l`.

    References
    ----------
    `saturation_at_pressure_mg_l` at `station_pressure_kpa`.

    Examples
    --------
    >>> oxygen_saturation_mg_l([0.0, 20.0], 0.0).round(2).tolist(), round(float(oxygen_saturation_mg_l(20.0, 1000)), 2)
    ([14.62, 9.09], 8.04)
    """
    return saturation_at_pressure_mg_l(temperature_c, station_pressure_kpa(elevation_m))
