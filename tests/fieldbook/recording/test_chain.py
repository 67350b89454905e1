"""The chain of what was put on: whatever was changed, taken away or swapped before a head was told is found."""

from __future__ import annotations

import shutil
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import date, datetime, timedelta
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any

import pytest

from rootcase.fieldbook.applied.log import ClientCopyGiven, LitresTold
from rootcase.fieldbook.events import Event
from rootcase.fieldbook.export import archive as archive_written
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.archive import open_archive
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.store import links, open_store
from rootcase.fieldbook.store.applied_gate import TRIGGERS, missing_link_gate
from rootcase.fieldbook.store.engine import sqlite_driver
from rootcase.fieldbook.store.links import standing
from rootcase.ground.errors import FileError
from rootcase.records.apply.done import Application
from rootcase.records.make.batch import Batch
from rootcase.services import make_batch
from rootcase.services.backup import back_up, bring_back
from rootcase.services.make_batch import batches, call_back, fill_load, judge_batch
from tests.fieldbook.making.batch_world import START, Clock, Yard, fit, made, usable_heap
from tests.fieldbook.recording.edited_record import (
    WAYS,
    change_archive,
    change_backup,
    edit,
    edit_and_chain_anew,
    put_in,
    rehashed,
    take_both_away,
    take_the_last_away,
    with_gates_off,
)
from tests.fieldbook.sheets import whole_property

HISTORIES, LONG = 40, 10_000
MEMORY = Path("/dev/shm")
DAY = date(2016, 5, 3)
Way = Callable[[Any, Random, int], None]


@pytest.fixture(autouse=True)
def heap_is_fit(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(make_batch, "heap_use", usable_heap)


@pytest.fixture(scope="module")
def practice(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A file with a property, a fit batch with two loads, one that was called back with one, one that was refused."""
    path = tmp_path_factory.mktemp("practice") / "book.sqlite"
    clock = Clock()
    with pytest.MonkeyPatch.context() as patch, Yard(path, clock).open() as book:
        patch.setattr(make_batch, "heap_use", usable_heap)
        with book.store.writing() as turn:
            turn.add(whole_property())
        back = fit(book, clock)
        fill_load(book, back.id, 300.0, "rs", air_gap_m=0.15)
        clock.on(20)
        call_back(book, back.id, "E. coli", "rs")
        judge_batch(book, made(book, clock, instead={"oxygen": ({"oxygen_mg_l": 4.1, "temperature_c": 18.0}, {})}).id,
                    "rs")
        good = fit(book, clock)
        for _ in range(2):
            fill_load(book, good.id, 300.0, "rs", air_gap_m=0.15)
            clock.on(5)
    return path


def good_and_back(book: Fieldbook) -> tuple[Batch, Batch]:
    found = {bool(batch.refused_since): batch for batch in batches(book) if batch.loads}
    return found[False], found[True]


@contextmanager
def opened(practice: Path, seed: int = 0) -> Iterator[tuple[Path, Clock, Fieldbook, Fieldbook]]:
    """A copy of that file with two clients, two hours after it began."""
    with TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None) as temporary:
        path = Path(temporary) / "book.sqlite"
        shutil.copy(practice, path)
        clock = Clock(START + timedelta(hours=4))
        yard = Yard(path, clock, 1000 + seed * 2)
        with yard.open("desk") as one, yard.open("phone") as two:
            yield path, clock, one, two


def put_on(slot: str, **more: object) -> PutOnLogged:
    return PutOnLogged(**{"slot": slot, "tree": "t1", "remedy": "extract", "day": DAY, "by": "rs", **more})  # type: ignore[arg-type]


def regular(book: Fieldbook, one: Application, made_at: datetime) -> bool:
    """Whether a record is regular, by what batches say; no line is shared with the gates."""
    if not one.load_id or one.not_done:
        return bool(one.not_done) or one.remedy != "extract"
    batch = next((each for each in batches(book) if one.load_id in {load.id for load in each.loads}), None)
    if batch is None or batch.judgement is None or batch.judgement.good_until is None:
        return False
    load = next(load for load in batch.loads if load.id == one.load_id)
    starts, ends = one.started or made_at, one.ended or made_at
    backs = [datetime.fromisoformat(event.body.at) for event in book.making.events()  # type: ignore[attr-defined]
             if event.body.KIND == "batch_called_back" and event.body.batch == batch.id]  # type: ignore[attr-defined]
    return load.at <= starts <= ends <= batch.judgement.good_until and not any(back <= ends for back in backs)


def live(book: Fieldbook, other: Fieldbook, clock: Clock, chance: Random) -> None:
    """A day of work, told by two clients in turn."""
    good, back = good_and_back(book)
    loads = [*(load.id for load in (*good.loads, *back.loads)), "nobody filled it", ""]
    for number in range(chance.randrange(3, 8)):
        clock.on(chance.choice((1, 4, 30)))
        recording = chance.choice((book, other)).recording
        what = chance.random()
        starts = good.loads[0].at + timedelta(minutes=chance.choice((-30, 0, 5, 20, 40, 50, 70)))
        ends = starts + timedelta(minutes=chance.choice((5, 20, -1)))
        hours = {"started": written(starts), "ended": written(ends)} if chance.random() < 0.6 else {}
        if what < 0.7:
            recording.tell("p", put_on(f"s{chance.randrange(6)}", load=chance.choice(loads), note=str(number),
                                       not_done=chance.choice(("", "", "", "too wet")), **hours))
        elif what < 0.85:
            recording.tell("p", ClientCopyGiven(slot=f"c{number}", record="s1", day=DAY, by="rs"))
        else:
            recording.tell("", LitresTold(slot=f"l{number}", batch=good.id, what="left", volume_l=9.0,
                                          at=written(clock.at), by="rs"))


def test_every_edit_deletion_and_swap_before_the_anchor_is_found(practice: Path, long: bool) -> None:
    came: Counter[str] = Counter()
    for seed in range(LONG if long else HISTORIES):
        chance = Random(seed)
        with opened(practice, seed) as (path, clock, one, two):
            live(one, two, clock, chance)
            anchor = one.recording.head()
            live(one, two, clock, chance)
            assert one.recording.verify([anchor]).fault is None, seed
            made_at = {event.id: datetime.fromisoformat(event.made_at) for event in _events(one)}
            for told in one.recording.applications():
                assert bool(told.flags) != regular(one, told, made_at[told.id]), (seed, told)
                came.update(told.flags or ["regular"])
            way = WAYS[seed % len(WAYS)]
            with closing(sqlite_driver().connect(str(path))) as file:
                with_gates_off(file, lambda file: way(file, chance, anchor.count))  # noqa: B023 - called at once
            found = one.recording.verify([anchor])
            assert found.fault is not None, (seed, way.__name__)
            came[found.fault] += 1
    assert all(came[name] for name in ("regular", "late", "called_back", "no_such_load", "age_not_shown", "number",
                                       "gone", "edited", "broken", "unlinked", "other_head", "shorter",
                                       "hours_do_not_fit", "no_load_told")), came


def _events(book: Fieldbook) -> list[Event]:
    with book.store.reading() as look:
        return look.events()


def test_the_first_link_that_does_not_hold_is_named(practice: Path) -> None:
    with opened(practice) as (path, _, one, _two):
        for slot in "abc":
            one.recording.tell("p", put_on(slot))
        second = one.recording.applications()[1]
        with closing(sqlite_driver().connect(str(path))) as file:
            with_gates_off(file, lambda file: edit(file, Random(1), 2))
        walked = one.recording.verify()
        assert (walked.fault, walked.head.count) in (("broken", 0), ("broken", 1))
        assert second.prev == one.recording.applications()[2].mark


def test_a_look_walks_only_what_came_since_and_then_finds_what_is_new_and_wrong(
        practice: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    looked: list[int] = []
    fault = links._fault
    monkeypatch.setattr(links, "_fault", lambda practice_id, row, number, prev: looked.append(number) or fault(
        practice_id, row, number, prev))
    with opened(practice) as (path, _, one, two):
        for slot in "abc":
            one.recording.tell("p", put_on(slot))
        assert (one.recording.look_on().head, looked) == (one.recording.head(), [1, 2, 3])
        two.recording.tell("p", put_on("d"))
        assert (one.recording.look_on().head, looked) == (one.recording.head(), [1, 2, 3, 4])
        assert one.recording.verify().head.count == len(looked) - 4 == 4  # the whole, once more
        with closing(sqlite_driver().connect(str(path))) as file:
            with_gates_off(file, lambda file: put_in(file, Random(1), 4))
        assert one.recording.look_on().fault == "unlinked"
        assert one.recording.look_on().fault == "unlinked"


@pytest.mark.parametrize("way", [take_the_last_away, edit_and_chain_anew])
def test_a_look_sees_that_the_head_it_knew_is_not_there(practice: Path, way: Way) -> None:
    with opened(practice) as (path, _, one, _two):
        for slot in "abc":
            one.recording.tell("p", put_on(slot))
        one.recording.look_on()
        with closing(sqlite_driver().connect(str(path))) as file:
            with_gates_off(file, lambda file: way(file, Random(1), 3))
        found = one.recording.look_on()
        assert found.fault in ("shorter", "other_head")
        assert [one.recording.look_on() for _ in range(2)] == [found] * 2  # it rings until the chain is what it was
        one.recording.tell("p", put_on("d"))
        assert one.recording.look_on().fault == "other_head"


def test_a_chain_that_was_put_right_is_sound_at_the_next_look(practice: Path) -> None:
    with opened(practice) as (path, _, one, _two):
        for slot in "abc":
            one.recording.tell("p", put_on(slot))
        sound = one.recording.look_on()
        for mark, fault in (("another", "broken"), (sound.head.mark, None)):
            with closing(sqlite_driver().connect(str(path))) as file:
                asked = "UPDATE record_links SET mark = ? WHERE number = 3"
                with_gates_off(file, lambda file: file.execute(asked, [mark]))  # noqa: B023 - called at once
            assert one.recording.look_on().fault == fault
        assert one.recording.look_on() == sound


def test_what_is_gone_at_the_end_is_found_by_the_anchor_alone(practice: Path) -> None:
    with opened(practice) as (path, _, one, _two):
        for slot in "abc":
            one.recording.tell("p", put_on(slot))
        anchor = one.recording.head()
        with closing(sqlite_driver().connect(str(path))) as file:
            with_gates_off(file, lambda file: take_the_last_away(file, Random(1), 3))
        assert one.recording.verify().fault is None
        assert one.recording.verify([anchor]).fault == "shorter"


def test_a_phone_that_logs_offline_comes_into_the_one_line(practice: Path) -> None:
    with opened(practice) as (_, clock, one, two):
        one.recording.tell("p", put_on("a"))
        late = Event("from a phone", "own", "p", written(clock.at - timedelta(hours=2)), "phone", put_on("b"))
        with two.store.writing() as turn:
            turn.add([late])
            turn.add([late])
        one.recording.tell("p", put_on("c"))
        assert [each.slot for each in sorted(one.recording.applications(), key=lambda told: told.number)] == [*"abc"]
        assert one.recording.verify().head.count == 3


def test_a_key_pressed_twice_is_one_link_and_a_correction_another(practice: Path) -> None:
    with opened(practice) as (_, _, one, _two):
        one.recording.tell("p", put_on("a", note="1"))
        one.recording.tell("p", put_on("a", note="1"))
        assert one.recording.head().count == 1
        one.recording.tell("p", put_on("a", note="2", reason="slip"))
        assert [told.note for told in one.recording.words("a")] == ["1", "2"]
        assert one.recording.applications()[0].corrects == 1


def test_a_link_that_calls_irregular_work_regular_is_refused_by_the_database(practice: Path) -> None:
    with opened(practice) as (path, _, one, _two):
        good, back = good_and_back(one)
        late = written(good.judgement.good_until + timedelta(minutes=1))  # type: ignore[union-attr, operator]
        for slot, load, ended in (("a", good.loads[0].id, late), ("b", back.loads[0].id, late), ("c", "none", late),
                                  ("d", "", late)):
            event = one.recording.tell("p", put_on(slot, load=load, started=written(good.loads[0].at), ended=ended))
            assert one.recording.named(event.id).flags
            with closing(sqlite_driver().connect(str(path), isolation_level=None)) as file:
                number, = file.execute("SELECT max(number) FROM record_links").fetchone()
                file.execute("DROP TRIGGER links_no_delete")
                file.execute("DELETE FROM record_links WHERE number = ?", (number,))
                file.execute(TRIGGERS["links_no_delete"])
                with pytest.raises(sqlite_driver().DatabaseError, match="told as such"):
                    file.execute("INSERT INTO record_links VALUES ('own', ?, ?, '', 'x')", (number, event.id))
                file.execute("INSERT INTO record_links VALUES ('own', ?, ?, 'late', 'x')", (number, event.id))


@pytest.mark.parametrize("change", ["UPDATE record_links SET flags = 'late'", "DELETE FROM record_links",
                                    "INSERT OR REPLACE INTO record_links SELECT * FROM record_links",
                                    "INSERT INTO record_links SELECT practice_id, 9, 'x', '', '' FROM record_links"])
def test_no_statement_changes_a_link(practice: Path, change: str) -> None:
    with opened(practice) as (path, _, one, _two):
        one.recording.tell("p", put_on("a"))
        with (closing(sqlite_driver().connect(str(path))) as file,
              pytest.raises(sqlite_driver().DatabaseError, match=r"links? ")):
            file.execute(change)


def test_an_archive_brings_the_chain_back_and_an_edited_one_does_not_come_back(practice: Path, tmp_path: Path) -> None:
    with opened(practice) as (_, _, one, _two):
        good, _ = good_and_back(one)
        for slot in "abc":
            one.recording.tell("p", put_on(slot, load=good.loads[0].id))
        one.export(tmp_path / "out.zip")
        head = one.recording.head()
    with Yard(tmp_path / "in.sqlite").open() as new, open_archive(tmp_path / "out.zip") as found:
        new.restore(found)
        assert new.recording.head() == head
        assert new.recording.verify([head]).fault is None

    def edited(lines: dict[str, list[dict[str, object]]]) -> None:
        at = next(place for place, row in enumerate(lines["lines/events.jsonl"]) if row["kind"] == "put_on_logged")
        lines["lines/events.jsonl"][at] = rehashed(lines["lines/events.jsonl"][at], note="another")

    change_archive(tmp_path / "out.zip", edited)
    with (Yard(tmp_path / "other.sqlite").open() as new, open_archive(tmp_path / "out.zip") as found,
          pytest.raises(FileError, match="is not the one that was told")):
        new.restore(found)


def test_what_an_older_file_linked_without_asking_for_the_load_comes_back_as_it_was(
        practice: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with opened(practice) as (path, _, one, _two):
        with closing(sqlite_driver().connect(str(path))) as file:
            file.execute("DROP TRIGGER links_of_a_told_load")
        with monkeypatch.context() as patch:
            patch.setattr(links, "_flags", lambda connection, event: ())
            patch.setattr(archive_written, "HEAD", "0009")
            one.recording.tell("p", put_on("a"))
            one.export(tmp_path / "out.zip")
        head = one.recording.head()
    with Yard(tmp_path / "in.sqlite").open() as new, open_archive(tmp_path / "out.zip") as found:
        new.restore(found)
        assert (new.recording.head(), new.recording.verify([head]).fault) == (head, None)
        assert new.recording.applications()[0].flags == ()
    with closing(sqlite_driver().connect(str(tmp_path / "in.sqlite"))) as file:
        assert missing_link_gate(file.execute) == ""


def test_a_backup_is_held_against_its_head(practice: Path, tmp_path: Path) -> None:
    for way in (edit, edit_and_chain_anew, take_both_away):
        with opened(practice) as (_, _, one, _two):
            for slot in "abc":
                one.recording.tell("p", put_on(slot))
            kept = back_up(one, tmp_path / way.__name__).file
            assert bring_back(kept, tmp_path / f"{way.__name__}.sqlite").told == ()
        change_backup(kept, lambda file: way(file, Random(2), 3))  # noqa: B023 - called at once
        with pytest.raises(FileError, match="is not the one that was told"):
            bring_back(kept, tmp_path / f"{way.__name__} edited.sqlite")


def test_a_backup_of_a_broken_chain_comes_back_and_says_so(practice: Path, tmp_path: Path) -> None:
    with opened(practice) as (path, _, one, _two):
        for slot in "abc":
            one.recording.tell("p", put_on(slot))
        with closing(sqlite_driver().connect(str(path))) as file:
            with_gates_off(file, lambda file: edit(file, Random(2), 3))
        done = back_up(one, tmp_path / "kept")
        assert "does not hold" in done.told[0]
        assert bring_back(done.file, tmp_path / "back.sqlite").told == done.told


def test_an_older_file_gets_its_chain_when_it_is_opened(practice: Path, tmp_path: Path) -> None:
    with opened(practice) as (path, _, one, _two):
        for slot in "abc":
            one.recording.tell("p", put_on(slot))
        one.store.empty_journal()
        shutil.copy(path, tmp_path / "old.sqlite")
    with closing(sqlite_driver().connect(str(tmp_path / "old.sqlite"))) as file:
        file.execute("DROP TABLE record_links")
        file.execute("UPDATE alembic_version SET version_num = (SELECT '0007')")
        file.commit()
    store = open_store(tmp_path / "old.sqlite", "own")
    with store.reading() as look:
        assert standing(look.walk_chain())["links"] == 3
    store.close()
