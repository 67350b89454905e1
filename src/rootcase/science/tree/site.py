"""What the model is told about the ground of one tree, or of its yardstick, at one state."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, isnan, nan

import numpy as np

from rootcase.ground.errors import Missing, OutOfRange, require_range
from rootcase.science.tree.fixed import Lane
from rootcase.tables.load import table

COVERS = ("litter", "mulch", "turf", "bare", "paved")

_RANGES: dict[str, tuple[float, float, str]] = {
    "sand": (0.0, 1.0, ""), "clay": (0.0, 0.6, ""), "organic_matter_pct": (0.0, 100.0, "%"),
    "litter": (0.0, 1.0, ""), "mulch": (0.0, 1.0, ""), "turf": (0.0, 1.0, ""), "bare": (0.0, 1.0, ""),
    "paved": (0.0, 1.0, ""), "neighbours": (0.0, 1.0, ""), "ece_ds_m": (0.0, 60.0, "dS/m"), "sar": (0.0, 200.0, ""),
    "ph": (2.0, 12.0, ""), "run_on": (0.0, 10.0, ""), "leaf": (0.0, 1.0, ""), "irrigation_mm": (0.0, 200.0, "mm"),
    "irrigation_every_days": (1, 366, "d"), "irrigation_first_day": (1, 366, ""), "irrigation_last_day": (1, 366, ""),
    "years_since_planting": (0.0, inf, "yr"), "trunk_diameter_m": (0.0, 10.0, "m"), "crown_radius_m": (0.05, 40.0, "m"),
    "nitrogen_added_kg_ha": (0.0, 2000.0, "kg/ha"), "wetness_when_read": (0.05, 3.0, ""),
    "salt_threshold_ds_m": (0.0, 30.0, "dS/m"), "salt_slope_pct": (0.0, 100.0, "% per dS/m"),
    "lock_up_per_ph": (0.0, 1.0, "per pH"), "spring_window_days": (1, 200, "d"),
}
_RANGES_IF_READ: dict[str, tuple[float, float, str]] = {
    "bulk_density_mg_m3": (0.3, 2.5, "Mg/m3"), "surface_resistance_mpa": (0.0, 20.0, "MPa"),
    "refusal_depth_m": (0.005, 10.0, "m"), "reference_resistance_mpa": (0.1, 20.0, "MPa"),
    "below_refusal_ratio": (1.0, 10.0, ""), "infiltration_ring_mm_h": (0.0, 5000.0, "mm/h"),
    "drainage_mm_day": (0.0, 50000.0, "mm/d"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """The inputs of one tree or yardstick at one state: a number each, or one for each draw."""

    sand: Lane
    """[kg kg-1]"""
    clay: Lane
    """[kg kg-1], at most 0.6"""
    organic_matter_pct: Lane
    """Of the top 0.10 m. [% by weight]"""
    bulk_density_mg_m3: Lane = nan
    """Of the top 0.30 m; NaN: as loose as its texture and organic matter make it. [Mg m-3]"""
    surface_resistance_mpa: Lane = nan
    """Penetration resistance at the surface (P_0); NaN: from density. [MPa]"""
    refusal_depth_m: Lane = nan
    """Depth where a hand rod stops (D); NaN: from the cone, else from density. [m]"""
    reference_resistance_mpa: Lane = nan
    """Resistance at which the rod stopped (P_ref); NaN: as drawn. [MPa]"""
    below_refusal_ratio: Lane = nan
    """Resistance below the refusal over that at it (h_b); NaN: as drawn."""
    cone_depth_m: tuple[float, ...] = ()
    """Depths of cone readings, which then stand before the rod. [m]"""
    cone_resistance_mpa: tuple[Lane, ...] = ()
    """[MPa]"""
    wetness_when_read: Lane = 1.0
    """Water content over that at field capacity when resistance was read."""
    litter: Lane = 0.0
    mulch: Lane = 0.0
    turf: Lane = 0.0
    bare: Lane = 0.0
    paved: Lane = 0.0
    """Shares of the ground over the roots; the five sum to 1."""
    neighbours: Lane = 0.0
    """Share of the remaining ground under other crowns (nb)."""
    ece_ds_m: Lane
    """Salt, saturation extract. [dS m-1]"""
    sar: Lane
    ph: Lane
    infiltration_ring_mm_h: Lane = nan
    """NaN: from compaction. [mm h-1]"""
    drainage_mm_day: Lane = nan
    """NaN: from the soil's conductivity. [mm day-1]"""
    mottle_depth_m: Lane = inf
    """Depth of grey mottles; infinite: none seen. [m]"""
    run_on: Lane = 1.0
    """Rain received over rain fallen; 2: as much again from upslope."""
    leaf: Lane = 1.0
    """The crown's leaf over that of a full crown."""
    irrigation_mm: Lane = 0.0
    """Each time. [mm]"""
    irrigation_every_days: int = 1
    irrigation_first_day: int = 1
    """Day of the year."""
    irrigation_last_day: int = 366
    years_since_planting: Lane = inf
    """Infinite: established. [yr]"""
    trunk_diameter_m: Lane
    crown_radius_m: Lane
    nitrogen_added_kg_ha: Lane = 0.0
    """In the year, on the rooted ground. [kg ha-1]"""
    salt_threshold_ds_m: Lane
    """(a), see `salt_tolerance`. [dS m-1]"""
    salt_slope_pct: Lane
    """(b) [% per dS m-1]"""
    lock_up_per_ph: Lane
    """Share of growth lost per unit of pH above 7 (lambda), see `lock_up_risk`."""
    spring_window_days: int = 45
    """45 where shoots grow in one flush, 100 where they grow on."""

    def __post_init__(self) -> None:
        for name, (low, high, unit) in _RANGES.items():
            require_range(name, getattr(self, name), low, high, unit)
        for name, (low, high, unit) in _RANGES_IF_READ.items():
            value = getattr(self, name)
            if not (isinstance(value, float) and isnan(value)):
                read = np.asarray(value, dtype=np.float64)
                require_range(name, read[~np.isnan(read)], low, high, unit)
        require_range("the sum of the covers", sum(np.asarray(getattr(self, cover)) for cover in COVERS),
                      1.0 - 1e-6, 1.0 + 1e-6, "")
        if len(self.cone_depth_m) != len(self.cone_resistance_mpa):
            raise OutOfRange("cone depths and resistances differ in number",
                             value=f"{len(self.cone_depth_m)} and {len(self.cone_resistance_mpa)}",
                             right="one resistance for each depth")
        if any(deeper <= upper for upper, deeper in zip(self.cone_depth_m, self.cone_depth_m[1:], strict=False)):
            raise OutOfRange("cone depths do not go down", value=f"{self.cone_depth_m} m",
                             right="give them from the top downward, each once")


def forest_floor(tree: Site) -> Site:
    """On what ground would this tree stand if its soil were that of a forest floor?

    Parameters
    ----------
    tree : the tree's site

    Returns
    -------
    Site : the same species, crown, texture, neighbours; the rest a forest floor's. Own readings at a yardstick are
        put in with `dataclasses.replace`.

    Raises
    ------
    Nothing.

    Notes
    -----
    Section 1.11 of docs/model.md. Neighbours stay the tree's, for otherwise every lawn tree gains from having no
    forest round it. The rod's resistance and what lies below it are given, so no reading error enters.

    References
    ----------
    Table tree/forest_floor: JUDGEMENT.

    Examples
    --------
    >>> salt = salt_tolerance("low")
    >>> lawn = Site(sand=0.4, clay=0.2, organic_matter_pct=2.5, turf=1.0, ece_ds_m=1.0, sar=2.0, ph=7.4,
    ...             trunk_diameter_m=0.3, crown_radius_m=4.0, salt_threshold_ds_m=salt[0], salt_slope_pct=salt[1],
    ...             lock_up_per_ph=lock_up_risk("low"))
    >>> floor = forest_floor(lawn)
    >>> floor.litter, floor.turf, float(floor.ph)
    (1.0, 0.0, 6.5)
    """
    values = {str(row["input"]): float(row["value"]) for row in table("tree/forest_floor").rows}
    return Site(
        sand=tree.sand, clay=tree.clay, litter=1.0, neighbours=tree.neighbours,
        ph=np.asarray(np.minimum(tree.ph, values["largest_ph"])),
        leaf=tree.leaf, trunk_diameter_m=tree.trunk_diameter_m, crown_radius_m=tree.crown_radius_m,
        salt_threshold_ds_m=tree.salt_threshold_ds_m, salt_slope_pct=tree.salt_slope_pct,
        lock_up_per_ph=tree.lock_up_per_ph, spring_window_days=tree.spring_window_days,
        organic_matter_pct=values["organic_matter_pct"], surface_resistance_mpa=values["surface_resistance_mpa"],
        refusal_depth_m=values["refusal_depth_m"], reference_resistance_mpa=values["reference_resistance_mpa"],
        below_refusal_ratio=values["below_refusal_ratio"], ece_ds_m=values["ece_ds_m"], sar=values["sar"],
    )


def salt_tolerance(tolerance: str) -> tuple[float, float]:
    """From which salt on does a species of this class lose growth, and how fast?

    Parameters
    ----------
    tolerance : none, low, medium or high

    Returns
    -------
    (threshold [dS m-1], slope [% per dS m-1])

    Raises
    ------
    Missing : there is no such class.

    Notes
    -----
    A published pair for the species replaces it.

    References
    ----------
    Table tree/salt_classes: JUDGEMENT, set so that a loss of 10 % falls inside the USDA class.

    Examples
    --------
    >>> salt_tolerance("low")
    (2.0, 14.0)
    """
    for row in table("tree/salt_classes").rows:
        if row["tolerance"] == tolerance:
            return float(row["threshold_ds_m"]), float(row["slope_pct_per_ds_m"])
    raise Missing("there is no such salt tolerance", value=tolerance, right="none, low, medium or high")


def lock_up_risk(risk: str) -> float:
    """How much growth a species of this risk of lime chlorosis loses per unit of pH.

    Parameters
    ----------
    risk : low, medium or high

    Returns
    -------
    share of growth lost per unit of pH above 7.

    Raises
    ------
    Missing : there is no such risk.

    Notes
    -----
    The source writes lambda.

    References
    ----------
    Table tree/lock_up: JUDGEMENT.

    Examples
    --------
    >>> lock_up_risk("high")
    0.22
    """
    for row in table("tree/lock_up").rows:
        if row["risk"] == risk:
            return float(row["loss_per_ph"])
    raise Missing("there is no such risk of lime chlorosis", value=risk, right="low, medium or high")

