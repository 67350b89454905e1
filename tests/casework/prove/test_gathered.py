"""Which readings make a trial: pairs of the lot, once it was put on, and who says nothing and why."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from math import log

import pytest

from rootcase.casework.prove.gathered import readings_of_trial
from rootcase.records.apply.done import Application
from rootcase.records.observe import Property, PropertyRecord, Reading, Tree
from rootcase.records.offer import Arms, Pair, SignedPlan, Signing
from rootcase.records.prescribe import Plan
from rootcase.records.prove import TrialReadings

DAY = date(2024, 5, 2)
GROUND = Property("p", "own", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)


def shoot(tree: str, year: int, length_mm: float = 300.0, read_on: date = date(2026, 9, 1)) -> Reading:
    return Reading(f"{tree} {year}", "shoot_length_by_year", tree, "v", read_on, "rs", length_mm, None, "=", None,
                   "30 cm", growth_year=year, series="1", attributes={"position": "upper"})


def put_on(tree: str, remedy: str = "extract", day: date = DAY, not_done: str = "") -> Application:
    return Application(id=f"{tree} {remedy}", slot=f"{tree} {remedy}", property_id="p", place_id="", tree_ids=(tree,),
                       remedy=remedy, day=day, applicator="rs", not_done=not_done)


def signed(*pairs: tuple[str, str], doubt: str = "extract") -> SignedPlan:
    plan = Plan("p", (), 0.0, 0.0, None, "CHF", 0.0, 0.0, (), (), True, (), DAY, 100, 1)
    arms = Arms(doubt, "trials found nothing", tuple(Pair(one, other, 1) for one, other in pairs), (), True, None, None)
    return SignedPlan("id", "mark", "rs", DAY, Signing(plan, (), "", "", "", 100, None, arms=(arms,)), "standing")


def trial(readings: list[Reading], applied: list[Application], *plans: SignedPlan) -> TrialReadings:
    trees = tuple(Tree(name, "p", "place", name, None, None) for name in "abcd")
    record = PropertyRecord(GROUND, (), trees, (), (), (), tuple(readings), (), {})
    return readings_of_trial(record, plans or (signed(("a", "b"), ("c", "d")),), "extract", applied)


def all_read() -> list[Reading]:
    return [shoot(tree, year) for tree in "abcd" for year in (2022, 2023, 2024, 2025)]


def test_the_season_of_the_work_is_neither_before_nor_after() -> None:
    found = trial(all_read(), [put_on("a"), put_on("c")])
    assert found.pairs == 2
    assert found.left_out == ()
    assert {(each.year, each.after) for each in found.readings} == {(2022, False), (2023, False), (2025, True)}
    assert {each.site: {one.tree for one in found.readings if one.site == each.site} for each in found.readings} == {
        "a b": {"a", "b"}, "c d": {"c", "d"}}
    assert {each.tree for each in found.readings if each.treated} == {"a", "c"}
    assert found.readings[0].value == pytest.approx(log(300.0))


@pytest.mark.parametrize("tree", ["a", "b"])
def test_what_was_put_on_before_the_lot_was_drawn_begins_no_trial_and_ends_none(tree: str) -> None:
    early = [shoot(name, year) for name in "abcd" for year in range(2018, 2026)]
    old = replace(put_on(tree, day=date(2020, 5, 1)), id="old", slot="old")
    found, plain = trial(early, [old, put_on("a"), put_on("c")]), trial(early, [put_on("a"), put_on("c")])
    assert (set(found.readings), found.left_out) == (set(plain.readings), ())


@pytest.mark.parametrize(("readings", "applied", "tree", "why"), [
    (all_read(), [put_on("c")], "a", "not_put_on"),
    (all_read(), [put_on("a", not_done="too wet"), put_on("c")], "a", "not_put_on"),
    (all_read(), [put_on("a"), put_on("b"), put_on("c")], "b", "got_it_too"),
    (all_read(), [put_on("a"), put_on("c"), put_on("b", "growth_regulator")], "b", "regulated"),
    (all_read(), [put_on("a"), put_on("c"), put_on("b", "growth_regulator", date(2021, 5, 2))], "b", "regulated"),
    ([each for each in all_read() if (each.of, each.growth_year) not in {("b", 2022), ("b", 2023)}],
     [put_on("a"), put_on("c")], "b", "not_read_before"),
    ([each for each in all_read() if (each.of, each.growth_year) != ("a", 2025)], [put_on("a"), put_on("c")], "a",
     "not_read_after")])
def test_a_pair_that_says_nothing_is_left_out_whole_with_why(readings: list[Reading], applied: list[Application],
                                                             tree: str, why: str) -> None:
    found = trial(readings, applied)
    assert [(each.tree_id, each.why) for each in found.left_out] == [(tree, why)]
    assert {each.site for each in found.readings} == {"c d"}
    assert [each.until is None for each in found.left_out] == [why != "regulated"]


def test_a_growth_regulator_of_long_ago_bars_nothing() -> None:
    long_ago = put_on("b", "growth_regulator", date(2012, 5, 2))
    assert trial(all_read(), [put_on("a"), put_on("c"), long_ago]).left_out == ()


def test_of_two_draws_the_one_that_the_work_followed_counts() -> None:
    """The newest plan stands first; the older one's lot was carried out."""
    found = trial(all_read(), [put_on("a")], signed(("b", "a")), signed(("a", "b")))
    assert {each.tree for each in found.readings if each.treated} == {"a"}
    assert found.left_out == ()


def test_a_tree_counts_in_one_pair_and_the_other_is_named() -> None:
    found = trial(all_read(), [put_on("a"), put_on("c")], signed(("a", "b"), ("c", "b")))
    assert [(each.tree_id, each.partner_id, each.why) for each in found.left_out] == [("b", "c", "in_another_pair")]
    assert {each.tree for each in found.readings} == {"a", "b"}


def test_a_pair_of_an_older_plan_counts_once_and_another_remedys_not() -> None:
    found = trial(all_read(), [put_on("a"), put_on("c")], signed(("a", "b")), signed(("b", "a"), ("c", "d")),
                  signed(("a", "d"), doubt="air_tillage"))
    assert found.pairs == 2
    assert {each.tree for each in found.readings if each.treated} == {"a", "c"}


@pytest.mark.parametrize(("status", "why"), [("removed", "removed"), ("dead", "dead"), ("standing", "not_read_after")])
def test_a_tree_that_is_gone_says_so_and_keeps_what_was_read_of_it_before(status: str, why: str) -> None:
    seen = Reading("now", "tree_status", "a", "v", date(2025, 9, 1), "rs", None, status, "=", None, status,
                   attributes={"note": "felled for a main"})
    found = trial([*(each for each in all_read() if (each.of, each.growth_year) != ("a", 2025)), seen],
                  [put_on("a"), put_on("c")])
    (gone,) = found.left_out
    assert (gone.tree_id, gone.why) == ("a", why)
    if why != "not_read_after":
        assert (gone.treated, gone.note, gone.before) == (True, "felled for a main", pytest.approx(log(300.0)))


def told(tree: str, kind: str, day: date, choice: str | None = None, value: float | None = None,
         note: str = "") -> Reading:
    return Reading(f"{tree} {kind} {day}", kind, tree, "v", day, "rs", value, choice, "=", None, choice or "",
                   attributes={"note": note} if note else {})


def test_what_befell_a_tree_that_counts_is_told_and_it_stays() -> None:
    befell = [told("b", "outside_change", date(2025, 7, 1), "watered", note="new sprinklers"),
              told("b", "outside_change", date(2023, 7, 1), "none"),
              told("a", "outside_change", date(2023, 7, 1), "fed"),  # a season before
              told("a", "outside_change", date(2026, 9, 2), "salted"),  # after its last shoot was read
              told("c", "roots_cut_share", date(2023, 4, 1), value=0.1),
              told("c", "roots_cut_share", date(2025, 9, 1), value=0.3),
              told("c", "roots_cut_share", date(2026, 10, 1), value=0.3),  # cut by then all the same
              told("d", "roots_cut_share", date(2023, 9, 1), value=0.2),
              told("d", "roots_cut_share", date(2025, 9, 1), value=0.2)]
    found = trial([*all_read(), *befell], [put_on("a"), put_on("c")])
    assert [(each.tree_id, each.treated, each.what, each.note) for each in found.happened] == [
        ("b", False, "watered", "new sprinklers"), ("c", True, "roots_cut", "")]
    assert all(each.disturbing for each in found.happened)
    assert len(found.readings) == len(trial(all_read(), [put_on("a"), put_on("c")]).readings)


def test_a_tree_that_is_gone_after_it_was_read_counts_and_is_told_with_its_reason() -> None:
    gone = told("b", "tree_status", date(2026, 9, 2), "removed", note="felled for a drive")
    found = trial([*all_read(), gone], [put_on("a"), put_on("c")])
    assert found.left_out == ()
    (one,) = found.happened
    assert (one.what, one.treated, one.note, one.disturbing) == ("removed", False, "felled for a drive", False)


def test_nothing_is_told_of_a_pair_that_is_left_out() -> None:
    found = trial([*all_read(), told("b", "outside_change", date(2025, 7, 1), "pruned")], [put_on("c")])
    assert found.happened == ()


@pytest.mark.parametrize(("year", "there"), [(2025.0, True), (2023.0, True), (2020.0, False), (None, True)])
def test_what_struck_the_place_of_one_tree_of_a_pair_is_told(year: float | None, there: bool) -> None:
    event = [replace(told("kerb", "site_event", date(2025, 9, 1), "trench"), visit_id="w"),
             replace(told("kerb", "site_event", date(2025, 9, 1), "drought"), visit_id="x"),
             *([replace(told("kerb", "site_event_year", date(2025, 9, 1), value=year), visit_id="w")] if year else [])]
    trees = tuple(Tree(name, "p", "kerb" if name == "b" else "lawn", name, None, None) for name in "abcd")
    record = PropertyRecord(GROUND, (), trees, (), (), (), (*all_read(), *event), (), {})
    found = readings_of_trial(record, [signed(("a", "b"), ("c", "d"))], "extract", [put_on("a"), put_on("c")])
    assert [(each.tree_id, each.what) for each in found.happened] == ([("b", "trench")] if there else [])
    shared = replace(record, trees=tuple(replace(tree, place_id="kerb") for tree in trees))
    both = readings_of_trial(shared, [signed(("a", "b"), ("c", "d"))], "extract", [put_on("a"), put_on("c")])
    assert both.happened == (), "both trees of a pair were struck"
