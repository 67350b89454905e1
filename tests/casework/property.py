"""A small invented property for the tests of explain and prescribe, built straight from records."""

from __future__ import annotations

import csv
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

import numpy as np

from rootcase.records.compare import Comparison, ShootYear, TreeComparison
from rootcase.records.observe import (
    Pit,
    Place,
    Price,
    PriceBook,
    Property,
    PropertyRecord,
    Reading,
    Sample,
    Tree,
    Visit,
    Weather,
    Yardstick,
)

DAY = date(2015, 10, 20)
OWNER = Property("prop", "practice", "test ground", 47.4, -122.3, 50.0, "America/Los_Angeles", "USD", "Seattle", "us",
                 True)
PLACES = (Place("field", "prop", "field", "pitch"), Place("lawn", "prop", "lawn", "lawn"),
          Place("wood", "prop", "wood", "woodland"))
TREES = (Tree("t-field", "prop", "field", "oak 1", 0.0, 0.0), Tree("t-lawn", "prop", "lawn", "oak 2", 30.0, 0.0),
         Tree("y-1", "prop", "wood", "oak 8", 90.0, 0.0), Tree("y-2", "prop", "wood", "oak 9", 99.0, 0.0))
PITS = tuple(Pit(f"p-{tree.id}", "prop", f"pit {tree.label}", tree.id, tree.place_id) for tree in TREES)
SAMPLES = tuple(Sample(f"s-{tree.id}", "prop", f"sample {tree.label}", tree.id, tree.place_id) for tree in TREES)
A_METRE = {"mulch": 12.0, "compost": 4.0, "air_tillage": 35.0, "turf_off": 10.0, "water": 15.0, "leach": 5.0,
           "gypsum": 4.0, "slow_nitrogen": 4.0, "extract": 10.0}
PRICES = PriceBook("USD", (*(Price(item, "per_m2", amount, "USD", "made up") for item, amount in A_METRE.items()),
                           Price("visit", "per_visit", 80.0, "USD", "made up")), 150.0)


def read(kind, of, value=None, choice=None, series="", **more):
    """One reading; its id tells what it is of, so that it stays the same when others come and go."""
    name = "/".join((kind, of, series, str(more.get("depth_from_m", "")), str(more.get("attributes", ""))))
    return Reading(name, kind, of, "visit", DAY, "a", value, choice, more.pop("sign", "="), more.pop("nothing", None),
                   str(choice if value is None else value), series=series, **more)


def pushes(pit, *depths_mm, stop="hard"):
    return [reading for at, depth in enumerate(depths_mm) for reading in (
        read("probe_depth", pit, depth, series=str(at)), read("probe_stop", pit, choice=stop, series=str(at)))]


def ring(tree, name, **shares):
    return [read("cover_share_by_ring", tree, share, series=name, attributes={"cover": cover})
            for cover, share in shares.items()]


def tree_readings(tree, *, dbh=400.0, spread=10.0, species="Quercus rubra"):
    return [read("species", tree, choice=species), read("dbh", tree, dbh), read("crown_spread", tree, spread),
            read("stock_kind", tree, choice="self_sown")]


def soil_readings(tree, *, organic, density, ece=0.4, ph=6.2, sar=1.0, texture="clay"):
    pit, sample = f"p-{tree}", f"s-{tree}"
    return [read("texture_feel", pit, choice=texture), read("bulk_density", pit, density),
            read("organic_matter", sample, organic, attributes={"method": "loss_on_ignition"}),
            read("ece", sample, ece, attributes={"extract": "paste"}), read("sar", sample, sar),
            read("soil_ph", sample, ph, attributes={"method": "water_1_1"}), read("mottles", pit, choice="none")]


FIELD = (tree_readings("t-field") + soil_readings("t-field", organic=0.02, density=1.45)
         + pushes("p-t-field", 70, 76, 85) + [r for name in ("0-1 m", "half crown", "dripline", "twice crown")
                                              for r in ring("t-field", name, turf=0.7, bare=0.3)]
         + [read("irrigation_kind", "field", choice="none"), read("wish_lawn", "field", choice="free"),
            read("wish_chips", "field", choice="yes")])
LAWN = (tree_readings("t-lawn") + soil_readings("t-lawn", organic=0.045, density=1.33, texture="loam")
        + pushes("p-t-lawn", 800, 790, 820) + [r for name in ("0-1 m", "half crown", "dripline", "twice crown")
                                               for r in ring("t-lawn", name, turf=0.5, mulch=0.5)]
        + [read("irrigation_kind", "lawn", choice="none")])
WOOD = tree_readings("y-1") + tree_readings("y-2")


def record(readings=None, trees=TREES):
    kept = tuple(sorted(FIELD + LAWN + WOOD if readings is None else readings, key=lambda r: r.id))
    ids = {tree.id for tree in trees}
    return PropertyRecord(
        OWNER, PLACES, tuple(trees), tuple(p for p in PITS if p.tree_id in ids),
        tuple(s for s in SAMPLES if s.tree_id in ids), (Visit("visit", "prop", "v", DAY, "a"),), kept,
        (Yardstick("yard", "prop", "oaks in the wood", ("y-1", "y-2"), "healthy"),),
        {tree: "yard" for tree in ("t-field", "t-lawn") if tree in ids})


def compared(tree_id, share, draws=400, log_sd=0.18):
    """A comparison as if so much had been seen; share None: nothing was."""
    from rootcase.casework.estimate import estimate

    log_share = None if share is None else np.log(share) + log_sd * np.random.default_rng(7).standard_normal(draws)
    years = () if share is None else tuple(ShootYear(year, (80.0,), 0, None, None, None, ()) for year in (2015, 2014))
    return TreeComparison(tree_id, "yard", "yardstick", None if log_share is None else estimate(np.exp(log_share)),
                          log_share, None if share is None else log_sd, 10, 2, 20, None, years, (), (), ())


def comparison(shares, draws=400):
    return Comparison("prop", tuple(compared(tree, share, draws) for tree, share in shares.items()), draws, 1, DAY)


@cache
def weather():
    path = Path(__file__).parents[1] / "data" / "weather_seattle.csv"
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    columns = {name: tuple(float(row[name]) for row in rows) for name in ("tmin", "tmax", "rain", "et0")}
    return Weather("Seattle", tuple(date.fromisoformat(row["date"]) for row in rows), columns["tmin"], columns["tmax"],
                   columns["rain"], columns["et0"], (np.nan,) * len(rows), "NOAA")


def without(readings, *kinds):
    return [r for r in readings if r.kind not in kinds]


def changed(readings, kind, **fields):
    return [replace(r, **fields) if r.kind == kind else r for r in readings]
