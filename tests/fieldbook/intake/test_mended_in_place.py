"""Faults mended where they are seen: one value of a group, a mend of a mend, a cell of our sheet, a zipped folder."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest

from rootcase.fieldbook.intake.fence import folder_files
from rootcase.fieldbook.intake.lists.listing import Given, Listing
from rootcase.fieldbook.intake.lists.told import Told
from rootcase.ground.errors import FileError, RootcaseError
from tests.fieldbook.sheets import changed, open_book, write_sheet

ALL = Told(property_name="Kiln Lane", at="47.45,-122.31", system="us", ground="lawn", day="2015-06-14")


def listed(folder: Path, *rows: str, mends: tuple[tuple[str, str], ...] = (), save: bool = False) -> Listing:
    (folder / "list.csv").write_text("\n".join(("Tag,Species,Height (ft)", *rows)), encoding="utf-8")
    with open_book(folder / "f.sqlite") as book:
        return book.import_list(folder / "list.csv", Given(ALL, mends, save=save))


def test_one_value_of_a_group_is_mended_and_the_others_wait(tmp_path: Path) -> None:
    rows = ("1,Quercus rubra,40", "2,Quercus rubra,0", "3,Quercus rubra,-4")
    group, = listed(tmp_path, *rows).groups
    assert group.cells == ((3, "0"), (4, "-4"))
    group, = listed(tmp_path, *rows, mends=(("1.2", "44"),)).groups
    assert group.cells == ((3, "0"),)
    with pytest.raises(RootcaseError, match=r"no group of faults has this number \(got --mend 1.2=44\)"):
        listed(tmp_path, *rows, mends=(("1.2", "44"),))


def test_each_value_has_its_own_repair(tmp_path: Path) -> None:
    rows = ("1,Quercus rubra,40", "2,Acer rubrun,40", "3,Ulmus amercana,40")
    assert [group.values for group in listed(tmp_path, *rows).groups] == [("Acer rubrun",), ("Ulmus amercana",)]
    done = listed(tmp_path, *rows, mends=(("1", "yes"), ("2.1", "yes")), save=True)
    assert (done.ready, done.waiting) == (3, 0)


def test_a_mend_that_is_refused_comes_back_and_can_be_mended_itself(tmp_path: Path) -> None:
    rows = ("1,Quercus rubra,40", "2,Quercus rubra,tall")
    group, = listed(tmp_path, *rows, mends=(("1", "forty"),)).groups
    assert group.values == ("forty",)
    done = listed(tmp_path, *rows, mends=(("1", "41"),), save=True)
    assert (done.ready, done.waiting) == (2, 0)


def test_what_would_change_is_told_before_it_is_kept(tmp_path: Path) -> None:
    assert listed(tmp_path, "1,Quercus rubra,40", save=True).changes == ()
    again = listed(tmp_path, "1,Quercus rubra,44")
    assert [(change.kind, change.old, change.new) for change in again.changes] == [("Height", "40 ft", "44 ft")]
    assert again.counts.changed_rows == (2,)


def test_a_field_sheet_can_be_looked_at_and_a_cell_of_it_mended(tmp_path: Path) -> None:
    sheet = write_sheet(tmp_path / "sheet", changed("trees", 3, "dbh", "1,2 1/2"))
    with open_book(tmp_path / "f.sqlite") as book:
        look = book.import_sheet(sheet, keep=False)
        fault, = look.faults
        assert (fault.sheet, fault.row, fault.column) == ("trees", 4, "dbh")
        assert book.properties() == ()
        assert [each.name for each in tmp_path.iterdir() if "reject" in each.name] == []
        written = {("trees", 4, "dbh"): "12 1/2"}
        assert book.import_sheet(sheet, written=written, keep=False).faults == ()
        done = book.import_sheet(sheet, written=written)
        assert (done.faults, done.new) == ((), look.new + 1)
        wrong, = book.import_sheet(sheet, written={("trees", 4, "dbh"): "thick"}, keep=False).faults
        assert wrong.value == '"thick"'


def test_a_name_that_is_none_is_mended_by_its_text(tmp_path: Path) -> None:
    sheet = write_sheet(tmp_path / "sheet", changed("trees", 3, "place", "lwan"))
    with open_book(tmp_path / "f.sqlite") as book:
        fault = book.import_sheet(sheet, keep=False).faults[0]
        assert (fault.row, fault.column, fault.value) == (4, "", '"lwan"')
        assert book.import_sheet(sheet, written={("trees", 4, '"lwan"'): "lawn"}, keep=False).faults == ()


def zipped(path: Path, files: dict[str, bytes]) -> Path:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as made:
        for name, content in files.items():
            made.writestr(name, content)
    path.write_bytes(data.getvalue())
    return path


def test_a_zipped_folder_is_its_files(tmp_path: Path) -> None:
    files = {"sheet/trees.csv": b"tree\noak 1\n", "sheet/oak 1.jpg": bytes(range(256)), "__MACOSX/._trees.csv": b"x",
             "sheet/.DS_Store": b"x"}
    found = folder_files(zipped(tmp_path / "sheet.zip", files))
    assert found == {"trees.csv": b"tree\noak 1\n", "oak 1.jpg": bytes(range(256))}


@pytest.mark.parametrize(("files", "why"), [
    ({"a/b/trees.csv": b""}, "folders within folders"), ({"a/trees.csv": b"", "pits.csv": b""}, "folders within"),
    ({"../../trees.csv": b""}, "folders within"), ({"a/..": b""}, "damaged"),
    ({"big.csv": bytes(120_000_000)}, "unpacked it is larger"),
])
def test_a_zip_that_is_no_plain_folder_is_refused(tmp_path: Path, files: dict[str, bytes], why: str) -> None:
    with pytest.raises(FileError, match=why):
        folder_files(zipped(tmp_path / "sheet.zip", files))


def test_what_is_no_zip_is_refused(tmp_path: Path) -> None:
    (tmp_path / "sheet.zip").write_bytes(b"PK\x03\x04 and no more")
    with pytest.raises(FileError, match="not a zip that can be read"):
        folder_files(tmp_path / "sheet.zip")
