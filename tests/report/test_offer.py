"""The offer as a page: every option and its price, three answers of one size, the same bytes for the same offer."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from functools import cache

import pytest

from rootcase.casework.prescribe.offer import offer_of
from rootcase.records.observe import Practice
from rootcase.records.offer import (
    Answer,
    Arms,
    DueItem,
    MadeOffer,
    OfferState,
    OfferWork,
    Pair,
    Programme,
    WorkChange,
)
from rootcase.records.prescribe import FrontierPoint, Step
from rootcase.records.report import Author, Casework
from rootcase.report.pdf.offer import offer_pdf
from rootcase.report.terminal.offer import due_text, offer_text, offers_text, programme_text
from rootcase.report.text.due import due_lines
from rootcase.report.text.figures import percent, sentence
from rootcase.report.text.meaning import given_up
from rootcase.report.text.naming import names, remedy_name
from rootcase.report.text.offer import BLOCKS, Shown, block, exactly, side_by_side, state_line, work_lines
from rootcase.report.text.offered_trees import tree_lines
from tests.casework.prescribe.test_offer import dose
from tests.casework.prescribe.test_repeated import AGREED, programme_state
from tests.report.cases import CASES
from tests.report.fixtures import casework_extreme, casework_fixture, casework_of
from tests.report.test_next_reading import ASKED, SENT
from tests.report.test_pdf import opened, pages

DAY = date(2015, 11, 4)
MARK = "cd12" * 16
PRACTICE = Practice("Practice of the tests", "1 Some Street", "555 0100", "VAT", 20.0, 14, None,
                    "Payment within 30 days.\nNo work in frost.")


def shown_of(casework: Casework, arms: tuple[Arms, ...] = (), practice: Practice = PRACTICE) -> Shown:
    """Half of the plan's trees stand in as the smaller step."""
    plan = casework.plan
    if len(plan.items) > 1:
        half = plan.items[:len(plan.items) // 2]
        cost = sum(item.cost for item in half) + 80.0
        point = FrontierPoint(cost, cost, cost, 0.45 * plan.gain_points_m2, 0.0,
                              tuple((item.tree_id, item.remedy) for item in half))
        plan = replace(plan, first_year_cost=plan.total_cost, frontier=(point,))
    of = offer_of(plan, arms, practice, plan_mark="ab" * 32, signed=True, today=DAY)
    return Shown(casework.record, plan, arms, MadeOffer("1", MARK, 3, of, ()), practice)


@cache
def plain() -> Shown:
    return shown_of(casework_fixture())


@cache
def plain_pdf() -> bytes:
    return offer_pdf(plain(), Author("R. Reader", "credential 7"))


def test_the_page_says_all_that_an_offer_says() -> None:
    text = " ".join(pages(plain_pdf()))
    assert len(pages(plain_pdf())) <= 2
    for words in ("Practice of the tests", "555 0100", "What we offer for Mill Hall", "offer 3, 4 November 2015",
                  "It holds until 18 November 2015.", "With VAT, 20 % on top.", "0 Leave it alone", "1 The plan",
                  "2 A smaller step", "To pay this year", "Over five years, with tax", "What you keep",
                  "What to expect, and what it cannot do", "Nobody can promise growth.", "not a risk assessment",
                  "What is not known", "Before and during the work", "Local codes and licensed practice come first.",
                  "When we look again", "Yes to this", "Ask a question", "No, leave it", "Prepared by R. Reader",
                  "The plan is signed, mark abab abab.", "A yes is to just this offer, mark cd12 cd12.",
                  "Terms of the practice", "No work in frost.", "yd³", "m³"):
        assert words in text, words


def test_a_sum_without_a_tax_is_not_told_with_one() -> None:
    shown = shown_of(casework_fixture(), practice=replace(PRACTICE, tax_pct=None))
    names = [row[0] for row in side_by_side(shown)]
    assert "Over five years, before tax" in names
    assert "Over five years, with tax" not in names


def test_each_tree_has_a_line_of_what_why_and_where_it_stands_in_five_years() -> None:
    casework = casework_fixture()
    shown = replace(plain(), explanations=casework.explanations)
    item = shown.plan.items[0]
    line = tree_lines(shown)[0]
    label, tree = shown.labels[item.tree_id], next(t for t in shown.plan.trees if t.tree_id == item.tree_id)
    assert line.startswith(f"{sentence(label)}: {remedy_name(item.remedy)}.")
    assert re.search(r": (likely|maybe), \d in 10\.|What holds it back we do not know\.", line)
    for share in (tree.share_if_chosen[-1], tree.share_if_nothing[-1]):
        assert f"{percent(share)[0]} ({percent(share)[1]})" in line
    told = " ".join(tree_lines(shown))
    assert all(shown.labels[tree.tree_id] in told or sentence(shown.labels[tree.tree_id]) in told
               for tree in shown.plan.trees)
    assert "treated trees at" not in offer_text(shown), "no ranges over all trees"
    assert "Tree by tree" in pages(plain_pdf())[0]


def test_every_price_of_the_offer_stands_on_the_page() -> None:
    text = " ".join(pages(plain_pdf()))
    for option in plain().offer.options:
        for price in (option.this_year, option.five_years):
            assert exactly(price.total, "USD") in text
        assert exactly(option.this_year.tax, "USD") in text


def test_the_same_offer_is_the_same_bytes_and_is_tagged() -> None:
    assert offer_pdf(plain(), Author("R. Reader", "credential 7")) == plain_pdf()
    root = opened(plain_pdf()).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert "pdfuaid" in root["/Metadata"].get_object().get_data().decode()
    assert opened(plain_pdf()).metadata.title == "What we offer for Mill Hall"


@pytest.mark.parametrize("casework", [casework_extreme(), casework_of(tuple(
    replace(case, label=f"{case.label} {at}") for at in range(6) for case in CASES)),
    replace(casework_fixture(), plan=replace(casework_fixture().plan, items=(), total_cost=0.0, first_year_cost=0.0))],
    ids=["extreme", "48 trees", "nothing to do"])
def test_any_property_is_laid_out(casework: Casework) -> None:
    shown = shown_of(casework)
    told = pages(offer_pdf(shown, Author()))
    assert len(told) <= 2
    assert "Yes to this" in " ".join(told)
    assert max(map(len, offer_text(shown).splitlines())) <= 80


def test_what_is_typed_is_data_and_never_markup() -> None:
    hostile = replace(PRACTICE, name='#panic("x") $ *', terms="#pagebreak()\n<a> @b \\ `c`")
    text = " ".join(pages(offer_pdf(shown_of(casework_fixture(), practice=hostile), Author("#eval"))))
    assert '#panic("x") $ *' in text
    assert "#pagebreak()" in text


def test_no_tax_and_no_letterhead_are_said() -> None:
    text = offer_text(shown_of(casework_fixture(), practice=Practice()), ["told to the practice alone"])
    assert "told to the practice alone" in text
    assert "No tax is told" in text
    assert "not told" in text
    assert "Terms of the practice" not in text


def test_a_trial_names_who_goes_without_and_nothing_is_given_up_there() -> None:
    casework = casework_fixture()
    first, second = casework.plan.items[:2]
    labels = {tree.id: tree.label for tree in casework.record.trees}
    lot = Arms(second.remedy, "mixed", (Pair(first.tree_id, second.tree_id, 7),), (), False, 100.0, second.cost)
    text = " ".join(offer_text(shown_of(casework, (lot,))).split())
    assert f"{labels[second.tree_id]} goes without; nothing else is done at either (lot 7)." in text
    assert "loosened with air" in " ".join(block("kept", plain()))
    assert "loosened with air" not in " ".join(block("kept", shown_of(casework, (lot,))))


def test_a_course_of_several_gives_up_what_each_of_its_parts_takes() -> None:
    casework = casework_fixture()
    item = replace(casework.plan.items[0], remedy="water+mulch", steps=(
        Step(1, "spring", "water", dose(), 10.0), Step(1, "spring", "mulch", dose(), 10.0)))
    told = given_up(replace(casework.plan, items=(item,)), casework.record)
    assert "watered through each dry summer" in told
    assert "under wood chips" in told


@pytest.mark.parametrize("name", BLOCKS)
def test_every_block_says_something(name: str) -> None:
    nothing = replace(casework_fixture(), plan=replace(casework_fixture().plan, items=(), trees=(), wishes=()))
    for shown in (plain(), shown_of(nothing)):
        assert block(name, shown)
        assert all(line.strip() for line in block(name, shown))


def test_what_could_still_change_the_plan_is_one_plain_sentence_and_no_list_of_work() -> None:
    shown = plain()
    working = {item.tree_id for item in shown.plan.items}
    asked = replace(ASKED, taken_before=False)
    trees = tuple(replace(tree, next_for_plan=(asked, SENT)) for tree in shown.plan.trees)
    of = names([shown.labels[tree.tree_id] for tree in trees if tree.tree_id in working])
    told = block("not_known", replace(shown, plan=replace(shown.plan, trees=trees)))
    assert f"We have not found out how it is watered; it could still change the plan at {of}." in told
    again = tuple(replace(tree, next_for_plan=(replace(asked, taken_before=True),)) for tree in trees)
    told = block("not_known", replace(shown, plan=replace(shown.plan, trees=again)))
    assert f"We would read once more how it is watered; it could still change the plan at {of}." in told
    assert "worth" not in " ".join(told)


def test_the_first_page_holds_the_options_and_the_answer() -> None:
    crowded = replace(PRACTICE, terms="\n".join(["Work waits for soil that is neither wet nor frozen."] * 20))
    first, rest = pages(offer_pdf(shown_of(casework_fixture(), practice=crowded), Author()))
    for words in ("2 A smaller step", "What is not known", "Yes to this", "number of the option"):
        assert words in first, words
    for words in ("What you keep", "Before and during the work", "Terms of the practice"):
        assert words in rest, words


def test_the_table_has_a_cell_for_each_option() -> None:
    assert {len(row) for row in side_by_side(plain())} == {len(plain().offer.options) + 1}


WORK = OfferWork(Step(1, "spring", "mulch", dose(3.2), 400.0), 1, ("t1",))
MORE = replace(WORK, step=replace(WORK.step, dose=dose(3.8)))
CHANGED = OfferState("changed", date(2016, 5, 6), (WorkChange("mulch", WORK, MORE),), 440.0, 500.5)
YES = (Answer("1", MARK, "yes", 1, date(2016, 5, 4), "c1"),)


def test_a_yes_to_what_has_changed_is_asked_again_and_says_what_changed() -> None:
    made = replace(plain().made, answers=YES)
    record = casework_fixture().record
    line = state_line(made, CHANGED, {"c1": "A client"}, record)
    assert line == ("A client said yes on 4 May 2016 to offer 3, option 1. It changed on 6 May 2016: wood-chip mulch, "
                    "4.2 yd³ (3.2 m³) at t1 becomes 5 yd³ (3.8 m³) at t1; over five years 440.00 USD then, 500.50 USD "
                    "now. Yes again?")
    assert state_line(made, OfferState("open", None), {}, record).startswith("Somebody whose name was erased said yes")
    gone = replace(CHANGED, changes=(WorkChange("mulch", WORK, None), WorkChange("water", None, WORK)))
    assert "wood-chip mulch is gone" in state_line(made, gone, {"c1": "A client"}, record)
    assert "watering in summer is new" in state_line(made, gone, {"c1": "A client"}, record)
    same = replace(CHANGED, changes=())
    assert "the work is the same" in state_line(made, same, {"c1": "A client"}, record)


def test_an_offer_that_ran_out_or_fell_with_its_plan_says_so() -> None:
    made, record = plain().made, casework_fixture().record
    assert state_line(made, OfferState("run out", made.offer.valid_until), {}, record) == (
        "Offer 3 held until 18 November 2015.")
    assert state_line(made, OfferState("withdrawn", None), {}, record) == "The plan of offer 3 was withdrawn."
    asked = replace(made, answers=(replace(YES[0], answer="question", words="On a Sunday?"),))
    line = state_line(asked, OfferState("open", None), {"c1": "A client"}, record)
    assert line.endswith("about offer 3: On a Sunday?")
    assert "not answered yet" in offers_text(record, [(made, OfferState("open", None))], {})
    assert "No offer was made here." in offers_text(record, [], {})


def test_a_programme_shows_its_visits_and_what_was_left_out() -> None:
    record = casework_fixture().record
    programme = replace(AGREED, skipped=((date(2015, 7, 1), "gate locked"), (date(2016, 7, 1), "drought")))
    text = programme_text(record, [programme_state(programme, [date(2016, 3, 20)], date(2016, 8, 1))])
    for words in ("1 March 2016     made      20 March 2016", "1 July 2016      left out  drought",
                  "1 July 2015  left out  gate locked", "To renew or to end: 1 March 2017."):
        assert words in text
    stopped = Programme("1", MARK, 1, AGREED.years, AGREED.price_until, date(2016, 5, 1), "sold")
    assert "Stopped on 1 May 2016: sold" in programme_text(record, [programme_state(stopped, [], DAY)])


def test_each_thing_that_is_due_is_a_line_with_its_why() -> None:
    record = casework_fixture().record
    ground, tree = record.property.id, record.trees[0].id
    items = [DueItem(date(2015, 11, 1), "licence", "", "applicator 12"),
             DueItem(DAY, "look", ground, "", "", (tree,), MARK),
             DueItem(DAY, "notice", ground, "mulch", "2015-11-20", (), "A board, page 3"),
             DueItem(DAY, "laboratory", ground, "soil A", "2015-10-02", (), "reading-12345"),
             DueItem(DAY, "pest", ground, "leaf_eaters", "", (tree,), "reading-12345"),
             DueItem(DAY, "question", ground, "3", "On a Sunday?", (), MARK), DueItem(DAY, "visit", ground, "missed"),
             DueItem(date(2015, 11, 1), "wanted", ground, "probe_depth", "", (tree,))]
    lines = due_lines(items, {ground: record}, DAY)
    assert lines[:4] == [
        ("1 November 2015, overdue by 3 days", "the practice", "A licence runs out: applicator 12."),
        ("today", "Mill Hall", "Look again at oak 1. (plan cd12 cd12)"),
        ("today", "Mill Hall",
         "Give notice of wood-chip mulch; the work may begin on 20 November 2015. (A board, page 3)"),
        ("today", "Mill Hall",
         "Ask the laboratory after soil A, taken on 2 October 2015: no result has come. (reading 12345)")]
    assert "waits for an answer: On a Sunday?" in lines[5][2]
    assert lines[-1] == ("the next visit", "Mill Hall",
                         "Read at the next visit: how deep a rod goes in. At oak 1.")
    text = due_text(items, {ground: record}, DAY, date(2016, 2, 1))
    assert "Not tracked" in text
    assert "Nothing that is written down is due in 89 days." in due_text([], {}, DAY, date(2016, 2, 1))


def test_the_look_that_comes_first_and_the_depth_of_chips_are_said() -> None:
    shown = plain()
    tree = shown.plan.trees[0]
    sick = replace(shown, plan=replace(shown.plan, trees=(replace(tree, first_look="encircling_share"),)))
    label = shown.labels[tree.tree_id]
    assert block("looks", sick)[0].startswith(f"Open the collar at {label} first")
    work = OfferWork(Step(1, "spring", "mulch", replace(dose(1.524), depth_m=0.0762), 90.0), 1,
                     (tree.tree_id,))
    option = replace(shown.offer.options[1], work=(work,))
    assert ", 3 in (7.6 cm) deep, over " in work_lines(option, shown)[0].work


def test_a_change_of_what_is_weighed_has_the_figures_of_the_offer() -> None:
    shown = plain()
    tree = shown.plan.trees[0].tree_id
    doses = (replace(dose(), volume_m3=None, mass_kg=kg) for kg in (1.2383, 1.2020))
    old, new = (OfferWork(Step(1, "early_spring", "slow_nitrogen", each, 9.0), 1, (tree,)) for each in doses)
    state = OfferState("changed", DAY, (WorkChange("slow_nitrogen", old, new),), 1.0, 2.0)
    assert "2.73 lb" in state_line(shown.made, state, "R. Reader", shown.record)
