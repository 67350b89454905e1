"""The notice for the people of a ground, in their words: what, when, by whom, and what to do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rootcase.ground.quantity import show
from rootcase.ground.words import say
from rootcase.records.apply.done import Application
from rootcase.records.apply.jobs import EXTRACT, Job
from rootcase.records.apply.notice import Notice
from rootcase.report.text.figures import sentence
from rootcase.report.text.naming import names, remedy_name
from rootcase.report.text.record import hours
from rootcase.report.text.rounds import clock_told, day_told
from rootcase.tables.load import table

_WET = ("alive_or_dissolved", "systemic", "water")
_ON_TOP, _CHIPS, _OPENED, _CROWN = "dry_on_top", "chips", "digging", "pruning"


@dataclass(frozen=True, slots=True)
class NoticeTold:
    """The notice in words."""

    title: str
    lede: str
    recalled: tuple[str, ...]
    """Known of a batch since its extract was put on there; stands before all else."""
    planned: tuple[str, ...]
    done: tuple[str, ...]
    to_do: tuple[str, ...]
    label: str
    """A line to write the label's re-entry time on; empty where nothing has a label."""
    posted: str
    law: tuple[str, ...]
    by: tuple[str, ...]


def notice_told(notice: Notice) -> NoticeTold:
    """What stands on the notice; what to do follows from the kinds of work."""
    ground = notice.record.property
    remedies = [*(job.remedy for job in notice.jobs), *(one.remedy for one in notice.done)]
    labelled = any(one.product for one in notice.done) or any(_has_label(each) for each in remedies)
    nothing = not remedies
    return NoticeTold(
        say("notice.title", ground=ground.name, day=day_told(notice.day)), _lede(notice),
        notice.recalled, tuple(_planned(notice)), tuple(_done(notice)),
        () if nothing else tuple(_to_do(remedies, labelled)), say("notice.label") if labelled else "",
        "" if nothing or notice.proposed else say("notice.posted"), tuple(_law(notice)), tuple(_by(notice)))


def notice_text(told: NoticeTold) -> str:
    """The notice as plain text, to be sent; without the lines that a hand fills in."""
    parts = [told.title, told.lede]
    for heading, lines in ((say("client.called_back"), told.recalled), (say("notice.planned"), told.planned),
                           (say("notice.done"), told.done), (say("notice.to_do"), told.to_do)):
        parts += ["", heading, *(f"- {line}" for line in lines)] if lines else []
    return "\n".join([*parts, "", *told.law, *told.by, say("notice.foot")])


def _lede(notice: Notice) -> str:
    if notice.jobs and notice.starts_min is not None and notice.ends_min is not None:
        key = "notice.when_proposed" if notice.proposed else "notice.when"
        return say(key, start=clock_told(notice.starts_min), end=clock_told(notice.ends_min))
    return say("notice.was") if notice.done else say("notice.nothing")


def _planned(notice: Notice) -> Iterator[str]:
    by_remedy: dict[str, list[Job]] = {}
    for job in notice.jobs:
        by_remedy.setdefault(job.remedy, []).append(job)
    for remedy, jobs in by_remedy.items():
        area = sum(job.dose.area_m2 for job in jobs)
        trees = names(list(dict.fromkeys(job.tree_label for job in jobs)))
        yield say("notice.will" if area else "notice.will_at", what=sentence(remedy_name(remedy)), trees=trees,
                  area=show(area, "m2", notice.system))


def _done(notice: Notice) -> Iterator[str]:
    labels = {tree.id: tree.label for tree in notice.record.trees}
    for one in notice.done:
        trees = names([labels.get(each, each) for each in one.tree_ids])
        yield " ".join([say("notice.did", what=sentence(remedy_name(one.remedy)), trees=trees), *_beside(one)])


def _beside(one: Application) -> Iterator[str]:
    """Amount, hours and product as they are on record; what is not is left out."""
    if one.amount:
        yield say("notice.amount", amount=one.amount)
    if hours(one):
        yield say("notice.hours", hours=hours(one))
    if one.product and one.product.registration:
        yield say("notice.registered", product=one.product.name, registration=one.product.registration)
    elif one.product:
        yield say("notice.product", product=one.product.name)


def _to_do(remedies: list[str], labelled: bool) -> Iterator[str]:
    groups = {str(table("apply/gate_groups").row(remedy=each)["remedy_group"]) for each in remedies}
    wet = bool(groups & set(_WET))
    if wet or _ON_TOP in groups:
        yield say("notice.do.wet" if wet else "notice.do.on_top")
    if _OPENED in groups:
        yield say("notice.do.opened")
    if _CHIPS in groups:
        yield say("notice.do.chips")
    if _CROWN in groups:
        yield say("notice.do.crown")
    if labelled:
        yield say("notice.do.label")
    if wet or _ON_TOP in groups or labelled:
        yield from (say("notice.do.well"), say("notice.do.bees"), say("notice.do.food"))
    if EXTRACT in remedies:
        yield f"{say('notice.do.extract')} {say('made.claims.no_growth')}"


def _law(notice: Notice) -> Iterator[str]:
    """Laws on file that ask for a notice or a sign, and that there may be others."""
    for rule in notice.rules:
        days = "" if rule.value is None else say("notice.days_before", days=f"{rule.value:g}")
        yield say(f"notice.rule.{rule.topic}", law=rule.law, days=days)
    yield say("notice.law")


def _by(notice: Notice) -> Iterator[str]:
    practice = notice.practice
    yield say("notice.by", practice=practice.name) if practice.name else say("notice.by_nobody")
    yield from (part for part in (practice.address, practice.reach) if part)


def _has_label(remedy: str) -> bool:
    return str(table("apply/takes").row(remedy=remedy)["amount"]) in ("label", "mass")
