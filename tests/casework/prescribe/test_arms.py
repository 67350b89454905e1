"""Trial arms: only what is in doubt, between like trees, by a lot that can be drawn again; pairs stay as drawn."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import permutations

import pytest

from rootcase.casework.estimate import estimate
from rootcase.casework.prescribe.arms import arms_of, in_doubt, without
from rootcase.casework.prescribe.remedies import remedies
from rootcase.ground.errors import Missing
from rootcase.records.compare import Comparison
from rootcase.records.observe import Place, PropertyRecord, Tree
from rootcase.records.offer import Arms
from rootcase.records.prescribe import Dose, Plan, PlanItem, RemedyOutcome, TreePrescription
from rootcase.records.prove import SignedEffect
from rootcase.science.choice.lot import left_out
from tests.casework.property import DAY, OWNER, compared, read

GAIN = estimate([10.0, 20.0, 30.0])
COSTS = {"mulch": 300.0, "air_tillage": 900.0, "water": 200.0, "extract": 150.0}


def outcome(code: str, verdict: str = "possible") -> RemedyOutcome:
    return RemedyOutcome(code, Dose(40.0), COSTS.get(code), GAIN, (), "mixed", verdict, "", ())  # type: ignore[arg-type]


def ground(*trees: tuple[str, float, str, str], share: float = 0.5) -> tuple[PropertyRecord, Comparison]:
    """Trees by (id, trunk in mm, kind, place); each share as given."""
    places = (Place("lawn", "prop", "lawn", "lawn"), Place("green", "prop", "green", "lawn"),
              Place("pit", "prop", "pit", "tree_pit"))
    made = tuple(Tree(name, "prop", place, name, None, None) for name, _, _, place in trees)
    readings = [r for name, trunk, kind, _ in trees
                for r in ([read("dbh", name, trunk)] if trunk else []) + ([read("species", name, choice=kind)]
                                                                          if kind else [])]
    record = PropertyRecord(OWNER, places, made, (), (), (), tuple(readings), (), {})
    return record, Comparison("prop", tuple(compared(name, share, log_sd=0.05) for name, *_ in trees), 400, 1, DAY)


def plan(courses: dict[str, str], verdict: str = "possible") -> Plan:
    trees = tuple(TreePrescription(name, "treat", "gains_most", course, tuple(
        outcome(code, verdict if code == "extract" else "possible") for code in COSTS), (), (), (), 40.0, 1.0,
        date(2018, 6, 15)) for name, course in courses.items())
    items = tuple(PlanItem(name, course, Dose(40.0), sum(COSTS[part] for part in course.split("+")), GAIN)
                  for name, course in courses.items() if course != "nothing")
    return Plan("prop", items, 0.0, 0.0, None, "USD", 0.0, 0.0, (), (), True, trees, DAY, 400, 1)


OAKS = [(f"oak {n}", 300.0 + 10 * n, "Quercus rubra", "lawn") for n in range(5)]
TILLED = plan({name: "air_tillage" for name, *_ in OAKS})


def test_what_ends_a_harm_is_withheld_by_no_lot() -> None:
    record, comparison = ground(*OAKS)
    assert in_doubt("air_tillage+keep_off") == ("air_tillage",)
    with pytest.raises(Missing, match="known harm"):
        arms_of(record, comparison, TILLED, seed=7, apart=["drainage"])


def test_only_what_trials_leave_in_doubt_is_drawn() -> None:
    for remedy in remedies():
        ends_harm = remedy.code in ("keep_off", "stop_salt", "drainage", "deadwood")
        assert (remedy.code in in_doubt(remedy.code)) == (remedy.evidence != "trials agree" and not ends_harm)
    record, comparison = ground(*OAKS)
    assert arms_of(record, comparison, plan({name: "water+mulch" for name, *_ in OAKS}), seed=7) == ()
    arms, = arms_of(record, comparison, TILLED, seed=7)
    assert (arms.doubt, arms.evidence, arms.apart) == ("air_tillage", "mixed", False)


def test_what_clearly_works_cannot_be_tried_on_half_of_the_trees() -> None:
    record, comparison = ground(*OAKS)
    with pytest.raises(Missing, match="trials agree that this helps"):
        arms_of(record, comparison, TILLED, seed=7, apart=["mulch"])
    for code in ("nothing", "tea"):
        with pytest.raises(Missing, match="no such remedy"):
            arms_of(record, comparison, TILLED, seed=7, apart=[code])


def test_one_of_each_pair_goes_without_by_the_lot_and_the_odd_tree_stays_outside() -> None:
    record, comparison = ground(*OAKS)
    arms, = arms_of(record, comparison, TILLED, seed=7)
    assert len(arms.pairs) == 2
    assert len(arms.outside) == 1
    for pair in arms.pairs:
        assert pair.untreated == left_out(7, pair.treated, pair.untreated) != pair.treated
    both = {tree for pair in arms.pairs for tree in (pair.treated, pair.untreated)}
    assert both | set(arms.outside) == {name for name, *_ in OAKS}


@pytest.mark.property
def test_the_draw_does_not_hang_on_the_order_of_trees() -> None:
    found = set()
    for order in permutations((f"oak {n}", 300.0, "Quercus rubra", "lawn") for n in range(5)):
        record, comparison = ground(*order)
        found.add(arms_of(record, comparison, plan({name: "air_tillage" for name, *_ in order}), seed=7))
    assert len(found) == 1


@pytest.mark.property
def test_other_seeds_draw_other_arms_of_the_same_pairs() -> None:
    record, comparison = ground(*OAKS)
    drawn = [arms_of(record, comparison, TILLED, seed=seed)[0].pairs for seed in range(40)]
    assert len({frozenset(frozenset((p.treated, p.untreated)) for p in pairs) for pairs in drawn}) == 1
    assert len({tuple(p.untreated for p in pairs) for pairs in drawn}) == 4


@pytest.mark.parametrize("trees", [
    [("a", 300.0, "Quercus rubra", "lawn"), ("b", 300.0, "Acer rubrum", "lawn")],
    [("a", 300.0, "Quercus rubra", "lawn"), ("b", 300.0, "Quercus rubra", "pit")],
    [("a", 300.0, "Quercus rubra", "lawn"), ("b", 460.0, "Quercus rubra", "lawn")],
    [("a", 0.0, "Quercus rubra", "lawn"), ("b", 0.0, "Quercus rubra", "lawn")],
    [("a", 300.0, "", "lawn"), ("b", 300.0, "", "lawn")],
    [("a", 300.0, "Quercus rubra", "lawn")],
], ids=["kind", "ground", "size", "size not read", "kind not read", "alone"])
def test_unlike_trees_make_no_pair(trees: list[tuple[str, float, str, str]]) -> None:
    record, comparison = ground(*trees)
    arms, = arms_of(record, comparison, plan({name: "air_tillage" for name, *_ in trees}), seed=7)
    assert arms.pairs == ()
    assert set(arms.outside) == {name for name, *_ in trees}
    assert (arms.cost, arms.spared) == (0.0, 0.0)


def test_a_tree_whose_share_is_far_off_or_unread_has_no_partner() -> None:
    record, _ = ground(*OAKS[:2])
    course = plan({name: "air_tillage" for name, *_ in OAKS[:2]})
    for share in (0.2, None):
        seen = Comparison("prop", (compared("oak 0", 0.5), compared("oak 1", share)), 400, 1, DAY)
        assert arms_of(record, seen, course, seed=7)[0].pairs == ()


def test_trees_with_other_work_beside_are_not_paired() -> None:
    record, comparison = ground(*OAKS[:4])
    courses = {"oak 0": "water+extract", "oak 1": "extract", "oak 2": "water+extract", "oak 3": "extract"}
    arms, = arms_of(record, comparison, plan(courses), seed=7)
    assert {frozenset((p.treated, p.untreated)) for p in arms.pairs} == {
        frozenset(("oak 0", "oak 2")), frozenset(("oak 1", "oak 3"))}


def test_a_neighbour_of_the_same_place_comes_before_one_of_another() -> None:
    trees = [("a", 300.0, "Quercus rubra", "lawn"), ("b", 300.0, "Quercus rubra", "green"),
             ("c", 330.0, "Quercus rubra", "lawn")]
    record, comparison = ground(*trees)
    arms, = arms_of(record, comparison, plan({name: "air_tillage" for name, *_ in trees}), seed=7)
    assert {arms.pairs[0].treated, arms.pairs[0].untreated} == {"a", "c"}
    assert arms.outside == ("b",)


def test_chips_are_not_withheld_with_the_tillage_and_the_difference_is_spared() -> None:
    assert (without("air_tillage", "air_tillage"), without("water+air_tillage", "air_tillage")) == (
        "mulch", "water+mulch")
    record, comparison = ground(*OAKS)
    arms, = arms_of(record, comparison, TILLED, seed=7)
    assert (arms.cost, arms.spared) == (2 * 900.0, 2 * (900.0 - 300.0))


def test_extract_is_tried_on_top_priced_apart_and_only_where_it_may_be() -> None:
    record, comparison = ground(*OAKS)
    courses = {name: "mulch" if name != "oak 4" else "nothing" for name, *_ in OAKS}
    arms, = arms_of(record, comparison, plan(courses), seed=7, apart=["extract"])
    assert (arms.doubt, arms.apart, arms.cost, arms.spared) == ("extract", True, 2 * 150.0, 0.0)
    assert "oak 4" in arms.outside, "no other tree is left alone, so it has no like"
    none, = arms_of(record, comparison, plan(courses, "not allowed"), seed=7, apart=["extract"])
    assert (none.pairs, none.outside) == ((), ())


def test_what_is_not_priced_is_not_free() -> None:
    record, comparison = ground(*OAKS)
    bare = replace(TILLED, trees=tuple(replace(tree, remedies=()) for tree in TILLED.trees))
    arms, = arms_of(record, comparison, bare, seed=7)
    assert (arms.cost, arms.spared) == (None, None)


@pytest.mark.property
def test_pairs_of_the_standing_plan_stay_as_they_were_drawn() -> None:
    record, comparison = ground(*OAKS)
    first, = arms_of(record, comparison, TILLED, seed=7)
    more = [*OAKS, ("oak 9", 345.0, "Quercus rubra", "lawn")]
    record, comparison = ground(*more)
    grown = plan({name: "air_tillage" for name, *_ in more})
    again, = arms_of(record, comparison, grown, seed=8, kept=[first])
    assert again.pairs[:2] == first.pairs
    assert {again.pairs[2].treated, again.pairs[2].untreated} == {*first.outside, "oak 9"}
    assert again.pairs[2].seed == 8
    gone = plan({name: "air_tillage" for name, *_ in OAKS if name != first.pairs[0].treated})
    record, comparison = ground(*[tree for tree in OAKS if tree[0] != first.pairs[0].treated])
    left, = arms_of(record, comparison, gone, seed=8, kept=[first])
    assert first.pairs[1] in left.pairs
    assert first.pairs[0] not in left.pairs
    other = Arms("leach", "mixed", first.pairs, (), False, 0.0, 0.0)
    assert all(pair.seed == 8 for pair in arms_of(record, comparison, gone, seed=8, kept=[other])[0].pairs)


@pytest.mark.property
def test_what_own_trials_show_to_help_is_withheld_from_no_tree() -> None:
    record, comparison = ground(*OAKS)
    said = SignedEffect(remedy="air_tillage", mean=0.2, sd=0.08, promised=None, tree_ids=("a",), properties=2,
                        seasons=1, by="rs", day=date(2015, 11, 4))
    shown, doubtful = (replace(record, learned=(replace(said, sd=sd),)) for sd in (0.08, 0.2))
    assert arms_of(shown, comparison, TILLED, seed=7) == ()
    assert arms_of(doubtful, comparison, TILLED, seed=7) == arms_of(record, comparison, TILLED, seed=7)
    with pytest.raises(Missing, match="help"):
        arms_of(shown, comparison, TILLED, seed=7, apart=["air_tillage"])
