"""What plans of the small invented property are made of, the growth ahead run once for each set of readings."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from rootcase.casework.explain.explain import explain
from rootcase.casework.prescribe.outlooks import outlooks_of
from rootcase.casework.prescribe.prescribe import PlanInputs
from rootcase.casework.prescribe.programme import ceilings_of
from tests.casework.property import DAY, FIELD, LAWN, PRICES, WOOD, changed, comparison, read, record, weather, without

N = 100


def wishing(**answers):
    """The field's readings with other answers of the client."""
    kinds = tuple(f"wish_{name}" for name in answers)
    told = [read(f"wish_{name}", "field", choice=answer) for name, answer in answers.items()]
    return (*without(FIELD, *kinds), *told, *LAWN, *WOOD)


PLAIN = (*FIELD, *LAWN, *WOOD)
STRICT = wishing(lawn="stays", chips="no")
PART = wishing(lawn="part")
YOUNG = (*FIELD, *without(LAWN, "dbh", "crown_spread", "stock_kind"), *WOOD,
         read("stock_kind", "t-lawn", choice="balled"), read("planting_year", "t-lawn", 2014.0),
         read("dbh", "t-lawn", 60.0), read("crown_spread", "t-lawn", 2.0))
SALTY = tuple(changed(PLAIN, "ece", value=9.0))
SODIC = tuple(changed(SALTY, "sar", value=20.0))
GROUNDS = {"plain": (PLAIN, 0.95), "strict": (STRICT, 0.95), "part": (PART, 0.95), "young": (YOUNG, 0.35),
           "salty": (SALTY, 0.4), "sodic": (SODIC, 0.4)}


@cache
def _made(name):
    readings, lawn_share = GROUNDS[name]
    ground, seen = record(list(readings)), comparison({"t-field": 0.14, "t-lawn": lawn_share}, N)
    explanations = tuple(explain(ground, each.tree_id, each, weather(), draws=N, seed=1, threads=2)
                         for each in seen.trees)
    return ground, seen, explanations, ahead(ground, seen, explanations)


def ahead(ground, seen, explanations):
    return tuple(outlooks_of(ground, explained, compared, weather(), draws=N, seed=1, threads=2)
                 for explained, compared in zip(explanations, seen.trees, strict=True))


def inputs(name="plain", book=PRICES, **more):
    ground, _, explanations, outlooks = _made(name)
    return replace(PlanInputs(ground, explanations, outlooks, book, ceilings_of(ground), DAY, N, 1), **more)


def ahead_of(name):
    """The growth ahead where another record takes the place of this one."""
    _, seen, explanations, _ = _made(name)
    return lambda ground: ahead(ground, seen, explanations)
