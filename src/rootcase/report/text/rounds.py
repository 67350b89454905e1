"""Rounds in words: each step in driving order, what an order breaks, what is left out and why."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from rootcase.ground.dates import show_date
from rootcase.ground.measured import told
from rootcase.ground.quantity import System
from rootcase.ground.words import say
from rootcase.records.apply.jobs import Job
from rootcase.records.apply.rounds import Broken, GivenRound, GivenStep, LeftOutJob, Week
from rootcase.report.text.figures import known
from rootcase.report.text.naming import remedy_name

_MIN_PER_H = 60
_GAL = ("gal", "L")


@dataclass(frozen=True, slots=True)
class Names:
    """What things are called, by id."""

    grounds: Mapping[str, str]
    crews: Mapping[str, str]
    points: Mapping[str, str]
    jobs: Mapping[str, Job]

    def crew(self, crew_id: str) -> str:
        return self.crews.get(crew_id, say("week.no_crew"))


def clock_told(minutes: float) -> str:
    """Minutes after midnight as a clock shows them.

    >>> clock_told(450.2)
    '07:30'
    """
    whole = round(minutes)
    return f"{whole // _MIN_PER_H:02d}:{whole % _MIN_PER_H:02d}"


def lasts(minutes: float) -> str:
    """How long something is.

    >>> lasts(100.0), lasts(60.0), lasts(35.4)
    ('1 h 40 min', '1 h', '35 min')
    """
    hours, rest = divmod(round(minutes), _MIN_PER_H)
    parts = [say("week.hours", count=hours)] if hours else []
    return " ".join([*parts, *([say("week.minutes", count=rest)] if rest or not hours else [])])


def day_told(day: date) -> str:
    """A day with its name."""
    return say("week.day", weekday=weekday(day), day=show_date(day))


def weekday(day: date) -> str:
    return say("week.weekdays").split()[day.weekday()]


def round_title(given: GivenRound, names: Names) -> str:
    return say("week.round", day=day_told(given.day), crew=names.crew(given.crew_id))


def work_told(step: GivenStep, names: Names) -> str:
    """What is done at a stop: each remedy with its trees."""
    trees: dict[str, list[str]] = {}
    for each in step.job_ids:
        job = names.jobs.get(each)
        if job:
            trees.setdefault(remedy_name(job.remedy), []).append(job.tree_label)
    if not trees:
        return say("week.done")
    return "; ".join(say("week.work", remedy=remedy, trees=", ".join(dict.fromkeys(labels)))
                     for remedy, labels in trees.items())


def place_told(step: GivenStep, names: Names) -> str:
    if step.kind == "rest":
        return say("week.rest")
    if step.kind == "fill":
        what = say("week.of_extract" if step.batch_id else "week.of_water")
        at = names.points.get(step.fill_point_id, "")
        return say("week.fill", place=at, what=what) if at else say("week.fill_nowhere")
    return names.grounds.get(step.property_id, say("week.no_place"))


def tank_told(step: GivenStep, system: System) -> str:
    """What goes into the tank or out of it; empty: nothing."""
    return told(step.litres, "L", system, _GAL, 3) if step.litres else ""


def age_told(step: GivenStep) -> str:
    return "" if step.load_age_minutes is None else lasts(step.load_age_minutes)


def step_line(step: GivenStep, names: Names, system: System) -> str:
    """One step as a line."""
    parts = [place_told(step, names), *([work_told(step, names)] if step.kind == "stop" else []),
             tank_told(step, system), say("week.old", age=age_told(step)) if step.load_age_minutes is not None else ""]
    return say("week.step", start=clock_told(step.starts_min), end=clock_told(step.ends_min),
               what="; ".join(each for each in parts if each))


def broken_line(broken: Broken, week: Week, names: Names, system: System, why: str = "") -> str:
    """What an order breaks. why: what closes the day."""
    stop = _stop_number(broken, week)
    is_, allowed = (_amount(broken.why, each, system) for each in (broken.is_, broken.allowed))
    key = f"week.broken.{broken.why}"
    return say("week.broken_at", day=weekday(broken.day), crew=names.crew(broken.crew_id), what=say(
        key if known(key) else "week.broken.other", stop=stop, is_=is_, allowed=allowed, why=why_told(why or "closed")))


def left_out_line(left: LeftOutJob, names: Names) -> str:
    """A job that is in no round, and why."""
    job = left.job
    return say("week.left_out", place=names.grounds.get(job.property_id, ""), remedy=remedy_name(job.remedy),
               tree=job.tree_label, why=why_told(left.why))


def why_told(why: str) -> str:
    key = f"week.gate.{why}"
    return say(key) if known(key) else say(f"route.why.{why}")


def state_told(given: GivenRound) -> str:
    """Given, arranged or only proposed."""
    if given.given_by:
        return say("week.state.given_moved" if given.moved_by_hand else "week.state.given", by=given.given_by)
    return say("week.state.arranged" if given.moved_by_hand else "week.state.proposed")


def round_facts(given: GivenRound) -> str:
    """When it begins and ends, how many stops and fills."""
    fills = sum(step.kind == "fill" for step in given.steps)
    stops = sum(step.kind == "stop" for step in given.steps)
    return say("week.facts", start=clock_told(given.steps[0].starts_min), end=clock_told(given.steps[-1].ends_min),
               stops=stops, fills=fills)


def _amount(why: str, value: float, system: System) -> str:
    if why == "age":
        return lasts(value)
    return told(value, "L", system, _GAL, 3) if why in ("empty", "batch") else clock_told(value)


def _stop_number(broken: Broken, week: Week) -> int:
    for given in week.rounds:
        if (given.day, given.crew_id) == (broken.day, broken.crew_id):
            stops = [step for step in given.steps if step.kind == "stop"]
            return next((at for at, step in enumerate(stops, 1) if set(step.job_ids) & set(broken.job_ids)), 0)
    return 0
