"""One trial: what counts as one, who is missing, what is refused."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import ttest_ind

from rootcase.casework.prove.fit import fit_trial
from rootcase.ground.errors import ImpossibleValue, Missing, OutOfRange
from rootcase.records.prove import FreedomBy, TrialReading
from tests.science.trials.layouts import Layout, simulated

SPREADS = (2.0, 1.0, 1.5, 1.0, 2.0)


def read(layout: Layout) -> list[TrialReading]:
    return [TrialReading(site=f"s{site}", tree=f"t{tree}", year=int(year), after=bool(after), treated=bool(treated),
                         value=float(y))
            for site, tree, year, after, treated, y in zip(layout.site, layout.tree, layout.year, layout.after,
                                                           layout.treated, layout.y, strict=True)]


def trial(effect: float = 3.0, *, sites: int = 5, trees: int = 6, years: tuple[int, int] = (1, 1),
          seed: int = 1) -> list[TrialReading]:
    return read(simulated(sites, trees, years, 4, SPREADS, effect, np.random.default_rng(seed)))


def by_site(readings: list[TrialReading]) -> list[TrialReading]:
    """The same readings, each site treated as a whole, every other one."""
    return [replace(each, treated=int(each.site[1:]) % 2 == 0) for each in readings]


def kinds(fit: object) -> list[str]:
    return [each.kind for each in fit.warnings]  # type: ignore[attr-defined]


@pytest.mark.property
def test_an_effect_is_found_and_trees_are_counted() -> None:
    fit = fit_trial(trial())
    assert fit.low < 3.0 < fit.high
    assert (fit.replicate, fit.treated, fit.untreated) == ("tree", 15, 15)
    assert (fit.sites, fit.trees, fit.readings) == (5, 30, 240)
    assert kinds(fit) == []


@pytest.mark.property
def test_more_shoots_of_the_same_trees_make_no_more_replicates() -> None:
    """Each shoot read thrice over: the answer hardly moves, and the degrees of freedom stay those of trees."""
    once = trial()
    thrice = [each for each in once for _ in range(3)]
    one, other = fit_trial(once), fit_trial(thrice)
    assert other.effect == pytest.approx(one.effect, abs=1e-6)
    assert other.standard_error == pytest.approx(one.standard_error, rel=0.02)
    assert other.freedom < 40


@pytest.mark.property
def test_whole_plots_count_as_plots() -> None:
    """Two plots an arm: a two-sample t of four plots' changes, on two degrees of freedom, however many trees."""
    readings = by_site(trial(sites=4, trees=20))
    fit = fit_trial(readings, "kenward-roger")
    change = {site: np.mean([each.value for each in readings if each.site == site and each.after])
              - np.mean([each.value for each in readings if each.site == site and not each.after])
              for site in sorted({each.site for each in readings})}
    closed = ttest_ind([change["s0"], change["s2"]], [change["s1"], change["s3"]])
    assert (fit.replicate, fit.treated, fit.untreated, fit.freedom) == ("plot", 2, 2, 2.0)
    assert fit.p == pytest.approx(closed.pvalue, rel=1e-9)
    assert kinds(fit) == ["plots", "few"]


@pytest.mark.property
def test_whole_plots_in_which_nothing_was_done_are_seldom_seen_to_differ() -> None:
    chance, many = np.random.default_rng(3), 300
    found = sum(fit_trial(by_site(read(simulated(4, 6, (1, 1), 2, (2.0, 1.5, 1.0, 1.0, 2.0), 0.0, chance)))).p < 0.05
                for _ in range(many))
    assert found / many < 0.1


def test_one_plot_or_one_tree_of_an_arm_tells_nothing() -> None:
    """With one tree of an arm its shoots would stand in for trees, and an interval from them would be a lie."""
    with pytest.raises(Missing, match=r"1 treated and 1 untreated.*at least two plots"):
        fit_trial(by_site(trial(sites=2)))
    pair = [each for each in trial(years=(2, 1)) if each.tree in ("t0", "t1")]
    with pytest.raises(Missing, match=r"1 treated and 1 untreated.*at least two of each arm"):
        fit_trial(pair)
    assert fit_trial([each for each in trial() if each.site == "s0"]).freedom < 8.01


def test_two_pairs_of_single_shoots_with_two_years_before_are_answered() -> None:
    """The look for a drift has too little to go on, and takes nothing from the answer."""
    once = {(each.tree, each.year): each for each in trial(sites=2, trees=2, years=(2, 1))}
    assert fit_trial(list(once.values())).treated == 2


def test_what_does_not_vary_is_refused() -> None:
    level = [replace(each, value=5.0 + each.treated * each.after) for each in trial()]
    with pytest.raises(OutOfRange, match="do not vary"):
        fit_trial(level)
    with pytest.raises(OutOfRange, match="nothing varies but the effect"):
        fit_trial(by_site([replace(each, value=5.0) for each in trial(sites=4)]))


@pytest.mark.property
@pytest.mark.parametrize("by", ["satterthwaite", "kenward-roger"])
def test_pairs_that_changed_exactly_alike_have_no_error_to_be_sure_by(by: FreedomBy) -> None:
    """Three pairs of whole centimeters: every treated tree grew 3 more than its partner."""
    tall = {0: (10.0, 12.0), 1: (14.0, 19.0), 2: (9.0, 12.0)}
    alike = [TrialReading(site=f"s{pair}", tree=f"t{pair} {treated}", year=2024 + after, after=bool(after),
                          treated=treated, value=tall[pair][after] + (3.0 * after if treated else 1.0))
             for pair in tall for treated in (True, False) for after in (0, 1)]
    with pytest.raises(OutOfRange, match="nothing varies but the effect"):
        fit_trial(alike, by)
    assert fit_trial([replace(alike[0], value=10.5), *alike[1:]], by).standard_error > 0.1


def test_of_trees_that_were_lost_none_makes_an_arm_less_few() -> None:
    many = trial(sites=2, trees=16)
    treated = sorted({each.tree for each in many if each.treated})
    left = [each for each in many if not (each.after and each.tree in treated[2:])]
    (few,) = [each for each in fit_trial(left).warnings if each.kind == "few"]
    assert few.figures == (2.0, 16.0)


@pytest.mark.property
def test_shoots_that_are_all_alike_are_one_reading() -> None:
    once = {(each.tree, each.year): each for each in trial()}
    thrice = [each for each in once.values() for _ in range(3)]
    one, other = fit_trial(list(once.values())), fit_trial(thrice)
    assert (other.effect, other.standard_error, other.freedom) == pytest.approx(
        (one.effect, one.standard_error, one.freedom), rel=1e-6)


def test_a_site_of_one_arm_among_others_is_named() -> None:
    readings = [replace(each, treated=True) if each.site == "s0" else each for each in trial()]
    fit = fit_trial(readings)
    assert [(each.kind, each.names) for each in fit.warnings] == [("one_arm", ("s0",))]


def test_lost_and_blank_are_told() -> None:
    gone = [each for each in trial() if not (each.tree == "t3" and each.after)]
    blank = [replace(each, value=None) if at < 2 else each for at, each in enumerate(gone)]
    told = {each.kind: each for each in fit_trial(blank).warnings}
    assert told["lost"].names == ("t3",)
    assert told["unread"].figures == (2.0,)


def test_arms_that_drifted_apart_before_are_told() -> None:
    even = trial(0.0, years=(3, 2), trees=8, seed=2)
    drift = [replace(each, value=(each.value or 0.0) + 3.0 * each.year * each.treated) for each in even]
    assert "trend" not in kinds(fit_trial(even))
    told = {each.kind: each.figures for each in fit_trial(drift).warnings}
    assert told["trend"][0] == pytest.approx(3.0, abs=1.0)


@pytest.mark.property
def test_nothing_reads_as_nothing_and_harm_as_harm() -> None:
    assert fit_trial(trial(0.0)).low < 0 < fit_trial(trial(0.0)).high
    assert fit_trial(trial(-6.0)).high < 0


@pytest.mark.parametrize(("change", "says"), [
    (lambda each: replace(each, tree="t1") if each.tree == "t7" else each, "a tree stands at one site"),
    (lambda each: replace(each, treated=not each.treated) if each.tree == "t2" and each.after else each,
     "a tree is in one arm"),
    (lambda each: replace(each, after=True) if each.tree == "t2" else each, "before or after")])
def test_what_cannot_be_one_trial_is_refused(change: object, says: str) -> None:
    with pytest.raises(ImpossibleValue, match=re.escape(says)):
        fit_trial([change(each) for each in trial()])  # type: ignore[operator]


@pytest.mark.parametrize(("treated", "after"), [(True, True), (True, False), (False, True), (False, False)])
def test_an_arm_that_was_not_read_is_named(treated: bool, after: bool) -> None:
    arm, when = "treated" if treated else "untreated", "after" if after else "before"
    with pytest.raises(Missing, match=f"no {arm} tree was read {when}"):
        fit_trial([each for each in trial() if (each.treated, each.after) != (treated, after)])
