"""The account of a batch's litres."""

from __future__ import annotations

from random import Random

import pytest

from rootcase.casework.apply.litres import account
from rootcase.records.apply.done import LitreKind

HISTORIES, LONG = 200, 10_000


def test_what_is_missing_is_told_and_what_is_too_much() -> None:
    assert account("b", 1136.0, [1049.0], []).unaccounted_l == 87.0
    assert account("b", 1136.0, [1049.0, 100.0], []).unaccounted_l == -13.0


def test_less_than_half_a_litre_is_whole() -> None:
    assert account("b", 100.0, [99.6], []).unaccounted_l == 0.0
    assert account("b", 100.0, [99.4], []).unaccounted_l == pytest.approx(0.6)


def test_rinse_water_stands_outside_the_sum_and_a_corrected_volume_inside() -> None:
    found = account("b", 100.0, [90.0], [("rinse", 40.0), ("made", 95.0), ("left", 5.0)])
    assert (found.made_l, found.rinse_l, found.unaccounted_l) == (95.0, 40.0, 0.0)


@pytest.mark.property
def test_masses_account_whatever_the_history(long: bool) -> None:
    for seed in range(LONG if long else HISTORIES):
        chance = Random(seed)
        parts = [float(chance.randrange(0, 400)) for _ in range(chance.randrange(1, 9))]
        kinds: list[tuple[LitreKind | None, float]] = [
            (chance.choice((None, None, "left", "lost")), part) for part in parts]  # type: ignore[misc]
        missing = float(chance.choice((0, 0, 1, 87, -5)))
        found = account("b", sum(parts) + missing, [part for kind, part in kinds if kind is None],
                        [(kind, part) for kind, part in kinds if kind is not None])
        assert found.unaccounted_l == missing
        assert found.made_l == found.applied_l + found.left_l + found.lost_l + found.unaccounted_l
