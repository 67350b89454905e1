"""What other programs answer, made again where they are installed; `python -m tests.reference.programs` keeps it.

Figures are facts: a program is asked and its answer kept. Nothing of a program's own code or tables is copied.
"""

from __future__ import annotations

import csv
import itertools
import sys
from collections.abc import Callable, Iterator, Mapping
from importlib.util import find_spec
from pathlib import Path

import numpy as np

from rootcase.ground.units import NAMES, relatives

Rows = Iterator[dict[str, str]]

FIGURES = Path(__file__).parent / "figures"
OFF_CORNER_SAND_PCT, OFF_CORNER_CLAY_PCT = 0.3, 0.2  # lands on no line of the triangle

AQUACROP_NAMES = {
    "clay": "Clay", "clay_loam": "ClayLoam", "loam": "Loam", "loamy_sand": "LoamySand", "sand": "Sand",
    "sandy_clay": "SandyClay", "sandy_clay_loam": "SandyClayLoam", "sandy_loam": "SandyLoam", "silt": "Silt",
    "silty_clay_loam": "SiltClayLoam", "silt_loam": "SiltLoam", "silty_clay": "SiltClay",
}

# How pint spells what it knows under another name.
PINT_NAMES = {
    "in": "inch", "ft": "foot", "yd": "yard", "mi": "mile", "mm2": "mm**2", "cm2": "cm**2", "m2": "m**2",
    "km2": "km**2", "ha": "hectare", "in2": "inch**2", "ft2": "foot**2", "1000ft2": "1000 foot**2", "yd2": "yard**2",
    "ac": "43560 foot**2", "m3": "m**3", "cm3": "cm**3", "in3": "inch**3", "ft3": "foot**3", "yd3": "yard**3",
    "gal": "US_liquid_gallon", "qt": "US_liquid_quart", "pt": "US_pint", "fl_oz": "US_fluid_ounce",
    "imp_gal": "imperial_gallon", "t": "tonne", "Mg": "tonne", "lb": "pound", "oz": "ounce",
    "ton/ft2": "2000 force_pound/foot**2", "inHg": "inch_Hg", "mm/h": "mm/hour", "cm/h": "cm/hour",
    "in/h": "inch/hour", "in/day": "inch/day", "in/week": "inch/week", "km/h": "km/hour", "m3/h": "m**3/hour",
    "gal/min": "US_liquid_gallon/minute", "L/min": "L/minute", "m3/m2": "m", "L/m2": "L/m**2",
    "L/100m2": "L/(100 m**2)", "kg/100m2": "kg/(100 m**2)",
    "gal/ft2": "US_liquid_gallon/foot**2", "gal/1000ft2": "US_liquid_gallon/(1000 foot**2)",
    "gal/ac": "US_liquid_gallon/(43560 foot**2)", "yd3/1000ft2": "yard**3/(1000 foot**2)", "kg/m2": "kg/m**2",
    "g/m2": "g/m**2", "kg/ha": "kg/hectare", "t/ha": "tonne/hectare", "lb/ft2": "pound/foot**2",
    "lb/1000ft2": "pound/(1000 foot**2)", "lb/ac": "pound/(43560 foot**2)", "kg/m3": "kg/m**3", "mg/m3": "mg/m**3",
    "Mg/m3": "tonne/m**3", "g/cm3": "g/cm**3", "t/m3": "tonne/m**3", "lb/ft3": "pound/foot**3",
    "lb/yd3": "pound/yard**3", "lb/gal": "pound/US_liquid_gallon", "mmho/cm": "mS/cm", "meq/100g": "mmol/(100 g)",
    "mg/100g": "mg/(100 g)",
    "%": "0.01", "1/100mL": "1/(100 mL)", "h": "hour", "min": "minute", "degC_day": "delta_degC*day",
    "degF_day": "delta_degF*day", "degC_diff": "delta_degC", "degF_diff": "delta_degF", "cm/cm3": "cm/cm**3",
    "deg": "degree", "mm3": "mm**3", "um3": "um**3", "g/cm2": "g/cm**2", "mg/L/h": "mg/L/hour",
    "mg/L/min": "mg/L/minute", "mmolc/L": "mmol/L", "meq/L": "mmol/L", "W/m2": "W/m**2", "MJ/m2/day": "MJ/m**2/day",
    "MJ/m2/h": "MJ/m**2/hour", "m2/s": "m**2/s", "mm2/s": "mm**2/s", "1/m2": "1/m**2", "1/cm2": "1/cm**2",
    "1/mm2": "1/mm**2", "MJ/m2": "MJ/m**2", "in/ft": "inch/foot",
}
NOT_PINTS = {"ppm", "mesh", "pH", "index", "year", "money"}
TEMPERATURES_C = (-40.0, -17.7, 0.0, 12.8, 55.0, 100.0)


def read(file: str) -> list[dict[str, str]]:
    """The kept figures of one file."""
    with (FIGURES / file).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def soiltexture_triangle() -> Rows:
    """Classes on the whole percents and off them; for each clay, runs of sand in steps of 1 % that share a class."""
    import soiltexture

    for grid, sand_off, clay_off in (("whole", 0.0, 0.0), ("off", OFF_CORNER_SAND_PCT, OFF_CORNER_CLAY_PCT)):
        for clay in range(101 if grid == "whole" else 100):
            most = 100 - clay if grid == "whole" else 99 - clay
            classes = [(sand + sand_off, (soiltexture.getTexture(sand + sand_off, clay + clay_off) or "none").strip())
                       for sand in range(most + 1)]
            for name, run in itertools.groupby(classes, key=lambda pair: pair[1]):
                sands = [sand for sand, _ in run]
                yield {"grid": grid, "clay_pct": f"{clay + clay_off:g}", "sand_from_pct": f"{sands[0]:g}",
                       "sand_to_pct": f"{sands[-1]:g}", "texture": name.replace(" ", "_")}


def aquacrop_pedotransfer() -> Rows:
    """Saxton and Rawls as aquacrop codes them, rounded by itself; where it fails (water left negative), no row."""
    from aquacrop.entities.soil import Soil

    soil = Soil("custom")
    for sand, clay, organic_matter, factor in itertools.product(
            range(0, 101, 10), range(0, 61, 10), (0.5, 2.5, 8.0), (0.9, 1.0, 1.2)):
        if sand + clay > 100:
            continue
        try:
            with np.errstate(invalid="ignore"):
                water = soil.calculate_soil_hydraulic_properties(sand / 100, clay / 100, organic_matter, factor)
        except ValueError:
            continue
        names = ("wilting_point", "field_capacity", "saturation", "conductivity_mm_day")
        yield {"sand_pct": f"{sand}", "clay_pct": f"{clay}", "organic_matter_pct": f"{organic_matter:g}",
               "density_factor": f"{factor:g}", **{name: f"{x:g}" for name, x in zip(names, water, strict=True)}}


def aquacrop_classes() -> Rows:
    """The soils aquacrop knows by the name of their class."""
    from aquacrop.entities.soil import Soil

    for ours, theirs in AQUACROP_NAMES.items():
        top = Soil(theirs).profile.iloc[0]
        yield {"texture": ours, "wilting_point": f"{top.th_wp:g}", "field_capacity": f"{top.th_fc:g}",
               "saturation": f"{top.th_s:g}", "conductivity_mm_day": f"{top.Ksat:g}"}


def pint_conversions() -> Rows:
    """One of each unit in the first unit of its kind, and temperatures."""
    import pint

    registry = pint.UnitRegistry()

    def row(value: float, unit: str, wanted: str) -> dict[str, str]:
        given, asked = (registry.Quantity(PINT_NAMES.get(name, name)) for name in (unit, wanted))
        answer = registry.Quantity(value * given.magnitude, given.units).to(asked.units).magnitude / asked.magnitude
        return {"value": f"{value:g}", "from_unit": unit, "to_unit": wanted, "answer": f"{answer:.13g}"}

    for name in NAMES:
        if name not in NOT_PINTS | {"degC", "degF"}:
            yield row(1.0, name, relatives(name)[0])
    for celsius, wanted in itertools.product(TEMPERATURES_C, ("degF", "K")):
        yield row(celsius, "degC", wanted)


MAKERS: Mapping[str, tuple[str, Callable[[], Rows]]] = {
    "soiltexture_triangle.csv": ("soiltexture", soiltexture_triangle),
    "aquacrop_pedotransfer.csv": ("aquacrop", aquacrop_pedotransfer),
    "aquacrop_classes.csv": ("aquacrop", aquacrop_classes),
    "pint_conversions.csv": ("pint", pint_conversions),
}
"""Which program answers for which file, and how it is asked."""


def installed() -> list[str]:
    """The files whose program is here."""
    return [file for file, (program, _) in MAKERS.items() if find_spec(program)]


def main() -> int:
    for file in installed():
        rows = list(MAKERS[file][1]())
        with (FIGURES / file).open("w", encoding="utf-8", newline="") as lines:
            writer = csv.DictWriter(lines, rows[0], lineterminator="\n")
            writer.writeheader()
            writer.writerows(rows)
    return 0


if __name__ == "__main__":
    sys.exit(main())
