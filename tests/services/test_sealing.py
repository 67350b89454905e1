"""What a phone sealed is opened by its practice alone, taken as of who sealed it, and by no other hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from datetime import timedelta
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.fieldbook.events import VisitStarted
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.people.phones import heard, mark_lost
from rootcase.fieldbook.people.register import add_person, end_person
from rootcase.fieldbook.people.sealing_keys import SealingPair
from rootcase.fieldbook.store.sent import Sent
from rootcase.ground.errors import ImpossibleValue, Missing, UnreadableValue
from rootcase.records.people import UNBOUND, Bounds, PhoneAsked
from rootcase.services.people import bounds
from rootcase.services.sealing import open_pack, sealed_as, sealing_pair, take_sealed
from tests.fieldbook.sheets import NOW, SHEET, open_book, write_sheet
from tests.fieldbook.test_taking_in import sent
from tests.services.packs import sealed

PHONE = "0152458d-1200-7000-8000-000000000001"
ANOTHER = Bounds("crew2")
"""Crew, who tell their own visits and nobody else's."""


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Fieldbook]:
    with open_book(tmp_path / "book.sqlite") as fieldbook:
        fieldbook.import_sheet(write_sheet(tmp_path / "sheet", SHEET))
        for code in ("crew1", "crew2"):
            add_person(fieldbook.store, code, "Rowan Doe", code, "crew")
        yield fieldbook


@pytest.fixture
def pair(book: Fieldbook) -> SealingPair:
    return sealing_pair(book.store, NOW)


def visit_of(book: Fieldbook, code: str) -> Sent:
    day = book.record(book.properties()[0].id).visits[0].day
    return sent(book, VisitStarted(slot=f"{PHONE}/v", visit=f"{PHONE}/v", label="today", day=day, observer=code))


def told(book: Fieldbook, pair: SealingPair, *events: Sent, code: str = "crew1", **otherwise: Any) -> dict[str, Any]:
    practice = book.store.practice_id
    return {"practice": practice, "phone": PHONE, "code": code, "as": sealed_as(pair, practice, PHONE, code, NOW),
            "events": [asdict(each) for each in events]} | otherwise


def test_the_key_is_made_once(book: Fieldbook, pair: SealingPair) -> None:
    assert sealing_pair(book.store, NOW) == pair
    assert pair.private not in pair.public


def test_another_of_the_practice_brings_it_and_it_is_taken_as_of_who_sealed_it(book: Fieldbook,
                                                                               pair: SealingPair) -> None:
    own = visit_of(book, "crew1")
    taken = take_sealed(book, sealed(pair, told(book, pair, own), b"a photo"), ANOTHER, NOW)
    assert [(each.id, each.state, each.hash) for each in taken.events] == [(own.id, "new", own.hash)]
    assert taken.photos == (sha256(b"a photo").hexdigest(),)
    assert book.photos.sound(taken.photos[0]) is not None
    again = take_sealed(book, sealed(pair, told(book, pair, own)), ANOTHER, NOW)
    assert [each.state for each in again.events] == ["known"]


@pytest.mark.parametrize("why", ["left", "lost", "long ago"])
def test_a_proof_that_counts_no_more_needs_somebody_who_speaks_for_all(book: Fieldbook, pair: SealingPair,
                                                                      why: str) -> None:
    """Whoever once read what lies on a phone does not speak for its people for ever; the pack stays on the phone."""
    own, now = visit_of(book, "crew1"), NOW + timedelta(days=91 if why == "long ago" else 0)
    heard(book.store, PhoneAsked(PHONE), "crew1", NOW)
    if why == "left":
        end_person(book.store, "crew1", NOW)
    elif why == "lost":
        mark_lost(book.store, PHONE, NOW)
    pack = sealed(pair, told(book, pair, own), b"a photo")
    with pytest.raises(ImpossibleValue, match="an owner or a practitioner"):
        take_sealed(book, pack, ANOTHER, now)
    assert book.photos.find(sha256(b"a photo").hexdigest()) is None
    taken = take_sealed(book, pack, UNBOUND, now)
    assert [each.state for each in taken.events] == ["new"]


def test_nobody_seals_in_anothers_name(book: Fieldbook, pair: SealingPair) -> None:
    """A pack that does not prove whose it is counts as its bringer's, who tells no visit of another."""
    forged = told(book, pair, visit_of(book, "crew1"), **{"as": sealed_as(pair, "own", PHONE, "crew2", NOW)})
    assert open_pack(book.store, sealed(pair, forged)).code == ""
    assert "new" not in [each.state for each in take_sealed(book, sealed(pair, forged), ANOTHER, NOW).events]
    proved = open_pack(book.store, sealed(pair, told(book, pair)))
    assert (proved.code, bounds(proved.code, "crew", may_sign=False).code) == ("crew1", "crew1")


def test_another_key_or_practice_or_nothing_sealed_is_refused(book: Fieldbook, pair: SealingPair,
                                                              tmp_path: Path) -> None:
    with open_book(tmp_path / "other.sqlite") as other:
        theirs = sealing_pair(other.store, NOW)
        with pytest.raises(Missing, match="a key that is not in this fieldbook"):
            take_sealed(book, sealed(theirs, told(other, theirs)), ANOTHER, NOW)
    with pytest.raises(ImpossibleValue, match="another practice"):
        take_sealed(book, sealed(pair, told(book, pair, practice="other")), ANOTHER, NOW)
    for nothing in (b"", b"RCS1", b"x" * 500):
        with pytest.raises(UnreadableValue, match="nothing that a phone has sealed"):
            take_sealed(book, nothing, ANOTHER, NOW)


def test_a_changed_or_cut_pack_opens_nothing(book: Fieldbook, pair: SealingPair) -> None:
    pack = sealed(pair, told(book, pair, visit_of(book, "crew1")))

    @given(st.integers(4, len(pack) - 1), st.integers(1, 255))
    def changed(at: int, by: int) -> None:
        with pytest.raises((ImpossibleValue, Missing), match=r"not whole|not in this fieldbook"):
            open_pack(book.store, pack[:at] + bytes([pack[at] ^ by]) + pack[at + 1:])

    @given(st.integers(114, len(pack) - 1))
    def cut(at: int) -> None:
        with pytest.raises(ImpossibleValue, match="not whole"):
            open_pack(book.store, pack[:at])

    changed()
    cut()
    assert open_pack(book.store, pack).code == "crew1"


@pytest.mark.parametrize("odd", [[], {}, {"practice": "own"}, {"events": [{"id": 7}]}, {"events": [None]}])
def test_odd_contents_under_a_right_key_are_refused_and_not_fallen_over(book: Fieldbook, pair: SealingPair,
                                                                       odd: Any) -> None:
    contents = odd if isinstance(odd, list) or not odd else told(book, pair) | odd
    if contents == told(book, pair):
        return
    with pytest.raises(ImpossibleValue, match="not whole"):
        take_sealed(book, sealed(pair, contents), ANOTHER, NOW)
