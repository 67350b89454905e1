"""What the app's pages say of one tree: its history, its photos beside an untreated tree, its stages, its gains."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.words import say
from rootcase.records.observe import (
    Pit,
    Place,
    Property,
    PropertyRecord,
    Reading,
    Tree,
    Visit,
    WantedReading,
)
from rootcase.records.offer import Answer, Arms, Pair, SignedPlan
from rootcase.report.pictures import draw_shoots
from rootcase.report.screen.case import case_of, lines, pairs, soil_cells, year_cells
from rootcase.report.screen.explained import steps, worth_reading
from rootcase.report.screen.photos import photos_by_year
from rootcase.report.screen.prescribed import Scale, remedy_rows
from rootcase.report.screen.trees import chosen, tree_lines
from rootcase.report.text.happenings import happenings, readings_at
from rootcase.report.text.ledger import results_of
from tests.casework.prescribe.test_offer import DAY, made, offer, plan_of, signed
from tests.report.fixtures import casework_fixture

GROUND = Property("p", "own", "Alder Bank", 47.0, -122.0, 60.0, "", "USD", "", "us", True)
TREES = tuple(Tree(f"t{at}", "p", "lawn", f"oak {at}", None, None) for at in range(3))
VISIT = Visit("v", "p", "autumn", date(2015, 11, 5), "rs")


def reading(an_id: str, kind: str, of: str, day: date, **attributes: str) -> Reading:
    return Reading(an_id, kind, of, "v", day, "rs", 1.0, None, "=", None, "1", attributes=attributes)


def record(*readings: Reading) -> PropertyRecord:
    return PropertyRecord(GROUND, (Place("lawn", "p", "front lawn", "lawn"),), TREES,
                          (Pit("pit", "p", "pit 0", "t0", None),), (), (VISIT,), readings, (), {})


def shot(tree: str, year: int, mark: str = "stake") -> Reading:
    return reading(f"{tree}-{year}-{mark}", "tree_photo", tree, date(year, 6, 1), photo="a" * 64,
                   **({"mark": mark} if mark else {}))


def with_trial(plan: SignedPlan) -> SignedPlan:
    arms = Arms("extract", "mixed", (Pair("t0", "t1", 7),), (), True, 60.0, 0.0)
    return replace(plan, signing=replace(plan.signing, arms=(arms,)))


def test_a_trees_history_holds_its_visits_plans_offers_and_looks_ahead_in_order() -> None:
    held = record(reading("1", "dbh", "t0", VISIT.day), reading("2", "probe_depth", "pit", VISIT.day),
                  reading("3", "dbh", "t1", VISIT.day), shot("t0", 2015))
    plan = signed(plan_of([100.0, 100.0]), "abcd1234ef", date(2016, 1, 20))
    answered = made(offer(plan.signing.plan), answers=(Answer("1", "mark 1", "yes", 1, date(2016, 2, 2), "c"),))
    found = happenings(held, "t0", (plan,), (answered,))
    assert [(each.day, each.lane) for each in found] == [
        (date(2015, 6, 1), "photo"), (VISIT.day, "read"), (DAY, "offer"),
        (date(2016, 1, 20), "plan"), (date(2016, 2, 2), "offer"), (date(2018, 6, 15), "ahead")]
    assert found[1].told == "two readings, visit autumn"
    assert found[3].told == "Wood-chip mulch, signed by rs (plan abcd 1234)"


def test_an_old_plan_books_no_look_and_a_plan_of_other_trees_is_none_of_this_one() -> None:
    old = signed(plan_of([100.0]), standing="superseded")
    assert [each.lane for each in happenings(record(), "t0", (old,), ())] == ["plan"]
    assert happenings(record(), "t1", (old,), (made(offer(old.signing.plan)),)) == ()


def test_readings_at_a_tree_are_those_of_its_pits_too_newest_first() -> None:
    held = record(reading("1", "dbh", "t0", VISIT.day - timedelta(days=400)),
                  reading("2", "probe_depth", "pit", VISIT.day), reading("3", "dbh", "t1", VISIT.day))
    assert [each.id for each in readings_at(held, "t0")] == ["2", "1"]


def test_photos_stand_beside_those_of_the_tree_the_lot_left_untreated() -> None:
    plan = with_trial(signed(plan_of([100.0, 100.0])))
    held = record(shot("t0", 2015), shot("t0", 2016), shot("t1", 2015, "gate"), shot("t1", 2016, "gate"))
    found, = photos_by_year(held, TREES[0], (plan,))
    assert (found.mark, found.partner) == ("stake", "oak 1")
    assert [(year.year, bool(year.here), bool(year.beside)) for year in found.years] == [(2015, True, True),
                                                                                       (2016, True, True)]
    assert "no evidence" not in found.told


@pytest.mark.parametrize(("photos", "plans", "said"), [
    ([shot("t0", 2015), shot("t0", 2016)], True, "no evidence"),
    ([shot("t0", 2015), shot("t0", 2016), shot("t1", 2016)], True, "no evidence"),
    ([shot("t0", 2015), shot("t0", 2016), shot("t1", 2015), shot("t1", 2016)], False, "no evidence"),
    ([shot("t0", 2015)], True, "nothing to compare yet"),
    ([shot("t0", 2015, ""), shot("t0", 2016, "")], True, "Nobody named the mark"),
])
def test_years_without_an_untreated_tree_beside_them_are_called_no_evidence(photos: list[Reading], plans: bool,
                                                                             said: str) -> None:
    plan = with_trial(signed(plan_of([100.0, 100.0])))
    found, = photos_by_year(record(*photos), TREES[0], (plan,) if plans else ())
    assert said in found.told


def test_the_stages_stand_where_the_work_stands() -> None:
    casework = casework_fixture()
    case = case_of(casework, casework.record.trees[0])
    told = {line.stage: line for line in lines(case, casework, casework.record, None)}
    assert [line.state for line in told.values()] == ["done", "done", "done", "here", "to come", "to come"]
    assert told["explain"].told.startswith("The soil alone predicts 37 % (")
    bare = case_of(None, casework.record.trees[0])
    assert [line.state for line in lines(bare, None, casework.record, None)][:2] == ["done", "here"]


@pytest.mark.parametrize(("read", "told"), [
    ((), "Too little read to explain anything yet. Two readings would do it: probe depth, ground under the crown."),
    (("probe_depth",), "Too little read to explain anything yet. One reading would do it: ground under the crown."),
    (("probe_depth", "ground_under_crown"),
     "Not explained yet: what was read is enough, the casework is to be made anew.")])
def test_an_unexplained_tree_asks_only_for_what_was_not_read(read: tuple[str, ...], told: str) -> None:
    record = casework_fixture().record
    tree = record.trees[0]
    kept = tuple(each for each in record.readings if each.kind not in ("probe_depth", "ground_under_crown"))
    some = next(each for each in kept if each.of == tree.id)
    new = tuple(replace(some, id=kind, kind=kind) for kind in read)
    own = replace(record, readings=kept + new)
    assert lines(case_of(None, tree), None, own, None)[2].told == told


def test_lines_that_count_say_one_and_several() -> None:
    assert say("plans.due_count", count=1, day="then") == "1 thing is due by then."
    assert say("plans.due_count", count=2, day="then") == "2 things are due by then."
    assert say("case.line.observe", readings="one reading", pits=1, photos=0, kind="notes", value="ok") == (
        "one reading, 1 pit, 0 photos; newest: notes ok")


def test_every_bar_is_a_part_of_the_longer_one() -> None:
    casework = casework_fixture()
    for tree in casework.record.trees:
        case = case_of(casework, tree)
        for pair in pairs(case, results_of(casework, (case,))):
            assert max(pair.here_part, pair.there_part) == pytest.approx(1.0)
            assert min(pair.here_part, pair.there_part) >= 0.0


def test_the_sections_table_has_a_row_a_layer_and_the_waterfalls_a_row_a_step() -> None:
    casework = casework_fixture()
    case = case_of(casework, casework.record.trees[0])
    assert case.explanation is not None
    cells = soil_cells(case.explanation, casework.record, results_of(casework, (case,)))
    assert len(cells) == 1 + len(case.explanation.soil.layers)
    assert [step.name for step in steps(case, casework.record)][-1] == "This tree, measured"


def test_what_is_wanted_is_told_of_its_own_tree_even_where_nothing_is_explained() -> None:
    wishes = (WantedReading("t0", "dbh", "rs", DAY), WantedReading("t1", "probe_depth", "rs", DAY))
    assert [each.kind for each in worth_reading(case_of(None, TREES[0]), wishes)] == ["dbh"]


@given(st.floats(-200, 200), st.floats(0, 200))
def test_a_scale_holds_every_gain_and_zero(low: float, wide: float) -> None:
    casework = casework_fixture()
    case = case_of(casework, casework.record.trees[0])
    assert case.prescription is not None
    outcomes = tuple(replace(each, gain_points=replace(each.gain_points, low=low, high=low + wide))
                     if each.gain_points and each.remedy != "nothing" else each for each in case.prescription.remedies)
    rows = remedy_rows(replace(case, prescription=replace(case.prescription, remedies=outcomes)), casework.record)
    for row in (*rows.shown, *rows.more):
        for end in (0.0, *((row.gain.low, row.gain.high) if row.gain else ())):
            assert 0.0 <= rows.scale.at(end) <= 1.0
    assert "0" in [words for _, words in rows.scale.ticks]


def test_a_scale_is_straight() -> None:
    assert [place for place, _ in Scale(-10, 30, 10).ticks] == [0.0, 0.25, 0.5, 0.75, 1.0]


def test_the_list_finds_a_tree_by_its_name_kind_or_property() -> None:
    casework = casework_fixture()
    every = tree_lines(casework, casework.record)
    ground = casework.record.property
    assert chosen(every, ground, "", "") == every
    assert [line.label for line in chosen(every, ground, " OAK 1 ", "")] == ["oak 1"]
    assert chosen(every, ground, ground.name, "") == every
    assert all(line.standing == "behind" for line in chosen(every, ground, "", "behind"))


def test_the_picture_of_shoots_prints_the_figure_that_the_table_and_the_bars_print() -> None:
    casework = casework_fixture()
    line = casework.comparison.trees[0]
    odd = replace(line, years=tuple(replace(year, tree_mm=year.tree_mm and replace(year.tree_mm, mean=999.0))
                                    for year in line.years))
    drawn = [draw_shoots(casework.record, line.tree_id, each).bare.partition(b"<desc")[2] for each in (line, odd)]
    assert drawn[0].split(b"</desc>")[0] == drawn[1].split(b"</desc>")[0]
    assert year_cells(line, casework.record)[1:] == year_cells(odd, casework.record)[1:]
