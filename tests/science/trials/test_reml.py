"""Own mixed model against another program's fits and against closed forms."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import ttest_ind

from rootcase.ground.errors import OutOfRange
from rootcase.science.trials.cells import Cells, cells_of
from rootcase.science.trials.freedom import answered, kenward_roger, satterthwaite
from rootcase.science.trials.reml import TERMS, Fit, fit_reml, profile_of
from tests.reference.lme4 import HERE, SEEDS, recorded
from tests.science.trials.layouts import TREATED_AFTER, before_after, simulated, unbalanced

DATA = Path(__file__).parents[2] / "data" / "trials"
QUICK = 40
"""Seeds; all of them with --long."""


@cache
def trial(name: str) -> Cells:
    with (DATA / f"{name}.csv").open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    site, tree = (np.array([row[column] for row in rows]) for column in ("site", "tree"))
    year, after, treated, y = (np.array([float(row[column]) for row in rows])
                               for column in ("year", "after", "treated", "y"))
    return cells_of(site, tree, year, y, before_after(treated, after))  # type: ignore[arg-type]  # numbers


def kept_fits() -> list[dict[str, str]]:
    with (HERE / "baci.csv").open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


@pytest.mark.reference
@pytest.mark.parametrize("row", kept_fits(), ids=lambda row: f"{row['file']}:{row['terms']}")
def test_three_trials_are_fitted_as_lme4_fits_them(row: dict[str, str]) -> None:
    cells = trial(row["file"])
    fit = fit_reml(cells, row["terms"].split())  # type: ignore[arg-type]  # terms
    error, freedom = satterthwaite(cells, fit, TREATED_AFTER)
    assert fit.profile.criterion == pytest.approx(float(row["criterion"]), abs=1e-5)
    assert fit.effects[3] == pytest.approx(float(row["effect"]), abs=1e-6)
    assert error == pytest.approx(float(row["se"]), rel=1e-5)
    assert freedom == pytest.approx(float(row["df"]), abs=0.01)
    assert answered(fit.effects[3], error, freedom, 0.95).p == pytest.approx(float(row["p"]), rel=1e-4)
    for term, variance in fit.variances.items():
        assert variance == pytest.approx(float(row[term]), rel=1e-4), term
    if row["kr_se"]:
        assert kenward_roger(cells, fit, TREATED_AFTER) == pytest.approx(
            (float(row["kr_se"]), float(row["kr_df"])), rel=1e-5)


@pytest.mark.reference
def test_trials_of_all_shapes_are_fitted_as_lme4_fits_them(long: bool) -> None:
    kept, singular = recorded(), 0
    for seed in SEEDS if long else SEEDS[:QUICK]:
        row, cells = kept[seed], unbalanced(seed).cells
        fit = fit_reml(cells)
        error, freedom = satterthwaite(cells, fit, TREATED_AFTER)
        assert fit.profile.criterion == pytest.approx(row["criterion"], abs=1e-4), seed
        assert fit.effects[3] == pytest.approx(row["effect"], abs=1e-4), seed
        assert error == pytest.approx(row["se"], rel=1e-3), seed
        assert freedom == pytest.approx(row["df"], abs=0.1), seed
        if "kr_se" in row:
            wider, fewer = kenward_roger(cells, fit, TREATED_AFTER)
            assert wider == pytest.approx(row["kr_se"], rel=1e-3), seed
            assert fewer == pytest.approx(row["kr_df"], abs=0.1), seed
        singular += bool((fit.squares == 0.0).any())
    assert singular > (100 if long else 15)


def differences_of(cells: Cells) -> np.ndarray:
    """After less before of each tree, each the mean of its years' means."""
    after = cells.design[:, :, 2].max(axis=0) == 1.0
    change: np.ndarray = cells.mean[:, after].mean(axis=1) - cells.mean[:, ~after].mean(axis=1)
    return change


@pytest.mark.published
def test_one_year_each_side_is_the_two_sample_t_of_the_trees() -> None:
    cells = trial("baci_a")
    treated = cells.design[:, 0, 1] == 1.0
    fit = fit_reml(cells, ["site", "tree", "tree_year"])
    error, freedom = satterthwaite(cells, fit, TREATED_AFTER)
    change = differences_of(cells)
    closed = ttest_ind(change[treated], change[~treated])
    assert fit.effects[3] == pytest.approx(2.655951, abs=1e-6)
    assert fit.effects[3] / error == pytest.approx(2.311975, rel=1e-4) == pytest.approx(closed.statistic, rel=1e-5)
    assert freedom == pytest.approx(46, abs=0.1)
    assert answered(fit.effects[3], error, freedom, 0.95).p == pytest.approx(0.0253086, rel=1e-3)


@pytest.mark.published
def test_site_years_are_sites_as_blocks() -> None:
    cells = trial("baci_a")
    fit = fit_reml(cells)
    error, freedom = satterthwaite(cells, fit, TREATED_AFTER)
    blocks = np.column_stack([np.eye(cells.site.max() + 1)[cells.site], cells.design[:, 0, 1]])
    change = differences_of(cells)
    effect = np.linalg.lstsq(blocks, change, rcond=None)[0][-1]
    assert fit.effects[3] == pytest.approx(effect, abs=1e-6)
    assert error == pytest.approx(0.9163343, rel=1e-4)
    assert freedom == pytest.approx(41, abs=0.1)
    assert answered(effect, error, freedom, 0.95).p == pytest.approx(0.00599706, rel=1e-3)


def dense(cells: Cells, fit: Fit, squares: np.ndarray) -> float:
    """-2 log restricted likelihood with every reading a row; slow, and of no line of ours."""
    read = cells.count > 0
    tree, year = (np.repeat(each, cells.count[read].astype(int)) for each in np.nonzero(read))
    design = np.repeat(cells.design[read], cells.count[read].astype(int), axis=0)
    mean = np.repeat(cells.mean[read], cells.count[read].astype(int))
    site = cells.site[tree]
    same = {"site": site, "site_year": site * 100 + year, "tree": tree, "tree_year": tree * 100 + year}
    covariance = np.eye(mean.size)
    for term, square in zip(fit.terms, squares, strict=True):
        covariance += square * (same[term][:, None] == same[term][None, :])
    inverse = np.linalg.inv(covariance)
    known = design.T @ inverse @ design
    left = mean - design @ np.linalg.solve(known, design.T @ inverse @ mean)
    freedom = mean.size - design.shape[1]
    square = left @ inverse @ left + cells.within_square  # what is inside a tree and year is left by every such matrix
    return float(np.linalg.slogdet(covariance)[1] + np.linalg.slogdet(known)[1]
                 + freedom * (1 + np.log(2 * np.pi * square / freedom)))


@pytest.mark.property
def test_blocks_are_the_whole_matrix_and_slopes_the_criterions_own() -> None:
    for seed in (3, 11, 29):
        cells = unbalanced(seed).cells
        fit = fit_reml(cells)
        profile = profile_of(cells, fit.terms)
        some = np.random.default_rng(seed).uniform(0.1, 2.0, len(fit.terms))
        here = profile(some)
        assert here.criterion == pytest.approx(dense(cells, fit, some), abs=1e-7), seed
        for at, step in enumerate(1e-5 * np.eye(some.size)):
            slope = (profile(some + step).criterion - profile(some - step).criterion) / 2e-5
            assert here.slope(here.residual)[at] == pytest.approx(slope, abs=1e-4), (seed, fit.terms[at])


@pytest.mark.property
def test_unit_and_level_of_readings_do_not_matter() -> None:
    layout = unbalanced(5)
    cells = layout.cells
    other = cells_of(layout.site, layout.tree, layout.year, 25.4 * layout.y + 1e4,
                     before_after(layout.treated, layout.after))
    one, two = fit_reml(cells), fit_reml(other)
    assert two.effects[3] == pytest.approx(25.4 * one.effects[3], rel=1e-6)
    assert satterthwaite(other, two, TREATED_AFTER) == pytest.approx(
        (25.4 * satterthwaite(cells, one, TREATED_AFTER)[0], satterthwaite(cells, one, TREATED_AFTER)[1]), rel=1e-4)


@pytest.mark.property
def test_no_effect_is_found_about_as_often_as_it_should_be(long: bool) -> None:
    """5 % tests of three designs; the quick tier only sees that they are not far off."""
    designs = ((5, 6, (1, 1), 4, (2.0, 1.0, 1.0, 1.0, 3.0)), (4, 6, (2, 2), 3, (2.0, 0.5, 1.0, 1.5, 2.0)),
               (6, 4, (1, 2), 3, (1.0, 1.5, 2.0, 0.5, 2.0)))
    many = 20_000 if long else 25
    for number, design in enumerate(designs):
        chance, found = np.random.default_rng(number), 0
        for _ in range(many):
            cells = simulated(*design, 0.0, chance).cells
            fit = fit_reml(cells)
            error, freedom = kenward_roger(cells, fit, TREATED_AFTER)
            found += answered(fit.effects[3], error, freedom, 0.95).p < 0.05
        assert (0.04 if long else 0.0) <= found / many <= (0.06 if long else 0.25), (design, found / many)


def test_what_cannot_be_told_apart_is_said() -> None:
    layout = unbalanced(4)
    only = before_after(layout.treated, np.zeros_like(layout.after))
    with pytest.raises(OutOfRange, match="cannot be told apart"):
        fit_reml(cells_of(layout.site, layout.tree, layout.year, layout.y, only), TERMS)


def test_a_tree_at_two_sites_is_named() -> None:
    with pytest.raises(OutOfRange, match=r"a tree stands at one site \(got tree 7 at two\)"):
        cells_of(np.array([1, 1, 2]), np.array([4, 7, 7]), np.zeros(3, int), np.arange(3.0), np.ones((3, 1)))
