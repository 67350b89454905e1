"""Measured photos of a tree: what stands, what was mended, what was taken back, in whatever order it arrives."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations
from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.photographed import TreePhotoMeasured
from rootcase.fieldbook.photographing import tree_photos_of
from rootcase.ground.errors import Missing
from tests.fieldbook.photo_examples import LEAF, MEASURED, PHOTOS
from tests.fieldbook.sheets import whole_property


def test_what_was_mended_stands_whatever_the_order() -> None:
    for order in permutations(PHOTOS):
        only, = tree_photos_of(order)
        assert (only.id, only.by, only.mended) == ("tp", "jk", True)
        assert [leaf.number for leaf in only.leaves] == [2]
    only, = tree_photos_of(PHOTOS[:1])
    assert not only.mended
    assert only.leaves == (LEAF,)


def test_a_picture_counts_once_and_what_it_said_first_stays_in_the_record(tmp_path: Path) -> None:
    with open_fieldbook(tmp_path / "book.sqlite") as book:
        with book.store.writing() as turn:
            turn.add(whole_property())
        door = book.photographing
        assert door.add("p", MEASURED)
        assert not door.add("p", replace(MEASURED, slot="again"))
        assert door.add("p", replace(MEASURED, slot="of soil", shows="soil"))
        door.mend("p", replace(MEASURED, leaves=(), by="jk"))
        photo = next(each for each in door.of("p") if each.id == "tp")
        assert (photo.mended, photo.leaves) == (True, ())
        door.take_back("p", photo, "another tree", by="rs")
        assert [each.id for each in door.of("p")] == ["of soil"]
        with pytest.raises(Missing, match="no such photo"):
            door.mend("p", MEASURED)
        with book.store.reading() as look:
            told = [event.body for event in look.events("p") if event.body.slot == "tp"]
        assert isinstance(told[0], TreePhotoMeasured)
        assert told[0].leaves == (LEAF,)
        assert len(told) == 3
        assert door.add("p", replace(MEASURED, slot="anew"))
