"""The page of trucks and crews: what was typed is kept or stays in its form, by who may."""

from __future__ import annotations

from fastapi.testclient import TestClient

from tests.services.yard_told import CREW, TRUCK, YARD


def test_a_yard_a_truck_and_a_crew_are_told_on_the_page(app_to_change: TestClient) -> None:
    assert app_to_change.get("/practice/fleet").status_code == 200
    for what, cells in (("fill_point", YARD), ("truck", TRUCK), ("crew", CREW)):
        assert app_to_change.post(f"/practice/fleet/{what}", data=cells, follow_redirects=False).status_code == 303
    page = app_to_change.get("/practice/fleet").text
    assert "truck 1: tank 300 gal" in page
    assert "crew 1: truck 1, rs, hz; 07:00 to 15:30, rest 30 min; mon tue wed thu fri" in page
    assert "yard: a fill takes 15 min; the yard" in page
    assert "Drives by straight line, 130 % of it" in page
    assert "/practice/fleet" in app_to_change.get("/practice").text


def test_a_form_that_is_refused_comes_back_with_what_was_typed(app_to_change: TestClient) -> None:
    page = app_to_change.post("/practice/fleet/truck", data={"name": "<b>", "tank": "many"})
    assert page.status_code == 422
    assert 'value="many"' in page.text
    assert 'value="&lt;b&gt;"' in page.text
    assert 'id="truck-new-tank-fault"' in page.text
    assert app_to_change.post("/practice/fleet/boat", data={}).status_code in (404, 422)
