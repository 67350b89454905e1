"""What the ground is and how water moves in it: density, organic matter, salt, pH, infiltration, watering."""

from __future__ import annotations

from typing import Any

import numpy as np

from rootcase.casework.draws import FloatArray
from rootcase.casework.explain.book import Book
from rootcase.casework.explain.errors import ReadingErrors, assumed, centre, floor_sd, read_sd, spread
from rootcase.casework.explain.ground import FRESH_DAYS, M_PER_MM, Ground
from rootcase.casework.explain.laboratory import organic, ph, salt, sodium
from rootcase.casework.explain.plant import Luck
from rootcase.records.observe import Reading
from rootcase.science.soil.infiltration import ring_rate_mm_h
from rootcase.science.soil.saxton_rawls import soil_water

TYPICAL_ORGANIC_MATTER_PCT = 2.5
"""Of the soil whose normal density an assumed one is told by. JUDGEMENT."""
WATERED_EVERY_DAYS = 3
"""JUDGEMENT."""
WATERED_FROM_TO = {False: (121, 273), True: (305, 90)}
"""First and last day of watering: 1 May to 30 September, half a year later in the south. JUDGEMENT."""


def chemistry(ground: Ground, sand: FloatArray, clay: FloatArray, errors: ReadingErrors, book: Book) -> dict[str, Any]:
    """Density, organic matter, salt, sodium and pH of this ground, drawn over the readings' errors.

    Parameters
    ----------
    ground : what was read.
    sand : (n,) draws. [kg kg-1]
    clay : (n,) draws. [kg kg-1]
    errors : standard normal errors of the readings, n draws.
    book : where readings used and not made are noted.

    Returns
    -------
    Fields of the model's Site by name, (n,) each. [Mg m-3, %, dS m-1, pH as the names say]

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    What a laboratory read in another way than the model takes it is turned, with the error that adds, and said. Salt
    and sodium come from one extract and share its error. Density and organic matter are the topsoil's: what was taken
    from deeper tells nothing of it.

    References
    ----------
    Tables observe/readings, explain/assumed_readings: JUDGEMENT, row by row.

    Examples
    --------
    >>> at = ReadingErrors(**{n: np.zeros(1) for n in
    ...                       ("bulk_density", "organic_matter", "resistance", "refusal_depth", "ece", "ph")})
    >>> chemistry(Ground("bed", {}), np.array([0.4]), np.array([0.2]), at, Book())["organic_matter_pct"].tolist()
    [4.0]
    """
    place = ground.place_kind
    normal = float(soil_water(np.mean(sand), np.mean(clay), TYPICAL_ORGANIC_MATTER_PCT).normal_density_mg_m3)
    core = ground.topsoil("bulk_density")
    book.note("bulk_density", core)
    density = (spread(centre(core, "bulk_density"), "bulk_density",
                      read_sd("bulk_density", len(core), "bulk_density"), errors.bulk_density) if core
               else spread(normal * assumed(place, "density_ratio"), "bulk_density", None, errors.bulk_density))
    return {
        "bulk_density_mg_m3": np.clip(density, 0.5, 2.2),
        "organic_matter_pct": np.clip(organic(ground, errors.organic_matter, book), 0.05, 60.0),
        "ece_ds_m": np.minimum(salt(ground, sand, clay, errors.ece, book), 60.0),
        "sar": np.minimum(sodium(ground, errors.ece, book), 200.0),
        "ph": np.clip(ph(ground, errors.ph, book), 3.0, 11.0),
    }


def water_ways(ground: Ground, luck: Luck, draws: int, book: Book) -> dict[str, Any]:
    """Infiltration, drainage and mottles as read; what was not read is left to the model.

    Parameters
    ----------
    ground : what was read.
    luck : random streams by purpose.
    draws : how many, above 0.
    book : where readings used and not made are noted.

    Returns
    -------
    Fields of the model's Site by name, only those that were read. [mm h-1, mm day-1, m as the names say]

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    A ring's rate is the depth of the second pour over the time it took, the median of spots; the model draws its
    error. "No mottles" is a reading too, and so is "deeper than we dug"; the newest look holds.

    References
    ----------
    Ring: Natural Resources Conservation Service, Soil Quality Test Kit Guide, chapter 3 (seen in a copy). Hole taken
    as the drainage of the ground: JUDGEMENT.

    Examples
    --------
    >>> water_ways(Ground("bed", {}), lambda purpose: np.random.default_rng(1), 5, Book())
    {}
    """
    fields: dict[str, Any] = {}
    z = luck("water ways").standard_normal((2, draws))
    times, drops = ground.numbers("infiltration_time"), ground.numbers("drainage_hole_drop")
    tops, none_seen = _mottles(ground)
    rates = [rate for took in times if (rate := _ring_rate(ground, took)) is not None]
    book.note("infiltration_time", times if rates else ())
    book.note("drainage_hole_drop", drops)
    book.note("mottle_top", tops or none_seen)
    if rates:
        fields["infiltration_ring_mm_h"] = float(np.median(rates))
    if drops:
        sd = read_sd("drainage_hole_drop", len(drops), "drainage")
        fields["drainage_mm_day"] = np.minimum(spread(24.0 * centre(drops, "drainage"), "drainage", sd, z[0]), 4e4)
    if tops:
        depth = spread(centre(tops, "mottle_depth") * M_PER_MM, "mottle_depth", floor_sd("mottle_depth"), z[1])
        fields["mottle_depth_m"] = np.maximum(depth, 0.0)
    return fields


def watering(ground: Ground, southern: bool, luck: Luck, draws: int, book: Book) -> dict[str, Any]:
    """How this ground is watered; where nobody asked it may or may not be, as such places are.

    Parameters
    ----------
    ground : what was read.
    southern : whether it lies on the southern half of the earth.
    luck : random streams by purpose.
    draws : how many, above 0.
    book : where readings used and not made are noted.

    Returns
    -------
    Fields of the model's Site by name. [mm, days]

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    The week's depth is given every third day from May to September.

    References
    ----------
    Table explain/assumed_readings: JUDGEMENT.

    Examples
    --------
    >>> fields = watering(Ground("woodland", {}), False, lambda purpose: np.random.default_rng(1), 4, Book())
    >>> fields["irrigation_mm"].tolist()
    [0.0, 0.0, 0.0, 0.0]
    """
    choice, depths = ground.choice("irrigation_kind"), ground.numbers("irrigation_depth")
    told = None if choice is None or choice.choice == "unknown" else choice
    book.note("irrigation_kind", (*depths, *(() if told is None else (told,))))
    if told is not None and told.choice == "none":
        return {}
    rng = luck("watering")
    z, chance = rng.standard_normal(draws), rng.random(draws)
    if depths:
        week = spread(centre(depths, "irrigation"), "irrigation",
                      read_sd("irrigation_depth", len(depths), "irrigation"), z)
    else:
        usual = assumed(ground.place_kind, "irrigation_mm_week") or assumed("lawn", "irrigation_mm_week")
        watered = chance < (assumed(ground.place_kind, "irrigation_chance") if told is None else 1.0)
        week = spread(usual, "irrigation", None, z) * watered
    first, last = WATERED_FROM_TO[southern]
    return {"irrigation_mm": np.minimum(week / 7.0 * WATERED_EVERY_DAYS, 200.0),
            "irrigation_every_days": WATERED_EVERY_DAYS, "irrigation_first_day": first, "irrigation_last_day": last}


def _mottles(ground: Ground) -> tuple[tuple[Reading, ...], tuple[Reading, ...]]:
    """Depths at which mottles begin, and looks that found none, at the newest look."""
    none_seen = [r for r in ground.take("mottles") if r.choice == "none"]
    none_seen += [r for r in ground.by_kind.get("mottle_top", ()) if r.nothing == "none seen" or r.sign == ">"]
    tops = [r for r in ground.numbers("mottle_top") if r.sign != ">"]
    newest = max((r.day for r in (*tops, *none_seen)), default=None)
    tops = [r for r in tops if newest is not None and (newest - r.day).days <= FRESH_DAYS]
    return tuple(tops), tuple(none_seen)


def _ring_rate(ground: Ground, took: Reading) -> float | None:
    water, ring = ground.beside(took, "infiltration_water"), ground.beside(took, "infiltration_ring_diameter")
    if water is None or ring is None or not water.value or not ring.value or not took.value:
        return None
    return float(np.clip(ring_rate_mm_h(water.value, ring.value, took.value), 0.05, 5000.0))
