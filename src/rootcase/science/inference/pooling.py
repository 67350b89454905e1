"""Partial pooling of shoot lengths: how a tree grows against its yardstick."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt
from scipy.linalg import cho_factor, cho_solve, solve_triangular

from rootcase.ground.errors import OutOfRange

Floats = npt.NDArray[np.float64]
Integers = npt.NDArray[np.int64]

PROPOSALS = (100, 100, 400)
"""Variance components tried, round after round; their weights come from the data, the last round's are kept."""
BEST = 5
"""One in so many of a round tells where the next one looks, twice as wide as they stand."""


@dataclass(frozen=True, slots=True)
class Shoots:
    """Shoot lengths of a property, one row a shoot and year, and what each tree is.

    `group` is the yardstick group a tree belongs to or is compared with. `extra_sd` widens a tree whose shoots
    were not taken like the yardstick's. Group means carry a prior for groups in which no healthy tree was read.
    """

    log_length: Floats
    tree: Integers
    year: Integers
    shoot: Integers
    tree_group: Integers
    tree_is_yardstick: npt.NDArray[np.bool_]
    tree_species: Integers
    tree_genus: Integers
    tree_place: Integers
    tree_extra_sd: Floats
    group_prior_log_mean: Floats
    group_prior_log_sd: Floats
    years: int


@dataclass(frozen=True, slots=True)
class PoolingPriors:
    """Typical size of each source of spread (log scale) and, where a second figure stands, its own log-sd."""

    shoot_year: float
    shoot: float
    within_degrees_of_freedom: float
    tree: tuple[float, float]
    year: tuple[float, float]
    tree_year: tuple[float, float]
    species: float
    genus: float
    place: float
    compared_tree: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Pooled:
    """Posterior draws, log scale; rows in the order of the input, columns draws."""

    log_share: Floats
    """(trees, draws); NaN for yardstick trees."""
    log_share_of_year: Floats
    """(trees, years, draws): the tree in that year; NaN for yardstick trees and years without a shoot."""
    group_log_mean: Floats
    year_effect: Floats
    shoot_sd: Floats
    """(draws,) spread of single shoots around their tree and year."""
    tree_sd: Floats
    """(draws,) spread of healthy trees around their group."""


@dataclass(frozen=True, slots=True)
class _Cells:
    """Tree-year means and what they are made of."""

    mean: Floats
    count: Floats
    tree: Integers
    year: Integers
    shoots_of_tree: Floats


def _cells(data: Shoots) -> _Cells:
    key = data.tree * data.years + data.year
    found, inverse, count = np.unique(key, return_inverse=True, return_counts=True)
    mean = np.bincount(inverse, data.log_length) / count
    tree = found // data.years
    shoots = np.array([np.unique(data.shoot[data.tree == t]).size for t in range(data.tree_group.size)], float)
    return _Cells(mean, count.astype(float), tree, found % data.years, np.maximum(shoots, 1.0))


def _within_components(data: Shoots, cells: _Cells, priors: PoolingPriors, n: int,
                       rng: np.random.Generator) -> tuple[Floats, Floats]:
    """Draws of the variance of a shoot's years around the shoot, and of shoots around their tree."""
    key = data.tree * data.years + data.year
    cell = np.searchsorted(cells.tree * data.years + cells.year, key)
    residual = data.log_length - cells.mean[cell]
    shoot_key = data.tree * (data.shoot.max(initial=0) + 1) + data.shoot
    _, of_shoot, per_shoot = np.unique(shoot_key, return_inverse=True, return_counts=True)
    shoot_mean = np.bincount(of_shoot, residual) / per_shoot
    years_per_shoot = float(per_shoot.mean()) if per_shoot.size else 1.0
    trees_read = np.unique(data.tree).size
    between_freedom = max(per_shoot.size - trees_read, 0)
    within_freedom = max(data.log_length.size - cells.mean.size - between_freedom, 0)
    within_square = float(((residual - shoot_mean[of_shoot]) ** 2).sum())
    between_square = float((per_shoot * shoot_mean**2).sum())
    nu = priors.within_degrees_of_freedom
    prior_between = priors.shoot_year**2 + years_per_shoot * priors.shoot**2
    within = (nu * priors.shoot_year**2 + within_square) / rng.chisquare(nu + within_freedom, n)
    between = (nu * prior_between + between_square) / rng.chisquare(nu + between_freedom, n)
    return within, np.maximum(between - within, 0.0) / years_per_shoot


def _design(data: Shoots, cells: _Cells) -> tuple[Floats, list[slice]]:
    """Columns: group means, years, healthy trees; species, genus, place, own effect of compared trees; tree-years."""
    tree, compared = cells.tree, ~data.tree_is_yardstick[cells.tree]
    blocks = []
    for labels, applies in (
        (data.tree_group[tree], np.ones(tree.size, bool)), (cells.year, np.ones(tree.size, bool)),
        (tree, ~compared), (data.tree_species[tree], compared), (data.tree_genus[tree], compared),
        (data.tree_place[tree], compared), (tree, compared), (np.arange(tree.size), np.ones(tree.size, bool)),
    ):
        blocks.append((labels, applies))
    sizes = [data.group_prior_log_mean.size, data.years, data.tree_group.size, int(data.tree_species.max()) + 1,
             int(data.tree_genus.max()) + 1, int(data.tree_place.max()) + 1, data.tree_group.size, tree.size]
    starts = np.concatenate([[0], np.cumsum(sizes)])
    design = np.zeros((tree.size, int(starts[-1])))
    rows = np.arange(tree.size)
    for (labels, applies), start in zip(blocks, starts[:-1], strict=True):
        design[rows[applies], start + labels[applies]] = 1.0
    return design, [slice(int(a), int(b)) for a, b in pairwise(starts)]


@dataclass(frozen=True, slots=True)
class _Spread:
    """Proposed variances (first two) and standard deviations, one of each a proposal."""

    within: Floats
    between: Floats
    tree: Floats
    year: Floats
    tree_year: Floats
    compared_tree: Floats


@dataclass(frozen=True, slots=True)
class _Model:
    """What all proposals share."""

    data: Shoots
    cells: _Cells
    design: Floats
    blocks: list[slice]
    prior_mean: Floats
    spread: _Spread
    priors: PoolingPriors
    alike: tuple[Floats, ...]
    """Covariance of the tree-year means by a block of unit size; of the groups with their own sizes."""

    def sizes(self, proposal: int) -> tuple[float, ...]:
        """Standard deviation of each block after the groups."""
        spread, priors = self.spread, self.priors
        return (spread.year[proposal], spread.tree[proposal], priors.species, priors.genus, priors.place,
                spread.compared_tree[proposal], spread.tree_year[proposal])

    def noise(self, proposal: int) -> Floats:
        """Covariance of what is left of the tree-year means."""
        cells, spread = self.cells, self.spread
        same_tree = cells.tree[:, None] == cells.tree[None, :]
        shared = (spread.between[proposal] / cells.shoots_of_tree[cells.tree]
                  + self.data.tree_extra_sd[cells.tree] ** 2)
        return np.asarray(np.diag(spread.within[proposal] / cells.count) + same_tree * shared[:, None])

    def total(self, proposal: int) -> Floats:
        """Covariance of the tree-year means, all taken together."""
        groups, *rest = self.alike
        return self.noise(proposal) + groups + sum(
            (size**2 * alike for size, alike in zip(self.sizes(proposal), rest, strict=True)), np.zeros(()))

    def log_likelihood(self, proposal: int) -> float:
        root = np.linalg.cholesky(self.total(proposal))
        white = solve_triangular(root, self.cells.mean - self.design @ self.prior_mean, lower=True)
        return float(-0.5 * white @ white - np.log(np.diag(root)).sum())

    def effects(self, proposal: int, draws: int, rng: np.random.Generator) -> Floats:
        """Draws of all effects (effects, draws): a joint draw conditioned on the tree-year means."""
        sd = np.empty(self.design.shape[1])
        sd[self.blocks[0]] = self.data.group_prior_log_sd
        for block, size in zip(self.blocks[1:], self.sizes(proposal), strict=True):
            sd[block] = size
        effects = self.prior_mean[:, None] + sd[:, None] * rng.standard_normal((sd.size, draws))
        noise = np.linalg.cholesky(self.noise(proposal))
        imagined = self.design @ effects + noise @ rng.standard_normal((len(noise), draws))
        missed = cho_solve(cho_factor(self.total(proposal), lower=True), self.cells.mean[:, None] - imagined)
        conditioned: Floats = effects + (self.design * sd**2).T @ missed
        return conditioned


def _spreads(data: Shoots, cells: _Cells, priors: PoolingPriors, model_of: Callable[[_Spread], _Model],
             rng: np.random.Generator) -> tuple[_Spread, Floats]:
    """Proposed variance components and the log weight of each.

    Many trees know the spreads far better than the priors do, and of draws from the priors next to none would count.
    """
    drawn = (priors.tree, priors.year, priors.tree_year, priors.compared_tree)
    centre, width = np.zeros(len(drawn)), np.ones(len(drawn))
    for number in PROPOSALS:
        within, between = _within_components(data, cells, priors, number, rng)
        z = centre + width * rng.standard_normal((number, len(drawn)))
        spread = _Spread(within, between, *(
            size * np.exp(log_sd * z[:, at]) for at, (size, log_sd) in enumerate(drawn)))
        model = model_of(spread)
        fit = np.array([model.log_likelihood(h) for h in range(number)]) - 0.5 * (z**2).sum(axis=1)
        log_weight = fit + 0.5 * (((z - centre) / width) ** 2).sum(axis=1)
        best = z[np.argsort(-fit, kind="stable")[:number // BEST]]
        centre, width = best.mean(axis=0), 2.0 * best.std(axis=0)
    return spread, log_weight


def pooled_log_shares(data: Shoots, priors: PoolingPriors, draws: int, rng: np.random.Generator) -> Pooled:
    """How much each tree's shoots differ from its yardstick's mean, partially pooled over species, genus and place.

    Parameters
    ----------
    data : shoots of one property; lengths as natural log of [mm], at least one row.
    priors : sizes of the sources of spread, log scale.
    draws : number of posterior draws, above 0.
    rng : the generator all randomness comes from.

    Returns
    -------
    Pooled. [log scale]; exp(log_share) is the share of the yardstick.

    Raises
    ------
    OutOfRange : no shoot, or a length that is not a finite number.

    Notes
    -----
    y = group mean + year + healthy tree, or + (species + genus + place + own) of a compared tree, + tree-year +
    shoot + shoot-year; every term normal on the log scale. Years are crossed with trees, so a dry year falls on
    both sides. The spread within trees comes from sums of squares; the other standard deviations are drawn where
    prior and data put them and weighted by prior times marginal likelihood of the tree-year means, then effects are
    drawn by conditioning a joint draw on the data. The year effects are not forced to sum to zero: they share the group
    mean's level, which cancels in the share.

    References
    ----------
    Cappe, Guillin, Marin and Robert 2004, Population Monte Carlo, J. Comput. Graph. Stat. 13:907-929 (memory), for
    the rounds of proposals;
    Gelman and Hill 2007, Data Analysis Using Regression and Multilevel/Hierarchical Models, ch. 12-13 (memory);
    Rasmussen and Williams 2006, Gaussian Processes for Machine Learning, Eq. 2.25-2.26 for the conditioning (memory).

    Examples
    --------
    >>> rng = np.random.default_rng(1)
    >>> lengths = np.log(np.r_[np.full(12, 400.0), np.full(12, 100.0)])
    >>> one = np.zeros(2, dtype=np.int64)
    >>> data = Shoots(lengths, np.repeat([0, 1], 12), np.zeros(24, np.int64), np.arange(24), one,
    ...               np.array([True, False]), one, one, one, np.zeros(2), np.array([6.0]), np.array([0.5]), 1)
    >>> priors = PoolingPriors(.32, .24, 4, (.2, .4), (.2, .5), (.1, .5), .5, .3, .5, (.5, .3))
    >>> pooled = pooled_log_shares(data, priors, 4000, rng)
    >>> 0.18 < float(np.median(np.exp(pooled.log_share[1]))) < 0.32
    True
    """
    if data.log_length.size == 0 or not np.isfinite(data.log_length).all():
        raise OutOfRange("shoot lengths cannot be pooled", value=f"{data.log_length.size} lengths",
                         right="at least one length above 0 mm is needed")
    cells = _cells(data)
    design, blocks = _design(data, cells)
    prior_mean = np.zeros(design.shape[1])
    prior_mean[blocks[0]] = data.group_prior_log_mean
    parts = [design[:, blocks[0]] * data.group_prior_log_sd, *(design[:, block] for block in blocks[1:])]
    alike = tuple(part @ part.T for part in parts)

    def model_of(spread: _Spread) -> _Model:
        return _Model(data, cells, design, blocks, prior_mean, spread, priors, alike)

    spread, log_weight = _spreads(data, cells, priors, model_of, rng)
    model, chosen = model_of(spread), _resample(log_weight, draws, rng)
    effects = np.empty((design.shape[1], draws))
    for h in np.unique(chosen):
        effects[:, chosen == h] = model.effects(int(h), int((chosen == h).sum()), rng)
    own = (effects[blocks[3]][data.tree_species] + effects[blocks[4]][data.tree_genus]
           + effects[blocks[5]][data.tree_place] + effects[blocks[6]])
    own[data.tree_is_yardstick] = np.nan
    of_year = np.full((data.tree_group.size, data.years, draws), np.nan)
    of_year[cells.tree, cells.year] = own[cells.tree] + effects[blocks[7]]
    return Pooled(own, of_year, effects[blocks[0]], effects[blocks[1]], np.sqrt(spread.within + spread.between)[chosen],
                  spread.tree[chosen])


def _resample(log_weight: Floats, draws: int, rng: np.random.Generator) -> Integers:
    """Indices drawn in proportion to the weights, evenly spaced so that little chance enters, then shuffled."""
    weight = np.exp(log_weight - log_weight.max())
    edges = np.cumsum(weight / weight.sum())
    points = (np.arange(draws) + rng.random()) / draws
    chosen = np.minimum(np.searchsorted(edges, points), log_weight.size - 1)
    return rng.permutation(chosen).astype(np.int64)
