"""Heaps from what is typed to the verdict: units, clocks, slips, corrections, files, and what is hostile."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.fieldbook.intake.heat_file import HeatFileSaid
from rootcase.ground.errors import Missing
from rootcase.records.make.heap import Heap
from rootcase.services.heap import (
    check_probes,
    correct_heat,
    heap_named,
    heaps,
    judged_heap,
    start_heap,
    take_back,
    tell_heat,
    turn,
)
from rootcase.services.heap_figures import correct_entry, figure_cells, free, hold, measure, read_beans
from rootcase.services.heap_file import bring_heat
from tests.casework.make.heaps import LOG_A, LOG_B, LOG_C, TURN_DAYS

NOW = datetime(2015, 12, 1, 12, tzinfo=UTC)
START = {"name": "4", "shape": "windrow", "rule": "cfr_503", "time_zone": "America/New_York", "day": "2015-05-01",
         "time": "08:00"}


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Fieldbook]:
    with open_fieldbook(tmp_path / "book.sqlite", now=lambda: NOW) as opened:
        yield opened


def started(book: Fieldbook, **other: str) -> Heap:
    told = start_heap(book, {**START, **other}, by="rs", now=NOW)
    assert not told.wrong
    return heap_named(book, told.heap_id)


def heat(book: Fieldbook, heap: Heap, value: str, **cells: str) -> dict[str, str]:
    return tell_heat(book, heap, {"probe": "1", "value": value, **cells}, by="rs", now=NOW, system="us").wrong


def read_at(book: Fieldbook, heap: Heap, value: str, **cells: str) -> tuple[float, datetime]:
    assert not heat(book, heap, value, **cells)
    found = heap_named(book, heap.id).readings[-1]
    return found.temperature_c, found.at


@pytest.mark.parametrize(("log", "verdict"), [(LOG_A, "met"), (LOG_B, "not shown"), (LOG_C, "not met")])
def test_the_published_logs_from_what_is_typed_to_the_verdict(book: Fieldbook, log: dict[int, int],
                                                              verdict: str) -> None:
    heap = started(book)
    day = {at: (datetime(2015, 5, 1, tzinfo=UTC) + timedelta(days=at)).date().isoformat() for at in range(21)}
    check_probes(book, heap, {"probes": "1, 2", "day": day[0], "time": "8:00"}, by="rs", now=NOW)
    for at, warm in log.items():
        for probe in "12":
            assert not heat(book, heap, f"{warm * 1.8 + 32:g} F", probe=probe, day=day[at], time="8:00 am")
    for at in TURN_DAYS:
        assert not turn(book, heap, {"day": day[at], "time": "8:00"}, by="rs", now=NOW).wrong
    assert judged_heap(book, "4")[1].verdict == verdict


def test_a_number_is_in_the_persons_degrees_and_a_unit_goes_before(book: Fieldbook) -> None:
    heap = started(book)
    assert read_at(book, heap, "140")[0] == pytest.approx(60.0)
    assert read_at(book, heap, "60 C")[0] == 60.0


@pytest.mark.parametrize(("cells", "about", "words"), [
    ({"value": "400"}, "value", "no heap is that warm"), ({"value": "hot"}, "value", '"hot"'),
    ({"value": ""}, "value", "type what the probe reads"), ({"value": "130-140"}, "value", "one number"),
    ({"probe": "0"}, "probe", "1 to 20"), ({"probe": "²"}, "probe", "1 to 20"),
    ({"probe": "9" * 50}, "probe", "1 to 20"),
    ({"day": "2016-05-01", "time": "8:00"}, "day", "lies ahead"), ({"day": "0001-01-01", "time": "8:00"}, "day", "old"),
    ({"day": "9999-12-31", "time": "8:00"}, "day", "ahead"), ({"day": "5/4/2015", "time": "8:00"}, "day", "4 May"),
    ({"time": "25:00"}, "time", "no time of day"), ({"value": "\0" * 9}, "value", "; "),
    ({"value": "9" * 5000}, "value", "; "), ({"day": "x" * 5000, "time": "8:00"}, "day", "; "),
])
def test_what_cannot_be_is_told_beside_its_cell_and_nothing_is_kept(book: Fieldbook, cells: dict[str, str], about: str,
                                                                   words: str) -> None:
    heap = started(book)
    wrong = heat(book, heap, cells.pop("value", "140"), **cells)
    assert words in wrong[about]
    assert "\n" not in wrong[about]
    assert not heap_named(book, heap.id).readings


def test_the_hour_that_comes_twice_is_asked(book: Fieldbook) -> None:
    heap, twice = started(book), {"day": "2015-11-01", "time": "1:30"}
    assert set(heat(book, heap, "140", **twice)) == {"which"}
    first, second = (read_at(book, heap, "140", which=which, **twice)[1] for which in ("first", "second"))
    assert second - first == timedelta(hours=1)


def test_the_hour_that_never_was_is_refused_with_both_neighbors(book: Fieldbook) -> None:
    wrong = heat(book, started(book), "140", day="2015-03-08", time="2:30")
    assert "02:00" in wrong["time"]
    assert "03:00" in wrong["time"]


def test_a_form_that_is_sent_twice_is_kept_once(book: Fieldbook) -> None:
    heap, mark = started(book), book.making.new_id()
    assert not heat(book, heap, "140", mark=mark)
    assert not heat(book, heap, "140", mark=mark)
    assert len(heap_named(book, heap.id).readings) == 1
    assert len(book.making.events()) == 2
    again = start_heap(book, {**START, "mark": heap.id}, by="rs", now=NOW)
    assert (again.heap_id, again.wrong) == (heap.id, {})


def test_another_value_under_the_same_mark_is_kept_as_well(book: Fieldbook) -> None:
    heap, mark = started(book), book.making.new_id()
    timed = {"mark": mark, "day": "2015-11-30", "time": "8:00"}
    for value, cells in (("140", {"mark": mark}), ("150", {"mark": mark}), ("140", {"mark": mark}),
                         ("140", timed), ("140", timed | {"time": "8:05"})):
        assert not heat(book, heap, value, **cells)
    assert [each.typed for each in heap_named(book, heap.id).readings] == ["140", "140", "140", "150"]
    lead = {"quantity": "lead", "value": "30", "lab": "a laboratory", "mark": f"{mark}-3"}
    told = [measure(book, heap, lead | {"value": value}, by="rs", now=NOW).slot for value in ("30", "31", "30")]
    assert told[0] == told[2] != told[1]
    assert [each.value for each in heap_named(book, heap.id).figures] == [30.0, 31.0]


def test_another_heap_under_the_same_mark_is_another_heap(book: Fieldbook) -> None:
    heap = started(book)
    told = start_heap(book, {**START, "mark": heap.id, "rule": "nop"}, by="rs", now=NOW)
    assert set(told.wrong) == {"name"}
    told = start_heap(book, {**START, "mark": heap.id, "name": "North"}, by="rs", now=NOW)
    assert told.heap_id != heap.id
    assert [each.name for each in heaps(book)] == ["4", "North"]


def test_turned_now_pressed_again_is_one_turn_and_the_next_day_from_the_same_page_another(book: Fieldbook) -> None:
    heap, mark = started(book), book.making.new_id()
    for later in (timedelta(), timedelta(minutes=1), timedelta(days=1)):
        assert not turn(book, heap, {"mark": f"{mark}-1"}, by="rs", now=NOW + later).wrong
    assert [each.at for each in heap_named(book, heap.id).turns] == [NOW, NOW + timedelta(days=1)]


def test_a_hold_is_freed_and_never_taken_back(book: Fieldbook) -> None:
    heap = started(book)
    for slot in (hold(book, heap, "hay", by="rs", now=NOW).slot, free(book, heap, "asked", by="rs", now=NOW).slot):
        with pytest.raises(Missing, match="not taken back"):
            take_back(book, heap, slot, "slip", by="rs")
    assert len(heap_named(book, heap.id).holdings) == 2


def test_a_reading_is_corrected_and_taken_back_and_both_stay_on_record(book: Fieldbook) -> None:
    heap = started(book)
    read_at(book, heap, "60")
    heap = heap_named(book, heap.id)
    slot = heap.readings[0].id
    told = {"probe": "1", "value": "140", "day": "2015-11-30", "time": "9:00"}
    assert correct_heat(book, heap, slot, {**told, "value": "x"}, by="rs", now=NOW, system="us").wrong
    assert not correct_heat(book, heap, slot, told, by="rs", now=NOW, system="us").wrong
    found, = heap_named(book, heap.id).readings
    assert (found.temperature_c, found.corrected) == (pytest.approx(60.0), True)
    assert take_back(book, heap, slot, " ", by="rs").wrong
    assert not take_back(book, heap, slot, "other heap", by="rs").wrong
    assert heap_named(book, heap.id).readings == ()
    with pytest.raises(Missing, match="no such entry"):
        take_back(book, heap, slot, "again", by="rs")
    assert len(book.making.events()) == 4


def test_a_heap_is_not_taken_back_by_the_key_of_an_entry_nor_another_heaps_entry(book: Fieldbook) -> None:
    heap, other = started(book), started(book, name="5")
    read_at(book, heap, "140")
    for of, slot in ((heap, heap.id), (other, heap_named(book, heap.id).readings[0].id)):
        with pytest.raises(Missing, match="no such entry"):
            take_back(book, of, slot, "slip", by="rs")


@pytest.mark.parametrize(("cells", "about"), [
    ({"name": "4"}, "name"), ({"name": ""}, "name"), ({"name": "x" * 300}, "name"), ({"shape": "cone"}, "shape"),
    ({"rule": "own"}, "rule"), ({"time_zone": "Mars/Base"}, "time_zone"), ({"time_zone": "../../etc"}, "time_zone"),
    ({"time_zone": ""}, "time_zone"), ({"rule": "bioabfv_60"}, "rule")])
def test_a_heap_that_cannot_be_started(book: Fieldbook, cells: dict[str, str], about: str) -> None:
    started(book)
    told = start_heap(book, {**START, "name": "5", **cells}, by="rs", now=NOW)
    assert set(told.wrong) == {about}


def test_a_file_that_comes_twice_changes_nothing_and_one_taken_back_may_come_again(book: Fieldbook,
                                                                                  tmp_path: Path) -> None:
    heap, path = started(book), tmp_path / "log.csv"
    path.write_text("time,probe a °F,probe b °F\n2015-05-02 08:00,140,141\n2015-05-02 09:00,140,141\n")
    assert len(bring_heat(book, heap, path, HeatFileSaid(), by="rs").told) == 2
    before = book.making.events()
    again = bring_heat(book, heap, path, HeatFileSaid(), by="rs")
    assert all("are known" in line for line in again.told)
    assert book.making.events() == before
    slot = heap_named(book, heap.id).logged[0].id
    take_back(book, heap, slot, "other heap", by="rs")
    bring_heat(book, heap, path, HeatFileSaid(), by="rs")
    assert [each.probe for each in heap_named(book, heap.id).logged] == [1, 2]
    assert bring_heat(book, heap, path, HeatFileSaid(), by="rs", first_probe="20").wrong["first_probe"]
    assert bring_heat(book, heap, tmp_path / "none.csv", HeatFileSaid(), by="rs").wrong["file"]


LOGGED = [f"2015-05-02 {hour:02d}:00,{140 + hour / 2}\n" for hour in range(12)]


@pytest.mark.parametrize("rows", [LOGGED, LOGGED[:8], [*LOGGED, "2015-05-02 13:00,150\n"]])
def test_one_loggers_readings_do_not_stand_for_two_probes(book: Fieldbook, tmp_path: Path, rows: list[str]) -> None:
    heap, path, again = started(book), tmp_path / "log.csv", tmp_path / "copy.csv"
    path.write_text("time,probe °F\n" + "".join(LOGGED))
    assert not bring_heat(book, heap, path, HeatFileSaid(), by="rs").wrong
    again.write_text("when,other °F\n" + "".join(rows))
    for second in (path, again):
        wrong = bring_heat(book, heap, second, HeatFileSaid(), by="rs", first_probe="2").wrong
        assert "stand already as probe 1, of log.csv" in wrong["first_probe"]
    assert [each.probe for each in heap_named(book, heap.id).logged] == [1]
    again.write_text("when,other °F\n" + "".join(row.replace(".0", ".1").replace(".5", ".6") for row in LOGGED))
    assert not bring_heat(book, heap, again, HeatFileSaid(), by="rs", first_probe="2").wrong


def test_a_file_of_two_probes_is_not_moved_on_by_one(book: Fieldbook, tmp_path: Path) -> None:
    heap, path = started(book), tmp_path / "log.csv"
    path.write_text("time,a °F,b °F\n2015-05-02 08:00,140,141\n")
    assert not bring_heat(book, heap, path, HeatFileSaid(), by="rs").wrong
    assert bring_heat(book, heap, path, HeatFileSaid(), by="rs", first_probe="2").wrong["first_probe"]


@pytest.mark.parametrize(("cells", "about"), [
    ({"quantity": "gold"}, "quantity"), ({"value": "some"}, "value"), ({"value": "-3"}, "value"),
    ({"value": "> 3", "quantity": "carbon_nitrogen"}, "value"), ({"value": "< 900"}, "value"),
    ({"lab": ""}, "lab"), ({"day": "2099-01-01"}, "day"),
    ({"quantity": "conductivity", "value": "3"}, "method"),
    ({"method": "m" * 201}, "method"), ({"unit": "u" * 201}, "unit")])
def test_a_figure_that_cannot_be_taken(book: Fieldbook, cells: dict[str, str], about: str) -> None:
    told = {"quantity": "lead", "value": "30", "lab": "a laboratory", "day": "2015-06-01", **cells}
    assert set(measure(book, started(book), told, by="rs", now=NOW).wrong) == {about}


def test_a_limit_broken_and_a_hold_keep_a_heap_back_until_they_are_put_right(book: Fieldbook) -> None:
    heap = started(book)
    told = {"quantity": "salmonella", "value": "3", "lab": "a laboratory", "method": "MPN", "day": "2015-06-01"}
    assert not measure(book, heap, told, by="rs", now=NOW).wrong
    assert "Salmonella 3, the limit is 3 MPN/4 g dry" in judged_heap(book, "4")[1].why_not[0]
    measure(book, heap, {**told, "value": "< 3", "day": "2015-07-01"}, by="rs", now=NOW)
    assert "Salmonella 3, the limit is 3 MPN/4 g dry" in judged_heap(book, "4")[1].why_not[0]
    free(book, heap, "as it was before that figure", by="rs", now=NOW)
    assert "Salmonella 3" in judged_heap(book, "4")[1].why_not[0]
    free(book, heap_named(book, "4"), "the sample was of another heap", by="rs", now=NOW)
    assert "Salmonella" not in " ".join(judged_heap(book, "4")[1].why_not)
    hold(book, heap, "hay of an unknown field", by="rs", now=NOW)
    assert "is held" in judged_heap(book, "4")[1].why_not[0]
    free(book, heap, "asked the farmer", by="rs", now=NOW)
    assert len(judged_heap(book, "4")[1].why_not) == 1


def test_a_figure_known_only_from_below_breaks_its_limit_or_shows_nothing_of_it(book: Fieldbook) -> None:
    heap = started(book)
    told = {"quantity": "lead", "lab": "a laboratory", "day": "2015-06-01", "value": ">30"}
    slot = measure(book, heap, told, by="rs", now=NOW).slot
    assert "lead >30, which shows nothing of the limit 300 mg/kg dry" in judged_heap(book, "4")[1].why_not[0]
    assert figure_cells(heap_named(book, "4").figures[0])["value"] == ">30"
    correct_entry(book, heap_named(book, "4"), slot, {**told, "value": "30"}, by="rs", now=NOW, system="us")
    assert "lead" not in " ".join(judged_heap(book, "4")[1].why_not)
    measure(book, heap, {**told, "value": "> 300"}, by="rs", now=NOW)
    assert "lead >300, the limit is 300 mg/kg dry" in judged_heap(book, "4")[1].why_not[0]


def test_a_clean_bean_test_does_not_lift_a_twisted_one(book: Fieldbook) -> None:
    heap = started(book)
    told = {"seeds": "1", "heights": "4 4 4", "control": "4 4 4", "control_twisted": "0"}
    for day, twisted in (("2015-06-01", "1"), ("2015-06-02", "0")):
        assert not read_beans(book, heap, {**told, "twisted": twisted, "day": day}, by="rs", now=NOW, system="us").wrong
    assert judged_heap(book, "4")[1].beans == "weedkiller_likely"
    take_back(book, heap, heap_named(book, heap.id).beans[0].id, "spray beside the pots", by="rs")
    assert judged_heap(book, "4")[1].beans == "sound"


def test_beans_are_told_in_the_persons_inches_pot_by_pot(book: Fieldbook) -> None:
    heap = started(book)
    told = {"seeds": "2", "heights": "4 4 3.5 0 4 4", "control": "4 4\n4 4\n4 4", "twisted": "1",
            "control_twisted": "0"}
    assert not read_beans(book, heap, told, by="rs", now=NOW, system="us").wrong
    assert heap_named(book, heap.id).beans[0].height_mm[2] == pytest.approx(88.9)
    assert judged_heap(book, "4")[1].beans == "weedkiller_likely"
    unread = read_beans(book, heap, {**told, "heights": "tall"}, by="rs", now=NOW, system="us").wrong
    assert set(unread) == {"heights"}
    both = read_beans(book, heap, {**told, "heights": "tall", "twisted": "x"}, by="rs", now=NOW, system="us").wrong
    assert both["twisted"] == "a whole number from 0 to 400"
    for name, value in (("heights", "4 4 4"), ("heights", "tall"), ("twisted", "7"), ("seeds", "0"), ("control", "")):
        wrong = read_beans(book, heap, {**told, name: value}, by="rs", now=NOW, system="us").wrong
        assert name in wrong
