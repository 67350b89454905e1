"""A simulated practice: properties whose truth is known, and what a person would have read of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from enum import Enum
from functools import cache
from math import inf
from typing import Any

import numpy as np

from rootcase.casework.explain.errors import assumed, figure, floor_sd, read_sd
from rootcase.casework.explain.plant import SPRING_WINDOW_DAYS
from rootcase.casework.explain.texture import COMMON, LARGEST_CLAY
from rootcase.records.observe import Pit, Place, Property, PropertyRecord, Reading, Sample, Tree, Visit, Weather
from rootcase.science.soil.infiltration import ring_depth_mm
from rootcase.science.soil.saxton_rawls import soil_water
from rootcase.science.soil.texture import central_fractions
from rootcase.science.tree.parameters import Parameters, draw_parameters
from rootcase.science.tree.season import DailyWeather
from rootcase.science.tree.site import COVERS, Site, forest_floor, lock_up_risk, salt_tolerance
from rootcase.tables.load import table
from rootcase.tables.readings import kinds
from tests.archetypes import greensboro_twice, seattle
from tests.casework.property import read

OWNER = Property("prop", "practice", "test ground", 47.4, -122.3, 50.0, "America/Los_Angeles", "USD", "made up", "us",
                 True)
CONE_DEPTHS_M = (0.0, 0.075, 0.15, 0.3, 0.45, 0.6)
RINGS = ("0-1 m", "half crown", "dripline", "twice crown")
PUSHES = 5
POUR_ML, RING_MM = 444.0, 149.2
CHANCE_READ = {  # of each kind on each property, JUDGEMENT: what takes two minutes is read, a laboratory asked seldom
    "texture_feel": 0.7, "sand": 0.2, "probe_depth": 0.75, "penetration_profile": 0.15, "soil_moisture_feel": 0.5,
    "bulk_density": 0.35, "organic_matter": 0.5, "ece": 0.4, "sar": 0.25, "soil_ph": 0.6, "cover_share_by_ring": 0.6,
    "ground_under_crown": 0.8, "irrigation_kind": 0.8, "irrigation_depth": 0.4, "planting_year": 0.5, "dbh": 0.9,
    "crown_spread": 0.8, "drainage_hole_drop": 0.1, "infiltration_time": 0.1,
}
SUSPECTED = {"ece": (1.0, 1), "ph": (7.2, 1), "sar": (3.0, 1), "refusal_depth": (0.3, -1)}
"""From where on something looks wrong above ground, and on which side: salt, lime, sodium, ground too hard to dig."""
SELDOM = 0.2
"""Chance that a reading is made all the same where nothing looks wrong. JUDGEMENT."""
NOBODY_ASSUMES = {"drainage": 0.5, "mottle_depth": 0.06}
"""Spread of what the program draws no error of where it was not read, and which is only drawn here where it is."""


@dataclass(frozen=True, slots=True)
class Situation:
    """A kind of site; what stands in `usual` replaces the place's own centre and spread, and is always read."""

    name: str
    place: str
    usual: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    textures: tuple[str, ...] = COMMON
    species: tuple[str, ...] = ()


SITUATIONS = (
    *(Situation(place.replace("_", " "), place) for place in
      ("woodland", "bed", "lawn", "pitch", "verge", "tree_pit", "paving", "construction")),
    Situation("watered lawn", "lawn", {"irrigation": (20.0, 0.3)}),
    Situation("planted lately", "lawn", {"years": (1.0, 6.0)}),
    Situation("standing water", "lawn", {"mottle_depth": (0.2, 0.06), "drainage": (0.6, 0.6)},
              ("clay_loam", "silty_clay_loam", "clay")),
    Situation("salted verge", "verge", {"ece": (5.0, 0.35)}),
    Situation("sodic ground", "verge", {"sar": (18.0, 0.3)}, ("clay_loam", "silty_clay_loam", "clay")),
    Situation("limy pit", "tree_pit", {"ph": (8.0, 0.3)}, species=("Acer rubrum", "Quercus palustris")),
)


@dataclass(frozen=True, slots=True)
class Case:
    """One property: the truth, and what was read of it."""

    situation: str
    tree: Site
    yardstick: Site
    parameters: Parameters
    record: PropertyRecord
    station: str
    season: int

    @property
    def weather(self) -> Weather:
        """As the record holds it."""
        return _weather(self.station, self.season)[0]

    @property
    def days(self) -> DailyWeather:
        """As the model takes it."""
        return _weather(self.station, self.season)[1]


class Way(Enum):
    """How truth and reading hang together."""

    READING_AROUND_TRUTH = "the truth as such places have it, the reading around it, as readings are made"
    TRUTH_AROUND_READING = "the reading first, the truth around it, as the program takes it to be"
    ONLY_SUSPECTS = "as the first, but salt, lime, sodium and hardness are seldom read where nothing looks wrong"


def case_of(number: int, seed: int, way: Way = Way.READING_AROUND_TRUTH) -> Case:
    """The property of this number; the same for a seed, whatever the others are."""
    rng = np.random.default_rng([seed, number])
    situation = SITUATIONS[number % len(SITUATIONS)]
    station, season = [("greensboro", 2014), ("seattle", 2013), ("seattle", 2014), ("seattle", 2015)][rng.choice(
        4, p=[0.5, 1 / 6, 1 / 6, 1 / 6])]
    look = _Look(rng, situation, way, date(season, 10, 20))
    parameters = draw_parameters(1, rng)
    tree = _site(look, parameters)
    return Case(situation.name, tree, forest_floor(tree), parameters, look.record(), station, season)


class _Look:
    """Draws truths and, of some of them, readings."""

    def __init__(self, rng: np.random.Generator, situation: Situation, way: Way, day: date) -> None:
        self.rng, self.situation, self.way, self.day = rng, situation, way, day
        self.berkson = way is Way.TRUTH_AROUND_READING
        self.place, self.readings = situation.place, list[Reading]()

    def reads(self, kind: str, row: str = "") -> bool:
        """Whether it is this kind's turn; what marks a situation is always read."""
        return bool(self.rng.random() < CHANCE_READ[kind]) or row in self.situation.usual

    def perhaps(self, kind: str, row: str = "") -> str | None:
        return kind if self.reads(kind, row or kind) else None

    def note(self, kind: str, of: str, value: float | None = None, choice: str | None = None, **more: Any) -> None:
        self.readings.append(replace(read(kind, of, value, choice, **more), day=self.day))

    def truth(self, row: str, usual: float, kind: str | None = None, of: str = "", repeats: int = 1, unit: float = 1.0,
              z: float | None = None, within: tuple[float, float] = (0.0, inf), **more: Any) -> float:
        """A quantity; where a kind is given it is read so many times. `unit`: what is written over what is true."""
        errors = table("explain/reading_errors").row(reading=row)
        usual, spread = self.situation.usual.get(row, (usual, float(errors["not_read"]) or NOBODY_ASSUMES[row]))
        added = errors["kind"] == "added"

        def off(value: float, sd: float) -> float:
            moved = value + sd if added else value * float(np.exp(sd))
            return float(np.clip(moved, *within))

        first = off(usual, spread * (self.rng.standard_normal() if z is None else z))
        if kind is None or self._passed_over(row, first):
            return first
        one = floor_sd(row) if row in {"trunk_diameter", "mottle_depth"} else kinds()[kind].error_size or 0.0
        sd = max(one / np.sqrt(repeats), floor_sd(row))
        if self.berkson:
            seen, true = [first] * repeats, off(first, sd * self.rng.standard_normal())
        else:
            # What one look has in common with the next keeps the mean from getting better than its floor.
            shared = np.sqrt(max(sd**2 - one**2 / repeats, 0.0)) * self.rng.standard_normal()
            seen, true = [off(first, shared + one * z) for z in self.rng.standard_normal(repeats)], first
        for at, value in enumerate(seen):
            self.note(kind, of, value * unit, series=str(at), **more)
        return true

    def _passed_over(self, row: str, true: float) -> bool:
        if self.way is not Way.ONLY_SUSPECTS or row not in SUSPECTED or row in self.situation.usual:
            return False
        limit, side = SUSPECTED[row]
        return bool(side * (true - limit) < 0 and self.rng.random() > SELDOM)

    def record(self) -> PropertyRecord:
        return PropertyRecord(
            OWNER, (Place("place", "prop", "place", self.place),), (Tree("tree", "prop", "place", "oak 1", 0.0, 0.0),),
            (Pit("pit", "prop", "pit", "tree", "place"),), (Sample("sample", "prop", "sample", "tree", "place"),),
            (Visit("visit", "prop", "v", self.day, "a"),), tuple(sorted(self.readings, key=lambda r: r.id)), (), {})


def _site(look: _Look, parameters: Parameters) -> Site:
    place = look.place
    plant = _plant(look)
    sand, clay = _texture(look)
    organic = look.truth("organic_matter", assumed(place, "organic_matter_pct"), look.perhaps("organic_matter"),
                         "sample", unit=0.01, within=(0.1, 60.0), attributes={"method": "loss_on_ignition"})
    normal = float(soil_water(sand, clay, 2.5).normal_density_mg_m3)
    salt_z = float(look.rng.standard_normal())
    density = look.truth("bulk_density", normal * assumed(place, "density_ratio"), look.perhaps("bulk_density"), "pit",
                         repeats=3, within=(0.6, 2.1))
    site = Site(
        sand=sand, clay=clay, organic_matter_pct=organic, bulk_density_mg_m3=density,
        ece_ds_m=look.truth("ece", assumed(place, "ece_ds_m"), look.perhaps("ece"), "sample", z=salt_z,
                            within=(0.0, 50.0), attributes={"extract": "paste"}),
        sar=look.truth("sar", assumed(place, "sar"), look.perhaps("sar"), "sample", z=salt_z, within=(0.0, 150.0)),
        ph=look.truth("ph", assumed(place, "ph"), look.perhaps("soil_ph", "ph"), "sample", within=(3.0, 11.0),
                      attributes={"method": "water_1_1"}),
        **_covers(look), **_watering(look), **_water_ways(look, sand, clay, organic), **plant)
    return _hardness(look, parameters, site)


def _texture(look: _Look) -> tuple[float, float]:
    """A class, felt or not, or the middle of one that a laboratory took apart."""
    first = str(look.rng.choice(look.situation.textures))
    sand, clay = central_fractions(first)
    if look.reads("sand"):
        errors = [(kinds()[kind].error_size or 0.0) * look.rng.standard_normal() for kind in ("sand", "clay")]
        other_clay = float(np.clip(clay + errors[1], 0.01, LARGEST_CLAY))
        other_sand = float(np.clip(sand + errors[0], 0.0, 0.99 - other_clay))
        middle, other = (sand, clay), (other_sand, other_clay)
        seen, true = (middle, other) if look.berkson else (other, middle)
        look.note("sand", "sample", seen[0])
        look.note("clay", "sample", seen[1])
        return true
    if look.situation.textures is not COMMON or look.reads("texture_feel"):
        second = _mistaken(first, look.rng, backwards=look.berkson)
        felt, name = (first, second) if look.berkson else (second, first)
        look.note("texture_feel", "pit", choice=felt)
        return central_fractions(name)
    return sand, clay


def _mistaken(name: str, rng: np.random.Generator, *, backwards: bool) -> str:
    """What a hand feels where the class is `name`; backwards: what the class may be where a hand felt `name`."""
    otherwise = kinds()["texture_feel"].error_size or 0.0
    beside: dict[str, list[str]] = {}
    for row in table("explain/feel_neighbours").rows:
        beside.setdefault(str(row["texture"]), []).append(str(row["neighbour"]))
    chances = {other: otherwise / len(beside[other if backwards else name]) for other in beside[name]}
    chances[name] = 1.0 - otherwise
    weights = np.array(list(chances.values()))
    return str(rng.choice(list(chances), p=weights / weights.sum()))


def _covers(look: _Look) -> dict[str, float]:
    """Rings are alike; each look is 20 points a ring, or the one class that covers most."""
    usual = np.array([assumed(look.place, cover) for cover in COVERS])
    first = _dirichlet(look.rng, figure("looks_for_place") * usual / usual.sum())
    names = [cover if cover != "paved" else "paving" for cover in COVERS]
    if look.reads("cover_share_by_ring"):
        points = int(kinds()["cover_share_by_ring"].error_size or 0)
        if look.berkson:
            counted = [np.round(first * points * len(RINGS)) / points / len(RINGS)] * len(RINGS)
            true = _dirichlet(look.rng, counted[0] / counted[0].sum() * points * len(RINGS))
        else:
            counted, true = [look.rng.multinomial(points, first) / points for _ in RINGS], first
        for ring, shares in zip(RINGS, counted, strict=True):
            for name, share in zip(names, shares, strict=True):
                look.note("cover_share_by_ring", "tree", float(share), series=ring, attributes={"cover": name})
    elif look.reads("ground_under_crown"):
        most = int(np.argmax(first))
        name = names[most] if first[most] > 0.5 else "mixed"
        look.note("ground_under_crown", "tree", choice=name)
        said = np.eye(len(COVERS))[most] if first[most] > 0.5 else np.full(len(COVERS), 0.25) * (np.arange(5) < 4)
        looks = figure("looks_for_one_class")
        true = _dirichlet(look.rng, looks * (looks * said + usual) / (looks + 1.0)) if look.berkson else first
    else:
        true = first
    return dict(zip(COVERS, true.tolist(), strict=True))


def _dirichlet(rng: np.random.Generator, weights: np.ndarray) -> np.ndarray:
    drawn = np.zeros(len(weights))
    alive = weights > 0
    drawn[alive] = rng.dirichlet(weights[alive]) if alive.sum() > 1 else 1.0
    return drawn


def _watering(look: _Look) -> dict[str, Any]:
    always = "irrigation" in look.situation.usual
    watered = always or look.rng.random() < assumed(look.place, "irrigation_chance")
    told = always or look.reads("irrigation_kind")
    if told:
        look.note("irrigation_kind", "place", choice="spray" if watered else "none")
    if not watered:
        return {}
    usual = assumed(look.place, "irrigation_mm_week") or assumed("lawn", "irrigation_mm_week")
    depth = look.perhaps("irrigation_depth", "irrigation") if told else None
    week = look.truth("irrigation", usual, depth, "place", within=(0.0, 400.0))
    return {"irrigation_mm": week * 3.0 / 7.0, "irrigation_every_days": 3, "irrigation_first_day": 121,
            "irrigation_last_day": 273}


def _water_ways(look: _Look, sand: float, clay: float, organic: float) -> dict[str, float]:
    """Only what is read: where nobody read it the program's own formula is the truth."""
    found = {}
    own = 24.0 * float(soil_water(sand, clay, min(organic * 0.5, 7.9)).conductivity_mm_h)
    if look.reads("drainage_hole_drop", "drainage"):
        found["drainage_mm_day"] = look.truth("drainage", max(own, 0.5), "drainage_hole_drop", "pit", unit=1.0 / 24.0,
                                              within=(0.05, 3e4))
    if "mottle_depth" in look.situation.usual:
        found["mottle_depth_m"] = look.truth("mottle_depth", 0.0, "mottle_top", "pit", unit=1e3, within=(0.03, 1.0))
    if look.reads("infiltration_time"):
        # The model's own error stands around a ring's reading, so that the reading itself is as it is.
        rate = float(np.clip(60.0 * np.exp(0.9 * look.rng.standard_normal()), 3.0, 600.0))
        found["infiltration_ring_mm_h"] = rate
        look.note("infiltration_time", "pit", 60.0 * float(ring_depth_mm(POUR_ML, RING_MM)) / rate)
        look.note("infiltration_water", "pit", POUR_ML)
        look.note("infiltration_ring_diameter", "pit", RING_MM)
    return found


def _hardness(look: _Look, parameters: Parameters, site: Site) -> Site:
    """By cone or by rod, with the moisture felt beside it; what was not pushed is as such places are, moist."""
    surface = look.truth("resistance", assumed(look.place, "surface_resistance_mpa"))
    wet, by_cone = 1.0, look.reads("penetration_profile")
    rod = not by_cone and look.reads("probe_depth")
    if by_cone or (rod and look.reads("soil_moisture_feel")):
        wet = _felt(look, site, by_cone)
    drying = wet ** float(parameters.wetness_exponent[0])
    depth = look.truth("refusal_depth", assumed(look.place, "refusal_depth_m"), "probe_depth" if rod else None, "pit",
                       repeats=PUSHES, unit=1e3, within=(0.02, 3.0))
    if any(r.kind == "probe_depth" for r in look.readings):
        look.readings += [replace(r, id=r.id.replace("probe_depth", "probe_stop"), kind="probe_stop", value=None,
                                  choice="hard") for r in look.readings if r.kind == "probe_depth"]
        stop = max(float(parameters.rod_stop_resistance_mpa[0]) * drying, 0.1)
        return replace(site, surface_resistance_mpa=surface, refusal_depth_m=depth, reference_resistance_mpa=stop)
    if not by_cone:
        return replace(site, surface_resistance_mpa=surface, refusal_depth_m=depth)
    stop, below = (float(values[0]) for values in (parameters.rod_stop_resistance_mpa, parameters.below_refusal_ratio))
    profile = [surface + (stop - surface) * z / depth if z <= depth else stop * below for z in CONE_DEPTHS_M]
    off = float(np.exp(read_sd("penetration_profile", 1, "resistance") * look.rng.standard_normal()))
    seen, true = ([mpa / drying for mpa in profile], [mpa * off for mpa in profile]) if look.berkson else (
        [mpa / drying * off for mpa in profile], profile)
    look.note("penetrometer_cone", "visit", choice="small")
    for z, mpa in zip(CONE_DEPTHS_M, seen, strict=True):
        look.note("penetration_profile", "pit", min(mpa, 19.0 / drying), depth_from_m=z)
    return replace(site, surface_resistance_mpa=true[0], refusal_depth_m=depth, cone_depth_m=CONE_DEPTHS_M,
                   cone_resistance_mpa=tuple(min(mpa, 19.0) for mpa in true))


def _felt(look: _Look, site: Site, by_cone: bool) -> float:
    """Water content over that at field capacity, of which a hand tells the step."""
    steps = [row for row in table("explain/moisture_steps").rows if row["choice"] != "dust"]
    step = steps[look.rng.choice(len(steps))]
    share = look.rng.uniform(float(step["available_low"]), float(step["available_high"]))
    water = soil_water(site.sand, site.clay, min(float(np.mean(site.organic_matter_pct)), 7.9))
    dry = min(float(water.wilting_point / water.field_capacity), 1.0)
    for depth in CONE_DEPTHS_M if by_cone else (0.15,):
        look.note("soil_moisture_feel", "pit", choice=str(step["choice"]), depth_from_m=depth, series=f"felt {depth}")
    return dry + (1.0 - dry) * share


def _plant(look: _Look) -> dict[str, Any]:
    young = look.situation.usual.get("years")
    trunk = look.rng.uniform(0.05, 0.09) if young else 0.25 * float(np.exp(0.5 * look.rng.standard_normal()))
    radius = figure("crown_radius_per_trunk") * trunk * float(np.exp(
        float(table("explain/reading_errors").row(reading="crown_radius")["not_read"]) * look.rng.standard_normal()))
    z_trunk, z_radius = look.rng.standard_normal(2)
    if look.reads("dbh"):
        look.note("dbh", "tree", 1e3 * trunk * float(np.exp(floor_sd("trunk_diameter") * z_trunk)))
    elif not look.reads("crown_spread"):
        look.note("dbh", "tree", 1e3 * trunk)
    if look.reads("crown_spread") or not any(r.kind == "dbh" for r in look.readings):
        look.note("crown_spread", "tree", 2.0 * radius * float(np.exp(floor_sd("crown_radius") * z_radius)))
    all_species = [str(row["botanical_name"]) for row in table("species").rows]
    species = str(look.rng.choice(look.situation.species or all_species))
    kind = table("species").row(botanical_name=species)
    look.note("species", "tree", choice=species)
    threshold, slope = salt_tolerance(kind["salt_tolerance"])
    return {"trunk_diameter_m": trunk, "crown_radius_m": radius, "years_since_planting": _years(look, trunk, young),
            "neighbours": assumed(look.place, "neighbours"), "salt_threshold_ds_m": threshold, "salt_slope_pct": slope,
            "lock_up_per_ph": lock_up_risk(kind["lime_chlorosis_risk"]),
            "spring_window_days": SPRING_WINDOW_DAYS[kind["growth_habit"]]}


def _years(look: _Look, trunk: float, young: tuple[float, float] | None) -> float:
    if look.place == "woodland":
        return inf
    yearly = figure("trunk_growth_m_year") * float(np.exp(figure("trunk_growth_log_sd") * look.rng.standard_normal()))
    years = look.rng.uniform(*young) if young else max((trunk - figure("planted_trunk_m")) / yearly, 0.0)
    if not young and not look.reads("planting_year"):
        return float(years)
    basis = "record" if young else str(look.rng.choice(["record", "told", "guess"]))
    sd = {"record": 0.0, "told": 1.0, "guess": figure("guessed_year_factor")}[basis]
    whole = round(years)
    year = look.day.year - whole
    off = sd * look.rng.standard_normal()
    look.note("planting_year", "tree", year if look.berkson else min(round(year + off), look.day.year))
    look.note("planting_year_basis", "tree", choice=basis)
    return max(whole + off, 0.0) if look.berkson else float(whole)


@cache
def _weather(station: str, season: int) -> tuple[Weather, DailyWeather]:
    """A typical year has no dates, so it is given some."""
    days = greensboro_twice() if station == "greensboro" else seattle(season)
    dates = np.datetime64(f"{season - 1}-01-01") + np.arange(len(days.rain_mm))
    columns = (days.t_min_c, days.t_max_c, days.rain_mm, days.et0_mm)
    lists = [tuple(float(value) for value in column) for column in columns]
    return Weather(station, tuple(day.astype(date) for day in dates), *lists, (np.nan,) * len(dates), "made up"), days
