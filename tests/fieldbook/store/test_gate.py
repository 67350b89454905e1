"""The gate in the database: what our own code would never write is refused by the file itself, whoever writes it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Engine
from sqlalchemy.exc import DatabaseError, IntegrityError

from rootcase.fieldbook.events import body_text
from rootcase.fieldbook.made.batches import (
    BatchCalledBack,
    BatchEnded,
    BatchJudged,
    BatchRulesTold,
    BatchStarted,
    BatchStepTold,
    LoadFilled,
)
from rootcase.fieldbook.made.heaps import HeapFreed, HeapHeld, HeatTakenBack
from rootcase.fieldbook.store import open_store
from rootcase.fieldbook.store.engine import sqlite_driver, sqlite_engine
from rootcase.fieldbook.store.gate import INDEXES, TRIGGERS, missing_gate, unfit_load
from tests.fieldbook.sheets import event, whole_property

ROW = "INSERT {} INTO events (practice_id, id, property_id, kind, made_at, device, body, hash, received) VALUES "
HOUR = "2016-05-03T10:05:00.000Z"
STARTED = BatchStarted(slot="b", batch="b", number=31, heap="h4", at="2016-05-03T08:00:00.000Z", by="rs")
END = BatchStepTold(slot="be", batch="b", step="end", at="2016-05-03T09:05:00.000Z", by="rs")
FIT = BatchJudged(slot="bj", batch="b", verdict="fit", at="2016-05-03T09:10:00.000Z", by="rs", ended_at=END.at,
                  good_until=HOUR)
LOAD = LoadFilled(slot="l", load="l", batch="b", at="2016-05-03T09:30:00.000Z", by="rs", volume_l=1135.0)
GONE = BatchEnded(slot="g", batch="b", how="poured_out", where="gravel", at=HOUR, by="rs")
FORM_7 = Path(__file__).parent / "gate_0007.sql"
"""The gate as the form before had it."""
LET_THROUGH = ("DROP TRIGGER load_of_a_fit_batch; "
               "CREATE TRIGGER load_of_a_fit_batch BEFORE INSERT ON events BEGIN SELECT 1; END")
RULES = BatchRulesTold(slot="r", at="2016-05-03T08:00:00.000Z", by="rs", oxygen_floor_mg_l=6.0, holding_h=1.5)


class File:
    """A file that is written by plain SQL, each row behind the one before."""

    def __init__(self, engine: Engine) -> None:
        self.engine, self.received = engine, 10

    def put(self, *bodies: Any, way: str = "", **otherwise: Any) -> None:
        for body in bodies:
            self.received += 1
            row = {"practice_id": "own", "id": f"e{self.received}", "property_id": "", "kind": body.KIND,
                   "made_at": getattr(body, "at", ""), "device": "sql", "body": body_text(body), "hash": "",
                   "received": self.received}
            row |= otherwise
            with self.engine.begin() as connection:
                connection.exec_driver_sql(ROW.format(way) + "(?, ?, ?, ?, ?, ?, ?, ?, ?)", tuple(row.values()))

    def ask(self, query: str) -> list[Any]:
        with self.engine.begin() as connection:
            found = connection.exec_driver_sql(query)
            return list(found) if found.returns_rows else []


@pytest.fixture
def file(tmp_path: Path) -> Iterator[File]:
    store = open_store(tmp_path / "book.sqlite", "own")
    with store.writing() as turn:
        turn.add(whole_property()[:1])
    engine, _ = sqlite_engine(tmp_path / "book.sqlite")
    yield File(engine)
    engine.dispose()
    store.close()


def test_a_sound_batch_and_its_loads_go_in(file: File) -> None:
    file.put(STARTED, END, FIT, LOAD, replace(LOAD, load="l2", at=HOUR), replace(LOAD, load="l3", at=END.at))
    assert missing_gate(file.ask) == unfit_load(file.ask) == ""


@pytest.mark.parametrize("bodies", [
    (STARTED, END, LOAD),
    (STARTED, END, replace(FIT, verdict="refused", why=("sour",)), LOAD),
    (STARTED, END, FIT, replace(LOAD, at="2016-05-03T10:05:00.001Z")),
    (STARTED, END, FIT, replace(LOAD, at="2016-05-03T09:04:59.999Z")),
    (STARTED, END, FIT, replace(LOAD, at="2016-05-03T09:30:00Z")),
    (STARTED, END, FIT, replace(LOAD, at="2016-05-03 09:30")),
    (STARTED, END, FIT, replace(LOAD, at="")),
    (STARTED, END, FIT, replace(LOAD, batch="c")),
    (STARTED, END, FIT, BatchCalledBack(slot="c", batch="b", why="late", at=HOUR, by="rs"), LOAD),
    (END, FIT, LOAD),
], ids=("not judged", "refused", "a moment over age", "a moment too early", "another form", "local", "no time",
        "no such batch", "called back", "not started"))
def test_an_unfit_load_does_not(file: File, bodies: tuple[Any, ...]) -> None:
    file.put(*bodies[:-1])
    with pytest.raises(DatabaseError, match="not fit, or over its age"):
        file.put(bodies[-1])
    for way in ("OR REPLACE", "OR IGNORE", "OR FAIL"):
        with pytest.raises(DatabaseError, match="not fit, or over its age"):
            file.put(bodies[-1], way=way)
    assert file.ask("SELECT 1 FROM events WHERE kind = 'load_filled'") == []


@pytest.mark.parametrize("verdict", [
    replace(FIT, good_until="2016-05-03T10:05:00.001Z"),
    replace(FIT, good_until=END.at),
    replace(FIT, good_until="2016-05-03T08:05:00.000Z"),
    replace(FIT, good_until=""),
    replace(FIT, ended_at="2016-05-03T09:35:00.000Z", good_until="2016-05-03T10:35:00.000Z"),
    replace(FIT, ended_at=""),
    replace(FIT, good_until="2016-05-03T11:05:00.000Z", own_limit_h=2.0),
    replace(FIT, good_until="2016-05-03T10:35:00.001Z", own_limit_h=1.5),
    replace(FIT, verdict="good"),
], ids=("a moment too long", "no time", "backward", "no limit", "another end", "no end", "another own limit",
        "over the own limit", "no verdict"))
def test_an_unsound_verdict_does_not(file: File, verdict: BatchJudged) -> None:
    file.put(RULES, STARTED, END)
    with pytest.raises(DatabaseError, match="an end that was told and a time"):
        file.put(verdict)
    file.put(replace(FIT, good_until="2016-05-03T10:35:00.000Z", own_limit_h=1.5))


def test_the_end_that_counts_is_the_one_told_last_and_it_stands_once_judged(file: File) -> None:
    later = replace(END, slot="x", at="2016-05-03T09:20:00.000Z")
    file.put(STARTED, later, END)
    with pytest.raises(DatabaseError, match="an end that was told"):
        file.put(replace(FIT, ended_at=later.at, good_until="2016-05-03T10:20:00.000Z"))
    file.put(FIT)
    with pytest.raises(DatabaseError, match="of a batch that was judged stands"):
        file.put(END)
    file.put(replace(later, step="oxygen"))


def test_no_end_is_later_than_when_the_first_was_written_down(file: File) -> None:
    younger = replace(END, slot="x", at="2016-05-03T09:20:00.000Z")
    file.put(STARTED, END)
    with pytest.raises(DatabaseError, match="never later than when it was first written down"):
        file.put(younger, made_at="2016-05-03T11:00:00.000Z")
    file.put(replace(END, slot="x", at="2016-05-03T09:01:00.000Z"), made_at="2016-05-03T11:00:00.000Z")
    file.put(replace(END, slot="x"), made_at="2016-05-03T11:01:00.000Z")


def test_nothing_is_loaded_while_the_heap_is_held(file: File) -> None:
    held = HeapHeld(slot="h", heap="h4", reason="weedkiller", at="2016-05-03T09:12:00.000Z", by="rs")
    freed = HeapFreed(slot="f", heap="h4", reason="beans grew straight", at="2016-05-03T09:20:00.000Z", by="rs")
    file.put(STARTED, END, FIT, replace(held, heap="h5"), LOAD, held)
    with pytest.raises(DatabaseError, match="not fit, or over its age"):
        file.put(replace(LOAD, load="l2"))
    assert unfit_load(file.ask) == ""
    file.put(freed, replace(LOAD, load="l2"), replace(held, slot="h2", at="2016-05-03T09:22:00.000Z"))
    with pytest.raises(DatabaseError, match="not fit, or over its age"):
        file.put(replace(LOAD, load="l3"))
    file.put(HeatTakenBack(slot="h2", heap="h4", reason="the other heap", by="rs"))
    with pytest.raises(DatabaseError, match="not fit, or over its age"):
        file.put(replace(LOAD, load="l3"))
    file.put(replace(freed, slot="f2"), replace(LOAD, load="l3"))
    file.put(HeatTakenBack(slot="f2", heap="h4", reason="the other heap", by="rs"), replace(LOAD, load="l4"))
    assert unfit_load(file.ask) == ""


def test_a_hold_holds_in_the_order_received_and_is_told_behind_what_is_there(file: File) -> None:
    held = HeapHeld(slot="h", heap="h4", reason="weedkiller", at="2016-05-03T07:00:00.000Z", by="rs")
    freed = HeapFreed(slot="f", heap="h4", reason="beans grew straight", at="2016-05-03T09:20:00.000Z", by="rs")
    file.put(STARTED, END, FIT, freed, LOAD)
    for late in (held, replace(freed, slot="g"), HeatTakenBack(slot="f", heap="h4", reason="x", by="rs")):
        with pytest.raises(DatabaseError, match="behind what is there"):
            file.put(late, received=5)
    file.put(held)
    with pytest.raises(DatabaseError, match="not fit, or over its age"):
        file.put(replace(LOAD, load="l2"))


def test_no_tank_with_oxygen_below_the_floor_is_loaded(file: File) -> None:
    file.put(STARTED, END, FIT)
    for oxygen in (5.9, -1.0):
        with pytest.raises(DatabaseError, match="not fit, or over its age"):
            file.put(replace(LOAD, oxygen_mg_l=oxygen))
    file.put(replace(LOAD, oxygen_mg_l=6.0), replace(RULES, oxygen_floor_mg_l=7.0))
    with pytest.raises(DatabaseError, match="not fit, or over its age"):
        file.put(replace(LOAD, load="l2", oxygen_mg_l=6.0))
    file.put(replace(LOAD, load="l2", oxygen_mg_l=7.0), replace(RULES, oxygen_floor_mg_l=5.0))
    with pytest.raises(DatabaseError, match="not fit, or over its age"):
        file.put(replace(LOAD, load="l3", oxygen_mg_l=6.0))


def test_no_floor_is_under_the_lowest(file: File) -> None:
    file.put(replace(RULES, oxygen_floor_mg_l=0.0), STARTED, END, FIT, replace(LOAD, oxygen_mg_l=5.0))
    with pytest.raises(DatabaseError, match="not fit, or over its age"):
        file.put(replace(LOAD, load="l2", oxygen_mg_l=4.9))


@pytest.mark.parametrize("made_at", ["2016-05-03T15:00:00.000Z", "2016-05-03T09:31:00.001Z", "2016-05-03T09:29:59.999Z",
                                     "2016-05-03T09:30:30Z", ""])
def test_no_load_is_written_down_at_another_time_than_it_was_filled(file: File, made_at: str) -> None:
    file.put(STARTED, END, FIT)
    with pytest.raises(DatabaseError, match="not fit, or over its age"):
        file.put(LOAD, made_at=made_at)
    file.put(LOAD, made_at="2016-05-03T09:31:00.000Z")
    file.ask("DROP TRIGGER load_of_a_fit_batch")
    file.put(replace(LOAD, load="l2"), made_at=made_at)
    assert unfit_load(file.ask) == f"e{file.received}"


def test_nothing_is_loaded_of_a_batch_that_is_gone_and_no_load_is_without_a_volume(file: File) -> None:
    file.put(STARTED, END, FIT)
    for volume_l in (0.0, -1.0, 100_001.0):
        with pytest.raises(DatabaseError, match="not fit, or over its age"):
            file.put(replace(LOAD, volume_l=volume_l))
    file.put(LOAD, replace(GONE, batch="c"), replace(LOAD, load="l2", volume_l=100_000.0), GONE)
    with pytest.raises(DatabaseError, match="not fit, or over its age"):
        file.put(replace(LOAD, load="l3"))
    with pytest.raises(DatabaseError, match="behind what is there"):
        file.put(replace(GONE, slot="x"), received=9)
    assert unfit_load(file.ask) == ""


@pytest.mark.parametrize("weak", ["", "DROP TRIGGER batch_judged_once", LET_THROUGH])
def test_a_file_of_the_form_before_is_brought_to_this_one_and_an_open_gate_stays_known(tmp_path: Path,
                                                                                     weak: str) -> None:
    path = tmp_path / "book.sqlite"
    open_store(path, "own").close()
    with closing(sqlite_driver().connect(str(path))) as old:
        for name in TRIGGERS:
            old.execute(f"DROP TRIGGER {name}")
        old.execute("DROP INDEX events_of_batches")
        old.executescript(FORM_7.read_text(encoding="utf-8") + weak)
        old.execute("INSERT INTO practices VALUES ('own')")
        old.execute("DROP TABLE record_links")
        old.execute("UPDATE alembic_version SET version_num = '0007'")
        old.commit()
    open_store(path, "own").close()
    engine, _ = sqlite_engine(path)
    file = File(engine)
    fault = missing_gate(file.ask)
    assert bool(fault) == bool(weak)
    assert fault in weak
    made = dict(tuple(row) for row in file.ask("SELECT name, sql FROM sqlite_master WHERE type = 'index'"))
    assert {name: made.get(name) for name in INDEXES} == dict(INDEXES)
    assert "events_of_taken_back" not in made
    if not weak:
        file.put(STARTED, END, FIT, LOAD, GONE)
        with pytest.raises(DatabaseError, match="not fit, or over its age"):
            file.put(replace(LOAD, load="l2"))
    engine.dispose()


def test_what_is_told_once_is_told_once_and_in_order(file: File) -> None:
    file.put(STARTED, END, FIT, LOAD)
    for again, why in ((FIT, "judged once"), (replace(FIT, verdict="refused", why=("x",)), "judged once"),
                       (STARTED, "given once"), (replace(STARTED, batch="c"), "given once"), (LOAD, "filled once")):
        with pytest.raises(IntegrityError, match=why):
            file.put(again)
    for received in (9, -1, 13.5, "14x", None):
        with pytest.raises(DatabaseError, match=r"behind what is there|names it once|NOT NULL"):
            file.put(BatchCalledBack(slot="c", batch="b", why="late", at=HOUR, by="rs"), received=received)


@pytest.mark.parametrize("body", [
    f'{{"at":"{LOAD.at}","at":"2017-05-03T09:30:00.000Z","batch":"b","load":"x"}}',
    f"{{at:'{LOAD.at}',batch:'b',load:'x'}}",
    f'{{"at":"{LOAD.at}","batch":7,"load":"x"}}',
    f'{{"at":"{LOAD.at}","batch":"b","load":7}}',
    f'[{{"at":"{LOAD.at}","batch":"b","load":"x"}}]', "{", "",
    f'{{"at":"{LOAD.at}","batch":"b","load":"x"}}'.encode()],
    ids=("twice", "no JSON", "a number", "a numbered load", "a list", "half", "nothing", "bytes"))
def test_a_body_that_may_be_read_in_two_ways_does_not(file: File, body: object) -> None:
    file.put(STARTED, END, FIT)
    with pytest.raises(DatabaseError, match=r"names it once|malformed JSON|not fit|filled once"):
        file.put(LOAD, body=body)


def test_no_row_is_put_in_anothers_place(file: File) -> None:
    file.put(STARTED, END, replace(FIT, verdict="refused", why=("sour",)))
    refusal = file.received
    rowid, = file.ask(f"SELECT rowid FROM events WHERE received = {refusal}")[0]
    for column, value in (("id", f"e{refusal}"), ("received", refusal)):
        for way in ("OR REPLACE", ""):
            with pytest.raises(IntegrityError, match="only ever added"):
                file.put(event("x", whole_property()[0].body).body, way=way, **{column: value})
    with pytest.raises(IntegrityError, match="only ever added"):
        file.ask("INSERT OR REPLACE INTO events (rowid, practice_id, id, property_id, kind, made_at, device, body, "
                 f"hash, received) VALUES ({rowid}, 'own', 'y', '', 'y', '', '', '{{}}', '', 99)")
    with pytest.raises(IntegrityError, match="only ever added"):
        file.ask(f"UPDATE OR REPLACE events SET received = {refusal} WHERE received = 11")
    with pytest.raises(IntegrityError, match="only ever added"):
        file.ask("INSERT INTO events SELECT * FROM events WHERE true ON CONFLICT DO UPDATE SET body = '{}'")


@pytest.mark.parametrize("name", TRIGGERS)
def test_a_file_without_one_of_its_gates_is_known(file: File, name: str) -> None:
    file.ask(f"DROP TRIGGER {name}")
    assert missing_gate(file.ask) == name


@pytest.mark.parametrize("name", ["events_no_update", "events_no_delete"])
def test_a_gate_that_lets_something_through_is_known(file: File, name: str) -> None:
    file.ask(f"DROP TRIGGER {name}")
    assert missing_gate(file.ask) == name
    change = name.rpartition("_")[2]
    file.ask(f"CREATE TRIGGER {name} BEFORE {change} ON events WHEN OLD.kind <> 'batch_judged' "
             "BEGIN SELECT RAISE(ABORT, 'events are only ever added'); END")
    assert missing_gate(file.ask) == name


def test_a_trigger_that_is_none_of_ours_is_known(file: File) -> None:
    file.ask("CREATE TRIGGER ours AFTER INSERT ON EVENTS BEGIN SELECT 1; END")
    assert missing_gate(file.ask) == "ours"


def test_an_unfit_load_that_came_in_while_a_gate_was_open_is_known(file: File) -> None:
    file.put(STARTED, END, FIT, LOAD, BatchCalledBack(slot="c", batch="b", why="late", at=HOUR, by="rs"))
    assert unfit_load(file.ask) == ""
    file.ask("DROP TRIGGER load_of_a_fit_batch")
    file.put(replace(LOAD, load="l2"))
    assert unfit_load(file.ask) == f"e{file.received}"


def test_no_question_of_the_gate_reads_all_events(file: File) -> None:
    assert {name for name, in file.ask("SELECT name FROM sqlite_master WHERE type = 'index'")} >= set(INDEXES)
    plan = [row[3] for row in file.ask("EXPLAIN QUERY PLAN SELECT 1 FROM events AS told WHERE practice_id = 'own' AND "
                                       "kind = 'load_filled' AND json_extract(told.body, '$.load') = 'l'")]
    assert plan == ["SEARCH told USING INDEX events_of_loads (practice_id=? AND <expr>=?)"]
