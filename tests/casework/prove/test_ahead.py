"""What pairs could show before they are parted, by the practice's own spread where it was read."""

from __future__ import annotations

from dataclasses import replace
from math import exp, log

import numpy as np
import pytest

from rootcase.casework.prove.ahead import spreads_of, trial_ahead
from rootcase.records.observe import Place, PropertyRecord, Tree
from rootcase.records.offer import Arms, Pair
from rootcase.records.prove import ShootSpreads, TrialAhead
from rootcase.report.text.trial_ahead import ahead_lines
from tests.casework.prove.test_gathered import GROUND, shoot

TABLE = spreads_of([])


def ground(pairs: int, *, apart: bool = False, shoots: int = 0, seed: int = 1) -> PropertyRecord:
    """Trees of pairs on one lawn, or each arm on a lawn of its own; shoots of three years, tree-years by 0.25."""
    chance, readings = np.random.default_rng(seed), []
    weather = {year: chance.normal(0.0, 0.3) for year in (2022, 2023, 2024)}
    trees = tuple(Tree(f"{arm}{at}", "p", arm if apart else "lawn", f"{arm}{at}", None, None)
                  for at in range(pairs) for arm in "tu")
    for tree in trees:
        own = chance.normal(log(300.0), 0.2)
        for year, common in weather.items():
            here = own + common + chance.normal(0.0, 0.25)
            readings += [replace(shoot(tree.id, year, exp(here + chance.normal(0.0, 0.4))), id=f"{tree.id} {year} {at}",
                                 series=str(at)) for at in range(shoots)]
    places = tuple(Place(name, "p", name, "lawn") for name in ("lawn", "t", "u"))
    return PropertyRecord(GROUND, places, trees, (), (), (), tuple(readings), (), {})


def ahead(record: PropertyRecord, pairs: int, spreads: ShootSpreads = TABLE,
          elsewhere: tuple[int, int] = (0, 0)) -> TrialAhead:
    arms = Arms("extract", "mixed", tuple(Pair(f"t{at}", f"u{at}", 1) for at in range(pairs)), (), True, None, None)
    return trial_ahead(record, arms, spreads, elsewhere)


@pytest.mark.property
def test_own_trees_say_how_shoots_stray_and_years_they_share_do_not_count() -> None:
    found = spreads_of([ground(20, shoots=8)])
    assert found.trees == 40
    assert found.tree_year == pytest.approx(0.25, rel=0.2)
    assert found.shoot == pytest.approx(0.4, rel=0.1)
    assert spreads_of([ground(3, shoots=8)]) == TABLE
    assert spreads_of([ground(20)]).trees == 0


@pytest.mark.property
def test_more_pairs_and_more_seasons_miss_less() -> None:
    few, many = ahead(ground(3), 3).missed, ahead(ground(12), 12).missed
    assert [seasons for seasons, *_ in few] == [1, 3]
    slow = ahead(ground(40, shoots=2), 40, ShootSpreads(tree_year=0.8, shoot=0.4, trees=0)).missed
    for one, other in ((slow[0], slow[1]), (few[0], many[0])):
        assert one[1] > other[1]
        assert one[2] > other[2]
    assert few[0][1:] == few[1][1:], "places differ by more than years then tell; no look takes back another's"
    assert all(even < likely for _, even, likely in (*few, *many))
    assert ahead(ground(3), 3, elsewhere=(9, 1)).missed[0][1] < few[0][1]


def test_twelve_pairs_are_the_closed_form() -> None:
    """sd^2 of a pair's difference: 2 (s_ty^2 + s_sh^2 / m) (1 / 2 + 1 / 1) + 12 tau^2; t with 11 df at 5 %."""
    from rootcase.science.trials.power import power_of_pairs

    sd = (2 * (0.1**2 + 0.4**2 / 10) * 1.5 + 12 * 0.05**2) ** 0.5
    _, even, likely = ahead(ground(12), 12).missed[0]
    assert power_of_pairs(even, sd, 12, 0.05) == pytest.approx(0.5, abs=1e-6)
    assert power_of_pairs(likely, sd, 12, 0.05) == pytest.approx(0.8, abs=1e-6)


@pytest.mark.property
def test_arms_of_whole_places_are_counted_as_places() -> None:
    one = ahead(ground(12, apart=True), 12)
    assert (one.plots, one.missed) == (1, ())
    said = " ".join(ahead_lines(one))
    assert "1 an arm, however many trees stand in them" in said
    assert "One place an arm shows nothing" in said


def test_the_honest_sentence_stands_for_few_pairs() -> None:
    lines = list(ahead_lines(ahead(ground(3), 3)))
    assert lines[0] == ("With 3 pairs here and 0 at other properties, 10 shoots a tree, 2 years before and one season "
                        "after, a difference under 85 % would be missed more often than found, and one of 160 % found "
                        "four times in five.")
    assert "a table stands in" in lines[-1]
    assert "One pair alone shows nothing" in " ".join(ahead_lines(ahead(ground(1), 1)))
    own = ahead(ground(20, shoots=8), 20, spreads_of([ground(20, shoots=8)]))
    assert (own.shoots, own.before) == (8, 3)
    assert "of 40 of your own trees" in list(ahead_lines(own))[-1]
