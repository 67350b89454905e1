"""The price book: SI units, one currency, the newest price."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.fieldbook.sheets import PROPERTY, SHEET, open_book, write_sheet

HEADER = ["item", "unit", "amount", "currency", "source"]


def test_prices_are_per_metre_whatever_they_were_per(tmp_path: Path) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        rows = [HEADER, ["mulch", "per yd3", "45", "USD", "ours"], ["compost", "1000 sq ft", "390", "", ""],
                ["air tillage", "per_m2", "31.00", "usd", ""], ["visit", "per visit", "180", "USD", ""],
                ["Minimum charge", "per_visit", "250", "USD", ""]]
        result = book.import_sheet(write_sheet(tmp_path / "in", {**SHEET, "prices": rows}))
        assert result.faults == ()
        found = {price.item: (price.unit, price.amount, price.currency, price.source)
                 for price in book.price_book("USD").prices}
        # 1 yd3 is 0.764554857984 m3 and 1000 ft2 are 92.90304 m2, exactly (international yard).
        assert found["mulch"] == ("per_m3", pytest.approx(45 / 0.764554857984), "USD", "ours")
        assert found["compost"] == ("per_m2", pytest.approx(390 / 92.90304), "USD", "prices.csv, row 3")
        assert found["air_tillage"][:2] == ("per_m2", 31.0)
        assert found["visit"][:2] == ("per_visit", 180.0)
        assert (book.price_book("USD").minimum_charge, book.price_book("USD").currency) == (250.0, "USD")


def test_a_new_price_takes_the_old_ones_place_and_the_same_one_changes_nothing(tmp_path: Path) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        book.import_sheet(write_sheet(tmp_path / "bare", dict(SHEET)))
        for amount, counted in (("9", (1, 0)), ("9", (0, 0)), ("12", (0, 1)), ("9", (0, 1))):
            pages = {**SHEET, "prices": [HEADER, ["mulch", "m2", amount, "USD", "ours"]]}
            result = book.import_sheet(write_sheet(tmp_path / "in", pages))
            assert (result.new, result.corrected) == counted
            assert [price.amount for price in book.price_book("USD").prices] == [float(amount)]


@pytest.mark.parametrize("amount", ["$2,900", "2,900", "2900 USD", "2,900.00"])
def test_a_price_is_read_as_people_write_money(tmp_path: Path, amount: str) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        book.import_sheet(write_sheet(tmp_path / "in", {**SHEET, "prices": [
            HEADER, ["mulch", "per_m2", amount, "USD", ""]]}))
        assert [price.amount for price in book.price_book("USD").prices] == [2900.0]


@pytest.mark.parametrize(("row", "said"), [
    (["mulhc", "per_m2", "9", "USD", ""], "none of its choices"),
    (["mulch", "per_m2", "€2,900", "USD", ""], "the sums here are in USD"),
    (["mulch", "per_m2", "2,900.1.1", "USD", ""], "this is no sum of money"),
    (["mulch", "per_m2", "-9", "USD", ""], "this is not a price"),
    (["mulch", "per acre foot", "9", "USD", ""], "cannot be per"),
    (["mulch", "per_m2", "9", "EUR", ""], "not in the property's currency, USD"),
    (["mulch", "per_m2", "9 in", "USD", ""], "this is no sum of money"),
    (["mulch", "psi", "9", "USD", ""], "cannot be per")])
def test_a_bad_price_is_named(tmp_path: Path, row: list[str], said: str) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        result = book.import_sheet(write_sheet(tmp_path / "in", {**SHEET, "prices": [HEADER, row]}))
        assert said in result.faults[0].line
        assert (result.faults[0].sheet, result.faults[0].row) == ("prices", 2)
        assert book.price_book("USD").prices == ()


def test_a_fieldbook_without_prices_has_an_empty_book(tmp_path: Path) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        assert book.price_book("USD").prices == ()


def test_the_same_price_from_another_file_is_no_correction(tmp_path: Path) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        for name, corrected in (("a", 0), ("b", 0)):
            folder = write_sheet(tmp_path / name, {**SHEET, "prices": [HEADER, ["mulch", "per_m2", "9", "USD", ""]]})
            (folder / "prices.csv").rename(folder / f"prices {name}.csv")
            assert book.import_sheet(folder).corrected == corrected


def test_prices_of_another_currency_stand_beside_and_are_never_taken_for_ours(tmp_path: Path) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        for name, currency, amount in (("here", "USD", "9"), ("across the border", "EUR", "8")):
            told = {"name": name, "currency": currency}
            property_page = [[key, told.get(key, value)] for key, value in PROPERTY]
            result = book.import_sheet(write_sheet(tmp_path / name, {
                "property": property_page, "prices": [HEADER, ["mulch", "per_m2", amount, currency, ""]]}))
            assert (result.faults, result.corrected) == ((), 0)
        assert [[price.amount for price in book.price_book(each).prices] for each in ("USD", "EUR", "CAD")] == [
            [9.0], [8.0], []]
