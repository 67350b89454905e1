"""A stop and a round on paper, in words: what stops the work, what is done in shovel units, whom to greet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rootcase.ground.dates import show_date
from rootcase.ground.measured import told
from rootcase.ground.quantity import System
from rootcase.ground.words import say
from rootcase.records.apply.jobs import Job
from rootcase.records.apply.round_paper import RoundPaper, StopPaper
from rootcase.records.apply.windows import UNTOLD, Finding
from rootcase.records.observe import PropertyRecord
from rootcase.report.text.crew_day import make_name
from rootcase.report.text.doses import LIQUID, beside_together, dose_text
from rootcase.report.text.figures import sentence
from rootcase.report.text.naming import names as named
from rootcase.report.text.naming import remedy_name
from rootcase.report.text.plan import cautions_of
from rootcase.report.text.rounds import clock_told
from rootcase.report.text.windows import why_of

_LOCATE = "locate"
_FIGURES = 3


def stops_work(stop: StopPaper, crew_licensed: bool) -> tuple[str, ...]:
    """What stops the work here, and who frees it; a valid locate number stops nothing."""
    lines = [say("stop_paper.stops.concern", tree=tree) for tree in stop.concerned]
    locate = _located(stop)
    if locate and locate.state != "fit":
        lines.append(say("stop_paper.stops.locate_over" if locate.says else "stop_paper.stops.locate",
                         number=locate.says, until=_until(locate)))
    lines += _closed(stop)
    make = stop.make
    if make and make.use_by_min is None:
        lines.append(say("stop_paper.stops.refused", make=make_name(make)))
    elif make and make.use_by_min is not None and stop.step.ends_min > make.use_by_min:
        lines.append(say("stop_paper.stops.too_old", time=clock_told(make.use_by_min)))
    if stop.licence_for and not crew_licensed:
        lines.append(say("stop_paper.stops.licence", work=sentence(named(list(dict.fromkeys(
            remedy_name(job.remedy) for job in stop.jobs if job.id in stop.licence_for))))))
    return tuple(dict.fromkeys(lines))


def locate_line(stop: StopPaper) -> str:
    """The locate number and its last day, or a place to write them; empty where no ground is opened."""
    locate = _located(stop)
    if locate is None:
        return ""
    if locate.state == "fit":
        return say("stop_paper.located", number=locate.says or say("windows.line.no_number"), until=_until(locate))
    return say("stop_paper.locate_blank")


def work_lines(stop: StopPaper, system: System) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Each remedy with the dose of each tree, in shovel units."""
    southern = stop.record.property.latitude_deg < 0
    by_remedy: dict[str, list[Job]] = {}
    for job in stop.jobs:
        by_remedy.setdefault(job.remedy, []).append(job)
    found = []
    for remedy, jobs in by_remedy.items():
        alike: dict[str, list[str]] = {}
        for job in jobs:
            dose = part_told(dose_text(job.dose, system, southern), job, stop.parts, system)
            alike.setdefault(dose, []).append(job.tree_label)
        lines = [say("stop_paper.dose", tree=sentence(trees[0]), dose=dose) if len(trees) == 1 else
                 say("stop_paper.dose_each", trees=sentence(", ".join(trees)), dose=dose)
                 for dose, trees in alike.items()]
        lines += beside_together([(job.tree_label, job.dose) for job in jobs], system)
        found.append((sentence(remedy_name(remedy)), tuple(lines)))
    return tuple(found)


def part_told(dose: str, job: Job, parts: int, system: System) -> str:
    """The dose, or what of it is put on at one of several stops, as no tank holds the whole, or is left of it."""
    here = told(job.litres / parts, "L", system, LIQUID, _FIGURES)
    if job.applied_l and not job.done:
        applied = told(job.applied_l, "L", system, LIQUID, _FIGURES)
        return say("stop_paper.rest", here=here, applied=applied, dose=dose)
    if parts == 1:
        return dose
    return say("stop_paper.part", parts=parts, here=here, dose=dose)


def tank_line(stop: StopPaper, system: System) -> str:
    """What leaves the tank here, of which make, and when it is refused; empty where nothing does."""
    if not stop.step.litres:
        return ""
    amount = told(stop.step.litres, "L", system, LIQUID, _FIGURES)
    make = stop.make
    if make is None or make.use_by_min is None:
        return say("stop_paper.from_tank", amount=amount)
    return say("stop_paper.from_make", amount=amount, make=make_name(make), time=clock_told(make.use_by_min))


def caution_lines(stop: StopPaper) -> tuple[str, ...]:
    """Cautions of all that is done here, each once, those that come first first."""
    first, others = cautions_of(dict.fromkeys(code for job in stop.jobs for code in job.cautions))
    return (*first, *others)


def who_lines(stop: StopPaper) -> tuple[str, ...]:
    """The gate, and whom to greet and ring."""
    lines = [say("stop_paper.gate", code=stop.gate)] if stop.gate else []
    lines += [say("stop_paper.contact" if each.phone else "stop_paper.contact_no_phone", role=sentence(each.role),
                  name=each.name, phone=each.phone) for each in stop.contacts]
    return tuple(lines) or (say("stop_paper.nobody"),)


def days_words(stop: StopPaper) -> tuple[str, ...]:
    """What of the day is not known, and has to be looked at there."""
    unknown = dict.fromkeys(why_of(each) for ahead in stop.ahead.values() for each in ahead.findings
                            if each.decides and each.state == "not_known" and each.gate not in UNTOLD)
    return (say("stop_paper.not_known", what=named(list(unknown))),) if unknown else ()


def stop_head(stop: StopPaper) -> str:
    """Number, hours and place."""
    return say("stop_paper.head", number=stop.number, place=stop.record.property.name,
               start=clock_told(stop.step.starts_min), end=clock_told(stop.step.ends_min))


def places_told(record: PropertyRecord, jobs: Sequence[Job]) -> str:
    """The parts of the ground that are worked."""
    here = {job.place_id for job in jobs}
    return named([place.name for place in record.places if place.id in here])


def round_who(paper: RoundPaper) -> str:
    """People by their codes, truck and tank."""
    people = ", ".join(paper.crew.people)
    if paper.truck is None:
        return say("stop_paper.who_no_truck", people=people)
    return say("stop_paper.who", people=people, truck=paper.truck.name,
               tank=told(paper.truck.tank_l, "L", paper.system, LIQUID, _FIGURES))


def _located(stop: StopPaper) -> Finding | None:
    """What is told of buried lines for work that opens the ground; the worst of several."""
    found = [ahead.locate for ahead in stop.ahead.values() if ahead.locate]
    return next((each for each in found if each.state != "fit"), next(iter(found), None))


def _closed(stop: StopPaper) -> Iterator[str]:
    """Work that the day does not allow, and by what."""
    for job in stop.jobs:
        ahead = stop.ahead.get(job.id)
        why = dict.fromkeys(why_of(each) for each in (ahead.bars if ahead else ()) if each.gate != _LOCATE)
        if why:
            yield say("stop_paper.stops.closed", work=sentence(remedy_name(job.remedy)), why=named(list(why)))


def _until(found: Finding) -> str:
    return show_date(found.until) if found.until else say("windows.open_end")
