"""An offer of a plan: what may be said yes to, each with its work and its price to the smallest coin."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal
from math import fsum
from typing import Any

from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.observe import Practice
from rootcase.records.offer import Arms, Offer, OfferOption, OfferPrice, OfferWork, OptionKind
from rootcase.records.prescribe import Dose, FrontierPoint, Plan, RemedyOutcome, Step, TreePrescription
from rootcase.tables.currencies import digits_of
from rootcase.tables.load import table

NOTHING = "nothing"
_SUMMED = ("area_m2", "turf_m2", "volume_m3", "mass_kg", "litres", "holes", "trench_m")
_SHARED = ("depth_m", "water_mm", "every_days", "hole_m", "spacing_m", "parts", "season")


@dataclass(frozen=True, slots=True)
class _AtTree:
    tree_id: str
    steps: tuple[Step, ...]


def offer_figure(name: str) -> float:
    """A figure of the table of offers.

    Parameters
    ----------
    name : as the table calls it.

    Returns
    -------
    float, in the unit of its row.

    Raises
    ------
    Missing : the table has no such figure.

    Notes
    -----
    None.

    References
    ----------
    Table prescribe/offer_figures: JUDGEMENT.

    Examples
    --------
    >>> offer_figure("valid_days")
    30.0
    """
    return float(table("prescribe/offer_figures").row(figure=name)["value"])


def in_coins(amount: float, currency: str) -> float:
    """An amount to the smallest coin of its currency, halves up.

    Parameters
    ----------
    amount : 0 or more. [money]
    currency : three letters.

    Returns
    -------
    float. [money]

    Raises
    ------
    Nothing.

    Notes
    -----
    The decimal text of the amount is rounded, not its binary fraction: 1.005 becomes 1.01.

    References
    ----------
    Table prescribe/minor_units: ISO 4217:2015 (memory). Halves up: common practice, no source.

    Examples
    --------
    >>> in_coins(1.005, "USD"), in_coins(1234.5, "JPY"), in_coins(0.0125, "KWD")
    (1.01, 1235.0, 0.013)
    """
    step = Decimal(1).scaleb(-digits_of(currency))
    return float(Decimal(repr(float(amount))).quantize(step, ROUND_HALF_UP))


def offer_of(plan: Plan, arms: Sequence[Arms], practice: Practice, *, plan_mark: str, signed: bool, today: date,
             budgets: Sequence[float] = ()) -> Offer:
    """What is put to the client of a plan.

    Parameters
    ----------
    plan : as it stands signed, or as it is prescribed.
    arms : who goes without what is in doubt; none where nobody has signed.
    practice : its name, tax, terms and how long its offers hold.
    plan_mark : SHA-256 of the plan.
    signed : whether somebody signed it.
    today : the day of the offer.
    budgets : for which a smaller step is offered beside the plan, each 0 or more; none: one modest step. [money]

    Returns
    -------
    Offer. Leaving it alone is option 0, the plan option 1, smaller steps come behind it, a trial last.

    Raises
    ------
    Missing : what a tree gets has no price, or nobody knows how much of it to give.

    Notes
    -----
    Sums are of lines in whole coins, so that what is printed adds up and the same work costs the same in every year;
    they may be some coins beside the plan's. The tax is of the sum. A smaller step is the best
    of the plan's own steps whose first year is within the budget; the modest one is within half of the plan's.

    References
    ----------
    Table prescribe/offer_figures: JUDGEMENT.

    Examples
    --------
    >>> empty = Plan("p", (), 0.0, 0.0, None, "USD", 0.0, 0.0, (), (), True, (), date(2016, 1, 15), 10, 1)
    >>> offer = offer_of(empty, (), Practice(valid_days=14), plan_mark="m", signed=False, today=date(2016, 1, 15))
    >>> [option.kind for option in offer.options], offer.valid_until
    (['nothing'], datetime.date(2016, 1, 29))
    """
    of_trees = {tree.tree_id: tree for tree in plan.trees}
    free = OfferPrice(0.0, 0.0, 0.0)
    found = [OfferOption(0, "nothing", (), (0.0, 0.0), free, free, 0.0)]
    if plan.items:
        found.append(_option(plan, practice, "plan", _laid_out(plan, arms, of_trees),
                             (plan.first_year_cost, plan.total_cost), _whole_steps(plan), plan.gain_points_m2))
    for point in _smaller(plan, budgets):
        steps = [_AtTree(tree, _steps(_outcome(of_trees[tree], code))) for tree, code in point.treated]
        found.append(_option(plan, practice, "less", steps, (point.first_year_cost, point.total_cost), steps,
                             point.gain_points_m2))
    found += [option for each in arms if (option := _trial(plan, practice, each, of_trees)) is not None]
    valid = timedelta(days=int(practice.valid_days or offer_figure("valid_days")))
    return Offer(plan.property_id, plan_mark, signed, today, today + valid, plan.currency,
                 tuple(replace(option, number=number) for number, option in enumerate(found)), practice.tax_name,
                 practice.tax_pct, practice.terms, practice.name)


def _option(plan: Plan, practice: Practice, kind: OptionKind, at_trees: Sequence[_AtTree], costs: tuple[float, float],
            whole: Sequence[_AtTree], gain: float | None) -> OfferOption:
    """An option of this work; `costs` are of the whole of it, this year and in all, with what the trees share."""
    work = _merged(at_trees, plan.currency)
    first, every = (in_coins(max(cost - of_work, 0.0), plan.currency)
                    for cost, of_work in zip(costs, _sums(whole), strict=True))
    prices = [_price(line + shared, practice, plan.currency)
              for line, shared in zip(_of_lines(work), (first, every), strict=True)]
    return OfferOption(0, kind, work, (first, every), prices[0], prices[1], gain)


def _of_lines(work: Sequence[OfferWork]) -> tuple[float, float]:
    """What the lines come to, this year and in all."""
    return (fsum(each.step.cost or 0.0 for each in work if each.step.year == 1),
            fsum((each.step.cost or 0.0) * (each.last_year - each.step.year + 1) for each in work))


def _price(net: float, practice: Practice, currency: str) -> OfferPrice:
    net = in_coins(net, currency)
    tax = in_coins(net * (practice.tax_pct or 0.0) / 100.0, currency)
    return OfferPrice(net, tax, in_coins(net + tax, currency))


def _smaller(plan: Plan, budgets: Sequence[float]) -> list[FrontierPoint]:
    """The plan's own steps within these budgets, each once; neither the plan itself nor nothing."""
    whole = {(item.tree_id, item.remedy) for item in plan.items}
    points = [point for point in plan.frontier if point.treated and set(point.treated) != whole]
    if not budgets:
        return _modest(plan, points)
    found = [max(within, key=lambda point: (point.gain_points_m2, -point.first_year_cost)) for budget in budgets
             if (within := [point for point in points if point.first_year_cost <= budget])]
    once = {point.treated: point for point in found}
    return sorted(once.values(), key=lambda point: -point.first_year_cost)


def _modest(plan: Plan, points: Sequence[FrontierPoint]) -> list[FrontierPoint]:
    """The one smaller step that is offered unasked: within half of the plan's money, else the cheapest below it.

    None where it would gain so little that nobody would be well advised to take it.
    """
    worth = [point for point in points if point.first_year_cost < plan.first_year_cost
             and point.gain_points_m2 >= offer_figure("modest_gain") * plan.gain_points_m2]
    within = [point for point in worth
              if point.first_year_cost <= offer_figure("modest_share") * plan.first_year_cost]
    return [max(within, key=lambda point: point.gain_points_m2)] if within else worth[:1]


def _trial(plan: Plan, practice: Practice, arms: Arms, trees: dict[str, TreePrescription]) -> OfferOption | None:
    """What is tried on top of the plan; None where it is none, or has no price."""
    if not arms.apart or not arms.pairs or arms.cost is None:
        return None
    steps = [_AtTree(pair.treated, _steps(_outcome(trees[pair.treated], arms.doubt))) for pair in arms.pairs]
    return _option(plan, practice, "trial", steps, _sums(steps), steps, None)


def _whole_steps(plan: Plan) -> list[_AtTree]:
    return [_AtTree(item.tree_id, _priced_steps(item.steps, item.remedy, item.dose, item.cost)) for item in plan.items]


def _laid_out(plan: Plan, arms: Sequence[Arms], trees: dict[str, TreePrescription]) -> list[_AtTree]:
    """The plan's work as the lot has laid it out: a tree that goes without gets the rest."""
    rest = {pair.untreated: pair.rest for each in arms if not each.apart for pair in each.pairs}
    found = []
    for whole in _whole_steps(plan):
        course = rest.get(whole.tree_id)
        if course is None:
            found.append(whole)
        elif course != NOTHING:
            found.append(_AtTree(whole.tree_id, _rest(trees[whole.tree_id], course)))
    return found


def _rest(tree: TreePrescription, course: str) -> tuple[Step, ...]:
    known = {outcome.remedy for outcome in tree.remedies}
    parts = [course] if course in known else course.split("+")
    return tuple(step for part in parts for step in _steps(_outcome(tree, part)))


def _outcome(tree: TreePrescription, code: str) -> RemedyOutcome:
    found = next((outcome for outcome in tree.remedies if outcome.remedy == code), None)
    if found is None or found.cost is None or found.dose is None:
        raise Missing(say("offer.no_price"), value=code, right=say("offer.price_first"))
    return found


def _steps(outcome: RemedyOutcome) -> tuple[Step, ...]:
    assert outcome.dose is not None
    return _priced_steps(outcome.steps, outcome.remedy, outcome.dose, outcome.cost or 0.0)


def _priced_steps(steps: tuple[Step, ...], remedy: str, dose: Dose, cost: float) -> tuple[Step, ...]:
    """The work by year; in one piece where not every year of it has a price."""
    if not all(each.amount_known for each in (dose, *(step.dose for step in steps))):
        raise Missing(say("offer.no_dose"), value=remedy, right=say("offer.dose_first"))
    if steps and all(step.cost is not None for step in steps):
        return steps
    return (Step(1, dose.season or "any", remedy, dose, cost),)


def _sums(work: Sequence[_AtTree]) -> tuple[float, float]:
    """This year's cost of the work itself, and that of all years."""
    return (fsum(step.cost or 0.0 for each in work for step in each.steps if step.year == 1),
            fsum(step.cost or 0.0 for each in work for step in each.steps))


def _merged(work: Sequence[_AtTree], currency: str) -> tuple[OfferWork, ...]:
    """The same piece of work at several trees in one, years that follow one another with it."""
    groups: dict[tuple[int, str, str, str], list[tuple[str, Step]]] = {}
    for each in work:
        for step in each.steps:
            groups.setdefault((step.year, step.season, step.remedy, step.note), []).append((each.tree_id, step))
    found: list[OfferWork] = []
    for key in sorted(groups, key=lambda key: key[0]):
        trees = tuple(tree for tree, _ in groups[key])
        steps = [step for _, step in groups[key]]
        one = replace(steps[0], dose=_together([step.dose for step in steps]),
                      cost=in_coins(fsum(step.cost or 0.0 for step in steps), currency))
        before = next((at for at, line in enumerate(found) if line.tree_ids == trees and line.last_year + 1 == one.year
                       and replace(line.step, year=one.year, note=one.note) == one), None)
        if before is None:
            found.append(OfferWork(one, one.year, trees))
        else:
            found[before] = replace(found[before], last_year=one.year)
    return tuple(found)


def _together(doses: Sequence[Dose]) -> Dose:
    """One dose of several: amounts add up, what is not the same at all of them is left out."""
    if len(doses) == 1:
        return doses[0]
    told: dict[str, Any] = {name: [getattr(dose, name) for dose in doses] for name in (*_SUMMED, *_SHARED)}
    told |= {name: [None if None in told[name] else sum(told[name])] for name in _SUMMED}
    same: dict[str, Any] = {name: parts[0] for name, parts in told.items() if len(set(parts)) == 1}
    return Dose(**same)
