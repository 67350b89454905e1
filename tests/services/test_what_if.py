"""What is typed for a plan as it would be: taken, or refused in one line that says what would be right."""

import pytest

from rootcase.ground.errors import RootcaseError
from rootcase.services.what_if import Supposed, forced_of, price_of, remedy_of, wishes_at
from tests.casework.property import record

GROUND = record()


def test_a_wish_is_of_a_place_or_of_every_one_with_trees():
    assert wishes_at(GROUND, "wish_lawn=free@Lawn") == [("lawn", "wish_lawn", "free")]
    assert [place for place, _, _ in wishes_at(GROUND, "wish_chips=no")] == ["field", "lawn", "wood"]
    assert wishes_at(GROUND, "wish_products=no tea@field") == [("field", "wish_products", "no tea")]


def test_a_price_is_by_any_unit_of_its_measure():
    assert price_of("mulch=9.5/m2", "USD", "us").amount == 9.5
    assert price_of("visit=80/visit", "USD", "us").unit == "per_visit"
    assert price_of("mulch=1/ft2", "USD", "us").amount == pytest.approx(10.763910417)
    assert price_of("mulch=1,200/visit", "USD", "us").amount == 1200.0


def test_a_choice_is_of_a_tree_and_a_course():
    assert forced_of(GROUND, Supposed()) == {}
    assert forced_of(GROUND, Supposed(tree="Oak 1", course="nothing")) == {"t-field": "nothing"}


@pytest.mark.parametrize(("asked", "refused"), [
    (lambda: wishes_at(GROUND, "wish_roses=red"), "this is no wish with an answer"),
    (lambda: wishes_at(GROUND, "wish_lawn"), "no wish with an answer"),
    (lambda: wishes_at(GROUND, "wish_lawn=gone"), "wish_lawn has no such answer"),
    (lambda: wishes_at(GROUND, "wish_lawn=free@moon"), "no such place here"),
    (lambda: price_of("gold=1/m2", "USD", "us"), "a price can be for no such thing"),
    (lambda: price_of("mulch=much/m2", "USD", "us"), "this is not a price"),
    (lambda: price_of("mulch=-5/m2", "USD", "us"), "0 or more in USD"),
    (lambda: price_of("mulch=5EUR/m2", "USD", "us"), "in USD, without its sign"),
    (lambda: price_of("mulch=5/acre foot", "USD", "us"), "a price cannot be per this unit"),
    (lambda: remedy_of("prayer"), "no such remedy"),
    (lambda: forced_of(GROUND, Supposed(tree="oak 1")), "a choice is of one tree and one course"),
    (lambda: forced_of(GROUND, Supposed(tree="elm", course="mulch")), "no such tree here"),
])
def test_what_cannot_be_is_refused_in_one_line(asked, refused):
    with pytest.raises(RootcaseError, match=refused) as told:
        asked()
    assert "\n" not in str(told.value)
