"""Invented casework for the tests of pictures and pages: one plain property, one that strains every layout.

No number, place or price here is real. Means close: 100 minus limits minus remainder is the observed share.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from rootcase.records.compare import Comparison, MeasureLine, ShootYear, TreeComparison
from rootcase.records.estimate import Estimate
from rootcase.records.explain import (
    LIMITS,
    WATER_PARTS,
    Conditioned,
    Explanation,
    LimitShare,
    SoilColumn,
    SoilLayer,
    WaterShare,
)
from rootcase.records.observe import (
    Pit,
    Place,
    Property,
    PropertyRecord,
    Reading,
    Sample,
    Tree,
    Visit,
    Yardstick,
)
from rootcase.records.prescribe import (
    Dose,
    Plan,
    PlanItem,
    RemedyOutcome,
    TreePrescription,
)
from rootcase.records.report import Author, Casework
from tests.report.cases import CASES, EXTREME, OUTLINES, PLACES, WISHES, Case

DRAWS = 400
TODAY = date(2015, 11, 4)
READ_ON = date(2015, 10, 2)
YEARS = (2015, 2014, 2013, 2012)
YARDSTICK_MM = {2015: 372.0, 2014: 395.0, 2013: 301.0, 2012: 388.0}
Array = npt.NDArray[np.float64]


def estimate(values: Array) -> Estimate:
    low, inner_low, median, inner_high, high = (float(v) for v in np.quantile(values, (0.05, 0.25, 0.5, 0.75, 0.95)))
    return Estimate(float(values.mean()), median, low, high, inner_low, inner_high)


def spread(mean: float, low: float, high: float) -> Estimate:
    """An interval put down by hand: the middle half lies halfway to its ends."""
    return Estimate(mean, mean, low, high, (mean + low) / 2, (mean + high) / 2)


def identity(kind: str, number: int) -> str:
    """An invented id that looks like the real ones and sorts by number."""
    kinds = ("property", "place", "tree", "pit", "visit", "reading", "sample", "yardstick")
    return f"0150{kinds.index(kind):04x}-{number:04x}-7000-8000-{number * 2654435761 % 2**48:012x}"


def property_record(cases: tuple[Case, ...], name: str = "Mill Hall", system: str = "us") -> PropertyRecord:
    """The readings of the cases, and of four yardstick oaks in the wood."""
    ground = Property(identity("property", 1), "practice", name, 47.6, -122.3, 60.0, "America/Los_Angeles", "USD",
                      "Invented station", system, True)  # type: ignore[arg-type]
    places = tuple(Place(identity("place", i), ground.id, label, kind, outline)
                   for i, (label, kind, outline) in enumerate(PLACES))
    outlines = tuple(Place(identity("place", 100 + i), ground.id, label, kind, outline)
                     for i, (label, kind, outline) in enumerate(OUTLINES))
    place_ids = {place.name: place.id for place in places}
    visit = Visit(identity("visit", 1), ground.id, "visit 1", READ_ON, "AB")
    wood = tuple(Tree(identity("tree", 100 + i), ground.id, place_ids["North wood"], f"oak {21 + i}", 45.0 + 4.5 * i,
                      38.0 + 2.0 * (i % 2)) for i in range(4))
    trees = tuple(Tree(identity("tree", i), ground.id, place_ids[case.place], case.label, case.east_m, case.north_m)
                  for i, case in enumerate(cases))
    pits = tuple(Pit(identity("pit", i), ground.id, f"pit {i + 1}", tree.id, tree.place_id)
                 for i, (tree, case) in enumerate(zip(trees, cases, strict=True)) if case.refusal_m is not None)
    pits += (Pit(identity("pit", 100), ground.id, "pit 21", wood[0].id, wood[0].place_id),)
    readings: list[Reading] = []

    def read(of: str, kind: str, value: float | None = None, choice: str | None = None, typed: str = "",
             **more: object) -> None:
        number = len(readings)
        readings.append(Reading(
            identity("reading", number), kind, of, visit.id, READ_ON, "AB", value, choice, "=", None,
            typed or choice or f"{value:g}", source=f"sheet trees, row {number + 3}", **more))  # type: ignore[arg-type]

    for place in places:
        read(place.id, "place_kind", choice=place.kind)
    for place_name, kind, choice in WISHES:
        read(place_ids[place_name], kind, choice=choice)
    read(places[0].id, "budget_year", 4000.0)
    for i, (tree, case) in enumerate(zip(trees, cases, strict=True)):
        _read_tree(read, tree, case, seed=i)
    for i, tree in enumerate(wood):
        _read_tree(read, tree, replace(CASES[6], share=1.0, height_m=16.2 + 0.3 * i, dieback=0.03), seed=50 + i)
    for pit in pits:
        case = next((c for t, c in zip(trees, cases, strict=True) if t.id == pit.tree_id), None)
        refusal_m = case.refusal_m if case else 0.92
        read(pit.id, "probe_depth", refusal_m * 1000, typed=f"{refusal_m / 0.0254:.0f} in")
        read(pit.id, "probe_stop", choice="hard")
        read(pit.id, "texture_feel", choice="clay_loam" if case else "loam", depth_from_m=0.0, depth_to_m=0.15)
        read(pit.id, "litter_depth", 0.0 if case else 45.0, typed="0 in" if case else "1 3/4 in")
    sample = Sample(identity("sample", 1), ground.id, "soil A", None, places[0].id)
    read(sample.id, "organic_matter", 0.028, typed="2.8 %", attributes={"method": "loss_on_ignition"})
    group = Yardstick(identity("yardstick", 1), ground.id, "wood oaks", tuple(t.id for t in wood),
                      "healthy, same kind, wood soil")
    return PropertyRecord(ground, places, trees + wood, pits, (sample,), (visit,), tuple(readings), (group,),
                          {tree.id: group.id for tree in trees}, outlines)


def _read_tree(read, tree: Tree, case: Case, seed: int) -> None:  # type: ignore[no-untyped-def]
    read(tree.id, "species", choice=case.species)
    for kind, value, typed in (
        ("tree_height", case.height_m, "{:.0f} ft"), ("crown_spread", case.spread_m, "{:.0f} ft"),
        ("crown_dieback", case.dieback, ""), ("crown_density", case.density, ""),
        ("live_crown_ratio", case.live_crown_ratio, ""), ("dbh", case.dbh_mm, ""),
    ):
        if value is not None:
            read(tree.id, kind, value, typed=typed.format(value / 0.3048) if typed else f"{value:g}")
    read(tree.id, "root_flare_state", choice=case.flare)
    for cover, share in case.cover:
        read(tree.id, "cover_share_by_ring", share, series="dripline", attributes={"cover": cover})
    if case.share is not None:
        for year in YEARS:
            for shoot, length_mm in enumerate(shoots_mm(case.share, year, seed)):
                read(tree.id, "shoot_length_by_year", float(length_mm), typed=f"{length_mm / 25.4:.1f} in",
                     growth_year=year, series=str(shoot + 1), attributes={"position": "upper"})


def shoots_mm(share: float, year: int, seed: int, count: int = 10) -> Array:
    generator = np.random.default_rng((seed, year))
    return np.maximum(1.0, np.round(YARDSTICK_MM[year] * share * np.exp(generator.normal(-0.05, 0.35, count))))


def comparison_of(record: PropertyRecord, cases: tuple[Case, ...]) -> Comparison:
    trees = tuple(tree_comparison(record, record.trees[i], case, seed=i) for i, case in enumerate(cases))
    return Comparison(record.property.id, trees, DRAWS, 1, TODAY)


def tree_comparison(record: PropertyRecord, tree: Tree, case: Case, seed: int) -> TreeComparison:
    group = record.yardsticks[0]
    generator = np.random.default_rng((7, seed))
    measures = (
        MeasureLine("tree_height", case.height_m, 16.65, spread(case.height_m / 16.65, case.height_m / 18.4,
                    case.height_m / 15.1) if case.height_m else None, None, "", ()),
        MeasureLine("crown_dieback", case.dieback, 0.03, None,
                    spread(case.dieback - 0.03, case.dieback - 0.12, case.dieback + 0.06)
                    if case.dieback is not None else None, "", ()),
        MeasureLine("crown_density", case.density, 0.8, spread(case.density / 0.8, case.density - 0.12,
                    case.density / 0.8 + 0.15) if case.density else None, None, "", ()),
        MeasureLine("crown_spread", case.spread_m, 12.2, None, None, "", ()),
        MeasureLine("leaf_length", None, 142.0, None, None, "not_read_here", ()),
    )
    if case.share is None:
        return TreeComparison(tree.id, group.id, "yardstick", None, None, None, 0, 4, 160, spread(364.0, 331.0, 401.0),
                              (), measures, ("no_shoots",), ())
    log_share = np.log(case.share) + generator.normal(0.0, 0.14, DRAWS)
    years = tuple(shoot_year(case, year, seed) for year in YEARS)
    ids = tuple(r.id for r in record.of(tree.id, kind="shoot_length_by_year"))
    return TreeComparison(tree.id, group.id, "yardstick", estimate(np.exp(log_share)), log_share, 0.14, 40, 4, 160,
                          spread(364.0, 331.0, 401.0), years, measures, ("short_year=2013",), ids)


def shoot_year(case: Case, year: int, seed: int) -> ShootYear:
    lengths = shoots_mm(case.share or 0.0, year, seed)
    typical = float(np.exp(np.log(lengths).mean()))
    there = YARDSTICK_MM[year]
    pruned = 2 if year == 2015 else 0
    kept = lengths[: len(lengths) - pruned]
    return ShootYear(year, tuple(float(v) for v in kept), pruned, spread(typical, typical * 0.8, typical * 1.25),
                     spread(there, there * 0.91, there * 1.1),
                     Estimate(there, there, there * 0.56, there * 1.5, there * 0.84, there * 1.19),
                     tuple(there * k for k in (0.90, 0.96, 1.04, 1.10)))


def explanation_of(record: PropertyRecord, comparison: TreeComparison, case: Case, seed: int) -> Explanation:
    generator = np.random.default_rng((11, seed))
    losses = np.array([case.losses.get(limit, 0.0) * generator.lognormal(-0.08, 0.4, DRAWS) for limit in LIMITS])
    losses *= np.minimum(1.0, 0.97 / np.maximum(losses.sum(axis=0), 0.01))
    share = 1.0 - losses.sum(axis=0)
    limits = tuple(LimitShare(limit, estimate(100 * losses[row]), limit not in case.losses,
                              tuple(r.id for r in record.readings if r.of == comparison.tree_id)[:2],
                              () if case.refusal_m else ("probe_depth",)) for row, limit in enumerate(LIMITS))
    observed = unexplained = conditioned = None
    if comparison.share is not None and comparison.log_share_draws is not None:
        observed = comparison.share
        unexplained = estimate(100 * (share - np.exp(comparison.log_share_draws)))
        shift = 0.5 * (share - np.exp(comparison.log_share_draws)).mean()
        posterior = tuple(replace(x, points=estimate(100 * losses[row])) for row, x in enumerate(limits))
        other_cause = 100 * shift + generator.normal(0, 6, DRAWS)
        chance_other = float(np.clip(0.2 + 2 * shift, 0.02, 0.95))
        leads = np.bincount(losses.argmax(axis=0), minlength=len(LIMITS)) / DRAWS
        largest = tuple(leads * (1.0 - (chance_other if shift > 0.15 else 0.02)))
        conditioned = Conditioned(observed, posterior, estimate(other_cause), chance_other, largest, 120.0, 1.0,
                                  bool(abs(shift) > 0.15))
    return Explanation(
        comparison.tree_id, estimate(share), observed, limits, water_parts(case, losses[LIMITS.index("water")]),
        unexplained, conditioned, soil_column(case), yardstick_column(), ("fine_root_length", "infiltration_water"),
        YEARS, date(2015, 10, 31), comparison.reading_ids, (("observe/readings", "a1"),), DRAWS, 1, "test", 36_000,
        share, losses, np.full(DRAWS, 1.0 / DRAWS))


def water_parts(case: Case, water: Array) -> tuple[WaterShare, ...]:
    """Turf takes its part and the rest closes the step, also where watering makes the step a gain."""
    turf = np.abs(water) * case.turf_part
    sealing = 0.1 * np.abs(water) if any(name == "paved" for name, _ in case.cover) else np.zeros_like(water)
    parts = dict(zip(WATER_PARTS, (turf, sealing, water - turf - sealing), strict=True))
    return tuple(WaterShare(part, estimate(100 * values)) for part, values in parts.items())


def soil_column(case: Case) -> SoilColumn:
    textures = ("loam", "clay_loam", "clay_loam", "clay")
    known = case.refusal_m if case.refusal_m is not None else 0.0
    return column(textures, (2.8, 1.7, 1.0, 0.7), case.surface_mpa, 2.0, case.rootable_m, known,
                  (7.0, 16.0, 24.0, 30.0), case.cover, case.refusal_m is not None)


def yardstick_column() -> SoilColumn:
    return column(("loam", "silt_loam", "silt_loam", "sandy_loam"), (6.5, 3.9, 2.3, 1.6), 0.3, 2.0, 0.78, 0.92,
                  (18.0, 35.0, 48.0, 52.0), (("litter", 1.0),), True)


def column(textures: tuple[str, ...], organic_pct: tuple[float, ...], surface_mpa: float, half_mpa: float,
           rootable_m: float, known_m: float, water_mm: tuple[float, ...], cover: tuple[tuple[str, float], ...],
           probed: bool) -> SoilColumn:
    """Resistance climbs evenly from the surface and passes half_mpa at the rootable depth."""
    edges = (0.0, 0.1, 0.3, 0.6, 1.0)
    slope = (half_mpa - surface_mpa) / rootable_m

    def resistance(depth_m: float) -> float:
        return min(surface_mpa + slope * depth_m, 5.0)

    reach = [min(1.0, max(0.0, (rootable_m - top) / (bottom - top))) for top, bottom in pairwise(edges)]
    weight = np.array([r * w for r, w in zip(reach, (1.0, 0.9, 0.6, 0.3), strict=True)])
    weight = weight / weight.sum()
    layers = tuple(
        SoilLayer(top, bottom, textures[i], organic_pct[i],
                  spread(resistance((top + bottom) / 2), resistance((top + bottom) / 2) * 0.7,
                         resistance((top + bottom) / 2) * 1.4),
                  water_mm[i], water_mm[i] * reach[i], float(weight[i]), 0.12)
        for i, (top, bottom) in enumerate(pairwise(edges)))
    depths = tuple(float(z) for z in np.arange(0.0, 1.0001, 0.05))
    total = sum(layer.water_in_reach_mm for layer in layers)
    return SoilColumn(layers, cover, spread(rootable_m, rootable_m * 0.7, rootable_m * 1.4),
                      spread(total, total * 0.6, total * 1.5), depths,
                      tuple(spread(resistance(z), resistance(z) * 0.7, resistance(z) * 1.4) for z in depths), known_m,
                      ("probe_depth",) if probed else ())


def prescription_of(tree: Tree, case: Case, explanation: Explanation) -> TreePrescription:
    radius = (case.spread_m or 6.0) / 2
    area = float(np.round(np.pi * radius**2, 1))
    share = 100 * (case.share if case.share is not None else explanation.predicted_share.mean)

    def outcome(code: str, gain: float | None, cost: float | None) -> RemedyOutcome:
        dose = {"mulch": Dose(area, depth_m=0.08, volume_m3=0.08 * area, season="any"),
                "air_tillage": Dose(area, depth_m=0.2, season="autumn"),
                "compost": Dose(area, depth_m=0.01, volume_m3=0.01 * area, mass_kg=5 * area, season="autumn"),
                "water": Dose(area, water_mm=10.7, every_days=3, litres=10.7 * area, season="may_september"),
                "slow_nitrogen": Dose(area, mass_kg=0.01 * area, season="spring")}.get(code, Dose(area))
        known = None if gain is None else spread(gain, gain * 0.2 - 1, gain * 2.1 + 2)
        verdict = "chosen" if code == case.chosen else "gain not known" if gain is None else (
            "gain too small" if gain < 10 else "possible")
        yearly = () if gain is None else tuple(gain * k for k in (0.5, 0.9, 1.1, 1.2, 1.3))
        return RemedyOutcome(code, dose, cost, known, yearly, "trials agree" if code == "mulch" else "mixed", verdict,
                             "", ("locate_lines",) if code == "air_tillage" else ())

    nothing = RemedyOutcome("nothing", None, 0.0, spread(0.0, 0.0, 0.0), (0.0,) * 5, "practice only",
                            "possible" if case.chosen else "chosen", "", ())
    known = sorted((outcome(c, g, k) for c, (g, k) in case.remedies.items() if g is not None),
                   key=lambda o: -o.gain_points.mean if o.gain_points else 0.0)
    unknown = [outcome(c, g, k) for c, (g, k) in case.remedies.items() if g is None]
    gain = next((o.gain_points.mean for o in known if o.remedy == case.chosen and o.gain_points), 0.0)
    alone = tuple(spread(share / 100, share / 143, share / 71) for _ in range(5))
    better = tuple(spread((share + gain * k) / 100, share / 143, (share + 2 * gain * k) / 71)
                   for k in (0.5, 0.9, 1.1, 1.2, 1.3))
    would = ("soil_volume",) if case.label.startswith("maple 4") else ("open_flare",) if case.label == "maple 5" else ()
    reason = "like_its_kind" if case.verdict == "leave it alone" else ""
    return TreePrescription(tree.id, case.verdict, reason, case.chosen,
                            (nothing, *known, *unknown), would if case.verdict.startswith("nothing") else (), alone,
                            better if case.chosen else alone, area, 1.0, date(2017, 10, 1))


def casework_of(cases: tuple[Case, ...], name: str = "Mill Hall", system: str = "us") -> Casework:
    record = property_record(cases, name, system)
    comparison = comparison_of(record, cases)
    explanations = tuple(explanation_of(record, line, case, i)
                         for i, (line, case) in enumerate(zip(comparison.trees, cases, strict=True)))
    trees = tuple(prescription_of(record.trees[i], case, explanations[i]) for i, case in enumerate(cases))
    items = tuple(
        PlanItem(t.tree_id, t.chosen, o.dose, o.cost or 0.0, o.gain_points)
        for t in trees if t.chosen for o in t.remedies if o.remedy == t.chosen and o.dose and o.gain_points)
    cost = sum(item.cost for item in items)
    won = sum(item.gain_points.mean * item.dose.area_m2 for item in items)
    place_ids = {place.name: place.id for place in record.places}
    wishes = tuple((place_ids[place], kind, choice) for place, kind, choice in WISHES)
    plan = Plan(record.property.id, items, 180.0, cost + 180.0, 4000.0, "USD", won, won, wishes, ("wish_bed_line",),
                True, trees, TODAY, DRAWS, 1, cost / 2 + 180.0)
    return Casework(record, comparison, explanations, plan, 0.9, DRAWS, 1, "test", TODAY, Author())


def casework_fixture() -> Casework:
    """Eight trees with varied verdicts on an invented property that thinks in feet."""
    return casework_of(CASES)


def casework_extreme() -> Casework:
    """Names, numbers and gaps that strain every layout."""
    name = "The Honourable Company’s 東 Recreation Ground & Sports Pavilion, North-Eastern Part"
    return casework_of(EXTREME, name, "metric")
