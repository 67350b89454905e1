"""The files a client gets: names that every file system and every web page takes, one for each tree."""

from __future__ import annotations

from dataclasses import replace
from pathlib import PurePosixPath

import pytest

from rootcase.records.report import Casework
from rootcase.services import report
from tests.report.fixtures import casework_fixture


@pytest.fixture
def named(monkeypatch: pytest.MonkeyPatch) -> Casework:
    """A casework whose trees have labels that are no file names."""
    for drawing in ("report_pdf", "casework_json"):
        monkeypatch.setattr(report, drawing, lambda *_: b"")
    whole = casework_fixture()
    odd = ("../M1/2", "#5", "5", "oak 4", "Oak/4", "..", "Eiche ä", "a:b*c?", "x y", "9.5")
    trees = tuple(replace(tree, label=odd[n % len(odd)]) for n, tree in enumerate(whole.record.trees))
    return replace(whole, record=replace(whole.record, trees=trees))


def test_no_label_leads_out_of_the_folder_and_no_two_trees_share_a_file(named: Casework) -> None:
    files = report.report_files(named)
    compared = len(named.comparison.trees)
    assert len(files) == 2 + 3 + 4 * compared
    for name in files:
        path = PurePosixPath(name)
        assert len(path.parts) <= 2
        assert not set(path.name) & set('#/\\:*?"<>| ')
        assert not path.name.startswith((".", "-"))
    assert len({name.casefold() for name in files}) == len(files)
