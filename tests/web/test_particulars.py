"""The particulars of a property: who sees and changes them, what is asked about a place, and what they were before."""

from __future__ import annotations

import re

import pytest
from fastapi.testclient import TestClient

from rootcase.records.observe import Property
from rootcase.services.people import may
from rootcase.web.desk import OWN, Desk


@pytest.fixture
def desk(app_to_change: TestClient) -> Desk:
    found: Desk = app_to_change.app.state.desk  # type: ignore[attr-defined]
    return found


def ground_of(desk: Desk) -> Property:
    return min(desk.grounds(OWN).values(), key=lambda each: each.id)


def faults(text: str) -> list[str]:
    return re.findall(r'class="fault"[^>]*>([^<]*)', text)


def typed(client: TestClient, address: str) -> dict[str, str]:
    text = client.get(address).text
    fields = dict(re.findall(r'<input id="(\w+)" name="\w+" type="text" value="([^"]*)"', text))
    system = re.search(r'<option value="(\w+)" selected>', text)
    assert system
    assert len(fields) == 8
    return fields | {"system": system[1]}


def address(desk: Desk) -> str:
    return f"/properties/{ground_of(desk).id}/particulars"


def test_what_is_changed_is_kept_with_what_it_was(app_to_change: TestClient, desk: Desk) -> None:
    form = typed(app_to_change, address(desk))
    old = ground_of(desk)
    answer = app_to_change.post(address(desk), data=form | {"currency": "eur", "law": "Elsewhere",
                                                            "elevation": "100 m"})
    assert answer.history
    assert answer.history[0].status_code == 303
    new = ground_of(desk)
    assert (new.currency, new.law, new.elevation_m) == ("EUR", "Elsewhere", 100)
    assert (new.latitude_deg, new.longitude_deg, new.name) == (old.latitude_deg, old.longitude_deg, old.name)
    assert f"was {old.currency}, is EUR" in answer.text
    assert f'action="/properties/{new.id}/compute"' in answer.text, "what is stale is offered anew"
    again = app_to_change.post(address(desk), data=typed(app_to_change, address(desk)))
    assert again.text.count("was ") == answer.text.count("was "), "what is not changed is not told again"


def test_a_cell_that_is_wrong_stays_beside_its_field(app_to_change: TestClient, desk: Desk) -> None:
    form = typed(app_to_change, address(desk))
    old = ground_of(desk)
    answer = app_to_change.post(address(desk), data=form | {"currency": "dollars", "name": "", "time_zone": "Mars/Rust",
                                                            "latitude": "north <b>"})
    assert answer.status_code == 422
    for key in ("currency", "name", "time_zone", "latitude"):
        assert f'id="{key}-fault"' in answer.text
    assert 'value="dollars"' in answer.text
    assert "north &lt;b&gt;" in answer.text
    assert ground_of(desk) == old


@pytest.mark.parametrize(("latitude", "longitude", "asked"), [
    ("42.33", "83.05", True), ("39°0'N", "77°20'3\"W", False)])
def test_a_far_place_is_asked_about_once_and_taken(app_to_change: TestClient, desk: Desk, latitude: str,
                                                   longitude: str, *, asked: bool) -> None:
    before = typed(app_to_change, address(desk))
    form = before | {"latitude": latitude, "longitude": longitude, "time_zone": ""}
    answer = app_to_change.post(address(desk), data=form)
    if asked:
        assert answer.status_code == 422, faults(answer.text)
        assert 'name="sure"' in answer.text
        assert "is it right?" in answer.text
        answer = app_to_change.post(address(desk), data=form | {"sure": "yes"})
    assert answer.history, faults(answer.text)
    assert answer.history[0].status_code == 303
    assert round(ground_of(desk).latitude_deg, 2) == round(float(latitude.partition("°")[0]), 2)
    app_to_change.post(address(desk), data=before | {"sure": "yes"})


def test_no_tree_grows_at_a_pole(app_to_change: TestClient, desk: Desk) -> None:
    form = typed(app_to_change, address(desk)) | {"latitude": "-83.05", "longitude": "42.33", "sure": "yes"}
    answer = app_to_change.post(address(desk), data=form)
    assert answer.status_code == 422
    assert 'id="latitude-fault"' in answer.text


def test_the_crew_changes_no_property_and_sees_no_money() -> None:
    assert not may("change_property", "crew", may_sign=False)
    assert not may("see_prices", "crew", may_sign=False)
