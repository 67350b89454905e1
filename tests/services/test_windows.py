"""From a signed plan and a forecast to the days that are fit, and to what waits for a round."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest

from rootcase.fieldbook.applied.ground_use import LocateTold, SqueezeTold
from rootcase.fieldbook.events import Event, ReadingTaken
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.records.observe import Property
from rootcase.report.text.windows import finding_lines, later_lines, squeezed_lines
from rootcase.services.told import tell_paper
from rootcase.services.windows import GroundWindows, waiting_of, windows_at, windows_of_all
from tests.fieldbook.sheets import open_book
from tests.services.planned import TODAY, planned


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Fieldbook]:
    with open_book(tmp_path / "book.sqlite") as book:
        yield book


def states(found: GroundWindows, remedy: str) -> list[str]:
    return [day.state for window in found.windows if window.remedy == remedy for day in window.days]


def tell(book: Fieldbook, ground: Property, body: PutOnLogged) -> None:
    with book.store.writing() as turn:
        turn.add([Event(book.applying.new_id(), book.store.practice_id, ground.id, "2016-05-01T10:00:00.000Z", "desk",
                        body)])


def test_a_week_of_a_signed_plan(book: Fieldbook, tmp_path: Path) -> None:
    ground = planned(book, tmp_path, rain=(0.0, 0.0, 0.0, 0.0, 20.0, 0.0, 0.0, 0.0))
    (found,) = windows_of_all(book, book.properties(), TODAY, 8)
    assert [(job.remedy, job.tree_label, job.litres) for job in found.jobs] == [
        ("air_tillage", "oak 4", 0.0), ("mulch", "oak 4", 0.0), ("extract", "oak 4", 110.0)]
    # Rain of the day after the last is not forecast, and lines are not located.
    assert states(found, "extract")[:4] == ["fit", "fit", "fit", "not_fit"]
    assert (states(found, "extract")[7], states(found, "mulch")[7]) == ("not_known", "fit")
    assert set(states(found, "air_tillage")) <= {"not_known", "not_fit"}
    book.applying.tell_ground(ground.id, LocateTold(slot="l", by="rs", number="412", first=TODAY,
                                                    last=TODAY + timedelta(1)))
    assert states(windows_at(book, ground, TODAY, 8), "air_tillage")[:3] == ["fit", "fit", "not_fit"]


def test_a_squeeze_told_today_closes_today_and_is_carried_on(book: Fieldbook, tmp_path: Path) -> None:
    ground = planned(book, tmp_path, ("extract",))
    place = next(place.id for place in book.record(ground.id).places if place.name == "lawn")
    assert states(windows_at(book, ground, TODAY, 7), "extract")[0] == "fit"
    book.applying.tell_ground(ground.id, SqueezeTold(slot="s", by="rs", place=place, day=TODAY, state="saturated"))
    found = windows_at(book, ground, TODAY, 7)
    assert states(found, "extract")[0] == "not_fit"
    assert states(found, "extract")[4] == "fit"  # it has drained


def test_work_of_a_later_season_is_told_with_its_day_and_a_refused_handful_with_its_own(
        book: Fieldbook, tmp_path: Path) -> None:
    ground = planned(book, tmp_path, ("extract",))
    place = next(place.id for place in book.record(ground.id).places if place.name == "lawn")
    winter = date(2016, 1, 25)
    found = windows_at(book, ground, winter, 7)
    assert (found.jobs, windows_of_all(book, [ground], winter, 7)) == ((), (found,))
    assert later_lines(found.later) == ["compost extract at oak 4: in season from 15 March 2016."]
    assert windows_at(book, ground, TODAY, 7).later == ()
    for day, state in ((TODAY - timedelta(1), "saturated"), (TODAY, "fit"), (TODAY - timedelta(20), "saturated")):
        book.applying.tell_ground(ground.id, SqueezeTold(slot=f"{day}", by="rs", place=place, day=day, state=state))
    told = windows_at(book, ground, TODAY, 7)
    assert squeezed_lines(told.told, told.record, TODAY) == [
        "lawn: refused at the gate on 1 May 2016, too wet when squeezed."]


def test_a_place_that_needs_a_permit_closes_root_work_until_a_paper_names_it(book: Fieldbook, tmp_path: Path) -> None:
    ground = planned(book, tmp_path, ("air_tillage", "mulch"))
    place = next(place.id for place in book.record(ground.id).places if place.name == "lawn")
    with book.store.writing() as turn:
        turn.add([Event(book.applying.new_id(), book.store.practice_id, ground.id, "2016-05-01T10:00:00.000Z", "desk",
                        ReadingTaken(slot="r", kind="tree_protection_rule", of=place, visit="", typed="permit",
                                     choice="permit"))])
    found = windows_at(book, ground, TODAY, 7)
    assert set(states(found, "air_tillage")) == {"not_fit"}
    assert "fit" in states(found, "mulch")
    line = finding_lines(next(window for window in found.windows if window.remedy == "air_tillage").days[0], "us")
    assert "Root work needs a permit here, as somebody looked up; none was told." in line
    for paper in (f"city, {ground.name}ville", f"city, lawn, {ground.name}s", "lawn, 12 Mill St",
                  f"another bed at {ground.name}: {book.record(ground.id).places[1].name}"):
        assert tell_paper(book, "permit", paper, "2016-12-31") == {}
        assert set(states(windows_at(book, ground, TODAY, 7), "air_tillage")) == {"not_fit"}, paper
    assert tell_paper(book, "permit", f"city, {ground.name}", "2016-05-02") == {}
    assert states(windows_at(book, ground, TODAY, 7), "air_tillage")[-1] == "not_fit"  # it ended before
    assert tell_paper(book, "permit", f"city, {ground.name}: LAWN", "2016-12-31") == {}
    assert set(states(windows_at(book, ground, TODAY, 7), "air_tillage")) <= {"fit", "not_known"}


def test_days_that_a_client_told_in_words_close_as_far_as_they_can_be_read(book: Fieldbook, tmp_path: Path) -> None:
    ground = planned(book, tmp_path, ("mulch",))
    place = next(place.id for place in book.record(ground.id).places if place.name == "lawn")
    with book.store.writing() as turn:
        turn.add([Event(book.applying.new_id(), book.store.practice_id, ground.id, "2016-05-01T10:00:00.000Z", "desk",
                        ReadingTaken(slot="r", kind="closed_days", of=place, visit="", typed="",
                                     choice="Wed: school; 6 May 2016: fair; ring Jo"))])
    days = windows_at(book, ground, TODAY, 7).windows[0].days
    assert [each.day.day for each in days if each.state == "not_fit"] == [4, 6]
    assert [each.says for day in days for each in day.findings if each.gate == "use"] == ["school", "fair"]


def test_what_was_put_on_waits_no_more(book: Fieldbook, tmp_path: Path) -> None:
    ground = planned(book, tmp_path)
    tree = next(tree for tree in book.record(ground.id).trees if tree.label == "oak 4")
    tell(book, ground, PutOnLogged(slot="1", tree=tree.id, remedy="mulch", day=date(2016, 4, 28), by="rs"))
    tell(book, ground, PutOnLogged(slot="2", tree=tree.id, remedy="extract", day=date(2016, 4, 28), by="rs",
                                   not_done="rain"))
    assert [job.remedy for job in windows_at(book, ground, TODAY, 7).jobs] == ["air_tillage", "extract"]


def test_what_waits_for_a_round_has_its_fit_days_and_a_position(book: Fieldbook, tmp_path: Path) -> None:
    planned(book, tmp_path, ("extract", "mulch"))
    waiting = waiting_of(windows_of_all(book, book.properties(), TODAY, 8))
    assert [(each.job.remedy, len(each.days)) for each in waiting] == [("mulch", 8), ("extract", 7)]
    assert {each.latitude_deg for each in waiting} == {47.45}


def test_without_a_forecast_nothing_is_fit(book: Fieldbook, tmp_path: Path) -> None:
    planned(book, tmp_path, forecast=False)
    (found,) = windows_of_all(book, book.properties(), TODAY, 8)
    assert {state for remedy in ("extract", "air_tillage", "mulch") for state in states(found, remedy)} == {"not_known"}
