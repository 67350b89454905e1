"""What a client reads of a trial at their trees."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rootcase.report.text.tried import tried_lines
from tests.report.pictures.test_proof import FIT, GONE, TRIAL

LABELS = {f"{arm}{pair}": f"oak {arm}{pair}" for pair in (0, 1, 9) for arm in "tu"}


def test_a_client_reads_who_went_without_why_and_that_nothing_is_told_from_nothing() -> None:
    why, who, came, gone = tried_lines(TRIAL, "extract", LABELS)
    assert why.startswith("Compost extract: nobody can be sure that it helps")
    assert who == "Treated: oak t0 and oak t1. Left without it, to compare: oak u0 and oak u1."
    assert came.endswith("+22 % (−10 to +65). We cannot tell that from nothing.")
    assert gone.startswith("oak u9 was left without it and is lost: felled for a main. Its partner oak t9")


@pytest.mark.parametrize(("low", "high", "told"), [(0.1, 0.3, "grew more"), (-0.3, -0.1, "It did harm")])
def test_harm_is_said_as_plainly_as_good(low: float, high: float, told: str) -> None:
    assert told in tried_lines(replace(TRIAL, fit=replace(FIT, low=low, high=high)), "extract", LABELS)[2]


def test_a_treated_tree_that_died_is_said_to_have_been_treated_and_too_little_is_said() -> None:
    dead = replace(GONE, treated=True, why="dead", note="")
    *_, little, lost = tried_lines(replace(TRIAL, fit=None, trees=(), left_out=(dead,)), "extract", LABELS)
    assert little == "Too little was read since to say anything."
    assert lost.startswith("oak u9 was treated and is lost: it died.")
