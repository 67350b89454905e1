"""A practice's own trials, from lot, record of work and readings to what is believed of a remedy."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from math import exp, log

import numpy as np
import pytest

from rootcase.casework.prove.fit import fit_trial
from rootcase.casework.prove.proof import proof_of
from rootcase.records.prove import Happened, Proof, TrialReading, TrialReadings
from rootcase.report.pictures import draw_proof
from rootcase.report.text.proof import interval


def trial(effect: float, pairs: int, seed: int, *, seasons: int = 2, place: str = "p") -> TrialReadings:
    """Ten shoots a tree and year; years rise and fall by a third, trees differ by a fifth."""
    chance = np.random.default_rng(seed)
    readings = []
    for pair in range(pairs):
        years = {year: chance.normal(0, 0.3) for year in range(2022, 2025 + seasons) if year != 2024}
        for treated in (True, False):
            tree = chance.normal(log(300), 0.2)
            for year, weather in years.items():
                own = tree + weather + chance.normal(0, 0.08) + effect * treated * (year > 2024)
                readings += [TrialReading(site=f"{place} {pair}", tree=f"{place} {pair} {treated}", year=year,
                                          after=year > 2024, treated=treated, value=own + chance.normal(0, 0.35))
                             for _ in range(10)]
    return TrialReadings(property_id=place, remedy="extract", pairs=pairs, readings=tuple(readings), left_out=())


def proof(*trials: TrialReadings) -> Proof:
    found = proof_of(trials)
    assert found is not None
    return found


@pytest.mark.property
def test_a_null_reads_as_a_null_and_a_gain_as_a_gain() -> None:
    none = proof(trial(0.0, 10, 1), trial(0.0, 8, 2, place="q"))
    assert none.low < 0 < none.high
    assert exp(none.high) - 1 < 0.2
    some = proof(trial(0.35, 10, 1), trial(0.35, 8, 2, place="q"))
    assert some.low > 0


@pytest.mark.property
def test_harm_is_found_as_easily_as_good() -> None:
    assert proof(trial(-0.35, 12, 3), trial(-0.35, 12, 4, place="q")).high < 0


@pytest.mark.property
def test_a_sceptic_needs_more_than_one_good_pair_or_two() -> None:
    few, many = proof(trial(0.4, 2, 5)), proof(trial(0.4, 12, 5), trial(0.4, 12, 6, place="q"))
    assert few.low < 0
    assert 0 <= few.effect < many.effect


@pytest.mark.property
def test_another_look_widens_the_same_figures() -> None:
    one = trial(0.2, 8, 7, seasons=1)
    doubled = replace(one, readings=(*one.readings, *(
        replace(each, year=2026) for each in one.readings if each.year == 2025)))
    assert (proof(one).look, proof(doubled).look) == (1, 2)
    assert [each.properties[0].fit.level for each in (proof(one), proof(doubled)) if each.properties[0].fit] == [
        pytest.approx(0.95), pytest.approx(1 - 0.1 / 6)]


def befell(tree: str, what: str = "pruned") -> Happened:
    return Happened(tree_id=tree, treated=tree.endswith("True"), what=what, day=date(2025, 6, 1))


@pytest.mark.property
def test_a_disturbed_tree_stays_and_the_answer_without_its_pair_stands_beside() -> None:
    calm, other = trial(0.3, 8, 11), trial(0.3, 6, 12, place="q")
    told = proof(replace(calm, happened=(befell("p 3 True"), befell("p 3 False"), befell("p 5 False"))), other)
    assert replace(told, without=None, properties=()) == replace(proof(calm, other), properties=())
    assert told.without is not None
    assert (told.pairs, told.without.pairs, told.without.without) == (14, 12, None)
    left = replace(calm, readings=tuple(each for each in calm.readings if each.site not in ("p 3", "p 5")))
    assert replace(told.without, properties=()) == replace(proof(left, other), properties=())
    assert told.properties[0].happened == (befell("p 3 True"), befell("p 3 False"), befell("p 5 False"))


def test_the_answer_without_disturbed_trees_is_held_by_as_many_looks() -> None:
    """They were read for one season, the others for three: three looks were had."""
    calm, other = trial(0.3, 8, 11, seasons=3), trial(0.3, 6, 12, seasons=1, place="q")
    struck = tuple(befell(f"p {pair} False") for pair in range(8))
    told = proof(replace(calm, happened=struck), other)
    assert told.without is not None
    (rest,) = [each.fit for each in told.without.properties if each.fit]
    assert (told.look, told.without.look, rest.level) == (3, 1, pytest.approx(1 - 0.1 / 12))


def test_a_trial_that_hardly_has_a_degree_of_freedom_tells_nothing_and_in_few_figures(
        monkeypatch: pytest.MonkeyPatch) -> None:
    """As Kenward and Roger's can come out of pairs full of gaps: its interval has 150 figures."""
    alone = proof(trial(0.3, 8, 11))
    hardly = replace(fit_trial(trial(0.3, 3, 12, place="q").readings), freedom=1e-6)
    monkeypatch.setattr("rootcase.casework.prove.proof.fit_trial", lambda readings, *by: (
        hardly if readings[0].site.startswith("q") else fit_trial(readings, *by)))
    found = proof(trial(0.3, 8, 11), trial(0.3, 3, 12, place="q"))
    assert found.effect == pytest.approx(alone.effect, abs=1e-3)
    fit = found.properties[1].fit
    assert fit is not None
    assert interval(fit.effect, fit.low, fit.high).endswith("(\u2212100 to >+9999)")
    assert draw_proof(found, {}, "q", "us", invented=False).svg


def test_a_tree_that_is_gone_since_leaves_no_second_answer() -> None:
    assert proof(replace(trial(0.3, 8, 11), happened=(befell("p 3 True", "removed"),))).without is None


def test_too_little_is_no_answer_and_the_prior_stands() -> None:
    bare = TrialReadings(property_id="p", remedy="extract", pairs=3, readings=(), left_out=())
    found = proof(bare)
    assert (found.effect, found.pairs, found.look, found.least_seen) == (0.0, 0, 0, None)
    assert found.properties[0].fit is None
    assert -found.low == pytest.approx(found.high)


@pytest.mark.property
def test_the_least_that_shows_shows_in_four_of_five(long: bool) -> None:
    """By the rule that decides the finding: prior, properties and looks with it. Each trial tells its own least, as far
    as its trees happened to stray; what is held is their mean."""
    told = [proof(*two_properties(0.0, 2 * seed + 1)).least_seen or 0.0 for seed in range(30 if long else 8)]
    least, many = float(np.mean(told)), 400 if long else 40
    assert min(told) > 0.1
    helped = sum(proof(*two_properties(least, 2 * seed)).low > 0 for seed in range(50, 50 + many))
    assert helped / many == pytest.approx(0.8, abs=0.1 if long else 0.25)


def two_properties(effect: float, seed: int) -> tuple[TrialReadings, TrialReadings]:
    return trial(effect, 8, seed, seasons=1), trial(effect, 8, seed + 1, seasons=1, place="q")


def test_each_propertys_interval_holds_for_all_looks_too() -> None:
    (one,) = proof(trial(0.2, 8, 7, seasons=3)).properties
    assert one.fit is not None
    assert one.fit.level == pytest.approx(1 - 0.1 / 12)


@pytest.mark.property
def test_more_pairs_show_smaller_differences() -> None:
    few, many = proof(trial(0.0, 4, 9)).least_seen, proof(trial(0.0, 16, 9)).least_seen
    assert few is not None
    assert many is not None
    assert many < few
