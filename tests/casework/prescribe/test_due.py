"""What is due: everything that is written down, in its order, until the thing is done."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.casework.prescribe.due import Known, due_list, season_of
from rootcase.casework.prescribe.repeated import programme_state
from rootcase.records.observe import (
    Paper,
    Place,
    Practice,
    Property,
    PropertyRecord,
    Reading,
    Rule,
    Sample,
    Tree,
    WantedReading,
)
from rootcase.records.offer import Answer, Arms, DueItem, Pair, Programme, Reply, SignedPlan
from rootcase.records.pests import PestLook, Pests
from rootcase.records.prescribe import Dose, Step
from tests.casework.prescribe.test_offer import DAY, made, offer, plan_of, signed

UNTIL = date(2019, 1, 1)
DAYS = st.dates(date(2015, 1, 1), date(2020, 1, 1))
LOOK = date(2018, 6, 15)
TREES = tuple(Tree(f"t{at}", "p", "lawn", f"oak {at}", None, None) for at in range(2))


def record(*readings: Reading, latitude: float = 47.0) -> PropertyRecord:
    ground = Property("p", "own", "Alder Bank", latitude, -122.0, 60.0, "", "USD", "", "us", True)
    return PropertyRecord(ground, (Place("lawn", "p", "front lawn", "lawn"),), TREES, (),
                          (Sample("s", "p", "lawn soil", None, "lawn"),), (), readings, (), {})


def reading(kind: str, of: str, day: date, choice: str | None = None) -> Reading:
    return Reading(f"{kind}-{of}", kind, of, "v", day, "rs", None, choice, "=", None, choice or "1")


def due(known: Known, practice: Practice | None = None, today: date = DAY) -> list[DueItem]:
    """All but the signed work itself, which every plan has."""
    return [item for item in due_list([known], practice or Practice(), today, UNTIL) if item.kind != "work"]


def work(plan: SignedPlan, today: date) -> list[tuple[date, str, str, tuple[str, ...]]]:
    return [(item.day, item.what, item.why, item.tree_ids)
            for item in due_list([Known(record(), plan, (), None)], Practice(), today, UNTIL) if item.kind == "work"]


def test_signed_work_is_due_on_the_first_day_of_its_next_season() -> None:
    plan = standing().signing.plan
    watering = [Step(year, "may_september", "water", Dose(10.0), 5.0) for year in (1, 2)]
    other = Step(1, "any", "mulch", Dose(1.0), 5.0)
    items = tuple(replace(item, steps=(*watering, other)) for item in plan.items)
    found = signed(replace(plan, items=items), day=DAY)
    trees = tuple(item.tree_id for item in items)
    year = DAY.year
    assert work(found, DAY) == [(date(year, 5, 1), "water", f"{year}-09-30", trees)]
    assert work(found, date(year, 6, 1)) == [(date(year, 6, 1), "water", f"{year}-09-30", trees)], "the season runs"
    assert work(found, date(year, 10, 1)) == [(date(year + 1, 5, 1), "water", f"{year + 1}-09-30", trees)]
    assert work(found, date(year + 1, 10, 1)) == [], "all of it lies behind"


def kinds(items: list[DueItem]) -> list[tuple[str, date]]:
    return [(item.kind, item.day) for item in items]


def standing(plan_day: date = DAY, rules: tuple[Rule, ...] = ()) -> SignedPlan:
    return signed(replace(plan_of([100.0, 100.0]), rules=rules), day=plan_day)


def test_a_signed_plan_books_its_looks_until_the_tree_is_read() -> None:
    look, = due(Known(record(), standing(), (), None))
    assert (look.kind, look.day, look.tree_ids, look.source) == ("look", LOOK, ("t0", "t1"), "m")
    read = record(reading("dbh", "t0", LOOK - timedelta(days=60)))
    assert due(Known(read, standing(), (), None))[0].tree_ids == ("t1",)
    early = record(reading("dbh", "t0", LOOK - timedelta(days=61)))
    assert due(Known(early, standing(), (), None))[0].tree_ids == ("t0", "t1")
    assert due(Known(record(), None, (), None)) == []


def test_a_tree_that_nobody_read_is_read_at_the_next_visit_until_its_shoots_are() -> None:
    plan = standing()
    trees = tuple(replace(tree, reason="read_first") if tree.tree_id == "t0" else tree
                  for tree in plan.signing.plan.trees)
    unread = replace(plan, signing=replace(plan.signing, plan=replace(plan.signing.plan, trees=trees)))
    first, second = due(Known(record(reading("dbh", "t0", DAY)), unread, (), None))
    assert (first.kind, first.what, first.tree_ids, first.source, second.tree_ids) == (
        "wanted", "shoot_length_by_year", ("t0",), "m", ("t1",))
    then, = due(Known(record(reading("shoot_length_by_year", "t0", DAY)), unread, (), None))
    assert then.tree_ids == ("t1",)


def test_where_a_cause_outside_the_soil_leads_its_look_is_due_until_that_is_read() -> None:
    plan = standing()
    trees = tuple(replace(tree, first_look="encircling_share") if tree.tree_id == "t0" else tree
                  for tree in plan.signing.plan.trees)
    sick = replace(plan, signing=replace(plan.signing, plan=replace(plan.signing.plan, trees=trees)))
    first, second = due(Known(record(reading("dbh", "t0", LOOK)), sick, (), None))
    assert (first.kind, first.what, first.tree_ids, second.kind, second.tree_ids) == (
        "first_look", "encircling_share", ("t0",), "look", ("t1",))
    not_seen = replace(reading("encircling_share", "t0", DAY), nothing="not looked")
    assert due(Known(record(not_seen), sick, (), None))[0].kind == "first_look"
    opened, = due(Known(record(reading("encircling_share", "t0", DAY)), sick, (), None))
    assert opened.kind == "look"


def test_what_is_wanted_is_due_at_once_the_trees_of_one_kind_together() -> None:
    wishes = (WantedReading("t0", "probe_depth", "rs", DAY), WantedReading("t1", "dbh", "mk", DAY),
              WantedReading("t1", "probe_depth", "mk", DAY - timedelta(days=2)))
    items = due(Known(record(), None, (), None, wanted=wishes))
    assert [(item.kind, item.what, item.tree_ids, item.day) for item in items] == [
        ("wanted", "probe_depth", ("t0", "t1"), DAY - timedelta(days=2)), ("wanted", "dbh", ("t1",), DAY)]


def test_a_laboratory_is_asked_after_once_its_days_are_over() -> None:
    taken = record(reading("sample_cores", "s", date(2016, 1, 2)), reading("note", "s", date(2016, 1, 3)))
    late, = due(Known(taken, None, (), None), Practice(laboratory_days=10))
    assert (late.kind, late.day, late.what, late.source) == ("laboratory", date(2016, 1, 12), "lawn soil",
                                                             "sample_cores-s")
    assert due(Known(taken, None, (), None))[0].day == date(2016, 1, 23)
    come = record(*taken.readings, reading("soil_ph", "s", date(2016, 2, 1)))
    assert due(Known(come, None, (), None)) == []


def test_papers_locate_marks_and_permits() -> None:
    papers = Practice(papers=(Paper("licence", "applicator", date(2016, 3, 1)),
                              Paper("calibration", "oxygen meter", date(2016, 1, 10))))
    marks = record(reading("locate_expires", "lawn", DAY, "2016-02-01"),
                   reading("tree_protection_rule", "lawn", DAY, "permit"))
    assert kinds(due(Known(marks, standing(), (), None), papers)) == [
        ("calibration", date(2016, 1, 10)), ("permit_needed", DAY), ("locate", date(2016, 2, 1)),
        ("licence", date(2016, 3, 1)), ("look", LOOK)]
    held = replace(papers, papers=(*papers.papers, Paper("permit", "front lawn", date(2016, 9, 1))))
    assert "permit_needed" not in dict(kinds(due(Known(marks, standing(), (), None), held)))
    assert "permit_needed" in dict(kinds(due(Known(marks, standing(), (), None), held, date(2016, 9, 2)))), "it ran out"
    elsewhere = replace(held, papers=(Paper("permit", "another property", date(2016, 9, 1)),))
    assert "permit_needed" in dict(kinds(due(Known(marks, standing(), (), None), elsewhere)))


def test_notice_is_due_before_the_season_of_the_work_and_not_after_it() -> None:
    rule = Rule("notice", "A board", 14.0, "day", "", "", ("mulch",), "page 3", DAY, "")
    notices = [item for item in due(Known(record(), standing(rules=(rule,)), (), None)) if item.kind == "notice"]
    assert [(item.day, item.what, item.why) for item in notices] == [
        (date(2016, 3, 1), "mulch", "2016-03-15"), (date(2019, 3, 1), "mulch", "2019-03-15")][:len(notices)]
    assert len(notices) == 1, "the work of year 4 is behind the last day shown"
    over = due(Known(record(), standing(rules=(rule,)), (), None), today=date(2016, 6, 16))
    assert "notice" not in dict(kinds(over))


def test_notice_is_given_of_what_is_tried_on_top_and_of_what_a_tree_without_gets() -> None:
    rule = Rule("notice", "A board", 14.0, "day", "", "", ("mulch", "extract"), "page 3", DAY, "")
    plan = plan_of([100.0, 100.0])
    extract = (Step(1, "any", "extract", Dose(20.0, litres=9.0), 30.0),)
    trees = tuple(replace(tree, remedies=(tree.remedies[0], replace(tree.remedies[1], steps=extract)))
                  for tree in plan.trees)
    pair = Pair("t0", "t1", 7)
    lots = (Arms("mulch", "mixed", (pair,), (), False, 200.0, 200.0),
            Arms("extract", "trials found nothing", (pair,), (), True, 30.0, 0.0))
    found = signed(replace(plan, rules=(rule,), trees=trees))
    found = replace(found, signing=replace(found.signing, arms=lots))
    notices = [item for item in due(Known(record(), found, (), None)) if item.kind == "notice"]
    assert [(item.what, item.tree_ids, item.day) for item in notices] == [
        ("extract", ("t0",), DAY), ("mulch", ("t0",), date(2016, 3, 1))], "no notice is due before the plan was made"


def test_an_offer_waits_for_an_answer_and_a_question_for_ours() -> None:
    waiting = made(offer(plan_of([100.0])))
    item, = due(Known(record(), None, (waiting,), None))
    assert (item.kind, item.day, item.source) == ("offer", date(2016, 2, 14), "mark 1")
    asked = replace(waiting, answers=(Answer("1", "mark 1", "question", 1, DAY, "c", "Sunday?"),))
    question, unanswered = due(Known(record(), None, (asked,), None))
    assert (question.kind, question.day, question.why, unanswered.kind) == ("question", DAY, "Sunday?", "offer")
    agreed = replace(waiting, answers=(*asked.answers, Answer("1", "mark 1", "yes", 1, DAY, "c")))
    assert due(Known(record(), None, (agreed,), None)) == [question], "a yes answers no question"
    replied = replace(agreed, answers=(replace(asked.answers[0], reply=Reply(DAY, "rs", "")), agreed.answers[1]))
    assert due(Known(record(), None, (replied,), None)) == []


def test_a_programme_has_visits_a_price_and_a_renewal_until_it_is_stopped() -> None:
    agreed = Programme("1", "mark", 1, ((date(2016, 1, 1), 2),), date(2016, 6, 30))
    state = programme_state(agreed, [date(2016, 1, 10)], DAY)
    items = due(Known(record(), None, (), state))
    assert kinds(items) == [("price", date(2016, 6, 30)), ("visit", date(2016, 7, 1)), ("renewal", date(2017, 1, 1))]
    stopped = programme_state(replace(agreed, stopped=DAY, stopped_because="sold"), [], DAY)
    assert due(Known(record(), None, (), stopped)) == []


def test_a_stage_that_may_be_there_now_is_due_today() -> None:
    look = PestLook("cankerworm", "young caterpillars", "leaf_eaters", ("caterpillar_count",), ("t0",), 50.0, 100.0,
                    date(2016, 1, 1), "due", date(2016, 1, 4), date(2016, 2, 4), "", "a table of theirs")
    looks = (look, replace(look, state="coming", first=date(2016, 5, 1)), replace(look, state="not known", first=None))
    pests = Pests(DAY, (), (), None, 3, 0, looks)
    assert kinds(due(Known(record(), None, (), None, pests))) == [("pest", DAY), ("pest", date(2016, 5, 1))]


@pytest.mark.property
@given(st.lists(st.tuples(st.sampled_from(["licence", "permit", "calibration"]), DAYS)), DAYS)
def test_all_that_ends_until_the_last_day_is_there_in_order(papers: list[tuple[str, date]], until: date) -> None:
    told = Practice(papers=tuple(Paper(kind, "x", ends) for kind, ends in papers))  # type: ignore[arg-type]
    found = due_list([Known(record(), standing(), (), None)], told, DAY, until)
    assert list(found) == sorted(found, key=lambda item: item.day)
    days = [item.day for item in found if item.kind != "work"]
    assert sorted(days) == sorted([ends for _, ends in papers if ends <= until] + ([LOOK] if until >= LOOK else []))


@pytest.mark.property
@given(st.sampled_from(["early_spring", "spring", "may_september", "autumn", "winter", "spring_or_autumn", "any", "x"]),
       st.dates(date(2015, 1, 1), date(2030, 1, 1)), st.integers(1, 5), st.booleans())
def test_a_season_is_not_over_when_its_plan_is_made(season: str, day: date, year: int, southern: bool) -> None:
    first, last = season_of(season, day, 1, southern)
    assert day <= last
    assert first <= last < first + timedelta(days=367)
    assert (first - day).days < 366
    later, _ = season_of(season, day, year, southern)
    assert later.year - first.year == year - 1


def test_a_southern_season_stands_half_a_year_later() -> None:
    assert season_of("spring", DAY, 1, True) == (date(2016, 9, 15), date(2016, 12, 15))
    assert season_of("winter", DAY, 1, False) == (date(2015, 12, 1), date(2016, 2, 28))
