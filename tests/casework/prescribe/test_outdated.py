"""Outdated: by what a plan rests on and by nothing else; old and new are told, and nothing changes by itself."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from rootcase.casework.explain.explain import explain
from rootcase.casework.prescribe.outdated import inputs_of, outdated
from rootcase.records.explain import Explanation
from rootcase.records.observe import Place, Price, PropertyRecord, Reading, Rule, Tree
from rootcase.records.offer import Input, Outdated, SignedPlan, Signing
from rootcase.records.prescribe import Dose, Plan, PlanItem
from rootcase.tables.load import table
from rootcase.tables.readings import kinds
from tests.casework.prescribe.test_arms import GAIN
from tests.casework.property import DAY, FIELD, LAWN, PRICES, WOOD, comparison, read, record, weather

TABLES = {"prescribe/rates": "1f", "tree/fixed": "2a"}
ITEM = PlanItem("t-field", "mulch", Dose(40.0, depth_m=0.08, volume_m3=3.2), 400.0, GAIN)
PLAN = Plan("prop", (ITEM,), 80.0, 480.0, None, "USD", 1.0, 1.0, (), (), True, (), DAY, 100, 1)
NOT_RESTED_ON = [read("structural_photo", "t-field", choice="oak.jpg"), read("dbh", "t-other", 300.0),
                 read("heap_temperature", "t-field", 60.0), read("leaf_length", "t-field", 120.0)]

NO_LONGER = {("reading", "no longer used")}
"""What was read at a tree that is no yardstick any more."""


@pytest.fixture(scope="module")
def ground() -> PropertyRecord:
    other = Tree("t-other", "prop", "other", "oak 3", 1.0, 1.0)
    whole = record(FIELD + LAWN + WOOD + NOT_RESTED_ON)
    return replace(whole, trees=(*whole.trees, other), places=(*whole.places, Place("other", "prop", "other", "lawn")))


@pytest.fixture(scope="module")
def explained(ground: PropertyRecord) -> tuple[Explanation, ...]:
    seen = comparison({"t-field": 0.14}, 100)
    return (explain(ground, "t-field", seen.trees[0], weather(), draws=100, seed=1, threads=2),)


def rested_on(ground: PropertyRecord, explained: tuple[Explanation, ...], **more: object) -> tuple[Input, ...]:
    given = {"book": PRICES, "tables": TABLES, "engine": "four layers 1"} | more
    return inputs_of(ground, explained, **given)  # type: ignore[arg-type]


def signed(inputs: tuple[Input, ...]) -> SignedPlan:
    return SignedPlan("s", "4f2a", "rs", DAY, Signing(PLAN, inputs, "", "e", "0.1.0", 100, DAY), "standing")


def told(before: tuple[Input, ...], after: tuple[Input, ...], now: PropertyRecord,
         plan: Plan = PLAN) -> Outdated | None:
    return outdated(signed(before), after, now, plan)


def with_readings(ground: PropertyRecord, readings: list[Reading]) -> PropertyRecord:
    return replace(ground, readings=tuple(sorted(readings, key=lambda r: r.id)))


def renamed(explained: tuple[Explanation, ...], old: str, new: str) -> tuple[Explanation, ...]:
    """As the explanations are once the reading was corrected."""
    return tuple(replace(each, reading_ids=tuple(new if i == old else i for i in each.reading_ids))
                 for each in explained)


@pytest.mark.property
def test_a_plan_whose_inputs_are_the_same_is_never_outdated(ground, explained) -> None:
    before = rested_on(ground, explained)
    later = replace(PLAN, made_on=DAY + timedelta(900), total_cost=999.0, items=())
    assert told(before, rested_on(ground, explained), ground, later) is None
    backwards = replace(ground, trees=ground.trees[::-1], readings=ground.readings[::-1])
    assert told(before, rested_on(backwards, explained), ground) is None
    assert len({(i.kind, i.name, i.of, i.at, i.version) for i in before}) == len(before)


@pytest.mark.property
def test_each_reading_it_rests_on_outdates_it_once_corrected_and_no_other_does(ground, explained) -> None:
    before = rested_on(ground, explained)
    rests = {each.version for each in before if each.kind in ("reading", "wish")}
    assert len(rests) >= 25
    assert not rests & {reading.id for reading in NOT_RESTED_ON}
    for reading in ground.readings:
        new = replace(reading, id=f"{reading.id}-corrected", typed="another", supersedes=reading.id)
        now = with_readings(ground, [new if each.id == reading.id else each for each in ground.readings])
        found = told(before, rested_on(now, renamed(explained, reading.id, new.id)), now)
        if reading.id not in rests:
            assert found is None
            continue
        assert found is not None
        change, = found.changes
        assert (change.name, change.of, change.old, change.new, change.why) == (
            reading.kind, reading.of, reading.typed, "another", "corrected")
        assert change.kind == ("wish" if reading.kind.startswith("wish") else "reading")


def test_a_reading_taken_back_a_newer_one_and_one_no_longer_used_are_told_apart(ground, explained) -> None:
    before = rested_on(ground, explained)
    chips = next(reading for reading in ground.readings if reading.kind == "wish_chips")
    without = with_readings(ground, [each for each in ground.readings if each.id != chips.id])
    gone, = told(before, rested_on(without, explained), without).changes
    assert (gone.old, gone.new, gone.why) == ("yes", "", "taken back")

    fizz = replace(read("carbonate_fizz", "p-t-field", choice="none"), visit_id="later", day=date(2016, 6, 1))
    more = with_readings(ground, [*ground.readings, fizz])
    newer, = told(before, rested_on(more, explained), more).changes
    assert (newer.name, newer.old, newer.new, newer.why) == ("carbonate_fizz", "", "none", "newer")

    again = with_readings(more, [*more.readings, replace(fizz, id="z", choice="strong", typed="strong", visit_id="last",
                                                         day=date(2019, 6, 1))])
    found = {(each.old, each.new, each.why) for each in told(rested_on(more, explained), rested_on(again, explained),
                                                             again).changes}
    assert found == {("none", "", "no longer used"), ("", "strong", "newer")}


def test_a_reading_corrected_to_one_that_is_not_used_says_what_it_says_now(ground, explained) -> None:
    before = rested_on(ground, explained)
    fizz = read("carbonate_fizz", "p-t-field", choice="none")
    first = with_readings(ground, [*ground.readings, fizz])
    unread = replace(fizz, id="corrected twice", choice=None, nothing="not read", typed="not read", supersedes="unseen")
    now = with_readings(ground, [*ground.readings, unread])
    change, = told(rested_on(first, explained), rested_on(now, explained), now).changes
    assert (change.old, change.new, change.why) == ("none", "not read", "corrected")
    assert told(before, rested_on(now, explained), now) is None


@pytest.mark.parametrize(("more", "name", "old", "new", "why"), [
    ({"tables": TABLES | {"tree/fixed": "3b"}}, "tree/fixed", "", "", "changed"),
    ({"tables": {"tree/fixed": "2a"}}, "prescribe/rates", "", "", "gone"),
    ({"tables": TABLES | {"prescribe/new": "1"}}, "prescribe/new", "", "", "added"),
    ({"engine": "four layers 2"}, "", "", "", "changed"),
    ({"book": replace(PRICES, minimum_charge=200.0)}, "minimum charge", "150", "200", "changed"),
    ({"book": replace(PRICES, prices=(*PRICES.prices, Price("drainage", "per_m2", 9.0, "USD", "x")))}, "drainage", "",
     "9 per_m2", "added"),
])
def test_tables_prices_and_the_engine_outdate_it(ground, explained, more, name, old, new, why) -> None:
    change, = told(rested_on(ground, explained), rested_on(ground, explained, **more), ground).changes
    assert (change.name, change.old, change.new, change.why) == (name, old, new, why)


def test_rules_places_and_the_yardstick_outdate_it(ground, explained) -> None:
    before = rested_on(ground, explained)
    rule = Rule("closed", "the county", None, "", "12-01", "04-01", ("slow_nitrogen",), "section 3", DAY, "")
    for now, kind, why in (
        (replace(ground, rules=(rule,)), "rule", "added"),
        (replace(ground, property=replace(ground.property, law="the county")), "fact", "changed"),
        (replace(ground, places=tuple(replace(p, kind="lawn") if p.id == "field" else p for p in ground.places)),
         "fact", "changed"),
        (replace(ground, yardsticks=tuple(replace(y, tree_ids=("y-1",)) for y in ground.yardsticks)), "fact",
         "changed"),
    ):
        found = told(before, rested_on(now, explained), now)
        assert {(each.kind, each.why) for each in found.changes} - NO_LONGER == {(kind, why)}
    closed = replace(ground, rules=(rule,))
    moved = replace(ground, rules=(replace(rule, closed_to="03-15"),))
    change, = told(rested_on(closed, explained), rested_on(moved, explained), moved).changes
    assert (change.old, change.new, change.why) == ("the county 12-01 04-01", "the county 12-01 03-15", "changed")


def test_a_rule_looked_up_again_or_of_another_law_and_a_price_s_other_source_outdate_nothing(ground, explained) -> None:
    rule = Rule("closed", "the county", None, "", "12-01", "04-01", ("slow_nitrogen",), "section 3", DAY, "")
    closed, again = (replace(ground, rules=(replace(rule, checked_on=day),)) for day in (DAY, DAY + timedelta(400)))
    assert told(rested_on(closed, explained), rested_on(again, explained), again) is None
    here = replace(ground, property=replace(ground.property, law="the state"))
    elsewhere = replace(here, rules=(rule,))
    assert told(rested_on(here, explained), rested_on(elsewhere, explained), elsewhere) is None
    book = replace(PRICES, prices=tuple(replace(price, source="page 2") for price in PRICES.prices))
    assert told(rested_on(ground, explained), rested_on(ground, explained, book=book), ground) is None


def test_old_and_new_figures_stand_side_by_side_where_a_person_would_see_a_difference(ground, explained) -> None:
    before, after = rested_on(ground, explained), rested_on(ground, explained, engine="four layers 2")
    hardly = replace(ITEM, cost=400.001, gain_points=replace(GAIN, mean=GAIN.mean + 0.01),
                     dose=replace(ITEM.dose, volume_m3=3.2001))
    assert told(before, after, ground, replace(PLAN, items=(hardly,))).revised == ()
    for item in (replace(ITEM, cost=412.0), replace(ITEM, remedy="water"), replace(ITEM, dose=Dose(41.0)),
                 replace(ITEM, gain_points=replace(GAIN, mean=GAIN.mean + 2.0))):
        found = told(before, after, ground, replace(PLAN, items=(item,), total_cost=500.0))
        assert [(each.tree_id, each.old, each.new) for each in found.revised] == [("t-field", ITEM, item)]
        assert (found.old_cost, found.new_cost) == (480.0, 500.0)
    found = told(before, after, ground, replace(PLAN, items=(replace(ITEM, tree_id="t-lawn"),)))
    assert [(each.tree_id, each.old is None, each.new is None) for each in found.revised] == [
        ("t-field", False, True), ("t-lawn", True, False)]


@pytest.mark.parametrize(("kind", "of", "value", "choice"), [
    ("crown_dieback", "t-field", 0.3, None), ("root_flare_state", "t-field", None, "none"),
    ("crown_density", "t-field", 0.4, None), ("crown_density", "y-1", 0.4, None)])
def test_a_sign_that_no_explanation_names_outdates_it_also_at_a_tree_it_is_compared_with(
        kind, of, value, choice, ground, explained) -> None:
    before = rested_on(ground, explained)
    seen = with_readings(ground, [*ground.readings, read(kind, of, value, choice=choice)])
    found = told(before, rested_on(seen, explained), seen)
    assert [(each.name, each.of, each.why) for each in found.changes if each.why == "newer"] == [(kind, of, "newer")]


def test_water_drawn_elsewhere_outdates_it(ground, explained) -> None:
    pond = Place("pond", "prop", "pond", "water", ((0.0, 0.0), (5.0, 0.0), (5.0, 5.0)))
    drawn = replace(ground, outlines=(pond,))
    moved = replace(ground, outlines=(replace(pond, outline_m=((1.0, 0.0), (5.0, 0.0), (5.0, 5.0))),))
    change, = told(rested_on(drawn, explained), rested_on(moved, explained), moved).changes
    assert (change.name, change.new, change.why) == ("outline", "pond", "changed")


def test_the_catalogue_says_of_every_sign_that_explaining_uses_it() -> None:
    """Else a plan would not rest on it."""
    used = {str(row["reading"]) for row in table("explain/signs").rows} | {"crown_density", "crown_exposure"}
    assert [kind for kind in sorted(used) if "explain" not in kinds()[kind].used_by] == []
