"""A recall finds every property that had of a batch, and a trace every way from a heap to a tree and back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy import text

from rootcase.fieldbook.events import PropertyOpened, ReadingTaken, TreeOpened
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.made.heaps import HeapStarted
from rootcase.fieldbook.making.by_batch import _TOLD as TOLD_BY_BATCH
from rootcase.fieldbook.making.tracing import _AT_CHILDREN as AT_CHILDREN
from rootcase.fieldbook.making.tracing import _KINDS, Level, chain
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.store.gate import BESIDE
from rootcase.fieldbook.store.store import _BATCH_NAMED, _OF_BATCH
from rootcase.ground.errors import Missing
from rootcase.ground.ids import SIGNS
from rootcase.records.make.batch import Batch, Load
from rootcase.records.make.heap import HeapPart
from rootcase.report.text.recall import (
    against_lines,
    client_lines,
    put_on_lines,
    recall_doubts,
    recall_finding,
    rung_lines,
    traced_line,
    went_lines,
    words_to_say,
)
from rootcase.services import make_batch
from rootcase.services.make_batch import batch_named, batches, call_back, fill_load, named_among, note_ring, tell_step
from rootcase.services.recall import recall, recalled_at, trace
from tests.fieldbook.making.batch_world import Clock, Yard, fit, usable_heap
from tests.fieldbook.sheets import FACTS, event

HEAP = HeapStarted(slot="h4", heap="h4", name="heap 4", shape="windrow", rule="nop", by="rs",
                   complete_at="2016-03-01T08:00:00.000Z", time_zone="America/Los_Angeles",
                   parts=(HeapPart(material="hay", mass_kg=100.0, moisture_pct=10.0, carbon_pct=40.0, nitrogen_pct=1.5,
                                   bought_from="farm 7", lot="12"),))
PUT = PutOnLogged(slot="1", tree="t1", remedy="extract", day=date(2016, 5, 3), by="rs", amount="55 gal")


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def book(tmp_path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch) -> Iterator[Fieldbook]:
    monkeypatch.setattr(make_batch, "heap_use", usable_heap)
    with Yard(tmp_path / "book.sqlite", clock).open() as opened:
        yield opened


def keep(book: Fieldbook, property_id: str, *bodies: object) -> None:
    with book.store.writing() as turn:
        turn.add([replace(event(f"{property_id}-{getattr(body, 'slot', '')}", body),  # type: ignore[arg-type]
                          property_id=property_id) for body in bodies])


@pytest.fixture
def loads(book: Fieldbook, clock: Clock) -> tuple[Batch, tuple[Load, ...]]:
    """The second batch of a practice in two loads, and three properties with a tree each."""
    book.making.tell(lambda _: [HEAP])
    for number, name in enumerate(("Alder Bank", "Birch Hill", "Cedar Row"), 1):
        keep(book, f"p{number}", replace(FACTS, slot="facts", name=name),
             TreeOpened(slot="tree", tree=f"t{number}", label=f"oak {number}", place="lawn"))
    fit(book, clock)
    other = fit(book, clock)
    first = fill_load(book, other.id, 300.0, "rs", air_gap_m=0.1)
    second = fill_load(book, other.id, 200.0, "rs", air_gap_m=0.1)
    return other, (first, second)


def test_a_recall_lists_each_property_with_what_was_put_on_and_who_was_rung(
        book: Fieldbook, loads: tuple[Batch, tuple[Load, ...]]) -> None:
    batch, (first, second) = loads
    keep(book, "p2", replace(PUT, slot="a", tree="t2", load=first.id),
         replace(PUT, slot="b", tree="t2", load=second.id))
    keep(book, "p1", replace(PUT, slot="c", load=first.id), replace(PUT, slot="d", load=first.id, not_done="rain"),
         replace(PUT, slot="e"))
    keep(book, "p3", replace(PUT, slot="f", tree="t3", load=first.id),
         ReadingTaken(slot="use", kind="sensitive_use", of="lawn", visit="", typed="children", choice="children"))
    keep(book, "p1", ReadingTaken(slot="use", kind="sensitive_use", of="lawn", visit="", typed="pets", choice="pets"))
    tell_step(book, batch.id, "lab", {"e_coli_per_100_ml": 2400.0}, {}, "rs")
    note_ring(book, batch.id, "p1", "rs", "told the owner")
    found = recall(book, make_batch.batch_named(book, batch.id))
    assert [(each.name, [one.tree_label for one in each.applied], each.children, len(each.rung))
            for each in found.properties] == [
        ("Birch Hill", ["oak 2", "oak 2"], False, 0), ("Cedar Row", ["oak 3"], True, 0),
        ("Alder Bank", ["oak 1"], False, 1)]
    assert recall_finding(found) == (
        "Batch 2: E. coli 2,400 per 100 mL; limit 126. It went out in 2 loads to 3 trees on 3 properties. At 1 of them "
        "somebody read that children use the ground.")
    assert put_on_lines(found.properties[0])[0].endswith(", 3 May 2016, 55 gal")
    assert found.extract_without_load == 1
    assert "1 record of extract" in recall_doubts(found, "us")[0]
    said = words_to_say(found, found.properties[1])
    assert "oak 3. It was of batch 2. Known since: E. coli 2,400 per 100 mL; limit 126." in said
    assert "ask the health authority" in said


def test_work_that_was_not_fit_is_told_with_its_record_on_every_list(
        book: Fieldbook, loads: tuple[Batch, tuple[Load, ...]]) -> None:
    batch, (first, _) = loads
    until = batch_named(book, batch.id).judgement.good_until  # type: ignore[union-attr]
    assert until is not None
    hours = {"started": written(first.at), "ended": written(until + timedelta(minutes=1))}
    late = book.recording.tell("p1", replace(PUT, slot="a", load=first.id, **hours))  # type: ignore[arg-type]
    book.recording.tell("p2", replace(PUT, slot="b", tree="t2", load=first.id, started=written(first.at),
                                      ended=written(until)))
    found = recall(book, batch_named(book, batch.id))
    number = book.recording.named(late.id).number
    assert {each.name: against_lines(each) for each in found.properties} == {
        "Alder Bank": (f"Record {number}: It went out after its batch was good for: late.",), "Birch Hill": ()}
    assert [(one.number, against) for one, _, against in went_lines(book.making.tracing.of("batch", batch.id))] == [
        (number, "It went out after its batch was good for: late."), (number + 1, "")]
    assert recalled_at(book, "p1") == ()
    call_back(book, batch.id, "E. coli", "rs")
    told, = client_lines(recalled_at(book, "p1"), "p1")
    assert "on the ground at oak 1. It was of batch 2. Known since: E. coli." in told
    assert "oak 2" not in told
    assert recalled_at(book, "p3") == ()


@pytest.mark.parametrize(("level", "named"), [("feedstock", "HAY"), ("supplier", "farm 7"), ("lot", "12")])
def test_a_trace_begins_at_what_went_into_a_heap(book: Fieldbook, loads: tuple[Batch, tuple[Load, ...]],
                                                 level: Level, named: str) -> None:
    _, (first, _) = loads
    keep(book, "p2", replace(PUT, slot="a", tree="t2", load=first.id))
    part = replace(HEAP.parts[0], material="grass_hay", bought_from="farm 7", lot="12")
    book.making.tell(lambda _: [replace(HEAP, slot="h9", heap="h9", name="heap 9", parts=(part,)),
                                replace(HEAP, slot="h8", heap="h8", name="heap 8", parts=(
                                    replace(part, material="haylage", bought_from="farm 8", lot="13"),))])
    found = trace(book, named, level)
    assert {way.heap_name for way in found} == {"heap 4", "heap 9"}
    assert [way.applied.tree_label for way in found if way.applied] == ["oak 2"]
    assert "no batch made of it yet" in traced_line(found[-1])
    assert set(found) <= set(trace(book, named))


def test_a_corrected_record_counts_as_it_stands_and_a_load_nobody_logged_is_named(
        book: Fieldbook, loads: tuple[Batch, tuple[Load, ...]]) -> None:
    batch, (first, second) = loads
    keep(book, "p1", replace(PUT, slot="a", load=first.id))
    wrong = "p1-a"
    with book.store.writing() as turn:
        turn.add([replace(event("anew", replace(PUT, slot="a", supersedes=wrong, load="no such load")),
                          property_id="p1")])
    call_back(book, batch.id, "wrong heap", "rs")
    found = recall(book, make_batch.batch_named(book, "2"))
    assert found.properties == ()
    assert found.loads_not_put_on == (first.id, second.id)
    assert "Of 2 loads" in recall_doubts(found, "us")[0]


def test_times_are_of_the_clock_where_the_heap_lies(
        book: Fieldbook, loads: tuple[Batch, tuple[Load, ...]], clock: Clock) -> None:
    batch, (first, second) = loads
    keep(book, "p1", replace(PUT, slot="a", load=first.id))
    clock.at = datetime(2016, 5, 4, 3, tzinfo=UTC)  # eight in the evening of the day before, where the heap lies
    call_back(book, batch.id, "wrong heap", "rs")
    note_ring(book, batch.id, "p1", "rs", "told the owner")
    found = recall(book, make_batch.batch_named(book, "2"))
    assert rung_lines(found, found.properties[0]) == ("Rung 3 May 2016 by rs: told the owner",)
    assert "UTC" not in traced_line(trace(book, second.id)[0])
    local = first.at.astimezone(ZoneInfo("America/Los_Angeles"))
    assert f"→ load 3 May 2016, {local:%H:%M} → " in traced_line(trace(book, first.id)[0])


def test_records_without_a_load_are_looked_for_to_the_last_day_that_it_was_good(
        book: Fieldbook, loads: tuple[Batch, tuple[Load, ...]]) -> None:
    batch, _ = loads
    judged = batch.judgement
    assert judged is not None
    over_night = replace(make_batch.batch_named(book, "2"), judgement=replace(
        judged, good_until=datetime(2016, 5, 4, 9, tzinfo=UTC)))
    keep(book, "p1", replace(PUT, slot="a", day=date(2016, 5, 4)), replace(PUT, slot="b", day=date(2016, 5, 5)))
    assert recall(book, over_night).extract_without_load == 1


def test_a_load_that_no_record_says_where_it_went_is_named(
        book: Fieldbook, loads: tuple[Batch, tuple[Load, ...]]) -> None:
    _, (first, second) = loads
    keep(book, "p1", replace(PUT, slot="a", load=first.id))
    found = recall(book, make_batch.batch_named(book, "2"))
    local = second.at.astimezone(ZoneInfo("America/Los_Angeles"))
    assert recall_doubts(found, "us")[:2] == (
        "Of 1 load no record says where it went: ask the crew.", f"Tank no name, filled {local:%H:%M}, 53 gal (200 L)")


@pytest.mark.parametrize("named", ["heap 4", "2", "oak 2", "h4"])
def test_a_way_is_found_from_either_end(book: Fieldbook, loads: tuple[Batch, tuple[Load, ...]], named: str) -> None:
    _, (_, second) = loads
    keep(book, "p2", replace(PUT, slot="a", tree="t2", load=second.id))
    ways = trace(book, named)
    way = next(each for each in ways if each.applied)
    assert (way.heap_name, way.batch_number, way.load_id, way.applied and way.applied.property_name) == (
        "heap 4", 2, second.id, "Birch Hill")
    assert traced_line(way).startswith("heap 4 (hay farm 7 12) → batch 2 → load 3 May 2016, ")
    assert traced_line(way).endswith("→ oak 2, Birch Hill, 3 May 2016")
    assert len(ways) == {"heap 4": 3, "h4": 3, "2": 2, "oak 2": 1}[named]
    assert trace(book, second.id) == (way,)
    assert trace(book, second.id[-SIGNS:], "load") == (way,)


@pytest.mark.parametrize("level", ["heap", "batch", "load", "tree"])
def test_no_part_of_the_question_reads_all_rows_of_a_practice(book: Fieldbook, level: Level) -> None:
    with book.store.whole_file() as file:
        plan = [row[3] for row in file.execute(text(f"EXPLAIN QUERY PLAN {chain(level)}"),
                                               {"practice": "own", "wanted": "x"})]
    asked = [line for line in plan if line.startswith(("SEARCH", "SCAN"))]
    assert len(asked) >= 7
    assert [line for line in asked if " AND " not in line] == []


def test_no_part_of_a_recall_walks_all_that_was_told_of_a_property_or_all_that_was_put_on(book: Fieldbook) -> None:
    """An index that holds every event of a property answers these too, and takes a hundred times as long."""
    with book.store.whole_file() as file:
        plan = [row[3] for question in (chain("batch"), TOLD_BY_BATCH, AT_CHILDREN)
                for row in file.execute(text(f"EXPLAIN QUERY PLAN {question}"), {"practice": "own", "wanted": "x"})]
    asked = [line for line in plan if line.startswith(("SEARCH", "SCAN"))]
    assert len(asked) >= 12
    assert [line for line in asked if "events_of_a_property" in line or "autoindex_events" in line] == []


def test_a_batch_is_found_by_its_index_as_among_all(book: Fieldbook,
                                                    loads: tuple[Batch, tuple[Load, ...]]) -> None:
    asked: list[str] = []
    for batch in batches(book):
        for named in (str(batch.number), f"#{batch.number}", f" {batch.id} "):
            assert batch_named(book, named) == named_among(batches(book), named.strip())
        assert batch_named(book, batch.id[-SIGNS:]) == batch
        assert book.making.tracing.told_of_batch(str(batch.number))
    for named in ("99", "", "x"):
        with pytest.raises(Missing, match="batch"):
            batch_named(book, named)
    with book.store.whole_file() as file:
        of_it = f"SELECT 1 FROM events WHERE practice_id = :practice AND {_OF_BATCH}"
        for question, kinds in ((_BATCH_NAMED, _KINDS), (of_it, _KINDS), (of_it, BESIDE)):
            told = {"practice": "own", "number": 1, "named": "1", "batch": "1"}
            asked += [row[3] for row in file.execute(text(f"EXPLAIN QUERY PLAN {question.format(kinds=kinds)}"), told)]
    assert len(searched := [line for line in asked if line.startswith(("SEARCH", "SCAN"))]) == 4
    assert [line for line in searched if " AND " not in line] == []


def test_what_has_nothing_to_do_with_a_batch_is_said(book: Fieldbook, loads: tuple[Batch, tuple[Load, ...]]) -> None:
    with pytest.raises(Missing, match="has anything to do with a batch"):
        trace(book, "oak 1")


def test_a_property_told_anew_goes_by_its_newest_name(book: Fieldbook, loads: tuple[Batch, tuple[Load, ...]]) -> None:
    batch, (first, _) = loads
    keep(book, "p2", replace(PUT, slot="a", tree="t2", load=first.id))
    keep(book, "p2", PropertyOpened(slot="facts 2", name="Birch Lane", system="us", weather_station="", invented=True))
    assert recall(book, batch).properties[0].name == "Birch Lane"
