"""A phone's job sheet tells the signed work and nothing of money; what was put on stands in a tree's years."""

from __future__ import annotations

import re
from dataclasses import asdict, replace
from datetime import date, timedelta

from rootcase.fieldbook.events import Event, ReadingCorrected, ReadingTaken
from rootcase.fieldbook.field_readings import field_readings, last_ones
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.put_on_log import put_on_of
from rootcase.report.text.happenings import happenings
from rootcase.services.field import job_sheet
from tests.casework.prescribe.test_offer import plan_of, signed
from tests.report.test_screen import TREES, reading, record

DAY = date(2016, 5, 3)


def logged(number: int, made_at: str = "2016-05-03T10:00:00.000Z", **told: object) -> Event:
    given: dict[str, object] = {"slot": f"s{number}", "tree": "t0", "remedy": "mulch", "day": DAY, "by": "crew1",
                                "plan": "ab" * 32, "amount": "4.2 yd3"}
    body = PutOnLogged(**(given | told))  # type: ignore[arg-type]
    return Event(f"e{number}", "own", "p", made_at, "phone 1", body)


def test_the_sheet_holds_each_trees_work_and_no_money() -> None:
    plan = signed(plan_of([100.0, 100.0]))
    sheet = job_sheet(plan, record())
    assert [work.tree_id for work in sheet.work] == [item.tree_id for item in plan.signing.plan.items]
    assert sheet.mark == plan.mark
    for work in sheet.work:
        assert work.doses
        assert [code for code, _ in work.put_on_as] == list(dict.fromkeys(work.course.split("+")))
        assert len(work.cautions) <= 3
    said = repr(asdict(sheet))
    costs = {f"{each:,.0f}" for item in plan.signing.plan.items for each in (item.cost, plan.signing.plan.total_cost)}
    assert not re.search(r"USD|\$|cost", said), said
    assert not costs & set(re.findall(r"[\d,]+", said)), said


def test_one_of_the_same_slot_takes_the_place_of_another_whatever_came_first() -> None:
    old, new = logged(1), logged(2, "2016-05-03T11:00:00.000Z", slot="s1", supersedes="e1", amount="4.4 yd3")
    assert [each.amount_typed for each in put_on_of([old, new])] == ["4.4 yd3"]
    assert put_on_of([new, old]) == put_on_of([old, new])
    later = logged(3, day=DAY + timedelta(days=1), amount="", not_done="frozen")
    assert [each.id for each in put_on_of([later, old])] == ["e3", "e1"]


def test_what_was_put_on_stands_in_the_years_of_its_tree() -> None:
    told = put_on_of([logged(1, note="to the fence"), logged(2, amount="", not_done="frozen"),
                      logged(3, remedy="a remedy of a newer program"), logged(4, tree="t1"), logged(5, amount="")])
    found = [each.told for each in happenings(record(), TREES[0].id, (), (), told)]
    assert sorted(found) == [
        "A remedy of a newer program: 4.2 yd3 put on, crew1", "Wood-chip mulch: 4.2 yd3 put on, crew1 (to the fence)",
        "Wood-chip mulch: done, crew1", "Wood-chip mulch: not done, because frozen; crew1"]


def test_the_last_readings_of_each_kind_go_to_a_phone() -> None:
    old, new = reading("1", "dbh", "t0", DAY), reading("2", "dbh", "t0", DAY + timedelta(days=9))
    repeat = replace(new, id="3", series="2")
    nothing = replace(reading("4", "dbh", "t0", DAY + timedelta(days=20)), nothing="not looked", value=None)
    other = reading("5", "dbh", "t1", DAY)
    assert {each.id for each in last_ones([old, new, repeat, nothing, other])} == {"2", "3", "4", "5"}


def test_a_phone_is_sent_all_that_was_told_of_a_reading() -> None:
    def told(an_id: str, minute: int, typed: str, supersedes: str = "", reason: str = "") -> Event:
        given = {"slot": "s", "kind": "dbh", "of": "t0", "visit": "v", "typed": typed, "value": 1.0}
        body = ReadingCorrected(**given, supersedes=supersedes, reason=reason) if reason else ReadingTaken(**given)  # type: ignore[arg-type]
        return Event(an_id, "own", "p", f"2016-05-03T10:{minute:02}:00.000Z", "phone 1", body)
    events = [told("1", 0, "14 cm"), told("2", 1, "15 cm", "1", "slip"), told("3", 2, "16 cm", "2", "slip"),
              told("4", 3, "17 cm", "2", "looked again")]
    sent, = field_readings(events, [reading("4", "dbh", "t0", DAY)])
    assert [(each.id, each.typed, each.reason) for each in sent.before] == [("1", "14 cm", ""), ("2", "15 cm", "slip")]
    assert [(each.id, each.typed) for each in sent.rivals] == [("3", "16 cm")]
