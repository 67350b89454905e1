"""Readings wanted at the next visit: wanted once, fulfilled by a later reading of the kind, taken off by hand."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.errors import Missing
from rootcase.records.observe import WantedReading
from tests.fieldbook.sheets import NOW, changed, open_book, write_sheet

DAY = date(2015, 11, 5)
LATER = NOW + timedelta(hours=1)


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Fieldbook]:
    with open_book(tmp_path / "book.sqlite") as book:
        book.import_sheet(write_sheet(tmp_path / "sheet", changed("trees", 3, "dbh", "")))
        yield book


def of(book: Fieldbook) -> tuple[str, str]:
    ground = book.properties()[0]
    return ground.id, next(tree.id for tree in book.record(ground.id).trees if tree.label == "oak 4")


def test_a_reading_is_wanted_once_until_nobody_wants_it(book: Fieldbook) -> None:
    ground, tree = of(book)
    for _ in range(2):
        book.wanting.want(ground, tree, "dbh", by="rs", day=DAY)
    book.wanting.want(ground, tree, "crown_dieback", by="mk", day=DAY)
    assert book.wanting.of(ground) == (WantedReading(tree, "dbh", "rs", DAY),
                                       WantedReading(tree, "crown_dieback", "mk", DAY))
    book.wanting.drop(ground, tree, "dbh", by="mk", day=DAY)
    assert [each.kind for each in book.wanting.of(ground)] == ["crown_dieback"]
    book.wanting.want(ground, tree, "dbh", by="mk", day=DAY)
    assert [each.by for each in book.wanting.of(ground) if each.kind == "dbh"] == ["mk"]


def test_what_was_read_before_does_not_fulfil_and_what_is_read_after_does(book: Fieldbook, tmp_path: Path) -> None:
    ground, tree = of(book)
    book.wanting.want(ground, tree, "probe_depth", by="rs", day=DAY)  # read at the same visit, written down before
    book.wanting.want(ground, tree, "dbh", by="rs", day=DAY)
    book._now = lambda: LATER
    book.import_sheet(write_sheet(tmp_path / "later", changed("trees", 3, "dbh", "12 1/2")))
    assert [each.kind for each in book.wanting.of(ground)] == ["probe_depth"]


def test_a_reading_of_a_day_before_does_not_fulfil(book: Fieldbook, tmp_path: Path) -> None:
    ground, tree = of(book)
    book.wanting.want(ground, tree, "dbh", by="rs", day=date(2015, 11, 6))
    book._now = lambda: LATER
    book.import_sheet(write_sheet(tmp_path / "later", changed("trees", 3, "dbh", "12 1/2")))
    assert [each.kind for each in book.wanting.of(ground)] == ["dbh"]


def test_no_casework_is_made_anew_for_it(book: Fieldbook) -> None:
    ground, tree = of(book)
    reach = book.arrivals.reach(ground).received
    book.wanting.want(ground, tree, "dbh", by="rs", day=DAY)
    assert book.arrivals.since(ground, reach) == ()


@pytest.mark.parametrize(("tree", "kind", "said"), [("nobody", "dbh", "no such tree"), ("", "dhb", "dhb")])
def test_what_is_not_there_cannot_be_wanted(book: Fieldbook, tree: str, kind: str, said: str) -> None:
    ground, known = of(book)
    with pytest.raises(Missing, match=said):
        book.wanting.want(ground, tree or known, kind, by="rs", day=DAY)
    with pytest.raises(Missing, match="nobody wants"):
        book.wanting.drop(ground, known, "dbh", by="rs", day=DAY)

