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
    return fields | {"system": system[1], "shown": re.findall(r'name="shown" value="([^"]+)"', text)[0]}


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
        assert f'id="{key}-fault">{key}: ' not in answer.text, "its name stands beside it, in words"
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


def test_the_second_of_two_writers_undoes_nothing_unseen(app_to_change: TestClient, desk: Desk) -> None:
    first, second = typed(app_to_change, address(desk)), typed(app_to_change, address(desk))
    app_to_change.post(address(desk), data=first | {"law": "Upstate", "time_zone": "America/Chicago"})
    app_to_change.post(address(desk), data=second | {"weather_station": "elsewhere 7"})
    now = ground_of(desk)
    assert (now.law, now.time_zone, now.weather_station) == ("Upstate", "America/Chicago", "elsewhere 7")
    answer = app_to_change.post(address(desk), data=second | {"law": "Downstate"})
    assert answer.status_code == 422
    assert "somebody made this Upstate meanwhile" in faults(answer.text)[0]
    shown = dict(re.findall(r'name="(\w+)" (?:type="text" )?value="([^"]*)"', answer.text))
    assert (shown["law"], shown["time_zone"], shown["weather_station"]) == (
        "Downstate", "America/Chicago", "elsewhere 7"), "what was typed stays, the rest is what stands"
    app_to_change.post(address(desk), data=second | shown)
    assert (ground_of(desk).law, ground_of(desk).time_zone) == ("Downstate", "America/Chicago")


def test_a_name_that_another_property_bears_is_asked_about(app_to_change: TestClient, desk: Desk) -> None:
    form, old = typed(app_to_change, address(desk)), ground_of(desk)
    other = next(each for each in desk.grounds(OWN).values() if each.id != old.id)
    answer = app_to_change.post(address(desk), data=form | {"name": other.name.upper()})
    assert answer.status_code == 422
    assert "sheets go by names" in answer.text
    assert ground_of(desk) == old


@pytest.mark.parametrize("key", ["name", "law", "weather_station"])
def test_no_name_is_endless(app_to_change: TestClient, desk: Desk, key: str) -> None:
    answer = app_to_change.post(address(desk), data=typed(app_to_change, address(desk)) | {key: "x" * 100_000})
    assert answer.status_code == 422
    assert f'id="{key}-fault"' in answer.text


def test_a_currency_is_one_that_is_paid_in(app_to_change: TestClient, desk: Desk) -> None:
    for code in ("ZZZ", "XAU"):
        answer = app_to_change.post(address(desk), data=typed(app_to_change, address(desk)) | {"currency": code})
        assert answer.status_code == 422
        assert 'id="currency-fault"' in answer.text


def test_an_elevation_is_written_with_a_comma_as_money_is(app_to_change: TestClient, desk: Desk) -> None:
    form = typed(app_to_change, address(desk))
    answer = app_to_change.post(address(desk), data=form | {"elevation": "1,200 ft"})
    assert answer.history, faults(answer.text)
    assert round(ground_of(desk).elevation_m or 0, 1) == 365.8
    app_to_change.post(address(desk), data=typed(app_to_change, address(desk)) | {"elevation": form["elevation"]})


def test_a_law_without_rules_and_a_station_without_days_are_told(app_to_change: TestClient, desk: Desk) -> None:
    form = typed(app_to_change, address(desk))
    answer = app_to_change.post(address(desk), data=form | {"law": "Elsewhere; City", "weather_station": "Airport"})
    assert "No rule is written down for Elsewhere, City" in answer.text
    assert "No day of weather is held under Airport" in answer.text
    station = next(iter(desk.book(OWN).station_names()))
    answer = app_to_change.post(address(desk), data=typed(app_to_change, address(desk)) | {
        "law": "", "weather_station": station})
    assert "No rule is written down" not in answer.text
    assert "No day of weather" not in answer.text
