"""The plan as it would be, beside the plan as it is, in words."""

from __future__ import annotations

from collections.abc import Iterable

from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.prescribe import TreePrescription
from rootcase.records.what_if import Choice, WhatIf
from rootcase.report.text.course import NOTHING
from rootcase.report.text.figures import money, signed
from rootcase.report.text.naming import remedy_name
from rootcase.report.text.offered_choice import known_of


def totals(found: WhatIf) -> list[tuple[str, str, str]]:
    """Return a row for each total, as it is and as it would be, a head first."""
    now, then = found.now, found.then
    rows = [("", say("course.as_it_is"), say("course.as_it_would_be"))]
    rows += [(say(f"course.total.{name}"), money(getattr(now, name), now.currency),
              money(getattr(then, name), then.currency)) for name in ("first_year_cost", "total_cost")]
    rows += [(say(f"course.total.{name}"), f"{getattr(now, name):.0f}", f"{getattr(then, name):.0f}")
             for name in ("crew_hours", "machine_hours")]
    rows.append((say("course.total.trees"), str(len(now.items)), str(len(then.items))))
    rows.append((say("course.total.gain"), "100 %" if now.gain_points_m2 else "0",
                 f"{100 * then.gain_points_m2 / now.gain_points_m2:.0f} %" if now.gain_points_m2
                 else f"{then.gain_points_m2:,.0f}"))
    return rows


def changes(record: PropertyRecord, found: WhatIf) -> list[str]:
    """Return a sentence for each tree that gets something else; that none does where none does."""
    labels = {tree.id: tree.label for tree in record.trees}
    against = {tree.tree_id: tree for tree in found.then.trees if tree.against_advice}
    lines = [" ".join((say("course.change", tree=labels[change.tree_id],
                           before=_choice(change.before, found.now.currency),
                           after=_choice(change.after, found.then.currency)),
                       *_against(against.get(change.tree_id)))) for change in found.trees]
    return lines or [say("course.nothing_changes")]


def _against(tree: TreePrescription | None) -> Iterable[str]:
    """That a choice is against the advice, and what is known of it."""
    if tree is None:
        return ()
    return say("prescribe.verdict.against_advice"), *known_of(tree, tree.chosen or NOTHING)


def _choice(choice: Choice, currency: str) -> str:
    course, points, cost = choice
    if course is None:
        return remedy_name(NOTHING)
    return say("course.choice", course=remedy_name(course), points=signed(points), cost=money(cost, currency))
