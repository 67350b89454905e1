"""Days in use, out of words."""

from __future__ import annotations

from datetime import date

import pytest

from rootcase.fieldbook.intake.used_days import UsedDays, used_days

TOLD = date(2016, 5, 2)
YEAR = date(2017, 5, 3)


@pytest.mark.parametrize(("text", "found"), [
    ("Saturdays", UsedDays("Saturdays", TOLD, YEAR, (5,))),
    ("sun and sat: cricket", UsedDays("cricket", TOLD, YEAR, (5, 6))),
    ("Mon-Fri: school", UsedDays("school", TOLD, YEAR, (0, 1, 2, 3, 4))),
    ("Mon – Wed. and Fri: school", UsedDays("school", TOLD, YEAR, (0, 1, 2, 4))),
    ("Friday to Monday: camp", UsedDays("camp", TOLD, YEAR, (0, 4, 5, 6))),
    ("Sat/Sun: matches", UsedDays("matches", TOLD, YEAR, (5, 6))),
    ("Tues, Thurs, and Sat: market", UsedDays("market", TOLD, YEAR, (1, 3, 5))),
    ("2016-06-12: fair", UsedDays("fair", date(2016, 6, 12), date(2016, 6, 12))),
    ("12 June 2016 to 14 June 2016", UsedDays("12 June 2016 to 14 June 2016", date(2016, 6, 12), date(2016, 6, 14))),
    ("12 June 2016 – 14 June 2016: camp", UsedDays("camp", date(2016, 6, 12), date(2016, 6, 14)))])
def test_what_names_days_closes_them(text: str, found: UsedDays) -> None:
    assert used_days(text, TOLD) == ((found,), ())


@pytest.mark.parametrize("text", [
    "Monsoon", "Sunny days: picnic", "Mon-Wed-Fri: school", "Mon-Fri 8 to 3: school", "Satan: x",
    "match on Saturdays", "ring Jo", "6/7/2016", "14 June 2016 to 12 June 2016",
    "1 May 2016 to 2 May 2016 to 3 May 2016",
    "d" * 400, ": fair", "31 June 2016"])
def test_what_names_none_is_given_back(text: str) -> None:
    assert used_days(text, TOLD) == ((), (text,))


def test_nothing_told_is_nothing() -> None:
    assert used_days(" ; ", TOLD) == ((), ())
