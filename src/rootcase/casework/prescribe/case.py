"""One tree's remedies reckoned: gain, dose, cost, what bars each, before the programme chooses."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np
import numpy.typing as npt

from rootcase.casework.draws import FloatArray, observed_share, stream
from rootcase.casework.explain.explain import tree_of
from rootcase.casework.explain.ground import Ground, ground_of
from rootcase.casework.explain.site import tree_inputs
from rootcase.casework.explain.weather import growth_weather
from rootcase.casework.prescribe.doses import cost_of, dose_of
from rootcase.casework.prescribe.forward import Outlook, growth_ahead, outlook
from rootcase.casework.prescribe.needs import LITTLE, Standing, law_of_the_trade, no_use
from rootcase.casework.prescribe.remedies import YEARS, Remedy, remedies
from rootcase.casework.prescribe.states import State, Worked, draw_rates, state_of
from rootcase.casework.prescribe.wishes import barred_by, wishes_of, worked_share
from rootcase.records.compare import TreeComparison
from rootcase.records.explain import Explanation
from rootcase.records.observe import PriceBook, PropertyRecord, Tree, Weather
from rootcase.records.prescribe import Dose
from rootcase.science.tree.lanes import lanes_of
from rootcase.science.tree.site import COVERS, Site

Covers = dict[str, float]
Indices = npt.NDArray[np.int64]
CONCERN = "structural_concern"
"""Something that could fail was seen: nobody works under the tree."""
TRADE_RULES = ("newly_planted", "drains_badly")
"""Reasons that are the trade's and not the client's."""


@dataclass(frozen=True, slots=True)
class Treatment:
    """One remedy at one tree."""

    remedy: Remedy
    dose: Dose | None
    cost: float | None
    """Of itself over five years."""
    outlook: Outlook | None
    """None where the model cannot reckon it; of a barred remedy as if it were allowed."""
    mean_gain: float
    barred: str
    """Why it may not be used; key of the words under prescribe.reason."""
    only_part: bool
    """Whether the client lets us work but a part of the ground it needs."""
    no_use: str
    """Why there is no need of it here."""

    @property
    def first_year_cost(self) -> float:
        return (self.cost or 0.0) * self.remedy.first_year_share


@dataclass(frozen=True, slots=True)
class Case:
    """A tree with its explanation and every remedy reckoned."""

    tree: Tree
    explanation: Explanation
    ground: Ground
    treatments: tuple[Treatment, ...]
    root_zone_m2: float
    allowed_share: float
    ph: float
    """Medians of what the model was told."""
    ece_ds_m: float
    years_since_planting: float

    def of(self, code: str) -> Treatment:
        return next(each for each in self.treatments if each.remedy.code == code)


def case_of(record: PropertyRecord, explanation: Explanation, compared: TreeComparison, weather: Weather,
            book: PriceBook, *, draws: int, seed: int, threads: int) -> Case:
    """Every remedy reckoned at one tree.

    Parameters
    ----------
    record : the property, corrections applied.
    explanation : of this tree.
    compared : its comparison.
    weather : daily weather with reference evapotranspiration filled in.
    book : the practice's prices.
    draws : how many of the explanation's draws are used, above 0.
    seed : start of the random streams of the remedies.
    threads : how many the engine may use.

    Returns
    -------
    Case.

    Raises
    ------
    Missing : the weather is too short, or a table lacks what is needed.

    Notes
    -----
    The explanation's inputs are drawn again from its own seed and so many of them taken as their conditioned weights
    say. Doses are for the ground over the roots as it will be in five years.

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
    ...     case_of(nobody, unknown, None, None, PriceBook("CHF", ()), draws=1, seed=1, threads=1)
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
    ground = ground_of(record, [tree])
    wishes = wishes_of(ground)
    worked = worked_share(wishes)
    covers = {cover: float(np.mean(getattr(today.site, cover))) for cover in COVERS}
    barred = {r.code: barred_by(r, wishes, worked, covers["turf"], covers["bare"]) for r in remedies()}
    allowed = {code: Worked() if reason else worked for code, reason in barred.items()}
    concern = ground.choice(CONCERN)
    if concern is not None and concern.choice == "seen":
        barred = {code: "" if code == "nothing" else CONCERN for code in barred}
    days, _ = growth_weather(weather, (explanation.growth_years[-1],), record.property.latitude_deg,
                             today.site.spring_window_days)
    plans = {r.code: _years_ahead(r.code, today, allowed[r.code], stream(seed, "prescribe", tree.id, r.code), southern)
             for r in remedies() if r.in_model}
    seen = observed_share(compared.log_share_draws, explanation.draws, stream(explanation.seed, "observed", tree.id))
    gains = outlook(growth_ahead(today, plans, days, threads),
                    explanation.share_draws[picked] if seen is None else seen[:few])
    zone_m2 = _root_zone_m2(plans["nothing"][-1])
    clay = float(np.median(today.site.clay))
    standing = Standing(ground, today.site, covers)
    case = Case(tree, explanation, ground, (), zone_m2,
                1.0 - covers["paved"] - covers["turf"] * (1.0 - worked.turf), standing.middle("ph"),
                standing.middle("ece_ds_m"), standing.middle("years_since_planting"))
    treatments = []
    for remedy in remedies():
        dose = dose_of(remedy, zone_m2, covers, allowed[remedy.code], clay)
        each = gains.get(remedy.code)
        mean = 0.0 if each is None else float(each.gain.mean())
        reason = barred[remedy.code] or law_of_the_trade(remedy, standing)
        part = not reason and remedy.ground in ("open", "turf") and worked.turf < 1.0 and covers["turf"] > LITTLE
        treatments.append(Treatment(remedy, dose, cost_of(remedy, dose, book), each, mean, reason, part,
                                    no_use(remedy, standing, mean)))
    return replace(case, treatments=tuple(treatments))


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


def _years_ahead(code: str, today: State, worked: Worked, rng: np.random.Generator,
                 southern: bool) -> tuple[State, ...]:
    rates = draw_rates(code, today.parameters.draws, rng)
    return tuple(state_of(code, today, year, rates, worked, southern=southern) for year in range(1, YEARS + 1))


def _root_zone_m2(state: State) -> float:
    crown_m2 = np.pi * np.asarray(state.site.crown_radius_m) ** 2
    return float(np.median(crown_m2 / lanes_of(state.site, state.parameters).crown_per_ground))
