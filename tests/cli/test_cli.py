"""The command line as a stranger types it, right and wrong."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.starting import rootcase
from tests.fieldbook.sheets import SHEET, write_sheet

SRC = Path(__file__).parents[2] / "src"


@pytest.mark.parametrize("words", [[], ["observe"], ["observe", "import"], ["compare"], ["explain"], ["prescribe"],
                                   ["report"], ["demo"]], ids=" ".join)
def test_help_is_there_and_needs_no_numpy(words):
    program = ("import sys\nfrom rootcase.cli.main import main\n"
               "try:\n    main([*sys.argv[1:], '--help'])\n"
               "finally:\n    print('numpy' in sys.modules, 'sqlalchemy' in sys.modules, file=sys.stderr)\n")
    done = subprocess.run([sys.executable, "-c", program, *words], capture_output=True, text=True, check=False,
                          env={**os.environ, "PYTHONPATH": str(SRC)})
    assert done.returncode == 0
    assert done.stdout.startswith("Usage: rootcase")
    assert done.stderr.strip() == "False False"


def test_help_names_the_fieldbook_in_one_piece(tmp_path, monkeypatch):
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.delenv("XDG_DATA_HOME", raising=False)
    help_text = rootcase("compare", "--help").stdout
    assert any(re.search(r"~\S+fieldbook\.sqlite", " ".join(line.split())) for line in help_text.splitlines())


@pytest.mark.parametrize(("words", "code", "says"), [
    (["compar"], 2, "No such command 'compar'. Did you mean 'compare'?; see rootcase --help"),
    (["report", "--prepard-by", "x"], 2, "--prepared-by"),
    (["observe", "correct", "abc", "5"], 2, "Missing option '--reason'; see rootcase observe correct --help"),
    (["observe", "import", "not-there.xlsx"], 2, "does not exist"),
    (["compare", "--day", "15.1.2016"], 2, "15.1.2016 is not a day; write it as 2016-01-15"),
    (["explain", "--draws", "3"], 2, "100<=x<=20000"),
    (["explain", "--seed", "abc"], 2, "'abc' is not a valid whole number; see rootcase explain --help"),
    (["observe", "template", "sheet.csv"], 2, "call it sheet.xlsx"),
    (["demo", "--fieldbook", "practice.sqlite", "--out", "report"], 2, "leave one of them out"),
], ids=lambda v: " ".join(v) if isinstance(v, list) else "")
def test_wrong_use_is_one_line_and_exit_code_2(words, code, says, tmp_path):
    done = rootcase(*words, cwd=tmp_path)
    assert done.returncode == code
    line, = done.stderr.splitlines()
    assert line.startswith("rootcase: ")
    assert says in line


def test_the_invented_practice_is_written_over_no_file(tmp_path):
    book = tmp_path / "practice.sqlite"
    book.write_text("mine")
    done = rootcase("demo", "--fieldbook", book)
    assert done.returncode == 2
    assert "is there already, and nothing is written over a fieldbook" in done.stderr
    assert book.read_text() == "mine"


def test_an_empty_fieldbook_says_what_to_do(tmp_path):
    book = tmp_path / "book.sqlite"
    book.touch()
    done = rootcase("compare", "--fieldbook", book)
    assert done.returncode == 3
    assert done.stderr.splitlines()[-1] == ("rootcase: the fieldbook holds no property yet; "
                                            "bring a field sheet (rootcase observe import FILE)")


@pytest.mark.parametrize("words", [["compare"], ["explain"], ["prescribe"], ["report"], ["observe", "list"],
                                   ["observe", "correct", "abcde", "5", "--reason", "x"],
                                   ["observe", "is-right", "abcde"], ["observe", "undo"],
                                   ["observe", "take-back", "abcde", "--reason", "x"]], ids=" ".join)
def test_a_mistyped_fieldbook_is_told_and_none_is_made(words, tmp_path):
    book = tmp_path / "folder" / "bok.sqlite"
    done = rootcase(*words, "--fieldbook", book)
    assert done.returncode == 3
    line, = done.stderr.splitlines()
    assert line.startswith(f"rootcase: {book}: there is no fieldbook here yet")
    assert not book.parent.exists()


def test_the_newest_import_is_undone_in_one_step(tmp_path):
    book, sheet = tmp_path / "book.sqlite", write_sheet(tmp_path / "in", dict(SHEET))
    assert rootcase("observe", "import", sheet, "--fieldbook", book).returncode == 0
    done = rootcase("observe", "undo", "--fieldbook", book)
    assert done.stdout.startswith("Undone: in, ")
    assert rootcase("compare", "--fieldbook", book).returncode == 3
    assert rootcase("observe", "import", sheet, "--fieldbook", book).returncode == 0


def test_a_template_imports_cleanly_and_is_not_written_over(tmp_path):
    sheet = tmp_path / "sheet.xlsx"
    assert rootcase("observe", "template", sheet).returncode == 0
    again = rootcase("observe", "template", sheet)
    assert again.returncode == 2
    assert "is there already" in again.stderr
    assert rootcase("observe", "template", sheet, "--force").returncode == 0
