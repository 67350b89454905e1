"""Day sheet and job sheets: a page a stop, what stops the work first, and nothing that is not known."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.store.store import Contact
from rootcase.ground.errors import Missing
from rootcase.records.apply.round_paper import RoundPaper, StopPaper
from rootcase.records.apply.windows import Finding, Gate, PlaceDay
from rootcase.report.pdf.day_sheet import day_sheet_pdf
from rootcase.report.pdf.job_sheet import job_sheet_pdf
from rootcase.report.text.rounds import Names
from rootcase.report.text.stop_paper import locate_line, stops_work, work_lines
from rootcase.services import round_paper as paper_service
from rootcase.services.ground_told import tell_of_ground
from rootcase.services.jobs import tell_gate
from rootcase.services.log import ADDRESS
from rootcase.services.round_paper import round_paper
from rootcase.services.week import plan_week, whole_week
from rootcase.services.week_known import gather, names_of
from tests.report.test_pdf import opened, pages
from tests.services.week_told import NOW, a_week

MONDAY, TUESDAY = date(2016, 5, 2), date(2016, 5, 3)
Made = tuple[RoundPaper, RoundPaper, Names]


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """Monday's round with extract, Tuesday's with work that opens located ground."""
    folder: Path = tmp_path_factory.mktemp("paper")
    with open_fieldbook(a_week(folder), now=lambda: NOW) as book:
        ground = book.properties()[0]
        tell_gate(book, ground, "4417 star")
        with book.store.writing() as turn:
            turn.keep_contacts([Contact("c1", ground.id, "site contact", "Name Invented", "555 0100"),
                                Contact("c2", ground.id, ADDRESS, "1 Invented Lane")])
        assert not tell_of_ground(book, ground, "locate", {"number": "16-0042", "first": "1 May 2016",
                                                           "last": "14 May 2016"}, by="rs", today=MONDAY)
        found = gather(book, MONDAY)
        week = whole_week(found.known, plan_week(found.known, folder / "results", 1.0))
        papers = [round_paper(book, found, week, (each.day, each.crew_id), "us") for each in week.rounds]
        with pytest.raises(Missing, match="no such round"):
            round_paper(book, found, week, (MONDAY, "crew 9"), "us")
        liquid = next(each for each in papers if any(stop.make for stop in each.stops))
        halved = tuple(replace(each, litres=each.litres / 2) for each in liquid.given.steps)
        parted = replace(week, rounds=(replace(liquid.given, steps=halved),))
        half = round_paper(book, found, parted, (MONDAY, liquid.crew.id), "us")
        assert [stop.parts for stop in half.stops] == [2 if stop.make else 1 for stop in liquid.stops]
        assert not any(stop.concerned for stop in half.stops)
        monkeyed = pytest.MonkeyPatch()
        monkeyed.setattr(paper_service, "concerned_trees", lambda _: {job.tree_id for job in half.stops[0].jobs})
        stopped = round_paper(book, found, week, (MONDAY, liquid.crew.id), "us")
        assert stopped.stops[0].concerned == tuple(dict.fromkeys(job.tree_label for job in half.stops[0].jobs))
        monkeyed.undo()
    opening = next(each for each in papers if any(locate_line(stop) for stop in each.stops))
    return liquid, opening, names_of(found)


def gates(stop: StopPaper, *found: tuple[Gate, str]) -> StopPaper:
    """A stop whose day stands so for all its work."""
    findings = tuple(Finding(gate=gate, state=state, basis="told", decides=True) for gate, state in found)  # type: ignore[arg-type]
    return replace(stop, ahead={job.id: PlaceDay(day=MONDAY, state="not_fit", findings=findings, chance=None)
                                for job in stop.jobs})


def test_a_page_a_stop_with_all_that_has_to_be_written(made: Made) -> None:
    liquid, opening, _ = made
    paper = replace(opening, stops=(*opening.stops, *liquid.stops))
    found = pages(job_sheet_pdf(paper))
    assert len(found) == len(paper.stops)
    first = " ".join(found[0].split())
    for words in ("Gate: 4417 star", "Site contact: Name Invented, 555 0100", "number 16-0042, last day 14 May 2016",
                  "24 barrows of 6 ft³", "Meter before", "License number", "Registration number", "Squeeze at 4 in",
                  "Not done, because", "Have buried lines marked", "Local codes and licensed practice come first.",
                  "stop, make safe", "Signed on 21 January 2016 by rs"):
        assert words in first, words
    assert "Invented Lane" not in first  # the client's address is for the record
    assert "Stops the work" not in first
    assert "29.1 gal (110 L) of the batch planned for 08:00. Refuse it from 09:00." in " ".join(found[-1].split())


def test_what_stops_the_work_comes_first_with_who_frees_it(made: Made) -> None:
    stop = made[1].stops[0]
    none = gates(stop, ("locate", "not_known"), ("saturated", "not_fit"), ("frost", "not_fit"))
    lines = stops_work(none, crew_licensed=False)
    assert lines[0].startswith("No locate number: the ground is not opened.")
    assert any("not on this day, saturated and frost" in line for line in lines)
    assert locate_line(none).startswith("Lines located? Number and last day: ___")
    assert stops_work(stop, crew_licensed=False) == ()
    licensed = replace(stop, licence_for=(stop.jobs[0].id,))
    assert "only by somebody licensed" in stops_work(licensed, crew_licensed=False)[0]
    assert stops_work(licensed, crew_licensed=True) == ()
    text = pages(job_sheet_pdf(replace(made[1], stops=(none,))))[0]
    assert text.index("Stops the work") < text.index("Gate:") < text.index("What to do") < text.index("To write here")


def test_no_work_under_a_tree_in_which_something_could_fail(made: Made) -> None:
    stop = made[1].stops[0]
    assert stops_work(stop, crew_licensed=True) == ()
    assert stops_work(replace(stop, concerned=("oak 4",)), crew_licensed=True) == (
        "No work under oak 4. Pass it to a qualified risk assessor.",)


def test_extract_that_is_refused_or_too_old_is_not_put_on(made: Made) -> None:
    stop = next(each for each in made[0].stops if each.make)
    assert stop.make
    gone = replace(stop, make=replace(stop.make, refused=True, ends_min=None, use_by_min=None))
    assert "is not there. Chips and water go ahead" in stops_work(gone, crew_licensed=True)[0]
    old = replace(stop, make=replace(stop.make, use_by_min=stop.step.ends_min - 5))
    assert stops_work(old, crew_licensed=True)[0].startswith("This extract is refused from 08:31")


def test_trees_of_one_dose_stand_in_one_line(made: Made) -> None:
    stop = made[0].stops[0]
    many = replace(stop, jobs=tuple(replace(stop.jobs[0], id=str(n), tree_label=f"oak {n}") for n in range(4, 8)))
    ((_, lines),) = work_lines(many, "us")
    assert lines[0].startswith("Oak 4, oak 5, oak 6, oak 7, each: 55 gal/1000 ft²")
    assert "each: 224 L/100 m²" in work_lines(many, "metric")[0][1][0]


def test_the_day_on_one_page_in_both_systems(made: Made) -> None:
    liquid, _, names = made
    for system, width in (("us", 612), ("metric", 595)):
        pdf = day_sheet_pdf(replace(liquid, system=system), names)  # type: ignore[arg-type]
        assert pdf == day_sheet_pdf(replace(liquid, system=system), names)  # type: ignore[arg-type]
        assert round(float(opened(pdf).pages[0].mediabox.width)) == width
        (text,) = pages(pdf)
        words = " ".join(text.split())
        assert "One make of extract; it is out 24 min before it is too old." in words
        assert "36 min; refuse from 09:00" in words
        assert "drive, wait 2 min" in words
        assert "Gate: 4417 star" in words
    assert "/StructTreeRoot" in opened(pdf).trailer["/Root"]


def test_a_stop_that_does_a_part_orders_its_share_alone(made: Made) -> None:
    stop = next(each for each in made[0].stops if each.make)
    assert stop.parts == 1
    half = replace(stop, parts=2)
    ((_, lines),) = work_lines(half, "us")
    assert lines[0].startswith("Oak 4: here 1 part of 2: 14.5 gal (54.9 L). All parts together: 55 gal/1000 ft²")
    text = pages(job_sheet_pdf(replace(made[0], stops=(half,))))[0]
    assert "here 1 part of 2: 14.5 gal (54.9 L)" in " ".join(text.split())
