"""A photo of leaves from the tree's page to readings that lead back to it."""

from __future__ import annotations

import re
from typing import Any

import pytest
from fastapi.testclient import TestClient

from rootcase.web.desk import OWN, Desk
from tests.web.photos_told import CARD, CROWN, soil_photo


@pytest.fixture
def tree(app_to_change: TestClient) -> str:
    """Address of a tree."""
    desk: Desk = app_to_change.app.state.desk  # type: ignore[attr-defined]
    book = desk.book(OWN)
    record = book.record(book.properties()[0].id)
    return f"/properties/{record.property.id}/trees/{record.trees[0].id}"


def test_a_photo_is_measured_mended_kept_and_led_back_to(app_to_change: TestClient, tree: str) -> None:
    app = app_to_change
    assert f'href="{tree}/photos"' in app.get(tree).text
    begun = app.get(f"{tree}/photos").text
    assert "No photo was measured here yet" in begun
    assert 'href="/leaf-card.pdf"' in begun
    with CARD.open("rb") as file:
        sent: dict[str, Any] = {"data": {"shows": "leaves", "day": "2016-01-14"},
                                "files": {"photo": (CARD.name, file)}, "follow_redirects": False}
        answer = app.post(f"{tree}/photos", **sent)
    assert answer.status_code == 303
    sent["data"] = {"shows": "leaves", "day": "no day"}
    with CARD.open("rb") as file:
        refused = app.post(f"{tree}/photos", **{**sent, "files": {"photo": (CARD.name, file)}}).text
    assert "choose the photo again" in refused[refused.index('role="alert"'):refused.index("<form")]
    assert refused.count('value="no day"') == 1
    address = answer.headers["location"]
    page = app.get(address).text
    leaves = page.count('polygon class="seen"')
    assert leaves > 1
    assert page.count('scope="row"') == leaves
    assert app.get(re.search(r'image href="([^"]+)"', page)[1]).headers[  # type: ignore[index]
        "content-type"] == "image/jpeg"
    listed = app.get(f"{tree}/photos").text
    assert address in listed
    assert len(app.get(re.search(r'img src="([^"]+)"', listed)[1]).content) < 20_000  # type: ignore[index]

    refused = app.post(address, data={"gone.0": "yes", "drawn": "1 1, <b>"})
    assert refused.status_code == 422
    assert "1 1, &lt;b&gt;" in refused.text
    assert refused.text.count(" checked") == 1
    app.post(address, data={"gone.0": "yes"})
    mended = app.get(address).text
    assert mended.count('scope="row"') == leaves - 1
    assert 'class="seen gone"' in mended

    kept = app.post(f"{address}/keep").text
    readings = re.findall(r'href="(/readings/[^"]+)"', kept)
    assert len(readings) == leaves
    assert "Keep as readings" not in kept
    assert f'href="{address}"' in app.get(readings[0]).text
    gone = app.post(f"{address}/take-back", data={"reason": "another tree"}, follow_redirects=False)
    assert gone.headers["location"] == f"{tree}/photos"
    assert app.get(address).status_code == 404
    assert "taken back" in app.get(readings[0]).text


def test_a_crown_shows_its_sky_and_keeps_what_was_left_out(app_to_change: TestClient, tree: str) -> None:
    app = app_to_change
    with CROWN.open("rb") as file:
        answer = app.post(f"{tree}/photos", data={"shows": "crown", "day": "2016-01-14", "stand": "north, <1x>"},
                          files={"photo": (CROWN.name, file)}, follow_redirects=False)
    address = answer.headers["location"]
    page = app.get(address).text
    assert "From: north, &lt;1x&gt;." in page
    before = app.get(re.search(r'image href="([^"]+sky.png)"', page)[1])  # type: ignore[index]
    assert before.content.startswith(b"\x89PNG")
    app.post(address, data={"drawn": "0 0, 400 0, 400 700, 0 700"})
    mended = app.get(address).text
    assert '<polygon class="hand" points="0,0 400,0 400,699 0,699"/>' in mended
    assert "Mended by hand" in mended
    assert app.get(before.url.path).content != before.content
    assert "gaps of the crown, photo: " in app.post(f"{address}/keep").text


def test_soil_is_asked_where_and_how_it_was_taken(app_to_change: TestClient, tree: str) -> None:
    app = app_to_change
    pit = re.search(r'<select id="pit".*?<option value="([^"]+)"', app.get(f"{tree}/photos").text, re.DOTALL)
    assert pit is not None
    typed = {"shows": "soil", "day": "2016-01-14", "pit": pit[1], "depth_from": "0", "depth_to": "4"}
    refused = app.post(f"{tree}/photos", data=typed, files={"photo": ("soil.png", soil_photo())})
    assert refused.status_code == 422
    assert 'id="state-fault"' in refused.text
    assert 'name="depth_to" type="text" value="4"' in refused.text
    sent = app.post(f"{tree}/photos", data={**typed, "state": "dry"}, files={"photo": ("soil.png", soil_photo())},
                    follow_redirects=False)
    address = sent.headers["location"]
    page = app.get(address).text
    assert "10YR 4/3 comes nearest, read dry" in page
    assert '<circle class="seen"' in page
    again = app.post(address, data={"drawn": "1 1"})
    assert again.status_code == 422
    assert 'value="1 1"' in again.text
    assert app.post(f"{address}/keep").text.count('href="/readings/') == 2


def test_what_is_refused_comes_back_with_what_was_typed(app_to_change: TestClient, tree: str) -> None:
    answer = app_to_change.post(f"{tree}/photos", data={"shows": "leaves", "day": "<someday>"},
                                files={"photo": ("", b"")})
    assert answer.status_code == 422
    assert 'value="&lt;someday&gt;"' in answer.text
    assert 'id="day-leaves-fault"' in answer.text
    assert 'id="photo-leaves-fault"' in answer.text
    assert app_to_change.get(f"{tree}/photos/none").status_code == 404
