"""Signed plans in the terminal: the one that stands, the older ones, and what has changed since."""

from __future__ import annotations

from collections.abc import Sequence

from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.offer import Outdated, SignedPlan
from rootcase.report.terminal.paper import Paper
from rootcase.report.text.figures import change, money, sentence
from rootcase.report.text.naming import remedy_name
from rootcase.report.text.signed import (
    against_lines,
    alone_line,
    arms_lines,
    change_lines,
    looks_ahead,
    mark_shown,
    rests_on,
    revised_lines,
    signature,
    total_lines,
    tree_names,
)


def signing_text(record: PropertyRecord, plan: SignedPlan, width: int = 80, colour: bool = False) -> str:
    """Return what was put under a signature."""
    paper = Paper(width, colour)
    paper.title(record.property.name, say("sign.title_one"))
    _plan(paper, record, plan)
    return paper.text()


def signed_text(record: PropertyRecord, plans: Sequence[SignedPlan], outdated: Outdated | None, width: int = 80,
                colour: bool = False) -> str:
    """Return the plan that stands, what has changed under it, and the signed plans that stand no more."""
    paper = Paper(width, colour)
    paper.title(record.property.name, say("sign.title"))
    standing = [plan for plan in plans if plan.standing == "standing"]
    if not plans:
        paper.say(say("sign.never"))
    elif not standing:
        paper.say(say("sign.none_now"))
    for plan in standing:
        _plan(paper, record, plan)
        if outdated is not None:
            _outdated(paper, record, plan, outdated)
        else:
            paper.gap()
            paper.say(say("sign.holds"))
    older = [plan for plan in plans if plan.standing != "standing"]
    if older:
        paper.heading(say("sign.older"))
        paper.columns([(mark_shown(plan.mark), show_date(plan.day), plan.by, say(f"sign.is.{plan.standing}"),
                        plan.withdrawn_because) for plan in older])
    return paper.text()


def _plan(paper: Paper, record: PropertyRecord, plan: SignedPlan) -> None:
    labels, signing = tree_names(record, plan), plan.signing
    paper.say(signature(plan), bold=True)
    paper.gap()
    if signing.plan.items:
        rows = [(sentence(labels[item.tree_id]), remedy_name(item.remedy), *change(item.gain_points),
                 money(item.cost, signing.plan.currency)) for item in signing.plan.items]
        heads = tuple(say(f"report.column.{name}") for name in ("tree", "remedy", "gain"))
        paper.columns([(*heads, "", say("report.column.cost")), *rows], right=(2, 4), head=True)
    paper.gap()
    if alone := alone_line(plan, labels):
        paper.say(alone)
    for line in (*against_lines(plan, labels), *total_lines(plan)):
        paper.say(line)
    for arms in signing.arms:
        first, *rest = arms_lines(arms, labels, signing.plan.currency)
        paper.heading(first)
        for line in rest:
            paper.item("·", line)
    paper.heading(say("sign.looks"))
    for line in looks_ahead(plan, labels):
        paper.item("·", line)
    paper.gap()
    paper.say(rests_on(plan), quiet=True)


def _outdated(paper: Paper, record: PropertyRecord, plan: SignedPlan, outdated: Outdated) -> None:
    labels = tree_names(record, plan)
    paper.heading(say("sign.outdated"))
    for line in change_lines(record, outdated.changes):
        paper.item("·", line)
    paper.gap()
    for line in revised_lines(record, outdated, labels, plan.signing.plan.currency):
        paper.say(line)
    paper.say(say("sign.nothing_changes"))
