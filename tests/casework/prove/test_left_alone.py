"""Which trees stand beside the trials as signed to be left alone, and how much they changed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from math import log

import pytest

from rootcase.casework.prove.left_alone import left_alone
from rootcase.records.apply.done import Application
from rootcase.records.observe import PropertyRecord, Reading, Tree
from rootcase.records.offer import SignedPlan
from rootcase.records.prescribe import TreePrescription
from rootcase.records.prove import LeftAlone
from tests.casework.prove.test_gathered import DAY, GROUND, put_on, shoot, signed

YEARS = (2022, 2023, 2024, 2025)


def plan(*alone: str, day: date = DAY, pairs: tuple[tuple[str, str], ...] = (), withdrawn: str = "") -> SignedPlan:
    made = signed(*pairs)
    trees = tuple(TreePrescription(tree, "leave it alone", "like_its_kind", None, (), (), (), (), 40.0, 1.0, DAY)
                  for tree in alone)
    return replace(made, day=day, withdrawn_because=withdrawn,
                   signing=replace(made.signing, plan=replace(made.signing.plan, trees=trees)))


def found(plans: list[SignedPlan], applied: list[Application] | None = None,
          readings: list[Reading] | None = None) -> LeftAlone:
    trees = tuple(Tree(name, "p", "place", name, None, None) for name in "abcd")
    read = [shoot(tree, year) for tree in "abcd" for year in YEARS] if readings is None else readings
    return left_alone(PropertyRecord(GROUND, (), trees, (), (), (), tuple(read), (), {}), plans, applied or [])


def names(of: LeftAlone) -> list[str]:
    return sorted(each.tree_id for each in of.trees)


def test_a_tree_that_a_lot_drew_or_that_got_anything_is_not_one_of_them() -> None:
    assert names(found([plan(*"abcd")])) == ["a", "b", "c", "d"]
    assert names(found([plan(*"abcd", pairs=(("a", "b"),))])) == ["c", "d"]
    assert names(found([plan(*"abcd")], [put_on("c", "mulch")])) == ["a", "b", "d"]
    assert names(found([plan(*"abcd")], [put_on("c", "mulch", not_done="too wet")])) == ["a", "b", "c", "d"]
    assert names(found([plan(*"abcd", withdrawn="another client")])) == []


def test_the_season_of_the_first_plan_is_neither_before_nor_after() -> None:
    length = {2022: 100.0, 2023: 100.0, 2024: 900.0, 2025: 200.0}
    readings = [shoot("a", year, length[year]) for year in YEARS]
    one = found([plan("a", day=date(2025, 9, 1)), plan("a")], readings=readings)
    assert one.change == pytest.approx(log(2.0))
    assert (one.low, one.high) == (None, None), "one tree has no spread"
    assert found([plan("a", day=date(2025, 9, 1))], readings=readings).trees == (), "nothing was read since"
