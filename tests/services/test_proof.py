"""Trials of several properties, from what the fieldbook holds to what is said of a remedy."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np

from rootcase.records.apply.done import Application
from rootcase.records.observe import PropertyRecord, Reading, Tree
from rootcase.records.offer import SignedPlan
from rootcase.records.prescribe import TreePrescription
from rootcase.report.text.proof import left_alone_line, proof_finding, proof_lines
from rootcase.services.proof import left_alone_at, proofs
from tests.casework.prove.test_gathered import DAY, GROUND, put_on, shoot, signed


@dataclass
class Book:
    """A fieldbook of two properties, each with six pairs that a lot parted for extract."""

    gain: float
    lost: str = ""
    drift: float = 0.0
    """By which treated trees already grew apart in the last year before."""
    befell: tuple[tuple[str, str, str], ...] = ()
    """Tree, kind of reading and choice, each told in 2025 with a note."""
    alone: bool = False
    """One more tree of each property was signed to be left alone."""
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
            readings += [Reading(f"{tree} {kind}", kind, tree, "v", date(2025, 9, 1), "rs", None, choice, "=", None,
                                 choice, attributes={"note": "for a new drive"})
                         for tree, kind, choice in self.befell if tree in trees]
            if self.alone:
                trees += [f"{name}l{each}" for each in range(3)]
                readings += [shoot(tree, year, 300.0 * (1.1 + 0.05 * at if year == 2025 else 1.0))
                             for at, tree in enumerate(trees[-3:]) for year in (2022, 2025)]
            standing = tuple(Tree(tree, name, "place", f"oak {tree}", None, None) for tree in trees)
            self.records[name] = PropertyRecord(replace(GROUND, id=name), (), standing, (), (), (), tuple(readings), (),
                                                {})

    def signed_plans(self, property_id: str) -> tuple[SignedPlan, ...]:
        if property_id not in self.records:
            return ()
        plan = signed(*((f"{property_id}t{pair}", f"{property_id}u{pair}") for pair in range(6)))
        told = tuple(TreePrescription(f"{property_id}l{each}", "leave it alone", "like_its_kind", None, (), (), (), (),
                                      40.0, 1.0, DAY) for each in range(3)) if self.alone else ()
        return (replace(plan, day=date(2024, 5, 1), signing=replace(plan.signing, plan=replace(
            plan.signing.plan, trees=told))),)

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


def test_what_befell_a_tree_is_told_for_both_arms_with_the_answer_without_its_pair() -> None:
    calm = told(Book(gain=0.5))
    finding, lines = told(Book(gain=0.5, befell=(("pt2", "outside_change", "fed"), ("qu4", "outside_change", "dug"),
                                                 ("qt1", "tree_status", "removed"))))
    assert finding == calm[0], "a disturbed tree stays in the answer"
    assert ("Oak pt2, a treated tree: others fed it, as told on 1 September 2025: for a new drive. It stays in the "
            "comparison.") in lines
    assert "Oak qu4, a tree left untreated: somebody dug near it" in lines
    assert "Oak qt1, a treated tree, is gone since: for a new drive. Its shoots up to then count." in lines
    assert re.search(r"pairs of such trees \(1 treated, 1 untreated\): \+\d+ % \(\+\d+ to \+\d+\), of 10 pairs", lines)
    assert re.search(r"Alder Bank without such pairs: \+\d+ % \(\+\d+ to \+\d+\), of 5\.", lines)
    assert "ithout such pairs" not in calm[1]
    assert "Without the pairs" not in calm[1]


def test_where_nearly_all_were_disturbed_nothing_is_left_and_that_is_told() -> None:
    every = tuple((f"{name}t{pair}", "outside_change", "watered") for name in "pq" for pair in range(6))
    lines = told(Book(gain=0.5, befell=every))[1]
    assert "of such trees (12 treated, 0 untreated) too little is left for an answer." in lines


def test_trees_that_were_signed_to_be_left_alone_stand_beside_and_enter_no_effect() -> None:
    book = Book(gain=0.5, alone=True)
    assert told(book) == told(Book(gain=0.5))
    lines = [left_alone_line(each, {"p": "Alder Bank"}) for each in left_alone_at(book, ["p", "no plan"])]  # type: ignore[arg-type]
    assert lines == ["Alder Bank: 3 of them, shoots +15 % (+7 to +24) since."], "t of two degrees is 2.920, by hand"
