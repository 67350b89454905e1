"""A course as work by year and season, each step with its dose and its cost."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import fsum

from rootcase.casework.prescribe.courses import Course
from rootcase.casework.prescribe.paces import Hours, hours_of, work_of
from rootcase.casework.prescribe.remedies import YEARS
from rootcase.records.prescribe import Dose, Step

VISIT_SEASON = {"may_september": "spring", "early_spring": "spring", "spring_or_autumn": "spring"}
"""The visit on which work of that season is done or set up."""


def steps_of(course: Course, doses: Mapping[str, Dose | None], costs: Mapping[str, float | None]) -> tuple[Step, ...]:
    """The work of a course, year by year.

    Parameters
    ----------
    course : its parts, in their order of work.
    doses : of one application, by remedy; None where there is none.
    costs : of five years, by remedy; None where the price book has no line. [money]

    Returns
    -------
    Steps by year, then in the order of work.

    Raises
    ------
    Nothing.

    Notes
    -----
    A part that begins later or ends sooner costs only what is done: its share of the five years' cost.

    References
    ----------
    Table prescribe/steps: common practice, no source, or JUDGEMENT.

    Examples
    --------
    >>> from rootcase.casework.prescribe.courses import Part
    >>> feed = Course("mulch+slow_nitrogen", (Part("mulch", 1, 5), Part("slow_nitrogen", 2, 5)))
    >>> steps = steps_of(feed, dict.fromkeys(("mulch", "slow_nitrogen"), Dose(10.0)),
    ...                  {"mulch": 100.0, "slow_nitrogen": 50.0})
    >>> [(step.year, step.remedy, step.cost) for step in steps][:3]
    [(1, 'mulch', 50.0), (2, 'slow_nitrogen', 10.0), (3, 'slow_nitrogen', 10.0)]
    """
    found = []
    for at, part in enumerate(course.parts):
        dose, cost = doses.get(part.remedy), costs.get(part.remedy)
        for work in work_of(part.remedy):
            year = part.first_year + work.year - 1
            paid = None if cost is None else cost * work.share
            if dose is not None and year <= min(part.last_year, YEARS):
                found.append((year, at, Step(year, work.season, part.remedy, dose, paid, work.note)))
    return tuple(step for _, _, step in sorted(found, key=lambda each: each[:2]))


def cost_of_steps(steps: Iterable[Step], year: int | None = None) -> float | None:
    """What steps cost together.

    Parameters
    ----------
    steps : the steps.
    year : only those of that year; None: all.

    Returns
    -------
    Money; None where one of them has no price.

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> steps = Step(1, "any", "mulch", Dose(1.0), 30.0), Step(4, "any", "mulch", Dose(1.0), 20.0)
    >>> cost_of_steps(steps), cost_of_steps(steps, 1)
    (50.0, 30.0)
    """
    costs = [step.cost for step in steps if year is None or step.year == year]
    return None if None in costs else fsum(cost for cost in costs if cost is not None)


def visits_of(steps: Iterable[Step], year: int | None = None) -> frozenset[str]:
    """Visits of the crew that a course needs; two courses share a visit of one season and year.

    Parameters
    ----------
    steps : of the course, by year, each in the season in which it is done.
    year : only those of that year of the plan; None: all.

    Returns
    -------
    "season year" of each.

    Raises
    ------
    Nothing.

    Notes
    -----
    Watering in the season is set up in spring, and shares that visit.

    References
    ----------
    Table prescribe/steps: JUDGEMENT.

    Examples
    --------
    >>> sorted(visits_of([Step(1, "autumn", "mulch", Dose(1.0), None), Step(4, "spring", "mulch", Dose(1.0), None)]))
    ['autumn 1', 'spring 4']
    """
    found, begun = set(), dict[str, int]()
    for step in steps:
        run = step.year - begun.setdefault(step.remedy, step.year) + 1
        comes = any(work.visit for work in work_of(step.remedy) if work.year == run)
        if comes and year in (None, step.year):
            found.add(f"{VISIT_SEASON.get(step.season, step.season)} {step.year}")
    return frozenset(found)


def hours_of_course(course: Course, doses: Mapping[str, Dose | None], year: int) -> Hours:
    """How long a course's work takes at one tree in one year of the plan.

    Parameters
    ----------
    course : its parts.
    doses : of one application, by remedy.
    year : of the plan, 1 to 5.

    Returns
    -------
    Hours. [h]

    Raises
    ------
    Nothing.

    Notes
    -----
    Driving and setting up are of the visit and not of the tree.

    References
    ----------
    As `paces.hours_of`.

    Examples
    --------
    >>> from rootcase.casework.prescribe.courses import Part
    >>> hours_of_course(Course("mulch", (Part("mulch", 1, 5),)), {"mulch": Dose(10.0, volume_m3=2.0)}, 2)
    Hours(person=0.0, machine=0.0)
    """
    found = Hours()
    for part in course.parts:
        dose, run = doses.get(part.remedy), part.year_of(year)
        if dose is not None and run is not None and any(work.year == run for work in work_of(part.remedy)):
            found = found + hours_of(part.remedy, dose, run)
    return found
