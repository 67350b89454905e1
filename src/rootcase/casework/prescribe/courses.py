"""Courses: one remedy or several over five years, each with the years it runs."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from rootcase.casework.prescribe.remedies import YEARS, remedies
from rootcase.ground.errors import ImpossibleValue
from rootcase.records.prescribe import TRIAL_ONLY
from rootcase.tables.load import table

SETTLED = "settled"
"""Written for the last year of what is done only while a tree roots in."""
EVERY_OTHER = "*"


@dataclass(frozen=True, slots=True)
class Part:
    """One remedy in a course."""

    remedy: str
    first_year: int
    last_year: int

    def year_of(self, year: int) -> int | None:
        """How many years the part has run in that year of the plan; None: it does not run then."""
        return year - self.first_year + 1 if self.first_year <= year <= self.last_year else None


@dataclass(frozen=True, slots=True)
class Course:
    """Parts in their order of work."""

    code: str
    parts: tuple[Part, ...]

    @property
    def several(self) -> bool:
        return len(self.parts) > 1


def courses(settling_years: int | None = None) -> tuple[Course, ...]:
    """Every remedy the model can reckon as a course of its own, then the further courses.

    Parameters
    ----------
    settling_years : years in which a tree still roots in, 1 to 5, for the courses of such a tree; None: it is rooted
        in, for the courses of those.

    Returns
    -------
    tuple of Course, doing nothing first.

    Raises
    ------
    ImpossibleValue : a row breaks a rule of order, or names a remedy the model cannot reckon.

    Notes
    -----
    A rule of order binds two parts of one course: the earlier stands before the later and begins so many years before.

    References
    ----------
    Tables prescribe/courses and prescribe/order, row by row: seen, memory or JUDGEMENT.

    Examples
    --------
    >>> feed = next(course for course in courses() if course.code == "mulch+slow_nitrogen")
    >>> [(part.remedy, part.first_year, part.last_year) for part in feed.parts]
    [('mulch', 1, 5), ('slow_nitrogen', 2, 5)]
    >>> [course.code for course in courses(2) if course not in courses()]
    ['settling_water', 'settling_water+mulch']
    """
    alone = tuple(Course(r.code, (Part(r.code, 1, YEARS),)) for r in remedies() if r.in_model)
    return (*alone, *_further(settling_years))


def order_fault(course: Course) -> str:
    """Which rule of order a course breaks.

    Parameters
    ----------
    course : the course.

    Returns
    -------
    One line; empty where it keeps every rule.

    Raises
    ------
    Nothing.

    Notes
    -----
    Compost extract is a trial: never in a course of several.

    References
    ----------
    Table prescribe/order, row by row: seen, memory or JUDGEMENT.

    Examples
    --------
    >>> order_fault(Course("slow_nitrogen+mulch", (Part("slow_nitrogen", 1, 5), Part("mulch", 1, 5))))
    'mulch comes before slow_nitrogen, 1 year before'
    """
    place = {part.remedy: (at, part.first_year) for at, part in enumerate(course.parts)}
    if course.several and place.keys() & set(TRIAL_ONLY):
        return f"{TRIAL_ONLY[0]} is a trial and stands in no course"
    for row in table("prescribe/order").rows:
        earlier, between = str(row["earlier"]), int(row["years_between"])
        later = place.keys() - {earlier} if row["later"] == EVERY_OTHER else place.keys() & {str(row["later"])}
        for other in sorted(later) if earlier in place else ():
            (first, first_year), (second, second_year) = place[earlier], place[other]
            if first > second or second_year - first_year < between:
                years = f", {between} year{'s' * (between > 1)} before" if between else ""
                return f"{earlier} comes before {other}{years}"
    return ""


@cache
def _further(settling_years: int | None) -> tuple[Course, ...]:
    known = {remedy.code for remedy in remedies() if remedy.in_model}
    found = []
    for row in table("prescribe/courses").rows:
        if bool(row["settling"]) != (settling_years is not None):
            continue
        parts = tuple(_part(words.split(), settling_years or YEARS) for words in str(row["parts"]).split("|"))
        course = Course(str(row["course"]), parts)
        fault = order_fault(course) or next(
            (f"{part.remedy} is no remedy the model reckons" for part in parts if part.remedy not in known), "")
        if fault:
            raise ImpossibleValue("the course cannot be", where="tables/prescribe/courses.csv", value=course.code,
                                  right=fault)
        found.append(course)
    return tuple(found)


def _part(words: list[str], settling_years: int) -> Part:
    remedy, first, last = words
    return Part(remedy, int(first), settling_years if last == SETTLED else int(last))
