"""The client's wishes: by place, never contradicting each other, what was not asked in one sentence."""

from __future__ import annotations

from dataclasses import replace

from rootcase.report.text.wishes import wishes_by_place, wishes_not_asked
from tests.report.fixtures import casework_fixture


def test_each_place_has_its_own_wishes_and_like_places_share_a_line() -> None:
    casework = casework_fixture()
    places = {place.name: place.id for place in casework.record.places}
    plan = replace(casework.plan, wishes=(
        (places["Car park"], "wish_chips", "no"), (places["Pitch"], "wish_chips", "yes"),
        (places["South lawn"], "wish_chips", "yes"), (places["Pitch"], "wish_holes", "closed_same_day"),
        (places["South lawn"], "wish_holes", "closed_same_day")))
    assert wishes_by_place(plan, casework.record) == [
        "South lawn and Pitch: chips welcome, holes closed the same day.", "Car park: no chips."]


def test_own_words_and_wishes_without_words_of_ours_are_kept() -> None:
    casework = casework_fixture()
    place = casework.record.places[0].id
    plan = replace(casework.plan, wishes=((place, "wish_products", "no tea"), (place, "wish_swing", "keep")))
    assert wishes_by_place(plan, casework.record) == ["South lawn: not wanted: no tea, wish swing: keep."]


def test_what_was_not_asked_is_one_sentence() -> None:
    plan = replace(casework_fixture().plan, not_asked=("wish_products", "closed_days"))
    asked = wishes_not_asked(plan)
    assert asked == "We did not ask about products you will not have and the days the ground is in use."
    assert wishes_not_asked(replace(plan, not_asked=())) == ""
