"""What rules ask, in words: what, of which remedies, who says so, when that was looked up."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from rootcase.ground.words import say
from rootcase.records.observe import Place, Property, PropertyRecord, Rule, Tree
from rootcase.records.prescribe import Dose, Plan, PlanItem
from rootcase.report.casework_json import stage_json
from rootcase.report.text.rules import rules_in_brief, rules_told
from rootcase.tables.load import table
from tests.report.fixtures import spread

LOOKED_UP, TODAY = date(2015, 11, 20), date(2016, 1, 15)
OWNER = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "us", True, "A state")
RECORD = PropertyRecord(OWNER, (Place("l", "p", "front lawn", "lawn"), Place("w", "p", "wood", "woodland")),
                        (Tree("t", "p", "l", "oak 1", None, None),), (), (), (), (), (), {})


def rule(topic: str, value: float | None = None, unit: str = "", *, to: tuple[str, ...] = ("slow_nitrogen",),
         closed: tuple[str, str] = ("", ""), note: str = "") -> Rule:
    return Rule(topic, "A state", value, unit, *closed, to, "a code, section 1", LOOKED_UP, note)


def plan(*rules: Rule, unknown: tuple[str, ...] = (), wishes: tuple[tuple[str, str, str], ...] = ()) -> Plan:
    item = PlanItem("t", "slow_nitrogen", Dose(10.0), 40.0, spread(5.0, 1.0, 9.0))
    return Plan("p", (item,), 0.0, 40.0, None, "CHF", 0.0, 0.0, wishes, (), True, (), TODAY, 10, 1, rules=rules,
                rules_unknown=unknown)


BY = "(A state: a code, section 1; looked up 20 November 2015.)"


@pytest.mark.parametrize(("told", "words"), [
    (rule("closed", closed=("12-01", "04-01")), "Slow nitrogen: closed from 1 December to 1 April."),
    (rule("nitrogen_year", 0.00976486, "kg/m2"),
     "Slow nitrogen: at most 2 lb/1000 ft² (9.8 g/m²) of nitrogen a year."),
    (rule("slow_share", 0.5, "1"), "Slow nitrogen: at least 50 % of the nitrogen in slow release."),
    (rule("buffer_water", 6.096, "m", to=("compost", "extract")),
     "Compost topdressing and compost extract: keep 20 ft (6.1 m) from open water and drains."),
    (rule("notice", 1.0, "day", note="ring the caretaker"),
     "Slow nitrogen: give notice 1 day before. Ring the caretaker."),
    (rule("records", 3.0, "year"), "Slow nitrogen: keep the record 3 years."),
])
def test_a_rule_is_told_with_who_says_so(told: Rule, words: str) -> None:
    assert rules_told(plan(told), RECORD) == [f"{words} {BY}"]


def test_every_topic_has_words() -> None:
    for row in table("prescribe/rule_topics").rows:
        value = 2.0 if row["unit"] else None
        closed = ("12-01", "04-01") if row["dated"] else ("", "")
        line, = rules_told(plan(rule(row["topic"], value, row["unit"], closed=closed)), RECORD)
        assert line.startswith("Slow nitrogen: ")


def test_a_rule_looked_up_long_ago_is_looked_up_again() -> None:
    old = replace(rule("post"), checked_on=date(2014, 1, 1))
    assert rules_told(plan(old), RECORD)[0].endswith(say("rules.stale"))


def test_what_nobody_told_is_said() -> None:
    assert rules_told(plan(unknown=("slow_nitrogen",)), RECORD) == [
        "Nobody has told us the local rules on slow nitrogen. Ask before the work begins."]
    nowhere = replace(RECORD, property=replace(OWNER, law=""))
    assert rules_told(plan(rule("post")), nowhere)[1] == say("rules.whose")
    assert rules_told(plan(), nowhere) == []


def test_days_in_use_are_told_where_work_is() -> None:
    wishes = (("l", "closed_days", "match on Saturdays"), ("w", "closed_days", "walkers"))
    assert rules_told(plan(wishes=wishes), RECORD) == ["Front lawn is in use: match on Saturdays. No work then."]


def test_rules_stand_in_json() -> None:
    told = stage_json(plan(rule("closed", closed=("12-01", "04-01")))).decode("utf-8")
    assert '"closed_from": "12-01"' in told
    assert '"checked_on": "2015-11-20"' in told


def test_the_client_reads_what_is_asked_of_the_work_alone_and_in_short() -> None:
    told = plan(rule("notice", 2.0, "day", to=("compost", "slow_nitrogen")), rule("post", to=("compost",)))
    assert rules_in_brief(told, RECORD) == "Slow nitrogen: give notice 2 days before."
    assert rules_in_brief(replace(told, items=()), RECORD) == ""
