"""A stranger's list of 200 trees with 30 faults: all named, the others kept, nothing lost on the way round."""

from __future__ import annotations

import csv
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.lists.listing import Given, Listing, is_list
from rootcase.fieldbook.intake.lists.told import Told
from rootcase.records.observe import PropertyRecord
from tests.fieldbook.intake.lists.strangers import TRUNK, Stranger, as_csv, as_workbook, first_row, stranger
from tests.fieldbook.sheets import open_book

FORMS: dict[str, Callable[[Stranger, Path], Path]] = {"xlsx": as_workbook, "csv": as_csv}
ANSWERS = Told(property_name="Kiln Lane", ground="lawn")


def look(book: Fieldbook, file: Path, told: Told = Told(), *mends: str, save: bool = False,  # noqa: B008
         mapping: Path | None = None) -> Listing:
    pairs = tuple((number, word) for number, _, word in (mend.partition("=") for mend in mends))
    return book.import_list(file, Given(told, pairs, mapping, save))


def record(book: Fieldbook) -> PropertyRecord:
    return book.record(book.properties()[0].id)


def answer_to(listing: Listing, cause: str, word: str) -> list[str]:
    """The flags that answer every group of a cause."""
    return [f"{group.number}={word}" for group in listing.groups if group.cause == cause]


@pytest.mark.property
@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("us", [True, False])
def test_thirty_faults_are_named_and_the_rest_is_ready(form: str, us: bool, tmp_path: Path, long: bool) -> None:
    for seed in range(60 if long else 1):
        made = stranger(seed, us=us)
        file = FORMS[form](made, tmp_path / f"trees-{seed}.{form}")
        assert is_list(file)
        with open_book(tmp_path / f"{seed}.sqlite") as book:
            listing = look(book, file)
        named = {row: group.cause for group in listing.groups for row in group.rows}
        assert named == {first_row(form) + at: cause for at, cause in made.faults.items()}
        assert len(set(named.values())) >= 15
        assert (len(named), listing.ready, listing.waiting) == (30, 170, 30)


def test_nothing_is_kept_before_it_is_asked_for_nor_before_all_is_said(tmp_path: Path) -> None:
    file = as_workbook(stranger(1), tmp_path / "trees.xlsx")
    book = open_book(tmp_path / "f.sqlite")
    look(book, file, ANSWERS)
    assert book.properties() == ()
    (tmp_path / "trees-mapping.toml").unlink()
    asked = look(book, file, save=True)
    assert [question.asks for question in asked.needed] == ["property_name", "ground"]
    assert (asked.saved, book.properties()) == (False, ())
    assert look(book, file, ANSWERS, save=True).saved
    assert len(record(book).trees) == 170


@pytest.mark.parametrize("form", FORMS)
def test_every_value_of_the_good_rows_arrives(form: str, tmp_path: Path) -> None:
    made = stranger(3, us=form == "xlsx")
    book = open_book(tmp_path / "f.sqlite")
    look(book, FORMS[form](made, tmp_path / f"trees.{form}"), ANSWERS, save=True)
    held = record(book)
    by_label = {tree.label: tree for tree in held.trees}
    scale = {"dbh": 25.4 if made.us else 10, "tree_height": 0.3048 if made.us else 1,
             "crown_spread": 0.3048 if made.us else 1, "crown_dieback": 0.01, "planting_year": 1}
    for at, row in enumerate(made.rows):
        if at in made.faults:
            assert row[0] not in by_label
            continue
        tree = by_label[str(row[0])]
        of = {reading.kind: reading for reading in held.of(tree.id)}
        for (kind, factor), value in zip(scale.items(), row[2:7], strict=True):
            assert of[kind].value == pytest.approx(float(str(value)) * factor)
        assert of["species"].choice == row[1]
        assert of["Condition"].choice == row[11]
        assert of["Remarks"].choice == row[12] if row[12] else "Remarks" not in of
        assert (of["dbh"].day, held.place_of(tree).name) == (row[7], row[8])
        assert of["latitude"].value == pytest.approx(float(str(row[9])))
        assert tree.east_m is not None
        assert abs(tree.east_m) < 400


@pytest.mark.parametrize("form", FORMS)
def test_rejects_are_mended_and_come_in_with_the_same_mapping(form: str, tmp_path: Path) -> None:
    made = stranger(4)
    book = open_book(tmp_path / "f.sqlite")
    file = FORMS[form](made, tmp_path / f"trees.{form}")
    first = look(book, file, ANSWERS, save=True)
    assert first.rejects_path == tmp_path / f"trees-rejects.{form}"
    again = look(book, first.rejects_path)
    assert again.mapping_path == tmp_path / "trees-mapping.toml"
    assert (again.ready, again.waiting) == (0, 30)
    assert sorted(group.cause for group in again.groups) == sorted(group.cause for group in first.groups)
    assert {value for group in again.groups for value in group.values} == {
        value for group in first.groups for value in group.values}
    mend(first.rejects_path, TRUNK, {"12, 8, 6": "12", "9; 7": "9", "14 + 11": "14"})
    mended = look(book, first.rejects_path, Told(), save=True)
    assert mended.saved
    assert (mended.ready, mended.waiting) == (2, 28)
    assert len(record(book).trees) == 172
    assert not any("file of rejects" in told for told in first.told)
    assert any(told.startswith("2 of the rows that need you are trees that are in already") for told in look(
        book, file).told)


def mend(file: Path, column: int, texts: dict[str, str]) -> None:
    """Put other texts into a column of a file of rejects, which has one column more."""
    if file.suffix == ".csv":
        with file.open(encoding="utf-8-sig", newline="") as source:
            lines = list(csv.reader(source))
        for line in lines:
            line[column + 1] = texts.get(line[column + 1], line[column + 1])
        with file.open("w", encoding="utf-8", newline="") as target:
            csv.writer(target).writerows(lines)
        return
    book = openpyxl.load_workbook(file)
    for row in book.worksheets[0].iter_rows(min_row=2):
        row[column + 1].value = texts.get(row[column + 1].value, row[column + 1].value)
    book.save(file)


def test_the_same_list_again_is_known_and_a_changed_cell_is_told(tmp_path: Path) -> None:
    made = stranger(5)
    book = open_book(tmp_path / "f.sqlite")
    file = as_workbook(made, tmp_path / "trees.xlsx")
    look(book, file, ANSWERS, save=True)
    again = look(book, file, save=True)
    assert (again.counts.known, again.counts.new, again.counts.changed) == (170, 0, 0)
    good = [at for at in range(200) if at not in made.faults][:3]
    for at in good:
        made.rows[at][TRUNK] = float(str(made.rows[at][TRUNK])) + 1
    changed = look(book, as_workbook(made, file))
    assert (changed.counts.known, changed.counts.new, changed.counts.changed) == (167, 0, 3)
    assert changed.counts.changed_rows == tuple(first_row("xlsx") + at for at in good)
    before = record(book)
    book.undo_import(before.property.id, "the wrong list")
    assert book.properties() == () or record(book).trees == ()


WORDS = {"unit_slip": "mm", "species": "yes", "twice": "number", "stems": "stems", "no_tag": "name",
         "day_serial": "yes", "year_ahead": "leave", "nothing": "leave", "range": "12", "unreadable": "keep",
         "number_as_date": "4", "day_ahead": "3 Jun 2015", "unit": "28 ft", "impossible": "35", "day": "2015-06-13",
         "no_position": "leave"}


def test_mends_gather_from_run_to_run_until_all_is_in(tmp_path: Path) -> None:
    made = stranger(6)
    book = open_book(tmp_path / "f.sqlite")
    file = as_workbook(made, tmp_path / "trees.xlsx")
    listing = look(book, file, ANSWERS)
    assert WORDS.keys() | {"far"} == {group.cause for group in listing.groups}
    causes = list(WORDS)
    for some in (causes[:5], causes[5:]):
        flags = [flag for cause in some for flag in answer_to(listing, cause, WORDS[cause])]
        listing = look(book, file, Told(), *flags)
        assert not {group.cause for group in listing.groups} & set(some)
    flags = [f"{group.number}={group.answers[0].word}" for group in listing.groups]
    assert {group.cause for group in listing.groups} == {"far"}
    listing = look(book, file, Told(), *flags, save=True)
    assert (listing.groups, listing.saved, listing.ready) == ((), True, 200)
    held = record(book)
    assert len(held.trees) == 200
    stems = [at for at, cause in made.faults.items() if cause == "stems"]
    for at in stems:
        tree = next(tree for tree in held.trees if tree.label == made.rows[at][0])
        assert sorted(r.typed for r in held.of(tree.id, kind="dbh")) == sorted(
            f"{stem} in" for stem in numbers(str(made.rows[at][TRUNK])))
    assert max(abs(tree.east_m or 0) for tree in held.trees) < 400


def numbers(text: str) -> Sequence[str]:
    return "".join(sign if sign.isdigit() else " " for sign in text).split()


def sizes(folder: Path, *trunks: str) -> Path:
    """A list of oaks with these trunks, in inches."""
    file = folder / "oaks.csv"
    lines = [f"{at},Quercus,rubra,{trunk},2015-06-13" for at, trunk in enumerate(trunks, 1)]
    file.write_text("\n".join(("Tag,Genus,Species,DBH (in),Date", *lines)), encoding="utf-8")
    return file


def test_unusual_values_go_with_impossible_ones_of_the_same_slip_and_alone_are_asked_about_too(tmp_path: Path) -> None:
    book = open_book(tmp_path / "f.sqlite")
    told = Told(property_name="Kiln Lane", at="47.45,-122.31", ground="lawn")
    both = look(book, sizes(tmp_path, "12", "18", "24", "30", "420", "250"), told)
    assert [(group.cause, group.rows) for group in both.groups] == [("unit_slip", (6, 7))]
    assert [answer.word for answer in both.groups[0].answers] == ["mm", "leave"]
    alone = look(book, file := sizes(tmp_path, "12", "18", "24", "30", "250"), told)
    assert [(group.cause, group.rows) for group in alone.groups] == [("unit_slip", (6,))]
    assert [answer.word for answer in alone.groups[0].answers] == ["mm", "leave", "right"]
    right = look(book, file, told, "1=right", save=True)
    assert (right.ready, right.groups) == (5, ())
    last = next(tree for tree in record(book).trees if tree.label == "5")
    assert record(book).of(last.id, kind="dbh")[0].doubts


def test_a_unit_in_a_cell_counts_and_is_told(tmp_path: Path) -> None:
    book = open_book(tmp_path / "f.sqlite")
    told = Told(property_name="Kiln Lane", at="47.45,-122.31", ground="lawn")
    found = look(book, sizes(tmp_path, "12", "18 in", "45 cm"), told, save=True)
    assert "DBH (in): 1 with a unit of their own, such as 45 cm; it counts, and not inches." in found.told
    trees = {tree.label: tree for tree in record(book).trees}
    assert record(book).of(trees["3"].id, kind="dbh")[0].value == pytest.approx(450)


def test_a_folder_that_may_not_be_written_stops_no_look(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("rootcase.fieldbook.intake.lists.told.write_whole", refuse)
    found = look(open_book(tmp_path / "f.sqlite"), sizes(tmp_path, "12", "18"), ANSWERS)
    assert found.ready == 2
    assert "--mapping" in found.told[0]


def test_rejects_that_cannot_be_written_are_told_and_what_is_saved_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    told = replace(ANSWERS, at="47.45,-122.31", system="us", day="2015-06-13")
    given = Given(told, save=True, rejects=tmp_path / "file" / "mend.csv")
    found = open_book(tmp_path / "f.sqlite").import_list(sizes(tmp_path, "12", "abc"), given)
    assert (found.saved, found.rejects_path) == (True, None)
    assert "--rejects" in found.told[-1]


def test_a_day_that_lost_a_figure_makes_its_row_wait(tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text("Tag,DBH (in),Date\n1,12,0215-06-13\n2,14,2015-06-13\n", encoding="utf-8")
    found = look(open_book(tmp_path / "f.sqlite"), tmp_path / "list.csv", replace(ANSWERS, at="47.45,-122.31"))
    assert [(group.cause, group.rows, group.what) for group in found.groups] == [
        ("day", (2,), "no reading is older than 1900")]
    assert found.ready == 1


def test_a_column_that_is_called_as_our_reasons_are_is_kept(tmp_path: Path) -> None:
    lines = ("Tag,DBH (in),What is wrong,Date", "1,12,dead top,2015-06-13", "2,abc,bark torn,2015-06-13")
    (tmp_path / "list.csv").write_text("\n".join(lines), encoding="utf-8")
    told = replace(ANSWERS, at="47.45,-122.31", system="us")
    book = open_book(tmp_path / "f.sqlite")
    saved = book.import_list(tmp_path / "list.csv", Given(told, save=True))
    assert saved.rejects_path is not None
    mended = saved.rejects_path.read_text(encoding="utf-8-sig").replace("abc", "14")
    saved.rejects_path.write_text(mended, encoding="utf-8")
    book.import_list(saved.rejects_path, Given(Told(), save=True))
    held = book.record(book.properties()[0].id)
    assert {each.choice for each in held.readings if each.kind == "What is wrong"} == {"dead top", "bark torn"}


def test_two_columns_of_one_kind_are_two_readings(tmp_path: Path) -> None:
    file = tmp_path / "crowns.csv"
    file.write_text("Tag,Species,Crown NS (m),Crown EW (m),Date\n1,pin oak,9,7.5,2015-06-13\n2,pin oak,8,,2015-06-13\n",
                    encoding="utf-8")
    book = open_book(tmp_path / "f.sqlite")
    saved = look(book, file, Told(property_name="Kiln Lane", at="47.45,-122.31", ground="lawn"), save=True)
    assert (saved.saved, saved.waiting) == (True, 0)
    first, second = record(book).trees
    assert [reading.value for reading in record(book).of(first.id, kind="crown_spread")] == [9, 7.5]
    assert [reading.value for reading in record(book).of(second.id, kind="crown_spread")] == [8]


def test_one_day_that_can_only_be_read_one_way_decides_its_column_and_that_is_said(tmp_path: Path) -> None:
    file = tmp_path / "days.csv"
    file.write_text("Tag,Species,Date\n1,pin oak,1/2/2015\n2,pin oak,13/2/2015\n", encoding="utf-8")
    book = open_book(tmp_path / "f.sqlite")
    told = Told(property_name="Kiln Lane", at="47.45,-122.31", ground="lawn", system="us")
    saved = look(book, file, told, save=True)
    assert any("day stands first" in said for column in saved.columns for said in column.said)
    assert [(visit.day.month, visit.day.day) for visit in record(book).visits] == [(2, 1), (2, 13)]


def test_trees_without_tags_keep_their_numbers_when_the_rejects_come_in(tmp_path: Path) -> None:
    file = tmp_path / "oaks.csv"
    file.write_text("Species,DBH (in),Date\npin oak,12,2015-06-13\npin oak,tall,2015-06-13\n", encoding="utf-8")
    book = open_book(tmp_path / "f.sqlite")
    saved = look(book, file, Told(property_name="Kiln Lane", at="47.45,-122.31", ground="lawn"), save=True)
    assert [tree.label for tree in record(book).trees] == ["Quercus palustris 1"]
    assert saved.rejects_path is not None
    text = saved.rejects_path.read_text(encoding="utf-8-sig")
    saved.rejects_path.write_text(text.replace(",tall,", ",14,"), encoding="utf-8")
    again = look(book, saved.rejects_path, save=True)
    assert (again.counts.new, again.counts.changed) == (1, 0)
    assert [tree.label for tree in record(book).trees] == ["Quercus palustris 1", "Quercus palustris 2"]
