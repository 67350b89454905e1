"""One job of a stop, as a phone shows it: what stops it, its dose, and what each answer at the gate means for it."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from datetime import date
from functools import cache
from math import floor

from rootcase.casework.apply.gates import concerned_trees, gates_of
from rootcase.ground.dates import show_date
from rootcase.ground.quantity import System, number, with_unit
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.apply.jobs import EXTRACT, Job
from rootcase.records.apply.rounds import LeftOutJob
from rootcase.records.apply.told import SoilState
from rootcase.records.apply.windows import UNTOLD, Gate, PlaceDay
from rootcase.records.field_round import FieldBar, FieldTask, SeenAround
from rootcase.report.text.doses import beside, dose_text
from rootcase.report.text.figures import sentence, volume_alone
from rootcase.report.text.naming import remedy_name
from rootcase.report.text.plan import cautions_of
from rootcase.report.text.rounds import why_told
from rootcase.report.text.stop_paper import part_told
from rootcase.services.windows import LICENCE, GroundWindows

SOIL: tuple[SoilState, ...] = ("fit", "saturated", "dry", "frozen")
AROUND: tuple[SeenAround, ...] = ("rain", "wind", "frost", "heat", "people", "bloom")
_CLOSED_BY: Mapping[str, Gate] = {
    "saturated": "saturated", "dry": "too_dry", "frozen": "frozen", "rain": "rain_to_come", "wind": "wind",
    "frost": "frost", "heat": "heat", "people": "use", "bloom": "bloom"}
"""The gate that each answer closes; soil that is fit closes none."""
_KNOWN_BEFORE: tuple[Gate, ...] = ("locate", "permit", "law", "use", "bloom")
"""Gates that stop work before anybody is there; weather and soil are seen there."""
_CHIPS = "mulch"


def task_of(job: Job, found: GroundWindows, day: date, system: System, tank_l: float, *, licensed: bool,
            parts: int = 1) -> FieldTask:
    """A job on a day. tank_l: what was filled for it; 0 where it takes nothing from a tank. licensed: somebody in the
    crew is. parts: stops over which it is parted."""
    southern = found.ground.latitude_deg < 0
    first, others = cautions_of(job.cautions)
    ahead = _day_of(job, found, day)
    is_whole = parts == 1 and (job.done or not job.applied_l)
    bars = (*_concern(job, found), *_bars(ahead), *([] if licensed else _licence(job, found)))
    return FieldTask(
        id=job.id, tree_id=job.tree_id, tree=job.tree_label, place_id=job.place_id, remedy=job.remedy,
        name=remedy_name(job.remedy), plan=job.plan,
        tank_does=_tank_does(job.litres, tank_l, system) if is_whole else "",
        dose=sentence(part_told(dose_text(job.dose, system, southern), job, parts, system)),
        beside=tuple(beside(job.dose, system)), cautions=first,
        more_cautions=others, located=_located(ahead), bars=bars, closes=closes(job.remedy),
        extract=job.remedy == EXTRACT, amount=_loose(job, system), litres=job.litres / parts or None,
        mass_kg=job.dose.mass_kg, area_m2=job.dose.area_m2 if is_whole else None, done=job.done)


@cache
def closes(remedy: str) -> Mapping[str, str]:
    """What each answer at the stop means for a remedy; what is not here leaves it open.

    >>> closes("extract")["saturated"]
    'Too wet for liquid and air here. Chips may still go, by barrow on boards.'
    >>> sorted(closes("mulch"))
    ['people', 'wind']
    """
    shut = {limits.gate for limits in gates_of(remedy)}
    chips = {limits.gate for limits in gates_of(_CHIPS)}
    return {answer: say(f"field.round.closes.{answer}") + ("" if gate in chips else f" {say('field.round.chips')}")
            for answer, gate in _CLOSED_BY.items() if gate in shut}


def left_out_at(found: GroundWindows, day: date, on_rounds: Collection[str]) -> Iterator[LeftOutJob]:
    """Work of the season that waits at a property and is in nobody's round, with the first gate that closes the day."""
    for job in found.jobs:
        if job.id in on_rounds or not job.first <= day <= job.last:
            continue
        ahead = _day_of(job, found, day)
        shut = next((each.gate for each in ahead.findings if each.decides), "") if ahead else ""
        if shut in UNTOLD and ahead and ahead.state == "not_known":
            shut = f"no_{shut}"
        yield LeftOutJob(job=job, why=shut or "in_no_round")


def _day_of(job: Job, found: GroundWindows, day: date) -> PlaceDay | None:
    return next((each for window in found.windows if job.id in window.job_ids for each in window.days
                 if each.day == day), None)


def _bars(ahead: PlaceDay | None) -> Iterator[FieldBar]:
    for each in ahead.bars if ahead else ():
        if each.gate in _KNOWN_BEFORE:
            why = why_told(f"no_{each.gate}" if each.state == "not_known" else each.gate)
            what = f": {each.says}" if each.says else ""
            yield FieldBar(gate=each.gate, says=say("field.round.bar_locate", why=sentence(why)) if (
                each.gate == "locate") else say("field.round.bar_other", why=sentence(why), what=what))


def _concern(job: Job, found: GroundWindows) -> Iterator[FieldBar]:
    """Where something was seen that could fail: the phone says it also where the property has not come to it."""
    if job.tree_id in concerned_trees(found.record):
        yield FieldBar(gate="concern", says=say("field.stop.concern", tree=job.tree_label))


def _loose(job: Job, system: System) -> str:
    if job.dose.volume_m3 is None:
        return ""
    unit = "yd3" if system == "us" else "m3"
    return with_unit(number(convert(job.dose.volume_m3, "m3", unit)), unit)


def _licence(job: Job, found: GroundWindows) -> Iterator[FieldBar]:
    """Where law or the practice asks for a licence that nobody in the crew has."""
    if any(rule.topic == LICENCE and job.remedy in rule.applies_to for rule in found.rules):
        yield FieldBar(gate="licence", says=say("stop_paper.stops.licence", work=sentence(remedy_name(job.remedy))))


def _located(ahead: PlaceDay | None) -> str:
    holds = ahead.locate if ahead else None
    if holds is None or holds.state != "fit" or holds.until is None:
        return ""
    return say("stop_paper.located", number=holds.says or say("windows.line.no_number"), until=show_date(holds.until))


def _tank_does(litres: float, tank_l: float, system: System) -> str:
    if not litres or not tank_l:
        return ""
    return say("field.round.tank_does", tank=volume_alone(tank_l, system, 3), count=floor(tank_l / litres + 1e-9),
               each=volume_alone(litres, system, 3))
