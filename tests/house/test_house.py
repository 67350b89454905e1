"""Manners that no other tool checks: sizes, names, what is not spoken of, what pure rooms may not call."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).parents[2]
PACKAGE = CHECKOUT / "src" / "rootcase"
PURE = ("ground", "records", "science", "casework")
MOST_LINES = 400
MOST_LINES_A_FUNCTION = 60
MOST_SIGNS_A_LINE = 120
NAMELESS = {"utils", "util", "helpers", "helper", "common", "misc"}
TEXT = {".py", ".toml", ".csv", ".md", ".typ", ".lock", ".txt", ".ini", ".mako", ""}
UNSPEAKABLE = {  # in pieces, or this file would find itself
    "a path of somebody's machine": r"/(work|home|root|Users|tmp)" + r"/\w",
    "a file outside the repository": r"\.\./" + r"shared|shared/" + r"(reference|look)",
    "a package registry by name": r"py" + r"pi\.org|python" + r"hosted|registry\.npm" + r"js|deb\.debian" + r"\.org",
    "work left over": r"\b(TO" + r"DO|FIX" + r"ME|XX" + r"X)\b",
    "an issue by number": r"(?i)\bissue " + r"#?\d",
    "a place still to be filled": r"@[A-Z]+" + r"@",
}


def files() -> Iterator[Path]:
    for top in sorted(CHECKOUT.iterdir()):
        if top.name.startswith(".") and top.name not in {".ci", ".gitignore"}:
            continue
        for file in sorted(top.rglob("*")) if top.is_dir() else [top]:
            if file.is_file() and file.suffix in TEXT and "__pycache__" not in file.parts:
                yield file


def named(file: Path) -> str:
    return str(file.relative_to(CHECKOUT))


SCRIPTS = sorted((PACKAGE / "web" / "static").rglob("*.js"))
PYTHON = [file for file in files() if file.suffix == ".py" or file.name == "run"]


@pytest.mark.parametrize("file", list(files()), ids=named)
def test_the_repository_speaks_of_itself_alone(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    found = {f"{meaning}: {hit.group()}" for meaning, words in UNSPEAKABLE.items() for hit in re.finditer(words, text)}
    assert found == set()


def test_a_section_of_the_model_page_that_is_named_is_there() -> None:
    page = (CHECKOUT / "docs" / "model.md").read_text(encoding="utf-8")
    there = set(re.findall(r"^(?:## |\*\*)(\d+(?:\.\d+)?)[. ]", page, re.MULTILINE))
    cited = re.compile(r"[Ss]ections? ((?:[\d.]+(?:, | and | to )?)+) of docs/model\.md"
                       r"|docs/model\.md, (?:section )?((?:\d[\d.]*(?:, | and | to )?)+)")
    named_there = {number.rstrip(".") for file in PYTHON for hit in cited.findall(file.read_text(encoding="utf-8"))
                   for number in re.findall(r"[\d.]+", "".join(hit))}
    assert named_there
    assert named_there <= there


def test_the_model_page_names_every_file_of_the_model_and_no_other() -> None:
    page = (CHECKOUT / "docs" / "model.md").read_text(encoding="utf-8")
    table = "\n".join(line for line in page.splitlines() if line.startswith("| `"))
    named_there = set(re.findall(r"`(\w+)(?:\.py|/)`", table))
    there = {file.stem for file in (CHECKOUT / "src" / "rootcase" / "science" / "tree").iterdir()
             if not file.name.startswith("__")}
    assert named_there == there


def test_no_file_is_longer_than_a_folder_should_be() -> None:
    lengths = {named(file): len(file.read_text(encoding="utf-8").splitlines())
               for file in [*PYTHON, *SCRIPTS] if file.suffix}
    assert {name: lines for name, lines in lengths.items() if lines > MOST_LINES} == {}


def test_no_line_of_a_script_is_too_long_to_read() -> None:
    assert SCRIPTS
    assert [f"{named(file)}:{number}" for file in SCRIPTS
            for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), 1)
            if len(line) > MOST_SIGNS_A_LINE] == []


def test_no_function_is_too_long_to_read() -> None:
    long = {}
    for file in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef):
                told = node.body[0].end_lineno if ast.get_docstring(node) else node.lineno
                lines = (node.end_lineno or 0) - (told or 0)
                if lines > MOST_LINES_A_FUNCTION:
                    long[f"{named(file)}:{node.name}"] = lines
    assert long == {}


def test_every_room_is_a_package() -> None:
    rooms = {file.parent for file in PACKAGE.rglob("*.py") if file.parent.name != "versions"}  # Alembic finds by path
    assert [named(room) for room in sorted(rooms) if not (room / "__init__.py").exists()] == []


def test_every_module_has_a_name_that_says_something() -> None:
    assert [named(file) for file in PACKAGE.rglob("*.py") if {file.stem, file.parent.name} & NAMELESS] == []


@pytest.mark.parametrize("floor", PURE)
def test_a_pure_floor_opens_and_prints_nothing(floor: str) -> None:
    calls = [
        f"{named(file)}:{node.lineno} {node.func.id}"
        for file in (PACKAGE / floor).rglob("*.py")
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in {"open", "print", "input"}
    ]
    assert calls == []


def test_pytest_raises_always_names_the_message() -> None:
    silent = [
        f"{named(file)}:{node.lineno}"
        for file in (CHECKOUT / "tests").rglob("*.py")
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "raises"
        and "match" not in {word.arg for word in node.keywords}
    ]
    assert silent == []
