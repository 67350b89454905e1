"""The sites and weather of the model's published cases, as the model takes them."""

from __future__ import annotations

import csv
import json
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from scipy.special import ndtri

from rootcase.science.tree.parameters import Parameters
from rootcase.science.tree.season import DailyWeather, growing_days
from rootcase.science.tree.site import Site, lock_up_risk, salt_tolerance

HERE = Path(__file__).parent
READING_ERRORS = {"bulk_density": 0.05, "organic_matter": 0.12, "resistance": 0.15, "refusal_depth": 0.12, "ece": 0.15,
                  "ph": 0.15}  # table explain/reading_errors, readings that were taken


@cache
def cases() -> tuple[Mapping[str, str], ...]:
    """The rows of the published cases, as they stand in the file."""
    with (HERE / "published" / "model-cases.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


@cache
def archetypes() -> Mapping[str, Site]:
    """The sixteen sites by name, without reading errors."""
    return {row["case"].removeprefix("archetype "): site_of(json.loads(row["inputs_json"]))
            for row in cases() if row["case"].startswith("archetype ")}


def as_published(parameters: Parameters) -> Parameters:
    """The model the published cases were reckoned with: there turf takes no room from roots (docs/model.md, 6)."""
    return replace(parameters, turf_root_cut=np.zeros(parameters.draws))


def site_of(said: Mapping[str, Any]) -> Site:
    """A site from the names the cases use; irrigation is every third day, 1 May to 30 September."""
    sand, clay = said["S_C"]
    threshold, slope = salt_tolerance(said["salttol"])
    return Site(
        sand=sand, clay=clay, organic_matter_pct=said["OM"], bulk_density_mg_m3=said.get("BD", np.nan),
        surface_resistance_mpa=said["PR0"], refusal_depth_m=said["Dr"], litter=said["litter"], mulch=said["mulch"],
        turf=said["turf"], bare=said["bare"], paved=said["paved"], neighbours=said["nb"], ece_ds_m=said["EC"],
        sar=said["SAR"], ph=said["pH"], drainage_mm_day=said.get("drain", np.nan),
        mottle_depth_m=said.get("mottle", np.inf), run_on=said.get("runon", 1.0), leaf=said["leaf"],
        irrigation_mm=said["irr"], irrigation_every_days=3, irrigation_first_day=121, irrigation_last_day=273,
        years_since_planting=said.get("years", np.inf), trunk_diameter_m=said["cal"], crown_radius_m=said["Rc"],
        salt_threshold_ds_m=threshold, salt_slope_pct=slope, lock_up_per_ph=lock_up_risk(said["pHrisk"]),
    )


def weather_of(name: str) -> DailyWeather:
    """The run's days at an archetype."""
    said = next(json.loads(row["inputs_json"]) for row in cases() if row["case"] == f"archetype {name}")
    return seattle(2015) if said["weather"].startswith("Seattle") else greensboro_twice()


@cache
def greensboro_twice() -> DailyWeather:
    """The typical year at Greensboro, twice."""
    rows = _rows("weather_greensboro_tmy.csv")
    columns = {name: np.tile([float(row[name]) for row in rows], 2) for name in ("tmin", "tmax", "rain", "et0")}
    return DailyWeather(year=np.repeat([2001, 2002], 365), day_of_year=np.tile(np.arange(1, 366), 2),
                        t_min_c=columns["tmin"], t_max_c=columns["tmax"], rain_mm=columns["rain"],
                        et0_mm=columns["et0"])


@cache
def seattle(growth_year: int) -> DailyWeather:
    """Seattle, the year before and the year the shoots grew."""
    rows = _rows("weather_seattle.csv")
    dates = np.array([row["date"] for row in rows], dtype="datetime64[D]")
    year = dates.astype("datetime64[Y]").astype(np.int64) + 1970
    columns = {name: np.array([float(row[name]) for row in rows]) for name in ("tmin", "tmax", "rain", "et0")}
    return growing_days(
        DailyWeather(year=year, day_of_year=(dates - dates.astype("datetime64[Y]")).astype(np.int64) + 1,
                     t_min_c=columns["tmin"], t_max_c=columns["tmax"], rain_mm=columns["rain"], et0_mm=columns["et0"]),
        growth_year)


def with_reading_errors(site: Site, draws: int, rng: np.random.Generator) -> Site:
    """The site as it may be, given the errors of readings that were taken."""
    error = {name: spread * ndtri((rng.permutation(draws) + rng.random(draws)) / draws)
             for name, spread in READING_ERRORS.items()}
    return replace(
        site, bulk_density_mg_m3=site.bulk_density_mg_m3 + error["bulk_density"],
        organic_matter_pct=site.organic_matter_pct * np.exp(error["organic_matter"]),
        surface_resistance_mpa=site.surface_resistance_mpa * np.exp(error["resistance"]),
        refusal_depth_m=site.refusal_depth_m * np.exp(error["refusal_depth"]),
        ece_ds_m=site.ece_ds_m * np.exp(error["ece"]), ph=site.ph + error["ph"])


def _rows(name: str) -> list[dict[str, str]]:
    with (HERE / "data" / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))
