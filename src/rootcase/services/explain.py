"""Explain: what takes the growth away, tree by tree."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import numpy as np

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.dates import show_date
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.compare import Comparison, TreeComparison
from rootcase.records.explain import Explanation
from rootcase.records.observe import Property, PropertyRecord, Weather
from rootcase.science.water.reference_et import hargreaves_mm_day
from rootcase.services.results import fingerprint, remembered
from rootcase.services.run import Run


def explain_property(record: PropertyRecord, comparison: Comparison, weather: Weather,
                     run: Run) -> tuple[Explanation, ...]:
    """The waterfall of every compared tree."""
    def explained_tree(compared: TreeComparison) -> Explanation:
        from rootcase.casework.explain.explain import explain  # slow to load, and seldom needed where results are kept

        return explain(record, compared.tree_id, compared, weather, draws=run.draws, seed=run.seed, threads=run.threads)

    of_all = fingerprint(record, weather, run.draws, run.seed) if run.results else ""
    explained = []
    for done, compared in enumerate(comparison.trees):
        run.progress("explain", done, len(comparison.trees))
        explained.append(remembered(run.results, Explanation, (of_all, compared), partial(explained_tree, compared)))
    run.progress("explain", len(comparison.trees), len(comparison.trees))
    return tuple(explained)


def weather_for(fieldbook: Fieldbook, ground: Property, run: Run) -> Weather:
    """The station's days up to today, with reference evapotranspiration where the file gave none (Hargreaves)."""
    weather = fieldbook.weather(ground.id)
    past = [i for i, day in enumerate(weather.days) if day < run.today]
    if not past:
        raise _no_weather(ground, weather)
    kept = {name: tuple(getattr(weather, name)[i] for i in past)
            for name in ("days", "t_min_c", "t_max_c", "rain_mm", "et0_mm", "wind_m_s")}
    day_of_year = np.array([day.timetuple().tm_yday for day in kept["days"]])
    low, high, given = (np.array(kept[name], dtype=float) for name in ("t_min_c", "t_max_c", "et0_mm"))
    known = np.isfinite(low) & np.isfinite(high)
    computed = np.full(low.size, np.nan)
    computed[known] = hargreaves_mm_day(low[known], high[known], ground.latitude_deg, day_of_year[known])
    filled = np.where(np.isfinite(given), given, computed)
    return replace(weather, **{**kept, "et0_mm": tuple(float(x) for x in filled)})


def _no_weather(ground: Property, weather: Weather) -> Missing:
    """Why there is none: no station named, none of its days here, or only later ones."""
    if not ground.weather_station:
        return Missing(say("services.no_station"), right=say("services.name_station"))
    if weather.days:
        return Missing(say("services.weather_later", station=ground.weather_station, day=show_date(weather.days[0])),
                       right=say("services.earlier_weather"))
    return Missing(say("services.no_weather", station=ground.weather_station),
                   right=say("services.import_weather", station=ground.weather_station))
