"""Docs of the seven stages: their examples print what they show, and each ends with its files and sources."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from rootcase.cli import options
from rootcase.cli.main import rootcase
from rootcase.services import demo
from tests.web.conftest import desk_folder, desk_results

__all__ = ["desk_folder", "desk_results"]  # fixtures, told to pytest by being named here

DOCS = Path(__file__).parents[2] / "docs"
MADE_BY = "demo --fieldbook practice.sqlite"
PAGES = sorted(DOCS.glob("[1-7]-*.md"))


def examples(page: Path) -> list[tuple[str, list[str]]]:
    """Commands, each with the lines it shows."""
    found: list[tuple[str, list[str]]] = []
    for block in re.findall(r"```console\n(.*?)```", page.read_text(encoding="utf-8"), re.DOTALL):
        for line in block.splitlines():
            if line.startswith("$ rootcase "):
                found.append((line.removeprefix("$ rootcase "), []))
            else:
                found[-1][1].append(line)
    return found


def shows(shown: list[str], printed: str) -> bool:
    """Every line whole and in its place; where lines were left out stands a line of three dots."""
    wanted = "".join(r"(?:.*\n)+?" if line == "..." else re.escape(line) + r" *\n" for line in shown)
    return re.fullmatch(wanted, printed.rstrip("\n") + "\n") is not None


def test_a_cut_without_its_mark_is_seen() -> None:
    printed = "Applied 89 gal,\nleft 202 gal.\nLost 0 gal.\n"
    assert shows(printed.splitlines(), printed)
    assert shows(["...", "Lost 0 gal."], printed)
    assert shows(["Applied 89 gal,", "...", "Lost 0 gal."], printed)
    assert not shows(["Applied 89 gal,"], printed)
    assert not shows(["Lost 0 gal."], printed)
    assert not shows(["Applied 89 gal,", "Lost 0 gal."], printed)
    assert not shows(["Applied", "..."], printed)
    assert not shows([*printed.splitlines(), "..."], printed)


def test_there_is_a_page_for_each_stage() -> None:
    assert [page.stem for page in PAGES] == ["1-observe", "2-compare", "3-explain", "4-prescribe", "5-make", "6-apply",
                                             "7-prove"]
    for page in PAGES:
        ending = page.read_text(encoding="utf-8").rpartition("\n\n")[2]
        assert ending.startswith("**Files:**"), page.name
        assert "**Sources:**" in ending, page.name
        assert examples(page), page.name


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_its_examples_print_what_it_shows(page: Path, desk_folder: Path, desk_results: Path, tmp_path: Path,
                                          monkeypatch: pytest.MonkeyPatch) -> None:
    """In an empty folder; the fixture's practice was made by the function that the page's own command calls."""
    monkeypatch.setattr(options, "OWN_RESULTS", desk_results)
    monkeypatch.setattr(demo, "demo_fieldbook", lambda path: shutil.copy(desk_folder / "demo.sqlite", path))
    monkeypatch.chdir(tmp_path)
    assert f"`rootcase {MADE_BY}`" in page.read_text(encoding="utf-8")
    for command, shown in [(MADE_BY, ["..."]), *examples(page)]:
        done = CliRunner().invoke(rootcase, shlex.split(command), catch_exceptions=False)
        assert done.exit_code == 0, (command, done.output)
        assert shows(shown, done.output), (command, done.output)
