"""Everything out and back, as a person types it."""

from __future__ import annotations

import json
from pathlib import Path
from zipfile import ZipFile

import pytest

from tests.cli.starting import rootcase
from tests.fieldbook.sheets import SHEET, open_book, write_sheet


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    with open_book(tmp_path / "book.sqlite") as book:
        book.import_sheet(write_sheet(tmp_path / "in", SHEET))
    return tmp_path


def test_everything_goes_out_and_comes_back_once(folder: Path) -> None:
    out = rootcase("export", "all.zip", "--fieldbook", "book.sqlite", cwd=folder)
    assert (out.returncode, out.stderr) == (0, "")
    counts, checked, state = out.stdout.splitlines()  # no line is wider than a screen
    assert counts.endswith("files: all.zip")
    assert checked == "Checked: read back, all equal. State"
    back = rootcase("restore", "all.zip", "--fieldbook", "new.sqlite", cwd=folder)
    assert back.returncode == 0
    assert back.stdout.split()[-1] == state
    again = rootcase("restore", "all.zip", "--fieldbook", "new.sqlite", cwd=folder)
    assert (again.returncode, again.stdout) == (3, "")
    assert "the fieldbook is not empty" in again.stderr
    assert rootcase("export", "again.zip", "--fieldbook", "new.sqlite", cwd=folder).returncode == 0
    assert (folder / "again.zip").read_bytes() == (folder / "all.zip").read_bytes()


@pytest.mark.parametrize(("name", "start"), [("a.xlsx", b"PK\x03\x04"), ("a.gpkg", b"SQLite format 3"),
                                             ("a.GeoJSON", b'{\n "type": "FeatureCollection"')])
def test_the_ending_says_what_is_written(folder: Path, name: str, start: bytes) -> None:
    assert rootcase("export", name, "--fieldbook", "book.sqlite", cwd=folder).returncode == 0
    assert (folder / name).read_bytes().startswith(start)


def test_a_public_copy_says_what_it_leaves_out(folder: Path) -> None:
    out = rootcase("export", "public.zip", "--public", "--fieldbook", "book.sqlite", cwd=folder)
    assert "A public copy: without contacts" in out.stdout
    back = rootcase("restore", "public.zip", "--fieldbook", "new.sqlite", cwd=folder)
    assert (back.returncode, len(back.stderr.splitlines())) == (3, 1)
    assert "this is a public copy" in back.stderr


def test_the_result_as_json(folder: Path) -> None:
    out = json.loads(rootcase("export", "a.zip", "--json", "--fieldbook", "book.sqlite", cwd=folder).stdout)
    assert (out["public"], out["photos"], out["told"]) == (False, 0, [])


@pytest.mark.parametrize(("arguments", "code", "said"), [
    (["export", "a.csv"], 2, "name what is to be written by its ending"),
    (["export", "a.gpkg", "--public"], 2, "--public goes with a .zip"),
    (["export", "there.zip"], 2, "there.zip is there already; --force writes over it"),
    (["export", "book.zip", "--fieldbook", "book.zip", "--force"], 2, "this is the fieldbook itself"),
    (["export", "a.zip", "--fieldbook", "none.sqlite"], 3, "there is no fieldbook here yet"),
    (["restore", "there.zip"], 3, "this is not a whole archive"),
    (["restore", "gone.zip"], 2, "does not exist"),
], ids=lambda given: " ".join(given) if isinstance(given, list) else "")
def test_what_cannot_be_done_is_one_line_and_changes_nothing(folder: Path, arguments: list[str], code: int,
                                                             said: str) -> None:
    (folder / "there.zip").write_bytes(b"somebody's own")
    book = "new.sqlite" if "restore" in arguments else "book.sqlite"
    done = rootcase(*arguments, *([] if "--fieldbook" in arguments else ["--fieldbook", book]), cwd=folder)
    assert (done.returncode, len(done.stderr.splitlines())) == (code, 1)
    assert said in done.stderr
    assert (folder / "there.zip").read_bytes() == b"somebody's own"
    assert not (folder / "new.sqlite").exists()


def test_a_refused_archive_makes_no_fieldbook(folder: Path) -> None:
    assert rootcase("export", "pub.zip", "--public", "--fieldbook", "book.sqlite", cwd=folder).returncode == 0
    with ZipFile(folder / "sheet.xlsx", "w") as zipped:
        zipped.writestr("x.xml", "no archive of ours")
    for name, said in (("pub.zip", "this is a public copy"), ("sheet.xlsx", "sheet.xlsx, manifest.json: ")):
        back = rootcase("restore", name, "--fieldbook", "fresh.sqlite", cwd=folder)
        assert (back.returncode, back.stdout) == (3, "")
        assert said in back.stderr
    assert list(folder.glob("fresh*")) == []


def test_lines_are_no_wider_than_a_screen(folder: Path) -> None:
    told = [rootcase("export", name, "--fieldbook", "book.sqlite", cwd=folder).stdout
            for name in ("map.geojson", "all.zip")]
    told.append(rootcase("observe", "undo", "--fieldbook", "book.sqlite", cwd=folder).stdout)
    assert "Undone: in, " in told[-1]
    assert max(len(line) for text in told for line in text.splitlines()) <= 80
