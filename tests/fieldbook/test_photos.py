"""Pictures: kept once, byte for byte, under the mark of their bytes, and never found by a name that leads elsewhere."""

from __future__ import annotations

import io
from hashlib import sha256
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.fieldbook.photos import Photos, ending_of

JPEG = b"\xff\xd8\xff\xe0\x00\x10JFIF"


@pytest.mark.property
@given(st.binary(max_size=3000))
def test_bytes_come_back_as_they_were_given(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    photos = Photos(tmp_path_factory.mktemp("p") / "book.sqlite")
    mark = photos.keep(io.BytesIO(data))
    place = photos.sound(mark)
    assert mark == sha256(data).hexdigest()
    assert place is not None
    assert place.read_bytes() == data


def test_a_picture_is_kept_once_beside_the_fieldbook_under_its_mark(tmp_path: Path) -> None:
    photos = Photos(tmp_path / "book.sqlite")
    mark = photos.keep(io.BytesIO(JPEG))
    assert photos.keep(io.BytesIO(JPEG)) == mark
    assert [path.relative_to(tmp_path).as_posix() for path in sorted(tmp_path.rglob("*")) if path.is_file()] == [
        f"book.sqlite.photos/{mark[:2]}/{mark}.jpg"]
    photos.drop(mark)
    assert photos.find(mark) is None


def test_a_damaged_picture_is_mended_by_the_same_picture(tmp_path: Path) -> None:
    photos = Photos(tmp_path / "book.sqlite")
    mark = photos.keep(io.BytesIO(JPEG))
    place = photos.find(mark)
    assert place is not None
    place.write_bytes(JPEG[:4])
    assert photos.sound(mark) is None
    assert photos.keep(io.BytesIO(JPEG)) == mark
    assert photos.sound(mark) == place


def test_what_cannot_be_read_to_its_end_leaves_nothing(tmp_path: Path) -> None:
    class Torn(io.BytesIO):
        def read(self, size: int | None = -1) -> bytes:
            raise OSError("the card was pulled out")

    photos = Photos(tmp_path / "book.sqlite")
    with pytest.raises(OSError, match="pulled out"):
        photos.keep(Torn(JPEG))
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == []


@pytest.mark.parametrize("mark", ["", "..", "../../book", "A" * 64, "a" * 63, "a" * 65])
def test_only_a_mark_finds_a_picture(tmp_path: Path, mark: str) -> None:
    assert Photos(tmp_path / "book.sqlite").find(mark) is None


@pytest.mark.parametrize(("start", "ending"), [
    (JPEG, "jpg"), (b"\x89PNG\r\n\x1a\n", "png"), (b"RIFF\x10\x00\x00\x00WEBPVP8 ", "webp"),
    (b"\x00\x00\x00\x18ftypheic", "heic"), (b"GIF89a", "gif"), (b"II*\x00", "tif"), (b"BM", "bin"), (b"", "bin")])
def test_a_file_is_called_by_what_it_is(start: bytes, ending: str) -> None:
    assert ending_of(start) == ending
