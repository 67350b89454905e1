"""The picture of the proof: trees stand at their lengths, effects at their percent, and what is gone is dotted."""

from __future__ import annotations

from dataclasses import replace
from math import exp, expm1, log

import pytest

from rootcase.records.prove import LeftOut, Proof, PropertyTrial, TreeInTrial, TrialFit
from rootcase.report.pictures import draw_proof
from rootcase.report.pictures.signs import Layout
from tests.report.pictures.marks import group, mark, marks, number, points, root_of, texts

LAYOUTS: tuple[Layout, ...] = ("wide", "phone")
FIT = TrialFit(effect=0.2, standard_error=0.1, freedom=4.0, p=0.1, low=-0.1, high=0.5, level=0.9,
               freedom_by="kenward-roger", variances={}, replicate="tree", treated=2, untreated=2, sites=2, trees=4,
               readings=16)
TREES = tuple(TreeInTrial(tree_id=f"{arm}{pair}", treated=arm == "t", before=log(120.0 + 20 * pair),
                          after=log(150.0 + 20 * pair)) for pair in range(2) for arm in "tu")
GONE = LeftOut(tree_id="u9", partner_id="t9", why="removed", before=log(140.0), note="felled for a main")
TRIAL = PropertyTrial(property_id="p", pairs=2, left_out=(GONE,), seasons=1, fit=FIT, heard=0.15, inner=(0.1, 0.3),
                      trees=TREES)
PROOF = Proof(remedy="air_tillage", properties=(TRIAL, replace(TRIAL, property_id="q", trees=(), left_out=())),
              pairs=4, look=1, level=0.9, effect=0.15, low=0.02, high=0.3, inner=(0.1, 0.2), least_seen=0.3,
              next_sd=0.1, heard=0.6)
NAMES = {"p": "Mill Meadow", "q": "Ferry Landing"}


@pytest.mark.parametrize("layout", LAYOUTS)
def test_trees_stand_at_their_lengths_and_effects_at_their_percent(layout: Layout) -> None:
    picture = draw_proof(PROOF, NAMES, "p", "us", invented=True, layout=layout)
    root = root_of(picture.bare)
    assert picture.faults == ()
    per_mm = number(group(root, "trees"), "data-px-per-mm")
    (_, before), (_, after) = points(marks(root, "treated")[0])
    assert (before - after) / per_mm == pytest.approx(exp(TREES[0].after) - exp(TREES[0].before), abs=0.5)
    per_point = number(group(root, "spans"), "data-px-per-point")
    zero = points(marks(root, "no-effect")[0])[0][0]
    first, last = (at for at, _ in points(marks(root, "nine-in-ten")[0]))
    assert [(at - zero) / per_point for at in (first, last)] == pytest.approx(
        [100 * expm1(FIT.low), 100 * expm1(FIT.high)], abs=0.3)
    box = mark(root, "together")
    assert (number(box, "x") - zero) / per_point == pytest.approx(100 * expm1(PROOF.low), abs=0.3)


def test_a_tree_that_is_gone_is_dotted_and_counted_and_the_finding_is_the_head() -> None:
    root = root_of(draw_proof(PROOF, NAMES, "p", "us", invented=True).bare)
    words = " ".join(texts(root))
    assert len(marks(root, "gone")) == 1
    assert "2 trees, 1 gone" in words
    assert "helped: shoots +16 % (+2 to +35)" in words
    assert "Invented data." in words
    assert "Invented data." not in " ".join(texts(root_of(draw_proof(PROOF, NAMES, "p", "us", invented=False).bare)))


def wild_proof() -> tuple[Proof, dict[str, str]]:
    """Twenty properties with long names, one whose span goes past every scale and one without an answer."""
    wild = replace(FIT, effect=1.3, low=-2.5, high=2.4)
    name = "The very long name of a property of the society of friends of trees"
    many = tuple(replace(TRIAL, property_id=str(at), fit=wild if at == 3 else None if at == 5 else FIT,
                         inner=(0.9, 1.6) if at == 3 else None if at == 5 else TRIAL.inner) for at in range(20))
    return replace(PROOF, properties=many), {str(at): name for at in range(20)}


@pytest.mark.parametrize("layout", LAYOUTS)
def test_many_properties_with_long_names_and_wild_spans_keep_their_words_apart(layout: Layout) -> None:
    proof, names = wild_proof()
    picture = draw_proof(proof, names, "0", "metric", invented=False, layout=layout)
    assert picture.faults == ()
    root = root_of(picture.bare)
    assert (len(marks(root, "property")), len(marks(root, "unknown"))) == (20, 1)
    assert "+267 % (−92 to +1002)" in " ".join(texts(root))
