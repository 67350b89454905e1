"""Reference evapotranspiration of 1,000 stations through a year, one thread: refet and ours on the same arrays."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from bench.work import Work
from rootcase.science.water.reference_et import penman_monteith_mm_day

STATIONS, DAYS = 1000, 365


def about() -> Work:
    return Work(what=f"{STATIONS:,} stations through {DAYS} days: heights and latitudes a row, days a column, the "
                     "rest in full; and again with those three in full too. One thread.",
                unit="station-day", units=STATIONS * DAYS, yardsticks=("refet", "refet, all in full"))


def run() -> Mapping[str, Callable[[], object]]:
    import refet  # a peer: only the bench installs it

    rng = np.random.default_rng(1)
    low = rng.uniform(-10.0, 18.0, (DAYS, STATIONS))
    weather = {"tmin": low, "tmax": low + rng.uniform(3.0, 15.0, low.shape), "ea": rng.uniform(0.2, 2.0, low.shape),
               "rs": rng.uniform(2.0, 25.0, low.shape), "uz": rng.uniform(0.3, 6.0, low.shape)}
    place = {"elev": rng.uniform(0.0, 2000.0, STATIONS), "lat": rng.uniform(25.0, 50.0, STATIONS),
             "doy": np.arange(1.0, DAYS + 1.0)[:, None]}
    whole = {name: np.ascontiguousarray(np.broadcast_to(values, low.shape)) for name, values in place.items()}
    return {
        "refet": lambda: refet.Daily(**weather, **place, zw=2.0).eto(),
        "ours": lambda: penman_monteith_mm_day(*weather.values(), *place.values()),
        "refet, all in full": lambda: refet.Daily(**weather, **whole, zw=2.0).eto(),
        "ours, all in full": lambda: penman_monteith_mm_day(*weather.values(), *whole.values()),
    }
