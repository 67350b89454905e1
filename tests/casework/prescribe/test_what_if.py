"""What if: only what is asked for changes, money alone runs no model, and nothing stays."""

import pytest

from rootcase.casework.prescribe.prescribe import plan_of
from rootcase.casework.prescribe.what_if import Changes, what_if
from rootcase.records.observe import Price
from tests.casework.prescribe.inputs import ahead_of, inputs, wishing
from tests.casework.property import record


def nobody_runs_the_model(ground):
    raise AssertionError("money alone needs no run of the model")


@pytest.mark.property
@pytest.mark.parametrize("name", ["plain", "part", "young"])
def test_no_change_is_the_plan(name):
    found = what_if(inputs(name), Changes(), nobody_runs_the_model)
    assert found.now == found.then == plan_of(inputs(name))
    assert found.trees == ()


def test_less_money_falls_back_to_what_it_buys():
    found = what_if(inputs(), Changes(ceilings={"budget": 10.0}), nobody_runs_the_model)
    (change,) = found.trees
    assert (change.tree_id, change.before[0], change.after[0]) == ("t-field", "mulch", None)
    assert not found.then.fits
    assert found.then.first_year_cost == 0.0
    priced = next(price for price in found.then.prices if price.constraint == "budget")
    assert priced.points_at_tree == pytest.approx(change.before[1])


@pytest.mark.property
def test_a_supposed_wish_is_the_wish():
    found = what_if(inputs("part"), Changes(wishes=(("field", "wish_lawn", "free"),)), ahead_of("part"))
    free = plan_of(inputs())
    assert found.then.items == free.items
    assert found.then.gain_points_m2 == free.gain_points_m2
    assert record(list(wishing(lawn="part"))).readings == inputs("part").record.readings


def test_another_price_and_a_remedy_that_is_not_to_be_had():
    dear = (Price("mulch", "per_m2", 90.0, "USD", "supposed"),)
    assert what_if(inputs(), Changes(prices=dear), nobody_runs_the_model).then.items == ()
    without = what_if(inputs(), Changes(left_out=frozenset({"mulch"})), nobody_runs_the_model).then
    assert all("mulch" not in item.remedy.split("+") for item in without.items)
    field = next(tree for tree in without.trees if tree.tree_id == "t-field")
    assert {r.reason for r in field.remedies if "mulch" in r.remedy.split("+")} == {"left_out"}


def test_another_minimum_charge():
    now = plan_of(inputs())
    least = (Price("minimum charge", "per_visit", 2.0 * now.first_year_cost, "USD", "supposed"),)
    then = what_if(inputs(), Changes(prices=least), nobody_runs_the_model).then
    assert then.first_year_cost == pytest.approx(2.0 * now.first_year_cost)
    assert then.items == now.items


def test_what_the_client_insists_on_is_marked():
    found = what_if(inputs(), Changes(forced={"t-field": "nothing"}), nobody_runs_the_model)
    assert [tree.tree_id for tree in found.then.trees if tree.against_advice] == ["t-field"]


def test_what_is_too_dear_is_taken_where_growth_is_worth_more_to_the_client():
    dear = (Price("mulch", "per_m2", 90.0, "USD", "supposed"),)
    found = what_if(inputs(), Changes(prices=dear), nobody_runs_the_model).then
    assert [tree.tree_id for tree in found.trees if tree.too_dear] == ["t-field"]
    worth = what_if(inputs(), Changes(prices=dear, worth_m2=1000.0), nobody_runs_the_model).then
    assert [item.tree_id for item in worth.items] == ["t-field"]
    assert {tree.worth_m2 for tree in worth.trees} == {1000.0}
