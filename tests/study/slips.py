"""An invented practice whose right entries and slips are known because they were drawn.

Sizes, shoots, leaves, pushes, samples and positions are drawn together, with the spreads the nets assume and the
readings' own errors; every other kind that has a number is drawn over its doubt range: log-evenly (from a thousandth of
its upper end where the lower is zero), temperatures, shares and what may be negative evenly. The limits are taken to
hold what is right. Numbers are typed as a tape or a meter shows them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from rootcase.fieldbook.events import Body, PitOpened, ReadingTaken, TreeOpened, YardstickNamed
from rootcase.fieldbook.events import ComparedWith as Compared
from rootcase.fieldbook.intake.grid import Cell
from rootcase.fieldbook.intake.values import box_unit, read_value
from rootcase.ground.quantity import System
from rootcase.ground.units import convert
from rootcase.tables.readings import ReadingKind, kinds
from tests.fieldbook.intake.doubts.made import VISITS

MEASURED = ("number", "integer", "share", "count", "profile")
DRAWN_TOGETHER = {"dbh", "tree_height", "crown_spread", "leaf_length", "shoot_length_last", "shoot_length_by_year",
                  "probe_depth", "rod_length", "mulch_depth", "sand", "silt", "clay", "latitude", "longitude",
                  "infiltration_water", "infiltration_ring_diameter", "applied_area", "applied_solid_volume",
                  "applied_depth", "applied_volume", "load_volume", "leftover_volume", "hole_count", "hole_spacing",
                  "soil_temperature", "heap_temperature", "dissolved_oxygen", "extract_temperature"}


@dataclass
class Practice:
    """One property of many trees, read twice a year apart."""

    rng: np.random.Generator
    system: System
    bodies: list[Body] = field(default_factory=list)

    def log(self, middle: float, spread: float) -> float:
        return float(middle * np.exp(spread * self.rng.standard_normal()))

    def read(self, kind: str, value_si: float, of: str, visit: str = "new", series: str = "1",
             wrong_unit: str = "") -> None:
        """Type a value as its instrument shows it; `wrong_unit` is the scale it was read on and not typed as."""
        listed = kinds()[kind]
        unit = box_unit(listed, self.system)
        unit = listed.si_unit if unit == "mesh" else unit  # sieves are not drawn
        text = _typed(listed, convert(value_si, listed.si_unit, wrong_unit or unit), wrong_unit or unit)
        self._take(kind, text, of, visit, series, unit)

    def choose(self, kind: str, choice: str, of: str, visit: str = "new", series: str = "1") -> None:
        self._take(kind, choice, of, visit, series, "")

    def _take(self, kind: str, text: str, of: str, visit: str, series: str, unit: str) -> None:
        listed = kinds()[kind]
        found = read_value(listed, Cell(text), unit, self.system, VISITS[visit])
        assert found is not None
        self.bodies.append(ReadingTaken(
            slot=f"{kind} {of} {visit} {series}", kind=kind, of=of, visit=visit, typed=found.typed, value=found.value,
            choice=found.choice, sign=found.sign, series=series, doubts=found.doubts, source=f"{kind} {of}"))


def _typed(kind: ReadingKind, value: float, unit: str) -> str:
    """Quarters of an inch, halves of a centimetre, whole feet, counts and percents, else three figures."""
    if kind.value_type in ("integer", "count") or (unit == "%" and (kind.error_model == "binomial" or (
            kind.error_model == "normal" and (kind.error_size or 0.0) >= 0.03))):
        return f"{value:.0f}"
    if kind.kind in ("latitude", "longitude"):
        return f"{value:.6f}"
    if unit == "in" and value >= 1:
        whole, quarter = divmod(round(value * 4), 4)
        return f"{whole} {('', '1/4', '1/2', '3/4')[quarter]}".strip()
    if unit == "cm" and value >= 2:
        return f"{round(value * 2) / 2:g}"
    return f"{value:.0f}" if abs(value) >= 100 else f"{value:.3g}"


def right_entries(trees: int, seed: int, system: System) -> list[Body]:
    """Two visits to a property, all of it right."""
    practice = Practice(np.random.default_rng(seed), system)
    for tree in (f"t{n}" for n in range(trees)):
        _sizes(practice, tree)
        _shoots_and_leaves(practice, tree)
        _ground(practice, tree)
        if practice.rng.random() < 0.2:
            _work(practice, tree)
    _anything_else(practice, trees)
    return [*things(trees), *practice.bodies]


def things(trees: int) -> Iterator[Body]:
    """Trees with three pits each; every tenth is of the yardstick of the others."""
    for n in range(trees):
        yield TreeOpened(slot=f"t{n}", tree=f"t{n}", label=f"oak {n}", place="lawn")
        yield from (PitOpened(slot=f"t{n} p{pit}", pit=f"t{n} p{pit}", label=f"pit {n}.{pit}", tree=f"t{n}")
                    for pit in range(3))
        yield (YardstickNamed(slot=f"y{n}", yardstick="healthy", label="healthy", tree=f"t{n}") if n % 10 == 0 else
               Compared(slot=f"y{n}", tree=f"t{n}", yardstick="healthy", label="healthy"))


def _sizes(practice: Practice, tree: str) -> None:
    height = float(np.clip(practice.log(11.0, 0.45), 2.5, 32.0))
    trunk = float(np.clip(250 * (height / 10) ** 1.3 * practice.log(1.0, 0.35), 25, 1450))
    crown = float(np.clip(height * practice.log(0.75, 0.3), 0.7, 28.0))
    for visit, years in (("old", 0), ("new", 1)):
        grown = trunk + years * practice.log(7.0, 0.6)
        practice.read("dbh", grown + 2.5 * practice.rng.standard_normal(), tree, visit)
        higher = height + years * practice.rng.normal(0.4, 0.3)
        practice.read("tree_height", higher * practice.log(1.0, 0.07), tree, visit)
        practice.read("crown_spread", crown * practice.log(1.0, 0.05), tree, visit)
    practice.read("latitude", 47.45 + practice.rng.uniform(-0.0013, 0.0013), tree)
    practice.read("longitude", -122.31 + practice.rng.uniform(-0.002, 0.002), tree)


def _shoots_and_leaves(practice: Practice, tree: str) -> None:
    shoot, leaf = practice.log(180.0, 0.6), practice.log(100.0, 0.4)
    for visit in VISITS:
        shoot_now, leaf_now = shoot * practice.log(1.0, 0.3), leaf * practice.log(1.0, 0.1)
        for n in range(5):
            length = float(np.clip(shoot_now * practice.log(1.0, 0.45), 5.5, 1480))
            practice.read("shoot_length_last", length, tree, visit, str(n))
        for n in range(20):
            practice.read("leaf_length", leaf_now * practice.log(1.0, 0.2), tree, visit, str(n))


def _ground(practice: Practice, tree: str) -> None:
    zone = practice.log(160.0, 0.4)
    for pit in (f"{tree} p{n}" for n in range(3)):
        here = zone * practice.log(1.0, 0.25)
        for push in range(3):
            practice.read("probe_depth", float(np.clip(here * practice.log(1.0, 0.3), 12, 890)), pit, series=str(push))
            practice.choose("probe_stop", "hard", pit, series=str(push))
        practice.choose("soil_moisture_feel", "good", pit)
        practice.read("soil_temperature", practice.rng.uniform(1, 30), pit)
        practice.read("infiltration_ring_diameter", 152.4, pit)
        practice.read("infiltration_water", practice.rng.normal(463, 15), pit)
    shares = practice.rng.dirichlet([4, 4, 2]) * 0.94 + 0.02
    for kind, share in zip(("sand", "silt", "clay"), shares, strict=True):
        practice.read(kind, round(float(share), 2), f"{tree} sample")


def _work(practice: Practice, tree: str) -> None:
    area, depth = practice.log(60.0, 0.5), practice.rng.uniform(0.05, 0.1)
    practice.read("applied_area", area, tree)
    practice.read("applied_depth", 1000 * depth * practice.log(1.0, 0.05), tree)
    practice.read("applied_solid_volume", area * depth * practice.log(1.0, 0.1), tree)
    for pit in range(3):
        practice.read("mulch_depth", 1000 * depth * practice.log(1.0, 0.2), f"{tree} p{pit}")


def _anything_else(practice: Practice, times: int) -> None:
    """Every other kind with a number, each on things of its own."""
    for kind in kinds().values():
        if kind.value_type in MEASURED and kind.kind not in DRAWN_TOGETHER and kind.si_unit != "year":
            for n, share in enumerate(practice.rng.random(times)):
                practice.read(kind.kind, over_its_range(kind, float(share)), f"other {kind.of} {kind.kind} {n}")


def over_its_range(kind: ReadingKind, share: float) -> float:
    """The value below which this share of right ones lie."""
    low, high = kind.lower_doubt, kind.upper_doubt
    assert low is not None
    assert high is not None
    if low < 0 or kind.si_unit.startswith("degC") or kind.us_unit == "%":
        return low + share * (high - low)
    return math.exp(math.log(low or high / 1000) + share * math.log(high / (low or high / 1000)))
