"""Make: a batch of extract from the clean vat to its verdict, its loads, and what is told of it afterwards."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, datetime
from typing import Literal
from zoneinfo import ZoneInfo

from rootcase.casework.make.additive import tests_on_file
from rootcase.casework.make.batch import before_compost, judge
from rootcase.casework.make.filling import least_air_gap_m
from rootcase.casework.make.heap_slips import ONE_TURNING
from rootcase.casework.make.limits import under_the_floor
from rootcase.casework.make.steps import require_step
from rootcase.casework.make.taken_back import speaks_against
from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.named import named_id
from rootcase.fieldbook.made.batches import (
    BatchCalledBack,
    BatchEnded,
    BatchJudged,
    BatchRulesTold,
    BatchStarted,
    BatchStepTakenBack,
    BatchStepTold,
    LoadFilled,
    RingNoted,
)
from rootcase.fieldbook.making.batch_log import batches_of, rules_of, standing_step
from rootcase.fieldbook.making.gate import just_told, shown
from rootcase.fieldbook.people.tokens import written
from rootcase.ground.errors import ImpossibleValue, Missing
from rootcase.ground.ids import SIGNS
from rootcase.ground.length import MOST_LINE, require_length
from rootcase.ground.quantity import show
from rootcase.ground.words import say
from rootcase.records.make.batch import (
    REPEATED,
    Batch,
    BatchFinding,
    BatchRules,
    Figure,
    HeapUse,
    Load,
    Step,
    ToldStep,
)
from rootcase.services.batch_heap import heap_use

_WITH_COMPOST: tuple[Step, ...] = ("compost", "start", "end")
Bodies = Callable[[Sequence[Event]], Sequence[Body]]


def batches(book: Fieldbook) -> tuple[Batch, ...]:
    """Every batch, the newest first."""
    return batches_of(book.making.events())


def batch_named(book: Fieldbook, named: str) -> Batch:
    """The batch of this number, or whose id is or ends so."""
    told = book.making.tracing.told_of_batch(named.strip().lstrip("#"))
    return batches_of(told)[0] if told else named_among(batches(book), named)


def named_among(every: Sequence[Batch], named: str) -> Batch:
    """The one of these batches of this number, or whose id is or ends so."""
    found = [each for each in every if named.strip().lstrip("#") == str(each.number)]
    found = found or [each for each in every if each.id == named]
    found = found or [each for each in every if len(named) >= SIGNS and each.id.endswith(named)]
    if len(found) != 1:
        raise Missing(say("batch.several" if found else "batch.no_such"), value=named,
                      right=say("batch.full_id" if found else "batch.see_batches"))
    return found[0]


def batch_rules(book: Fieldbook) -> BatchRules:
    """What the practice set itself for its batches."""
    return rules_of(book.making.events())


def tell_rules(book: Fieldbook, rules: BatchRules, by: str, at: datetime | None = None) -> None:
    """Set the practice's own floor of oxygen, limit of age and height of the yard for the batches that are judged
    from now on."""
    moment = _moment(book, at)
    book.making.tell(lambda _: [BatchRulesTold(
        slot=book.making.new_id(), at=written(moment), by=by, oxygen_floor_mg_l=rules.oxygen_floor_mg_l,
        holding_h=rules.holding_h, elevation_m=rules.elevation_m)])


def start_batch(book: Fieldbook, heap_id: str, by: str, at: datetime | None = None, mark: str = "") -> Batch:
    """Start a batch of a heap that may be used; it takes the next number.

    at: earlier than now where its paper is written in afterwards; mark: of the form, so that a second press of its key
    starts no second batch; of another heap or hour it is another.
    """
    moment, batch_id = _moment(book, at), _kept_as(book, mark, "batch", heap_id, at)

    def bodies(before: Sequence[Event]) -> Sequence[Body]:
        if any(batch.id == batch_id for batch in batches_of(before)):
            return []
        _require_usable(heap_use(before, heap_id))
        number = max((batch.number for batch in batches_of(before)), default=0) + 1
        return [BatchStarted(slot=batch_id, batch=batch_id, number=number, heap=heap_id, at=written(moment), by=by)]

    return _told(book, batch_id, bodies)


def tell_step(book: Fieldbook, batch_id: str, step: Step, figures: Mapping[str, float], words: Mapping[str, str],
              by: str, at: datetime | None = None, mark: str = "") -> Batch:
    """Tell one step; a new word takes the place of the one before, except of oxygen, slides and laboratory
    results.

    A laboratory result over its limit, or oxygen below the floor, calls a fit batch back in the same turn. No compost
    goes in, and nothing after it is told, while something stands against the batch; `finding` says what.

    mark: of the form, so that a second press of its key tells nothing again.
    """
    require_step(step, figures, words)
    moment = _moment(book, at)
    kept = {name: word.strip() for name, word in words.items() if word.strip()}
    told = ToldStep(id="", step=step, at=moment, by=by, figures=tuple(Figure(*each) for each in figures.items()),
                    words=kept)

    def bodies(before: Sequence[Event]) -> Sequence[Body]:
        batch = _of(before, batch_id)
        if batch.judgement is None:
            _require_order(batch, told, before)
        if step == "gallons" and not batch.loads:
            raise Missing(say("batch.no_load_yet"), where=say("batch.named", number=batch.number),
                          right=say("batch.load_first"))
        slot = named_id(book.store.practice_id, "batch", batch_id, step)
        if step in REPEATED:
            slot = _kept_as(book, mark, batch_id, step, at, *told.figures, *kept.items())
            if any(each.id == standing_step(before, slot) and _soon(each.at, moment, at) for each in batch.steps):
                return []
            slot = slot if standing_step(before, slot) is None else book.making.new_id()
        body = BatchStepTold(slot=slot, supersedes=standing_step(before, slot), batch=batch_id, step=step,
                             at=written(moment), by=by, figures=told.figures, words=kept)
        over = speaks_against(batch, told, rules_of(before, batch_id)) if batch.may_be_loaded else ""
        return [body, *([_called_back(book, batch_id, over, moment, by)] if over else [])]

    return _told(book, batch_id, bodies)


def may_undo(book: Fieldbook, batch_id: str, by: str) -> str:
    """Id of the step that this person has just told and may undo; empty where there is none.

    What refuses the batch is not undone: else there were a way round its verdict.
    """
    before = book.making.events()
    return _undoable(before, _of(before, batch_id), by, book.making.now())


def undo_step(book: Fieldbook, batch_id: str, told_id: str, by: str) -> Batch:
    """Take back, without a reason, the step that the same person has just told; it stays on record."""

    def bodies(before: Sequence[Event]) -> Sequence[Body]:
        batch = _of(before, batch_id)
        if not told_id or _undoable(before, batch, by, book.making.now()) != told_id:
            raise ImpossibleValue(say("batch.gate.not_undone"), where=say("batch.named", number=batch.number),
                                  right=say("batch.gate.tell_anew"))
        slot = next(event.body.slot for event in before if event.id == told_id)
        return [BatchStepTakenBack(slot=slot, supersedes=told_id, batch=batch_id, at=written(book.making.now()), by=by)]

    return _told(book, batch_id, bodies)


def finding(book: Fieldbook, batch_id: str, at: datetime | None = None) -> BatchFinding:
    """What a batch would be judged now, and what follows from its steps; nothing is kept."""
    return _found(book.making.events(), batch_id, _moment(book, at))


def judge_batch(book: Fieldbook, batch_id: str, by: str) -> Batch:
    """Judge a batch, once and for all, by what is told of it: fit, or refused with every reason."""

    def bodies(before: Sequence[Event]) -> Sequence[Body]:
        moment = book.making.now()
        found = _found(before, batch_id, moment)
        if found.read_again:
            raise ImpossibleValue(say("batch.calibrate"), value=found.read_again[0])
        fit = found.verdict == "fit"
        return [BatchJudged(
            slot=named_id(book.store.practice_id, "batch", batch_id, "judged"), batch=batch_id, verdict=found.verdict,
            at=written(moment), by=by, why=found.why, ended_at=written(found.ended_at) if found.ended_at else "",
            good_until=written(found.good_until) if fit and found.good_until else "",
            own_limit_h=found.own_limit_h if fit else None)]

    return _told(book, batch_id, bodies)


def fill_load(book: Fieldbook, batch_id: str, volume_l: float, by: str, *, air_gap_m: float | None,
              oxygen_mg_l: float | None = None, tank: str = "", mark: str = "") -> Load:
    """Fill a tank now from a fit batch within its age, whose heap may still be used; without an air gap on record it is
    not released. mark: of the form, so that a second press of its key fills nothing again.

    Oxygen below the floor is kept as a reading of the batch, which calls it back, and the load is refused.
    """
    require_length(tank, MOST_LINE, say("made.asked.tank"))
    load_id = _kept_as(book, mark, batch_id, "load", volume_l, air_gap_m, oxygen_mg_l, tank)

    def bodies(before: Sequence[Event]) -> Sequence[Body]:
        batch, moment = _of(before, batch_id), book.making.now()
        if any(load.id == load_id for load in batch.loads):
            return []
        if low := _low_in_tank(book, batch, oxygen_mg_l, rules_of(before, batch_id), moment, by):
            return low
        _require_gap(air_gap_m)
        if batch.may_be_loaded:
            _require_usable(heap_use(before, batch.heap_id))
        return [LoadFilled(slot=load_id, load=load_id, batch=batch_id, at=written(moment), by=by,
                           volume_l=volume_l, oxygen_mg_l=oxygen_mg_l, air_gap_m=air_gap_m, tank=tank.strip())]

    batch = _told(book, batch_id, bodies)
    filled = next((load for load in batch.loads if load.id == load_id), None)
    if filled is None:
        raise ImpossibleValue(say("batch.low_in_tank"), where=say("batch.named", number=batch.number),
                              value=batch.refused_since, right=say("batch.read_in_tank"))
    return filled


def end_batch(book: Fieldbook, batch_id: str, how: Literal["compost_water", "poured_out"], where: str, by: str,
              at: datetime | None = None) -> Batch:
    """Say what became of a refused batch, or of what is left of one that was called back or is over its age, and
    where."""
    require_length(where, MOST_LINE, say("made.page.where"))
    moment = _moment(book, at)
    return _told(book, batch_id, lambda _: [BatchEnded(
        slot=named_id(book.store.practice_id, "batch", batch_id, "ended"), batch=batch_id, how=how, where=where.strip(),
        at=written(moment), by=by)])


def call_back(book: Fieldbook, batch_id: str, why: str, by: str, at: datetime | None = None) -> Batch:
    """Forbid any further load of a fit batch, with the reason."""
    require_length(why, MOST_LINE, say("made.recall.why"))
    moment = _moment(book, at)
    return _told(book, batch_id, lambda _: [_called_back(book, batch_id, why.strip(), moment, by)])


def note_ring(book: Fieldbook, batch_id: str, property_id: str, by: str, note: str = "",
              at: datetime | None = None) -> Batch:
    """Say that a property was told of a batch that was called back; every call is kept."""
    require_length(note, MOST_LINE, say("made.recall.note"))
    moment = _moment(book, at)
    return _told(book, batch_id, lambda _: [RingNoted(
        slot=book.making.new_id(), batch=batch_id, property=property_id, at=written(moment), by=by,
        note=note.strip())])


def _require_gap(air_gap_m: float | None) -> None:
    if air_gap_m is None or not air_gap_m > 0.0:
        raise Missing(say("batch.no_air_gap"), about="air_gap_m", right=say("batch.air_gap_right"))
    if air_gap_m < least_air_gap_m():
        raise ImpossibleValue(say("batch.small_air_gap"), about="air_gap_m", value=_length(air_gap_m),
                              right=say("batch.least_air_gap", least=_length(least_air_gap_m())))


def _low_in_tank(book: Fieldbook, batch: Batch, oxygen_mg_l: float | None, rules: BatchRules, moment: datetime,
                 by: str) -> Sequence[Body]:
    """The reading and the call back, where oxygen in the tank forbids any load of a batch that might be loaded."""
    if oxygen_mg_l is None or not oxygen_mg_l >= 0.0 or not batch.may_be_loaded or batch.ended_as:
        return ()
    figures = (Figure("oxygen_mg_l", oxygen_mg_l),)
    over = under_the_floor(batch, ToldStep(id="", step="oxygen", at=moment, by=by, figures=figures, words={}), rules)
    return [BatchStepTold(slot=book.making.new_id(), batch=batch.id, step="oxygen", at=written(moment), by=by,
                          figures=figures), _called_back(book, batch.id, over, moment, by)] if over else ()


def _kept_as(book: Fieldbook, mark: str, *told: object) -> str:
    """What a form's entry is kept as: by its mark and what it tells, so that the same sent again is the same entry."""
    return named_id(book.store.practice_id, mark, *map(str, told)) if mark else book.making.new_id()


def _soon(then: datetime, moment: datetime, at: datetime | None) -> bool:
    """Whether a form sent again is the same press of its key: by the hour it tells; without one, coming soon."""
    return then == at if at else abs(moment - then) < ONE_TURNING


def _length(length_m: float) -> str:
    return show(length_m, "m", "us", ("in", "cm"))


def _told(book: Fieldbook, batch_id: str, bodies: Bodies) -> Batch:
    book.making.tell(bodies)
    return _of(book.making.events(), batch_id)


def _found(events: Sequence[Event], batch_id: str, moment: datetime) -> BatchFinding:
    every = batches_of(events)
    batch = _among(every, batch_id)
    heap = heap_use(events, batch.heap_id)
    return judge(batch, heap, rules_of(events, batch.id), tests_on_file(every), moment, ZoneInfo(heap.time_zone))


def _require_order(batch: Batch, told: ToldStep, before: Sequence[Event]) -> None:
    """Steps run forward, and nothing is done with compost while something stands against the batch."""
    where = say("batch.named", number=batch.number)
    if told.step != "vat" and told.at < batch.started_at:
        raise ImpossibleValue(say("batch.before_start"), where=where, about="at",
                              value=shown(told.at, batch.heap_id, before),
                              right=say("batch.or_later", at=shown(batch.started_at, batch.heap_id, before)))
    begun = batch.newest("start")
    if told.step == "end" and (begun is None or told.at < begun.at):
        right = say("batch.or_later", at=shown(begun.at, batch.heap_id, before)) if begun else say("batch.begin_first")
        raise ImpossibleValue(say("batch.before_begun"), where=where, about="at", right=right,
                              value=shown(told.at, batch.heap_id, before))
    if told.step == "water" and batch.newest("compost") is not None:
        raise ImpossibleValue(say("batch.water_late"), where=where, right=say("batch.gate.new_make"))
    if told.step in _WITH_COMPOST and (against := before_compost(
            batch, heap_use(before, batch.heap_id), tests_on_file(batches_of(before)))):
        raise ImpossibleValue(say("batch.not_yet", what=say(f"batch.step.{told.step}")), where=where, value=against[0])


def _require_usable(heap: HeapUse) -> None:
    if not heap.may_be_used:
        raise ImpossibleValue(say("batch.heap_not", heap=heap.name), value=next(iter(heap.why_not), ""),
                              right=say("batch.why.heap_unknown"))


def _undoable(before: Sequence[Event], batch: Batch, by: str, now: datetime) -> str:
    last = just_told(batch, before, by, now)
    told = next((each for each in batch.steps if last and each.id == last.id), None)
    if told is None or told.words.get("smell") == "sour" or speaks_against(batch, told, rules_of(before)):
        return ""
    return told.id


def _called_back(book: Fieldbook, batch_id: str, why: str, moment: datetime, by: str) -> BatchCalledBack:
    return BatchCalledBack(slot=book.making.new_id(), batch=batch_id, why=why, at=written(moment), by=by)


def _of(events: Sequence[Event], batch_id: str) -> Batch:
    return _among(batches_of(events), batch_id)


def _among(every: Sequence[Batch], batch_id: str) -> Batch:
    found = next((batch for batch in every if batch.id == batch_id), None)
    if found is None:
        raise Missing(say("batch.no_such"), value=batch_id, right=say("batch.see_batches"))
    return found


def _moment(book: Fieldbook, at: datetime | None) -> datetime:
    return book.making.now() if at is None else at.astimezone(UTC)
