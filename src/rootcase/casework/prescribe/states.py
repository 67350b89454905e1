"""What a remedy makes of the ground, year by year."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from rootcase.casework.draws import FloatArray
from rootcase.casework.explain.soil import WATERED_FROM_TO
from rootcase.casework.prescribe.courses import Course
from rootcase.casework.prescribe.remedies import figure
from rootcase.science.tree.parameters import Parameters
from rootcase.science.tree.site import Site
from rootcase.tables.load import table

Rates = Mapping[str, FloatArray]
"""One draw of each rate of a remedy."""

TIMES = "times"
"""Name of the rate by which growth is multiplied where a remedy does what the practice's own trials say of it."""
MULCHED_TOO = ("air_tillage",)
"""Tilled ground is mulched too, and so are the untreated trees of a trial of it."""
LOOSEST_MG_M3, SOFTEST_MPA = 0.5, 0.05
"""No remedy makes a soil looser or softer than this. JUDGEMENT."""


@dataclass(frozen=True, slots=True)
class State:
    """A tree's ground in one year."""

    site: Site
    parameters: Parameters
    """The model's, with the error of infiltration taking up what a remedy does to it."""
    growth_factor: FloatArray | float = 1.0
    """What growth is multiplied by beside the soil's doing."""


@dataclass(frozen=True, slots=True)
class Worked:
    """Share of the turf and of the bare ground over the roots that may be worked."""

    turf: float = 1.0
    bare: float = 1.0


def draw_rates(remedy: str, draws: int, rng: np.random.Generator) -> dict[str, FloatArray]:
    """How fast or how far a remedy works, drawn.

    Parameters
    ----------
    remedy : its code.
    draws : how many, above 0.
    rng : the generator.

    Returns
    -------
    Draws by rate, (draws,) each. [unit of the table's row]

    Raises
    ------
    Nothing.

    Notes
    -----
    Each rate is as likely anywhere between its limits; the extract's effect is normal around none. Tilled ground is
    mulched too.

    References
    ----------
    Table prescribe/rates: JUDGEMENT, directions from trials.

    Examples
    --------
    >>> sorted(draw_rates("leach", 3, np.random.default_rng(1)))
    ['salt_left']
    """
    parts = (remedy, "mulch") if remedy in MULCHED_TOO else (remedy,)
    drawn = {str(row["rate"]): rng.uniform(row["low"], row["high"], draws)
             for row in table("prescribe/rates").rows if row["remedy"] in parts}
    if remedy == "extract":
        drawn["growth"] = figure("extract_growth_sd") * rng.standard_normal(draws)
    return drawn


def state_of(remedy: str, today: State, year: int, rates: Rates, worked: Worked, *, southern: bool = False) -> State:
    """The ground of one year under a remedy that begins now.

    Parameters
    ----------
    remedy : its code; one of those inside the model.
    today : the ground as it is.
    year : 0 today, 1 to 5.
    rates : the remedy's drawn rates.
    worked : share of turf and of bare ground that may be worked.
    southern : whether the ground lies on the southern half of the earth.

    Returns
    -------
    State of that year, n draws.

    Raises
    ------
    Missing : the remedy is not inside the model.

    Notes
    -----
    Years since planting go on in every plan. What works on open ground is weighted by the share of it that is
    worked. A cone's readings are softened where the rod's surface resistance and depth would be.

    References
    ----------
    docs/prescribe.md. Tables prescribe/rates and prescribe/effects: JUDGEMENT, directions from trials.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> lawn = Site(sand=0.4, clay=0.2, organic_matter_pct=2.0, bulk_density_mg_m3=1.5, surface_resistance_mpa=1.2,
    ...             refusal_depth_m=0.3, turf=0.9, bare=0.1, ece_ds_m=0.4, sar=1.0, ph=6.5, trunk_diameter_m=0.2,
    ...             crown_radius_m=3.0, salt_threshold_ds_m=2.0, salt_slope_pct=14.0, lock_up_per_ph=0.03)
    >>> now = State(lawn, central_parameters())
    >>> rates = draw_rates("mulch", 1, np.random.default_rng(1))
    >>> then = state_of("mulch", now, 3, rates, Worked())
    >>> float(then.site.mulch), float(then.site.turf)
    (1.0, 0.0)
    """
    site = replace(today.site, years_since_planting=np.asarray(today.site.years_since_planting) + year)
    if year == 0 or remedy == "nothing":
        return replace(today, site=site)
    return _CHANGES[remedy](replace(today, site=site), year, rates, worked, southern)


def course_state(course: Course, today: State, year: int, rates: Mapping[str, Rates], worked: Worked, *,
                 southern: bool = False) -> State:
    """The ground of one year under a course that begins now.

    Parameters
    ----------
    course : its parts, in their order of work.
    today : the ground as it is.
    year : 0 today, 1 to 5.
    rates : drawn rates of each remedy in it.
    worked : share of turf and of bare ground that may be worked.
    southern : whether the ground lies on the southern half of the earth.

    Returns
    -------
    State of that year, n draws.

    Raises
    ------
    Missing : a remedy is not inside the model.

    Notes
    -----
    Each part changes what the parts before it have made of the ground, as far as it has run by then; nothing is added
    up. Where the practice's own trials stand in for the handbook, a part does to growth what they say, beside what the
    untreated trees of such a trial get. A part that has ended leaves the ground as it found it, so only what works
    while it is done may end: watering.

    References
    ----------
    `state_of`. That effects follow one another so: JUDGEMENT.

    Examples
    --------
    >>> from rootcase.casework.prescribe.courses import Part
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> lawn = Site(sand=0.4, clay=0.2, organic_matter_pct=2.0, bulk_density_mg_m3=1.5, surface_resistance_mpa=1.2,
    ...             refusal_depth_m=0.3, turf=0.9, bare=0.1, ece_ds_m=0.4, sar=1.0, ph=6.5, trunk_diameter_m=0.2,
    ...             crown_radius_m=3.0, salt_threshold_ds_m=2.0, salt_slope_pct=14.0, lock_up_per_ph=0.03)
    >>> now = State(lawn, central_parameters())
    >>> rates = {code: draw_rates(code, 1, np.random.default_rng(1)) for code in ("water", "mulch")}
    >>> both = Course("water+mulch", (Part("water", 1, 2), Part("mulch", 1, 5)))
    >>> [(float(s.site.mulch), float(s.site.irrigation_mm)) for s in
    ...  (course_state(both, now, year, rates, Worked()) for year in (1, 3))]
    [(1.0, 10.7), (1.0, 0.0)]
    """
    state = state_of("nothing", today, year, {}, worked)
    for part in course.parts:
        run = part.year_of(year)
        if run is not None and part.remedy != "nothing":
            change = _as_tried(part.remedy) if TIMES in rates[part.remedy] else _CHANGES[part.remedy]
            state = change(state, run, rates[part.remedy], worked, southern)
    return state


def _worked_share(site: Site, worked: Worked) -> FloatArray:
    """Share of the open ground that is worked; 0 where there is none."""
    turf, bare = np.asarray(site.turf, dtype=float), np.asarray(site.bare, dtype=float)
    return np.asarray((turf * worked.turf + bare * worked.bare) / np.maximum(turf + bare, 1e-9))


def _under_chips(site: Site, worked: Worked) -> Site:
    turf, bare = np.asarray(site.turf, dtype=float), np.asarray(site.bare, dtype=float)
    mulch = np.minimum(site.mulch + turf * worked.turf + bare * worked.bare, 1.0)
    return replace(site, mulch=mulch, turf=turf * (1.0 - worked.turf), bare=bare * (1.0 - worked.bare))


def _softer(site: Site, kept: FloatArray, to_m: FloatArray | float) -> Site:
    """Surface resistance times what is kept; of a cone's readings those near the surface."""
    cone = tuple(np.maximum(mpa * (kept + (1.0 - kept) * np.minimum(depth / to_m, 1.0)), SOFTEST_MPA)
                 for depth, mpa in zip(site.cone_depth_m, site.cone_resistance_mpa, strict=True))
    return replace(site, surface_resistance_mpa=site.surface_resistance_mpa * kept, cone_resistance_mpa=cone)


def _soaks(parameters: Parameters, by: FloatArray | float) -> Parameters:
    return replace(parameters, infiltration_error=parameters.infiltration_error * by)


def _denser(site: Site, change_mg_m3: FloatArray | float) -> FloatArray:
    return np.asarray(np.maximum(site.bulk_density_mg_m3 + change_mg_m3, LOOSEST_MG_M3))


def _mulch(today: State, year: int, rates: Rates, worked: Worked, southern: bool) -> State:
    share, site = _worked_share(today.site, worked), today.site
    softened = _softer(site, np.exp(-rates["softening_year"] * year * share), figure("softened_depth_m"))
    changed = replace(
        softened,
        organic_matter_pct=site.organic_matter_pct + rates["organic_matter_pct_year"] * year * share,
        bulk_density_mg_m3=_denser(site, -rates["density_loss_year"] * year * share),
        refusal_depth_m=site.refusal_depth_m + rates["refusal_gain_m_year"] * year * share)
    return replace(today, site=_under_chips(changed, worked),
                   parameters=_soaks(today.parameters, np.exp(rates["infiltration_gain_year"] * year * share)))


def _compost(today: State, year: int, rates: Rates, worked: Worked, southern: bool) -> State:
    site = today.site
    organic = figure("compost_organic_matter_pct") * rates["organic_matter_share"] * np.exp(
        -figure("compost_decay_year") * (year - 1))
    nitrogen = (figure("compost_nitrogen_kg_ha") * rates["nitrogen_share"] if year == 1
                else figure("compost_later_nitrogen_kg_ha"))
    changed = replace(site, organic_matter_pct=site.organic_matter_pct + organic,
                      nitrogen_added_kg_ha=site.nitrogen_added_kg_ha + nitrogen,
                      bulk_density_mg_m3=_denser(site, -figure("compost_density_loss")))
    return replace(today, site=changed, parameters=_soaks(today.parameters, figure("compost_infiltration")))


def _air_tillage(today: State, year: int, rates: Rates, worked: Worked, southern: bool) -> State:
    lasting = np.exp(-year / rates["settling_years"]) * _worked_share(today.site, worked)
    mulched = _mulch(today, year, rates, worked, southern)
    site = mulched.site
    loosened = 1.0 - figure("tilled_share_of_layers") * (1.0 - rates["density_kept"]) * lasting
    deeper = np.maximum(rates["tilled_depth_m"] - site.refusal_depth_m, 0.0) * lasting
    softened = _softer(site, 1.0 - (1.0 - rates["surface_kept"]) * lasting, rates["tilled_depth_m"])
    changed = replace(softened, bulk_density_mg_m3=np.maximum(site.bulk_density_mg_m3 * loosened, LOOSEST_MG_M3),
                      refusal_depth_m=site.refusal_depth_m + deeper,
                      organic_matter_pct=site.organic_matter_pct + rates["organic_matter_pct"] * lasting)
    cut = rates["roots_lost"] * _worked_share(today.site, worked) if year == 1 else 0.0
    return State(changed, mulched.parameters, today.growth_factor * (1.0 - cut))


def _turf_off(today: State, year: int, rates: Rates, worked: Worked, southern: bool) -> State:
    turf = np.asarray(today.site.turf, dtype=float)
    return replace(today, site=replace(today.site, turf=turf * (1.0 - worked.turf),
                                       bare=np.minimum(today.site.bare + turf * worked.turf, 1.0)))


def _water(today: State, year: int, rates: Rates, worked: Worked, southern: bool) -> State:
    row = table("prescribe/remedies").row(remedy="water")
    depth, every = float(row["water_mm"]), int(row["every_days"])
    already = np.asarray(today.site.irrigation_mm) / today.site.irrigation_every_days * every
    first, last = WATERED_FROM_TO[southern]
    return replace(today, site=replace(today.site, irrigation_mm=np.maximum(already, depth),
                                       irrigation_every_days=every, irrigation_first_day=first,
                                       irrigation_last_day=last))


def _leach(today: State, year: int, rates: Rates, worked: Worked, southern: bool) -> State:
    floor = figure("leached_ece_ds_m")
    left = floor + np.maximum(today.site.ece_ds_m - floor, 0.0) * rates["salt_left"]
    return replace(today, site=replace(today.site, ece_ds_m=np.minimum(today.site.ece_ds_m, left)))


def _gypsum(today: State, year: int, rates: Rates, worked: Worked, southern: bool) -> State:
    sar = np.asarray(today.site.sar, dtype=float)
    treated = np.where(sar >= figure("gypsum_from_sar"), sar * np.exp(-rates["sodium_loss_year"] * year), sar)
    return replace(today, site=replace(today.site, sar=treated))


def _slow_nitrogen(today: State, year: int, rates: Rates, worked: Worked, southern: bool) -> State:
    added = figure("nitrogen_kg_ha") * rates["taken_up"]
    return replace(today, site=replace(today.site, nitrogen_added_kg_ha=today.site.nitrogen_added_kg_ha + added))


def _extract(today: State, year: int, rates: Rates, worked: Worked, southern: bool) -> State:
    return replace(today, growth_factor=today.growth_factor * (1.0 + rates["growth"]))


Change = Callable[[State, int, Rates, Worked, bool], State]


def _as_tried(remedy: str) -> Change:
    """What its trials say it adds to what the untreated trees of such a trial get."""
    def change(today: State, year: int, rates: Rates, worked: Worked, southern: bool) -> State:
        state = _mulch(today, year, rates, worked, southern) if remedy in MULCHED_TOO else today
        return replace(state, growth_factor=state.growth_factor * rates[TIMES])

    return change


_CHANGES: Mapping[str, Change] = {
    "mulch": _mulch, "compost": _compost, "air_tillage": _air_tillage, "turf_off": _turf_off, "water": _water,
    "leach": _leach, "gypsum": _gypsum, "slow_nitrogen": _slow_nitrogen, "extract": _extract,
}
