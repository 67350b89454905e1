"""Prescribe for a property: every remedy at every tree, and the set that gains most inside wishes and money."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import numpy as np

from rootcase.casework.estimate import estimate
from rootcase.casework.prescribe.case import Case, Treatment, case_of
from rootcase.casework.prescribe.doses import visit_cost
from rootcase.casework.prescribe.remedies import figure
from rootcase.casework.prescribe.verdict import look_again, not_the_soil, tree_verdict, what_would
from rootcase.casework.prescribe.wishes import budget_of, told_and_not
from rootcase.records.compare import Comparison
from rootcase.records.estimate import Estimate
from rootcase.records.explain import Explanation
from rootcase.records.observe import PriceBook, PropertyRecord, Weather
from rootcase.records.prescribe import Evidence, Plan, PlanItem, RemedyOutcome, RemedyVerdict, TreePrescription
from rootcase.science.choice.decision import LEAST_GAIN, worth_taking
from rootcase.science.choice.programme import Limits, Option, Programme, best_programme

POINTS = 100.0
MOST_DRAWS = 500
"""Of the explanation's draws; a gain's mean moves by less than a point between so many and twice as many."""
EVIDENCE_ORDER: tuple[Evidence, ...] = ("trials agree", "mixed", "practice only", "trials found nothing")
Key = tuple[str, str]
"""(tree id, code of the remedy)"""


def prescribe(record: PropertyRecord, comparison: Comparison, explanations: Sequence[Explanation], weather: Weather,
              price_book: PriceBook, *, today: date, draws: int, seed: int, threads: int) -> Plan:
    """What to do at each tree of a property, and at which to do nothing.

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
    At each tree whose growth was read a remedy may be taken that is allowed, needed, priced, gains ten points and more
    on the mean of five years, is worth more than it costs, and leaves more over than any cheaper one. Among those the
    programme takes at most one a tree so that the summed gain times root-zone area is largest while this year's cost
    stays under the client's ceiling; visits' set-up is shared. Every tree weighs the same. Costs are over five years.

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
    cases = [case_of(record, each, compared[each.tree_id], weather, price_book, draws=used, seed=seed, threads=threads)
             for each in explanations]
    judged = {(case.tree.id, each.remedy.code): _judge(case, each) for case in cases for each in case.treatments}
    for case in cases:
        judged |= _earns_its_money(case, judged)
    options = [(at, case, each) for at, case in enumerate(cases) for each in case.treatments
               if each.cost is not None and each.outlook is not None and each.remedy.code != "nothing"
               and case.explanation.observed_share is not None
               and judged[case.tree.id, each.remedy.code][0] == "possible"]
    budget = budget_of(record)
    programme = best_programme(
        [Option(at, POINTS * each.mean_gain * case.root_zone_m2, each.first_year_cost, _visits(each, "1"))
         for at, case, each in options],
        Limits(budget=budget, visit_cost=visit_cost(price_book), minimum_charge=price_book.minimum_charge))
    taken = [options[at][1:] for at in programme.chosen]
    chosen = {case.tree.id: each.remedy.code for case, each in taken}
    southern = record.property.latitude_deg < 0
    trees = tuple(_prescription(case, chosen.get(case.tree.id), judged, today, southern) for case in cases)
    return _plan(record, price_book, programme, taken, trees, budget, today, used, seed)


def _judge(case: Case, each: Treatment) -> tuple[RemedyVerdict, str]:
    """What stands against one remedy at one tree, before money is looked at."""
    if each.remedy.code == "nothing":
        return "possible", ""
    if each.no_use:
        return "no use here", each.no_use
    if each.barred:
        return "not allowed", each.barred
    if not each.remedy.in_model:
        return "gain not known", "outside_model"
    if each.mean_gain < LEAST_GAIN:
        reasons = (("trial_only", each.remedy.code == "extract"), ("not_the_soil", not_the_soil(case)),
                   ("only_part", each.only_part))
        return "gain too small", next((reason for reason, holds in reasons if holds), "")
    return "possible", "not_priced" if each.cost is None else ""


def _earns_its_money(case: Case, judged: dict[Key, tuple[RemedyVerdict, str]]) -> dict[Key, tuple[RemedyVerdict, str]]:
    """Strike the remedies that cost more than they give, or more than a cheaper one that leaves more over."""
    rivals = [each for each in case.treatments if each.cost is not None and each.remedy.code != "nothing"
              and judged[case.tree.id, each.remedy.code][0] == "possible"]
    costs_m2 = np.array([each.cost or 0.0 for each in rivals]) / case.root_zone_m2
    earns = worth_taking([each.mean_gain for each in rivals], costs_m2, figure("worth_m2"))
    return {(case.tree.id, each.remedy.code): ("costs more than it gives", "")
            for each, good in zip(rivals, earns, strict=True) if not good}


def _visits(each: Treatment, year: str = "") -> frozenset[str]:
    return frozenset(visit for visit in each.remedy.visits if not year or visit.endswith(f" {year}"))


def _prescription(case: Case, chosen: str | None, judged: dict[Key, tuple[RemedyVerdict, str]], today: date,
                  southern: bool) -> TreePrescription:
    def outcome(each: Treatment) -> RemedyOutcome:
        verdict, reason = judged[case.tree.id, each.remedy.code]
        if each.remedy.code == (chosen or "nothing"):
            verdict = "chosen"
        return _outcome(case, each, verdict, reason)

    worth_it = tuple(each for each in case.treatments if each.remedy.code != "nothing"
                     and judged[case.tree.id, each.remedy.code][0] == "possible")
    verdict, reason = tree_verdict(case, chosen, worth_it)
    known = sorted((each for each in case.treatments if each.outlook is not None and each.remedy.code != "nothing"),
                   key=lambda each: -each.mean_gain)
    unknown = sorted((each for each in case.treatments if each.outlook is None),
                     key=lambda each: EVIDENCE_ORDER.index(each.remedy.evidence))
    return TreePrescription(
        tree_id=case.tree.id, verdict=verdict, reason=reason, chosen=chosen,
        remedies=tuple(outcome(each) for each in (case.of("nothing"), *known, *unknown)),
        what_would=() if verdict == "leave it alone" and reason != "not_the_soil" else what_would(case),
        share_if_nothing=_by_year(case, "nothing"), share_if_chosen=_by_year(case, chosen or "nothing"),
        root_zone_m2=case.root_zone_m2, allowed_share=case.allowed_share,
        look_again=look_again(today, verdict, southern))


def _outcome(case: Case, each: Treatment, verdict: RemedyVerdict, reason: str) -> RemedyOutcome:
    gain = each.outlook
    remedy = each.remedy
    return RemedyOutcome(
        remedy=remedy.code, dose=each.dose, cost=each.cost,
        gain_points=None if gain is None else estimate(POINTS * gain.gain.mean(axis=0)),
        yearly_points=() if gain is None else tuple(float(points) for points in POINTS * gain.gain.mean(axis=1)),
        evidence=remedy.evidence_without_need if verdict == "no use here" else remedy.evidence, verdict=verdict,
        reason=reason, cautions=remedy.cautions)


def _by_year(case: Case, code: str) -> tuple[Estimate, ...]:
    each = case.of(code).outlook
    return () if each is None else tuple(estimate(share) for share in each.share)


def _plan(record: PropertyRecord, book: PriceBook, programme: Programme, taken: list[tuple[Case, Treatment]],
          trees: tuple[TreePrescription, ...], budget: float | None, today: date, draws: int, seed: int) -> Plan:
    items = tuple(PlanItem(case.tree.id, each.remedy.code, each.dose, each.cost,
                           estimate(POINTS * each.outlook.gain.mean(axis=0)))
                  for case, each in taken
                  if each.dose is not None and each.cost is not None and each.outlook is not None)
    visits = {visit for _, each in taken for visit in _visits(each)}
    first = {visit for _, each in taken for visit in _visits(each, "1")}
    shared = programme.shared_cost + visit_cost(book) * len(visits - first)
    told, not_asked = told_and_not(record)
    wanted = any(tree.verdict == "treat" for tree in trees)
    return Plan(
        property_id=record.property.id, items=items, shared_cost=shared,
        total_cost=sum(item.cost for item in items) + shared, budget=budget, currency=record.property.currency,
        gain_points_m2=programme.value, best_bound=programme.bound, wishes=told, not_asked=not_asked,
        fits=bool(items) or not wanted, trees=trees, made_on=today, draws=draws, seed=seed,
        first_year_cost=programme.own_cost + programme.shared_cost)
