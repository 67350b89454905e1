"""Which look for a pest is due: the warmth of the year against the stages of pests whose hosts stand here."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from rootcase.casework.explain.pests_findings import genus_of
from rootcase.ground.units import convert
from rootcase.records.observe import Forecast, PropertyRecord, Weather
from rootcase.records.pests import DegreeDays, LookState, PestLook
from rootcase.science.warmth.degree_days import average_degree_days_c
from rootcase.tables.load import Row, table

BASE_C = 10.0
YEAR_DAYS = 365
MOST_YEARS = 10
"""JUDGEMENT: older years were cooler, and ten show how springs differ."""
SHIFT = timedelta(days=7)
"""A yard, a slope or snow may be a week off the station: extension pages of degree days (seen)."""
STATES: tuple[LookState, ...] = ("due", "coming", "not reached", "not known")


@dataclass(frozen=True)
class Warmth:
    """Temperatures observed and forecast, as degree days; each earlier year of the record may stand in."""

    weather: Weather
    forecast: Forecast | None
    today: date
    south: bool

    @cached_property
    def observed(self) -> dict[date, float]:
        return _daily(self.weather)

    @cached_property
    def known(self) -> dict[date, float]:
        ahead = _daily(self.forecast.weather) if self.forecast else {}
        return {**ahead, **self.observed}

    @property
    def earlier_years(self) -> int:
        """Whole years of the record from which the coming season can be filled."""
        return len(self._filled(self.season_start(1, 1, 0)))

    @property
    def forecast_days(self) -> int:
        return sum(day >= self.today and day not in self.observed for day in self.known)

    def season_start(self, month: int, day: int, ahead: int) -> date:
        """Start of the season today is in, or of one so many years ahead; in the south half a year later."""
        first = date(self.today.year, 7, 1) if self.south else date(self.today.year, 1, 1)
        opens = first if first <= self.today else date(first.year - 1, first.month, 1)
        month = month + 6 if self.south else month
        return date(opens.year + ahead, month, day)

    def season_days(self, since: date) -> int:
        """Days from a start to the end of its season; what comes after it no sum needs."""
        ends = date(since.year + (since.month >= 7), 7, 1) if self.south else date(since.year + 1, 1, 1)
        return min((ends - since).days, YEAR_DAYS)

    def so_far(self) -> DegreeDays | None:
        """The sum from the season's start to the day before today."""
        since = self.season_start(1, 1, 0)
        days = (self.today - since).days
        lacking = sum(since + timedelta(n) not in self.known for n in range(days))
        courses = self.courses(since)
        if not courses.size:
            return None
        sums = courses[:, :days].sum(axis=1)
        seen = [day for day in self.observed if since <= day < self.today]
        return DegreeDays(since, float(sums.min()), float(sums.max()), max(seen, default=None), lacking)

    def courses(self, since: date) -> NDArray[np.float64]:
        """(courses, days) of degree days from a start: this year as far as it is known, then each earlier year.

        Where no earlier year is there, the one course of what is known without a gap; empty where nothing is.
        """
        filled = self._filled(since)
        if filled:
            return np.array(filled)
        alone: list[float] = []
        while (day := since + timedelta(len(alone))) in self.known and len(alone) < self.season_days(since):
            alone.append(self.known[day])
        return np.array([alone]) if since + timedelta(len(alone)) >= self.today else np.empty((0, 0))

    def _filled(self, since: date) -> list[list[float]]:
        if since not in self._kept:
            days = [since + timedelta(n) for n in range(self.season_days(since))]
            back = range(1, since.year - min(self.observed, default=since).year + 1)
            courses = ([self.known.get(day, self.observed.get(_years_before(day, years), np.nan)) for day in days]
                       for years in back)
            self._kept[since] = [course for course in courses if isfinite(sum(course))][:MOST_YEARS]
        return self._kept[since]

    @cached_property
    def _kept(self) -> dict[date, list[list[float]]]:
        return {}


def looks_of(record: PropertyRecord, warmth: Warmth) -> tuple[PestLook, ...]:
    """Which stages of pests are to be looked for at the trees that stand here, and about when?

    Parameters
    ----------
    record : the property, corrections applied.
    warmth : of its station.

    Returns
    -------
    Looks, due ones first, then by day; those no year reaches and those nobody can tell at the end.

    Raises
    ------
    OutOfRange : a temperature outside -90 to 60 degC.

    Notes
    -----
    A look opens when the first course of the season passes the lower figure and closes when the last passes the upper,
    a week put on at either end. One that has closed is told for the next season.

    References
    ----------
    Table explain/pest_stages.

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> nowhere = Weather("s", (), (), (), (), (), (), "")
    >>> looks_of(PropertyRecord(owner, (), (), (), (), (), (), (), {}), Warmth(nowhere, None, date(2016, 5, 1), False))
    ()
    """
    genera = {tree.id: genus_of(record, tree) for tree in record.trees}
    looks = []
    for row in table("explain/pest_stages").rows:
        hosts = str(row["genera"]).split("|")
        trees = tuple(tree for tree, genus in genera.items() if genus in hosts)
        if trees:
            looks.append(_look(row, trees, warmth))
    return tuple(sorted(looks, key=lambda each: (STATES.index(each.state), each.first or date.max, each.pest)))


def _look(row: Row, trees: tuple[str, ...], warmth: Warmth) -> PestLook:
    low, high = (convert(float(row[f"{end}_degf_day"]), "degF_day", "degC_day") for end in ("from", "to"))
    month, day = (int(part) for part in str(row["start"]).split("-"))
    this, following = (warmth.season_start(month, day, ahead) for ahead in (0, 1))
    since, (first, last, state) = this, _window(warmth, this, low, high)
    if last is not None and last < warmth.today:
        since, (first, last, state) = following, _window(warmth, following, low, high)
    group = table("explain/pest_groups").row(group=str(row["group"]))
    return PestLook(
        pest=str(row["pest"]), stage=str(row["stage"]), group=str(row["group"]),
        kinds=tuple(str(group["kinds"]).split("|")), tree_ids=trees, from_c_day=low, to_c_day=high, since=since,
        state=state, first=first, last=last, cue=str(row["cue"]), source=str(row["source"]))


def _window(warmth: Warmth, since: date, low: float, high: float) -> tuple[date | None, date | None, LookState]:
    courses = warmth.courses(since)
    if not courses.size:
        return None, None, "not known"
    sums = courses.cumsum(axis=1)
    opens, closes = (_passed(sums, degree_days) for degree_days in (low, high))
    reached = [day for day in opens if day is not None]
    if not reached:
        return None, None, "not reached" if sums.shape[1] == warmth.season_days(since) else "not known"
    first = since + timedelta(min(reached)) - SHIFT
    last = None if None in closes else since + timedelta(max(day for day in closes if day is not None)) + SHIFT
    return first, last, "due" if first <= warmth.today and (last is None or warmth.today <= last) else "coming"


def _passed(sums: NDArray[np.float64], degree_days: float) -> list[int | None]:
    """The day each course passes a sum; None where it does not."""
    return [int(np.argmax(course >= degree_days)) if course[-1] >= degree_days else None for course in sums]


def _daily(weather: Weather) -> dict[date, float]:
    """Degree days of every day with both temperatures."""
    both = [(day, low, high) for day, low, high in zip(weather.days, weather.t_min_c, weather.t_max_c, strict=True)
            if isfinite(low) and isfinite(high)]
    if not both:
        return {}
    days, lows, highs = zip(*both, strict=True)
    found = average_degree_days_c(np.array(lows), np.array(highs), BASE_C)
    return dict(zip(days, found.tolist(), strict=True))


def _years_before(day: date, years: int) -> date:
    return date(day.year - years, day.month, min(day.day, 28) if day.month == 2 else day.day)
