"""The page of rules: SI units, days of every year, who says so and when that was looked up; they are the practice's."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from rootcase.fieldbook.intake.archive import open_archive
from tests.fieldbook.sheets import PROPERTY, SHEET, open_book, write_sheet

HEADER = ["topic", "law", "value", "unit", "closed_from", "closed_to", "applies_to", "source", "checked_on", "note"]
CHECKED = ["a code, section 1", "2015-11-04", ""]


def rows(*lines: list[str]) -> dict[str, list[list[str]]]:
    return {**SHEET, "rules": [HEADER, *lines]}


def test_a_rule_is_held_in_si_whatever_it_was_typed_in(tmp_path: Path) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        result = book.import_sheet(write_sheet(tmp_path / "in", rows(
            ["nitrogen_year", "A state", "2", "lb/1000 ft2", "", "", "", *CHECKED],
            ["slow share", "A state", "50 %", "", "", "", "slow nitrogen", *CHECKED],
            ["buffer_water", "A state", "20 ft", "", "", "", "compost; extract", *CHECKED],
            ["notice", "A state", "2", "", "", "", "", *CHECKED],
            ["closed", "A state", "", "", "1 Dec", "04-01", "", *CHECKED])))
        assert result.faults == ()
        told = {rule.topic: rule for rule in book.record(result.property_id).rules}
        # 2 lb on 1000 ft2 are 0.90718474 kg on 92.90304 m2; 20 ft are 6.096 m, exactly (international yard and pound).
        assert told["nitrogen_year"].value == pytest.approx(0.90718474 / 92.90304)
        assert (told["slow_share"].value, told["slow_share"].applies_to) == (0.5, ("slow_nitrogen",))
        assert (told["buffer_water"].value, told["buffer_water"].applies_to) == (6.096, ("compost", "extract"))
        assert (told["notice"].value, told["notice"].unit, told["notice"].checked_on) == (2.0, "day", date(2015, 11, 4))
        assert (told["closed"].closed_from, told["closed"].closed_to, told["closed"].value) == ("12-01", "04-01", None)


@pytest.mark.parametrize(("row", "said"), [
    (["curfew", "A state", "", "", "", "", "", *CHECKED], "none of its choices"),
    (["closed", "", "", "", "1 Dec", "1 Apr", "", *CHECKED], "without its law"),
    (["closed", "A state", "", "", "1 Dec", "1 Apr", "", "", "2015-11-04", ""], "without its source"),
    (["closed", "A state", "", "", "1 Dec", "1 Apr", "", "a code", "", ""], "without its checked on"),
    (["closed", "A state", "", "", "1 Dec", "1 Apr", "", "a code", "2016-06-01", ""], "has not come yet"),
    (["closed", "A state", "", "", "1 Dec", "30 Feb", "", *CHECKED], "not a day of the year"),
    (["closed", "A state", "", "", "1/12", "1 Apr", "", *CHECKED], "not a day of the year"),
    (["nitrogen_year", "A state", "2", "lb", "", "", "", *CHECKED], "not the unit"),
    (["nitrogen_year", "A state", "2", "", "", "", "", *CHECKED], "not the unit"),
    (["slow_share", "A state", "150 %", "", "", "", "", *CHECKED], "not the unit"),
    (["buffer_water", "A state", "", "", "", "", "", *CHECKED], "needs its figure"),
    (["post", "A state", "2", "days", "", "", "", *CHECKED], "has no figure"),
    (["notice", "A state", "2", "", "", "", "spraying", *CHECKED], "none of the remedies")])
def test_a_bad_rule_is_named_and_the_rest_is_kept(tmp_path: Path, row: list[str], said: str) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        good = ["post", "A state", "", "", "", "", "", *CHECKED]
        result = book.import_sheet(write_sheet(tmp_path / "in", rows(row, good)))
        assert said in result.faults[0].line
        assert (result.faults[0].sheet, result.faults[0].row) == ("rules", 2)
        assert [rule.topic for rule in book.rules()] == ["post"]


def test_a_changed_rule_takes_the_old_ones_place_and_one_that_ended_is_gone(tmp_path: Path) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        book.import_sheet(write_sheet(tmp_path / "bare", dict(SHEET)))
        for days, counted, held in (("2", (1, 0), [2.0]), ("2", (0, 0), [2.0]), ("3", (0, 1), [3.0]),
                                    ("none", (0, 1), []), ("3", (0, 1), [3.0])):
            result = book.import_sheet(write_sheet(tmp_path / "in", rows(
                ["notice", "A state", days, "", "", "", "", *CHECKED])))
            assert (result.new, result.corrected) == counted
            assert [rule.value for rule in book.rules()] == held


def test_two_closed_times_of_one_law_stand_beside_each_other(tmp_path: Path) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        book.import_sheet(write_sheet(tmp_path / "in", rows(
            ["closed", "A county", "", "", "1 Aug", "30 Sep", "", *CHECKED],
            ["closed", "A county", "", "", "1 Dec", "1 Feb", "", *CHECKED])))
        assert [(rule.closed_from, rule.closed_to) for rule in book.rules()] == [("08-01", "09-30"), ("12-01", "02-01")]


def test_rules_go_out_come_back_and_are_undone(tmp_path: Path) -> None:
    law = [*PROPERTY, ["law", "A state; our own rules"]]
    pages = {**rows(["notice", "A state", "2", "", "", "", "", *CHECKED]), "property": law}
    with open_book(tmp_path / "f.sqlite") as book, open_book(tmp_path / "g.sqlite") as other:
        first = book.import_sheet(write_sheet(tmp_path / "in", pages))
        book.export(tmp_path / "all.zip")
        with open_archive(tmp_path / "all.zip") as archive:
            other.restore(archive)
        assert (other.rules(), other.state_hash()) == (book.rules(), book.state_hash())
        assert other.record(first.property_id).property.law == "A state; our own rules"
        book.undo_import(first.property_id, "a slip")
        assert book.rules() == ()
        book.import_sheet(write_sheet(tmp_path / "in", pages))
        assert len(book.rules()) == 1
