"""A stranger's list through the command line: what a person sees, types and gets."""

from __future__ import annotations

import json
from pathlib import Path
from subprocess import CompletedProcess

import pytest

from tests.cli.starting import rootcase
from tests.fieldbook.intake.lists.strangers import as_workbook, stranger
from tests.fieldbook.sheets import SHEET, write_sheet

LIST = """Our trees (invented)
Id;Kind;Dia;Ht (ft);Condition;Looked at
1;pin oak;14;42;good;6/13/2015
2;red maple;9,5;30;fair;6/13/2015
3;Ulmus amercana;22;60;poor;6/14/2015
Total;3;;;;
"""
ANSWERS = ("--property", "Kiln Lane", "--at", "47.45,-122.31", "--system", "us", "--ground", "lawn")


def observe(folder: Path, *arguments: str) -> CompletedProcess[str]:
    return rootcase("observe", *arguments, "--fieldbook", "f.sqlite", cwd=folder)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "ours.csv").write_text(LIST, encoding="utf-8")
    return tmp_path


def test_from_the_dry_run_by_flags_to_what_is_saved(folder: Path) -> None:
    first = observe(folder, "import", "ours.csv")
    assert first.returncode == 1
    shown = " ".join(first.stdout.split())
    assert "2 rows are ready, 1 needs you. Nothing is saved yet." in shown
    assert "Kept as text under their own names: Condition, Looked at." in shown
    assert 'Left out, a total or a count: 6 "Total · 3".' in shown
    assert "--mend 1=yes" in shown
    assert [f'--{flag}' in shown for flag in ("property", "ground", "day")] == [True, True, True]
    assert max(map(len, first.stdout.splitlines())) <= 80
    second = observe(folder, "import", "ours.csv", *ANSWERS, "--column", "Looked at=day", "--mend", "1=yes")
    assert "3 rows are ready, 0 need you." in " ".join(second.stdout.split())
    assert "Save all 3: rootcase observe import ours.csv --save" in " ".join(second.stdout.split())
    assert second.returncode == 0
    saved = observe(folder, "import", "ours.csv", "--save")
    assert (saved.returncode, saved.stdout.splitlines()[0]) == (0, "Kiln Lane: 3 rows are saved, 0 need you.")
    again = observe(folder, "import", "ours.csv")
    assert "Of the ready ones 3 known, 0 new, 0 changed." in " ".join(again.stdout.split())
    held = json.loads(observe(folder, "list", "--json").stdout)
    assert [tree["label"] for tree in held["trees"]] == ["1", "2", "3"]
    undone = observe(folder, "undo", "--reason", "the wrong list")
    assert undone.returncode == 0


def test_the_same_as_json(folder: Path) -> None:
    shown = json.loads(observe(folder, "import", "ours.csv", *ANSWERS, "--json").stdout)
    assert (shown["ready"], shown["waiting"], shown["saved"]) == (2, 1, False)
    assert [column["target"] for column in shown["columns"]] == ["tag", "species", "dbh", "tree_height", "keep", "keep"]
    assert shown["groups"][0]["rows"] == [5]


@pytest.mark.parametrize(("flags", "code", "says"), [
    (("--column", "Diam=dbh:in"), 3, 'no column of this name (got "Diam"); one of: Id, Kind, Dia'),
    (("--column", "Dia=dbh:kg"), 3, "this is no meaning of a column"),
    (("--column", "Dia"), 2, "Dia is not one thing = another"),
    (("--mend", "9=yes"), 3, "the groups go from 1 to 1"), (("--mend", "yes"), 2, "yes is not one thing = another"),
    (("--ground", "moor"), 3, "one of: lawn, pitch"), (("--at", "here"), 3, "this is not a position"),
    (("--day", "someday"), 3, "this is not a date"), (("--sheet", "Two"), 3, "no sheet of this name"),
    (("--header-row", "99"), 3, "no row looks like the header"), (("--mapping", "none.toml"), 3, "none.toml")])
def test_a_flag_that_is_wrong_is_told_in_one_line_and_not_kept(
        flags: tuple[str, ...], code: int, says: str, folder: Path) -> None:
    done = observe(folder, "import", "ours.csv", *flags)
    assert done.returncode == code
    line, = done.stderr.splitlines()
    assert says in line
    assert not (folder / "ours-mapping.toml").exists()


def test_a_mapping_file_changed_by_hand_is_used_and_its_slips_named(folder: Path) -> None:
    observe(folder, "import", "ours.csv", *ANSWERS)
    mapping = folder / "ours-mapping.toml"
    text = mapping.read_text(encoding="utf-8")
    assert '# "Dia" = "dbh:in"' in text
    mapping.write_text(text.replace('# "Dia" = "dbh:in"', '"Dia" = "girth:in"'), encoding="utf-8")
    shown = json.loads(observe(folder, "import", "ours.csv", "--json").stdout)
    assert [column["means"] if "means" in column else column["word"] for column in shown["columns"]][2] == "girth"
    mapping.write_text(text.replace("[columns]", "[colums]"), encoding="utf-8")
    done = observe(folder, "import", "ours.csv")
    assert (done.returncode, "ours-mapping.toml, colums" in done.stderr) == (3, True)


def test_a_wide_workbook_stays_within_eighty_columns(tmp_path: Path) -> None:
    as_workbook(stranger(7), tmp_path / "trees.xlsx")
    shown = observe(tmp_path, "import", "trees.xlsx").stdout
    assert "170 rows are ready, 30 need you. Nothing is saved yet." in shown
    assert max(map(len, shown.splitlines())) <= 80


def test_what_is_no_list_is_not_taken_for_trees(tmp_path: Path) -> None:
    (tmp_path / "days.csv").write_text("date,tmax (F),tmin (F),rain (in)\n2015-06-01,70,50,0\n", encoding="utf-8")
    done = observe(tmp_path, "import", "days.csv")
    assert done.returncode == 3
    assert "this is no list of trees" in done.stderr
    assert "rootcase observe weather" in done.stderr


def test_flags_for_lists_are_refused_with_the_field_sheet(tmp_path: Path) -> None:
    write_sheet(tmp_path / "sheet", dict(SHEET))
    done = observe(tmp_path, "import", "sheet", "--day", "2015-06-13")
    assert (done.returncode, "this is our own field sheet" in done.stderr) == (3, True)
    assert observe(tmp_path, "import", "sheet", "--save").returncode == 0
