"""Which reading to take before the money is spent: what it could change in the plan at one tree, less what it costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
import numpy.typing as npt

from rootcase.casework.draws import FloatArray, stream
from rootcase.casework.explain.ahead import readings_ahead
from rootcase.casework.explain.explain import tree_of
from rootcase.casework.explain.ground import ground_of
from rootcase.casework.explain.signs.ahead import LookAhead, looks_ahead
from rootcase.casework.explain.site import tree_inputs
from rootcase.casework.prescribe.case import CONCERN, Case, case_of
from rootcase.casework.prescribe.outlooks import draws_at
from rootcase.casework.prescribe.remedies import YEARS, figure
from rootcase.records.explain import Explanation, NextReading
from rootcase.records.observe import PriceBook, PropertyRecord
from rootcase.records.outlook import NOTHING, Outlooks
from rootcase.records.prescribe import Plan, PlanReading, TreePrescription
from rootcase.science.choice.decision import LEAST_GAIN
from rootcase.science.inference.beyond import NINE_IN_TEN
from rootcase.science.inference.next_reading import PlanValue, answers_value, plan_value
from rootcase.science.inference.posterior import posterior
from rootcase.tables.load import table
from rootcase.tables.readings import kind_of

HOUR, LABORATORY = "reading hour", "laboratory"
"""Items of the price book."""
LABORATORY_TELLS = "sample_cores"
WEIGHED = ("chosen", "possible", "gain too small", "costs more than it gives")
NOT_THE_SOIL = "not_the_soil"
DAYS = 365.25 * YEARS
MINUTES_PER_HOUR = 60.0
NINE_IN_TEN_SD = 2.0 * NINE_IN_TEN
"""Standard deviations between the ends of nine in ten of a normal law."""
LEAST_MINUTES = 0.5
"""A look takes so long with what is written down. JUDGEMENT."""


@dataclass(frozen=True, slots=True)
class Choice:
    """A course that may be taken at a tree."""

    remedy: str
    gain: FloatArray
    """(draws,) mean of five years. [share of the yardstick's growth]"""
    cost: float


def with_next_readings(plan: Plan, record: PropertyRecord, explanations: Sequence[Explanation],
                       outlooks: Sequence[Outlooks], book: PriceBook) -> Plan:
    """The plan with the readings that are worth taking first at each of its trees.

    Parameters
    ----------
    plan : for the property.
    record : the property, corrections applied.
    explanations : those the plan was made from.
    outlooks : growth ahead, one for each explanation.
    book : the practice's prices.

    Returns
    -------
    Plan, nothing else changed.

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    Nothing is weighed where growth was not read, where something could fail, or where too few draws tell. What is
    forbidden, answers no need or waits for a test is no choice; its own reason says what to read. Where a tree still
    roots in, water comes first whatever is read. Where a cause outside the soil leads it is never told that enough was
    read: what would be done about that cause is priced nowhere, and the look at it stands with the signs.

    References
    ----------
    `readings_for_plan`.

    Examples
    --------
    >>> from datetime import date
    >>> from rootcase.records.observe import Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> none = PropertyRecord(owner, (), (), (), (), (), (), (), {})
    >>> plan = Plan("p", (), 0.0, 0.0, None, "CHF", 0.0, 0.0, (), (), True, (), date(2015, 11, 4), 10, 1)
    >>> with_next_readings(plan, none, (), (), PriceBook("CHF", ())) == plan
    True
    """
    explained = {each.tree_id: each for each in explanations}
    ahead = {each.tree_id: each for each in outlooks}
    trees = tuple(_read_next(tree, record, explained[tree.tree_id], ahead[tree.tree_id], book, plan.seed)
                  for tree in plan.trees)
    return replace(plan, trees=trees)


def _read_next(tree: TreePrescription, record: PropertyRecord, explanation: Explanation, outlooks: Outlooks,
               book: PriceBook, seed: int) -> TreePrescription:
    if explanation.observed_share is None or not explanation.next_readings or tree.reason == CONCERN:
        return tree
    choices = choices_at(tree, case_of(record, explanation, outlooks, book))
    readings = readings_for_plan(record, explanation, outlooks.picked, choices, book, seed=seed,
                                 worth=figure("worth_m2") * outlooks.root_zone_m2)
    if not readings and tree.reason == NOT_THE_SOIL:
        return tree
    return replace(tree, next_for_plan=readings, enough_read=not readings)


def choices_at(tree: TreePrescription, case: Case) -> tuple[Choice, ...]:
    """What a reading may yet decide between at a tree, beside leaving it alone.

    Parameters
    ----------
    tree : what the plan says of it.
    case : the tree with every course reckoned.

    Returns
    -------
    Choices; none where it still roots in and is watered first.

    Raises
    ------
    Nothing.

    Notes
    -----
    Courses that are allowed, needed, priced and inside the model, whatever they gain.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> from types import SimpleNamespace as Told
    >>> choices_at(Told(remedies=()), Told(treatments=()))
    ()
    """
    if any(each.reason == "water_first" for each in tree.remedies):
        return ()
    may = {each.remedy for each in tree.remedies if each.verdict in WEIGHED and each.reason != "trial_only"}
    return tuple(Choice(each.code, each.outlook.gain.mean(axis=0), each.cost) for each in case.treatments
                 if each.code in may - {NOTHING} and each.outlook is not None and each.cost is not None)


@dataclass(frozen=True, slots=True)
class Stakes:
    """What may be done at a tree, leaving it alone first, and what it is worth."""

    codes: tuple[str, ...]
    gains: FloatArray
    """(courses, draws)"""
    costs: FloatArray
    worth: float
    """Of one full share of the yardstick's growth at this tree, over five years. [money]"""

    @property
    def net_benefits(self) -> FloatArray:
        return np.asarray(self.worth * self.gains - self.costs[:, None])

    @property
    def least(self) -> FloatArray:
        """Net benefit of a gain that could just be seen."""
        return LEAST_GAIN * self.worth - self.costs


def readings_for_plan(record: PropertyRecord, explanation: Explanation, picked: npt.NDArray[np.int64],
                      choices: Sequence[Choice], book: PriceBook, *, worth: float,
                      seed: int) -> tuple[PlanReading, ...]:
    """The readings that are worth more to the plan at one tree than they cost, the best for its minutes first.

    Parameters
    ----------
    record : the property, corrections applied, or the slice of it that decides this tree.
    explanation : of this tree; its own list of next readings says what each costs.
    picked : (draws,) which of the explanation's draws the gains are of, each as often as its weight says.
    choices : courses that may be taken beside leaving the tree alone, each of so many draws.
    book : the practice's prices.
    worth : of one full share of the yardstick's growth at this tree, over five years. [money]
    seed : start of the random streams.

    Returns
    -------
    PlanReading, money in the book's currency; none where no reading is worth its cost.

    Raises
    ------
    Missing : a table lacks what is needed.
    OutOfRange : fewer than ten draws.

    Notes
    -----
    A course is worth `worth` times its gain, less its cost; nothing is worth nothing. Each reading is simulated in
    every draw with its own error, as `readings_ahead` does; a look at a sign changes the chance of a cause outside the
    soil and with it the draws' weights, exactly. A course is taken where it is expected to gain ten points and to be
    worth its cost: the rule by which the plan is made, and the purse is not looked at. A reading costs its minutes, a
    laboratory's fee, and the gain of the best course put off by the days to its answer, as that share of five years;
    the way to the tree is not in it. An hour and a fee the book does not tell are judged.

    References
    ----------
    `plan_value`, `answers_value`. Table prescribe/reading_costs: JUDGEMENT.

    Examples
    --------
    >>> from types import SimpleNamespace as Told
    >>> readings_for_plan(Told(), Told(next_readings=()), np.arange(100), (), PriceBook("CHF", ()), worth=1.0, seed=1)
    ()
    """
    if not explanation.next_readings or not choices:
        return ()
    tree = tree_of(record, explanation.tree_id)
    inputs = tree_inputs(record, tree, draws=explanation.draws, seed=explanation.seed)
    inputs = replace(inputs, tree=draws_at(inputs.tree, picked), parameters=inputs.parameters.at(picked))
    stakes = _stakes(choices, worth)
    ground = ground_of(record, [tree])
    ahead = readings_ahead(inputs, partial(stream, seed, "reading for the plan", tree.id), ground.made)
    found = [_told(reading, plan_value(stakes.net_benefits, ahead[reading.kind].read, least=stakes.least), stakes, book)
             for reading in explanation.next_readings if reading.kind in ahead]
    looks = looks_ahead(ground, explanation.limit_draws)
    return ranked([*found, *_looks(looks, explanation, picked, stakes, book)])


def _stakes(choices: Sequence[Choice], worth: float) -> Stakes:
    gains = np.stack([0.0 * choices[0].gain, *(choice.gain for choice in choices)])
    costs = np.array([0.0, *(choice.cost for choice in choices)])
    return Stakes((NOTHING, *(choice.remedy for choice in choices)), gains, costs, worth)


def _looks(looks: Sequence[LookAhead], explanation: Explanation, picked: npt.NDArray[np.int64], stakes: Stakes,
           book: PriceBook) -> list[PlanReading]:
    """Of each reading of signs the sign that is worth most."""
    before = 1.0 if explanation.signs is None else explanation.signs.chance_soil_alone
    if explanation.observed_share is None or not 0.0 < before < 1.0:
        return []
    alone = _alone(explanation)[picked]
    best = dict[str, PlanReading]()
    for look in looks:
        answers = np.clip([chance * (left / before * alone + (1.0 - left) / (1.0 - before) * (1.0 - alone))
                           for chance, left in ((look.chance, look.alone_if_there),
                                                (1.0 - look.chance, look.alone_if_not))], 0.0, 1.0)
        value = answers_value(stakes.net_benefits, answers, least=stakes.least)
        kind = kind_of(look.kind)
        reading = NextReading(
            kind=kind.kind, tools=kind.tools, season=kind.season, times=1, minutes=max(kind.minutes, LEAST_MINUTES),
            days_to_answer=None, ground_opened=kind.season.startswith("soil"), taken_before=False, share_removed=0.0,
            share_removed_per_minute=0.0)
        told = _told(reading, value, stakes, book)
        if kind.kind not in best or told.worth > best[kind.kind].worth:
            best[kind.kind] = told
    return list(best.values())


def ranked(readings: Sequence[PlanReading]) -> tuple[PlanReading, ...]:
    """Those surely worth more than they cost, by what is left over for a minute.

    Parameters
    ----------
    readings : of one tree.

    Returns
    -------
    PlanReading, the best first.

    Raises
    ------
    Nothing.

    Notes
    -----
    Sure is by more than the standard error of the worth. Of two alike the shorter first.

    References
    ----------
    None: JUDGEMENT that minutes are what is short in the field, and of the one standard error.

    Examples
    --------
    >>> ranked(())
    ()
    """
    paying = [each for each in readings if each.worth - each.worth_error > each.cost]
    return tuple(sorted(paying, key=lambda each: (-(each.worth - each.cost) / each.minutes, each.minutes, each.kind)))


def _alone(explanation: Explanation) -> FloatArray:
    """Chance, in each draw, that nothing outside the soil takes growth; the error of the share from its nine in ten."""
    seen, signs = explanation.observed_share, explanation.signs
    assert seen is not None
    assert signs is not None
    error = float(np.log(seen.high / seen.low)) / NINE_IN_TEN_SD
    after = posterior(explanation.share_draws, seen.median, error, chance_soil_alone=signs.chance_soil_alone)
    return np.asarray(1.0 - after.left_by_draw.sum(axis=1))


def _told(reading: NextReading, value: PlanValue, stakes: Stakes, book: PriceBook) -> PlanReading:
    others = value.chances.copy()
    others[value.best] = 0.0
    fee = _price(LABORATORY, book) if reading.kind == LABORATORY_TELLS else 0.0
    put_off = max(stakes.worth * float(stakes.gains[value.best].mean()), 0.0)
    waiting = (reading.days_to_answer or 0) / DAYS * put_off
    return PlanReading(
        kind=reading.kind, tools=reading.tools, season=reading.season, minutes=reading.minutes,
        days_to_answer=reading.days_to_answer, ground_opened=reading.ground_opened, taken_before=reading.taken_before,
        laboratory_fee=fee, cost=minutes_cost(reading.minutes, book) + fee + waiting, worth=value.worth,
        worth_error=value.standard_error, plan_now=stakes.codes[value.best],
        chance_of_change=float(others.sum()), would_become=stakes.codes[int(np.argmax(others))])


def minutes_cost(minutes: float, book: PriceBook) -> float:
    """What time in the field costs.

    Parameters
    ----------
    minutes : of whoever reads, 0 or more.
    book : the practice's prices.

    Returns
    -------
    Money; by the book's price of an hour of reading, else by a judged one.

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    Table prescribe/reading_costs: JUDGEMENT.

    Examples
    --------
    >>> from rootcase.records.observe import Price
    >>> minutes_cost(30.0, PriceBook("USD", (Price("reading hour", "per_hour", 90.0, "USD", "made up"),)))
    45.0
    """
    return minutes / MINUTES_PER_HOUR * _price(HOUR, book)


def _price(item: str, book: PriceBook) -> float:
    judged = float(table("prescribe/reading_costs").row(item=item)["amount"])
    return next((each.amount for each in book.prices if each.item == item), judged)
