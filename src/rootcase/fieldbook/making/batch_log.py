"""Batches as they stand, from the events of the practice."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event
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
from rootcase.fieldbook.people.tokens import read_moment
from rootcase.fieldbook.view import heads
from rootcase.records.make.batch import (
    LOWEST_FLOOR_MG_L,
    Batch,
    BatchRules,
    Judgement,
    Load,
    Ring,
    StepTakenBack,
    ToldStep,
)
from rootcase.tables.load import table

_OF_STEPS = (BatchStepTold, BatchStepTakenBack)
USUAL_FLOOR_MG_L = float(table("tank/oxygen_floors").row(rule="usual")["floor_mg_l"])


def batches_of(events: Iterable[Event]) -> tuple[Batch, ...]:
    """Every batch that was started, the newest number first; the events come in the order received.

    Verdicts, calls back and loads cannot be superseded or undone: whatever says so changes nothing.
    """
    by_batch: dict[str, list[Event]] = defaultdict(list)
    for event in events:
        if (batch := batch_of(event.body)) is not None:
            by_batch[batch].append(event)
    found = [_batch(started, told) for told in by_batch.values()
             if (started := next((each.body for each in told if isinstance(each.body, BatchStarted)), None))]
    return tuple(sorted(found, key=lambda batch: (batch.number, batch.id), reverse=True))


def batch_of(body: Body) -> str | None:
    """The batch that an event speaks of; None where it speaks of something else."""
    kinds = (BatchStarted | BatchStepTold | BatchStepTakenBack | BatchJudged | BatchCalledBack | BatchEnded | LoadFilled
             | RingNoted)
    return body.batch if isinstance(body, kinds) else None


def rules_of(events: Iterable[Event], batch: str = "") -> BatchRules:
    """What the practice set itself last; the usual floor and the hour of the rule where it set nothing.

    batch: of an id, for which the strictest floor counts that held since it was started; none is under the lowest.
    """
    newest: BatchRulesTold | None = None
    floors = [USUAL_FLOOR_MG_L]
    begun = False
    for event in events:
        body = event.body
        if isinstance(body, BatchRulesTold):
            newest, floors = body, [*(floors if begun else ()), body.oxygen_floor_mg_l]
        begun = begun or (isinstance(body, BatchStarted) and body.batch == batch)
    return BatchRules(oxygen_floor_mg_l=max(LOWEST_FLOOR_MG_L, *floors),
                      holding_h=newest.holding_h if newest else None, elevation_m=newest.elevation_m if newest else 0.0)


def standing_step(events: Iterable[Event], slot: str) -> str | None:
    """Id of the event that stands for a step's slot, which a new word supersedes."""
    head = heads(each for each in events if isinstance(each.body, _OF_STEPS) and each.body.slot == slot).get(slot)
    return head.event.id if head else None


def _batch(started: BatchStarted, told: Sequence[Event]) -> Batch:
    bodies = [event.body for event in told]
    judged = next((body for body in bodies if isinstance(body, BatchJudged)), None)
    ended = next((body for body in reversed(bodies) if isinstance(body, BatchEnded)), None)
    return Batch(
        id=started.batch, number=started.number, heap_id=started.heap, started_at=read_moment(started.at),
        by=started.by, steps=_steps(told), judgement=_judgement(judged) if judged else None,
        loads=tuple(_load(body) for body in bodies if isinstance(body, LoadFilled)),
        ended_as=ended.how if ended else "", ended_where=ended.where if ended else "",
        every_step=_every_step(told), taken_back=_taken_back(told),
        refused_since="; ".join(dict.fromkeys(body.why for body in bodies if isinstance(body, BatchCalledBack))),
        rung=tuple(Ring(property_id=body.property, at=read_moment(body.at), by=body.by, note=body.note)
                   for body in bodies if isinstance(body, RingNoted)))


def _steps(told: Sequence[Event]) -> tuple[ToldStep, ...]:
    events = [event for event in told if isinstance(event.body, _OF_STEPS)]
    places: Mapping[str, int] = {event.id: place for place, event in enumerate(events)}
    standing = sorted((head.event for head in heads(events).values()), key=lambda event: places[event.id])
    return tuple(_step(event.id, event.body) for event in standing if isinstance(event.body, BatchStepTold))


def _every_step(told: Sequence[Event]) -> tuple[ToldStep, ...]:
    """With what newer words took the place of, without slips that were taken back."""
    slips = {event.body.supersedes for event in told if isinstance(event.body, BatchStepTakenBack)}
    return tuple(_step(event.id, event.body) for event in told
                 if isinstance(event.body, BatchStepTold) and event.id not in slips)


def _taken_back(told: Sequence[Event]) -> tuple[StepTakenBack, ...]:
    """What was taken back with a reason."""
    places = {event.id: place for place, event in enumerate(told)}
    standing = [(places[each.id], each) for each in _steps(told)]
    found = []
    for place, event in enumerate(told):
        body = event.body
        old = told[places[body.supersedes]].body if isinstance(body, BatchStepTakenBack) and body.reason and (
            body.supersedes in places) else None
        if isinstance(body, BatchStepTakenBack) and isinstance(old, BatchStepTold):
            since = tuple(each for at, each in standing if at > place and each.step == old.step)
            found.append(StepTakenBack(told=_step(body.supersedes or "", old), reason=body.reason, by=body.by,
                                       at=read_moment(body.at), since=since))
    return tuple(found)


def _step(event_id: str, body: BatchStepTold) -> ToldStep:
    return ToldStep(id=event_id, step=body.step, at=read_moment(body.at), by=body.by, figures=body.figures,
                    words=body.words)


def _judgement(body: BatchJudged) -> Judgement:
    ended, until = (read_moment(text) if text else None for text in (body.ended_at, body.good_until))
    return Judgement(verdict=body.verdict, at=read_moment(body.at), by=body.by, why=body.why, ended_at=ended,
                     good_until=until, own_limit_h=body.own_limit_h)


def _load(body: LoadFilled) -> Load:
    return Load(id=body.load, batch_id=body.batch, at=read_moment(body.at), volume_l=body.volume_l, by=body.by,
                oxygen_mg_l=body.oxygen_mg_l, air_gap_m=body.air_gap_m, tank=body.tank)
