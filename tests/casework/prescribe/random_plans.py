"""Random properties: places, trees, readings (none, doubted, extreme), wishes, prices, rules, money, and growth ahead.

Growth ahead is drawn and not run, so that any gain may meet any constraint.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from typing import TypeVar

import numpy as np

from rootcase.casework.estimate import estimate
from rootcase.casework.explain.explain import explain
from rootcase.casework.prescribe.courses import courses
from rootcase.casework.prescribe.prescribe import PlanInputs
from rootcase.casework.prescribe.programme import ceilings_of
from rootcase.casework.prescribe.remedies import remedies
from rootcase.records.explain import LIMITS, Explanation
from rootcase.records.observe import (
    Pit,
    Place,
    Price,
    PriceBook,
    Property,
    PropertyRecord,
    Reading,
    Rule,
    Sample,
    System,
    Tree,
    Visit,
)
from rootcase.records.outlook import NOTHING, CourseOutlook, Outlooks
from rootcase.tables.load import table
from rootcase.tables.readings import ReadingKind, kinds
from tests.casework.property import DAY, comparison, record, weather

DRAWS = 6
TURF = (0.0, 0.5, 1.0)
PLACE_KINDS = ("lawn", "pitch", "bed", "paving", "tree_pit", "verge", "woodland", "construction")
RINGS = ("0-1 m", "half crown", "dripline", "twice crown")
SAID = {"species": ("Quercus rubra", "Acer rubrum", "Betula pendula", "Picea abies", "no such tree"),
        "wish_products": ("no chips", "no tea, no herbicide", "Fertilizer", "nothing bottled", "nothing", "no gypsum"),
        "structural_concern": ("none_seen",) * 8 + ("seen", "not_looked")}
USUAL = {"planting_year": (1985.0, 1990.0, 2004.0, 2008.0, 2013.0, 2014.0, 2015.0),
         "leaf_n": (0.008, 0.011, 0.02, 0.03), "roots_cut_share": (0.0, 0.0, 0.05, 0.1, 0.4),
         "slope": (0.0, 0.0, 0.02, 0.05, 0.09, 0.1, 0.3), "sar": (1.0, 5.0, 12.9, 13.1, 30.0),
         "ece": (0.4, 2.0, 6.0, 12.0), "soil_ph": (5.5, 6.5, 7.1, 7.3, 8.2)}
"""Where a remedy's need or a bar lies close by."""
OF = {
    "tree": ("species", "dbh", "crown_spread", "planting_year", "planting_year_basis", "stock_kind", "tree_weight",
             "structural_concern", "roots_cut_share", "chlorosis_young", "root_flare_state", "crown_exposure",
             "crown_density", "paved_share_near", "open_soil_area", "ground_under_crown"),
    "pit": ("texture_feel", "bulk_density", "soil_ph_field", "carbonate_fizz", "mottles", "mottle_top", "probe_depth",
            "soil_moisture_feel", "drainage_hole_drop"),
    "sample": ("organic_matter", "ece", "sar", "esp", "cec", "soil_ph", "phosphorus", "leaf_n", "sand", "clay"),
    "place": ("wish_lawn", "wish_bed_line", "wish_chips", "wish_holes", "wish_products", "slope", "well_distance",
              "water_body_distance", "sensitive_use", "irrigation_kind", "irrigation_depth", "foot_traffic",
              "vehicle_traffic", "site_event")}
RULED = ("mulch", "compost", "air_tillage", "water", "leach", "gypsum", "slow_nitrogen", "extract", "growth_regulator")
T = TypeVar("T")


class Lot:
    """Draws, one after the other."""

    def __init__(self, seed: int) -> None:
        self.rng = np.random.default_rng(seed)

    def chance(self, of: float) -> bool:
        return bool(self.rng.random() < of)

    def one(self, of: Sequence[T]) -> T:
        return of[int(self.rng.integers(len(of)))]

    def some(self, of: Sequence[T], share: float) -> tuple[T, ...]:
        return tuple(each for each in of if self.chance(share))

    def number(self, low: float, high: float) -> float:
        """Also either end."""
        return self.one((low, high)) if self.chance(0.15) else float(self.rng.uniform(low, high))


def random_inputs(seed: int) -> PlanInputs:
    """All a plan is made of, for one random property; the same for the same seed."""
    lot = Lot(seed)
    ground = _record(lot)
    trees = [tree for tree in ground.trees if not tree.id.startswith("y")]
    explained = tuple(_explanation(lot, tree.id) for tree in trees)
    ahead = tuple(_outlooks(lot, each) for each in explained)
    given = PlanInputs(ground, explained, ahead, _prices(lot), ceilings_of(ground), DAY, DRAWS, 1)
    return replace(given, left_out=frozenset(lot.some(RULED, 0.2))) if lot.chance(0.1) else given


def random_insistence(inputs: PlanInputs, seed: int) -> Mapping[str, str]:
    """What a client may ask for against all advice, allowed or not."""
    lot = Lot(seed)
    codes = [*(course.code for course in courses()), "settling_water", "core_holes"]
    return {each.tree_id: lot.one(codes) for each in inputs.explanations if lot.chance(0.5)}


def _record(lot: Lot) -> PropertyRecord:
    systems: tuple[System, ...] = ("us", "metric")
    owner = Property("prop", "practice", "green", lot.one((47.4, -33.9)), 8.0, 50.0, "Europe/Zurich", "USD", "s",
                     lot.one(systems), True, lot.one(("", "", "North", "North; our own")))
    places = tuple(Place(f"l{at}", "prop", f"place {at}", lot.one(PLACE_KINDS)) for at in range(1, 3))
    many = int(lot.rng.choice([0, 1, 2, 3, 6], p=[0.05, 0.4, 0.3, 0.2, 0.05]))
    trees = tuple(Tree(f"t{at}", "prop", lot.one(places).id, f"oak {at}", *(lot.one((None, 5.0)),) * 2)
                  for at in range(1, many + 1))
    pits = tuple(Pit(f"p{tree.id}", "prop", "pit", tree.id, None) for tree in lot.some(trees, 0.7))
    samples = tuple(Sample(f"s{tree.id}", "prop", "sample", tree.id, None) for tree in lot.some(trees, 0.7))
    shared = (Sample("sl1", "prop", "sample of a place", None, "l1"),) if lot.chance(0.3) else ()
    subjects = [("tree", t.id) for t in trees] + [("pit", p.id) for p in pits] + [
        ("sample", s.id) for s in (*samples, *shared)] + [("place", p.id) for p in places]
    readings: list[Reading] = []
    read_often = lot.one((0.05, 0.4, 0.8))
    for what, which in subjects:
        for kind in OF[what]:
            for _ in range(int(lot.rng.choice([1, 1, 2])) if lot.chance(read_often) else 0):
                readings.append(_reading(lot, kinds()[kind], which, len(readings)))
    readings += _rings(lot, trees, len(readings))
    readings += _money(lot, len(readings))
    waters = (Place("w", "prop", "pond", "water", ((12.0, 0.0), (12.0, 20.0), (30.0, 20.0), (30.0, 0.0))),)
    return PropertyRecord(owner, places, trees, pits, (*samples, *shared), (Visit("v", "prop", "v", DAY, "a"),),
                          tuple(readings), (), {}, waters if lot.chance(0.2) else (), _rules(lot))


def _reading(lot: Lot, kind: ReadingKind, of: str, at: int) -> Reading:
    """One reading: usual, doubted at its limits, a bound, or one of the three kinds of nothing."""
    day = DAY - timedelta(days=lot.one((0, 0, 0, 40, 300, 1200)))
    value: float | None = None
    choice: str | None = None
    doubts: tuple[str, ...] = ()
    if kind.value_type in ("choice", "text"):
        choice = lot.one(SAID.get(kind.kind) or tuple(kind.choices))
    elif lot.chance(0.15):
        value, doubts = lot.number(kind.lower_hard or 0.0, kind.upper_hard or 0.0), ("unusual",)
    else:
        value = lot.number(kind.lower_doubt or 0.0, kind.upper_doubt or 0.0)
    if kind.kind in USUAL and not doubts:
        value = lot.one(USUAL[kind.kind])
    nothing = lot.one(("not looked", "not read")) if lot.chance(0.08) else None
    said = {name: lot.one(of_it) if of_it else "a" for name, of_it in kind.required.items()}
    return Reading(f"r{at:04}", kind.kind, of, "v", day, "a", None if nothing else value, None if nothing else choice,
                   lot.one(("<", ">")) if value and lot.chance(0.05) else "=", nothing, "", attributes=said,
                   doubts=doubts)


def _rings(lot: Lot, trees: Sequence[Tree], so_far: int) -> list[Reading]:
    """Counts of what lies under a crown; often all turf."""
    found: list[Reading] = []
    for tree in lot.some(trees, 0.6):
        covers = lot.one((("turf",), ("turf", "bare"), ("turf", "paving", "bare"), ("mulch",), ("litter", "turf")))
        for ring in RINGS:
            shares = lot.rng.dirichlet(np.ones(len(covers)))
            found += [Reading(f"r{so_far + len(found) + at:04}", "cover_share_by_ring", tree.id, "v", DAY, "a",
                              float(share), None, "=", None, "", series=ring, attributes={"cover": cover})
                      for at, (cover, share) in enumerate(zip(covers, shares, strict=True))]
    return found


def _money(lot: Lot, so_far: int) -> list[Reading]:
    """Ceilings: none, nothing, too little for anything, and enough."""
    told = {"budget_year": lot.one((None, None, None, 0.0, 20.0, 300.0, 1500.0, 4000.0, 1e5)),
            "crew_hours_year": lot.one((None, None, None, None, 0.0, 3.0, 12.0, 40.0)),
            "machine_hours_year": lot.one((None, None, None, None, 0.0, 2.0, 10.0))}
    return [Reading(f"r{so_far + at:04}", kind, "l1", "v", DAY, "a", value, None, "=", None, "")
            for at, (kind, value) in enumerate(told.items()) if value is not None]


def _rules(lot: Lot) -> tuple[Rule, ...]:
    values = {"nitrogen_year": 0.004, "nitrogen_once": 0.02, "slow_share": 0.5, "buffer_water": 8.0,
              "buffer_well": 30.0, "notice": 2.0, "records": 3.0, "record_within": 3.0}
    return tuple(Rule(topic := str(row["topic"]), lot.one(("North", "South", "Our own")), values.get(topic),
                      str(row["unit"]), *(lot.one((("12-01", "03-31"), ("09-01", "11-30"), ("01-01", "12-31")))
                                          if row["dated"] else ("", "")),
                      lot.some(RULED, 0.5), "a code", date(2015, 1, 1), "")
                 for row in lot.some(table("prescribe/rule_topics").rows, lot.one((0.0, 0.2, 0.6))))


def _prices(lot: Lot) -> PriceBook:
    """Some lines missing, some by another measure."""
    amounts = {"per_m2": 3.0, "per_m3": 40.0, "per_tree": 120.0, "per_visit": 60.0, "per_hour": 55.0}
    dear = lot.one((0.0, 0.3, 1.0, 6.0))
    units = tuple(amounts) if lot.chance(0.5) else ("per_m2",)
    lines = tuple(Price(r.code, unit := lot.one(units), dear * lot.number(0.2, 2.0) * amounts[unit], "USD", "made up")
                  for r in lot.some(remedies(), lot.one((0.5, 1.0))) if r.code != NOTHING)
    visit = (Price("visit", "per_visit", lot.number(0.0, 150.0), "USD", "made up"),) if lot.chance(0.7) else ()
    return PriceBook("USD", lines + visit, lot.one((0.0, 0.0, 150.0, 800.0)))


@cache
def _pattern() -> Explanation:
    seen = comparison({"t-field": 0.14}, DRAWS)
    return explain(record(), "t-field", seen.trees[0], weather(), draws=DRAWS, seed=1, threads=1)


def _explanation(lot: Lot, tree_id: str) -> Explanation:
    """What takes growth, how much was seen, and whether the soil explains it: any of them."""
    def points(scale: float) -> float:
        return float(max(lot.rng.normal(0.0, scale), -5.0))

    share = estimate(np.clip(lot.number(0.05, 0.9) * np.exp(0.1 * lot.rng.standard_normal(DRAWS)), 0.0, None))
    limits = tuple(replace(each, points=estimate(points(40.0 if each.limit == "establishment" and lot.chance(0.4) else
                                                        15.0) * np.ones(DRAWS))) for each in _pattern().limits)
    after = _pattern().conditioned
    if after is not None:
        after = replace(after, limits=limits, chance_other_cause=lot.number(0.0, 1.0),
                        other_cause_points=estimate(np.full(DRAWS, points(25.0))))
    return replace(_pattern(), tree_id=tree_id, limits=limits, predicted_share=share,
                   observed_share=None if lot.chance(0.1) else share, conditioned=None if lot.chance(0.2) else after)


def _outlooks(lot: Lot, explained: Explanation) -> Outlooks:
    """Growth ahead: a course may harm, do nothing, little or much, and more where more of the turf is worked."""
    takes = {each.limit: each.points.mean for each in (explained.conditioned or explained).limits}
    most = max(LIMITS, key=lambda limit: takes[limit])
    settling = int(lot.rng.integers(1, 6)) if most == "establishment" and takes[most] >= 10.0 else None
    alone = lot.number(0.1, 1.0) + lot.number(0.0, 0.08) * np.arange(5)[:, None] + 0.02 * lot.rng.standard_normal(
        (5, DRAWS))
    runs = []
    for course in courses(settling):
        sizes = (-0.02, 0.06, lot.number(0.0, 0.6), lot.number(0.1, 0.4))
        gain = 0.0 if course.code == NOTHING else lot.one(sizes)
        if not course.several or lot.chance(0.7):
            runs += [CourseOutlook(course.code, turf, alone + gain * (0.3 + 0.7 * turf)) for turf in TURF]
    return Outlooks(explained.tree_id, np.arange(DRAWS), settling, float(np.exp(lot.number(2.0, 7.0))), tuple(runs))
