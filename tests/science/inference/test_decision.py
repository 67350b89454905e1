"""What a look is worth: never below nothing nor above certainty; refused where chances are none."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import ImpossibleValue, OutOfRange
from rootcase.science.inference.decision import value_of_look


@pytest.mark.property
@given(st.integers(0, 2**32), st.integers(1, 5), st.integers(1, 5), st.integers(1, 5))
def test_a_look_is_worth_no_more_than_certainty(seed: int, cases: int, results: int, choices: int) -> None:
    rng = np.random.default_rng(seed)
    priors, shown = rng.dirichlet(np.ones(cases)), rng.dirichlet(np.ones(results), cases)
    payoffs = rng.normal(0, 100, (choices, cases))
    found = value_of_look(priors, shown, payoffs, price=7.0)
    assert -1e-9 <= found.look <= found.perfect_information + 1e-9
    assert found.best_without == pytest.approx(max(sum(priors * row) for row in payoffs))
    assert found.best_after_price == pytest.approx(found.best_without + found.look - 7.0)
    assert found.result_chances @ found.best_by_result == pytest.approx(found.best_without + found.look)
    blind = value_of_look(priors, np.tile(shown[:1], (cases, 1)), payoffs)
    assert blind.look == pytest.approx(0.0, abs=1e-9)
    sure = value_of_look(priors, np.eye(cases), payoffs)
    assert sure.look == pytest.approx(found.perfect_information, abs=1e-9)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="priors do not sum to 1"):
        value_of_look([0.5, 0.4], np.eye(2), [[1, 2]])
    with pytest.raises(ImpossibleValue, match="result_given_case do not sum to 1"):
        value_of_look([0.5, 0.5], [[1, 0], [0.5, 0.4]], [[1, 2]])
    with pytest.raises(OutOfRange, match="do not go together"):
        value_of_look([0.5, 0.5], np.eye(2), [[1, 2, 3]])
    with pytest.raises(OutOfRange, match="price is outside"):
        value_of_look([1.0], [[1.0]], [[1.0]], price=-1.0)
