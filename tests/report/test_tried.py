"""What a client reads of a trial at their trees."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from io import BytesIO

import pytest
from pypdf import PdfReader

from rootcase.records.prove import Happened
from rootcase.report.pdf.proof import proof_pages
from rootcase.report.pdf.report import report_pdf
from rootcase.report.text.tried import tried_lines
from tests.report.fixtures import casework_fixture
from tests.report.pictures.test_proof import FIT, GONE, TRIAL
from tests.report.pictures.test_proof import PROOF as OF_TILLAGE

PROOF = replace(OF_TILLAGE, remedy="extract")
LABELS = {f"{arm}{pair}": f"oak {arm}{pair}" for pair in (0, 1, 9) for arm in "tu"}


def test_a_client_reads_who_went_without_why_and_that_nothing_is_told_from_nothing() -> None:
    why, who, came, believed, gone = tried_lines(PROOF, TRIAL, LABELS)
    assert why.startswith("Compost extract: nobody can be sure that it helps")
    assert who == "Treated: oak t0 and oak t1. Left without it, to compare: oak u0 and oak u1."
    assert came.endswith("+22 % (−10 to +65). We cannot tell that from nothing.")
    assert believed.startswith("One ground is little. With the doubt we had before, ")
    assert gone.startswith("Oak u9 was left without it and is lost: felled for a main. Its partner oak t9")


@pytest.mark.parametrize(("low", "high", "told"), [(0.1, 0.3, "grew more"), (-0.3, -0.1, "It did harm")])
def test_harm_is_said_as_plainly_as_good(low: float, high: float, told: str) -> None:
    assert told in tried_lines(PROOF, replace(TRIAL, fit=replace(FIT, low=low, high=high)), LABELS)[2]


def test_a_treated_tree_that_died_is_said_to_have_been_treated_and_too_little_is_said() -> None:
    dead = replace(GONE, treated=True, why="dead", note="")
    *_, little, lost = tried_lines(PROOF, replace(TRIAL, fit=None, trees=(), left_out=(dead,)), LABELS)
    assert little == "Too little was read since to say anything."
    assert lost.startswith("Oak u9 was treated and is lost: it died.")


@pytest.mark.parametrize(("low", "high", "told"), [(0.01, 0.3, "still more"), (-0.3, -0.01, "still less"),
                                                   (-0.1, 0.3, "not to be told from nothing")])
def test_what_is_believed_is_told_beside_the_trial_s_own_figures(low: float, high: float, told: str) -> None:
    assert told in tried_lines(replace(PROOF, low=low, high=high), TRIAL, LABELS)[3]


def test_a_client_reads_what_befell_trees_and_what_the_others_say_without_them() -> None:
    fed = Happened(tree_id="u1", treated=False, what="fed", day=date(2015, 6, 1))
    trial = replace(TRIAL, happened=(fed,))
    *_, befell, without = tried_lines(replace(PROOF, properties=(trial,), without=PROOF), trial, LABELS)
    assert befell == "Oak u1, a tree left untreated: others fed it, as told on 1 June 2015. It stays in the comparison."
    assert without.startswith("Without the pairs of such trees (0 treated, 1 untreated): ")


def test_the_report_has_its_part_where_a_lot_parted_trees_and_none_elsewhere() -> None:
    casework = casework_fixture()
    here = replace(PROOF, properties=(replace(TRIAL, property_id=casework.record.property.id),))
    text = " ".join(" ".join(page.extract_text() for page in PdfReader(BytesIO(report_pdf(
        casework, "", (here,)))).pages).split())
    assert "What was tried at your trees" in text
    assert "Compost extract: nobody can be sure that it helps" in text
    assert "How much more the treated grew" in text
    assert proof_pages({}, casework.record, ()) is None
