"""The page for a person's own trees says what is so: columns, commands, exit codes."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import click
import openpyxl
import pytest

from rootcase.cli.main import rootcase
from rootcase.fieldbook.export.template import write_template

PAGE = (Path(__file__).parents[2] / "docs" / "field-sheet.md").read_text(encoding="utf-8")
COMMANDS = [line.partition("#")[0] for line in re.findall(r"^\$ \./run rootcase (.+)$", PAGE, re.MULTILINE)]


def test_every_column_it_names_is_on_the_template(tmp_path: Path) -> None:
    write_template(tmp_path / "sheet.xlsx", "us", 2015)
    book = openpyxl.load_workbook(tmp_path / "sheet.xlsx")
    headers = {cell.value for page in book for cell in page[1]}
    table = PAGE.partition("| for | fill in |")[2].partition("\n\n")[0]
    named = [name for row in table.splitlines() for name in re.findall("`([^`]+)`", row)]
    assert len(named) > 20
    assert [name for name in named if name not in headers] == []
    pages = {name for row in table.splitlines() for name in re.findall(r"page (\w+)", row)}
    assert pages <= set(book.sheetnames)


@pytest.mark.parametrize("line", COMMANDS)
def test_every_command_it_shows_is_one(line: str) -> None:
    words = shlex.split(line)
    command: click.Command = rootcase
    context = click.Context(rootcase)
    while isinstance(command, click.Group) and (words or not command.invoke_without_command):
        found = command.get_command(context, words.pop(0))
        assert found is not None
        command = found
    known = {option for parameter in command.params for option in parameter.opts}
    assert {word for word in words if word.startswith("--")} <= known


def test_readme_leads_to_it() -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    assert "docs/field-sheet.md" in readme
