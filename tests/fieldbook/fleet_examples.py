"""One event of every kind of trucks, crews and rounds, for the tests of reading and writing them."""

from __future__ import annotations

from datetime import date

from rootcase.fieldbook.applied.fleet import (
    BatchPlanned,
    CalendarTaken,
    CrewTold,
    FillPointTold,
    RoundGiven,
    TravelTold,
    TruckTold,
)
from rootcase.records.apply.rounds import GivenStep
from tests.fieldbook.sheets import event

DAY = date(2016, 5, 3)
FLEET = [
    event("f1", TruckTold(slot="t1", truck="t1", name="truck 1", tank_l=1135.6, payload_kg=1156.7, by="rs")),
    event("f2", CrewTold(slot="c1", crew="c1", name="crew 1", truck="t1", people=("hz", "rs"), by="rs",
                         leaves_min=420.0, back_by_min=930.0, rest_min=30.0, rest_from_min=660.0,
                         rest_to_min=780.0, works_days=(0, 1, 2, 3, 4), licensed=True)),
    event("f3", FillPointTold(slot="y", fill_point="y", name="yard", latitude_deg=47.45, longitude_deg=-122.31,
                              fill_min=15.0, by="rs", is_yard=True, time_zone="America/Los_Angeles")),
    event("f4", TravelTold(slot="tr", by="rs", road_pct=140.0, speed_km_h=45.0, places=("yard", "Alder Bank"),
                           drives_min=((0.0, 12.5), (14.0, 0.0)))),
    event("f5", BatchPlanned(slot="b1", batch="b1", day=DAY, ready_min=450.0, use_by_min=510.0, volume_l=800.0,
                             fill_point="y", by="rs")),
    event("f6", RoundGiven(slot="r1", round="r1", day=DAY, crew="c1", at="2016-05-02T16:00:00.000Z", by="rs",
                           moved_by_hand=True, steps=(
                               GivenStep(kind="fill", starts_min=450.0, ends_min=465.0, fill_point_id="y",
                                         batch_id="b1", litres=300.0),
                               GivenStep(kind="stop", starts_min=475.5, ends_min=500.0, property_id="p1",
                                         job_ids=("j1", "j2"), batch_id="b1", litres=300.0,
                                         load_age_minutes=50.0)))),
    event("f7", CalendarTaken(slot="cal", by="rs", number=2, days=(("a1", DAY), ("b2", DAY)), off=("b2",))),
]
