"""One event of every kind of what is told of the ground and of what is put on, for the tests of reading and writing."""

from __future__ import annotations

from datetime import date

from rootcase.fieldbook.applied.ground_use import BloomTold, LocateTold, PermitTold, SqueezeTold, UseTold
from rootcase.fieldbook.applied.wrong import WentWrongTold
from tests.fieldbook.sheets import event

FIRST, LAST = date(2016, 5, 2), date(2016, 5, 20)
GROUND = [
    event("g1", LocateTold(slot="gl", by="rs", number="2016-0412", first=FIRST, last=LAST, private_lines=True)),
    event("g2", PermitTold(slot="gp", by="rs", what="street closed", number="77", first=FIRST, last=LAST,
                           remedies=("air_tillage",))),
    event("g3", UseTold(slot="gu", by="rs", name="match", first=FIRST, last=LAST, weekdays=(5, 6), place="lawn")),
    event("g4", BloomTold(slot="gb", by="rs", of="t1", first=FIRST, last=LAST, holds=False)),
    event("g5", SqueezeTold(slot="gs", by="rs", place="lawn", day=FIRST, state="saturated")),
    event("g6", WentWrongTold(slot="gw", day=FIRST, at="2016-05-02T16:00:00.000Z", by="rs", note="hose burst")),
]
