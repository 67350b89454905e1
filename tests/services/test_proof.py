"""Trials of several properties, from what the fieldbook holds to what is said of a remedy."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np

from rootcase.records.apply.done import Application
from rootcase.records.observe import PropertyRecord, Tree
from rootcase.records.offer import SignedPlan
from rootcase.report.text.proof import proof_finding, proof_lines
from rootcase.services.proof import proofs
from tests.casework.prove.test_gathered import GROUND, put_on, shoot, signed


@dataclass
class Book:
    """A fieldbook of two properties, each with six pairs that a lot parted for extract."""

    gain: float
    lost: str = ""
    drift: float = 0.0
    """By which treated trees already grew apart in the last year before."""
    records: dict[str, PropertyRecord] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.recording = self
        for number, name in enumerate(("p", "q")):
            chance = np.random.default_rng(number)
            readings, trees = [], [f"{name}{arm}{pair}" for pair in range(6) for arm in "tu"]
            for tree in trees:
                for year in (2022, 2023, 2025):
                    gain = {2022: 0.0, 2023: self.drift, 2025: self.drift + self.gain}[year] if tree[1] == "t" else 0.0
                    length = 300.0 * np.exp(chance.normal(0, 0.1) + gain)
                    readings += [shoot(tree, year, float(length))] if tree != self.lost or year < 2024 else []
            standing = tuple(Tree(tree, name, "place", f"oak {tree}", None, None) for tree in trees)
            self.records[name] = PropertyRecord(replace(GROUND, id=name), (), standing, (), (), (), tuple(readings), (),
                                                {})

    def signed_plans(self, property_id: str) -> tuple[SignedPlan, ...]:
        if property_id not in self.records:
            return ()
        return (signed(*((f"{property_id}t{pair}", f"{property_id}u{pair}") for pair in range(6))),)

    def record(self, property_id: str) -> PropertyRecord:
        return self.records[property_id]

    def applications(self, property_id: str) -> tuple[Application, ...]:
        return tuple(put_on(f"{property_id}t{pair}", day=date(2024, 5, 2)) for pair in range(6))


def told(book: Book) -> tuple[str, str]:
    (found,) = proofs(book, ["p", "q", "no plan"])  # type: ignore[arg-type]  # the part of a fieldbook that is asked
    labels = {tree.id: tree.label for record in book.records.values() for tree in record.trees}
    return proof_finding(found), " ".join(proof_lines(found, {"p": "Alder Bank", "q": "School"}, labels))


def test_a_gain_over_two_properties_is_told_with_its_interval() -> None:
    finding, lines = told(Book(gain=0.5))
    assert finding.startswith("Compost extract helped: shoots +")
    assert "Pairs compared: 12, at 2 properties. Autumns looked at: 1" in lines
    assert re.search(r"School, 6 pairs: \+\d+ % \(\+\d+ to \+\d+\); after hearing", lines)


def test_a_null_is_told_as_one() -> None:
    finding, lines = told(Book(gain=0.0))
    assert "So far we cannot tell it from nothing." in finding
    assert "would mostly not show in as many trees" in lines


def test_harm_is_told_as_plainly() -> None:
    assert told(Book(gain=-0.5))[0].startswith("Compost extract did harm, or took from growth: shoots \N{MINUS SIGN}")


def test_a_lost_tree_is_named_with_its_partner() -> None:
    assert "Left out: oak pu3 and oak pt3. No shoot of oak pu3 since was read." in told(Book(gain=0.0, lost="pu3"))[1]


def test_arms_that_drifted_apart_before_are_told() -> None:
    assert "drifted apart from the others before" in told(Book(gain=0.3, drift=0.6))[1]
    assert "drifted" not in told(Book(gain=0.3))[1]
