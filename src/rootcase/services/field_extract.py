"""What a crew is told of extract: each tank of the day as it stands, and that none may go out."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.making.batch_log import batches_of
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.put_on_log import litres_told
from rootcase.ground.quantity import System
from rootcase.ground.words import say
from rootcase.records.field import FieldExtract, FieldLoad
from rootcase.records.field_round import FieldLitres
from rootcase.records.make.batch import Batch, HeapUse
from rootcase.report.text.batch import batch_state, load_for_crew
from rootcase.services.batch_heap import heap_uses
from rootcase.tables.load import table


def extract_of_the_day(fieldbook: Fieldbook, system: System, now: datetime) -> FieldExtract:
    """Loads filled within a day, the newest first, and what is missing where none of it may go out.

    A tank that may not go out stays in the list, with why: something of it may have been put on before.
    """
    events = fieldbook.making.events()
    made = batches_of(events)
    heaps: Mapping[str, HeapUse] = heap_uses(events) if made else {}
    day = timedelta(hours=table("tank/told_to_crew").row(what="tank")["most_h"])
    known = [batch for batch in made if batch.heap_id in heaps]
    loads = sorted(((load.at, batch, load) for batch in known for load in batch.loads if now - load.at <= day),
                   key=lambda each: each[0], reverse=True)
    recent = [batch for batch in known if batch.judgement and now - batch.judgement.at <= day]
    return FieldExtract(
        tuple(FieldLoad(load.id, load_for_crew(batch, load, heaps[batch.heap_id], system, now), batch.id, load.volume_l,
                        written(load.at))
              for _, batch, load in loads), _missing(recent, heaps, now))


def litres_of_the_day(book: Fieldbook) -> tuple[FieldLitres, ...]:
    """Where the batches of the loads that were filled within a day went, by every record and word that stands."""
    now, day = book.applying.now(), timedelta(hours=table("tank/told_to_crew").row(what="tank")["most_h"])
    made = batches_of(book.making.events())
    batch_of = {load.id: batch.id for batch in made for load in batch.loads}
    recent = {batch.id for batch in made if any(now - load.at <= day for load in batch.loads)}
    applied = (FieldLitres(slot=one.slot, id=one.id, batch_id=batch, what="applied",
                           litres=litres_told(one.litres, one.amount) or 0.0)
               for one in book.recording.applications() if not one.not_done
               and (batch := batch_of.get(one.load_id) or one.batch_id) in recent)
    told = (FieldLitres(slot=each.slot, id=an_id, batch_id=each.batch, what=each.what, litres=each.volume_l)
            for an_id, each in book.recording.litres_by_id().items()
            if each.batch in recent and each.what in ("left", "lost"))
    return (*applied, *told)


def _missing(recent: list[Batch], heaps: Mapping[str, HeapUse], now: datetime) -> str:
    """Of the newest batch that is judged, where none may go out; what is not judged yet may still come."""
    states = {batch.number: batch_state(batch, heaps[batch.heap_id], now) for batch in recent}
    if not states or "fit" in states.values():
        return ""
    newest = max(states)
    return say(f"made.missing.{states[newest]}", number=newest)
