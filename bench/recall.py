"""A recall over all that a practice put on in years, beside the bare rows of its loads."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime, timedelta
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from sqlalchemy import Connection, insert

from bench.work import Work
from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event, PropertyOpened, TreeOpened, body_text
from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.fieldbook.made.batches import BatchJudged, BatchStarted, BatchStepTold, LoadFilled
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.store.schema import events
from rootcase.services.make_batch import batch_named, batches
from rootcase.services.recall import recall

APPLIED, BATCHES, LOADS, PROPERTIES, TREES = 100_000, 3500, 2, 500, 10_000
"""Some fourteen trees a load; a batch every other day of ten years."""
ROUNDS = 20
START = datetime(2016, 5, 3, 8, tzinfo=UTC)
PUT_ON = ("SELECT id, property_id, body FROM events WHERE practice_id = 'own' AND kind = 'put_on_logged' "
          "AND json_extract(body, '$.load') IN (?, ?)")


def about() -> Work:
    return Work(what=f"{APPLIED:,} records of extract put on at {TREES:,} trees of {PROPERTIES} properties, from "
                     f"{BATCHES:,} batches in {LOADS} loads each. A whole recall finds the batch by its number and "
                     f"has the names and all; its bar is 50 ms. Each of {ROUNDS} in a turn is of another batch.",
                unit="recall", units=ROUNDS)


def run() -> Mapping[str, Callable[[], object]]:
    book = filled()
    asked = batches(book)[::BATCHES // ROUNDS][:ROUNDS]
    assert all(recall(book, batch).properties for batch in asked)

    def bare() -> None:
        with book.store.whole_file() as file:
            for batch in asked:
                list(file.exec_driver_sql(PUT_ON, tuple(f"l{batch.number}-{each}" for each in range(LOADS))))

    def whole() -> None:
        for batch in asked:
            recall(book, batch_named(book, str(batch.number)))

    def ways() -> None:
        for batch in asked:
            book.making.tracing.of("batch", batch.id)

    return {"the bare rows of its loads": bare, "the way of the batch, in one question": ways,
            "the whole recall": whole}


@cache
def filled() -> Fieldbook:
    """A fieldbook of ten years; about and run ask the same one."""
    book = open_fieldbook(Path(mkdtemp()) / "book.sqlite", now=lambda: START + timedelta(days=4000))
    with book.store.whole_file(writes=True) as file:
        file.exec_driver_sql("INSERT INTO practices VALUES ('own')")
        put(file, [*properties(), *made(), *applied()])
    return book


def put(file: Connection, told: list[tuple[str, Body]]) -> None:
    rows = []
    for received, (property_id, body) in enumerate(told, 1):
        event = Event(f"e{received}", "own", property_id, getattr(body, "at", written(START)), "desk", body)
        rows.append({"practice_id": "own", "id": event.id, "property_id": property_id, "kind": body.KIND,
                     "made_at": event.made_at, "device": "desk", "body": body_text(body), "hash": "",
                     "received": received})
    file.execute(insert(events), rows)


def properties() -> list[tuple[str, Body]]:
    opened: list[tuple[str, Body]] = [
        (f"p{each}", PropertyOpened(slot="facts", name=f"property {each}", weather_station="", system="us",
                                    invented=True)) for each in range(PROPERTIES)]
    return opened + [(f"p{tree % PROPERTIES}", TreeOpened(slot=f"t{tree}", tree=f"t{tree}", label=f"tree {tree}",
                                                          place="l")) for tree in range(TREES)]


def made() -> list[tuple[str, Body]]:
    told: list[tuple[str, Body]] = []
    for number in range(1, BATCHES + 1):
        day = START + timedelta(days=number)
        ended, until = written(day), written(day + timedelta(hours=1))
        of = {"batch": f"b{number}", "at": ended, "by": "rs"}
        told += [("", BatchStarted(slot=f"b{number}", number=number, heap="h", **of)),  # type: ignore[arg-type]
                 ("", BatchStepTold(slot=f"e{number}", step="end", **of)),  # type: ignore[arg-type]
                 ("", BatchJudged(slot=f"j{number}", verdict="fit", ended_at=ended, good_until=until,
                                  **of))]  # type: ignore[arg-type]
        told += [("", LoadFilled(slot=f"l{number}-{load}", load=f"l{number}-{load}", volume_l=1000.0,
                                 **of)) for load in range(LOADS)]  # type: ignore[arg-type]
    return told


def applied() -> list[tuple[str, Body]]:
    return [(f"p{each % PROPERTIES}", PutOnLogged(
        slot=f"put {each}", tree=f"t{each % TREES}", remedy="extract", day=date(2016, 5, 3), by="rs", amount="55 gal",
        load=f"l{each % BATCHES + 1}-{each // BATCHES % LOADS}")) for each in range(APPLIED)]
