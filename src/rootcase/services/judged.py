"""A judged batch by the yard's clock, for who plans with it."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from rootcase.casework.apply.batches import JudgedBatch
from rootcase.records.make.batch import Batch
from rootcase.services.fleet import MIN_PER_H

MINUTE_S = 60.0


def judged_there(batch: Batch, there: ZoneInfo) -> JudgedBatch | None:
    """A batch whose verdict is known, by the yard's clock; one that was called back is as good as refused."""
    verdict, end, water = batch.judgement, batch.newest("end"), batch.newest("water")
    if verdict is None:
        return None
    ended = (verdict.ended_at or (end.at if end else verdict.at)).astimezone(there)
    fit = verdict.verdict == "fit" and not batch.refused_since and not batch.ended_as
    made = next((volume for step in (end, water) if step and (volume := step.figure("volume_l")) is not None), None)
    loaded_l = sum(load.volume_l for load in batch.loads)
    left = None if made is None else max(0.0, made - loaded_l)
    until = verdict.good_until.astimezone(there) if verdict.good_until else ended
    return JudgedBatch(id=batch.id, day=ended.date(), ended_min=minutes_of_day(ended), fit=fit, litres=left,
                       loaded_l=loaded_l,
                       use_by_min=minutes_of_day(ended) + (until - ended).total_seconds() / MINUTE_S)


def minutes_of_day(moment: datetime) -> float:
    """Minutes after midnight of the clock it is told by."""
    return moment.hour * MIN_PER_H + moment.minute + moment.second / MINUTE_S
