"""One tree's growth over five seasons under every course that may be asked about; the part that takes time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields, replace

import numpy as np
import numpy.typing as npt

from rootcase.casework.draws import FloatArray, observed_share, stream
from rootcase.casework.explain.explain import tree_of
from rootcase.casework.explain.ground import ground_of
from rootcase.casework.explain.site import central_site, tree_inputs
from rootcase.casework.explain.weather import growth_weather
from rootcase.casework.prescribe.courses import Course, courses
from rootcase.casework.prescribe.forward import Outlook, growth_ahead, outlook
from rootcase.casework.prescribe.learned import learned_rates
from rootcase.casework.prescribe.lifted import FREE, lifted, remedies_of, turf_worked
from rootcase.casework.prescribe.remedies import YEARS, figure, remedies
from rootcase.casework.prescribe.settling import settling_years
from rootcase.casework.prescribe.states import Rates, State, Worked, course_state, draw_rates, state_of
from rootcase.casework.prescribe.wishes import Wishes, wishes_of
from rootcase.records.compare import TreeComparison
from rootcase.records.explain import Explanation
from rootcase.records.observe import PropertyRecord, Weather
from rootcase.records.outlook import NOTHING, CourseOutlook, Outlooks
from rootcase.science.choice.decision import LEAST_GAIN
from rootcase.science.tree.lanes import lanes_of
from rootcase.science.tree.parameters import central_parameters
from rootcase.science.tree.site import COVERS, Site
from rootcase.science.zones.amounts import ring_area_m2

Covers = dict[str, float]
Indices = npt.NDArray[np.int64]
Runs = dict[tuple[str, float], tuple[Course, float]]
"""Courses with so much of the turf worked, by both."""
TOGETHER = 2.0
"""How much more than the sum of its parts a course is thought to gain at most, when it is left out. JUDGEMENT."""
POINTS = 100.0


def outlooks_of(record: PropertyRecord, explanation: Explanation, compared: TreeComparison, weather: Weather, *,
                draws: int, seed: int, threads: int) -> Outlooks:
    """Growth ahead at one tree under each course.

    Parameters
    ----------
    record : the property, corrections applied, or the slice of it that decides this tree.
    explanation : of this tree.
    compared : its comparison.
    weather : daily weather with reference evapotranspiration filled in.
    draws : how many of the explanation's draws are used, above 0.
    seed : start of the random streams of the remedies.
    threads : how many the engine may use.

    Returns
    -------
    Outlooks. [share of the yardstick's growth]

    Raises
    ------
    Missing : the weather is too short, a table lacks what is needed, or there is no such tree.

    Notes
    -----
    The explanation's inputs are drawn again from its own seed and so many of them taken as their conditioned weights
    say. A remedy draws the same rates alone and in a course. Courses of several are run where each part alone gains
    half a point and twice the sum of the parts could be seen; with as much turf as the wishes leave, and as each wish
    would leave if it alone were lifted. The ground over the roots is that of `central_site`, whatever was drawn.
    Prices, budget and other trees do not enter.

    References
    ----------
    docs/prescribe.md: JUDGEMENT where marked there.

    Examples
    --------
    >>> from rootcase.ground.errors import Missing
    >>> from rootcase.records.observe import Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> nobody = PropertyRecord(owner, (), (), (), (), (), (), (), {})
    >>> from types import SimpleNamespace
    >>> unknown = SimpleNamespace(tree_id="t")
    >>> try:
    ...     outlooks_of(nobody, unknown, None, None, draws=1, seed=1, threads=1)
    ... except Missing as missing:
    ...     print(missing.what)
    there is no such tree
    """
    tree = tree_of(record, explanation.tree_id)
    southern = record.property.latitude_deg < 0
    inputs = tree_inputs(record, tree, draws=explanation.draws, seed=explanation.seed)
    few = min(draws, explanation.draws)
    picked = by_weight(explanation.weights, few)
    today = State(draws_at(inputs.tree, picked), inputs.parameters.at(picked))
    settling = settling_years(explanation, today.site, weather)
    wishes = wishes_of(ground_of(record, [tree]))
    days, _ = growth_weather(weather, (explanation.growth_years[-1],), record.property.latitude_deg,
                             today.site.spring_window_days)
    seen = observed_share(compared.log_share_draws, explanation.draws, stream(explanation.seed, "observed", tree.id))
    share_now = explanation.share_draws[picked] if seen is None else seen[:few]
    rates: dict[str, Rates] = {r.code: draw_rates(r.code, few, stream(seed, "prescribe", tree.id, r.code))
             for r in remedies() if r.in_model}

    def ahead(runs: Runs, rates: Mapping[str, Rates]) -> dict[str, FloatArray]:
        plans = {_name(*key): years_ahead(course, today, rates, turf, southern) for key, (course, turf) in runs.items()}
        return growth_ahead(today, plans, days, threads)

    central = central_site(record, tree)
    every, covers = courses(settling), covers_of(central)
    alone = _runs([course for course in every if not course.several], wishes, covers)
    grown = ahead(alone, rates)
    learned = learned_rates(record.learned, rates, _as_wished(alone, outlook(grown, share_now)),
                            lambda code: stream(seed, "learned", tree.id, code).standard_normal(few))
    rates |= learned
    if learned:
        grown |= ahead({key: run for key, run in alone.items() if key[0] in learned}, rates)
    gains = {name: float(each.gain.mean()) for name, each in outlook(grown, share_now).items()}
    together = {key: run for key, run in _runs([c for c in every if c.several], wishes, covers).items()
                if _may_be_seen(run[0], gains)}
    if together:
        grown |= ahead(together, rates)
    shares = outlook(grown, share_now)
    return Outlooks(tree.id, picked, settling, _root_zone_m2(central), tuple(
        CourseOutlook(course, turf, shares[_name(course, turf)].share) for course, turf in (*alone, *together)))


def covers_of(site: Site) -> dict[str, float]:
    """What lies on the ground over the roots.

    Parameters
    ----------
    site : n draws.

    Returns
    -------
    Mean share by cover. [-]

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> from types import SimpleNamespace as Told
    >>> covers_of(Told(litter=0.0, mulch=0.0, turf=np.array([0.75, 0.25]), bare=0.25, paved=0.25))["turf"]
    0.5
    """
    return {cover: float(np.mean(getattr(site, cover))) for cover in COVERS}


def years_ahead(course: Course, today: State, rates: Mapping[str, Rates], turf: float,
                southern: bool) -> tuple[State, ...]:
    """The ground of years 1 to 5 under a course.

    Parameters
    ----------
    course : its parts.
    today : the ground as it is.
    rates : drawn rates by remedy.
    turf : share of the turf that is worked. [-]
    southern : whether the ground lies on the southern half of the earth.

    Returns
    -------
    tuple of five States.

    Raises
    ------
    Missing : a remedy is not inside the model.

    Notes
    -----
    None.

    References
    ----------
    `states.course_state`.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> lawn = Site(sand=0.4, clay=0.2, organic_matter_pct=2.0, turf=1.0, ece_ds_m=0.4, sar=1.0, ph=6.5,
    ...             trunk_diameter_m=0.2, crown_radius_m=3.0, salt_threshold_ds_m=2.0, salt_slope_pct=14.0,
    ...             lock_up_per_ph=0.03, years_since_planting=2.0)
    >>> nothing = years_ahead(courses()[0], State(lawn, central_parameters()), {}, 1.0, False)
    >>> [float(state.site.years_since_planting) for state in nothing]
    [3.0, 4.0, 5.0, 6.0, 7.0]
    """
    return tuple(course_state(course, today, year, rates, Worked(turf=turf), southern=southern)
                 for year in range(1, YEARS + 1))


def by_weight(weights: FloatArray, draws: int) -> Indices:
    """Which draws stand for all of them, each as often as its weight says.

    Parameters
    ----------
    weights : (n,) weights, >= 0, some above. [-]
    draws : how many are taken, above 0.

    Returns
    -------
    (draws,) indices, rising; of equal weights those evenly spaced.

    Raises
    ------
    Nothing.

    Notes
    -----
    Evenly spaced points on the sum of weights, so that no chance enters.

    References
    ----------
    Systematic resampling: Kitagawa 1996, Monte Carlo filter and smoother, J. Comput. Graph. Stat. 5:1-25 (memory).

    Examples
    --------
    >>> by_weight(np.array([0.0, 1.0, 1.0, 2.0]), 4).tolist()
    [1, 2, 3, 3]
    """
    points = (np.arange(draws) + 0.5) / draws * weights.sum()
    picked: Indices = np.minimum(np.searchsorted(np.cumsum(weights), points), weights.size - 1)
    return picked


def draws_at(site: Site, picked: Indices) -> Site:
    """The site of some of its draws.

    Parameters
    ----------
    site : n draws.
    picked : indices of draws, each below n, also several times.

    Returns
    -------
    Site of so many draws.

    Raises
    ------
    Nothing.

    Notes
    -----
    A number for all draws stays one.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> site = Site(sand=0.4, clay=np.array([0.2, 0.3]), organic_matter_pct=2.0, litter=1.0, ece_ds_m=0.4, sar=1.0,
    ...             ph=6.5, trunk_diameter_m=0.2, crown_radius_m=3.0, salt_threshold_ds_m=2.0, salt_slope_pct=14.0,
    ...             lock_up_per_ph=0.03)
    >>> draws_at(site, np.array([1, 1])).clay.tolist(), draws_at(site, np.array([0])).sand
    ([0.3, 0.3], 0.4)
    """
    def cut(value: object) -> object:
        return value[picked] if isinstance(value, np.ndarray) and value.ndim else value

    kept = {field.name: cut(getattr(site, field.name)) for field in fields(Site)}
    kept["cone_resistance_mpa"] = tuple(cut(mpa) for mpa in site.cone_resistance_mpa)
    return replace(site, **kept)  # type: ignore[arg-type]  # names and values are the site's own


def _name(course: str, turf: float) -> str:
    """Of one run; doing nothing keeps its own."""
    return course if course == NOTHING else f"{course} {turf:g}"


def _runs(every: Sequence[Course], wishes: Wishes, covers: Mapping[str, float]) -> Runs:
    """Each course with as much turf as the wishes leave, and as each wish would leave if it alone were lifted."""
    return {(course.code, turf): (course, turf) for course in every for asked in (
        wishes, *(lifted(wishes, kind) for kind in FREE))
        for turf in (turf_worked(remedies_of(course), asked, covers["turf"], covers["bare"]),)}


def _as_wished(alone: Runs, seen: Mapping[str, Outlook]) -> dict[str, FloatArray]:
    """Shares of each remedy by itself as the wishes stand, whose run comes first."""
    first = {code: _name(code, turf) for code, turf in reversed(alone)}
    return {code: seen[name].share for code, name in first.items()}


def _may_be_seen(course: Course, gains: Mapping[str, float]) -> bool:
    """Whether each part gains something by itself, and all of them together perhaps what can be seen."""
    parts = [max((gain for name, gain in gains.items() if name.split()[0] == part.remedy), default=0.0)
             for part in course.parts]
    return (min(parts) >= figure("no_shortage_points") / POINTS) and TOGETHER * sum(parts) >= LEAST_GAIN


def _root_zone_m2(central: Site) -> float:
    """Ground over the roots in five years."""
    then = state_of(NOTHING, State(central, central_parameters()), YEARS, {}, Worked())
    crown_m2 = ring_area_m2(central.crown_radius_m, 0.0)
    return float(np.median(crown_m2 / lanes_of(then.site, then.parameters).crown_per_ground))
