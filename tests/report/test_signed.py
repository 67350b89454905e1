"""What is said of signed plans: every line, from records made by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from rootcase.fieldbook.signed import signed_plans
from rootcase.records.observe import Place, Property, PropertyRecord, Tree
from rootcase.records.offer import Arms, Change, Outdated, Pair, Revised, SignedPlan
from rootcase.records.prescribe import Plan
from rootcase.records.report import Casework
from rootcase.report.pdf.front import second_page
from rootcase.report.pictures import draw_plan
from rootcase.report.pictures.signs import Layout
from rootcase.report.terminal.signed import signed_text, signing_text
from rootcase.report.text.cases import tree_cases
from rootcase.report.text.doses import dose_text
from rootcase.report.text.ledger import Ledger, results_of
from rootcase.report.text.signed import (
    arms_lines,
    arms_of,
    change_lines,
    revised_lines,
    signature_of,
    total_lines,
)
from tests.fieldbook.test_signed import PLAN, SIGNING, signed
from tests.report.fixtures import casework_fixture
from tests.report.pictures.marks import marks, root_of, texts

TREES = tuple(Tree(f"t{n}", "p", "lawn", f"oak {n}", None, None) for n in range(1, 6))
RECORD = PropertyRecord(
    Property("p", "own", "Alder Bank", 47.4, -122.3, 100.0, "America/Los_Angeles", "USD", "Seattle", "us", True),
    (Place("lawn", "p", "front lawn", "lawn"),), TREES, (), (), (), (), (), {})
LABELS = {tree.id: tree.label for tree in TREES}
STANDING = signed_plans([signed("1")])[0]
PAIRS = (Pair("t1", "t2", 7, "mulch"), Pair("t3", "t4", 7))
TILLAGE = Arms("air_tillage", "mixed", PAIRS, ("t5",), False, 900.0, 600.0)


def with_arms(*arms: Arms) -> SignedPlan:
    return replace(STANDING, signing=replace(STANDING.signing, arms=arms))


def test_arms_name_who_gets_what_and_what_it_costs() -> None:
    assert arms_lines(TILLAGE, LABELS, "USD") == [
        "Trial: Air tillage with organic matter and chips. Trials disagree on how much this helps.",
        "Oak 1 gets it, oak 2 goes without; both get wood-chip mulch (lot 7).",
        "Oak 3 gets it, oak 4 goes without; nothing else is done at either (lot 7).",
        "Two pairs, drawn by lot.",
        "No like tree was found for oak 5: as planned, outside the trial.",
        "Trees that go without save 600 USD of the plan.",
    ]
    one = arms_lines(replace(TILLAGE, pairs=PAIRS[:1], outside=(), spared=None), LABELS, "USD")
    assert one[2:] == ["One pair is an illustration: it can show nothing by itself."]
    none = arms_lines(replace(TILLAGE, pairs=()), LABELS, "USD")
    assert none[1:] == ["No two trees are alike enough to be drawn between, so there is no trial."]
    apart = arms_lines(replace(TILLAGE, doubt="extract", apart=True, cost=None, spared=0.0), LABELS, "USD")
    assert apart[-2:] == ["No like tree was found for oak 5: nothing of it there.",
                          "On top of the plan: not priced over five years."]


@pytest.mark.parametrize(("arms", "total"), [
    ((), []), ((TILLAGE,), ["With the trial -120 USD."]),
    ((replace(TILLAGE, apart=True, cost=90.0, spared=0.0),), ["With the trial 570 USD."]),
    ((replace(TILLAGE, spared=None),), []), ((replace(TILLAGE, pairs=()),), []),
])
def test_what_the_trial_makes_of_the_cost_is_told_where_it_is_known(arms: tuple[Arms, ...], total: list[str]) -> None:
    assert total_lines(with_arms(*arms)) == ["Costs 480 USD over five years.", *total]


@pytest.mark.parametrize(("change", "says"), [
    (Change("reading", "dbh", "t1", "17 in", "19 in", "corrected"),
     "Oak 1, trunk diameter (DBH): was 17 in, is 19 in (corrected)."),
    (Change("reading", "dbh", "t1", "17 in", "17 in", "corrected"),
     "Oak 1, trunk diameter (DBH): 17 in, called right since."),
    (Change("reading", "dbh", "t1", "17 in", "", "taken back"), "Oak 1, trunk diameter (DBH): 17 in (taken back)."),
    (Change("reading", "soil_ph", "gone", "", "6.5", "newer"), "Soil pH: 6.5 (newer)."),
    (Change("wish", "wish_lawn", "lawn", "stays", "free", "corrected"), "was stays, is free (corrected)."),
    (Change("price", "air_tillage", "", "4 per_m2", "9 per_m2", "changed"),
     "Price of air tillage: was 4 per m², is 9 per m² (changed)."),
    (Change("table", "prescribe/rates", "", "", "", "changed"), "(changed)."),
    (Change("table", "prescribe/removed", "", "", "", "gone"), "Table: prescribe/removed (no longer there)."),
    (Change("rule", "closed", "", "", "the county 12-01 04-01", "added"),
     "Rule on closed: the county 12-01 04-01 (new)."),
    (Change("fact", "yardstick", "t1", "oak 2, oak 3", "oak 2", "changed"),
     "Oak 1, yardstick: was oak 2, oak 3, is oak 2 (changed)."),
    (Change("engine", "", "", "", "", "changed"), "The growth model (changed)."),
])
def test_every_change_is_a_line(change: Change, says: str) -> None:
    line, = change_lines(RECORD, [change])
    assert says in line


def test_many_readings_of_one_kind_are_told_together() -> None:
    shoots = [Change("reading", "shoot_length_by_year", "t1", "", f"{n} in", "newer") for n in range(40)]
    assert change_lines(RECORD, shoots) == ["Oak 1, shoot length, several years back: 40 readings (newer)."]


def test_old_and_new_work_stand_side_by_side() -> None:
    item = STANDING.signing.plan.items[0]
    dearer = replace(item, remedy="water", cost=520.0)
    found = Outdated((), (Revised("t1", item, dearer), Revised("t9", None, item)), 480.0, 600.0)
    dose = dose_text(item.dose, "us")
    mulch = f"wood-chip mulch, {dose}; 400 USD, gain +12"
    assert "4.2 yd³ (3.2 m³)" in dose
    assert revised_lines(RECORD, found, LABELS, "USD") == [
        f"Oak 1. Was: {mulch}. Would be: watering in summer, {dose}; 520 USD, gain +12.",
        f"t9. Was: nothing is done. Would be: {mulch}.",
        "In all 480 USD over five years; would be 600 USD.",
    ]
    assert revised_lines(RECORD, replace(found, revised=()), LABELS, "USD") == [
        "Work, cost and gain would be the same."]


def test_the_whole_page_reads_well() -> None:
    text = " ".join(signing_text(RECORD, STANDING).split())
    for words in ("Signed on 20 January 2016 by rs.",
                  "Oak 1: wood-chip mulch, against the advice (leave it alone); 400 USD",
                  "Reason: the client wants chips", "June 2018: oak 1.",
                  "Rests on 1 readings, 0 wishes, 0 rules, 1 prices",
                  "Weather to 31 December 2015; newer days alone do not outdate it."):
        assert words in text
    older = replace(STANDING, standing="withdrawn", withdrawn_because="sold", day=date(2015, 1, 2))
    text = signed_text(RECORD, [STANDING, older], None)
    assert "Nothing it rests on has changed." in text
    assert "2 January 2015  rs  withdrawn" in text
    assert "No signed plan stands." in signed_text(RECORD, [older], None)
    assert "No plan was ever signed here." in signed_text(RECORD, [], None)
    assert max(map(len, text.splitlines())) <= 80


def test_a_plan_whose_tree_is_gone_is_shown_by_its_id() -> None:
    assert PLAN.trees[0].tree_id in signing_text(replace(RECORD, trees=()), STANDING).lower()
    assert SIGNING.against[0].tree_id == "t1"


def arms_in(plan: Plan) -> tuple[Arms, ...]:
    """The first two trees of a plan as a pair."""
    if len(plan.items) < 2:
        return ()
    one, other = plan.items[:2]
    return (Arms(one.remedy, "mixed", (Pair(one.tree_id, other.tree_id, 7),), (), False, 0.0, 0.0),)


def signed_casework() -> tuple[Casework, Arms]:
    """The fixture's plan signed, with a pair of two of the trees it works at."""
    casework = casework_fixture()
    arms, = arms_in(casework.plan)
    signing = replace(STANDING.signing, plan=casework.plan, arms=(arms,))
    return replace(casework, signed=replace(STANDING, signing=signing)), arms


def test_a_page_says_whether_its_plan_is_the_one_signed() -> None:
    casework, _ = signed_casework()
    assert signature_of(casework_fixture()) == ""
    assert signature_of(casework).startswith("This plan is signed. Signed on 20 January 2016 by rs.")
    newer = replace(casework, plan=replace(casework.plan, items=casework.plan.items[1:]))
    assert signature_of(newer).startswith("Another plan than this one is signed.")
    assert arms_of(newer) == ()
    told = second_page(tree_cases(casework), casework, Ledger(results_of(casework, tree_cases(casework))))["foot"]
    assert told[1] == signature_of(casework)


@pytest.mark.parametrize("layout", ["wide", "column", "phone"])
def test_the_plan_shows_who_gets_what_is_in_doubt(layout: Layout) -> None:
    casework, arms = signed_casework()
    assert arms_of(casework) == (arms,)
    labels = {tree.id: tree.label for tree in casework.record.trees}
    treated, untreated = labels[arms.pairs[0].treated], labels[arms.pairs[0].untreated]
    root = root_of(draw_plan(casework.record, casework.plan, layout, (arms,)).bare)
    words = " ".join(texts(root))
    assert f"Get it: {treated}." in words
    assert f"Go without: {untreated}." in words
    assert [mark.text for mark in marks(root, "arm")] in (["gets it", "without"], ["without", "gets it"])
    plain = root_of(draw_plan(casework.record, casework.plan, layout).bare)
    doses = [len(marks(drawn, "dose")) for drawn in (plain, root)]
    assert doses[0] - doses[1] in (1, 2), "nothing is done at the tree that goes without, and no row names it"
    assert f"Go without: {untreated}." in draw_plan(casework.record, casework.plan, layout, (arms,)).alt
