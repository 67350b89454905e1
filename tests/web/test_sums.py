"""Sums of the trade in the app: an answer, or the page again with one line and what was typed."""

from __future__ import annotations

import pytest
from fastapi.testclient import TestClient

MPN = "/practice/sums/mpn?inoculum=10;1;0.1&tubes=5;5;5&positive=5;5;5&confidence=.95"


@pytest.mark.parametrize(("address", "told"), [
    (MPN, "number: no end"),
    ("/practice/sums/dispersion?counts=5;7;9", "no end"),
    ("/practice/sums/neutraliser_g?volume_l=100gal&chlorine_mg_l=2&dose_mg_mg=2.5&tested=total", "0.06676 oz"),
    ("/practice/sums/together", "Mean effect of several trials"),
])
def test_a_sum_is_answered(desk_app: TestClient, address: str, told: str) -> None:
    page = desk_app.get(address)
    assert page.status_code == 200
    assert told in page.text


def test_an_answer_says_what_a_number_without_a_unit_was_read_as(desk_app: TestClient) -> None:
    page = desk_app.get("/practice/sums/tree_water_l?crown_diameter_m=30&reference_mm=1&factor=.5")
    assert "Worked out from: Crown diameter: 98.43 ft (30 m), typed without a unit and read as m" in page.text


@pytest.mark.parametrize(("address", "told"), [
    ("/practice/sums/together?effect=1&variance=1", "these figures do not go together"),
    ("/practice/sums/kind_told?kind=&trait=drought", "not told: kind"),
    ("/practice/sums/neutraliser_g?volume_l=100gal&chlorine_mg_l=;&dose_mg_mg=2.5&tested=total", "nothing was typed"),
])
def test_a_slip_comes_back_with_one_line_and_what_was_typed(desk_app: TestClient, address: str, told: str) -> None:
    page = desk_app.get(address)
    assert page.status_code == 422
    assert told in page.text
    assert f'value="{address.partition("=")[2].partition("&")[0]}"' in page.text
