"""Prescribe for a property: every course at every tree, and the set that gains most inside wishes, money and hours."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import partial

from rootcase.casework.prescribe.against import refusal
from rootcase.casework.prescribe.case import Case, case_of
from rootcase.casework.prescribe.judge import Judged, judged, may_be_taken
from rootcase.casework.prescribe.next_reading import with_next_readings
from rootcase.casework.prescribe.outcome import plan_items, prescription
from rootcase.casework.prescribe.outlooks import outlooks_of
from rootcase.casework.prescribe.prices import prices_of
from rootcase.casework.prescribe.programme import (
    Ceilings,
    Solved,
    Taken,
    ceilings_of,
    frontier_of,
    limits_of,
    paid_for,
    solve,
)
from rootcase.casework.prescribe.rules import LAW_REASONS, asked_of, rules_here, untold
from rootcase.casework.prescribe.wishes import told_and_not
from rootcase.ground.errors import ImpossibleValue, Missing
from rootcase.records.compare import Comparison
from rootcase.records.explain import Explanation
from rootcase.records.observe import PriceBook, PropertyRecord, Weather
from rootcase.records.outlook import NOTHING, Outlooks
from rootcase.records.prescribe import Plan

MOST_DRAWS = 500
"""Of the explanation's draws; a gain's mean moves by less than a point between so many and twice as many."""


@dataclass(frozen=True, slots=True)
class PlanInputs:
    """All a plan is made of, once the growth ahead is known."""

    record: PropertyRecord
    explanations: Sequence[Explanation]
    outlooks: Sequence[Outlooks]
    """One for each explanation, in its order."""
    price_book: PriceBook
    ceilings: Ceilings
    today: date
    draws: int
    seed: int
    forced: Mapping[str, str] = field(default_factory=dict)
    """What the client insists on: course, or nothing, by tree."""
    left_out: frozenset[str] = frozenset()
    """Remedies that are not to be had."""
    worth_m2: float | None = None
    """Of a full share of growth on a square metre of root zone over five years; None: the table's. [money m-2]"""


def prescribe(record: PropertyRecord, comparison: Comparison, explanations: Sequence[Explanation], weather: Weather,
              price_book: PriceBook, *, today: date, draws: int, seed: int, threads: int) -> Plan:
    """What to do at each tree of a property over five years, and at which to do nothing.

    Parameters
    ----------
    record : the property, corrections applied.
    comparison : of its trees.
    explanations : one for each tree to be prescribed for.
    weather : daily weather with reference evapotranspiration filled in.
    price_book : the practice's prices.
    today : the day the plan is made on.
    draws : how many at most, above 0; no more than 500 are used.
    seed : start of the random streams of the remedies.
    threads : how many the engine may use; the result is the same for any number.

    Returns
    -------
    Plan. Gains in points of the yardstick's growth, money in the property's currency.

    Raises
    ------
    Missing : the weather is too short, or a table lacks what is needed.

    Notes
    -----
    The growth ahead at each tree, then `plan_with_readings`.

    References
    ----------
    docs/prescribe.md: JUDGEMENT where marked there.

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> none = PropertyRecord(owner, (), (), (), (), (), (), (), {})
    >>> days = Weather("s", (), (), (), (), (), (), "")
    >>> plan = prescribe(none, Comparison("p", (), 10, 1, date(2015, 11, 4)), [], days, PriceBook("CHF", ()),
    ...                  today=date(2015, 11, 4), draws=10, seed=1, threads=1)
    >>> plan.items, plan.fits, plan.total_cost
    ((), True, 0.0)
    """
    compared = {tree.tree_id: tree for tree in comparison.trees}
    used = min(draws, MOST_DRAWS)
    outlooks = [outlooks_of(record, each, compared[each.tree_id], weather, draws=used, seed=seed, threads=threads)
                for each in explanations]
    return plan_with_readings(PlanInputs(record, explanations, outlooks, price_book, ceilings_of(record), today, used,
                                         seed))


def plan_with_readings(inputs: PlanInputs) -> Plan:
    """The plan for a property whose growth ahead is known, with what is worth reading before the money is spent.

    Parameters
    ----------
    inputs : all it is made of.

    Returns
    -------
    Plan, as `plan_of` has it, and at each tree the readings of `with_next_readings`.

    Raises
    ------
    Missing, ImpossibleValue : as `plan_of`.

    Notes
    -----
    None.

    References
    ----------
    docs/prescribe.md: JUDGEMENT where marked there.

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> none = PropertyRecord(owner, (), (), (), (), (), (), (), {})
    >>> plan_with_readings(PlanInputs(none, [], [], PriceBook("CHF", ()), Ceilings(), date(2015, 11, 4), 10, 1)).trees
    ()
    """
    return with_next_readings(plan_of(inputs), inputs.record, inputs.explanations, inputs.outlooks, inputs.price_book)


def plan_of(inputs: PlanInputs) -> Plan:
    """The plan for a property whose growth ahead is known.

    Parameters
    ----------
    inputs : all it is made of.

    Returns
    -------
    Plan. Gains in points of the yardstick's growth, money in the property's currency.

    Raises
    ------
    Missing : a table lacks what is needed.
    ImpossibleValue : what the client insists on is refused, see `against.refusal`.

    Notes
    -----
    The programme takes at most one course a tree so that gain times the client's weight times root zone, summed, is
    largest while this year's cost and hours stay under their ceilings; visits' set-up is shared. Costs are over five
    years. What the client insists on against the advice is taken first and marked.

    References
    ----------
    docs/prescribe.md: JUDGEMENT where marked there.

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> none = PropertyRecord(owner, (), (), (), (), (), (), (), {})
    >>> plan_of(PlanInputs(none, [], [], PriceBook("CHF", ()), Ceilings(), date(2015, 11, 4), 10, 1)).frontier
    ()
    """
    cases = _cases(inputs)
    verdicts = {case.tree.id: _without(inputs.left_out, case, judged(case)) for case in cases}
    choices = [(case, each) for case in cases for each in may_be_taken(case, verdicts[case.tree.id])]
    limits = limits_of(inputs.ceilings, inputs.price_book)
    advised = solve(choices, [], limits)
    forced, kept = _insisted(inputs.forced, cases, verdicts), choices
    solved = advised
    if inputs.forced:
        kept = [taken for taken in choices if taken[0].tree.id not in inputs.forced]
        solved = solve(kept, forced, limits)
    return _plan(inputs, cases, verdicts, kept, forced, advised, solved)


def plan_with(inputs: PlanInputs, forced: Mapping[str, str]) -> Plan:
    """The plan in which the client has a course, or nothing, at some trees whatever is advised.

    Parameters
    ----------
    inputs : all a plan is made of.
    forced : code of a course, or "nothing", by tree.

    Returns
    -------
    Plan; what differs from the advice is marked so.

    Raises
    ------
    Missing : there is no such tree or course, or a table lacks what is needed.
    ImpossibleValue : it is refused.

    Notes
    -----
    What is refused: `against.refusal`.

    References
    ----------
    docs/prescribe.md: JUDGEMENT.

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> none = PropertyRecord(owner, (), (), (), (), (), (), (), {})
    >>> plan_with(PlanInputs(none, [], [], PriceBook("CHF", ()), Ceilings(), date(2015, 11, 4), 10, 1), {}).items
    ()
    """
    return plan_of(replace(inputs, forced={**inputs.forced, **forced}))


def _cases(inputs: PlanInputs) -> list[Case]:
    return [case_of(inputs.record, explained, ahead, inputs.price_book, worth_m2=inputs.worth_m2)
            for explained, ahead in zip(inputs.explanations, inputs.outlooks, strict=True)]


def _without(left_out: frozenset[str], case: Case, verdicts: Judged) -> Judged:
    """Verdicts where some remedies are not to be had."""
    return {each.code: ("not allowed", "left_out") if left_out & {r.code for r in each.remedies}
            else verdicts[each.code] for each in case.treatments}


def _insisted(forced: Mapping[str, str], cases: Sequence[Case], verdicts: Mapping[str, Judged]) -> list[Taken]:
    """What the client insists on, where it is something."""
    by_tree = {case.tree.id: case for case in cases}
    taken = []
    for tree_id, code in forced.items():
        if tree_id not in by_tree:
            raise Missing("nothing is prescribed for this tree", value=tree_id, right="choose at a tree of the plan")
        case = by_tree[tree_id]
        known = {each.code: each for each in case.treatments}
        if code not in known:
            raise Missing("there is no such course here", where=case.tree.label, value=code,
                          right=f"one of {', '.join(known)}")
        if code == NOTHING:
            continue
        each = known[code]
        reckoned = each.cost is not None and each.outlook is not None and each.dose is not None
        if against := refusal(code, *verdicts[tree_id][code], reckoned=reckoned):
            raise ImpossibleValue(against[0], where=case.tree.label, value=code, right=against[1])
        taken.append((case, each))
    return taken


def _plan(inputs: PlanInputs, cases: Sequence[Case], verdicts: dict[str, Judged], choices: Sequence[Taken],
          forced: Sequence[Taken], advised: Solved, solved: Solved) -> Plan:
    record, book = inputs.record, inputs.price_book
    chosen = {case.tree.id: each.code for case, each in solved.taken}
    advice = {case.tree.id: each.code for case, each in advised.taken}
    against = frozenset(tree for tree in inputs.forced if chosen.get(tree) != advice.get(tree))
    southern = record.property.latitude_deg < 0
    trees = tuple(prescription(case, chosen.get(case.tree.id), verdicts[case.tree.id], inputs.today, southern,
                               against_advice=case.tree.id in against) for case in cases)
    order = {case.tree.id: at for at, case in enumerate(cases)}
    taken = sorted(solved.taken, key=lambda each: order[each[0].tree.id])
    paid, (told, not_asked) = paid_for(taken, book), told_and_not(record)
    prices = prices_of(cases, verdicts, forced, solved, inputs.ceilings, book, wishes=told,
                       property_id=record.property.id, without=partial(_freed, inputs))
    items = plan_items(taken, against)
    wanted = any(tree.verdict == "treat" for tree in trees)
    over = inputs.ceilings.budget is not None and paid.first_year > inputs.ceilings.budget
    return Plan(
        property_id=record.property.id, items=items, shared_cost=paid.shared, total_cost=paid.total,
        budget=inputs.ceilings.budget, currency=record.property.currency, gain_points_m2=solved.value,
        best_bound=solved.bound, wishes=told, not_asked=not_asked, fits=(bool(items) or not wanted) and not over,
        trees=trees, made_on=inputs.today, draws=inputs.draws, seed=inputs.seed, first_year_cost=paid.first_year,
        crew_hours=paid.crew_hours, machine_hours=paid.machine_hours,
        frontier=() if inputs.forced else frontier_of(choices, limits_of(inputs.ceilings, book), book), prices=prices,
        rules=asked_of(rules_here(record), _under_rules(cases, taken)),
        rules_unknown=untold(rules_here(record), {r.code for _, each in taken for r in each.remedies}))


def _freed(inputs: PlanInputs, tree_id: str, wish: str) -> tuple[Case, Judged]:
    """One tree as it would be without a wish of that kind."""
    at = next(at for at, explained in enumerate(inputs.explanations) if explained.tree_id == tree_id)
    case = case_of(inputs.record, inputs.explanations[at], inputs.outlooks[at], inputs.price_book, without_wish=wish,
                   worth_m2=inputs.worth_m2)
    return case, _without(inputs.left_out, case, judged(case))


def _under_rules(cases: Sequence[Case], taken: Sequence[Taken]) -> set[str]:
    """Remedies that are done, and those that a rule bars."""
    barred = (each for case in cases for each in case.treatments if each.barred in LAW_REASONS and not each.no_use)
    return {r.code for each in (*(each for _, each in taken), *barred) for r in each.remedies}
