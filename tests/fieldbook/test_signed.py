"""Signed plans: kept to the last figure, one stands, nothing is ever changed, what they rest on stays."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import permutations
from pathlib import Path

import pytest
from hypothesis import given, settings

from rootcase.fieldbook.events import Event, PlanSigned, PlanWithdrawn
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.archive import open_archive
from rootcase.fieldbook.signed import SLOT, mark_of, plan_named, signed_plans, signed_text
from rootcase.ground.errors import Missing, RootcaseError, StoreError, UnreadableValue
from rootcase.records.estimate import Estimate
from rootcase.records.offer import AgainstAdvice, Arms, Input, Pair, Signing
from rootcase.records.prescribe import Dose, Plan, PlanItem, RemedyOutcome, Step, TreePrescription
from tests.fieldbook.export.books import any_of
from tests.fieldbook.sheets import SHEET, changed, event, open_book, write_sheet

DAY = date(2016, 1, 20)
GAIN = Estimate(12.3456789012345, 12.0, -1.5, 25.0, 8.0, 16.0)
DOSE = Dose(40.0, depth_m=0.08, volume_m3=3.2, season="any")
MULCH = RemedyOutcome("mulch", DOSE, 400.0, GAIN, (1.0, 2.0, 3.0, 4.0, 5.0), "trials agree", "chosen", "",
                      ("off_trunk",), (Step(1, "autumn", "mulch", DOSE, 200.0),
                                       Step(4, "spring", "mulch", DOSE, None)))
TREE = TreePrescription("t1", "treat", "gains_most", "mulch", (MULCH,), (), (GAIN,), (GAIN, GAIN), 40.0, 1.0,
                        date(2018, 6, 15), 1.5)
PLAN = Plan("p", (PlanItem("t1", "mulch", DOSE, 400.0, GAIN, MULCH.steps, True),), 80.0, 480.0, None, "USD", 493.82,
            493.9, (("lawn", "wish_lawn", "stays"),), ("wish_holes",), True, (TREE,), DAY, 500, 1)
SIGNING = Signing(PLAN, (Input("reading", "dbh", "r1", '17"', "t1", "visit 1"), Input("price", "mulch", "9.5 per_m2")),
                  "state", "engine 1", "0.1.0", 1000, date(2015, 12, 31),
                  (AgainstAdvice("t1", "nothing", "mulch", 400.0),), "the client wants chips",
                  (Arms("extract", "trials found nothing", (Pair("t1", "t2", 7),), ("t3",), True, None, 0.0),))


def signed(an_id: str, signing: Signing = SIGNING, supersedes: str | None = None, made_at: str = "2016-01-20") -> Event:
    text = signed_text(signing)
    return event(an_id, PlanSigned(slot=SLOT, supersedes=supersedes, signed=text, mark=mark_of(text), by="rs", day=DAY),
                 made_at)


def withdrawn(an_id: str, supersedes: str, made_at: str = "2016-02-01") -> Event:
    return event(an_id, PlanWithdrawn(slot=SLOT, supersedes=supersedes, by="rs", day=DAY, reason="sold"), made_at)


@pytest.fixture
def book(tmp_path: Path) -> Fieldbook:
    return open_book(tmp_path / "f.sqlite")


def signing_of(book: Fieldbook, property_id: str) -> Signing:
    """On the readings that stand now."""
    inputs = tuple(Input("reading", r.kind, r.id, r.typed, r.of) for r in book.record(property_id).readings)
    return replace(SIGNING, inputs=inputs)


@pytest.mark.property
def test_a_plan_comes_back_as_it_was_signed_to_twelve_figures() -> None:
    plan, = signed_plans([signed("1")])
    assert plan.signing.plan.items[0].gain_points.mean == pytest.approx(GAIN.mean, rel=1e-11)
    assert plan.signing == replace(SIGNING, plan=plan.signing.plan)
    assert signed_text(plan.signing) == signed_text(SIGNING)
    assert (plan.mark, plan.by, plan.day, plan.standing) == (mark_of(signed_text(SIGNING)), "rs", DAY, "standing")
    assert plan.signing.plan.trees[0].look_again == date(2018, 6, 15)
    assert plan.signing.plan.items[0].steps[1].cost is None


@pytest.mark.property
@settings(max_examples=15)
@given(any_of(Signing))
def test_whatever_a_plan_may_hold_comes_back(signing: Signing) -> None:
    text = signed_text(signing)
    body = PlanSigned(slot=SLOT, signed=text, mark=mark_of(text), by="rs", day=DAY)
    assert signed_text(signed_plans([event("1", body)])[0].signing) == text


@pytest.mark.property
@pytest.mark.parametrize("other", [
    replace(SIGNING, reason="x"), replace(SIGNING, plan=replace(PLAN, total_cost=480.01)),
    replace(SIGNING, arms=()), replace(SIGNING, inputs=SIGNING.inputs[:1]), replace(SIGNING, engine="engine 2"),
    replace(SIGNING, plan=replace(PLAN, seed=2)), replace(SIGNING, weather_ends=None)])
def test_the_mark_covers_all_that_is_signed(other: Signing) -> None:
    assert mark_of(signed_text(other)) != mark_of(signed_text(SIGNING))


@pytest.mark.property
def test_the_mark_does_not_hang_on_the_last_bits_of_a_processor() -> None:
    shaken = replace(GAIN, mean=GAIN.mean * (1 + 1e-15))
    item = replace(PLAN.items[0], gain_points=shaken)
    assert mark_of(signed_text(replace(SIGNING, plan=replace(PLAN, items=(item,))))) == mark_of(signed_text(SIGNING))


@pytest.mark.pinned
def test_a_signed_text_keeps_its_form() -> None:
    nothing = Plan("p", (), 0.0, 0.0, 250.5, "USD", 0.0, 0.0, (), (), True, (), DAY, 500, 1)
    assert signed_text(Signing(nothing, (), "", "e", "0", 1000, None)) == (
        '{"draws":1000,"engine":"e","fieldbook":"","inputs":[],"plan":{"best_bound":"0","budget":"250.5","currency":"USD",'
        '"draws":500,"fits":true,"gain_points_m2":"0","items":[],"made_on":"2016-01-20","not_asked":[],"property_id":"p","seed":1,'
        '"shared_cost":"0","total_cost":"0","trees":[],"wishes":[]},"program":"0","weather_ends":null}')


@pytest.mark.property
@pytest.mark.parametrize(("story", "standing"), [
    ([signed("1")], {"1": "standing"}),
    ([signed("1"), signed("2", supersedes="1", made_at="2016-02-01")], {"1": "superseded", "2": "standing"}),
    ([signed("1"), withdrawn("2", "1")], {"1": "withdrawn"}),
    ([signed("1"), withdrawn("2", "1"), signed("3", supersedes="2", made_at="2016-03-01")],
     {"1": "withdrawn", "3": "standing"}),
    ([signed("1"), signed("2", replace(SIGNING, reason="other"), made_at="2016-02-01")],
     {"1": "disputed", "2": "standing"}),
    ([signed("1"), signed("2", replace(SIGNING, reason="other"), made_at="2016-02-01"),
      withdrawn("3", "1", "2016-03-01")],
     {"1": "withdrawn", "2": "standing"}),
])
def test_one_plan_stands_whatever_the_order_of_arrival(story: list[Event], standing: dict[str, str]) -> None:
    for order in permutations(story):
        found = signed_plans(order)
        assert {plan.id: plan.standing for plan in found} == standing
        assert [plan.id for plan in found] == sorted(standing, reverse=True)


def test_a_text_that_was_changed_and_one_of_another_program_are_told() -> None:
    for text, mark, says in (("{}", "0" * 64, "not what was signed"), ("{}", mark_of("{}"), "cannot be read"),
                             ('{"plan":3}', mark_of('{"plan":3}'), "cannot be read")):
        body = PlanSigned(slot=SLOT, signed=text, mark=mark, by="rs", day=DAY)
        with pytest.raises(StoreError, match=says):
            signed_plans([event("1", body)])


def test_signing_anew_supersedes_and_the_same_twice_is_refused(book: Fieldbook, tmp_path: Path) -> None:
    owner = book.import_sheet(write_sheet(tmp_path / "in", dict(SHEET))).property_id
    first = book.sign(owner, SIGNING, by="rs", day=DAY)
    with pytest.raises(Missing, match="just this plan stands signed already"):
        book.sign(owner, SIGNING, by="rs", day=DAY)
    second = book.sign(owner, replace(SIGNING, reason="newer"), by="rs", day=DAY)
    assert [(plan.id, plan.standing) for plan in book.signed_plans(owner)] == [
        (second.id, "standing"), (first.id, "superseded")]
    for mark, says in ((first.mark[:8], "newer signed plan"), ("ffff", "no signed plan"), ("0", "no signed plan")):
        with pytest.raises(Missing, match=says):
            book.withdraw_plan(owner, by="rs", day=DAY, reason="sold", mark=mark)
    assert book.withdraw_plan(owner, by="rs", day=DAY, reason="sold").id == second.id
    assert {plan.standing for plan in book.signed_plans(owner)} == {"withdrawn", "superseded"}
    assert book.signed_plans(owner)[0].withdrawn_because == "sold"
    with pytest.raises(Missing, match="no plan of this property stands signed"):
        book.withdraw_plan(owner, by="rs", day=DAY, reason="sold")
    assert book.sign(owner, SIGNING, by="rs", day=DAY).standing == "standing"


def test_nobody_signs_with_a_name(book: Fieldbook, tmp_path: Path) -> None:
    people = [["role", "name"], ["owner", "Ada Invented"]]
    owner = book.import_sheet(write_sheet(tmp_path / "in", {**SHEET, "contacts": people})).property_id
    for by in ("ada invented", " "):
        with pytest.raises(UnreadableValue, match="by a code, not by a name"):
            book.sign(owner, SIGNING, by=by, day=DAY)


def test_an_import_stays_while_a_signed_plan_rests_on_its_readings(book: Fieldbook, tmp_path: Path) -> None:
    owner = book.import_sheet(write_sheet(tmp_path / "in", dict(SHEET))).property_id
    plan = book.sign(owner, signing_of(book, owner), by="rs", day=DAY)
    with pytest.raises(Missing, match=rf"a signed plan rests on its readings \(got plan signed on 20 January 2016, "
                                      rf"{plan.mark[:8]}\); withdraw the plan first"):
        book.undo_import(owner, "wrong file")
    more = book.import_sheet(write_sheet(tmp_path / "more", {"pits": [["pit", "tree", "visit", "probe_depth"],
                                                                     ["pit 9", "oak 4", "autumn", "5 in"]]}),
                             property_id=owner)
    assert book.undo_import(owner, "wrong file").events == more.new, "the plan rests on none of these"
    book.withdraw_plan(owner, by="rs", day=DAY, reason="wrong file")
    assert book.undo_import(owner, "wrong file").file == "in"


def test_the_plans_on_a_reading_are_found_by_the_end_of_its_id(book: Fieldbook, tmp_path: Path) -> None:
    owner = book.import_sheet(write_sheet(tmp_path / "in", dict(SHEET))).property_id
    first, *others = book.record(owner).readings
    assert book.plans_on(first.id) == ()
    plan = book.sign(owner, replace(SIGNING, inputs=(Input("reading", first.kind, first.id, first.typed, first.of),)),
                     by="rs", day=DAY)
    assert book.plans_on(first.id) == book.plans_on(first.id[-6:]) == (plan,)
    assert all(book.plans_on(other.id) == () for other in others)
    book.import_sheet(write_sheet(tmp_path / "two", changed("trees", 3, "dbh", "19")))
    book.withdraw_plan(owner, by="rs", day=DAY, reason="x")
    assert book.plans_on(first.id) == ()


def test_signed_plans_go_out_and_come_back(book: Fieldbook, tmp_path: Path) -> None:
    owner = book.import_sheet(write_sheet(tmp_path / "in", dict(SHEET))).property_id
    book.sign(owner, signing_of(book, owner), by="rs", day=DAY)
    book.withdraw_plan(owner, by="rs", day=DAY, reason="sold")
    book.sign(owner, SIGNING, by="rs", day=DAY)
    book.export(tmp_path / "all.zip")
    with open_book(tmp_path / "g.sqlite") as other, open_archive(tmp_path / "all.zip") as archive:
        other.restore(archive)
        assert other.signed_plans(owner) == book.signed_plans(owner)
        assert other.state_hash() == book.state_hash()


@pytest.mark.parametrize("mark", ["44136fa3", "44136FA3", "4413 6fa3", "4413"])
def test_a_mark_may_be_typed_as_it_is_shown(mark: str) -> None:
    plan = replace(signed_plans([signed("1")])[0], mark=mark_of("{}"))
    assert plan_named([plan], mark) is plan
    with pytest.raises(RootcaseError, match="several signed plans"):
        plan_named([plan, plan], mark)
