"""A plan as the desk works on it: its finding, what each wish bars, every choice at a tree with its cautions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.prescribe import TRIAL_ONLY, WISHED, Plan, RemedyOutcome, TreePrescription
from rootcase.report.text import one_tree
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.course import hours_line, no_fit, price_lines
from rootcase.report.text.figures import counted, listed, money, sentence
from rootcase.report.text.gains import gain_of, others_told, why
from rootcase.report.text.naming import names, remedy_name

_BARRED_BY = {"wish_lawn": "lawn_stays", "wish_bed_line": "bed_line_fixed", "wish_chips": "no_chips",
              "wish_holes": "no_holes", "wish_products": "product_barred"}
_WITHHELD = ("too_dear", "wishes_bar")
"""Reasons of trees at which something would help."""
_FIRST = ("locate_lines", "power_lines", "label", "licence", "air_lance", "auger", "work_at_height", "probe_pressure")
"""Cautions that keep somebody from harm stand before those that keep the tree from it. JUDGEMENT."""
_BESIDE = 3
_SHOWN = 8
"""Rows of a tree's choices before the others open below. JUDGEMENT: read at a glance."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing that can be done at a tree, nothing among them, as a row shows it."""

    remedy: str
    name: str
    dose: str
    gain: str
    interval: str
    evidence: str
    cost: str
    why: str
    cautions: tuple[str, ...]
    """At most three; the others are in `more_cautions`."""
    more_cautions: tuple[str, ...]
    chosen: bool
    """The plan has it."""
    can_be_had: bool
    """The client may insist on it; then it can be asked what the money buys less."""


@dataclass(frozen=True, slots=True)
class Choices:
    """All that can be done at one tree."""

    shown: tuple[Choice, ...]
    """Leaving it alone first, then the choice, then by gain."""
    more: tuple[Choice, ...]
    others: tuple[str, ...]
    """What is of no use or not to be had here, by why."""


def finding(plan: Plan, record: PropertyRecord) -> str:
    """Return what a plan comes to, in one sentence."""
    if not plan.trees:
        return say("plans.finding.nothing_read")
    if not plan.fits:
        return no_fit(plan, record)
    if plan.items:
        return say("plans.finding.work", count=sentence(counted(len(plan.items))), of=counted(len(plan.trees)),
                   first=money(plan.first_year_cost, plan.currency))
    labels = {tree.id: tree.label for tree in record.trees}
    withheld = [labels[tree.tree_id] for tree in plan.trees if tree.reason in _WITHHELD]
    told = [say("plans.finding.withheld", trees=names(withheld))] if withheld else []
    return " ".join(filter(None, [*told, past_us(plan, labels)])) or say("plans.finding.nothing")


def past_us(plan: Plan, labels: Mapping[str, str]) -> str:
    """Return at which trees nothing helps; where something would, a price or a wish before it, that is another reason.
    """
    past = [labels[tree.tree_id] for tree in plan.trees
            if tree.verdict == "nothing on our list helps" and tree.reason not in _WITHHELD]
    return say("plans.finding.past_us", trees=names(past)) if past else ""


def cost_lines(plan: Plan) -> list[str]:
    """Return what a plan costs this year and in all, against which ceiling, and how long it takes."""
    lines = [say("plans.totals", **{name: money(amount, plan.currency) for name, amount in (
        ("first", plan.first_year_cost), ("total", plan.total_cost), ("shared", plan.shared_cost))})]
    if plan.budget is not None:
        lines.append(say("report.cost.budget", budget=money(plan.budget, plan.currency)))
    return [*lines, *filter(None, [hours_line(plan)])]


def cost_figures(plan: Plan) -> list[str]:
    """Return of each of those lines the figure it tells."""
    return ["cost", *(["ceiling"] if plan.budget is not None else []), *(["hours"] if hours_line(plan) else [])]


def barred_here(plan: Plan, record: PropertyRecord, place_id: str, wish: str) -> str:
    """Return what an answer bars at the trees of a place; empty where it bars nothing."""
    here = {tree.id for tree in record.trees if tree.place_id == place_id}
    barred = dict.fromkeys(
        outcome.remedy for tree in plan.trees if tree.tree_id in here for outcome in tree.remedies
        if outcome.verdict == "not allowed" and outcome.reason == _BARRED_BY.get(wish) and "+" not in outcome.remedy)
    return say("plans.barred", remedies=listed([remedy_name(code) for code in barred])) if barred else ""


def price_here(plan: Plan, record: PropertyRecord, place_id: str, constraint: str) -> str:
    """Return what an answer costs the trees of a place, or a ceiling those of the property."""
    return " ".join(line for price, line in zip(plan.prices, price_lines(plan, record), strict=True)
                    if price.constraint == constraint and price.place_id == place_id)


def choices(case: TreeCase, record: PropertyRecord) -> Choices:
    """Return every choice at a tree; what has nothing to cure here, or no gain anybody knows, in a line by why."""
    prescription = case.prescription
    outcomes = prescription.remedies if prescription else ()
    chosen = prescription.chosen if prescription else None
    weighed = [each for each in outcomes if each.gain_points is not None
               and each.verdict not in ("no use here", "test first", "not allowed")]
    weighed.sort(key=lambda each: (each.remedy != "nothing", each.remedy != chosen))
    rows = [_choice(each, case, record, first=each.remedy == (chosen or "nothing")) for each in weighed]
    return Choices(tuple(rows[:_SHOWN]), tuple(rows[_SHOWN:]),
                   tuple(others_told([each for each in outcomes if each not in weighed])))


def _choice(outcome: RemedyOutcome, case: TreeCase, record: PropertyRecord, *, first: bool) -> Choice:
    gain, interval = gain_of(outcome)
    alone = outcome.remedy == "nothing"
    dose = " ".join(one_tree.work_of(outcome, record)) if outcome.dose else ""
    return Choice(outcome.remedy, sentence(remedy_name(outcome.remedy)), dose, gain, interval,
                  "" if alone else say(f"plans.evidence.{outcome.evidence.replace(' ', '_')}"),
                  money(outcome.cost, case.currency), "" if alone else why(outcome),
                  *cautions_of(outcome.cautions), first and not case.not_judged, not first and _can_be_had(outcome))


def to_insist_on(tree: TreePrescription) -> list[RemedyOutcome]:
    """Return what the client may have at a tree though another choice is advised."""
    return [each for each in tree.remedies if each.remedy != (tree.chosen or "nothing") and _can_be_had(each)]


def _can_be_had(outcome: RemedyOutcome) -> bool:
    """Whether signing would take it, as far as the result tells; the refusal itself is the signing's."""
    if outcome.remedy == "nothing":
        return True
    barred = outcome.verdict in ("no use here", "test first", "not allowed") and outcome.reason not in WISHED
    return not barred and outcome.remedy not in TRIAL_ONLY and None not in (
        outcome.cost, outcome.dose, outcome.gain_points)


def cautions_of(codes: Iterable[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the cautions that stand beside a dose, at most three, and the others."""
    told = tuple(say(f"prescribe.caution.{code}") for code in sorted(
        codes, key=lambda code: _FIRST.index(code) if code in _FIRST else len(_FIRST)))
    return told[:_BESIDE], told[_BESIDE:]
