"""One event of every kind of what is made, for the tests of reading and writing them."""

from __future__ import annotations

from rootcase.fieldbook.made.batches import (
    BatchCalledBack,
    BatchEnded,
    BatchJudged,
    BatchStarted,
    BatchStepTold,
    LoadFilled,
    RingNoted,
)
from rootcase.records.make.batch import Figure
from tests.fieldbook.sheets import event

AT = "2016-05-03T09:05:00.000Z"
BATCHES = [
    event("b1", BatchStarted(slot="b", batch="b", number=31, heap="h4", at=AT, by="rs")),
    event("b2", BatchStepTold(slot="bw", batch="b", step="chlorine", at=AT, by="rs",
                              figures=(Figure("total_chlorine_mg_l", 0.5),), words={"strip": "total"})),
    event("b3", BatchJudged(slot="bj", batch="b", verdict="fit", at=AT, by="rs", ended_at=AT,
                            good_until="2016-05-03T10:05:00.000Z")),
    event("b4", LoadFilled(slot="l", load="l", batch="b", at="2016-05-03T09:30:00.000Z", by="rs", volume_l=1135.0,
                           oxygen_mg_l=8.1, air_gap_m=0.1, tank="truck")),
    event("b5", BatchCalledBack(slot="bc", batch="b", why="E. coli 2,400 per 100 mL", at=AT, by="rs")),
    event("b6", BatchEnded(slot="be", batch="b", how="poured_out", where="gravel by the yard", at=AT, by="rs")),
    event("b7", RingNoted(slot="br", batch="b", property="p1", at=AT, by="rs", note="told the owner")),
]
