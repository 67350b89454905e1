"""Signing through the services: from a sheet to a signed plan, and what a correction does to it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.view import view
from rootcase.ground.errors import Missing, UnreadableValue
from rootcase.records.observe import Property
from rootcase.records.offer import SignedPlan
from rootcase.records.report import Author
from rootcase.report.pdf.front import second_page
from rootcase.report.pdf.offer import offer_pdf
from rootcase.report.terminal.offer import offer_text, offers_text
from rootcase.report.terminal.signed import signed_text, signing_text
from rootcase.report.text.cases import tree_cases
from rootcase.report.text.ledger import Ledger, results_of
from rootcase.report.text.offered_choice import chosen_against, known_of
from rootcase.report.text.signed import mark_of_plan
from rootcase.science.choice.lot import left_out
from rootcase.science.tree.engine import ENGINE
from rootcase.services.observe import find_property
from rootcase.services.offer import Answering, answer_offer, make_offer, offers_of, signed_and_changes
from rootcase.services.prescribe import prescribe_property
from rootcase.services.run import Run
from rootcase.services.sign import Wanted, sign_property, signed_property, with_signature
from tests.fieldbook.sheets import PROPERTY, open_book, write_sheet
from tests.report.test_pdf import pages

DAY = date(2016, 1, 15)
OAKS = ("oak 4", "oak 5", "oak 6")
RING = ("0-1 m", "half crown", "dripline", "twice crown")
PAGES = {
    "property": PROPERTY,
    "places": [["place", "place_kind", "wish_lawn", "wish_chips", "irrigation_kind", "structural_photo"],
               ["lawn", "lawn", "free", "yes", "none", ""], ["wood", "woodland", "", "", "none", ""]],
    "visits": [["visit", "date", "observer"], ["autumn", "2015-11-05", "reader 1"]],
    "trees": [["tree", "place", "visit", "yardstick", "compare_with", "species", "dbh", "crown_spread", "stock_kind",
               "leaf_length"],
              ["units", "", "", "", "", "", "in", "ft", "", "in"],
              *([f"oak {n}", "wood", "autumn", "wood oaks", "", "Quercus rubra", "16", "36", "self_sown", "7"]
                for n in (1, 2, 3)),
              *([oak, "lawn", "autumn", "", "wood oaks", "Quercus rubra", "16", "36", "self_sown", "6"]
                for oak in OAKS)],
    "shoots": [["tree", "visit", "shoot", "2015", "2014"], ["units", "", "", "in", "in"],
               *([f"oak {n}", "autumn", str(shoot), "14", "15"] for n in (1, 2, 3) for shoot in range(4)),
               *([oak, "autumn", str(shoot), "4", "4 1/2"] for oak in OAKS for shoot in range(4))],
    "pits": [["pit", "tree", "visit", "probe_depth", "probe_stop", "texture_feel"], ["units", "", "", "in", "", ""],
             *([f"pit {tree}", tree, "autumn", depth, "hard", texture]
               for tree, depth, texture in [*((oak, "3", "clay") for oak in OAKS), ("oak 1", "30", "clay")])],
    "covers": [["tree", "visit", "ring", "turf", "bare"], ["units", "", "", "%", "%"],
               *([oak, "autumn", ring, "60", "40"] for oak in OAKS for ring in RING)],
    "prices": [["item", "unit", "amount", "currency"], ["air_tillage", "per_m2", "4", "USD"],
               ["mulch", "per_m2", "3.90", "USD"], ["extract", "per_m2", "1", "USD"],
               ["visit", "per_visit", "80", "USD"]],
}
"""Three like oaks on a hard lawn, whose chips are hardly cheaper than tilling with chips."""


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sheet and the weather, taken in once."""
    folder = tmp_path_factory.mktemp("sign")
    pages = {name: [list(row) for row in rows] for name, rows in PAGES.items()}
    with open_book(folder / "f.sqlite") as book:
        taken = book.import_sheet(write_sheet(folder / "in", pages))
        assert not taken.faults, taken.faults
        book.import_weather(Path(__file__).parents[1] / "data" / "weather_seattle.csv", "Seattle")
    return folder


@pytest.fixture
def book(first: Path, tmp_path: Path) -> Iterator[Fieldbook]:
    shutil.copy(first / "f.sqlite", tmp_path / "f.sqlite")
    with open_book(tmp_path / "f.sqlite") as found:
        yield found


@pytest.fixture
def run(first: Path) -> Run:
    """What was reckoned once is kept for the other tests of this file."""
    return Run(DAY, draws=40, seed=1, threads=2, results=first / "results")


def ground(book: Fieldbook) -> Property:
    return find_property(book, None)


def reading_of(book: Fieldbook, kind: str, label: str) -> str:
    record = book.record(ground(book).id)
    tree = next(tree for tree in record.trees if tree.label == label)
    return next(r.id for r in record.readings if r.kind == kind and r.of in (tree.id, *(
        pit.id for pit in record.pits_of(tree.id))))


def sign(book: Fieldbook, run: Run, **wanted: object) -> SignedPlan:
    return sign_property(book, ground(book), run, Wanted(**{"by": "rs", "lot": 7} | wanted)).plans[0]


def pairs_of(plan: SignedPlan) -> set[tuple[str, str, int, str]]:
    return {(pair.treated, pair.untreated, pair.seed, pair.rest) for arms in plan.signing.arms for pair in arms.pairs}


def test_a_plan_in_doubt_is_laid_out_in_pairs_and_told(book: Fieldbook, run: Run) -> None:
    signed = sign_property(book, ground(book), run, Wanted(by=" rs ", lot=7))
    plan, = signed.plans
    signing = plan.signing
    assert {item.remedy for item in signing.plan.items} == {"air_tillage"}
    assert (plan.by, plan.day, plan.standing, signing.engine, signing.draws) == ("rs", DAY, "standing", ENGINE, 40)
    arms, = signing.arms
    assert (len(arms.pairs), len(arms.outside)) == (1, 1)
    assert all(pair.untreated == left_out(7, pair.treated, pair.untreated) for pair in arms.pairs)
    assert {pair.rest for pair in arms.pairs} == {"mulch"}
    text = signing_text(signed.record, plan)
    assert f"Mark {plan.mark[:4]} {plan.mark[4:8]}." in text
    assert "goes without; both get" in text
    assert "One pair is an illustration" in text
    assert "September 2017: oak 4, oak 5 and oak 6." in text
    with pytest.raises(Missing, match="just this plan stands signed already"):
        sign(book, run, lot=99)
    assert sign(book, run, untreated=False).signing.arms == ()
    assert [each.standing for each in book.signed_plans(ground(book).id)] == ["standing", "superseded"]
    book.withdraw_plan(ground(book).id, by="rs", day=DAY, reason="sold")
    assert sign(book, run).mark == plan.mark, "the same plan has the same mark"


def test_a_correction_of_what_it_rests_on_outdates_it_and_pairs_stay_as_drawn(book: Fieldbook, run: Run) -> None:
    plan = sign(book, run)
    assert signed_property(book, ground(book), run).outdated is None
    assert signed_property(book, ground(book), replace(run, today=date(2016, 6, 1), results=None)).outdated is None
    book.correct(reading_of(book, "leaf_length", "oak 4"), "5 in", "looked again")
    beside = signed_property(book, ground(book), run)
    assert beside.outdated is None, "no part of the plan rests on it"
    assert "Nothing it rests on has changed." in signed_text(beside.record, beside.plans, beside.outdated)

    trunk = reading_of(book, "dbh", "oak 4")
    assert book.plans_on(trunk) == (plan,)
    book.correct(trunk, "19 in", "looked again")
    now = signed_property(book, ground(book), run)
    assert now.outdated is not None
    change, = now.outdated.changes
    assert (change.kind, change.name, change.old, change.new, change.why) == ("reading", "dbh", "16 in", "19 in",
                                                                              "corrected")
    text = signed_text(now.record, now.plans, now.outdated)
    assert "Oak 4, trunk diameter (DBH): was 16 in, is 19 in (corrected)." in text
    assert "Nothing changes until you sign anew" in text
    assert book.signed_plans(ground(book).id)[0] == plan, "nothing changes by itself"
    again = sign(book, run, lot=99)
    assert pairs_of(again) == pairs_of(plan)
    assert signed_property(book, ground(book), run).outdated is None


def test_against_the_advice_is_priced_and_needs_a_reason(book: Fieldbook, run: Run) -> None:
    for typed, error, says in (("oak 4", UnreadableValue, "no choice for a tree .*oak 4=mulch"),
                               ("oak 99=mulch", Missing, r"no such tree \(got oak 99\)"),
                               ("oak 1=mulch", Missing, "oak 1: nothing was advised for this tree")):
        with pytest.raises(error, match=says):
            sign(book, run, against=(typed,), reason="x")
    with pytest.raises(Missing, match="needs a reason"):
        sign(book, run, against=("oak 4=nothing",))
    plan = sign(book, run, against=("OAK 4=nothing",), reason=" the owner wants it so ")
    against, = plan.signing.against
    assert (against.advised, against.taken, against.cost, plan.signing.reason) == (
        "air_tillage", "nothing", 0.0, "the owner wants it so")
    assert against.tree_id not in {item.tree_id for item in plan.signing.plan.items}
    arms, = plan.signing.arms
    assert (len(arms.pairs), arms.outside) == (1, ()), "still laid out with an untreated tree"
    text = signing_text(book.record(ground(book).id), plan)
    assert "Oak 4: leave it alone, against the advice (air tillage" in text
    assert "One pair is an illustration" in text
    assert signed_property(book, ground(book), run).outdated is None


@pytest.mark.parametrize("by", ["Rachel Smith", "r\u00a0s", "rachelsmith12"])
def test_who_signs_is_a_short_code_without_a_blank(by: str, book: Fieldbook, run: Run) -> None:
    with pytest.raises(UnreadableValue, match="no blank and at most 12 signs"):
        sign(book, run, by=by)
    assert book.signed_plans(ground(book).id) == ()
    assert sign(book, run, by="rachelsmith1").by == "rachelsmith1"


def test_a_plan_of_trees_nobody_read_is_not_signed(book: Fieldbook, run: Run) -> None:
    with book.store.reading() as look:
        shoots = [each.id for each in view(look.events(ground(book).id)).readings
                  if each.kind.startswith("shoot_length")]
    for each in shoots:
        book.take_back(each, "wrong tree")
    with pytest.raises(Missing, match="too little was read to judge any tree; read some shoots at a tree first"):
        sign(book, run)
    assert book.signed_plans(ground(book).id) == ()


def test_two_choices_for_one_tree_are_refused(book: Fieldbook, run: Run) -> None:
    with pytest.raises(UnreadableValue, match="oak 4: two choices are told for this tree"):
        sign(book, run, against=("oak 4=nothing", "OAK 4=mulch"), reason="x")


def test_a_trial_without_a_pair_is_refused(book: Fieldbook, run: Run) -> None:
    for oak, trunk in (("oak 5", "40 in"), ("oak 6", "6 in")):
        book.correct(reading_of(book, "dbh", oak), trunk, "looked again")
    with pytest.raises(Missing, match="no two trees are alike enough to try this"):
        sign(book, run, tried=("extract",))


def test_report_and_offer_bear_one_mark_of_the_plan(book: Fieldbook, run: Run) -> None:
    casework = prescribe_property(book, ground(book), run)
    assert mark_of_plan(casework) == make_offer(book, ground(book), run)[0].offer.plan_mark
    plan = sign(book, run, untreated=False)
    casework = with_signature(book, casework)
    assert mark_of_plan(casework) == plan.mark == make_offer(book, ground(book), run)[0].offer.plan_mark
    cases = tree_cases(casework)
    lines = second_page(cases, casework, Ledger(results_of(casework, cases)))["lines"]
    assert f"plan mark {plan.mark[:4]} {plan.mark[4:8]}" in lines


def test_an_offer_and_a_yes_say_what_was_read_since_the_plan_was_signed(book: Fieldbook, run: Run) -> None:
    sign(book, run)
    shown, _ = make_offer(book, ground(book), run)
    assert (shown.changes, "since this plan was signed" in offer_text(shown)) == ((), False)
    book.correct(reading_of(book, "dbh", "oak 4"), "19 in", "looked again")
    shown, told = make_offer(book, ground(book), run)
    since = "Something has been read since this plan was signed: Oak 4, trunk diameter (DBH): was 16 in, is 19 in"
    assert since in " ".join(offer_text(shown).split())
    assert since in " ".join(" ".join(pages(offer_pdf(shown, Author()))).split())
    assert any("outdated" in line for line in told)
    answer_offer(book, ground(book), Answering("yes", "A client"), DAY)
    assert book.offers(ground(book).id)[0].answers[-1].answer == "yes", "kept all the same"
    told = offers_text(*offers_of(book, ground(book), DAY), *signed_and_changes(book, ground(book), run))
    text = " ".join(told.split())
    assert since in text
    assert "Ask again: look the plan over, sign it anew, and offer it again. The yes is kept." in text


def test_an_offer_says_what_was_chosen_against_the_advice_and_against_whose_wish(book: Fieldbook, run: Run) -> None:
    plan = sign(book, run, against=("oak 4=nothing", "oak 5=mulch"), reason="the owner wants it so")
    shown, _ = make_offer(book, ground(book), run)
    for text in (" ".join(offer_text(shown).split()), " ".join(" ".join(pages(offer_pdf(shown, Author()))).split())):
        assert "Oak 4: leave it alone, against our advice (air tillage" in text
        assert "Reason: the owner wants it so" in text
        assert "Oak 5: wood-chip mulch, against our advice" in text
    _, mulch = chosen_against(plan, shown.labels, "USD")
    assert "points over five years" in mulch
    assert "Trials agree that this helps." in mulch
    tree = next(tree for tree in plan.signing.plan.trees if tree.chosen == "mulch")
    barred = replace(tree, remedies=tuple(replace(each, reason="no_chips") for each in tree.remedies))
    assert "This goes against your own wish: no chips are wanted." in " ".join(known_of(barred, "mulch"))


def test_what_is_tried_comes_on_top_priced_apart(book: Fieldbook, run: Run) -> None:
    with pytest.raises(Missing, match="a trial needs trees that go without"):
        sign(book, run, tried=("extract",), untreated=False)
    with pytest.raises(Missing, match=r"oak 4: .*only as a trial .*as a trial of extract"):
        sign(book, run, against=("oak 4=extract",), reason="x")
    plan = sign(book, run, tried=("extract",))
    tilled, extract = plan.signing.arms
    assert (tilled.doubt, extract.doubt, extract.apart, extract.spared) == ("air_tillage", "extract", True, 0.0)
    assert extract.cost is not None
    assert extract.cost > 0.0
    assert "On top of the plan" in signing_text(book.record(ground(book).id), plan)
    assert {item.remedy for item in plan.signing.plan.items} == {"air_tillage"}
