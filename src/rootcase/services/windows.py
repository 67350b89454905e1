"""The days ahead of every piece of planned work, at all properties of a practice."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import isnan

import numpy as np

from rootcase.casework.apply.ahead import DayAhead, days_ahead, sky_of
from rootcase.casework.apply.gates import window_figure
from rootcase.casework.apply.upper_soil import felt_of, upper_soil_of
from rootcase.casework.apply.windows import Site, windows_of
from rootcase.casework.prescribe.rules import asked_of, rules_here
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.used_days import used_days
from rootcase.ground.errors import Missing
from rootcase.records.apply.done import Application
from rootcase.records.apply.jobs import Job
from rootcase.records.apply.rounds import Waiting
from rootcase.records.apply.told import GroundTold, Locate, Use
from rootcase.records.apply.windows import Windows
from rootcase.records.observe import Forecast, Property, PropertyRecord, Rule, Weather
from rootcase.services.planned_work import jobs_at
from rootcase.services.run import Run
from rootcase.services.weather import days_for, with_reference

_A_YEAR = timedelta(days=366)
LICENCE = "licence"
"""Topic of a rule that asks for one."""


@dataclass(frozen=True, slots=True)
class GroundWindows:
    """One property with its planned work and the days that allow it."""

    ground: Property
    record: PropertyRecord
    jobs: tuple[Job, ...]
    windows: tuple[Windows, ...]
    told: GroundTold
    rules: tuple[Rule, ...]
    """On this work, of those that hold here."""
    later: tuple[Job, ...] = ()
    """Whose season begins after these days."""


def windows_at(fieldbook: Fieldbook, ground: Property, today: date, days: int,
               own: Sequence[Application] | None = None) -> GroundWindows:
    """The days from today on of each planned remedy at each place of a property.

    own: what the practice put on anywhere, where that is at hand.
    """
    record, until = fieldbook.record(ground.id), today + timedelta(days - 1)
    waiting = jobs_at(fieldbook, record, today, today + _A_YEAR,
                      fieldbook.recording.applications() if own is None else own)
    jobs = tuple(job for job in waiting if job.first <= until)
    later = tuple(job for job in waiting if job.first > until)
    told = _with_tickets(fieldbook.applying.ground(ground.id), record)
    rules = rules_here(record)
    if not jobs:
        return GroundWindows(ground, record, (), (), told, (), later)
    weather, forecast = _weather(fieldbook, ground, today)
    sky = sky_of(weather, forecast, today, until)
    first = {job.place_id: job.tree_id for job in reversed(jobs)}
    trees = {tree.id: tree for tree in record.trees}
    ahead: dict[str, tuple[DayAhead, ...]] = {
        place: days_ahead(sky, upper_soil_of(record, trees[tree]), felt_of(record, told, place, today), today)
        for place, tree in first.items()}
    site = Site(ahead, told, rules, forecast.issued_at if forecast else "", _permit_places(record),
                _papers(fieldbook, record))
    return GroundWindows(ground, record, jobs, windows_of(jobs, site), told,
                         asked_of(rules, {job.remedy for job in jobs}), later)


def windows_of_all(fieldbook: Fieldbook, grounds: Iterable[Property], today: date, days: int,
                   own: Sequence[Application] | None = None) -> tuple[GroundWindows, ...]:
    """The same at all of these properties; where nothing waits a property is left out."""
    own = fieldbook.recording.applications() if own is None else own
    found = (windows_at(fieldbook, ground, today, days, own) for ground in grounds)
    return tuple(each for each in found if each.jobs or each.later)


def waiting_of(found: Iterable[GroundWindows]) -> tuple[Waiting, ...]:
    """Each job with the days that are fit for it, for who plans the rounds; without a position none can be driven to.
    """
    return tuple(Waiting(job=job, days=_fit_days(each, job), latitude_deg=each.ground.latitude_deg,
                         longitude_deg=each.ground.longitude_deg, licence=_licensed(each, job))
                 for each in found if not isnan(each.ground.latitude_deg) for job in each.jobs)


def _fit_days(found: GroundWindows, job: Job) -> frozenset[date]:
    return frozenset(day.day for window in found.windows if job.id in window.job_ids
                     for day in window.days if day.state == "fit")


def _licensed(found: GroundWindows, job: Job) -> bool:
    return any(rule.topic == LICENCE and job.remedy in rule.applies_to for rule in found.rules)


def _permit_places(record: PropertyRecord) -> frozenset[str]:
    """Places where root work needs a permit."""
    return frozenset(place.id for place in record.places
                     if (read := record.of(place.id, kind="tree_protection_rule")) and read[-1].choice == "permit")


def _papers(fieldbook: Fieldbook, record: PropertyRecord) -> dict[str, date]:
    """The last day, by place, of a permit among the practice's papers: one that names the property, and either the
    place or none of its places."""
    found: dict[str, date] = {}
    for paper in fieldbook.practice().papers:
        if paper.kind == "permit" and _names(paper.what, record.property.name):
            named = [place for place in record.places if _names(paper.what, place.name)]
            for place in named or record.places:
                found[place.id] = max(paper.ends, found.get(place.id, paper.ends))
    return found


def _names(text: str, name: str) -> bool:
    """Whether a name stands in a text as whole words."""
    words = r"\s+".join(re.escape(word) for word in name.casefold().split())
    return bool(words) and re.search(rf"(?<!\w){words}(?!\w)", text.casefold()) is not None


def _with_tickets(told: GroundTold, record: PropertyRecord) -> GroundTold:
    """Marks that were read at a place stand beside those that were told at the desk."""
    numbers = {reading.of: reading.choice or "" for reading in record.readings if reading.kind == "locate_ticket"}
    read = tuple(Locate(id=reading.id, number=numbers.get(reading.of, ""), first=reading.day,
                        last=date.fromisoformat(reading.choice), place_id=reading.of)
                 for reading in record.readings if reading.kind == "locate_expires" and reading.choice)
    return replace(told, locates=(*told.locates, *read), uses=(*told.uses, *_in_words(record)))


def _in_words(record: PropertyRecord) -> Iterator[Use]:
    """Days in use that the client told in words, as far as days can be read in them."""
    for place in record.places:
        for told in record.of(place.id, kind="closed_days")[-1:]:
            found, _ = used_days(told.choice or "", told.day)
            yield from (Use(id=f"{told.id} {at}", name=each.name, first=each.first, last=each.last,
                            weekdays=each.weekdays, place_id=place.id) for at, each in enumerate(found))


def _weather(fieldbook: Fieldbook, ground: Property, today: date) -> tuple[Weather, Forecast | None]:
    """What was observed, and the forecast; both with reference evapotranspiration where a formula allows."""
    try:
        observed = days_for(fieldbook, ground, Run(today))
    except Missing:
        observed = Weather(ground.weather_station, (), (), (), (), (), (), "")
    forecast = fieldbook.forecast(ground.id)
    try:
        return (_lately_with_reference(observed, ground),
                replace(forecast, weather=with_reference(forecast.weather, ground)) if forecast else None)
    except Missing:  # nobody has said where the property is
        return observed, forecast


def _lately_with_reference(weather: Weather, ground: Property) -> Weather:
    """Only the days that the ground's water is reckoned from need it: a long record would take seconds."""
    lately = min(len(weather.days), int(window_figure("water_most_days")))
    if weather.typical or not lately:
        return weather
    names = [name for name in Weather.__slots__ if len(getattr(weather, name) or ()) == len(weather.days)
             and isinstance(getattr(weather, name), tuple) and name != "told"]
    last = with_reference(replace(weather, **{name: getattr(weather, name)[-lately:] for name in names}), ground)
    return replace(weather, et0_mm=(*(np.nan,) * (len(weather.days) - lately), *last.et0_mm))
