"""Backups: all of it while others write, whole or not at all, and back to a clean place from nothing else."""

from __future__ import annotations

import io
import json
import os
import random
import sqlite3
import stat
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path
from zipfile import ZipFile

import pytest
from sqlalchemy import insert

from rootcase.fieldbook.backup.keeping import DATABASE, BackedUp
from rootcase.fieldbook.backup.restoring import restore_backup
from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.fieldbook.own_zip import MANIFEST
from rootcase.fieldbook.people.links import make_link
from rootcase.fieldbook.photos import Photos
from rootcase.fieldbook.store import open_store
from rootcase.fieldbook.store.door import invitations, sessions
from rootcase.fieldbook.store.schema import people
from rootcase.fieldbook.store.store import Contact
from rootcase.ground.errors import RootcaseError, StoreError
from rootcase.services.backup import back_up, bring_back, days_since_backup, is_backup
from tests.fieldbook.sheets import NOW, event, open_book, reading, whole_property
from tests.fieldbook.store.test_store import writer

PICTURE = b"\xff\xd8\xff\xe0 a small picture"
MARK = sha256(PICTURE).hexdigest()
PHOTO = f"photos/{MARK[:2]}/{MARK}.jpg"
UNNAMED = b"\x89PNG\r\n\x1a\n no event names this one"
LOST = sha256(b"never there").hexdigest()
_AT = "2016-02-01T00:00:00.000Z"


def fill(path: Path) -> None:
    """Two practices, a contact, pictures, a session, an invitation, a client's link."""
    store, photos = open_store(path, "own"), Photos(path)
    photos.keep(io.BytesIO(UNNAMED))
    named = {"photo": photos.keep(io.BytesIO(PICTURE))}
    with store.writing() as turn:
        turn.add([*whole_property(), event("photo", reading("photo", 1.0, attributes=named)),
                  event("lost", reading("lost", 1.0, attributes={"photo": LOST}))])
        turn.keep_contacts([Contact("c", "p", "owner", "A. Name")])
    of = {"practice_id": "own", "code": "a"}
    with store.whole_file(writes=True) as file:
        file.execute(insert(people).values(**of, name="", role="owner", may_sign=True, system="us"))
        file.execute(insert(sessions).values(**of, token_hash="s", id="s", kind="browser", device="", made_at=_AT,
                                             seen_at=_AT, expires_at=_AT))
        file.execute(insert(invitations).values(**of, token_hash="i", totp_secret="", expires_at=_AT))
    make_link(store, "p", "mark", by="a", now=NOW, random_bytes=os.urandom)
    store.close()
    other = open_store(path, "another practice")
    with other.writing() as turn:
        turn.put_rows(people.metadata.tables["practices"], [{"practice_id": "another practice"}])
    other.close()


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, BackedUp]:
    """A fieldbook, and a backup of it elsewhere."""
    folder = tmp_path_factory.mktemp("backup")
    fill(folder / "book.sqlite")
    with open_book(folder / "book.sqlite") as book:
        return folder / "book.sqlite", back_up(book, folder / "kept")


def held(path: Path, practice_id: str = "own") -> str:
    with open_fieldbook(path, practice_id=practice_id) as book:
        return book.state_hash()


def test_everything_comes_back_to_a_clean_place(made: tuple[Path, BackedUp], tmp_path: Path) -> None:
    path, done = made
    assert (done.practices, done.photos, len(done.told)) == (2, 2, 1)
    assert LOST in done.told[0]
    assert [file.name for file in done.file.parent.iterdir()] == ["rootcase-20160115-120000Z.zip"]
    assert is_backup(done.file)
    back = bring_back(done.file, tmp_path / "new" / "book.sqlite")
    assert (back.made_at, back.practices, back.events, back.photos) == (NOW, 2, done.events, 2)
    assert (back.sessions_ended, back.links_open, back.missing) == (1, 1, (LOST,))
    for practice_id in ("own", "another practice"):
        assert held(tmp_path / "new" / "book.sqlite", practice_id) == held(path, practice_id)
    photos = Photos(tmp_path / "new" / "book.sqlite")
    assert {photos.sound(mark) is not None for mark in (MARK, sha256(UNNAMED).hexdigest())} == {True}
    assert sorted(file.name for file in (tmp_path / "new").iterdir()) == ["book.sqlite", "book.sqlite.photos"]


@pytest.mark.skipif(os.name == "nt", reason="Windows keeps no such mark of a file")
def test_nobody_else_may_read_a_backup_or_what_comes_of_it(made: tuple[Path, BackedUp], tmp_path: Path) -> None:
    bring_back(made[1].file, tmp_path / "book.sqlite")
    assert [stat.S_IMODE(file.stat().st_mode) for file in (made[1].file, tmp_path / "book.sqlite")] == [0o600, 0o600]


def test_sessions_and_invitations_end_and_links_stay(made: tuple[Path, BackedUp], tmp_path: Path) -> None:
    bring_back(made[1].file, tmp_path / "book.sqlite")
    with closing(sqlite3.connect(tmp_path / "book.sqlite")) as look:
        counts = [look.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
                  for table in ("sessions", "invitations", "client_links", "people")]
    assert counts == [0, 0, 1, 1]


def test_the_copy_that_came_back_knows_its_own_backup(made: tuple[Path, BackedUp], tmp_path: Path) -> None:
    bring_back(made[1].file, tmp_path / "book.sqlite")
    with open_book(tmp_path / "book.sqlite") as book:
        assert book.keeping.newest_backup() == NOW


def test_what_was_brought_back_is_another_generation_each_time(made: tuple[Path, BackedUp], tmp_path: Path) -> None:
    found = []
    for path in (made[0], tmp_path / "one" / "book.sqlite", tmp_path / "two" / "book.sqlite"):
        if path != made[0]:
            bring_back(made[1].file, path)
        for _ in range(2):  # opening it again changes nothing
            with open_book(path) as book:
                found.append(book.store.generation)
    assert found[0::2] == found[1::2]
    assert len(set(found)) == 3


@pytest.mark.parametrize("taken", ["book.sqlite", "book.sqlite-wal", "book.sqlite-journal", "book.sqlite.photos/a"])
def test_a_place_that_is_not_empty_is_left_as_it_is(made: tuple[Path, BackedUp], tmp_path: Path, taken: str) -> None:
    (tmp_path / taken).parent.mkdir(exist_ok=True)
    (tmp_path / taken).write_bytes(b"")
    with pytest.raises(StoreError, match="an empty place only"):
        bring_back(made[1].file, tmp_path / "book.sqlite")
    assert [file for file in tmp_path.rglob("*") if file.is_file()] == [tmp_path / taken]


def remade(path: Path, folder: Path, change: Callable[[dict[str, bytes]], object], *, anew: bool) -> Path:
    """The backup with its files changed; anew: its list put right too, as somebody would who wants to deceive."""
    with ZipFile(path) as found:
        files = {name: found.read(name) for name in found.namelist()}
    change(files)
    if anew:
        manifest = json.loads(files[MANIFEST])
        manifest["files"] = {name: sha256(data).hexdigest() for name, data in files.items() if name != MANIFEST}
        files[MANIFEST] = json.dumps(manifest).encode()
    with ZipFile(folder / "changed.zip", "w") as zipped:
        for name, data in files.items():
            zipped.writestr(name, data)
    return folder / "changed.zip"


def in_database(command: str) -> Callable[[dict[str, bytes]], None]:
    def change(files: dict[str, bytes]) -> None:
        with closing(sqlite3.connect(":memory:")) as copy:
            copy.deserialize(files[DATABASE])
            copy.executescript(command)
            files[DATABASE] = copy.serialize()
    return change


def told(**more: object) -> Callable[[dict[str, bytes]], None]:
    def change(files: dict[str, bytes]) -> None:
        files[MANIFEST] = json.dumps(json.loads(files[MANIFEST]) | more).encode()
    return change


DAMAGED = {
    "a picture is missing": (lambda files: files.pop(PHOTO), False, f"{PHOTO}: this file is in the archive's list"),
    "a picture is missing, unlisted": (lambda files: files.pop(PHOTO), True, "names this picture"),
    "a picture is another": (lambda files: files.update({PHOTO: b"\xff\xd8\xff another"}), True, f"{PHOTO}: "),
    "a picture is damaged": (lambda files: files.update({PHOTO: PICTURE[:-1]}), False, "damaged or was edited"),
    "the database is missing": (lambda files: files.pop(DATABASE), True, f"{DATABASE}: this file is in"),
    "the database is another backup's": (in_database("DELETE FROM backups"), True, "its mark is not in it"),
    "the database is cut": (lambda files: files.update({DATABASE: files[DATABASE][:-4096]}), True, "is damaged"),
    "the database is none": (lambda files: files.update({DATABASE: b"no database"}), True, "is damaged"),
    "the database is empty": (lambda files: files.update({DATABASE: b""}), True, "is damaged"),
    "an event was edited": (
        in_database("DROP TRIGGER events_no_update; UPDATE events SET body = replace(body, '310', '311')"), True,
        "not what its hash says"),
    "an event of tomorrow's program": (
        in_database("DROP TRIGGER events_no_update; UPDATE events SET kind = 'unheard' WHERE id = '01'"), True,
        "not what its hash says"),
    "the gate is missing": (
        in_database("DROP TRIGGER load_of_a_fit_batch"), True, r"keeps loads .*got load_of_a_fit_batch"),
    "the gate is another": (
        in_database("DROP TRIGGER load_once; CREATE TRIGGER load_once BEFORE INSERT ON events BEGIN SELECT 1; END"),
        True, "got load_once"),
    "anything may be changed": (in_database("DROP TRIGGER events_no_update"), True, "got events_no_update"),
    "a row points nowhere": (in_database("DELETE FROM practices WHERE practice_id = 'own'"), True, "is damaged"),
    "a newer database": (in_database("UPDATE alembic_version SET version_num = '9999'"), True, "a newer program"),
    "a newer form": (told(version=99), False, "a newer program"),
    "a newer schema": (told(schema="9999"), False, "a newer program"),
    "no day": (told(made_at="tomorrow"), False, "list of the archive's files is missing or damaged"),
    "no marker": (told(marker=None), False, "list of the archive's files is missing or damaged"),
    "a file too many": (lambda files: files.update({"more.txt": b""}), False, "more.txt: this file is in the archive"),
}


@pytest.mark.parametrize("damage", DAMAGED)
def test_a_damaged_backup_is_refused_by_name_and_nothing_is_left(made: tuple[Path, BackedUp], tmp_path: Path,
                                                                 damage: str) -> None:
    change, anew, said = DAMAGED[damage]
    broken = remade(made[1].file, tmp_path, change, anew=anew)
    with pytest.raises(RootcaseError, match=said):
        restore_backup(broken, tmp_path / "book.sqlite")
    assert list(tmp_path.iterdir()) == [broken]


@pytest.mark.property
def test_cut_anywhere_or_with_any_sign_changed_it_is_refused_or_comes_back_equal(
        made: tuple[Path, BackedUp], tmp_path: Path, long: bool) -> None:
    path, done = made
    whole, chance = done.file.read_bytes(), random.Random(7)
    broken, new = tmp_path / "broken.zip", tmp_path / "book.sqlite"
    tries = 400 if long else 60
    for _ in range(tries):
        broken.write_bytes(whole[:chance.randrange(len(whole))])
        with pytest.raises(RootcaseError, match=r"broken\.zip"):
            restore_backup(broken, new)
    came_back = 0
    for at in (*chance.sample(range(len(whole)), tries), *range(len(whole) - 60, len(whole))):
        changed = bytearray(whole)
        changed[at] ^= 1 << chance.randrange(8)
        broken.write_bytes(changed)
        try:
            restore_backup(broken, new)
        except RootcaseError:
            assert not new.exists()
        else:  # a sign that says nothing, such as the time of a file of the zip
            came_back += 1
            assert held(new) == held(path)
            for file in (new, *(new.parent / "book.sqlite.photos").rglob("*.*")):
                file.unlink()
    assert came_back < tries / 4


def test_what_cannot_be_read_back_does_not_count(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "kept").mkdir()
    with open_book(tmp_path / "book.sqlite") as book:
        monkeypatch.setattr("rootcase.fieldbook.backup.keeping.add_file", lambda made, name, place: "no such mark")
        with pytest.raises(RootcaseError, match=f"{DATABASE}: this file is in the archive's list"):
            back_up(book, tmp_path / "kept")
        assert book.keeping.newest_backup() is None
    assert list((tmp_path / "kept").iterdir()) == []


def test_two_backups_of_one_second_do_not_take_each_others_place(made: tuple[Path, BackedUp]) -> None:
    before = made[1].file.read_bytes()
    with open_book(made[0]) as book, pytest.raises(RootcaseError, match="of this second is there already"):
        back_up(book, made[1].file.parent)
    assert made[1].file.read_bytes() == before


def test_while_another_process_writes_the_copy_is_of_one_moment(tmp_path: Path) -> None:
    (tmp_path / "kept").mkdir()
    path, moments = tmp_path / "book.sqlite", iter(range(1, 100))
    open_store(path, "own").close()
    with open_fieldbook(path, now=lambda: NOW + timedelta(seconds=next(moments))) as book:
        other = writer(path, "w", 400)
        assert other.stdout is not None
        acknowledged, backups = 0, list[tuple[int, BackedUp]]()
        while line := other.stdout.readline():
            acknowledged += bool(line)
            if acknowledged % 100 == 50:
                backups.append((acknowledged, back_up(book, tmp_path / "kept")))
        assert other.wait() == 0
    for number, (at_least, done) in enumerate(backups):
        back = bring_back(done.file, tmp_path / f"{number}.sqlite")
        assert back.events == done.events >= at_least
    assert (len(backups), acknowledged) == (4, 400)


def test_how_long_nothing_was_backed_up(tmp_path: Path) -> None:
    book: Fieldbook
    (tmp_path / "kept").mkdir()
    with open_book(tmp_path / "book.sqlite") as book:
        assert days_since_backup(book, NOW) is None
    fill(tmp_path / "book.sqlite")
    with open_book(tmp_path / "book.sqlite") as book:
        assert days_since_backup(book, NOW + timedelta(days=9, hours=23)) == 9  # since the first event came in
        back_up(book, tmp_path / "kept")
        assert days_since_backup(book, datetime(2016, 1, 22, 11, 59, tzinfo=UTC)) == 6
        assert days_since_backup(book, datetime(2016, 1, 22, 12, tzinfo=UTC)) == 7
        assert days_since_backup(book, NOW - timedelta(days=1)) == 0  # a clock put back
