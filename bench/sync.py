"""What it costs that a reading is durable when its phone is told so: one, many that wait together, a hundred phones."""

from __future__ import annotations

import atexit
import os
import shutil
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, date, datetime
from functools import cache
from itertools import count, islice
from pathlib import Path
from threading import Barrier
from typing import Any

from bench.work import ROUNDS, Work
from rootcase.fieldbook.events import (
    Body,
    Event,
    PlaceOpened,
    PropertyOpened,
    ReadingTaken,
    TreeOpened,
    VisitStarted,
    body_text,
)
from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.fieldbook.store.engine import sqlite_engine
from rootcase.fieldbook.store.schema import events
from rootcase.fieldbook.store.sent import Sent
from rootcase.ground.ids import IdMaker

NOW = datetime(2016, 1, 15, 12, tzinfo=UTC)
PHONES, READINGS, WRITERS = 100, 120, 64
PAGE_BYTES = 4096
waited_s: list[float] = []
"""How long each phone waited for an answer, before the turns."""
_new_id = IdMaker(lambda: int(NOW.timestamp() * 1000), os.urandom)
_number = count()


def sent(body: Body, property_id: str = "bench") -> Sent:
    event = Event(_new_id(), "own", property_id, "2016-01-15T12:00:00.000Z", "phone", body)
    return Sent(event.id, property_id, body.KIND, event.made_at, event.device, body_text(body), event.hash)


def reading() -> Sent:
    number = next(_number)
    return sent(ReadingTaken(slot=f"s{number}", kind="dbh", of="tree", visit="visit", typed="12 in", value=304.8))


@cache
def folder() -> Path:
    made = Path(tempfile.mkdtemp(prefix="rootcase-bench-"))
    atexit.register(shutil.rmtree, made, ignore_errors=True)
    return made


def opened(name: str) -> Fieldbook:
    """A fieldbook in which a tree may be read."""
    book = open_fieldbook(folder() / name, now=lambda: NOW)
    bodies = (PropertyOpened(slot="p", name="Bench", weather_station="", system="us", invented=False),
              PlaceOpened(slot="pl", place="lawn", name="lawn", place_kind=""),
              TreeOpened(slot="t", tree="tree", label="1", place="lawn"),
              VisitStarted(slot="v", visit="visit", label="1", day=date(2016, 1, 15)))
    book.taking_in.take([sent(body) for body in bodies], NOW)
    return book


def overwriting(synced: Callable[[], None] = lambda: None) -> Callable[[], None]:
    """A page of a file is written over and put on the disk, as often as there are writers; synced: after each."""
    file = os.open(folder() / "overwritten", os.O_RDWR | os.O_CREAT)
    os.write(file, bytes(PAGE_BYTES * WRITERS))
    os.fsync(file)
    data = os.urandom(PAGE_BYTES)

    def turn() -> None:
        for page in range(WRITERS):
            os.pwrite(file, data, page * PAGE_BYTES)
            os.fdatasync(file)
            synced()

    return turn


def rows(name: str) -> Callable[[], None]:
    """What the file alone takes: the same row, put there by the driver without a look at it, and committed."""
    opened(name).close()
    engine, _ = sqlite_engine(folder() / name)
    file: Any = engine.raw_connection().driver_connection
    like, numbers = reading(), count(1000)
    put = f"INSERT INTO events ({', '.join(column.name for column in events.c)}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"

    def turn() -> None:
        for number in islice(numbers, WRITERS):
            file.execute("BEGIN IMMEDIATE")
            file.execute(put, ("own", f"{like.id[:-9]}{number:09d}", like.property_id, like.kind, like.made_at,
                               like.device, like.body, like.hash, number))
            file.execute("COMMIT")

    return turn


def sent_before() -> Iterator[list[Sent]]:
    """What each turn sends; the phones made it, and it is no work of the server's."""
    return iter([[reading() for _ in range(WRITERS)] for _ in range(ROUNDS + 1)])


def one_by_one(book: Fieldbook) -> Callable[[], None]:
    days = sent_before()

    def turn() -> None:
        for each in next(days):
            book.taking_in.take([each], NOW)

    return turn


def together(book: Fieldbook) -> Callable[[], None]:
    """As many writers that wait at the same moment, each with one reading."""
    pool, barrier, days = ThreadPoolExecutor(WRITERS), Barrier(WRITERS), sent_before()

    def write(each: Sent) -> None:
        barrier.wait()
        book.taking_in.take([each], NOW)

    def turn() -> None:
        list(pool.map(write, next(days)))

    return turn


def send_all(book: Fieldbook) -> None:
    """Every phone sends its day at once, and sends it again since no answer came; what is held then is exact."""
    days = [[reading() for _ in range(READINGS)] for _ in range(PHONES)]

    def send(day: list[Sent]) -> list[float]:
        waited = []
        for _ in range(2):
            begun = time.perf_counter()
            told = book.taking_in.take(day, NOW)
            waited.append(time.perf_counter() - begun)
            if [(each.id, each.hash) for each in told] != [(each.id, each.hash) for each in day]:
                raise ValueError("a reading was not answered for")
        return waited

    with ThreadPoolExecutor(PHONES) as pool:
        waited_s.extend(wait for waits in pool.map(send, days) for wait in waits)
    with book.store.reading() as look:
        held = [event.id for event in look.events("bench") if event.body.KIND == "reading_taken"]
    if sorted(held) != sorted(each.id for day in days for each in day):
        raise ValueError("what is held is not what was sent")


def about() -> Work:
    told = ""
    if waited_s:
        told = (f" Before the turns {PHONES} phones sent {READINGS} readings each at the same moment, and again: all "
                f"held once, 95 of 100 answers within {statistics.quantiles(waited_s, n=20)[-1]:.2f} s (bar: 2 s).")
    return Work(what=f"A reading is on the disk before its phone is told so; all candidates keep {WRITERS}. Where a "
                     f"disk says at once that it has written, our own work is all there is to see. Bars: .8 of the "
                     f"page written over, and 15 times one after the other.{told}",
                unit="durable reading", units=WRITERS,
                yardsticks=("a page written over and synced", "one reading after the other"))


def run() -> Mapping[str, Callable[[], object]]:
    send_all(opened("phones.sqlite"))
    book = opened("turns.sqlite")
    return {"a page written over and synced": overwriting(),
            "a row put into SQLite and committed": rows("rows.sqlite"),
            "one reading after the other": one_by_one(book),
            "as many writers at once": together(book)}
