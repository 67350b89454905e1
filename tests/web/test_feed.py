"""Next year's effect in the app: looked at, signed for the figures that were shown, and given back to the handbook."""

from __future__ import annotations

import re

from fastapi.testclient import TestClient

from rootcase.web.desk import OWN, Desk

AT = "/proof/air_tillage"


def shown(page: str) -> str:
    return re.findall(r'name="shown" value="([^"]*)"', page)[0]


def test_an_effect_is_signed_as_it_was_shown_and_given_back(app_to_change: TestClient) -> None:
    desk: Desk = app_to_change.app.state.desk  # type: ignore[attr-defined]
    page = app_to_change.get(AT).text
    assert "helped: shoots +22 % (+4 to +40)" in page
    assert 'name="handbook"' not in page, "nothing is signed that could be given back"
    stale = app_to_change.post(AT, data={"shown": "0.1 0.2"})
    assert (stale.status_code, "role=\"alert\"" in stale.text) == (422, True)
    assert desk.book(OWN).proving.effects() == ()
    kept = app_to_change.post(AT, data={"shown": shown(page)}, follow_redirects=False)
    assert (kept.status_code, kept.headers["location"]) == (303, AT)
    (signed,) = desk.book(OWN).proving.effects()
    assert (signed.remedy, len(signed.tree_ids), signed.properties) == ("air_tillage", 32, 4)
    assert shown(page) == f"{signed.mean:.9g} {signed.sd:.9g}"
    assert 'name="handbook"' in app_to_change.get(AT).text
    back = app_to_change.post(AT, data={"handbook": "yes", "shown": "anything"}, follow_redirects=False)
    assert (back.status_code, desk.book(OWN).proving.effects()) == (303, ())
    assert app_to_change.get("/proof/mulch").status_code == 404


def test_the_place_proof_shows_picture_table_and_what_befell_trees(app_to_change: TestClient) -> None:
    page = app_to_change.get("/proof").text
    assert page.count("<svg") >= 4, "two things in doubt, each for a wide window and for a phone"
    assert re.search(r'<th scope="row">Mill Meadow</th><td[^>]*>5</td><td[^>]*>\+52 % \(\+21 to \+91\)</td>', page)
    assert "shoots and crown of linden 9, linden 10, linden 11" in page, "as they stand"
    assert "Oak 4, a tree left untreated: it was pruned, as told on 12 November 2015: crown lifted" in page
    assert "Without the pairs of such trees (0 treated, 1 untreated): " in page
