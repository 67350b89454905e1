"""The notice for the people of a ground: what is planned, what was done as it is on record, and what to do."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.records.apply.notice import Notice
from rootcase.records.observe import Practice, Rule
from rootcase.report.pdf.notice import notice_pdf
from rootcase.report.text.notice import notice_text, notice_told
from rootcase.services.log import take_log
from rootcase.services.make_batch import batch_named
from rootcase.services.notice import notice_of
from rootcase.services.week import give_round, plan_week
from rootcase.services.week_known import gather
from tests.report.test_pdf import opened, pages
from tests.services.week_told import NOW, a_week
from tests.web.batches import BACK, yard

MONDAY = date(2016, 5, 2)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Notice, Notice]:
    """Of Monday's planned work, and of the day before with a record."""
    folder: Path = tmp_path_factory.mktemp("notice")
    results = folder / "results"
    with open_fieldbook(a_week(folder), now=lambda: NOW) as book:
        ground = book.properties()[0]
        plan_week(gather(book, MONDAY).known, results)
        tree = next(each.id for each in book.record(ground.id).trees if each.label == "oak 4")
        came = take_log(book, ground, {"tree": tree, "remedy": "growth_regulator", "day": "1 May 2016", "volume": "2",
                                       "started": "9:00", "ended": "9:30", "product": "Example",
                                       "registration": "1234-56"}, "rs", "us")
        assert not came.wrong
        assert not take_log(book, ground, {"tree": tree, "remedy": "mulch", "day": "1 May 2016",
                                           "not_done": "too wet"}, "rs", "us").wrong
        assert not notice_of(book, ground, MONDAY + timedelta(3), MONDAY, results, "us").jobs
        only_proposed = notice_of(book, ground, MONDAY, MONDAY, results, "us")
        assert only_proposed.proposed
        assert only_proposed.jobs
        known = gather(book, MONDAY).known
        for given in plan_week(known, results).rounds:
            give_round(book, given, "rs")
        return (notice_of(book, ground, MONDAY, MONDAY, results, "us"),
                notice_of(book, ground, MONDAY - timedelta(1), MONDAY, results, "us"))


def test_what_is_planned_when_and_what_to_do(made: tuple[Notice, Notice]) -> None:
    text = notice_text(notice_told(made[0]))
    assert text.startswith("Notice: work at Alder Bank, Monday, 2 May 2016\nWork is planned between 08:12 and 10:31")
    for words in ("- Compost extract: at oak 4, 538 ft² (50 m²) of ground.", "- Wood-chip mulch: at oak 4",
                  "Children and pets: off this ground until what was put on has soaked in", "A well or open water",
                  "hives near by", "No trial with landscape trees has shown growth from it.", "By: ____",
                  "Local codes and licensed practice come first."):
        assert words in text, words
    assert "What was put on or done" not in text
    assert "re-entry" not in text  # nothing with a label


def test_a_round_that_nobody_gave_is_told_as_proposed_and_not_to_be_posted(made: tuple[Notice, Notice]) -> None:
    assert not made[0].proposed
    told = notice_told(replace(made[0], proposed=True))
    assert told.lede.startswith("Proposed only, between 08:12 and 10:31: no crew has this work yet. Not to be posted")
    assert told.posted == ""


def test_nothing_is_said_of_flowers_and_food_that_nobody_looked_at(made: tuple[Notice, Notice]) -> None:
    for notice in made:
        text = notice_text(notice_told(notice))
        assert "nothing is put on" not in text
        assert "Bees: tell us of hives near by" in text
        assert "Ask us what was put on before you pick or eat" in text


def test_extract_whose_batch_was_called_back_is_told_first(made: tuple[Notice, Notice], tmp_path: Path) -> None:
    assert [each.recalled for each in made] == [(), ()]
    yard(tmp_path / "own.sqlite", NOW)
    with open_fieldbook(tmp_path / "own.sqlite", now=lambda: NOW) as book:
        batch = batch_named(book, BACK)
        way = next(each.applied for each in book.making.tracing.of("batch", batch.id) if each.applied)
        ground = next(each for each in book.properties() if each.id == way.property_id)
        day = date.fromisoformat(way.day)
        told = notice_told(notice_of(book, ground, day, day, tmp_path, "us"))
        assert notice_of(book, ground, day - timedelta(1), day, tmp_path, "us").recalled == ()
    assert f"It was of batch {BACK}. Known since: {batch.refused_since}." in told.recalled[0]
    text = notice_text(told)
    assert text.index("Known since") < text.index("What was put on or done")


def test_what_was_put_on_stands_as_it_is_on_record(made: tuple[Notice, Notice]) -> None:
    told = notice_told(replace(made[1], practice=Practice(name="Elm and Root", reach="555 0199")))
    assert told.done == (
        "Growth regulator: at oak 4. 2 gal. 09:00 – 09:30. Product: Example, registration number 1234-56.",)
    assert not told.planned
    assert any("its own time of re-entry holds where it is longer" in line for line in told.to_do)
    assert told.label.startswith("May be walked on again, by the label: ___")
    assert told.by == ("By Elm and Root.", "555 0199")


def test_a_law_on_file_that_asks_for_a_notice_is_named(made: tuple[Notice, Notice]) -> None:
    rule = Rule("notice", "An invented county", 2.0, "day", "", "", ("growth_regulator",), "s. 1", MONDAY, "")
    told = notice_told(replace(made[1], rules=(rule, replace(rule, topic="post", value=None))))
    assert told.law[:2] == ("An invented county asks for a notice, 2 days before.",
                            "An invented county asks for a sign on the ground.")


def test_a_day_with_nothing_says_so_and_asks_nothing(made: tuple[Notice, Notice]) -> None:
    told = notice_told(replace(made[0], jobs=(), starts_min=None, ends_min=None))
    assert (told.lede, told.to_do, told.posted) == (
        "Nothing is planned here on that day, and nothing is on record.", (), "")


@pytest.mark.parametrize("system", ["us", "metric"])
def test_the_sheet_to_be_posted_is_one_page_without_anybodys_name(made: tuple[Notice, Notice], system: str) -> None:
    for notice in made:
        pdf = notice_pdf(replace(notice, system=system))  # type: ignore[arg-type]
        (text,) = pages(pdf)
        assert "Posted on" in text
        assert "rs" not in text.split()
        assert "/StructTreeRoot" in opened(pdf).trailer["/Root"]
