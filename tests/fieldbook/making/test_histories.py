"""Whatever happens to a practice's file, no load of a batch that is refused, called back or over its age is in it.

Random histories by every way in: the services, two clients of one file, bodies straight at our own gate, plain SQL
with every conflict clause, archives out and in with edited lines, backups with the gate taken off. What is held is
looked through by a checker of its own that shares no line with the gates.
"""

from __future__ import annotations

import shutil
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from threading import Barrier, Thread

import pytest

from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import body_text
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.archive import open_archive
from rootcase.fieldbook.made.batches import (
    BatchCalledBack,
    BatchEnded,
    BatchJudged,
    BatchRulesTold,
    BatchStepTakenBack,
    BatchStepTold,
    LoadFilled,
)
from rootcase.fieldbook.made.heaps import HeapFreed, HeapHeld, HeatTakenBack
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.store import open_store
from rootcase.fieldbook.store.engine import sqlite_driver
from rootcase.ground.errors import RootcaseError
from rootcase.records.make.batch import Batch, BatchRules
from rootcase.services import make_batch
from rootcase.services.backup import back_up, bring_back
from rootcase.services.batch_heap import heap_use
from rootcase.services.make_batch import (
    batches,
    call_back,
    end_batch,
    fill_load,
    judge_batch,
    start_batch,
    tell_rules,
    tell_step,
)
from rootcase.services.taken_back import take_step_back
from tests.casework.make.heaps import LOG_A
from tests.fieldbook.making.batch_world import Clock, Yard, fit, made_at_once, usable_heap
from tests.fieldbook.making.edited_files import edit_archive, edit_backup, event_hash
from tests.fieldbook.making.held_loads import rows, wrong_loads
from tests.web.batches import heap_told

HISTORIES, LONG = 60, 10_000
JUDGED = 12
"""In one of so many the heap is judged in earnest, and its holds with it."""
WAYS = ("", "OR REPLACE", "OR IGNORE", "OR FAIL", "OR ROLLBACK", "OR ABORT")
SLOTS = tuple(f"hold {each}" for each in range(4))
"""Of holds by programs, so that one takes back what another told."""
MEMORY = Path("/dev/shm")
"""Where there is one: nothing here is about what a pulled plug leaves."""


@pytest.fixture(autouse=True)
def heap_is_fit(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(make_batch, "heap_use", usable_heap)


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("histories") / "empty.sqlite"
    open_store(path, "own").close()
    return path


@dataclass
class Practice:
    """One random history: two clients of one file, a clock that somebody sets, and what came of each thing tried."""

    folder: Path
    empty: Path
    chance: Random
    clock: Clock
    clients: tuple[Fieldbook, Fieldbook]
    came: Counter[str] = field(default_factory=Counter)
    refused: set[str] = field(default_factory=set)
    """Ids of batches whose refusal was acknowledged."""

    @property
    def path(self) -> Path:
        return self.folder / "book.sqlite"

    def client(self) -> Fieldbook:
        return self.chance.choice(self.clients)

    def batch(self) -> Batch:
        found = batches(self.client())
        return self.chance.choice(found) if found else start_batch(self.client(), "h4", "rs")

    def moment(self, batch: Batch) -> str:
        """Some moment about a batch's end, often just within or just over its age."""
        end = batch.newest("end")
        about = end.at if end else self.clock.at
        off = self.chance.choice((0, 1, 1000, 30 * 60_000, 3_600_000, 3_600_001, 5_400_000, 7_200_000, -1, -60_000))
        return written(about + timedelta(milliseconds=off))

    def body(self) -> Body:
        """Something a program might want to write of a batch, sound or not."""
        batch = self.batch()
        at, name = self.moment(batch), f"x{self.chance.random()}"
        end = batch.newest("end")
        ended = written(end.at) if end and self.chance.random() < 0.8 else at
        until = self.moment(batch) if self.chance.random() < 0.5 else written(
            datetime.fromisoformat(ended) + timedelta(hours=1))
        return self.chance.choice((
            LoadFilled(slot=name, load=name, batch=batch.id, at=at, by="rs", volume_l=300.0),
            LoadFilled(slot=name, load=name, batch=batch.id, at=at, by="rs", volume_l=300.0),
            BatchJudged(slot=name, batch=batch.id, verdict="fit", at=written(self.clock.at), by="rs", ended_at=ended,
                        good_until=until, own_limit_h=self.chance.choice((None, None, 1.5, 9.0))),
            BatchJudged(slot=name, batch=batch.id, verdict="refused", at=at, by="rs", why=("sour",)),
            BatchStepTold(slot=name, batch=batch.id, step="end", at=at, by="rs"),
            LoadFilled(slot=name, load=name, batch=batch.id, at=written(self.clock.at), by="rs", volume_l=300.0,
                       oxygen_mg_l=self.chance.choice((None, 5.9, 6.0))),
            HeapHeld(slot=self.chance.choice(SLOTS), heap="h4", reason="hay", at=at, by="rs"),
            HeapFreed(slot=self.chance.choice(SLOTS), heap="h4", reason="known hay", at=at, by="rs"),
            HeatTakenBack(slot=self.chance.choice(SLOTS), heap="h4", reason="slip", by="rs"),
            LoadFilled(slot=name, load=name, batch=batch.id, at=written(self.clock.at), by="rs",
                       volume_l=self.chance.choice((0.0, -3.0, 1e5, 1e5 + 1))),
            BatchEnded(slot=name, batch=batch.id, how="poured_out", where="gravel", at=at, by="rs"),
            BatchRulesTold(slot=name, at=at, by="rs", oxygen_floor_mg_l=self.chance.choice((0.0, 5.0, 7.0))),
            BatchCalledBack(slot=name, batch=batch.id, why="late", at=at, by="rs")))


def make(practice: Practice) -> None:
    """A batch by the services, as often as not with something wrong with it, judged now or not yet."""
    chance = practice.chance
    batch = made_at_once(practice.client(), practice.clock, chance.choice((8.4, 8.4, 4.1)),
                         chance.choice(("", "", "", "sour")))
    practice.clock.on(chance.choice((-5, 0, 10, 50, 61)))
    if chance.random() < 0.9:
        judge(practice, batch)


def judge(practice: Practice, batch: str = "") -> None:
    judged = judge_batch(practice.client(), batch or practice.batch().id, "rs").judgement
    assert judged is not None
    practice.came[judged.verdict] += 1


def load(practice: Practice) -> None:
    practice.clock.on(practice.chance.choice((0, 5, 20, 50)))
    fill_load(practice.client(), practice.batch().id, 300.0, "rs", air_gap_m=0.1)


def late(practice: Practice) -> None:
    batch = practice.batch()
    if practice.chance.random() < 0.5:
        tell_step(practice.client(), batch.id, "lab", {"e_coli_per_100_ml": practice.chance.choice((9.0, 2400.0))}, {},
                  "rs")
    else:
        call_back(practice.client(), batch.id, "wrong heap", "rs")


def back(practice: Practice) -> None:
    """What stands of a batch is taken back with a reason, bad news too, by the services or by a program."""
    batch, client = practice.batch(), practice.client()
    told = practice.chance.choice(batch.steps or tell_step(client, batch.id, "vat", {}, {"cleaned": "yes"}, "rs").steps)
    if practice.chance.random() < 0.7:
        take_step_back(client, batch, told.id, "slip", "jk")
        return
    slot = next(each.body.slot for each in client.making.events() if each.id == told.id)
    put(practice, BatchStepTakenBack(slot=slot, supersedes=told.id, batch=batch.id, at=written(practice.clock.at),
                                     by="jk", reason="slip"))


def hold(practice: Practice) -> None:
    """Held or freed by a desk whose clock may stand anywhere, or either of them taken back."""
    chance, name = practice.chance, f"{practice.chance.random()}"
    at = written(practice.clock.at + timedelta(minutes=chance.choice((-600, 0, 0))))
    holds = [(an_id, body["slot"]) for an_id, kind, body in rows(practice.path) if kind in ("heap_held", "heap_freed")]
    supersedes, slot = chance.choice(holds) if holds else (None, name)
    body: Body = chance.choice((
        HeapHeld(slot=name, heap="h4", reason="hay", at=at, by="rs"),
        HeapFreed(slot=name, heap="h4", reason="known hay", at=at, by="rs"),
        HeapFreed(slot=name, heap="h4", reason="known hay", at=at, by="rs"),
        HeatTakenBack(slot=slot, supersedes=supersedes, heap="h4", reason="slip", by="rs")))
    practice.client().making.tell(lambda _: [body])
    for batch in batches(practice.client()):
        if batch.may_be_loaded:
            load = LoadFilled(slot=f"l{name}", load=f"l{name}", batch=batch.id, at=written(practice.clock.at), by="rs",
                              volume_l=300.0, oxygen_mg_l=chance.choice((None, 5.9, 6.0)))
            put(practice, load)
            break


def limits(practice: Practice) -> None:
    own, floor = practice.chance.choice((None, 0.5, 1.5)), practice.chance.choice((6.0, 6.0, 5.0))
    tell_rules(practice.client(), BatchRules(oxygen_floor_mg_l=floor, holding_h=own), "rs")


def gone(practice: Practice) -> None:
    """What is left is poured out; what is told of the batch afterwards loads nothing."""
    end_batch(practice.client(), practice.batch().id, "poured_out", "gravel", "rs")


def straight(practice: Practice) -> None:
    """Past the services, at our own gate."""
    body = practice.body()
    practice.client().making.tell(lambda _: [body])


def plain_sql(practice: Practice) -> None:
    """Past all our code, with a number and an id of one's own, or of a row that stands."""
    put(practice, practice.body())


def put(practice: Practice, body: Body) -> None:
    chance = practice.chance
    with closing(sqlite_driver().connect(str(practice.path), isolation_level=None)) as file:
        there = list(file.execute("SELECT rowid, id, received FROM events ORDER BY received"))
        newest = file.execute("SELECT coalesce(max(received), 0) FROM events").fetchone()[0]
        rowid, an_id, received = chance.choice(there) if there and chance.random() < 0.4 else (None, body.slot, 0)
        number = chance.choice((newest + 1, newest + 1, newest + 1, received, -1, 0))
        file.execute(f"INSERT {chance.choice(WAYS)} INTO events (rowid, practice_id, id, property_id, kind, made_at, "
                     "device, body, hash, received) "
                     "VALUES (?, 'own', ?, '', ?, ?, 'sql', ?, ?, ?)",
                     (chance.choice((None, rowid)), chance.choice((body.slot, an_id)), body.KIND,
                      made_at(body, practice.clock.at, chance), body_text(body), event_hash(body.slot, body), number))


def made_at(body: Body, now: datetime, chance: Random) -> str:
    """When a program says that it wrote this: mostly as it was filled, else about then."""
    at = getattr(body, "at", "") or written(now)
    off = chance.choice((0, 0, 0, 1, 60_000, 60_001, -1, 3_600_000))
    return written(datetime.fromisoformat(at) + timedelta(milliseconds=off))


def changed(practice: Practice) -> None:
    """A row that stands is changed, moved or taken away."""
    change = practice.chance.choice((
        "UPDATE events SET body = replace(body, '\"refused\"', '\"fit\"')", "DELETE FROM events",
        "UPDATE OR REPLACE events SET received = received + 1", "UPDATE events SET kind = 'batch_step_told'",
        "DELETE FROM events WHERE kind IN ('batch_judged', 'batch_called_back')",
        "INSERT INTO events SELECT * FROM events WHERE true ON CONFLICT DO UPDATE SET body = '{}'"))
    with closing(sqlite_driver().connect(str(practice.path), isolation_level=None)) as file:
        file.execute(change)


def archive(practice: Practice) -> None:
    """Taken out and brought into another file, as it is or with its lines edited so that every mark is right again."""
    chance = practice.chance
    with TemporaryDirectory() as temporary:
        out = Path(temporary) / "out.zip"
        practice.client().export(out)
        if chance.random() < 0.8:
            edit_archive(out, chance)
        shutil.copy(practice.empty, Path(temporary) / "in.sqlite")
        with Yard(Path(temporary) / "in.sqlite", practice.clock).open() as other:
            try:
                with open_archive(out) as found:
                    other.restore(found)
                practice.came["archive in"] += 1
            finally:
                assert wrong_loads(Path(temporary) / "in.sqlite") == []


def backup(practice: Practice) -> None:
    """Backed up and brought back, as it is or with a load put in while the gate was taken off."""
    with TemporaryDirectory() as temporary:
        done = back_up(practice.client(), Path(temporary) / "kept")
        new = Path(temporary) / "back.sqlite"
        body = practice.body()
        put_on_again = practice.chance.random() < 0.5
        if practice.chance.random() < 0.8:
            edit_backup(done.file, body, put_on_again)
        with suppress(RootcaseError):
            bring_back(done.file, new)
            practice.came["backup in"] += 1
        assert not new.exists() or wrong_loads(new) == []


def clock_back(practice: Practice) -> None:
    practice.clock.on(practice.chance.choice((-90, -20, 30)))


OFTEN: tuple[Callable[[Practice], None], ...] = (make, make, judge, load, load, load, late, back, limits, gone,
                                                 straight, straight, straight, hold, plain_sql, plain_sql, plain_sql,
                                                 changed, clock_back)
SELDOM: tuple[Callable[[Practice], None], ...] = (archive, backup)


@contextmanager
def history(empty: Path, seed: int) -> Iterator[Practice]:
    """A new file with two clients; what a history may do to it is up to its seed."""
    with TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None) as temporary:
        folder = Path(temporary)
        shutil.copy(empty, folder / "book.sqlite")
        clock = Clock(datetime(2016, 5, 3, 8, tzinfo=UTC))
        yard = Yard(folder / "book.sqlite", clock, seed * 2)
        with yard.open("desk 1") as one, yard.open("desk 2") as two:
            one.making.tell(lambda _: heap_told("h4", "4", clock.at - timedelta(days=30), LOG_A))
            yield Practice(folder, empty, Random(seed), clock, (one, two))


def live(practice: Practice) -> None:
    """A dozen things happen; each comes to something or is refused in a way that is foreseen."""
    for _ in range(practice.chance.randrange(4, 14)):
        happens = practice.chance.choice(SELDOM if practice.chance.random() < 0.03 else OFTEN)
        try:
            happens(practice)
            practice.came[happens.__name__] += 1
        except (RootcaseError, sqlite_driver().DatabaseError):
            practice.came[f"{happens.__name__} refused"] += 1


def test_no_history_leaves_an_unfit_load_in_a_file(empty: Path, long: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    came: Counter[str] = Counter()
    for seed in range(LONG if long else HISTORIES):
        monkeypatch.setattr(make_batch, "heap_use", heap_use if seed % JUDGED == 0 else usable_heap)
        with history(empty, seed) as practice:
            live(practice)
            refused = {body["batch"] for _, kind, body in rows(practice.path)
                       if kind == "batch_judged" and body["verdict"] == "refused"}
            assert wrong_loads(practice.path) == [], seed
            held = [body for _, kind, body in rows(practice.path) if kind == "load_filled"]
            assert not refused & {body["batch"] for body in held}, seed
            came += practice.came
            came["loads held"] += len(held)
    # Else the histories would be empty, and the test with them.
    assert all(came[name] for name in ("fit", "refused", "loads held", "load", "load refused", "plain_sql", "hold",
                                       "plain_sql refused", "straight", "straight refused", "changed refused", "late",
                                       "back", "back refused", "archive in", "backup in")), came


def test_two_clients_at_once_do_not_load_what_the_other_calls_back(empty: Path) -> None:
    for seed in range(3):
        with history(empty, seed) as practice:
            one, two = practice.clients
            batch = fit(one, practice.clock)
            together = Barrier(3)

            def go(what: Callable[[], object], start: Barrier = together) -> None:
                start.wait()
                with suppress(RootcaseError):
                    what()

            threads = [Thread(target=go, args=(what,)) for what in (
                lambda: fill_load(one, batch.id, 300.0, "rs", air_gap_m=0.1),  # noqa: B023
                lambda: call_back(two, batch.id, "late", "rs"),  # noqa: B023
                lambda: fill_load(two, batch.id, 200.0, "rs", air_gap_m=0.1))]  # noqa: B023
            for thread in threads:
                thread.start()
            for thread in threads:
                thread.join()
            assert wrong_loads(practice.path) == []
            assert batches(one)[0].refused_since == "late"


def test_two_clients_at_once_do_not_judge_a_batch_twice_or_give_a_number_twice(empty: Path) -> None:
    with history(empty, 1) as practice:
        one, two = practice.clients
        numbers: list[int] = []
        threads = [Thread(target=lambda book=book: numbers.append(start_batch(book, "h4", "rs").number))
                   for book in (one, two, one, two)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert sorted(numbers) == [1, 2, 3, 4]
