"""Feed back: what trials of several properties put under a signature, and what they are too little for."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from math import log
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from rootcase.casework.prove.promised import promised_of
from rootcase.cli.main import rootcase
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.ground.errors import Missing
from rootcase.records.estimate import Estimate
from rootcase.records.offer import Input
from rootcase.records.prescribe import RemedyOutcome, TreePrescription
from rootcase.records.prove import SignedEffect, TrialReading, TrialReadings
from rootcase.report.text.feed import after_lines, before_line, standing_line
from rootcase.services.feed import Fed, feed, feed_of, sign_effect
from tests.casework.prove.test_gathered import signed
from tests.services.test_proof import Book

DAY = date(2026, 11, 4)


def fed(gain: float, *properties: str) -> Fed:
    book: Any = Book(gain)
    book.proving = Signatures()
    return feed_of(feed(book, properties or ("p", "q", "no plan"), DAY), "extract")


class Signatures:
    """The door of signed effects, and nothing in it yet."""

    def effects(self) -> tuple[SignedEffect, ...]:
        return ()

    def sign(self, effect: SignedEffect) -> SignedEffect:
        return effect


def told(tree_id: str, share: float, **points: float) -> TreePrescription:
    def around(middle: float) -> Estimate:
        return Estimate(middle, middle, middle - 2.0, middle + 2.0, middle - 1.0, middle + 1.0)

    outcomes = tuple(RemedyOutcome(remedy, None, None, around(gain), (), "mixed", "possible", "", ())
                     for remedy, gain in points.items())
    return TreePrescription(tree_id, "treat", "", None, outcomes, (), (around(share),) * 5, (), 10.0, 1.0, DAY)


def test_a_posterior_of_both_properties_would_be_signed_with_its_trees() -> None:
    found = fed(0.5)
    assert found.after is not None
    assert (len(found.after.tree_ids), found.after.properties, found.after.promised) == (24, 2, None)
    assert 0.25 < found.after.mean < 0.5
    assert found.after.sd == found.proof.next_sd > (found.proof.high - found.proof.low) / 4
    book: Any = Book(0.5)
    book.proving = Signatures()
    assert sign_effect(book, found, by=" rs ", day=DAY).by == "rs"
    lines = " ".join([before_line(found.before), *after_lines(found.after, found.proof.heard, found.before),
                      standing_line(replace(found.after, by="rs"))])
    assert "Before: the handbook says nothing of it at these trees." in lines
    assert "from 24 of your own trees at 2 properties" in lines
    assert "by rs" in lines


def test_more_sceptic_than_trees_is_not_signed() -> None:
    book: Any = Book(0.5)
    book.proving = Signatures()
    for record in list(book.records):
        if record == "p":
            few = book.records[record]
            kept = {f"p{arm}{pair}" for arm in "tu" for pair in range(2)}
            book.records[record] = replace(few, readings=tuple(each for each in few.readings if each.of in kept))
    found = feed_of(feed(book, ["p"], DAY), "extract")
    assert found.proof.look == 1
    assert found.after is None
    assert "too little of this comes from your own trees" in found.against
    with pytest.raises(Missing, match="too little"):
        sign_effect(book, found, by="rs", day=DAY)


def test_what_cannot_be_signed_is_no_other_plan(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Else plans without any effect are shown as those that a signature would bring."""
    open_fieldbook(tmp_path / "book.sqlite").close()
    little = replace(fed(0.5), after=None, against="too little of this comes from your own trees")
    monkeypatch.setattr("rootcase.services.feed.feed", lambda *_: (little,))
    asked = ["prove", "feed", "extract", "--plans", "--fieldbook", str(tmp_path / "book.sqlite")]
    told = CliRunner().invoke(rootcase, asked)
    assert isinstance(told.exception, Missing)
    assert "too little" in str(told.exception)


def test_what_plans_had_promised_is_over_what_the_untreated_got() -> None:
    readings = tuple(TrialReading(site="a b", tree=tree, year=2025, after=True, treated=tree == "a", value=5.0)
                     for tree in "ab")
    trial = TrialReadings(property_id="p", remedy="air_tillage", pairs=1, readings=readings, left_out=())
    plan = signed(("a", "b"), doubt="air_tillage")
    whole = replace(plan, signing=replace(plan.signing, plan=replace(plan.signing.plan, trees=(
        told("a", 0.5, air_tillage=30.0, mulch=10.0), told("b", 0.6, air_tillage=18.0, mulch=6.0),
        told("elsewhere", 0.5, air_tillage=90.0)))))
    found = promised_of([trial], [whole], "air_tillage")
    assert found is not None
    assert found.trees == 2
    assert found.mean == pytest.approx((log(0.8 / 0.6) + log(0.78 / 0.66)) / 2)
    assert found.low < found.mean < found.high
    rests = Input("effect", "air_tillage", "0.9 0.1 None")
    newer = replace(whole, signing=replace(whole.signing, inputs=(rests,), plan=replace(
        whole.signing.plan, trees=(told("a", 0.5, air_tillage=80.0, mulch=10.0),))))
    assert promised_of([trial], [newer, whole], "air_tillage") == found, "not what the trials themselves had said"
    other = replace(newer, signing=replace(newer.signing, inputs=(replace(rests, name="extract"),)))
    assert promised_of([trial], [other, whole], "air_tillage") != found
