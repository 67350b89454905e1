"""The day's reference evapotranspiration compiled: every part of FAO-56 Eq. 6 in one pass over the lanes.

The parts stand one by one, with their sources, in `sun`, `atmosphere`, `radiation` and `reference_et`; a test holds
this pass to them. What is not arithmetic is a power series without a branch, so that the loop runs on wide registers;
each is good for the ranges that the door checks, and for no others.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numba import njit

from rootcase.science.lanes import Lanes

Ranges = tuple[tuple[float, float], ...]
"""Low and high end: temperatures, vapour pressure, solar radiation, wind, elevation, latitude, day of the year."""
_SQUARINGS = 5
# A series of more than 14 terms is not unrolled, and then the loop over the lanes not widened.
_EXPONENTIAL = tuple(1.0 / math.factorial(k) for k in range(11))
_SINE = tuple((-1.0) ** k / math.factorial(2 * k + 1) for k in range(11))
_COSINE = tuple((-1.0) ** k / math.factorial(2 * k) for k in range(14))
_PRESSURE = tuple(math.prod(((5.26 - j) / (j + 1) for j in range(k)), start=1.0) for k in range(10))
_ARC_SINE = tuple(math.comb(2 * k, k) / (4**k * (2 * k + 1)) for k in range(22))
_EVEN_ARC_SINE, _ODD_ARC_SINE = _ARC_SINE[::2], _ARC_SINE[1::2]


@njit(inline="always")
def _series(x: float, terms: tuple[float, ...]) -> float:
    value = terms[len(terms) - 1]
    for k in range(len(terms) - 2, -1, -1):
        value = value * x + terms[k]
    return value


@njit(inline="always")
def _exponential(x: float) -> float:
    """e to the x for x of -6 to 4: the series of x / 32, squared five times."""
    value = _series(x / 2.0**_SQUARINGS, _EXPONENTIAL)
    for _ in range(_SQUARINGS):
        value *= value
    return value


@njit(inline="always")
def _saturation_kpa(temperature_c: float) -> float:
    return 0.6108 * _exponential(17.27 * temperature_c / (temperature_c + 237.3))


@njit(inline="always")
def _sine(angle: float) -> float:
    """For angles of a quarter turn to either side."""
    return angle * _series(angle * angle, _SINE)


@njit(inline="always")
def _cosine(angle: float) -> float:
    """For angles of -3.4 to 3.4."""
    return _series(angle * angle, _COSINE)


@njit(inline="always")
def _arc_sine(sine: float) -> float:
    """Angle of a sine of -1 to 1: the series up to a half, beyond it that of the half angle."""
    size = abs(sine)
    far = size > 0.5
    squared = (1.0 - size) / 2.0 if far else size * size
    root = math.sqrt(squared) if far else size
    fourth = squared * squared
    angle = root * (_series(fourth, _EVEN_ARC_SINE) + squared * _series(fourth, _ODD_ARC_SINE))
    return math.copysign(math.pi / 2.0 - 2.0 * angle if far else angle, sine)


@njit(inline="always")
def _place(latitude_deg: float) -> tuple[float, float]:
    """Sine and cosine of a latitude."""
    latitude = math.pi / 180.0 * latitude_deg
    return _sine(latitude), _sine(math.pi / 2.0 - abs(latitude))


@njit(inline="always")
def _season(day_of_year: float) -> tuple[float, float, float]:
    """Sine and cosine of the sun's declination, and its energy on a square metre that faces it [MJ m-2 rad-1]."""
    turn = 2.0 * math.pi / 365.0 * day_of_year
    sine = _sine(0.409 * _cosine(turn - 1.39 - math.pi / 2.0))
    near = 24.0 * 60.0 / math.pi * 0.0820 * (1.0 - 0.033 * _cosine(turn - math.pi))
    return sine, math.sqrt(1.0 - sine * sine), near


@njit(inline="always")
def _above_air(place: tuple[float, float], season: tuple[float, float, float]) -> float:
    """The sun's energy on a level square metre above the air [MJ m-2 d-1]."""
    level, steep = place[0] * season[0], place[1] * season[1]
    beyond_six = _arc_sine(min(max(level / steep, -1.0), 1.0))  # sunset's angle less a quarter turn
    height = level * (math.pi / 2.0 + beyond_six) + math.sqrt(max(steep * steep - level * level, 0.0))
    return season[2] * height


_compiled = njit(cache=True, error_model="numpy", nogil=True, fastmath={"contract"})


@_compiled
def _above_each(latitude_deg: Lanes, day_of_year: Lanes, result: Lanes) -> None:
    for i in range(result.size):
        result[i] = _above_air(_place(latitude_deg[i]), _season(day_of_year[i]))


@_compiled
def _above_all(latitude_deg: Lanes, day_of_year: Lanes, result: Lanes) -> None:
    """Days by places: what belongs to a place alone, or to a day alone, is reckoned once."""
    sine, cosine = np.empty_like(latitude_deg), np.empty_like(latitude_deg)
    for i in range(latitude_deg.size):
        sine[i], cosine[i] = _place(latitude_deg[i])
    for day in range(day_of_year.size):
        _above_row(sine, cosine, _season(day_of_year[day]), result[day])


@_compiled
def _above_row(sine: Lanes, cosine: Lanes, season: tuple[float, float, float], result: Lanes) -> None:
    for i in range(result.size):
        result[i] = _above_air((sine[i], cosine[i]), season)


@_compiled
def _evaporate(
    t_min_c: Lanes, t_max_c: Lanes, vapour_kpa: Lanes, solar_mj_m2: Lanes, wind_m_s: Lanes, elevation_m: Lanes,
    latitude_deg: Lanes, day_of_year: Lanes, result_mm: Lanes, aerodynamic: float, resistance: float,
    black_body: float, limits: Ranges
) -> int:
    """Fill result_mm, where the sun's energy above the air stood; all arrays are of one length. How many lanes are
    outside the ranges, or hold no number."""
    temperature, air, sun, speed, ground, place, calendar = limits
    outside = 0
    for i in range(result_mm.size):
        low, high, vapour, solar, wind = t_min_c[i], t_max_c[i], vapour_kpa[i], solar_mj_m2[i], wind_m_s[i]
        inside = ((temperature[0] <= low) & (low <= high) & (high <= temperature[1])
                  & (air[0] <= vapour) & (vapour <= air[1]) & (sun[0] <= solar) & (solar <= sun[1])
                  & (speed[0] <= wind) & (wind <= speed[1])
                  & (ground[0] <= elevation_m[i]) & (elevation_m[i] <= ground[1])
                  & (place[0] <= latitude_deg[i]) & (latitude_deg[i] <= place[1])
                  & (calendar[0] <= day_of_year[i]) & (day_of_year[i] <= calendar[1]))
        outside += not inside
        clear = (0.75 + 2e-5 * elevation_m[i]) * result_mm[i]
        clearness = min(max(solar / clear if clear > 0.0 else 1.0, 0.3), 1.0)
        low_k2, high_k2 = (low + 273.16) ** 2, (high + 273.16) ** 2
        longwave = (black_body * (low_k2 * low_k2 + high_k2 * high_k2) / 2.0
                    * (0.34 - 0.14 * math.sqrt(vapour)) * (1.35 * clearness - 0.35))
        mean = (low + high) / 2.0
        deficit = max((_saturation_kpa(low) + _saturation_kpa(high)) / 2.0 - vapour, 0.0)
        slope = 4098.0 * _saturation_kpa(mean) / (mean + 237.3) ** 2
        gamma = 0.665e-3 * 101.3 * _series(-0.0065 / 293.0 * elevation_m[i], _PRESSURE)
        by_sun = 0.408 * slope * (0.77 * solar - longwave)
        by_wind = gamma * aerodynamic / (mean + 273.0) * wind * deficit
        result_mm[i] = max((by_sun + by_wind) / (slope + gamma * (1.0 + resistance * wind)), 0.0)
    return outside


def evaporate_mm_day(weather: tuple[Lanes, ...], aerodynamic: float, resistance: float, black_body: float,
                     limits: Ranges) -> tuple[Lanes, int]:
    """Reference evapotranspiration of days, whatever their shapes together, and whether their values can be.

    Parameters
    ----------
    weather : lowest and highest temperature [C], vapour pressure [kPa], solar radiation [MJ m-2 d-1], wind at 2 m
        [m s-1], elevation [m], latitude [degree], day of the year [d]; ranges as in `penman_monteith_mm_day`
    aerodynamic, resistance : the cover's C_n and C_d. [K mm s3 Mg-1 d-1], [s m-1]
    black_body : the cover's constant. [MJ K-4 m-2 d-1]
    limits : low and high end of the temperatures, then of the others in their order. [their units]

    Returns
    -------
    (result, outside) : shape of all together [mm d-1]; how many of them have a value outside its range, a highest
        temperature under the lowest, or no number: what they were given is nonsense.

    Raises
    ------
    ValueError : the shapes do not go together.

    Notes
    -----
    The loop takes pieces that stay in the near cache, and looks at each value while it is there.

    References
    ----------
    As `penman_monteith_mm_day`.

    Examples
    --------
    >>> day = tuple(map(np.float64, (12.3, 21.5, 1.409, 22.07, 2.078, 100.0, 50.8, 187.0)))
    >>> limits = ((-60.0, 60.0), (0.0, 20.0), (0.0, 60.0), (0.0, 60.0), (-500.0, 6000.0), (-90.0, 90.0), (1.0, 366.0))
    >>> result, outside = evaporate_mm_day(day, 900.0, 0.34, 4.903e-9, limits)
    >>> round(float(result), 2), outside
    (3.88, 0)
    """
    *_, latitude, day = weather
    shape: tuple[int, ...] = np.broadcast_shapes(*(each.shape for each in weather))
    places: tuple[int, ...] = latitude.shape
    days: tuple[int, ...] = day.shape
    result = np.empty(shape)
    if shape == (day.size, latitude.size) and days == (day.size, 1) and places in (shape[1:], (1, *shape[1:])):
        _above_all(np.ascontiguousarray(latitude).reshape(-1), np.ascontiguousarray(day).reshape(-1), result)
    else:
        with _pieces([latitude, day, result]) as pieces:
            for piece in pieces:
                _above_each(*piece)
    fill: Any = _evaporate
    with _pieces([*weather, result]) as pieces:
        outside = sum(fill(*piece, aerodynamic, resistance, black_body, limits) for piece in pieces)
    return result[()], outside


def _pieces(operands: list[Lanes]) -> np.nditer:
    """All in the shape of the last, which alone is written to, piece by piece."""
    reading, filling = ["readonly", "contig", "aligned"], ["readwrite", "contig", "aligned"]
    flags: Any = [*[reading] * (len(operands) - 1), filling]
    return np.nditer(operands, ["external_loop", "buffered", "zerosize_ok"], flags, [np.float64] * len(operands))
