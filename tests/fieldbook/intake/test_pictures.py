"""Pictures beside a sheet: taken as they are, and nothing else on the disk with them."""

from __future__ import annotations

import struct
import zlib
from hashlib import sha256
from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.archive import open_archive
from rootcase.ground.errors import FileError
from rootcase.records.observe import Reading
from tests.fieldbook.sheets import SHEET, open_book, write_sheet


def png(width: int, height: int) -> bytes:
    """A PNG that says it is this large."""
    def part(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + part(b"IHDR", head) + part(b"IDAT", zlib.compress(b"\x00" * 10)) + part(b"IEND", b"")


PICTURE = png(2, 2)
HEIC = b"\x00\x00\x00\x18ftypheic" + bytes(40)


@pytest.fixture
def book(tmp_path: Path) -> Fieldbook:
    return open_book(tmp_path / "book.sqlite")


def sheet(folder: Path, *names: str) -> Path:
    """The small sheet, with a picture named for oak 1 and for oak 4."""
    pages = {name: [list(line) for line in lines] for name, lines in SHEET.items()}
    for line, name in zip(pages["trees"], ("tree_photo", "", *names), strict=True):
        line += [name, {"tree_photo": "mark", "": ""}.get(name, "stake at the gate")]
    return write_sheet(folder, pages)


def photos_of(book: Fieldbook, property_id: str) -> list[Reading]:
    return [reading for reading in book.record(property_id).readings if reading.kind == "tree_photo"]


def test_a_picture_beside_the_sheet_is_kept_as_it_is(book: Fieldbook, tmp_path: Path) -> None:
    folder = sheet(tmp_path / "in", "oak1.png", "oak4.heic")
    (folder / "oak1.png").write_bytes(PICTURE)
    (folder / "oak4.heic").write_bytes(HEIC)
    result = book.import_sheet(folder)
    found = {reading.choice: reading for reading in photos_of(book, result.property_id)}
    for name, data in (("oak1.png", PICTURE), ("oak4.heic", HEIC)):
        mark = sha256(data).hexdigest()
        assert (found[name].typed, found[name].attributes["photo"], found[name].doubts) == (name, mark, ())
        place, = (tmp_path / "book.sqlite.photos").rglob(f"{mark}.*")
        assert (place.read_bytes(), place.suffix) == (data, Path(name).suffix)
    assert book.import_sheet(folder).new == 0


def test_a_picture_that_came_later_or_changed_corrects_its_reading(book: Fieldbook, tmp_path: Path) -> None:
    folder = sheet(tmp_path / "in", "oak1.png", "")
    result = book.import_sheet(folder)
    reading, = photos_of(book, result.property_id)
    assert reading.attributes == {"mark": "stake at the gate"}
    assert reading.doubts == ("There is no picture oak1.png beside the sheet.",)
    for data in (PICTURE, png(3, 3)):
        (folder / "oak1.png").write_bytes(data)
        assert book.import_sheet(folder).corrected == 1
        reading, = photos_of(book, result.property_id)
        assert (reading.attributes["photo"], reading.doubts) == (sha256(data).hexdigest(), ())


@pytest.mark.parametrize(("name", "said"), [
    ("../secret.png", "names a way to a file"), ("/etc/hostname", "names a way to a file"),
    ("a\\b.png", "names a way to a file"), ("C:x.png", "names a way to a file"), ("..", "names a way to a file"),
    ("link.png", "is a folder or a link"), ("folder.png", "is a folder or a link"),
    ("gone.png", "no picture gone.png beside the sheet"), ("text.png", "not a photo"), ("bomb.png", "pixels"),
    ("see phone", "no picture see phone beside the sheet"),
])
def test_nothing_but_a_picture_beside_the_sheet_is_taken_and_the_name_stays(book: Fieldbook, tmp_path: Path, name: str,
                                                                           said: str) -> None:
    folder = sheet(tmp_path / "in", name, "")
    (tmp_path / "secret.png").write_bytes(PICTURE)
    (folder / "link.png").symlink_to(tmp_path / "secret.png")
    (folder / "folder.png").mkdir()
    (folder / "text.png").write_text("not a picture")
    (folder / "bomb.png").write_bytes(png(100_000, 100_000))
    result = book.import_sheet(folder)
    reading, = photos_of(book, result.property_id)
    assert (reading.choice, reading.attributes) == (name, {"mark": "stake at the gate"})
    assert said in reading.doubts[0]
    assert any(said in line for line in result.told)
    assert not (tmp_path / "book.sqlite.photos").exists()


def test_a_picture_comes_back_with_the_archive(book: Fieldbook, tmp_path: Path) -> None:
    folder = sheet(tmp_path / "in", "oak1.png", "")
    (folder / "oak1.png").write_bytes(PICTURE)
    book.import_sheet(folder)
    assert book.export(tmp_path / "out.zip").photos == 1
    with open_archive(tmp_path / "out.zip") as archive, open_book(tmp_path / "new.sqlite") as new:
        new.restore(archive)
        assert new.state_hash() == book.state_hash()
    place, = (tmp_path / "new.sqlite.photos").rglob("*.png")
    assert place.read_bytes() == PICTURE


def test_what_cannot_be_kept_keeps_no_reading(book: Fieldbook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = sheet(tmp_path / "in", "oak1.png", "")
    (folder / "oak1.png").write_bytes(PICTURE)
    monkeypatch.setattr("rootcase.fieldbook.intake.pictures.mark_of", lambda path: "0" * 64)
    with pytest.raises(FileError, match="the picture changed while it was taken in"):
        book.import_sheet(folder)
    assert book.properties() == ()
    assert [path for path in (tmp_path / "book.sqlite.photos").rglob("*") if path.is_file()] == []
