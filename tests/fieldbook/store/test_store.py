"""The store: nothing acknowledged is lost, nothing is doubled, nothing changes."""

from __future__ import annotations

import os
import signal
import stat
import subprocess
import sys
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from sqlalchemy import create_engine, text
from sqlalchemy.exc import DatabaseError

from rootcase.fieldbook.store import Store, open_store
from rootcase.fieldbook.store.door import door
from rootcase.fieldbook.store.engine import has_wal_defect, refuse_shared_folder, sqlite_engine
from rootcase.fieldbook.store.keeping import keeping
from rootcase.fieldbook.store.schema import HEAD, metadata
from rootcase.fieldbook.store.store import Contact
from rootcase.fieldbook.store.weather import WeatherDay
from rootcase.ground.errors import StoreError
from tests.fieldbook.sheets import event, reading, whole_property

CHECKOUT = Path(__file__).parents[3]
WRITER = """
import sys
from pathlib import Path
from rootcase.fieldbook.store import open_store
from tests.fieldbook.sheets import event, reading
store = open_store(Path(sys.argv[1]), "own")
for n in range(int(sys.argv[3])):
    one = event(f"{sys.argv[2]} {n}", reading(f"{sys.argv[2]} {n}", float(n)))
    with store.writing() as turn:
        turn.add([one])
    print(one.id, one.hash, flush=True)
if sys.argv[4:]:
    with store.writing() as turn:
        turn.add([event("never committed", reading("x", 1.0))])
        print("waiting", flush=True)
        input()
"""


def writer(path: Path, name: str, count: int, *more: str) -> subprocess.Popen[str]:
    return subprocess.Popen([sys.executable, "-c", WRITER, str(path), name, str(count), *more], stdin=subprocess.PIPE,
                            stdout=subprocess.PIPE, text=True, cwd=CHECKOUT,
                            env={**os.environ, "PYTHONPATH": f"{CHECKOUT / 'src'}{os.pathsep}{CHECKOUT}"})


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return open_store(tmp_path / "fieldbook.sqlite", "own")


@pytest.mark.skipif(sys.platform == "win32", reason="Windows keeps who may read a file elsewhere")
def test_a_new_file_and_its_journal_are_for_nobody_else(tmp_path: Path) -> None:
    store = open_store(tmp_path / "book.sqlite", "own")
    with store.writing() as turn:
        turn.add(whole_property())
    assert {stat.S_IMODE(each.stat().st_mode) for each in tmp_path.iterdir()} == {0o600}
    assert len(list(tmp_path.iterdir())) > 1
    store.close()


@pytest.mark.skipif(sys.platform == "win32", reason="Windows keeps who may read a file elsewhere")
def test_an_older_file_that_others_may_read_is_taken_from_them(tmp_path: Path) -> None:
    first = open_store(tmp_path / "book.sqlite", "own")
    for each in tmp_path.iterdir():
        each.chmod(0o644)
    second = open_store(tmp_path / "book.sqlite", "own")
    assert {stat.S_IMODE(each.stat().st_mode) for each in tmp_path.iterdir()} == {0o600}
    first.close()
    second.close()


def test_events_come_back_as_they_went_in_and_in_their_order(store: Store) -> None:
    with store.writing() as turn:
        assert turn.add(whole_property()) == len(whole_property())
    with store.reading() as look:
        assert look.events("p") == whole_property()
        assert look.events("another") == []
        assert look.properties() == {"p": whole_property()[:1]}


def test_adding_twice_adds_nothing_and_the_first_envelope_stays(store: Store) -> None:
    one = event("1", reading("s", 1.0))
    with store.writing() as turn:
        assert turn.add([one, one]) == 1
        assert turn.add([replace(one, made_at="2020-01-01T00:00:00.000Z")]) == 0
    with store.reading() as look:
        assert look.events() == [one]


def test_the_same_id_with_another_content_is_refused_and_nothing_of_that_turn_is_kept(store: Store) -> None:
    with store.writing() as turn:
        turn.add([event("1", reading("s", 1.0))])
    with pytest.raises(StoreError, match="same id came with another content"), store.writing() as turn:
        turn.add([event("2", reading("t", 1.0)), event("1", reading("s", 2.0))])
    with pytest.raises(StoreError, match="same id came with another content"), store.writing() as turn:
        turn.add([event("3", reading("t", 1.0)), event("3", reading("t", 2.0))])
    with store.reading() as look:
        assert [each.id for each in look.events()] == ["1"]


@pytest.mark.parametrize("change", ["UPDATE events SET body = '{}'", "DELETE FROM events"])
def test_an_event_can_be_neither_changed_nor_deleted(store: Store, tmp_path: Path, change: str) -> None:
    with store.writing() as turn:
        turn.add(whole_property())
    engine, _ = sqlite_engine(tmp_path / "fieldbook.sqlite")
    with pytest.raises(DatabaseError, match="only ever added"), engine.begin() as connection:
        connection.execute(text(change))


def test_practices_do_not_see_each_other(store: Store, tmp_path: Path) -> None:
    with store.writing() as turn:
        turn.add(whole_property())
    other = open_store(tmp_path / "fieldbook.sqlite", "other")
    with other.writing() as turn:
        assert turn.events() == []
        assert turn.hashes(["01"]) == {}
        turn.add([replace(each, practice_id="other") for each in whole_property()[:1]])
    with other.reading() as look:
        assert [each.id for each in look.events()] == ["01"]


def test_a_killed_process_loses_nothing_it_acknowledged(tmp_path: Path) -> None:
    path = tmp_path / "fieldbook.sqlite"
    process = writer(path, "a", 12, "then wait")
    assert process.stdout is not None
    acknowledged = dict(line.rsplit(" ", 1) for line in iter(lambda: process.stdout.readline().strip(), "waiting"))
    process.send_signal(signal.SIGKILL)
    process.wait()
    with open_store(path, "own").reading() as look:
        assert look.hashes(acknowledged) == acknowledged
        assert len(acknowledged) == 12
        assert len(look.events()) == 12  # what was never committed is not half there


def test_killed_in_the_middle_of_writing(tmp_path: Path) -> None:
    path = tmp_path / "fieldbook.sqlite"
    process = writer(path, "a", 100_000)
    assert process.stdout is not None
    acknowledged = dict(process.stdout.readline().strip().rsplit(" ", 1) for _ in range(25))
    process.send_signal(signal.SIGKILL)
    acknowledged |= dict(line.strip().rsplit(" ", 1) for line in process.stdout.readlines() if line.endswith("\n"))
    process.wait()
    with open_store(path, "own").reading() as look:
        assert look.hashes(acknowledged) == acknowledged
        assert len(look.events()) - len(acknowledged) in (0, 1)  # at most the one whose line was not out yet


def test_two_processes_write_at_once(tmp_path: Path) -> None:
    path = tmp_path / "fieldbook.sqlite"
    processes = [writer(path, name, 20) for name in ("a", "b")]
    outs = [process.communicate(timeout=120)[0] for process in processes]
    assert [process.returncode for process in processes] == [0, 0]
    with open_store(path, "own").reading() as look:
        assert len(look.events()) == 40
        assert look.hashes(f"{name} {n}" for name in "ab" for n in range(20)) == dict(
            line.rsplit(" ", 1) for out in outs for line in out.splitlines())


HOLDER = """
import sqlite3, sys, time
file = sqlite3.connect(sys.argv[1], isolation_level=None)
file.execute("CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL)")
file.execute("BEGIN IMMEDIATE")
print("holding", flush=True)
time.sleep(0.5)
file.execute("COMMIT")
"""


def test_a_new_file_waits_for_its_journal_while_another_process_makes_it(tmp_path: Path) -> None:
    """SQLite itself refuses to change the journal at once, whatever the busy timeout."""
    path = tmp_path / "fieldbook.sqlite"
    with subprocess.Popen([sys.executable, "-c", HOLDER, str(path)], stdout=subprocess.PIPE, text=True) as holder:
        assert holder.stdout is not None
        assert holder.stdout.readline() == "holding\n"
        with open_store(path, "own").reading() as look:
            assert look.events() == []
    assert holder.returncode == 0


def test_a_reader_keeps_its_view_while_somebody_writes(store: Store) -> None:
    with store.reading() as look:
        assert look.events() == []
        with store.writing() as turn:
            turn.add(whole_property())
        assert look.events() == []
    with store.reading() as look:
        assert len(look.events()) == len(whole_property())


def test_an_erased_contact_is_nowhere_in_the_files_and_the_readings_stay(store: Store, tmp_path: Path) -> None:
    person = Contact("c", "p", "owner", "Name To Be Forgotten", "555 0100", "nobody@example.org")
    with store.writing() as turn:
        turn.add(whole_property())
        assert turn.keep_contacts([person]) == 1
        assert turn.keep_contacts([person]) == 0
        assert turn.keep_contacts([replace(person, phone="555 0101")]) == 1
    with store.reading() as look:
        assert look.contacts("p") == [replace(person, phone="555 0101")]
    assert any(b"To Be Forgotten" in file.read_bytes() for file in tmp_path.iterdir())
    store.erase_contact("c")
    assert not any(b"To Be Forgotten" in file.read_bytes() for file in tmp_path.iterdir())
    with store.reading() as look:
        assert look.contacts("p") == []
        assert look.events("p") == whole_property()


def test_a_day_of_weather_is_kept_once_and_the_newer_figure_stands(store: Store) -> None:
    day = WeatherDay(date(2015, 5, 1), 4.5, 15.0, 0.0, None, 2.0, None, "a.csv")
    with store.writing() as turn:
        assert turn.keep_weather("Seattle", [day]) == (1, 0)
        assert turn.keep_weather("Seattle", [day]) == (0, 0)
        assert turn.keep_weather("Seattle", [replace(day, source="b.csv")]) == (0, 0)
        assert turn.keep_weather("Seattle", [replace(day, rain_mm=2.5, source="c.csv")]) == (0, 1)
        assert turn.weather("Seattle") == [replace(day, rain_mm=2.5, source="c.csv")]
        assert turn.weather("Tacoma") == []


@pytest.mark.filterwarnings("ignore:Skipped unsupported reflection of expression-based index")
def test_the_migrations_make_what_the_schema_says(store: Store, tmp_path: Path) -> None:
    from alembic.autogenerate import compare_metadata
    from alembic.config import Config
    from alembic.migration import MigrationContext
    from alembic.script import ScriptDirectory

    with create_engine(f"sqlite:///{tmp_path / 'fieldbook.sqlite'}").connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True, "compare_server_default": True})
        assert compare_metadata(context, [metadata, door, keeping]) == []
        assert context.get_current_revision() == HEAD
    config = Config()
    config.set_main_option("script_location", str(CHECKOUT / "src/rootcase/fieldbook/store/migrations"))
    assert ScriptDirectory.from_config(config).get_current_head() == HEAD


def test_a_fieldbook_of_a_newer_program_is_refused(store: Store, tmp_path: Path) -> None:
    engine, _ = sqlite_engine(tmp_path / "fieldbook.sqlite")
    with engine.begin() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(StoreError, match="written by a newer program"):
        open_store(tmp_path / "fieldbook.sqlite", "own")


def test_what_is_no_fieldbook_is_refused_in_one_line(tmp_path: Path) -> None:
    (tmp_path / "letter.sqlite").write_text("Dear reader, " * 100)
    with pytest.raises(StoreError, match=r"the fieldbook cannot be used \(got file is not a database\)"):
        open_store(tmp_path / "letter.sqlite", "own")


def test_the_file_is_opened_the_safe_way(store: Store, tmp_path: Path) -> None:
    engine, notes = sqlite_engine(tmp_path / "fieldbook.sqlite")
    with engine.connect() as connection:
        asked = {name: connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in
                 ("journal_mode", "synchronous", "foreign_keys", "secure_delete")}
    safe = {"journal_mode": "wal", "synchronous": 2} if not notes else {"journal_mode": "delete", "synchronous": 3}
    assert asked == {**safe, "foreign_keys": 1, "secure_delete": 1}


def test_an_old_sqlite_gets_the_rollback_journal_and_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("rootcase.fieldbook.store.engine.has_wal_defect", lambda version: True)
    old = open_store(tmp_path / "fieldbook.sqlite", "own")
    assert "rollback journal" in old.notes[0]
    with old.writing() as turn:
        turn.add(whole_property())
    engine, _ = sqlite_engine(tmp_path / "fieldbook.sqlite")
    with engine.connect() as connection:
        assert connection.exec_driver_sql("PRAGMA journal_mode").scalar() == "delete"
        assert connection.exec_driver_sql("PRAGMA synchronous").scalar() == 3


@pytest.mark.published
@pytest.mark.parametrize(("version", "defect"), [
    # SQLite, "Write-Ahead Logging", section on the WAL-reset bug: 3.7.0 to 3.51.2; mended in 3.51.3, 3.50.7, 3.44.6.
    ((3, 40, 1), True), ((3, 44, 5), True), ((3, 44, 6), False), ((3, 45, 0), True), ((3, 50, 6), True),
    ((3, 50, 7), False), ((3, 51, 0), True), ((3, 51, 2), True), ((3, 51, 3), False), ((3, 53, 4), False)])
def test_which_versions_have_the_defect(version: tuple[int, int, int], defect: bool) -> None:
    assert has_wal_defect(version) is defect


@pytest.mark.parametrize("folder", ["Dropbox/work", "OneDrive - Trees Ltd", "Google Drive/My Drive", "Nextcloud"])
def test_a_synced_folder_is_refused(tmp_path: Path, folder: str) -> None:
    with pytest.raises(StoreError, match="copied by another program while we write"):
        open_store(tmp_path / folder / "fieldbook.sqlite", "own")
    assert not (tmp_path / folder).exists()


def test_a_folder_that_a_sync_program_has_marked_is_refused(tmp_path: Path) -> None:
    (tmp_path / ".stfolder").mkdir()
    with pytest.raises(StoreError, match="copied by another program"):
        open_store(tmp_path / "fieldbook.sqlite", "own")


def test_a_network_folder_is_refused(tmp_path: Path) -> None:
    mounts = f"/dev/sda1 / ext4 rw 0 0\nserver:/share {tmp_path.as_posix()} nfs4 rw 0 0\n"
    with pytest.raises(StoreError, match="folder is on a network"):
        refuse_shared_folder(tmp_path / "deep" / "fieldbook.sqlite", mounts)
    refuse_shared_folder(tmp_path.parent / "fieldbook.sqlite", mounts)
    spaced = r"server:/share /mnt/our\040files cifs rw 0 0"
    with pytest.raises(StoreError, match="folder is on a network"):
        refuse_shared_folder(Path("/mnt/our files/fieldbook.sqlite"), spaced)


def test_a_writer_that_waits_too_long_is_told_to_try_again(store: Store, tmp_path: Path,
                                                           monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("rootcase.fieldbook.store.engine._BUSY_MS", 50)
    impatient = open_store(tmp_path / "fieldbook.sqlite", "own")
    with store.writing() as turn:
        turn.add(whole_property())
        with pytest.raises(StoreError, match="try again"), impatient.writing():
            pass
