"""Trials of all shapes, drawn by seed: trees and shoots lost, years missing, spreads of nothing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rootcase.science.trials.cells import Cells, Floats, Integers, cells_of

TREATED_AFTER = np.array([0.0, 0.0, 0.0, 1.0])


@dataclass(frozen=True, slots=True)
class Layout:
    site: Integers
    tree: Integers
    year: Integers
    after: Integers
    treated: Integers
    y: Floats

    @property
    def cells(self) -> Cells:
        return cells_of(self.site, self.tree, self.year, self.y, before_after(self.treated, self.after))


def before_after(treated: Integers, after: Integers) -> Floats:
    return np.column_stack([np.ones(treated.size), treated, after, treated * after]).astype(float)


def simulated(sites: int, trees: int, years: tuple[int, int], shoots: int, spreads: tuple[float, ...], effect: float,
              chance: np.random.Generator) -> Layout:
    """As many trees a site, every other one treated. spreads: of site, site-year, tree, tree-year and shoot."""
    of_site, of_site_year, of_tree, of_tree_year, of_shoot = spreads
    both, many = sum(years), sites * trees
    tree = np.repeat(np.arange(many), both * shoots)
    year = np.tile(np.repeat(np.arange(both), shoots), many)
    site, after, treated = tree // trees, (year >= years[0]).astype(int), tree % 2
    y = (15.0 - 0.5 * treated + after + effect * treated * after + chance.normal(0, of_site, sites)[site]
         + chance.normal(0, of_site_year, (sites, both))[site, year] + chance.normal(0, of_tree, many)[tree]
         + chance.normal(0, of_tree_year, (many, both))[tree, year] + chance.normal(0, of_shoot, tree.size))
    return Layout(site, tree, year, after, treated, y.round(3))


def unbalanced(seed: int) -> Layout:
    """Of a seed; some of its spreads are nothing, and much of it may be lost."""
    chance = np.random.default_rng(seed)
    while True:
        years = (int(chance.integers(1, 4)), int(chance.integers(1, 4)))
        spreads = tuple(float(size) * float(chance.random() < 0.8) for size in chance.uniform(0.3, 3.0, 4))
        whole = simulated(int(chance.integers(2, 8)), int(chance.integers(2, 9)), years, int(chance.integers(2, 7)),
                          (*spreads, float(chance.uniform(1, 4))), float(chance.normal(0, 2)), chance)
        keep = chance.random(whole.y.size) > chance.choice((0.0, 0.1, 0.4))
        dead = chance.random(whole.tree.max() + 1) < chance.choice((0.0, 0.2))
        keep &= ~(dead[whole.tree] & (whole.after == 1))
        keep &= chance.random((whole.tree.max() + 1, sum(years)))[whole.tree, whole.year] > chance.choice((0.0, 0.15))
        kept = Layout(*(getattr(whole, name)[keep] for name in Layout.__slots__))
        arms = {(int(a), int(t)) for a, t in zip(kept.after, kept.treated, strict=True)}
        if len(arms) == 4 and kept.y.size > 12:
            return kept
