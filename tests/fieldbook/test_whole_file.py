"""Files are written whole or not at all, and where they were asked for."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pytest

from rootcase.fieldbook.whole_file import whole_file, write_whole


def _by_pieces(path: Path, data: bytes) -> None:
    with whole_file(path) as file:
        file.write(data)


def _at_once(path: Path, data: bytes) -> None:
    write_whole({path: data})


@pytest.mark.parametrize("write", [_by_pieces, _at_once])
def test_neither_a_link_nor_what_a_broken_run_left_is_written_through(tmp_path: Path,
                                                                     write: Callable[[Path, bytes], None]) -> None:
    (tmp_path / "other").write_bytes(b"theirs")
    (tmp_path / "a.zip.part").symlink_to(tmp_path / "other")
    write(tmp_path / "a.zip", b"ours")
    (tmp_path / "a.zip.part").write_bytes(b"half")
    write(tmp_path / "a.zip", b"ours again")
    assert (tmp_path / "other").read_bytes() == b"theirs"
    assert (tmp_path / "a.zip").read_bytes() == b"ours again"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.zip", "other"]


def test_what_stood_there_stays_when_the_writing_breaks_off(tmp_path: Path) -> None:
    _at_once(tmp_path / "a.zip", b"old")
    with suppress(KeyError), whole_file(tmp_path / "a.zip") as file:
        file.write(b"new")
        raise KeyError
    assert [(path.name, path.read_bytes()) for path in tmp_path.iterdir()] == [("a.zip", b"old")]
