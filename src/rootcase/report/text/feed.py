"""What own trials change in next year's plans, in words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.prescribe import Plan, PlanItem
from rootcase.records.prove import Promise, SignedEffect
from rootcase.report.text.figures import money, sentence, signed
from rootcase.report.text.naming import remedy_name
from rootcase.report.text.proof import in_percent, interval
from rootcase.science.inference.beyond import NINE_IN_TEN


def before_line(promise: Promise | None) -> str:
    """Return what the handbook had promised at the trees that answer."""
    if promise is None:
        return say("feed.before_none")
    return say("feed.before", interval=interval(promise.mean, promise.low, promise.high))


def after_lines(effect: SignedEffect, heard: float, promise: Promise | None) -> Iterator[str]:
    """Return what would stand in its place, from how many trees, and how it is carried to others."""
    yield say("feed.after", trees=len(effect.tree_ids), properties=effect.properties, heard=round(100 * heard),
              interval=_around(effect))
    yield say("feed.size" if effect.promised is not None else "feed.unsized" if promise is None else "feed.alone")


def standing_line(effect: SignedEffect) -> str:
    """Return what stands signed."""
    return say("feed.signed", day=show_date(effect.day), by=effect.by, trees=len(effect.tree_ids),
               properties=effect.properties, effect=in_percent(effect.mean),
               low=in_percent(effect.mean - NINE_IN_TEN * effect.sd),
               high=in_percent(effect.mean + NINE_IN_TEN * effect.sd))


def reckoned_lines(record: PropertyRecord) -> list[str]:
    """Return beside a plan which of its remedies are reckoned from the practice's own trials."""
    return [say("feed.plan", remedy=sentence(remedy_name(each.remedy)), trees=len(each.tree_ids),
                day=show_date(each.day), by=each.by) for each in record.learned]


def moved_lines(record: PropertyRecord, old: Plan, new: Plan,
                moved: Iterable[tuple[str, PlanItem | None, PlanItem | None]]) -> Iterator[str]:
    """Return at each tree what leaves the plan and what enters it, and what the property's plan costs then."""
    labels = {tree.id: tree.label for tree in record.trees}
    for tree_id, was, now in moved:
        yield say("feed.moved", property=record.property.name, tree=labels.get(tree_id, tree_id),
                  old=_work(was, old.currency), new=_work(now, new.currency))
    yield say("feed.totals", property=record.property.name, old=money(old.total_cost, old.currency),
              new=money(new.total_cost, new.currency))


def _around(effect: SignedEffect) -> str:
    return interval(effect.mean, effect.mean - NINE_IN_TEN * effect.sd, effect.mean + NINE_IN_TEN * effect.sd)


def _work(item: PlanItem | None, currency: str) -> str:
    if item is None:
        return say("feed.nothing")
    return say("feed.work", remedy=remedy_name(item.remedy), gain=signed(item.gain_points.mean),
               cost=money(item.cost, currency))
