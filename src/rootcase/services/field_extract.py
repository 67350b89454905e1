"""What a crew is told of extract: the loads of the day, and that there is none."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.making.batch_log import batches_of
from rootcase.fieldbook.making.heap_log import heaps_of
from rootcase.ground.quantity import System
from rootcase.ground.words import say
from rootcase.records.field import FieldExtract, FieldLoad
from rootcase.records.make.batch import Batch
from rootcase.report.text.batch import load_named

_A_DAY = timedelta(hours=24)


def extract_of_the_day(fieldbook: Fieldbook, system: System, now: datetime) -> FieldExtract:
    """Loads filled within a day, and what is missing where the newest batch is refused or called back."""
    events = fieldbook.making.events()
    zones = {heap.id: ZoneInfo(heap.time_zone) for heap in heaps_of(events)}
    recent = [batch for batch in batches_of(events) if now - batch.started_at <= _A_DAY and batch.heap_id in zones]
    loads = tuple(FieldLoad(load.id, load_named(batch, load, system, zones[batch.heap_id]))
                  for batch in recent for load in reversed(batch.loads) if batch.may_be_loaded)
    return FieldExtract(loads, _missing(recent))


def _missing(recent: list[Batch]) -> str:
    """Of the newest batch that is judged; what is not judged yet may still come."""
    newest = next((batch for batch in recent if batch.judgement is not None), None)
    if newest is None or newest.may_be_loaded:
        return ""
    return say(f"made.missing.{'called_back' if newest.refused_since else 'refused'}", number=newest.number)
