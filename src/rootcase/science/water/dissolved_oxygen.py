"""How much oxygen water holds that stands in air."""

from __future__ import annotations

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.water.atmosphere import HIGHEST_GROUND_M, LOWEST_GROUND_M


def oxygen_saturation_mg_l(temperature_c: Numbers, elevation_m: Numbers = 0.0) -> Lanes:
    """Oxygen in fresh water that has taken up all the air lets it.

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
    The source writes C, P, u, theta and h. Fitted from 0 to 40 degC; above, to 60 degC, it is carried on, as a warm
    extract must only be held against a limit. Pressure is that of the standard air at the height.

    References
    ----------
    Benson and Krause 1984, Limnology and Oceanography 29(3):620-632, as the coefficients stand in public code
    (seen; the paper itself memory). Pressure with height: Standard Methods 4500-O, ln P = 5.25 ln(1 - h/44.3 km)
    (seen in public code).

    Examples
    --------
    >>> oxygen_saturation_mg_l([0.0, 20.0], 0.0).round(2).tolist(), round(float(oxygen_saturation_mg_l(20.0, 1000)), 2)
    ([14.62, 9.09], 8.04)
    """
    warmth = within("temperature_c", temperature_c, 0.0, 60.0, "degC")
    height = within("elevation_m", elevation_m, LOWEST_GROUND_M, HIGHEST_GROUND_M, "m")
    kelvin = warmth + 273.15
    at_sea = np.exp(-139.34411 + 1.575701e5 / kelvin - 6.642308e7 / kelvin**2 + 1.243800e10 / kelvin**3
                    - 8.621949e11 / kelvin**4)
    pressure = (1.0 - height / 44_300.0) ** 5.25
    vapour = np.exp(11.8571 - 3840.70 / kelvin - 216_961.0 / kelvin**2)
    theta = 0.000975 - 1.426e-5 * warmth + 6.436e-8 * warmth**2
    saturation: Lanes = at_sea * pressure * (1.0 - vapour / pressure) * (1.0 - theta * pressure) / (
        (1.0 - vapour) * (1.0 - theta))
    return saturation
