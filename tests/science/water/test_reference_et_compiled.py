"""The compiled day against its parts one by one, over all the ranges of the door, and whether its loop is wide."""

from __future__ import annotations

import math
import re

import numba
import numpy as np
import pytest

from rootcase.ground.errors import OutOfRange
from rootcase.science.lanes import Lanes
from rootcase.science.water import reference_et_compiled
from rootcase.science.water.atmosphere import (
    air_pressure_kpa,
    mean_saturation_vapour_pressure_kpa,
    psychrometric_constant_kpa_c,
    slope_of_saturation_kpa_c,
)
from rootcase.science.water.radiation import (
    clear_sky_radiation_mj_m2_day,
    net_longwave_mj_m2_day,
    net_radiation_mj_m2_day,
    net_shortwave_mj_m2_day,
)
from rootcase.science.water.reference_et import (
    GRASS,
    TALL_CROP,
    Reference,
    penman_monteith_from_parts_mm,
    penman_monteith_mm_day,
)
from rootcase.science.water.sun import extraterrestrial_radiation_mj_m2_day

pytestmark = pytest.mark.property

RELATIVE, ABSOLUTE_MM = 1e-12, 2e-13


def by_parts(weather: tuple[Lanes, ...], cover: Reference) -> Lanes:
    low, high, vapour, solar, wind, elevation, latitude, day = weather
    clear = clear_sky_radiation_mj_m2_day(elevation, extraterrestrial_radiation_mj_m2_day(latitude, day))
    lost = net_longwave_mj_m2_day(low, high, vapour, solar, clear, cover.black_body_mj_k4_m2)
    mean = (low + high) / 2.0
    return np.maximum(penman_monteith_from_parts_mm(
        net_radiation_mj_m2_day(net_shortwave_mj_m2_day(solar), lost), mean, wind,
        mean_saturation_vapour_pressure_kpa(low, high), vapour, slope_of_saturation_kpa_c(mean),
        psychrometric_constant_kpa_c(air_pressure_kpa(elevation)), 0.0, cover), 0.0)


def anywhere(count: int) -> tuple[Lanes, ...]:
    """Days of every latitude, height and season, with the poles, calm air and the ends of each range among them."""
    rng = np.random.default_rng(8)
    low = rng.uniform(-60.0, 60.0, count)
    weather = [low, rng.uniform(low, 60.0), rng.uniform(0.0, 6.0, count), rng.uniform(0.0, 45.0, count),
               rng.uniform(0.0, 60.0, count), rng.uniform(-500.0, 6000.0, count), rng.uniform(-90.0, 90.0, count),
               rng.integers(1, 367, count).astype(float)]
    for values, ends in zip(weather[2:], ((0, 6), (0, 45), (0, 60), (-500, 6000), (-90, 90), (1, 366)), strict=True):
        values[rng.random(count) < 0.02] = ends[0]
        values[rng.random(count) < 0.02] = ends[1]
    return tuple(weather)


@pytest.mark.parametrize("cover", [GRASS, TALL_CROP], ids=["grass", "tall crop"])
def test_the_compiled_day_is_its_parts(cover: Reference) -> None:
    weather = anywhere(50_000)
    compiled = penman_monteith_mm_day(*weather, cover)
    np.testing.assert_allclose(compiled, by_parts(weather, cover), rtol=RELATIVE, atol=ABSOLUTE_MM)
    assert (compiled > 0.0).mean() > 0.8


def test_shapes_go_together_as_arrays_do() -> None:
    low, high, vapour, solar, wind, *_ = (values.reshape(30, 20) for values in anywhere(600))
    elevation, latitude, day = np.linspace(0.0, 2000.0, 20), np.linspace(-60.0, 60.0, 20), np.arange(1.0, 31.0)[:, None]
    together = penman_monteith_mm_day(low, high, vapour, solar, wind, elevation, latitude, day)
    assert together.shape == (30, 20)
    alone = penman_monteith_mm_day(low[7, 3], high[7, 3], vapour[7, 3], solar[7, 3], wind[7, 3], elevation[3],
                                   latitude[3], day[7, 0])
    assert alone == pytest.approx(together[7, 3], rel=RELATIVE)
    turned = penman_monteith_mm_day(low.T[::2], high.T[::2], vapour.T[::2], solar.T[::2], wind.T[::2], 100.0, 45.0, 180)
    np.testing.assert_allclose(turned, penman_monteith_mm_day(low, high, vapour, solar, wind, 100.0, 45.0, 180).T[::2],
                               rtol=RELATIVE)
    whole = [np.ascontiguousarray(np.broadcast_to(each, (30, 20))) for each in (elevation, latitude, day)]
    for place in (whole, [elevation[None], latitude[None], day], [elevation, latitude, whole[2]], [*whole[:2], day]):
        np.testing.assert_allclose(penman_monteith_mm_day(low, high, vapour, solar, wind, *place), together,
                                   rtol=RELATIVE)
    assert penman_monteith_mm_day(low[:0], high[:0], 1.0, 20.0, 2.0, 100.0, 45.0, 180).shape == (0, 20)


@pytest.mark.parametrize(("ours", "theirs", "low", "high"), [
    (reference_et_compiled._exponential, math.exp, -6.0, 4.0), (reference_et_compiled._sine, math.sin, -1.5708, 1.5708),
    (reference_et_compiled._cosine, math.cos, -3.4, 3.4), (reference_et_compiled._arc_sine, math.asin, -1.0, 1.0)])
def test_the_series_are_what_they_stand_for(ours: numba.core.dispatcher.Dispatcher, theirs: object, low: float,
                                            high: float) -> None:
    assert callable(theirs)
    points = np.linspace(low, high, 4001)
    found = np.array([ours.py_func(x) for x in points])
    np.testing.assert_allclose(found, [theirs(x) for x in points], rtol=2e-14, atol=2e-15)


def test_the_loop_over_the_lanes_is_wide() -> None:
    """Compiled anew, for code out of the cache cannot be looked at: arithmetic on several lanes at once."""
    again = numba.njit(error_model="numpy", fastmath={"contract"})(reference_et_compiled._evaporate.py_func)
    column = np.ones(16)
    again(*[column] * 8, np.ones(16), 900.0, 0.34, 4.903e-9, tuple([(0.0, 366.0)] * 7))
    (code,) = again.inspect_llvm().values()
    assert len(re.findall(r"fdiv .*<\d+ x double>", code)) >= 5


@pytest.mark.parametrize("which", range(8))
@pytest.mark.parametrize("value", [-1e6, 1e6, math.nan])
def test_one_bad_value_among_many_is_refused(which: int, value: float) -> None:
    weather = [np.full(3000, ordinary) for ordinary in (12.3, 21.5, 1.409, 22.07, 2.078, 100.0, 50.8, 187.0)]
    weather[which][2711] = value
    with pytest.raises(OutOfRange, match=r"is outside its range"):
        penman_monteith_mm_day(*weather)


def test_a_highest_temperature_under_the_lowest_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"t_max_c minus t_min_c is outside its range .got -3 C"):
        penman_monteith_mm_day(20.0, 17.0, 1.4, 20.0, 2.0, 100.0, 50.0, 180)
