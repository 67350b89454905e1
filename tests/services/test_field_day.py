"""What a phone is told of the day: the rounds of its person alone, what stops each stop, what answers there mean."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from rootcase.casework.apply.gates import gates_of
from rootcase.fieldbook.applying.fleet_log import planned_batches_of
from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.records.apply.jobs import Job
from rootcase.records.apply.rounds import GivenRound, GivenStep
from rootcase.records.field_round import FieldRounds
from rootcase.records.observe import Reading, Rule
from rootcase.services.case import case_file
from rootcase.services.field import days_at
from rootcase.services.field_day import field_rounds, map_name
from rootcase.services.field_task import closes, task_of
from rootcase.services.fleet import fleet
from rootcase.services.ground_told import tell_of_ground
from rootcase.services.planned_work import jobs_at
from rootcase.services.week import give_round, keep_proposed, take_round_back
from rootcase.services.windows import windows_at
from rootcase.tables.load import table
from tests.services.planned import TODAY
from tests.services.week_told import NOW, a_week


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Fieldbook]:
    with open_fieldbook(a_week(tmp_path), now=lambda: NOW) as opened:
        yield opened


def jobs(book: Fieldbook) -> dict[str, Job]:
    ground = book.properties()[0]
    return {job.remedy: job for job in jobs_at(book, book.record(ground.id), TODAY, TODAY, ())}


def a_round(book: Fieldbook, day: date = TODAY, *remedies: str) -> GivenRound:
    crew, yard = fleet(book).crews[0], fleet(book).fill_points[0]
    batch = next(each.id for each in planned_batches_of(book.applying.practice_events()) if each.day == day)
    known = jobs(book)
    steps = [GivenStep(kind="fill", starts_min=480.0, ends_min=490.0, batch_id=batch, litres=330.0,
                       fill_point_id=yard.id)]
    for at, remedy in enumerate(remedies or ("extract", "air_tillage")):
        wet = remedy == "extract"
        steps.append(GivenStep(kind="stop", starts_min=500.0 + 60 * at, ends_min=530.0 + 60 * at,
                               property_id=known[remedy].property_id, job_ids=(known[remedy].id,),
                               litres=110.0 if wet else 0.0, load_age_minutes=50.0 if wet else None))
    return GivenRound(id="", day=day, crew_id=crew.id, steps=tuple(steps))


def told(book: Fieldbook, code: str = "rs") -> FieldRounds:
    grounds = {each.id: each for each in book.properties()}
    return field_rounds(book, code, lambda an_id: case_file(book, grounds[an_id]), "us", TODAY, see=lambda seen: seen)


def test_a_round_is_told_to_its_crew_alone_once_it_is_given(book: Fieldbook) -> None:
    given = a_round(book)
    keep_proposed(book, [given], "rs")
    assert told(book).rounds == ()
    give_round(book, given, "rs")
    give_round(book, a_round(book, TODAY + timedelta(days=1)), "rs")
    assert [each.day for each in told(book).rounds] == [TODAY, TODAY + timedelta(days=1)]
    assert told(book, "somebody").rounds == ()
    ground = book.properties()[0].id
    assert days_at(book, "rs", TODAY) == {ground: (TODAY, TODAY + timedelta(days=1))}
    assert days_at(book, "somebody", TODAY) == {}
    take_round_back(book, given, "rs")
    assert [each.day for each in told(book).rounds] == [TODAY + timedelta(days=1)]


def test_a_stop_says_its_dose_its_tank_and_the_age_of_its_extract(book: Fieldbook) -> None:
    give_round(book, a_round(book), "rs")
    fill, wet, dry = told(book).rounds[0].steps
    assert (fill.place, fill.tank) == ("Fill at yard: extract", "87.2 gal")
    assert fill.extract is not None
    assert (fill.extract.use_by, fill.extract.until, fill.extract.bar) == ("09:00", "2016-05-02T16:00:00.000Z", "")
    assert wet.tank == "29.1 gal from the tank: 87.2 gal before, 58.1 gal after"
    assert wet.age == "50 min old at the end, 10 min in hand"
    assert wet.tasks[0].tank_does == "The tank, 87.2 gal, does 3 such trees at 29.1 gal each"
    assert "29 gal (110 L)" in wet.tasks[0].dose
    assert (dry.extract, dry.age, dry.tank) == (None, "", "")


def test_a_stop_that_does_a_part_says_and_logs_its_share_alone(book: Fieldbook) -> None:
    given = a_round(book)
    fill, wet, dry = given.steps
    parted = replace(given, steps=(replace(fill, litres=55.0), replace(wet, litres=55.0), dry))
    give_round(book, parted, "rs")
    task = told(book).rounds[0].steps[1].tasks[0]
    assert task.dose.startswith("Here 1 part of 2: 14.5 gal (54.9 L). All parts together: 55 gal/1000 ft²")
    assert task.litres == pytest.approx(55.0)
    assert task.area_m2 is None
    assert task.tank_does == ""


def test_a_part_that_is_logged_leaves_the_other_with_what_is_left(book: Fieldbook) -> None:
    fill, wet, _ = a_round(book).steps
    parts = [replace(wet, litres=55.0, part=part) for part in (1, 2)]
    give_round(book, replace(a_round(book), steps=(fill, *parts)), "rs")
    job = jobs(book)["extract"]
    book.recording.tell(job.property_id, PutOnLogged(slot="s", tree=job.tree_id, remedy="extract", day=TODAY, by="rs",
                                                   jobs=(job.id,), part=1, volume_l=40.0))
    _, one, two = told(book).rounds[0].steps
    assert [(each.id, each.part, each.tasks[0].done) for each in (one, two)] == [
        (job.id, 1, True), (f"{job.id}-2", 2, False)]
    assert [each.work for each in (one, two)] == [f"Compost extract at oak 4, part {part}" for part in (1, 2)]
    assert one.tasks[0].dose.startswith("Here 1 part of 2: 14.5 gal (54.9 L)")
    assert two.tasks[0].dose.startswith("Here 18.5 gal (70 L). 10.6 gal (40.1 L) of it was put on before. All together")
    assert (two.tasks[0].litres, two.tasks[0].area_m2) == (70.0, None)
    assert jobs(book)["extract"].litres == 70.0
    book.recording.tell(job.property_id, PutOnLogged(slot="s2", tree=job.tree_id, remedy="extract", day=TODAY, by="rs",
                                                   jobs=(job.id,), part=2, volume_l=60.0))
    assert [each.tasks[0].done for each in told(book).rounds[0].steps[1:]] == [True, True]
    assert "extract" not in jobs(book)


def test_no_locate_number_stops_the_air_tool_until_it_is_told(book: Fieldbook) -> None:
    give_round(book, a_round(book), "rs")
    air = told(book).rounds[0].steps[2].tasks[0]
    assert [each.gate for each in air.bars] == ["locate"]
    assert "Whoever has the number and the last day frees it" in air.bars[0].says
    assert told(book).rounds[0].left_out == ("Alder Bank, wood-chip mulch at oak 4: it is in no round.",)
    typed = {"number": "2016-0412", "first": "2016-05-01", "last": "2016-05-20"}
    assert not tell_of_ground(book, book.properties()[0], "locate", typed, by="rs", today=TODAY)
    assert told(book).rounds[0].steps[2].tasks[0].bars == ()


def test_a_batch_that_is_gone_or_late_stops_its_extract_alone(book: Fieldbook) -> None:
    given = a_round(book)
    lost = replace(given, steps=(replace(given.steps[0], batch_id="0" * 8), *given.steps[1:]))
    give_round(book, lost, "rs")
    steps = told(book).rounds[0].steps
    assert [bool(each.extract and each.extract.bar) for each in steps] == [True, True, False]


def test_what_is_logged_and_what_left_the_plan_is_told(book: Fieldbook) -> None:
    given = a_round(book)
    before = (give_round(book, given, "rs"), told(book).rounds[0].mark)[1]
    job = jobs(book)["extract"]
    book.recording.tell(job.property_id, PutOnLogged(slot="s", tree=job.tree_id, remedy="extract", day=TODAY, by="rs",
                                                   licence="ABC-123"))
    assert [task.done for step in told(book).rounds[0].steps for task in step.tasks] == [True, False]
    assert told(book).rounds[0].mark == before
    assert (told(book).licence, told(book, "somebody").licence) == ("ABC-123", "")
    gone = replace(given, steps=(given.steps[0], replace(given.steps[1], job_ids=("none",))))
    give_round(book, gone, "rs")
    assert told(book).rounds[0].steps[1].work == "1 piece of work here is no longer in the plan"
    assert told(book).rounds[0].mark != before


def test_each_answer_closes_what_the_gates_of_a_remedy_say() -> None:
    gates = {"saturated": "saturated", "dry": "too_dry", "frozen": "frozen", "rain": "rain_to_come", "wind": "wind",
             "frost": "frost", "heat": "heat", "people": "use", "bloom": "bloom"}
    for row in table("apply/gate_groups").rows:
        shut = {each.gate for each in gates_of(row["remedy"])}
        assert set(closes(row["remedy"])) == {answer for answer, gate in gates.items() if gate in shut}
    assert closes("extract")["saturated"].endswith("Chips may still go, by barrow on boards.")
    assert "Chips" not in closes("extract")["wind"]


def test_a_map_has_another_name_as_soon_as_it_shows_something_else(book: Fieldbook) -> None:
    record = book.record(book.properties()[0].id)
    moved = replace(record, trees=(replace(record.trees[0], east_m=99.0), *record.trees[1:]))
    assert map_name(record, {"a"}, "us") == map_name(record, {"a"}, "us") != map_name(moved, {"a"}, "us")
    assert map_name(record, {"b"}, "us") != map_name(record, {"a"}, "us")


def test_something_that_could_fail_stops_the_work_until_it_is_cleared(book: Fieldbook) -> None:
    job, found = jobs(book)["extract"], windows_at(book, book.properties()[0], TODAY, 2, ())

    def gates(*said: str) -> list[str]:
        seen = tuple(Reading(f"c{at}", "structural_concern", job.tree_id, "v", TODAY - timedelta(days=9 - at), "rs",
                             None, each, "=", None, each) for at, each in enumerate(said))
        others = tuple(each for each in found.record.readings if each.kind != "structural_concern")
        known = replace(found, record=replace(found.record, readings=others + seen))
        return [each.gate for each in task_of(job, known, TODAY, "us", 0.0, licensed=True).bars]

    assert gates() == gates("seen", "none_seen") == []
    assert gates("seen") == gates("none_seen", "seen") == ["concern"]


def test_where_law_asks_for_a_licence_a_crew_without_one_is_stopped(book: Fieldbook) -> None:
    ground, job = book.properties()[0], jobs(book)["extract"]
    found = windows_at(book, ground, TODAY, 2, ())
    rule = Rule("licence", "WA", None, "", "", "", ("extract",), "RCW", TODAY, "")
    asked = replace(found, rules=(rule,))
    stopped, free, other = (task_of(job, where, TODAY, "us", 0.0, licensed=licensed).bars
                            for where, licensed in ((asked, False), (asked, True), (found, False)))
    assert [each.says for each in stopped] == [
        "Compost extract: only by somebody licensed. The office sends another crew."]
    assert (free, other) == ((), ())
