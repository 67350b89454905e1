"""What law asks of a record, field by field of both published lists, and its days."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from rootcase.casework.apply.duties import duty
from rootcase.records.apply.done import Application, Lack, OnFile, Product
from rootcase.tables.load import table

DAY = date(2026, 5, 26)
AT = datetime(2026, 5, 26, 16, tzinfo=UTC)
FILED = OnFile(client_named=True, client_address=True)
WHOLE = Application(
    id="a", slot="a", property_id="p", place_id="", tree_ids=("t",), remedy="growth_regulator", day=DAY,
    started=AT, ended=AT + timedelta(hours=1), time_zone="America/New_York", applicator="rs",
    applicator_licence="NY C1234567", no_helper=True, amount="55 gal", litres=208.2, area="1000 ft2", area_m2=92.9,
    site="ornamental trees", product=Product(name="Example", registration="1234-56", restricted=True))


def product(**told: Any) -> dict[str, Any]:
    assert WHOLE.product is not None
    return {"product": replace(WHOLE.product, **told)}


EMPTY: dict[str, dict[str, Any]] = {
    "product": product(name=" "), "registration": product(registration=""), "amount": {"litres": None, "amount": ""},
    "location": {"tree_ids": ()}, "area": {"area_m2": None, "area": ""}, "site": {"site": ""},
    "applicator": {"applicator": " "}, "licence": {"applicator_licence": ""}, "hours": {"ended": None},
    "amount_here": {"litres": None, "amount": ""}, "helpers": {"no_helper": False}}
KIND: dict[str, list[dict[str, Any]]] = {
    "product": [product(name="12-34")],
    "registration": [product(registration=each) for each in ("none", "1234", "1234-56-", "12345678-1", "١٢-٣٤")],
    "amount": [{"litres": 0.0}, {"litres": -1.0}, {"litres": None, "amount": "a lot"}],
    "area": [{"area_m2": 0.0}, {"area_m2": None, "area": "the bed"}],
    "site": [{"site": "123"}], "licence": [{"applicator_licence": "yes"}],
    "amount_here": [{"tree_ids": ("t", "u")}], "helpers": [{"helpers": ("jm",)}]}
DATE: dict[str, list[dict[str, Any]]] = {
    "day": [{"day": DAY + timedelta(days=1)}],
    "hours": [{"ended": AT - timedelta(minutes=1)}, {"day": DAY - timedelta(days=1)}]}


def lacks(one: Application, on_file: OnFile = FILED) -> tuple[Lack, ...]:
    return duty(one, on_file, DAY).missing


@pytest.mark.published
def test_a_whole_record_lacks_nothing_and_its_days_are_those_of_the_rules() -> None:
    found = duty(WHOLE, FILED, DAY)
    assert (found.missing, found.due, found.keep_until, found.copy_due) == (
        (), date(2026, 6, 9), date(2028, 5, 26), date(2026, 6, 25))


@pytest.mark.parametrize(("told", "due", "own"), [
    (3.0, date(2026, 5, 29), 3.0), (30.0, date(2026, 6, 9), None), (None, date(2026, 6, 9), None)])
def test_what_a_state_asks_sooner_is_the_day_and_what_it_asks_later_is_not(
        told: float | None, due: date, own: float | None) -> None:
    found = duty(WHOLE, replace(FILED, whole_days=told), DAY)
    assert (found.due, found.own_days) == (due, own)


@pytest.mark.published
@pytest.mark.parametrize("field", [row["field"] for row in table("apply/record_fields").rows])
def test_each_field_of_both_lists_is_refused_when_empty(field: str) -> None:
    if field == "day":  # a record has a day, or it is none
        assert Lack(field="day", why="date") in lacks(replace(WHOLE, day=DAY + timedelta(days=1)))
        return
    if field.startswith("client_"):
        on_file = replace(FILED, **{"client_named" if field == "client_name" else field: False})
        assert lacks(WHOLE, on_file) == (Lack(field=field, why="empty"),)
        return
    assert Lack(field=field, why="empty") in lacks(replace(WHOLE, **EMPTY[field]))


@pytest.mark.published
@pytest.mark.parametrize(("field", "told"), [(field, told) for field, each in KIND.items() for told in each])
def test_a_field_of_the_wrong_kind_is_refused(field: str, told: dict[str, Any]) -> None:
    assert Lack(field=field, why="kind") in lacks(replace(WHOLE, **told))


@pytest.mark.published
@pytest.mark.parametrize(("field", "told"), [(field, told) for field, each in DATE.items() for told in each])
def test_a_wrong_date_is_refused(field: str, told: dict[str, Any]) -> None:
    assert Lack(field=field, why="date") in lacks(replace(WHOLE, **told))


def test_the_lists_are_those_of_the_two_rules() -> None:
    assert [row["list"] for row in table("apply/record_fields").rows] == ["restricted"] * 9 + ["commercial"] * 5


@pytest.mark.parametrize("registration", ["1234-56", "100-1200-5905", "SLN FL-890003", "FL890003"])
def test_the_forms_of_a_registration_number(registration: str) -> None:
    assert lacks(replace(WHOLE, **product(registration=registration))) == ()


def test_of_anything_else_the_lists_ask_nothing() -> None:
    for one in (replace(WHOLE, product=None), replace(WHOLE, **product(restricted=False)),
                replace(WHOLE, not_done="too wet", site="")):
        found = duty(one, OnFile(client_named=False, client_address=False), DAY)
        assert (found.missing, found.due, found.copy_due) == ((), None, None)


def test_the_practice_s_own_years_win_where_they_are_more_and_a_copy_that_was_given_is_owed_no_more() -> None:
    own = replace(FILED, keep_years=3.0, copy_given=DAY)
    assert duty(WHOLE, own, DAY).keep_until == date(2029, 5, 26)
    assert duty(WHOLE, own, DAY).copy_due is None
    assert duty(WHOLE, replace(FILED, keep_years=1.0), DAY).keep_until == date(2028, 5, 26)
    assert duty(replace(WHOLE, day=date(2024, 2, 29)), replace(FILED, keep_years=3.0), DAY).keep_until == date(
        2027, 3, 1)
