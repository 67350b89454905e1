"""What today's rounds take of a batch, beside the form of a load."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.records.apply.rounds import GivenRound, GivenStep
from rootcase.records.make.batch import Batch
from rootcase.services.fleet import fleet
from rootcase.services.load_stops import fills_wanted
from rootcase.services.week import give_round
from tests.services.week_told import NOW, a_week

MONDAY = date(2016, 5, 2)
BATCH = Batch(id="b", number=1, heap_id="h", started_at=datetime(2016, 5, 2, 12, tzinfo=UTC), by="rs", steps=(),
              judgement=None, loads=())


def test_a_round_that_fills_nothing_takes_nothing(tmp_path: Path) -> None:
    with open_fieldbook(a_week(tmp_path), now=lambda: NOW) as book:
        crew, ground = fleet(book).crews[0].id, book.properties()[0].id
        stop = GivenStep(kind="stop", starts_min=480, ends_min=500, property_id=ground, job_ids=("j",), litres=100.0)
        fill = GivenStep(kind="fill", starts_min=470, ends_min=480, batch_id="b", litres=100.0)
        for steps, taken in (((stop,), []), ((fill, stop), [100.0])):
            give_round(book, GivenRound(id="", day=MONDAY, crew_id=crew, steps=steps), "rs")
            found = fills_wanted(book, BATCH, MONDAY)
            assert [litres for each in found for _, litres in each.stops] == taken
