"""The calendar file against RFC 5545: line ends, folding, escapes, whole days."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from rootcase.report.icalendar import CalendarDay, calendar_file, folded

MADE = datetime(2016, 5, 2, 6, 30, tzinfo=UTC)
DAY = CalendarDay(key="lawn extract", day=date(2016, 12, 31), title="Extract; oak 4, lawn", where="Alder Bank",
                  words="fit, 0.93\nSoil at 4 in: 57 °F \\ 14 °C" + " and so on" * 20)


def unfolded(file: bytes) -> list[str]:
    """Lines as RFC 5545, 3.1 has a reader put them together."""
    return file.replace(b"\r\n ", b"").decode().split("\r\n")


@pytest.mark.published
def test_lines_end_and_are_folded_as_the_standard_asks() -> None:
    file = calendar_file([DAY], MADE)
    assert file.endswith(b"END:VCALENDAR\r\n")
    assert b"\n" not in file.replace(b"\r\n", b"")
    assert max(map(len, file.split(b"\r\n"))) == 75
    for part in file.split(b"\r\n"):
        part.decode()  # no letter is torn


@pytest.mark.published
def test_a_whole_day_ends_on_the_next_and_text_is_escaped() -> None:
    lines = unfolded(calendar_file([DAY], MADE))
    assert lines[:3] == ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//rootcase//days ahead//EN"]
    for line in ("DTSTART;VALUE=DATE:20161231", "DTEND;VALUE=DATE:20170101", "DTSTAMP:20160502T063000Z",
                 "SUMMARY:Extract\\; oak 4\\, lawn"):
        assert line in lines
    told = next(line for line in lines if line.startswith("DESCRIPTION:"))
    assert told.startswith("DESCRIPTION:fit\\, 0.93\\nSoil at 4 in: 57 °F \\\\ 14 °C and")


@pytest.mark.property
def test_the_same_day_has_the_same_name_in_every_file() -> None:
    first, second = (unfolded(calendar_file([DAY], at)) for at in (MADE, datetime(2016, 5, 3, tzinfo=UTC)))
    uid = [line for line in first if line.startswith("UID:")]
    assert uid == [line for line in second if line.startswith("UID:")]


@pytest.mark.property
@pytest.mark.parametrize("text", ["", "x" * 74, "x" * 75, "x" * 76, "ü" * 200, "楓" * 100, "🌳" * 60])
def test_folding_tears_no_letter_and_loses_none(text: str) -> None:
    parts = list(folded(text))
    assert b"".join(parts[:1] + [part[1:] for part in parts[1:]]).decode() == text
    assert all(len(part) <= 75 for part in parts)
    assert all(part.startswith(b" ") for part in parts[1:])


@pytest.mark.property
def test_what_no_text_may_hold_is_left_out() -> None:
    odd = calendar_file([CalendarDay(key="k", day=DAY.day, title="a\x00b\x1bc\r\nBEGIN:VEVENT", where="", words="")],
                        MADE)
    assert unfolded(odd).count("BEGIN:VEVENT") == 1
    assert b"abc\\nBEGIN" in odd
