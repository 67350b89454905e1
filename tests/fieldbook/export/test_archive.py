"""The archive: all of it, to the last sign, and back to the same state or not at all."""

from __future__ import annotations

import csv
import io
import json
import shutil
import struct
import zlib
from collections.abc import Callable
from contextlib import suppress
from copy import copy
from dataclasses import fields
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory
from zipfile import ZIP_DEFLATED, ZipFile

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from sqlalchemy import Double

from rootcase.fieldbook.events import KINDS, Event, ReadingTaken
from rootcase.fieldbook.export.archive import write_archive
from rootcase.fieldbook.export.tables import header
from rootcase.fieldbook.intake.archive import open_archive
from rootcase.fieldbook.intake.archive import restore as bring_back
from rootcase.fieldbook.own_zip import MANIFEST
from rootcase.fieldbook.photos import Photos
from rootcase.fieldbook.state import held, state_hash
from rootcase.fieldbook.store import Store, open_store
from rootcase.fieldbook.store.schema import practices
from rootcase.fieldbook.store.store import Contact
from rootcase.ground.errors import FileError, RootcaseError, StoreError
from tests.fieldbook.export.books import HOSTILE, OTHER_TABLES, event_lists, rows_of
from tests.fieldbook.sheets import event, reading, whole_property

PICTURES = (b"\xff\xd8\xff\xe0 a small picture", b"", b"\x89PNG\r\n\x1a\n another")
MARKS = [sha256(picture).hexdigest() for picture in PICTURES]
MISSING = sha256(b"never there").hexdigest()
BOOKS = 1000 if settings().max_examples > 25 else 12
"""The bar is a thousand with --long."""


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty fieldbook, to be copied: making one takes a hundred times as long."""
    path = tmp_path_factory.mktemp("empty") / "empty.sqlite"
    open_store(path, "own").close()
    return path


def state(store: Store, photos: Photos) -> str:
    with store.reading() as look:
        return state_hash(held(look), lambda mark: photos.sound(mark) is not None)


def taken_out(store: Store, photos: Photos, path: Path, *, public: bool = False) -> Path:
    with store.reading() as look:
        write_archive(look, store.practice_id, photos, path, public=public)
    return path


def cells(archive: Path, name: str) -> list[dict[str, str]]:
    with ZipFile(archive) as found:
        return list(csv.DictReader(io.StringIO(found.read(name).decode("utf-8"), newline="")))


@settings(max_examples=BOOKS)
@given(said=event_lists([*MARKS, MISSING]), others=st.tuples(*map(rows_of, OTHER_TABLES)))
def test_any_fieldbook_comes_back_to_the_same_state_and_the_same_bytes(
        empty: Path, said: list[Event], others: tuple[list[dict[str, object]], ...]) -> None:
    with TemporaryDirectory() as temporary:
        first, second = Path(temporary) / "first.sqlite", Path(temporary) / "second.sqlite"
        for path in (first, second):
            shutil.copy(empty, path)
        store, other = open_store(first, "own"), open_store(second, "own")
        photos, other_photos = Photos(first), Photos(second)
        for picture in PICTURES:
            photos.keep(io.BytesIO(picture))
        with store.writing() as turn:
            turn.add(said)
            if not said:
                turn.put_rows(practices, [{"practice_id": "own"}])
            for table, rows in zip(OTHER_TABLES, others, strict=True):
                if rows:
                    turn.put_rows(table, rows)
        out = taken_out(store, photos, Path(temporary) / "out.zip")
        with open_archive(out) as archive:
            bring_back(archive, other, other_photos)
        assert state(other, other_photos) == state(store, photos)
        with store.reading() as look, other.reading() as look_again:
            assert list(held(look_again)) == list(held(look))
        assert taken_out(other, other_photos, Path(temporary) / "again.zip").read_bytes() == out.read_bytes()
        store.close()
        other.close()


@pytest.fixture
def store(tmp_path: Path) -> Store:
    """A property, hostile texts of readings and of people, a picture that is there and one that is not."""
    found, photos = open_store(tmp_path / "book.sqlite", "own"), Photos(tmp_path / "book.sqlite")
    picture = {"photo": photos.keep(io.BytesIO(PICTURES[0]))}
    hostile = [reading(f"s{n}", 1.0, choice=text, source=text, attributes=picture)
               for n, text in enumerate((*HOSTILE, "x" * 1_000_000))]
    with found.writing() as turn:
        turn.add([*whole_property(), *(event(f"h{n}", body) for n, body in enumerate(hostile)),
                  event("lost", reading("lost", 1.0, attributes={"photo": MISSING}))])
        turn.keep_contacts([Contact(f"c{n}", "p", "owner", text, text, text) for n, text in enumerate(HOSTILE)])
    return found


@pytest.fixture
def photos(tmp_path: Path) -> Photos:
    return Photos(tmp_path / "book.sqlite")


def test_every_text_stands_in_its_table_sign_by_sign(store: Store, photos: Photos, tmp_path: Path) -> None:
    csv.field_size_limit(2**30)
    rows = cells(taken_out(store, photos, tmp_path / "a.zip"), "readings/dbh.csv")
    with store.reading() as look:
        kept = {each.id: each.body for each in look.events() if isinstance(each.body, ReadingTaken)}
    assert {row["id"] for row in rows} == set(kept)
    for row in rows:
        body = kept[row["id"]]
        assert (row["choice"], row["source"], row["typed"]) == (body.choice or "", body.source, body.typed)
    people = cells(tmp_path / "a.zip", "records/contacts.csv")
    assert sorted(row["name"] for row in people) == sorted(HOSTILE)


def test_superseded_readings_are_in_it_and_say_so(store: Store, photos: Photos, tmp_path: Path) -> None:
    rows = {row["id"]: row for row in cells(taken_out(store, photos, tmp_path / "a.zip"), "readings/dbh.csv")}
    assert (rows["40"]["status"], rows["41"]["status"], rows["41"]["supersedes"]) == ("superseded", "standing", "40")
    assert (rows["41"]["value [mm]"], rows["41"]["name"], rows["41"]["day"]) == ("310", "oak 1", "2015-11-05")


def test_a_picture_that_is_lost_or_damaged_is_told_and_left_out(store: Store, photos: Photos, tmp_path: Path) -> None:
    with store.reading() as look:
        told = write_archive(look, "own", photos, tmp_path / "a.zip")
    assert (told.photos, len(told.told)) == (1, 1)
    assert MISSING in told.told[0]
    place = photos.find(MARKS[0])
    assert place is not None
    place.write_bytes(b"rot")
    with store.reading() as look:
        assert write_archive(look, "own", photos, tmp_path / "b.zip").photos == 0


def test_what_cannot_be_read_back_is_not_written(store: Store, photos: Photos, tmp_path: Path,
                                                 monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("rootcase.fieldbook.export.archive.row_line", lambda row: b'{"practice_id":"own"}')
    with pytest.raises(FileError, match="this line is not what was taken out"):
        taken_out(store, photos, tmp_path / "a.zip")
    assert list(tmp_path.glob("a.zip*")) == []


def test_only_an_empty_fieldbook_takes_an_archive_and_a_refused_one_stays_empty(store: Store, photos: Photos,
                                                                               tmp_path: Path) -> None:
    out = taken_out(store, photos, tmp_path / "a.zip")
    with open_archive(out) as archive, pytest.raises(StoreError, match="not empty"):
        bring_back(archive, store, photos)
    other = open_store(tmp_path / "other.sqlite", "another practice")
    with open_archive(out) as archive, pytest.raises(StoreError, match="another practice"):
        bring_back(archive, other, photos)
    third, pictures = open_store(tmp_path / "third.sqlite", "own"), Photos(tmp_path / "third.sqlite")
    with open_archive(out) as archive:
        archive.files.pop("lines/contacts.jsonl")  # type: ignore[attr-defined]
        with pytest.raises(FileError, match="what came back is not what was taken out"):
            bring_back(archive, third, pictures)
    with third.reading() as look:
        assert look.is_empty()
    assert pictures.find(MARKS[0]) is None


def remade(path: Path, change: Callable[[dict[str, bytes]], object]) -> Path:
    """The archive with its files changed, and its list as it was unless that is changed too."""
    with ZipFile(path) as found:
        files = {name: found.read(name) for name in found.namelist()}
    change(files)
    edited = path.with_name("edited.zip")
    with ZipFile(edited, "w", ZIP_DEFLATED) as made:
        for name, data in files.items():
            made.writestr(name, data)
    return edited


def listed_anew(files: dict[str, bytes]) -> None:
    """The list of an archive put right after a change, as somebody would who wants to deceive."""
    manifest = json.loads(files[MANIFEST])
    manifest["files"] = {name: sha256(data).hexdigest() for name, data in files.items() if name != MANIFEST}
    files[MANIFEST] = json.dumps(manifest).encode()


def edit(name: str, old: bytes, new: bytes, *, anew: bool = False) -> Callable[[dict[str, bytes]], None]:
    def change(files: dict[str, bytes]) -> None:
        assert old in files[name]
        files[name] = files[name].replace(old, new)
        if anew:
            listed_anew(files)
    return change


def weather(table: str, **days: str) -> Callable[[dict[str, bytes]], None]:
    """A row of weather put in, listed anew."""
    def change(files: dict[str, bytes]) -> None:
        more = {"filled": ""} if table == "weather_days" else {}
        row = {"practice_id": "own", "station": "S", "source": "", **more, **days}
        files[f"lines/{table}.jsonl"] = json.dumps(row, sort_keys=True, separators=(",", ":")).encode() + b"\n"
        listed_anew(files)
    return change


CHANGES: dict[str, tuple[Callable[[dict[str, bytes]], object], str]] = {
    "a table": (edit("readings/dbh.csv", b"310", b"311"), "readings/dbh.csv: this file is not what was taken out"),
    "a line": (edit("lines/events.jsonl", b"310", b"311"), "lines/events.jsonl: this file is not what was taken out"),
    "a line, listed": (edit("lines/events.jsonl", b"310", b"311", anew=True), "events.jsonl, 24: this line is not"),
    "a type": (edit("lines/events.jsonl", b'"id":"40"', b'"id":40', anew=True), "this line is not what was taken out"),
    "an empty line": (edit("lines/events.jsonl", b"\n", b"\n\n", anew=True), "lines/events.jsonl, 2: this line is not"),
    "a contact": (edit("lines/contacts.jsonl", b"@SUM(1)", b"@SUM(2)", anew=True), "what came back is not what was"),
    "an id": (edit("lines/contacts.jsonl", b'"c1"', b'"c2"', anew=True), "UNIQUE"),
    "half a sign": (edit("lines/contacts.jsonl", b'"Lind\xc3\xa9"', b'"\\ud800"', anew=True), "this line is not what"),
    "a day": (weather("weather_days", day="2015-02-30"), "weather_days.jsonl, 1: this line is not what was taken out"),
    "a day's form": (weather("weather_days", day="20150228"), "weather_days.jsonl, 1: this line is not"),
    "a typical day": (weather("typical_days", month_day="02-29"), "typical_days.jsonl, 1: this line is not"),
    "a day taken": (weather("weather_days", day="2015-02-28"), "what came back is not what was"),
    "a practice": (edit("lines/practices.jsonl", b"own", b"mine", anew=True), "practices.jsonl, 1: this line is not"),
    "a file less": (lambda files: files.pop("README.txt"), "README.txt: this file is in the archive's list and not in"),
    "a file more": (lambda files: files.update(more=b""), "more: this file is in the archive and not in its list"),
    "no list": (lambda files: files.pop(MANIFEST), "the list of the archive's files is missing or damaged"),
    "a deep list": (lambda files: files.update({MANIFEST: b"[" * 100_000}), "files is missing or damaged"),
    "another list": (lambda files: files.update({MANIFEST: b'{"files": 1}'}), "files is missing or damaged"),
    "a newer form": (edit(MANIFEST, b'"version": 1', b'"version": 2'), "a newer program made this archive"),
    "newer tables": (edit(MANIFEST, b'"schema": "0', b'"schema": "9'), "a newer program made this archive"),
}


@pytest.mark.parametrize("name", CHANGES)
def test_a_changed_archive_is_refused_and_the_file_named(store: Store, photos: Photos, tmp_path: Path,
                                                         name: str) -> None:
    change, said = CHANGES[name]
    edited = remade(taken_out(store, photos, tmp_path / "a.zip"), change)
    new = open_store(tmp_path / "new.sqlite", "own")
    with pytest.raises(RootcaseError, match=said), open_archive(edited) as archive:
        bring_back(archive, new, Photos(tmp_path / "new.sqlite"))
    with new.reading() as look:
        assert look.is_empty()


@settings(max_examples=BOOKS)
@given(data=st.data())
def test_a_byte_changed_or_lost_anywhere_is_named_or_changes_nothing(tmp_path_factory: pytest.TempPathFactory,
                                                                     empty: Path, data: st.DataObject) -> None:
    folder = tmp_path_factory.mktemp("bytes")
    first, second = folder / "first.sqlite", folder / "second.sqlite"
    for path in (first, second):
        shutil.copy(empty, path)
    store, photos = open_store(first, "own"), Photos(first)
    with store.writing() as turn:
        turn.add(whole_property())
    whole = taken_out(store, photos, folder / "a.zip").read_bytes()
    at = data.draw(st.integers(0, len(whole) - 1))
    if data.draw(st.booleans()):
        spoilt = whole[:at]
    else:
        spoilt = whole[:at] + bytes([whole[at] ^ data.draw(st.integers(1, 255))]) + whole[at + 1:]
    (folder / "b.zip").write_bytes(spoilt)
    other = open_store(second, "own")
    try:
        with open_archive(folder / "b.zip") as archive:
            bring_back(archive, other, Photos(second))
    except RootcaseError as error:
        assert "\n" not in str(error)  # noqa: PT017 - most spoilt ones are refused, some bytes say nothing
        with other.reading() as look:
            assert look.is_empty()
    else:
        assert state(other, Photos(second)) == state(store, photos)


NAMES = st.sampled_from(("attributes", "photo", "value", ""))
JSON = st.recursive(st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.sampled_from(HOSTILE)),
                    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(NAMES, inner)))
FIELDS = st.sampled_from(("slot", "kind", "attributes", "value", "visit", "of", "typed", "doubts"))
ROW: dict[str, object] = {"practice_id": "own", "id": "1", "property_id": "p", "kind": "reading_taken",
                          "made_at": "", "device": "", "received": 1}


@given(field=st.sampled_from((*ROW, "hash", "body", "more")), value=JSON, said=st.dictionaries(FIELDS, JSON),
       raw=st.one_of(st.none(), st.binary(max_size=40)))
@example(field="received", value=1, said={"attributes": [{"photo": "not where it belongs"}]}, raw=None)
def test_whatever_a_line_says_it_is_taken_or_named(tmp_path_factory: pytest.TempPathFactory, field: str, value: object,
                                                   raw: bytes | None, said: dict[str, object]) -> None:
    whole = {"slot": "s", "kind": "dbh", "of": "t", "visit": "v", "typed": "1", **said}
    body = json.dumps(whole, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    digest = sha256(json.dumps({"body": whole, "id": "1", "kind": "reading_taken", "practice": "own", "property": "p"},
                               sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()).hexdigest()
    row = {**ROW, "body": body, "hash": digest} | ({field: value} if field != "more" or raw else {})
    line = json.dumps(row, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode() + b"\n"
    files = {"lines/events.jsonl": line if raw is None else raw}
    manifest = {"format": "rootcase archive", "version": 1, "practice": "own", "state": "", "schema": "0001",
                "public": False, "files": {name: sha256(data).hexdigest() for name, data in files.items()}}
    path = tmp_path_factory.mktemp("line") / "a.zip"
    with ZipFile(path, "w") as made:
        for name, data in (*files.items(), (MANIFEST, json.dumps(manifest).encode())):
            made.writestr(name, data)
    with suppress(FileError), open_archive(path) as archive:
        state_hash(archive.rows(), archive.marks.__contains__)


def test_bombs_are_refused_by_their_list_alone(store: Store, photos: Photos, tmp_path: Path) -> None:
    out = taken_out(store, photos, tmp_path / "a.zip")
    bomb = remade(out, lambda files: files.update(zeros=bytes(200_000_000)))
    with pytest.raises(FileError, match="this would grow to more than 100 times"), open_archive(bomb):
        pass
    lying = bytearray(bomb.read_bytes())
    end = lying.rfind(b"PK\x05\x06")
    lying[end + 12:end + 16] = struct.pack("<I", 2**31)
    bomb.write_bytes(bytes(lying))
    with pytest.raises(FileError, match="this would grow"), open_archive(bomb):
        pass


def test_files_that_lie_in_one_another_are_refused(tmp_path: Path) -> None:
    with ZipFile(tmp_path / "a.zip", "w") as made:
        made.writestr("0", bytes(1000))
        for name in range(1, 100):
            twin = copy(made.filelist[0])
            twin.filename = str(name)
            made.filelist.append(twin)
    with pytest.raises(FileError, match="this would grow"), open_archive(tmp_path / "a.zip"):
        pass


def test_a_size_that_lies_is_found_out(tmp_path: Path, store: Store, photos: Photos) -> None:
    whole = taken_out(store, photos, tmp_path / "a.zip")
    out = remade(whole, lambda files: files.update({"README.txt": bytes(10_000_000)}))
    real, told = struct.pack("<I", 10_000_000), struct.pack("<I", 1000)
    out.write_bytes(out.read_bytes().replace(real, told))
    with pytest.raises(FileError, match=r"README\.txt: this file is not what was taken out"), open_archive(out):
        pass


@pytest.mark.parametrize("data", [b"", b"PK", b"not a zip at all", zlib.compress(b"x" * 1000)])
def test_what_is_no_archive_is_told(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "a.zip").write_bytes(data)
    with pytest.raises(FileError, match="not a whole archive"), open_archive(tmp_path / "a.zip"):
        pass
    with pytest.raises(FileError, match="no archive of this name"), open_archive(tmp_path):
        pass


def test_every_number_of_a_record_stands_under_its_unit() -> None:
    columns = {column.name for table in OTHER_TABLES for column in table.columns if isinstance(column.type, Double)}
    numbers = {each.name for kind in KINDS.values() for each in fields(kind)
               if "float" in str(each.type) and not issubclass(kind, ReadingTaken)}
    without = {name for name in columns | numbers if "[" not in header(name)}
    assert without == {"amount", "value"}  # of money and of a rule: the unit is a column of its own


def test_a_public_copy_tells_neither_who_nor_where(tmp_path: Path) -> None:
    secret = ("Alder Bank", "47.45", "-122.31", "Seattle", "A. Person", "555 0100", "Los_Angeles", "the owner said")
    store = open_store(tmp_path / "book.sqlite", "own")
    photos = Photos(tmp_path / "book.sqlite")
    mark = photos.keep(io.BytesIO(PICTURES[0]))
    with store.writing() as turn:
        turn.add([*whole_property(), event("50", ReadingTaken(
            slot="n", kind="client_words", of="v1", visit="v1", typed="the owner said", choice="the owner said")),
            event("51", ReadingTaken(slot="o", kind="a column of ones own", of="t1", visit="v1", typed="A. Person",
                                     choice="A. Person")),
            event("52", ReadingTaken(slot="l", kind="latitude", of="t1", visit="v1", typed="47.45", value=47.45)),
            event("53", reading("w", 5.0, source="Alder Bank.xlsx", attributes={"photo": mark, "who": "A. Person"}))])
        turn.keep_contacts([Contact("c", "p", "owner", "A. Person", "555 0100")])
    out = taken_out(store, photos, tmp_path / "public.zip", public=True)
    with ZipFile(out) as found:
        own = {name: found.read(name).decode() for name in found.namelist() if not name.startswith("tables/")}
    assert {word for word in secret for text in own.values() if word in text} == set()
    assert not [name for name in own if name.startswith(("lines/", "photos/", "records/place_outlined"))]
    assert "east" not in own["records/tree_opened.csv"]
    assert {row["name"] for row in cells(out, "readings/dbh.csv")} == {"oak 1"}
    with open_archive(out) as archive, pytest.raises(FileError, match="this is a public copy"):
        bring_back(archive, open_store(tmp_path / "new.sqlite", "own"), photos)
