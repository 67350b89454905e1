"""Reference evapotranspiration day by day, by the best formula that what is known of the day allows."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rootcase.science.lanes import Lanes, Numbers
from rootcase.science.water.atmosphere import (
    saturation_vapour_pressure_kpa,
    vapour_pressure_from_highest_humidity_kpa,
    vapour_pressure_from_humidity_kpa,
    vapour_pressure_from_mean_humidity_kpa,
    wind_at_2m_m_s,
)
from rootcase.science.water.radiation import clear_sky_radiation_mj_m2_day, radiation_from_temperature_mj_m2_day
from rootcase.science.water.reference_et import hargreaves_mm_day, penman_monteith_mm_day
from rootcase.science.water.sun import extraterrestrial_radiation_mj_m2_day

WIND_WHERE_UNKNOWN_M_S = 2.0
"""At 2 m: FAO-56, section on missing wind, the mean of over 2000 stations (memory)."""
HEIGHT_WHERE_UNKNOWN_M = 10.0
"""JUDGEMENT: the height at which weather services measure wind (WMO-No. 8, memory)."""

METHODS = ("", "penman_monteith", "without_sun", "without_humidity", "without_wind", "without_sun_and_wind",
           "without_humidity_and_wind", "hargreaves")
"""Codes of the formulas; the empty one where temperatures are not known. The names say what was estimated."""
HUMIDITIES = ("", "dew_point", "highest_and_lowest", "highest", "mean")
"""Codes of where the vapour in the air is known from, the best first."""


class KnownWeather(NamedTuple):
    """A day's weather, NaN where it is not known; one number for each day."""

    t_min_c: Lanes
    t_max_c: Lanes
    t_dew_c: Lanes
    """Mean of the day."""
    humidity_max_pct: Lanes
    humidity_min_pct: Lanes
    humidity_mean_pct: Lanes
    solar_mj_m2_day: Lanes
    wind_m_s: Lanes
    wind_height_m: Lanes


class KnownReference(NamedTuple):
    """What the days' weather allows."""

    et0_mm: Lanes
    """NaN where the temperatures are not known."""
    method: NDArray[np.int64]
    """Index into METHODS."""
    humidity: NDArray[np.int64]
    """Index into HUMIDITIES: what the vapour was taken from, 0 where it was not needed or estimated."""


def reference_of_known_mm_day(weather: KnownWeather, elevation_m: Numbers, latitude_deg: Numbers,
                              day_of_year: Numbers) -> KnownReference:
    """Reference evapotranspiration of each day, by the best formula for what is known of it.

    Parameters
    ----------
    weather : one number for each day, NaN where it is not known; temperatures [C], -60 to 60; humidities [%], 0 to 100;
        sun [MJ m-2 d-1], 0 to 60; wind [m s-1], 0 to 60, measured at a height [m], 0.5 to 200
    elevation_m : scalar or one per day. [m], -500 to 6000
    latitude_deg : same shape. [degree], -90 to 90, north positive
    day_of_year : same shape. [d], 1 to 366

    Returns
    -------
    KnownReference, one number for each day. [mm d-1]

    Raises
    ------
    OutOfRange : a known value leaves its range, or t_max_c is below t_min_c.

    Notes
    -----
    Penman-Monteith where the sun or the humidity was measured; Hargreaves where neither was. What one day lacks is
    estimated: the sun from the day's range of temperature (Eq. 50, inland coefficient), the dew point as the lowest
    temperature (Eq. 48), the wind as 2 m/s at 2 m. The vapour is taken from the dew point, else from the highest and
    lowest humidity, else the highest, else the mean. Departures: the sun from temperature is never above a clear
    sky's (Eq. 37); wind of unknown height counts as measured at 10 m.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, chapter 3,
    on missing data, Eq. 14, 17-19, 47, 48, 50 and 52 (memory; Examples 15 and 18 seen).

    Examples
    --------
    >>> nan = np.nan
    >>> day = [np.array([value]) for value in (12.3, 21.5, nan, 84, 63, nan, 22.07, 2.78, 10)]
    >>> found = reference_of_known_mm_day(KnownWeather(*day), 100, 50.8, 187)
    >>> float(found.et0_mm[0].round(2)), METHODS[found.method[0]], HUMIDITIES[found.humidity[0]]
    (3.88, 'penman_monteith', 'highest_and_lowest')
    """
    shape = np.broadcast_shapes(*(np.shape(each) for each in (*weather, elevation_m, latitude_deg, day_of_year)))
    known = KnownWeather(*(np.broadcast_to(np.asarray(each, dtype=np.float64), shape) for each in weather))
    place = [np.broadcast_to(np.asarray(each, dtype=np.float64), shape)
             for each in (elevation_m, latitude_deg, day_of_year)]
    humidity = _humidity(known)
    sun, vapour, wind = np.isfinite(known.solar_mj_m2_day), humidity > 0, np.isfinite(known.wind_m_s)
    warm = np.isfinite(known.t_min_c) & np.isfinite(known.t_max_c)
    method = np.select([~warm, ~sun & ~vapour, sun & vapour, vapour], [0, 7, np.where(wind, 1, 4),
                                                                      np.where(wind, 2, 5)], np.where(wind, 3, 6))
    et0 = np.full(shape, np.nan)
    plain = method == METHODS.index("hargreaves")
    et0[plain] = hargreaves_mm_day(known.t_min_c[plain], known.t_max_c[plain], place[1][plain], place[2][plain])
    best = (method > 0) & ~plain
    et0[best] = _penman_monteith(KnownWeather(*(each[best] for each in known)), humidity[best],
                                 *(each[best] for each in place))
    return KnownReference(et0, method.astype(np.int64), np.where(best, humidity, 0).astype(np.int64))


def _humidity(known: KnownWeather) -> NDArray[np.int64]:
    dew, high, low, mean = (np.isfinite(each) for each in (
        known.t_dew_c, known.humidity_max_pct, known.humidity_min_pct, known.humidity_mean_pct))
    return np.select([dew, high & low, high, mean], [1, 2, 3, 4], 0)


def _penman_monteith(known: KnownWeather, humidity: NDArray[np.int64], elevation_m: Lanes, latitude_deg: Lanes,
                     day_of_year: Lanes) -> Lanes:
    above = extraterrestrial_radiation_mj_m2_day(latitude_deg, day_of_year)
    by_range = np.minimum(radiation_from_temperature_mj_m2_day(known.t_min_c, known.t_max_c, above),
                          clear_sky_radiation_mj_m2_day(elevation_m, above))
    sun = np.where(np.isfinite(known.solar_mj_m2_day), known.solar_mj_m2_day, by_range)
    blows = np.isfinite(known.wind_m_s)
    height = np.where(np.isfinite(known.wind_height_m), known.wind_height_m, HEIGHT_WHERE_UNKNOWN_M)
    wind = np.full(blows.shape, WIND_WHERE_UNKNOWN_M_S)
    wind[blows] = wind_at_2m_m_s(known.wind_m_s[blows], height[blows])
    return penman_monteith_mm_day(known.t_min_c, known.t_max_c, _vapour_kpa(known, humidity), sun, wind, elevation_m,
                                  latitude_deg, day_of_year)


def _vapour_kpa(known: KnownWeather, humidity: NDArray[np.int64]) -> Lanes:
    vapour = saturation_vapour_pressure_kpa(known.t_min_c)  # where no humidity is known: the dew point is the night's
    ways: tuple[tuple[Callable[..., Lanes], tuple[Lanes, ...]], ...] = (
        (saturation_vapour_pressure_kpa, (known.t_dew_c,)),
        (vapour_pressure_from_humidity_kpa, (known.t_min_c, known.t_max_c, known.humidity_max_pct,
                                             known.humidity_min_pct)),
        (vapour_pressure_from_highest_humidity_kpa, (known.t_min_c, known.humidity_max_pct)),
        (vapour_pressure_from_mean_humidity_kpa, (known.t_min_c, known.t_max_c, known.humidity_mean_pct)))
    for code, (formula, arguments) in enumerate(ways, 1):
        here = humidity == code
        vapour[here] = formula(*(each[here] for each in arguments))
    return vapour
