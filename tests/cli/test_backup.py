"""Backup and restore as a person types them: one command each, from nothing on a clean folder."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from tests.cli.starting import rootcase
from tests.fieldbook.sheets import SHEET, open_book, write_sheet


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    with open_book(tmp_path / "book.sqlite") as book:
        book.import_sheet(write_sheet(tmp_path / "in", SHEET))
    (tmp_path / "kept").mkdir()
    return tmp_path


def state(path: Path) -> str:
    with open_book(path) as book:
        return book.state_hash()


def test_one_command_out_and_one_back(folder: Path) -> None:
    out = rootcase("backup", "kept", "--fieldbook", "book.sqlite", cwd=folder)
    assert (out.returncode, out.stderr) == (0, "")
    assert out.stdout.startswith("Backed up: 22 events, 0 pictures, 0.3 MB: ")
    assert "hashes of passwords are in it" in out.stdout.replace("\n", " ")
    (made,) = (folder / "kept").iterdir()
    assert str(made.relative_to(folder)) in out.stdout
    (folder / "clean").mkdir()
    back = rootcase("restore", made, "--fieldbook", "new.sqlite", cwd=folder / "clean")
    assert (back.returncode, back.stderr) == (0, "")
    assert back.stdout.startswith("22 events, 0 pictures are in: new.sqlite\n")
    assert "Sessions ended: 0" in back.stdout
    assert state(folder / "clean" / "new.sqlite") == state(folder / "book.sqlite")
    assert os.listdir(folder / "clean") == ["new.sqlite"]
    assert max(len(line) for line in (out.stdout + back.stdout).splitlines() if str(made) not in line) <= 80


def test_the_results_as_json(folder: Path) -> None:
    out = json.loads(rootcase("backup", "kept", "--fieldbook", "book.sqlite", "--json", cwd=folder).stdout)
    assert (out["practices"], out["events"], out["told"]) == (1, 22, [])
    back = json.loads(rootcase("restore", out["file"], "--fieldbook", "new.sqlite", "--json", cwd=folder).stdout)
    assert (back["events"], back["sessions_ended"], back["missing"]) == (22, 0, [])


def test_what_cannot_be_done_is_one_line_and_changes_nothing(folder: Path) -> None:
    assert rootcase("backup", "kept", "--fieldbook", "book.sqlite", cwd=folder).returncode == 0
    (made,) = (folder / "kept").iterdir()
    (folder / "cut.zip").write_bytes(made.read_bytes()[:-100])
    for arguments, code, said in (
            (["backup", "kept", "--fieldbook", "none.sqlite"], 3, "there is no fieldbook here yet"),
            (["restore", made, "--fieldbook", "book.sqlite"], 3, "a backup comes back to an empty place only"),
            (["restore", "cut.zip", "--fieldbook", "new.sqlite"], 3, "cut.zip: this is not a whole archive")):
        done = rootcase(*arguments, cwd=folder)
        assert (done.returncode, len(done.stderr.splitlines())) == (code, 1)
        assert said in done.stderr
    assert not (folder / "new.sqlite").exists()
    assert list((folder / "kept").iterdir()) == [made]
