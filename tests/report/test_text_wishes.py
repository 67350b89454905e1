"""The client's wishes: by place, never contradicting each other, what was not asked in one sentence."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from rootcase.records.observe import Reading
from rootcase.report.pictures.plan.key import lines_known
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
    record = casework_fixture().record
    plan = replace(casework_fixture().plan, wishes=(), not_asked=("wish_products", "closed_days"))
    asked = wishes_not_asked(plan, record)
    assert asked == "We did not ask about products you will not have and the days the ground is in use."
    assert wishes_not_asked(replace(plan, not_asked=()), record) == ""


def test_what_was_asked_at_one_place_and_not_at_another_is_said_of_the_other() -> None:
    record = casework_fixture().record
    first, *rest = [place for place in record.places if any(tree.place_id == place.id for tree in record.trees)]
    plan = replace(casework_fixture().plan, not_asked=(), wishes=((first.id, "wish_chips", "yes"),))
    asked = wishes_not_asked(plan, record)
    assert asked.endswith("we did not ask about chips.")
    assert first.name not in asked
    assert all(place.name in asked for place in rest)


def test_private_lines_that_were_told_are_not_called_unknown() -> None:
    record = casework_fixture().record
    lawn = record.places[0]
    told = Reading("r", "private_lines", lawn.id, "v", date(2016, 1, 1), "rs", None, "irrigation", "=", None,
                   "irrigation")
    assert lines_known(record) == ""
    assert lines_known(replace(record, readings=(*record.readings, told))) == (
        f"buried lines told: {lawn.name}: irrigation pipe or wire; others not known")
    nothing = replace(told, choice="none_known")
    assert lines_known(replace(record, readings=(*record.readings, nothing))) == ""
