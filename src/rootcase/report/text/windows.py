"""The days ahead in words: fit, not fit and why, not known; and the figures behind each."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date

from rootcase.ground.dates import count_days, show_date
from rootcase.ground.quantity import show, show_interval
from rootcase.ground.words import say
from rootcase.records.apply.jobs import Job
from rootcase.records.apply.told import GroundTold
from rootcase.records.apply.windows import UNTOLD, Finding, PlaceDay, Windows
from rootcase.records.observe import PropertyRecord, System
from rootcase.report.text.naming import names, remedy_name

_PAIRS = {"degC": ("degF", "degC"), "mm": ("in", "mm"), "m/s": ("mph", "m/s")}
_MILD_C = 18.0
"""Between the two ends of a soil that is neither cold nor warm."""
_SUREST = 0.99
_REFUSED_DAYS = 14
"""JUDGEMENT: by then the soil has changed more than a hand can tell."""
_OLD_DAYS = 2
"""JUDGEMENT: a forecast that is older is told of."""


def day_name(day: date) -> str:
    """A day as it stands above a column.

    >>> day_name(date(2016, 5, 2))
    'Mon 2 May'
    """
    return say("windows.day", weekday=say("windows.weekdays").split()[day.weekday()], day=day.day,
               month=say("windows.months").split()[day.month - 1])


def row_name(window: Windows, record: PropertyRecord, jobs: Iterable[Job]) -> str:
    """Place, remedy and trees of one row."""
    place = next((each.name for each in record.places if each.id == window.place_id), "")
    trees = [job.tree_label for job in jobs if job.id in window.job_ids]
    return say("windows.row", place=place, remedy=remedy_name(window.remedy), trees=names(list(dict.fromkeys(trees))))


def cell(day: PlaceDay) -> str:
    """What stands in a cell: the state, and of a day that is not fit the first reason."""
    if day.state == "fit":
        return say("windows.fit")
    why = reasons(day)
    state = say(f"windows.{day.state}")
    return say("windows.because", state=state, why=why[0]) if why else state


def reasons(day: PlaceDay) -> list[str]:
    """Why a day is not fit, or not known; every reason once."""
    told = [why_of(each) for each in day.findings if each.decides and each.state == day.state]
    return list(dict.fromkeys(told))


def cell_with_chance(day: PlaceDay) -> str:
    """The same with all its reasons and the chance that it is so; none where that was told, and never a whole one.

    >>> cell_with_chance(PlaceDay(day=date(2016, 5, 2), state="fit", findings=(), chance=0.934))
    'fit, 0.93'
    """
    why = ", ".join(reasons(day))
    state = say(f"windows.{day.state}")
    told = say("windows.because", state=state, why=why) if why else state
    if day.chance is None or day.chance == 1.0:
        return told
    return say("windows.chance", state=told, chance=f"{min(day.chance, _SUREST):.2f}")


def finding_lines(day: PlaceDay, system: System) -> list[str]:
    """The figures behind a cell, what closes the day first; a figure that two gates share is told once."""
    lines, told = [], set[object]()
    for each in day.findings:
        if each.gate == "permit" and each.basis == "read":
            lines.append(say("windows.permit_asked"))
            continue
        if each.basis == "told" or each.gate in ("locate", "season"):
            until = show_date(each.until) if each.until else say("windows.open_end")
            lines.append(say(f"windows.told.{each.gate}.{each.state}", says=each.says, until=until))
            continue
        shared = (say(f"windows.what.{each.gate}"), each.figure)
        if each.state == "not_fit" or shared not in told:
            lines.append(_figure(each, system))
        told.add(shared)
    return lines


def forecast_line(issued: str, today: date) -> str:
    """How old the forecast is, or that there is none.

    >>> forecast_line("2016-01-14T16:00", date(2016, 1, 15))
    'Forecast of 14 January 2016 16:00.'
    """
    if not issued:
        return say("windows.no_forecast")
    try:
        of = date.fromisoformat(issued[:10])
    except ValueError:
        return say("windows.issued", issued=issued)
    line, age = say("windows.issued", issued=f"{show_date(of)}{issued[10:].replace('T', ' ')}"), (today - of).days
    return f"{line} {say('windows.old_forecast', days=count_days(age))}" if age >= _OLD_DAYS else line


def windows_lines(windows: Sequence[Windows], record: PropertyRecord, jobs: Sequence[Job]) -> list[str]:
    """All rows of a property for a terminal: a line for each day."""
    lines = []
    for window in windows:
        lines.append(row_name(window, record, jobs))
        lines += [f"  {day_name(day.day)}: {cell_with_chance(day)}" for day in window.days]
    return lines


def later_lines(later: Iterable[Job]) -> list[str]:
    """Work whose season begins after the days that are shown, by season."""
    found: dict[tuple[date, str], list[str]] = {}
    for job in later:
        found.setdefault((job.first, job.remedy), []).append(job.tree_label)
    return [say("windows.later", remedy=remedy_name(remedy), trees=names(list(dict.fromkeys(trees))),
                day=show_date(first)) for (first, remedy), trees in sorted(found.items())]


def squeezed_lines(told: GroundTold, record: PropertyRecord, today: date) -> list[str]:
    """Days on which the soil was refused at the gate, the newest first; older ones say nothing of these days."""
    places = {place.id: place.name for place in record.places}
    return [say(f"windows.refused.{each.state}", day=show_date(each.day), place=places.get(each.place_id, ""))
            for each in sorted(told.squeezes, key=lambda squeeze: squeeze.day, reverse=True)
            if each.state != "fit" and (today - each.day).days <= _REFUSED_DAYS]


def why_of(finding: Finding) -> str:
    """Why one gate closes a day, or is not known."""
    if finding.state == "not_known":
        if finding.gate in UNTOLD:
            return say(f"windows.why.untold_{finding.gate}")
        return say("windows.why.no_forecast" if finding.basis == "usual" or finding.gate in (
            "rain_to_come", "frost", "heat", "wind") else "windows.why.not_read")
    if finding.gate == "soil_temperature":
        return say("windows.why.soil_cold" if (finding.limit or 0.0) < _MILD_C else "windows.why.soil_warm")
    return say(f"windows.why.{finding.gate}")


def _figure(finding: Finding, system: System) -> str:
    what = say(f"windows.what.{finding.gate}")
    if finding.figure is None or finding.low is None or finding.high is None:
        return say("windows.finding.none", what=what)
    pair, figures = _PAIRS.get(finding.unit), 3 if finding.unit == "1" else 2
    figure = show(finding.figure, finding.unit, system, pair, figures)
    interval = show_interval(finding.low, finding.high, finding.unit, system, pair, figures)
    if finding.basis == "usual":
        return say("windows.finding.usual", what=what, figure=figure, interval=interval)
    gate = why_of(replace(finding, state="not_fit"))
    return say("windows.finding.figure", what=what, figure=figure, interval=interval,
               basis=say(f"windows.basis.{finding.basis}"), gate=gate,
               limit=show(finding.limit, finding.unit, system, pair, figures))
