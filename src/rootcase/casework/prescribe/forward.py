"""Growth over five seasons under each remedy, and what that gains on what is seen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from rootcase.casework.draws import FloatArray
from rootcase.casework.prescribe.remedies import YEARS
from rootcase.casework.prescribe.states import State
from rootcase.science.tree.growth import combine, run_each
from rootcase.science.tree.lanes import lanes_of_each
from rootcase.science.tree.season import DailyWeather


@dataclass(frozen=True, slots=True)
class Outlook:
    """Share of the yardstick's growth in years 1 to 5 under one remedy, and its gain on doing nothing: (5, draws)."""

    share: FloatArray
    gain: FloatArray


def growth_ahead(today: State, plans: Mapping[str, tuple[State, ...]], weather: DailyWeather,
                 threads: int) -> dict[str, FloatArray]:
    """Growth of each year under each plan over that of today.

    Parameters
    ----------
    today : the ground as it is, n draws.
    plans : states of years 1 to 5 by plan.
    weather : days of a growth year and the year before it, the same for every year ahead.
    threads : how many the engine may use.

    Returns
    -------
    Growth over today's by plan, (5, n) each. [-]

    Raises
    ------
    OutOfRange : a state leaves the range of a formula.

    Notes
    -----
    The shoots of year k grow with that year's spring and the bud set of the year before. States whose water balance
    is the same are run once.

    References
    ----------
    docs/prescribe.md; docs/model.md, 1.10: JUDGEMENT.

    Examples
    --------
    >>> from rootcase.casework.prescribe.states import Worked, draw_rates, state_of
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> from rootcase.science.tree.site import Site
    >>> lawn = Site(sand=0.4, clay=0.2, organic_matter_pct=3.0, bulk_density_mg_m3=1.45, surface_resistance_mpa=1.0,
    ...             refusal_depth_m=0.4, turf=1.0, ece_ds_m=0.4, sar=1.0, ph=6.2, trunk_diameter_m=0.4,
    ...             crown_radius_m=5.0, salt_threshold_ds_m=2.0, salt_slope_pct=14.0, lock_up_per_ph=0.03)
    >>> days = np.arange(np.datetime64("2013-01-01"), np.datetime64("2014-07-01"))
    >>> doy = (days - days.astype("datetime64[Y]")).astype(int) + 1
    >>> warm = 12.0 - 12.0 * np.cos(2.0 * np.pi * doy / 365.0)
    >>> weather = DailyWeather(year=days.astype("datetime64[Y]").astype(int) + 1970, day_of_year=doy, t_min_c=warm,
    ...                        t_max_c=warm, rain_mm=np.where(doy % 7 == 0, 14.0, 0.0), et0_mm=warm / 5.0)
    >>> today = State(lawn, central_parameters())
    >>> plans = {code: tuple(state_of(code, today, year, draw_rates(code, 1, np.random.default_rng(1)), Worked())
    ...                      for year in range(1, 6)) for code in ("nothing", "mulch")}
    >>> ahead = growth_ahead(today, plans, weather, threads=1)
    >>> ahead["nothing"][:, 0].tolist(), bool((ahead["mulch"] > 1.0).all())
    ([1.0, 1.0, 1.0, 1.0, 1.0], True)
    """
    ahead_of = [state for states in plans.values() for state in states]
    lanes = lanes_of_each([(state.site, state.parameters) for state in (today, *ahead_of)])
    seasons = [years[0] for years in run_each(lanes, [weather], threads)[0]]
    now = combine(*seasons[0], lanes[0], today.parameters) * today.growth_factor
    ahead: dict[str, FloatArray] = {}
    for plan, (code, states) in enumerate(plans.items()):
        first = 1 + plan * YEARS
        bud_set = [seasons[0].bud_set, *(season.bud_set for season in seasons[first:first + YEARS - 1])]
        ahead[code] = np.stack([
            combine(seasons[at].spring, bud, lanes[at], state.parameters) * state.growth_factor / now
            for at, (state, bud) in enumerate(zip(states, bud_set, strict=True), first)])
    return ahead


def outlook(ahead: Mapping[str, FloatArray], share_now: FloatArray) -> dict[str, Outlook]:
    """What each plan gains, anchored on what is seen, so that soil work cannot mend what the soil did not do.

    Parameters
    ----------
    ahead : growth over today's by plan, (years, n) each; "nothing" must be among them. [-]
    share_now : (n,) draws of the true share today: the observed one, or the predicted where nothing was observed. [-]

    Returns
    -------
    Outlook by plan. [share of the yardstick's growth]

    Raises
    ------
    Nothing.

    Notes
    -----
    No credit beyond the yardstick, or beyond today's share where that is above it: both sides of the difference are
    held under max(1, share now).

    References
    ----------
    docs/prescribe.md: JUDGEMENT.

    Examples
    --------
    >>> seen = outlook({"nothing": np.ones((5, 1)), "mulch": np.full((5, 1), 3.0)}, np.array([0.5]))
    >>> seen["mulch"].gain[:, 0].tolist()
    [0.5, 0.5, 0.5, 0.5, 0.5]
    """
    cap = np.maximum(1.0, share_now)
    alone = np.minimum(share_now * ahead["nothing"], cap)
    shares = {code: np.minimum(share_now * grown, cap) for code, grown in ahead.items()}
    return {code: Outlook(share, share - alone) for code, share in shares.items()}

