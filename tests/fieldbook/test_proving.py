"""Signed effects: they stand for every property, are kept whole, and are given back to the handbook by signing anew."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from rootcase.fieldbook.intake.archive import open_archive
from rootcase.ground.errors import Missing, UnreadableValue
from rootcase.records.prove import SignedEffect
from tests.fieldbook.sheets import SHEET, open_book, write_sheet

EFFECT = SignedEffect(remedy="extract", mean=0.1 / 3.0, sd=0.05, promised=None, tree_ids=("t", "u"), properties=1,
                      seasons=1, by="rs", day=date(2016, 11, 4))


def test_what_is_signed_holds_at_every_property_until_the_handbook_holds_again(tmp_path: Path) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        owner = book.import_sheet(write_sheet(tmp_path / "in", dict(SHEET))).property_id
        assert book.record(owner).learned == ()
        since = book.arrivals.reach(owner).received
        signed = book.proving.sign(EFFECT)
        assert signed.mean == pytest.approx(EFFECT.mean, rel=1e-11)
        assert book.record(owner).learned == (signed,)
        assert [each.body.KIND for each in book.arrivals.since(owner, since)] == ["effect_signed"]
        other = book.proving.sign(replace(EFFECT, mean=0.2))
        assert book.record(owner).learned == (other,)
        book.proving.give_back("extract", by="rs", day=EFFECT.day)
        assert book.record(owner).learned == ()
        assert [each.body.KIND for each in book.arrivals.since(owner, since)] == ["effect_signed"] * 3


def test_what_changes_nothing_and_a_name_are_refused(tmp_path: Path) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        with pytest.raises(Missing, match="the handbook holds"):
            book.proving.give_back("extract", by="rs", day=EFFECT.day)
        book.proving.sign(EFFECT)
        with pytest.raises(Missing, match="this is signed as it is"):
            book.proving.sign(EFFECT)
        with pytest.raises(UnreadableValue, match="Person"):
            book.proving.sign(replace(EFFECT, mean=0.3, by="A. Person"))


def test_it_goes_out_and_comes_back(tmp_path: Path) -> None:
    with open_book(tmp_path / "f.sqlite") as book:
        signed = book.proving.sign(EFFECT)
        book.export(tmp_path / "a.zip")
    with open_book(tmp_path / "g.sqlite") as book, open_archive(tmp_path / "a.zip") as archive:
        book.restore(archive)
        assert book.proving.effects() == (signed,)
