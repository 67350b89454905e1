"""What may be told of a batch, given what stands: no load comes through of one that is not fit, or over its age.

The database has the same gate again (`fieldbook/store/gate.py`), for what does not come this way.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from functools import partial

from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event
from rootcase.fieldbook.made.batches import (
    BATCH_EVENTS,
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
from rootcase.fieldbook.made.heaps import HEAP_EVENTS, HeapFreed, HeapHeld, HeapStarted, HeatTakenBack
from rootcase.fieldbook.making.batch_log import batch_of, batches_of, rules_of
from rootcase.fieldbook.making.heap_log import heaps_of
from rootcase.fieldbook.signed import require_code
from rootcase.fieldbook.sound import moment_of
from rootcase.ground.clock import zone
from rootcase.ground.errors import ImpossibleValue, Missing
from rootcase.ground.words import say
from rootcase.records.make.batch import (
    AFTERWARDS,
    FLOOR_MG_L,
    HEIGHT_M,
    HOLDING_H,
    MOST_LOAD_L,
    TAKEN_BACK,
    Batch,
    BatchRules,
    Step,
)
from rootcase.science.tank.hygiene import holding_limit_h

_RULE = "extract"
JUST_TOLD = timedelta(minutes=1)
"""The key to undo stands for ten seconds; a page that comes slowly has a minute. JUDGEMENT."""
_UNDONE_LATER: tuple[Step, ...] = ("slide", "gallons")
"""Steps of which no verdict and no call back follows."""
_FILLED_NOW = timedelta(minutes=1)
"""A load is told as it is filled: JUDGEMENT, as long as a turn may wait for another."""


def admit(body: Body, before: Sequence[Event], now: datetime) -> None:
    """Raise unless this may be told now, after all that the practice told before; what is no batch's passes."""
    if isinstance(body, HeatTakenBack):
        _refuse_take_back(body, before)
    if not isinstance(body, BATCH_EVENTS):
        return
    require_code(body.by, ())  # type: ignore[attr-defined]  # every kind of a batch has both
    at = moment_of(body.at)  # type: ignore[attr-defined]
    batches = batches_of(before)
    if at > now:
        batch = next((each for each in batches if each.id == batch_of(body)), None)
        heap_id = body.heap if isinstance(body, BatchStarted) else batch.heap_id if batch else ""
        raise ImpossibleValue(say("batch.gate.ahead"), about="at", value=shown(at, heap_id, before),
                              right=say("batch.gate.not_ahead"))
    if isinstance(body, BatchStarted):
        _admit_start(body, batches)
    if isinstance(body, BatchRulesTold):
        _admit_rules(body)
    if isinstance(body, BatchRulesTold | BatchStarted):
        return
    batch = next((each for each in batches if each.id == batch_of(body)), None)
    if batch is None:
        raise Missing(say("batch.gate.unknown"), value=batch_of(body) or "", right=say("batch.gate.start_first"))
    if isinstance(body, BatchStepTold):
        _admit_step(body, batch, before)
    elif isinstance(body, BatchStepTakenBack):
        _admit_take_back(body, batch, before, now)
    elif isinstance(body, BatchJudged):
        _admit_judgement(body, batch, before, at)
    elif isinstance(body, LoadFilled):
        _admit_load(body, batch, batches, before, at)
        _require_filled_now(body, batch, before, now)
        _require_oxygen(body, batch, rules_of(before, batch.id))
        _require_clock(batch, before, at)
        _require_free(batch, before)
    elif isinstance(body, BatchEnded):
        _admit_end(body, batch, at)
    elif isinstance(body, BatchCalledBack):
        _require_fit(batch)  # also where its rest was poured out: what is known late concerns who had of it
        if not body.why.strip():
            raise Missing(say("batch.gate.no_call_back_reason"), where=_named(batch), right=say("made.recall.why_help"))
    elif isinstance(body, RingNoted) and not batch.refused_since:
        raise ImpossibleValue(say("batch.gate.not_called_back"), where=_named(batch))


def _refuse_take_back(body: HeatTakenBack, before: Sequence[Event]) -> None:
    """A hold, or its end, is never taken back: only freeing lifts a hold."""
    hold = next((event.body for event in before if isinstance(event.body, HeapHeld | HeapFreed)
                 and event.body.slot == body.slot), None)
    if hold is not None:
        raise ImpossibleValue(say("batch.gate.hold_stands"), value=hold.reason, right=say("batch.gate.free_it"))


def shown(moment: datetime, heap_id: str, before: Sequence[Event]) -> str:
    """A moment by the clock of a heap's yard, in world time where there is no such heap.

    >>> from datetime import UTC
    >>> shown(datetime(2016, 5, 3, 9, 5, tzinfo=UTC), "h4", ())
    '2016-05-03 09:05 UTC'
    """
    zones = [event.body.time_zone for event in before
             if isinstance(event.body, HeapStarted) and event.body.heap == heap_id]
    return f"{moment.astimezone(zone(zones[-1] if zones else 'UTC')):%Y-%m-%d %H:%M %Z}"


def just_told(batch: Batch, before: Sequence[Event], by: str, now: datetime) -> Event | None:
    """The step that may be undone: the last that was told of a batch, told just now by the same person, in nobody's
    place. The end is told anew instead, since its age counts from when it was first written down; so is what was told
    after a verdict, except a slide or the gallons of a tank. A sour smell, oxygen below the floor and whatever a
    laboratory found stand: only a reason takes them back."""
    last = next((event for event in reversed(before) if batch_of(event.body) == batch.id), None)
    if last is None or not isinstance(last.body, BatchStepTold) or last.body.by != by or last.body.step == "end":
        return None
    in_place_of = next((event.body for event in before if event.id == last.body.supersedes), None)
    judged = batch.judgement is not None and last.body.step not in _UNDONE_LATER
    soon = now - moment_of(last.made_at) <= JUST_TOLD
    if _speaks_against(last.body, rules_of(before, batch.id)):
        return None
    return last if soon and not judged and not isinstance(in_place_of, BatchStepTold) else None


def _admit_take_back(body: BatchStepTakenBack, batch: Batch, before: Sequence[Event], now: datetime) -> None:
    """With a reason what stands of a few steps may be taken back at any time; no verdict, call back or hold moves."""
    if not body.reason:
        last = just_told(batch, before, body.by, now)
        if last is None or (last.id, last.body.slot) != (body.supersedes, body.slot):
            raise ImpossibleValue(say("batch.gate.not_undone"), where=_named(batch), right=say("batch.gate.tell_anew"))
        return
    standing = {each.id for each in batch.steps if each.step in TAKEN_BACK}
    slot = next((event.body.slot for event in before if event.id == body.supersedes), "")
    if body.supersedes not in standing or slot != body.slot:
        raise ImpossibleValue(say("batch.gate.not_taken_back"), where=_named(batch), right=say("batch.gate.tell_anew"))
    if not body.reason.strip():
        raise Missing(say("batch.gate.no_slip_reason"), where=_named(batch))


def _speaks_against(body: BatchStepTold, rules: BatchRules) -> bool:
    oxygen = next((each.value for each in body.figures if each.name == "oxygen_mg_l"), rules.oxygen_floor_mg_l)
    return body.step == "lab" or body.words.get("smell") == "sour" or oxygen < rules.oxygen_floor_mg_l


def _named(batch: Batch) -> str:
    return say("batch.named", number=batch.number)


def _admit_start(body: BatchStarted, batches: Sequence[Batch]) -> None:
    newest = max((batch.number for batch in batches), default=0)
    if body.number <= newest or any(batch.id == body.batch for batch in batches):
        raise ImpossibleValue(say("batch.gate.number_twice"), value=str(body.number),
                              right=say("batch.gate.next_number", number=newest + 1))


def _admit_rules(body: BatchRulesTold) -> None:
    for name, value, (low, high), unit in (("floor", body.oxygen_floor_mg_l, FLOOR_MG_L, "mg/L"),
                                           ("holding", body.holding_h, HOLDING_H, "h"),
                                           ("elevation", body.elevation_m, HEIGHT_M, "m")):
        if value is not None and not low <= value <= high:
            raise ImpossibleValue(say("batch.gate.no_such_rule"), where=say(f"made.asked.{name}"),
                                  value=f"{value:g} {unit}", right=f"{low:g} – {high:g} {unit}")


def _admit_step(body: BatchStepTold, batch: Batch, before: Sequence[Event]) -> None:
    said = partial(shown, heap_id=batch.heap_id, before=before)
    if batch.judgement is not None and body.step not in AFTERWARDS:
        raise ImpossibleValue(say("batch.gate.judged_already", verdict=say(f"batch.verdict.{batch.judgement.verdict}")),
                              where=_named(batch), value=say(f"batch.step.{body.step}"),
                              right=say("batch.gate.new_make"))
    if body.step == "start" and (read := _read_before(moment_of(body.at), batch)):
        raise ImpossibleValue(say("batch.gate.start_later"), about="at", where=_named(batch),
                              value=said(moment_of(body.at)),
                              right=say("batch.gate.start_at_most", at=said(read)))
    written = min((event.made_at for event in before if isinstance(told := event.body, BatchStepTold)
                   and told.batch == batch.id and told.step == "end"), default="")
    if body.step == "end" and written and body.at > written:
        raise ImpossibleValue(say("batch.gate.end_later"), about="at", where=_named(batch),
                              value=said(moment_of(body.at)),
                              right=say("batch.gate.end_at_most", at=said(moment_of(written))))


def _read_before(start: datetime, batch: Batch) -> datetime | None:
    """The first reading of oxygen, or the end, that a start of extraction would come after; None where it comes after
    none. Oxygen that was read before compost was in the water is the water's own."""
    told = [each.at for each in batch.told("oxygen") if batch.soaked_at is not None and each.at >= batch.soaked_at]
    return min((at for at in (*told, *(each.at for each in batch.told("end"))) if at < start), default=None)


def _admit_judgement(body: BatchJudged, batch: Batch, before: Sequence[Event], at: datetime) -> None:
    said = partial(shown, heap_id=batch.heap_id, before=before)
    if batch.judgement is not None:
        raise ImpossibleValue(say("batch.gate.judged_already", verdict=say(f"batch.verdict.{batch.judgement.verdict}")),
                              where=_named(batch), right=say("batch.gate.new_make"))
    if body.verdict == "refused":
        if not body.why:
            raise Missing(say("batch.gate.no_reason"), where=_named(batch))
        return
    told_end = batch.newest("end")
    ended, until = moment_of(body.ended_at), moment_of(body.good_until)
    if body.why or told_end is None or ended != told_end.at:
        raise ImpossibleValue(say("batch.gate.other_end"), where=_named(batch), value=said(ended),
                              right=say("batch.gate.told_end", at=said(told_end.at) if told_end else "-"))
    limit_h = holding_limit_h(_RULE) if body.own_limit_h is None else body.own_limit_h
    own = rules_of(before).holding_h
    if body.own_limit_h not in (None, own) or not ended < until <= ended + timedelta(hours=limit_h):
        raise ImpossibleValue(say("batch.gate.too_long"), where=_named(batch), value=said(until),
                              right=say("batch.gate.within", at=said(ended + timedelta(hours=holding_limit_h(_RULE)))))
    if at < ended:
        raise ImpossibleValue(say("batch.gate.before_end"), where=_named(batch), value=said(at),
                              right=say("batch.gate.told_end", at=said(ended)))


def _admit_load(body: LoadFilled, batch: Batch, batches: Sequence[Batch], before: Sequence[Event],
                at: datetime) -> None:
    said = partial(shown, heap_id=batch.heap_id, before=before)
    verdict = _require_fit(batch)
    if batch.ended_as:
        raise ImpossibleValue(say("batch.gate.ended_already"), where=_named(batch), value=batch.ended_where)
    if not verdict[0] <= at <= verdict[1]:
        raise ImpossibleValue(say("batch.gate.over_age"), where=_named(batch), value=said(at),
                              right=say("batch.gate.good", first=said(verdict[0]), last=said(verdict[1])))
    if any(load.id == body.load for each in batches for load in each.loads):
        raise ImpossibleValue(say("batch.gate.load_twice"), where=_named(batch), value=body.load)
    if not 0.0 < body.volume_l <= MOST_LOAD_L:
        raise ImpossibleValue(say("batch.gate.no_volume"), where=_named(batch), value=f"{body.volume_l:,g} L",
                              right=say("batch.gate.some_volume", most=f"{MOST_LOAD_L:,.0f}"))


def _require_filled_now(body: LoadFilled, batch: Batch, before: Sequence[Event], now: datetime) -> None:
    """Raise where a load is dated back, by which one over its age would look young."""
    at = moment_of(body.at)
    if at < now - _FILLED_NOW:
        raise ImpossibleValue(say("batch.gate.dated_back"), where=_named(batch),
                              value=shown(at, batch.heap_id, before),
                              right=say("batch.gate.filled_now", now=shown(now, batch.heap_id, before)))


def _require_oxygen(body: LoadFilled, batch: Batch, rules: BatchRules) -> None:
    """Raise where oxygen in the tank is below the floor, or is not read of a batch whose age rests on it."""
    judged = batch.judgement
    if body.oxygen_mg_l is None and judged and (judged.own_limit_h or 0.0) > holding_limit_h(_RULE):
        raise Missing(say("batch.gate.no_tank_oxygen"), about="oxygen_mg_l", where=_named(batch),
                      right=say("batch.gate.tank_floor", floor=f"{rules.oxygen_floor_mg_l:g}"))
    if body.oxygen_mg_l is not None and not body.oxygen_mg_l >= rules.oxygen_floor_mg_l:
        raise ImpossibleValue(say("batch.gate.tank_oxygen"), about="oxygen_mg_l", where=_named(batch),
                              value=f"{body.oxygen_mg_l:g} mg/L",
                              right=say("batch.gate.tank_floor", floor=f"{rules.oxygen_floor_mg_l:g}"))


def _require_clock(batch: Batch, before: Sequence[Event], at: datetime) -> None:
    """Raise where the clock was set back behind what was told before, by which an old batch would look young."""
    newest = max((event.made_at for event in before if isinstance(event.body, (*BATCH_EVENTS, *HEAP_EVENTS))),
                 default="")
    if newest and at < moment_of(newest) - _FILLED_NOW:
        raise ImpossibleValue(say("batch.gate.clock_back"), where=_named(batch), value=shown(at, batch.heap_id, before),
                              right=say("batch.gate.newest_told", at=shown(moment_of(newest), batch.heap_id, before)))


def _require_free(batch: Batch, before: Sequence[Event]) -> None:
    """Raise where the heap of a batch is held."""
    heap = next((each for each in heaps_of(before) if each.id == batch.heap_id), None)
    if heap is not None and heap.held is not None:
        raise ImpossibleValue(say("batch.gate.heap_held"), where=_named(batch), value=heap.held.reason,
                              right=say("batch.gate.free_first"))


def _require_fit(batch: Batch) -> tuple[datetime, datetime]:
    """From when to when a batch may be used; it raises unless it was judged fit and not called back."""
    judged = batch.judgement
    if judged is None:
        raise ImpossibleValue(say("batch.gate.not_judged"), where=_named(batch), right=say("batch.gate.judge_first"))
    if judged.verdict == "refused" or judged.ended_at is None or judged.good_until is None:
        raise ImpossibleValue(say("batch.gate.refused"), where=_named(batch), value=next(iter(judged.why), ""),
                              right=say("batch.gate.new_make"))
    if batch.refused_since:
        raise ImpossibleValue(say("batch.gate.called_back"), where=_named(batch), value=batch.refused_since,
                              right=say("batch.gate.new_make"))
    return judged.ended_at, judged.good_until


def _admit_end(body: BatchEnded, batch: Batch, at: datetime) -> None:
    judged = batch.judgement
    over = judged is not None and judged.good_until is not None and at > judged.good_until
    if judged is None or (batch.may_be_loaded and not over):
        raise ImpossibleValue(say("batch.gate.not_refused"), where=_named(batch))
    if batch.ended_as:
        raise ImpossibleValue(say("batch.gate.ended_already"), where=_named(batch), value=batch.ended_where)
    if not body.where.strip():
        raise Missing(say("batch.gate.no_place"), where=_named(batch))
