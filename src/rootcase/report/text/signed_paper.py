"""The paper a signature stands under, or would stand under: work, trials, what it costs, when to look again."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from rootcase.records.observe import PropertyRecord
from rootcase.records.offer import Pair, SignedPlan
from rootcase.records.prescribe import PlanItem
from rootcase.records.prove import TrialAhead
from rootcase.report.text.course import course_lines
from rootcase.report.text.figures import change, money, sentence
from rootcase.report.text.naming import remedy_name
from rootcase.report.text.plan import cautions_of
from rootcase.report.text.signed import (
    against_lines,
    alone_line,
    arms_cost,
    looks_ahead,
    pairs_lines,
    rests_on,
    total_lines,
    tree_names,
)
from rootcase.report.text.trial_ahead import ahead_lines


@dataclass(frozen=True, slots=True)
class Work:
    """What is done at one tree."""

    tree_id: str
    course: str
    tree: str
    remedy: str
    gain: str
    interval: str
    cost: str
    doses: tuple[str, ...]
    cautions: tuple[str, ...]
    """At most three; the others are in `more_cautions`."""
    more_cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Trial:
    """One thing in doubt, and who gets it."""

    doubt: str
    pairs: tuple[str, ...]
    cost: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Paper:
    """Everything under a signature, in words."""

    work: tuple[Work, ...]
    alone: str
    """The trees at which nothing is done; empty where something is done at all."""
    against: tuple[str, ...]
    totals: tuple[str, ...]
    trials: tuple[Trial, ...]
    looks: tuple[str, ...]
    rests_on: str


def signed_paper(plan: SignedPlan, record: PropertyRecord, drawn: Collection[Pair] | None = None) -> Paper:
    """Return the paper of a plan. drawn: of one that is yet to be signed, the pairs that are drawn already."""
    labels, signing = tree_names(record, plan), plan.signing
    return Paper(
        tuple(_work(item, plan, record, labels) for item in signing.plan.items),
        alone_line(plan, labels),
        tuple(against_lines(plan, labels)), tuple(total_lines(plan) if drawn is None else total_lines(plan)[:1]),
        tuple(_trial(pairs_lines(arms, labels, drawn), arms_cost(arms, signing.plan.currency) if drawn is None else [])
              for arms in signing.arms), tuple(looks_ahead(plan, labels)), rests_on(plan))


def with_power(paper: Paper, ahead: Sequence[TrialAhead]) -> Paper:
    """Return the paper with what each of its trials could show."""
    return replace(paper, trials=tuple(replace(trial, pairs=(*trial.pairs, *ahead_lines(each)))
                                       for trial, each in zip(paper.trials, ahead, strict=True)))


def _trial(lines: list[str], cost: list[str]) -> Trial:
    return Trial(lines[0], tuple(lines[1:]), tuple(cost))


def _work(item: PlanItem, plan: SignedPlan, record: PropertyRecord, labels: dict[str, str]) -> Work:
    ground = record.property
    outcome = next((each for tree in plan.signing.plan.trees if tree.tree_id == item.tree_id
                    for each in tree.remedies if each.remedy == item.remedy), None)
    doses = course_lines(item.steps, ground.system, southern=ground.latitude_deg < 0)
    return Work(item.tree_id, item.remedy, sentence(labels[item.tree_id]), remedy_name(item.remedy),
                *change(item.gain_points), money(item.cost, plan.signing.plan.currency), tuple(doses),
                *cautions_of(outcome.cautions if outcome else ()))
