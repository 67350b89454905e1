"""Choosing from a list: what comes out as what went in, and each thing wrong in one line with the way out."""

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from rootcase.cli.prescribing.choose import choose
from rootcase.ground.errors import RootcaseError
from rootcase.report.terminal.choose import choice_text
from rootcase.services.choose import Choice, Line, choose_from

LIST = Path(__file__).parents[1] / "data" / "choice_mckp_1.csv"
HEAD = "tree,option,cost,benefit\n"


def written(folder, text, encoding="utf-8"):
    file = folder / "list.csv"
    file.write_bytes(text.encode(encoding))
    return file


@pytest.mark.reference
def test_the_command_gives_the_known_optimum():
    """Dynamic programme over the budget, numpy 2.4.6: 2994 for 3998."""
    done = CliRunner().invoke(choose, [str(LIST), "--budget", "4000", "--json"])
    found = json.loads(done.output)
    assert (done.exit_code, found["total_benefit"], found["total_cost"], found["bound"]) == (0, 2994, 3998, 2994)
    rows = {(tree, option): (cost, benefit) for tree, option, cost, benefit in
            (map(int, line.split(",")) for line in LIST.read_text().splitlines()[1:])}
    assert [line["tree"] for line in found["chosen"]] == list(range(30))
    for line in found["chosen"]:
        assert rows[line["tree"], line["option"]] == (line["cost"], line["benefit"])
    assert sum(line["cost"] for line in found["chosen"]) == 3998
    assert sum(line["benefit"] for line in found["chosen"]) == 2994


def test_the_command_speaks():
    told = CliRunner().invoke(choose, [str(LIST), "--budget", "4000"]).output
    assert told.startswith("Benefit 2,994 for 3,998 of 4,000.\nNo choice inside the budget gains more.\n")
    assert "Trees that get something: 21. Left alone: 9." in told
    unproved = Choice(10.0, 5.0, 10.5, 6.0, (Line("oak 1", 2, 5.0, 10.0), Line("oak 2", 0, 0.0, 0.0)))
    assert "no choice gains more than 10.5, so at most 4.8 % is missing." in choice_text(unproved, 200)


@pytest.mark.parametrize("budget", ["4,000", "-1", "inf", "nan", "much", ""])
def test_a_budget_that_is_none_is_refused(budget):
    done = CliRunner().invoke(choose, [str(LIST), "--budget", budget])
    assert (done.exit_code, "write it as 4000 or 1250.50" in done.output) == (2, True)


def test_names_spaces_order_of_columns_and_blank_lines_do_not_matter(tmp_path):
    file = written(tmp_path, '\ufeff benefit ,note,Option,TREE,cost\n\n7, x ,2, "oak, old",1.5\n3,,01,5,0.5\n,,,,\n')
    found = choose_from(file, 2.0)
    assert found.chosen == (Line("oak, old", 2, 1.5, 7.0), Line(5, "01", 0.5, 3.0))
    assert choose_from(file, 1.9).chosen == (Line("oak, old", 2, 1.5, 7.0), Line(5, 0, 0.0, 0.0))


@pytest.mark.parametrize(("text", "told"), [
    ("", "there is no column tree; the columns are tree, option, cost, benefit"),
    (HEAD, "the file has no rows; write one row for each option"),
    ("tree,option,cost\n1,0,0\n", "there is no column benefit (got tree, option, cost)"),
    ("tree,option,cost,cost,benefit\n", "there are two columns cost"),
    ("tree;option;cost;benefit\n1;1;2,5;3\n", "the columns are not parted by commas"),
    ("tree\toption\tcost\tbenefit\n", "part them with commas, and write decimals with a point"),
    (HEAD + "1,0,0,0\n1,1,5\n", "row 3: the row has 3 cells and the heading 4 (got 1, 1, 5); part them with commas"),
    (HEAD + "1,1,2,5,3\n", "row 2: the row has 5 cells and the heading 4"),
    (HEAD + "1,1,\"2,5\",3\n", "row 2: the cost is not a number (got 2,5); write it as 1250.50"),
    (HEAD + "1,1,$20,3\n", "row 2: the cost is not a number (got $20)"),
    (HEAD + "1,1,20,\n", "row 2: the benefit is not a number (got nothing)"),
    (HEAD + "1,1,nan,3\n", "the cost is not a number (got nan)"),
    (HEAD + "1,1,1e400,3\n", "the cost is not a number (got 1e400)"),
    (HEAD + "1,1,-20,3\n", "row 2: the cost is below zero (got -20); a cost is 0 or more"),
    (HEAD + "1,0,20,0\n", "row 2: option 0 is doing nothing, and its cost is not 0 (got 20)"),
    (HEAD + "1,1,2,3\n1,2,2,3\n1,1,9,9\n",
     "row 4: this option stands in row 2 already (got tree 1, option 1); each option of a tree stands once"),
    (HEAD + ",1,2,3\n", "row 2: the tree has no name; write a number or a name"),
    (HEAD + "1,\"1,2,3\n", "this cannot be read as CSV"),
])
def test_what_is_wrong_is_said_in_one_line(tmp_path, text, told):
    with pytest.raises(RootcaseError, match=re.escape(told)) as error:
        choose_from(written(tmp_path, text), 10.0)
    assert "\n" not in str(error.value)
    assert str(error.value).startswith(str(tmp_path / "list.csv"))


def test_text_that_is_not_utf_8_is_named(tmp_path):
    with pytest.raises(RootcaseError, match="this is not text in UTF-8; save it as CSV UTF-8"):
        choose_from(written(tmp_path, HEAD + "é,1,2,3\n", "latin-1"), 10.0)
