"""When a remedy's work is done over five years, and how long it takes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from rootcase.casework.prescribe.remedies import YEARS
from rootcase.records.prescribe import Dose
from rootcase.tables.load import table

LITRES_IN_KL = 1000.0


@dataclass(frozen=True, slots=True)
class Work:
    """One time a remedy is worked at, in years from its start."""

    year: int
    season: str
    share: float
    """Of the cost of all five years."""
    visit: bool
    """Whether the crew comes for it."""
    note: str


@dataclass(frozen=True, slots=True)
class Hours:
    """Of people and of machines."""

    person: float = 0.0
    machine: float = 0.0

    def __add__(self, other: Hours) -> Hours:
        return Hours(self.person + other.person, self.machine + other.machine)


@cache
def work_of(remedy: str) -> tuple[Work, ...]:
    """When the work of a remedy is done, year by year.

    Parameters
    ----------
    remedy : its code.

    Returns
    -------
    tuple of Work in order of years, 1 to 5; empty where there is none to do, or none is known.

    Raises
    ------
    Nothing.

    Notes
    -----
    The shares of one remedy sum to 1.

    References
    ----------
    Table prescribe/steps, row by row: common practice, no source, or JUDGEMENT.

    Examples
    --------
    >>> [(work.year, work.season, work.share) for work in work_of("mulch")]
    [(1, 'autumn', 0.5), (4, 'spring', 0.5)]
    """
    rows = sorted((row for row in table("prescribe/steps").rows if row["remedy"] == remedy), key=lambda r: r["year"])
    return tuple(Work(int(row["year"]), str(row["season"]), float(row["share"]), row["visit"] == 1.0, str(row["note"]))
                 for row in rows)


def hours_of(remedy: str, dose: Dose, year: int) -> Hours:
    """How long one time of a remedy's work takes at one tree.

    Parameters
    ----------
    remedy : its code.
    dose : of one application.
    year : of the remedy, 1 the first.

    Returns
    -------
    Hours. [h]

    Raises
    ------
    Nothing.

    Notes
    -----
    None where the table has no pace for it.

    References
    ----------
    Table prescribe/paces, row by row: memory, computed or JUDGEMENT; a practice's own figures replace them.

    Examples
    --------
    >>> hours_of("mulch", Dose(10.0, volume_m3=2.0), 1)
    Hours(person=1.74, machine=0.0)
    """
    amounts = {"m2": dose.area_m2, "m3": dose.volume_m3 or 0.0, "kL": (dose.litres or 0.0) / LITRES_IN_KL, "tree": 1.0}
    rows = [row for row in table("prescribe/paces").rows
            if row["work"] == remedy and (year == 1 or not row["first_time_only"])]
    return Hours(sum(amounts[row["per"]] * row["person_hours"] for row in rows),
                 sum(amounts[row["per"]] * row["machine_hours"] for row in rows))


def hours_in_all(remedy: str, dose: Dose) -> Hours:
    """How long a remedy's work takes at one tree over five years.

    Parameters
    ----------
    remedy : its code.
    dose : of one application.

    Returns
    -------
    Hours. [h]

    Raises
    ------
    Nothing.

    Notes
    -----
    None where the table has no pace for it.

    References
    ----------
    As `hours_of`.

    Examples
    --------
    >>> hours_in_all("mulch", Dose(10.0, volume_m3=2.0))
    Hours(person=3.48, machine=0.0)
    """
    every = [hours_of(remedy, dose, work.year) for work in work_of(remedy) if work.year <= YEARS]
    return sum(every, Hours())


def visit_hours() -> float:
    """Person-hours of driving and setting up that one visit takes.

    Parameters
    ----------
    None.

    Returns
    -------
    [h]

    Raises
    ------
    Missing : the table lacks the row.

    Notes
    -----
    None.

    References
    ----------
    Table prescribe/paces: JUDGEMENT.

    Examples
    --------
    >>> visit_hours()
    2.0
    """
    return float(table("prescribe/paces").row(work="visit")["person_hours"])
