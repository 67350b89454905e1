"""Prices and the practice's own page, told at the desk: one set of rules with the sheet, and old ones to be seen."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from rootcase.records.observe import Paper
from rootcase.services.told import own_cells, price_items, tell_own, tell_paper, tell_price
from tests.fieldbook.sheets import SHEET, open_book, write_sheet

PRICE = {"item": "mulch", "unit": "m3", "amount": "65", "currency": "usd", "source": "offer of the yard, 3 May"}
PAGE = {**SHEET, "prices": [["item", "unit", "amount", "currency", "source"],
                            ["mulch", "m3", "60", "USD", "the list of spring"]]}


def test_a_price_takes_the_place_of_one_and_the_old_one_stays_to_be_seen(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.sqlite") as book:
        sheet = write_sheet(tmp_path / "in", PAGE)
        book.import_sheet(sheet)
        assert tell_price(book, PRICE) == {}
        (item,) = price_items(book)["USD"]
        assert (item.now.price.amount, item.now.price.source) == (65.0, "offer of the yard, 3 May")
        assert [old.price.amount for old in item.before] == [60.0]
        assert [price.amount for price in book.price_book("USD").prices] == [65.0]
        book.import_sheet(sheet)  # the same old sheet does not turn it back
        assert [price.amount for price in book.price_book("USD").prices] == [65.0]


def test_the_same_price_twice_is_kept_once(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.sqlite") as book:
        for _ in range(2):
            assert tell_price(book, PRICE) == {}
        assert len(book.telling.prices()) == 1


def test_each_currency_has_a_book_of_its_own(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.sqlite") as book:
        tell_price(book, PRICE)
        tell_price(book, {**PRICE, "currency": "CAD", "amount": "90"})
        assert {currency: items[0].now.price.amount for currency, items in price_items(book).items()} == {
            "USD": 65.0, "CAD": 90.0}


def test_what_cannot_be_is_told_and_nothing_is_kept(tmp_path: Path) -> None:
    wrong = {"amount": "dear", "unit": "furlong", "currency": "dollars", "item": "love"}
    with open_book(tmp_path / "book.sqlite") as book:
        for column, typed in wrong.items():
            (fault,) = tell_price(book, {**PRICE, column: typed}).items()
            assert (fault[0], typed.casefold() in fault[1].casefold()) == (column, True)
        assert price_items(book) == {}


def test_the_practice_says_of_itself_what_was_typed_and_takes_back_what_was_emptied(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.sqlite") as book:
        typed = {"name": "Roots and Co", "tax_name": "sales tax", "tax_rate": "8.5 %", "valid_days": "30 days"}
        assert tell_own(book, typed) == {}
        said = book.practice()
        assert (said.name, said.tax_pct, said.valid_days, said.terms) == ("Roots and Co", 8.5, 30, "")
        assert tell_own(book, own_cells(said)) == {}
        assert tell_own(book, {**own_cells(said), "tax_rate": "", "terms": "Due in a month.\nNo more."}) == {}
        assert (book.practice().tax_pct, book.practice().terms) == (None, "Due in a month.\nNo more.")


def test_of_two_slips_at_once_both_are_told_and_nothing_is_kept(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.sqlite") as book:
        faults = tell_own(book, {"name": "Roots and Co", "tax_rate": "much", "valid_days": "-1"})
        assert list(faults) == ["tax_rate", "valid_days"]
        assert book.practice().name == ""


def test_a_paper_that_ends_and_one_that_is_taken_off(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.sqlite") as book:
        assert tell_paper(book, "licence", "applicator 12", "2016-06-30") == {}
        assert book.practice().papers == (Paper("licence", "applicator 12", date(2016, 6, 30)),)
        assert '"soon"' in tell_paper(book, "licence", "applicator 13", "soon")["ends"]
        assert list(tell_paper(book, "licence", " ", "2016-06-30")) == ["what"]
        assert tell_paper(book, "licence", "applicator 12", "none") == {}
        assert book.practice().papers == ()
