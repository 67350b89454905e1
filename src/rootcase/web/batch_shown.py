"""The page of a batch: its steps, the form of the one that is told, its verdict and its loads."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from fastapi import Request
from fastapi.responses import HTMLResponse

from rootcase.ground.units import unit_label
from rootcase.ground.words import say
from rootcase.records.make.batch import AFTERWARDS, TAKEN_BACK, Batch, Step
from rootcase.records.make.checklist import BatchSeen, CheckedStep
from rootcase.records.observe import System
from rootcase.report.text.balance import balance_line
from rootcase.report.text.batch import (
    batch_finding,
    batch_lede,
    batch_state,
    caution_lines,
    dose_told,
    load_told,
    step_told,
    stir_line,
    sums_told,
    taken_back_told,
    zone_of,
)
from rootcase.report.text.claims import client_claims
from rootcase.report.text.figures import sentence, volume_alone
from rootcase.report.text.rates import load_line
from rootcase.report.text.recall import went_lines
from rootcase.report.text.rounds import clock_told
from rootcase.services.asked import Ask
from rootcase.services.batch_forms import LOAD, LoadCame, asks_of, mark_of, step_asks, step_words
from rootcase.services.batch_sheet import balance_of, claims_of
from rootcase.services.load_stops import fills_wanted
from rootcase.services.make_batch import may_undo
from rootcase.services.taken_back import right_to_take_back
from rootcase.web.read_as import FORM, lines_read
from rootcase.web.showing import cells, page
from rootcase.web.who import Visitor, desk_of

_NOTHING: Mapping[str, str] = {}
_UNASKED: tuple[Step, ...] = ("additive", "slide", "smell", "lab", "gallons")
"""Steps that a batch may be fit without."""


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a step's form; choices: of a list, a value and its words each."""

    name: str
    label: str
    help: str
    choices: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class BackCame:
    """What was to be taken back, and what is wrong with it."""

    told_id: str
    reason: str
    fault: str


@dataclass(frozen=True, slots=True)
class Row:
    """One step as a line of the checklist."""

    step: Step
    name: str
    state: str
    lines: tuple[tuple[str, str], ...]
    """Each with its id where this visitor may take it back."""
    against: tuple[str, ...]
    may_tell: bool


def batch_page(request: Request, visitor: Visitor, seen: BatchSeen, *, step: Step | None = None,
               typed: Mapping[str, str] = _NOTHING, wrong: Mapping[str, str] = _NOTHING,
               load: LoadCame | None = None, ended: Mapping[str, str] = _NOTHING, asks: bool = False,
               back: BackCame | None = None) -> HTMLResponse:
    """The whole page; step: whose form is open; typed, wrong: what stands in that form, or in the load's;
    asks: whether it shall be judged with steps open; back: what was to be taken back."""
    book, system = desk_of(request).book(visitor.practice_id), visitor.system
    now, zone, batch = book.making.now(), zone_of(seen), seen.batch
    told, state = step or seen.now, batch_state(batch, seen.heap, now)
    faults = {**wrong, **(load.wrong if load else {})}
    overloaded = bool(load and load.weight and load.weight.spare_kg < 0.0)
    refused = bool(faults or ended or asks or back) or (overloaded and not typed.get("weigh"))
    return page(
        request, "batch.html", visitor, place="make", status=422 if refused else 200, batch=batch, seen=seen,
        finding=batch_finding(seen, now), lede=batch_lede(seen, now), state=state, step=told,
        rows=[_row(each, seen, visitor) for each in seen.steps], fields=_fields(told, system) if told else (),
        doses=[dose_told(dose) for dose in seen.doses] if told == "neutraliser" else [],
        stir=stir_line(seen, system) if told == "neutraliser" else "",
        said=lines_read(request, asks_of(request.query_params.get(FORM, "")), system),
        back=back, taken_back=taken_back_told(seen, system),
        sums=(*sums_told(seen, system), balance_line(balance_of(book, batch))),
        loads=[load_told(batch, each, system, zone) for each in batch.loads],
        load_fields=[figure_field(ask, system) for ask in LOAD],
        went=went_lines(book.making.tracing.of("batch", batch.id)) if batch.loads else (),
        open_for_loads=state == "fit", wanted=_wanted(request, visitor, batch, state),
        mark=book.making.new_id(), open_steps=_open_steps(seen) if asks else "",
        just=_just_told(seen, may_undo(book, batch.id, visitor.code), system),
        weight=load_line(load.weight, system) if load and load.weight else "",
        overloaded=overloaded, weighed=mark_of(typed), typed=cells(typed), wrong=cells(faults),
        ended=cells(ended), claims=client_claims(claims_of(book, batch), system),
        caution=caution_lines)


def _wanted(request: Request, visitor: Visitor, batch: Batch, state: str) -> list[str]:
    """What today's rounds take of a batch that may be loaded."""
    if state != "fit":
        return []
    desk = desk_of(request)
    return [say("made.wanted", crew=fill.crew or say("week.no_crew"), at=clock_told(fill.starts_min),
                stops="; ".join(say("made.wanted_stop", place=place or say("week.no_place"),
                                    volume=volume_alone(litres, visitor.system, 3)) for place, litres in fill.stops),
                sum=volume_alone(fill.litres, visitor.system, 3))
            for fill in fills_wanted(desk.book(visitor.practice_id), batch, desk.today(visitor.practice_id))]


def _open_steps(seen: BatchSeen) -> str:
    return ", ".join(say(f"batch.step.{each.step}") for each in seen.steps
                     if each.state in ("now", "later") and each.step not in _UNASKED)


def _just_told(seen: BatchSeen, told_id: str, system: System) -> tuple[str, str] | None:
    """The step that may be undone by its id, and what was told of it."""
    told = next((each for each in seen.batch.steps if each.id == told_id), None)
    return None if told is None else (told.id, sentence(say(
        "batch.step_line", step=say(f"batch.step.{told.step}"), said=step_told(told, seen, system))))


def _row(checked: CheckedStep, seen: BatchSeen, visitor: Visitor) -> Row:
    judged = seen.batch.judgement is not None
    may_tell = checked.step in AFTERWARDS if judged else checked.state in ("done", "now", "may", "not_needed")
    may_take_back = checked.step in TAKEN_BACK and visitor.may(right_to_take_back(checked.step))
    lines = tuple((step_told(told, seen, visitor.system), told.id if may_take_back else "") for told in checked.told)
    again = seen.finding.read_again if checked.step == "oxygen" and not judged else ()
    return Row(checked.step, sentence(say(f"batch.step.{checked.step}")), checked.state, lines,
               (*checked.against, *again), may_tell)


def _fields(step: Step, system: System) -> Iterable[Field]:
    """What a step's form asks for: first what it is nothing without."""
    for needed in (True, False):
        for name, word in step_words(step).items():
            if word.needed == needed and (needed or word.choices):
                yield Field(name, _label("word", name), _word_help(name), _choices(name, word.choices))
        for ask in step_asks(step):
            if ask.needed == needed:
                yield figure_field(ask, system, _label("figure", ask.name))
    for name, word in step_words(step).items():
        if not word.needed and not word.choices:
            yield Field(name, _label("word", name), say("rates.may_stay_empty"))


def figure_field(ask: Ask, system: System, label: str = "") -> Field:
    """A figure of a form, with the unit of a number typed without one."""
    unit = unit_label(ask.box_unit(system))
    parts = [say("rates.without_unit", unit=unit)] if unit else []
    parts += [] if ask.needed or ask.name == "gap" else [say("rates.may_stay_empty")]
    text = say("made.page.payload_help", unit=unit) if ask.name == "left" else "; ".join(parts)
    return Field(ask.name, label or say(f"made.asked.{ask.name}"), text)


def _label(kind: str, name: str) -> str:
    return sentence(say(f"batch.{kind}.{name}"))


def _word_help(name: str) -> str:
    return say(f"made.asked_help.{name}") if name in ("additive", "slide", "strip") else ""


def _choices(name: str, choices: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    if not choices:
        return ()
    return (("", say("made.page.choose")), *((each, say(f"made.chosen.{name}.{each}")) for each in choices))
