"""When a remedy answers a need of the ground, and when the trade forbids it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from rootcase.casework.explain.ground import Ground
from rootcase.casework.prescribe.remedies import Remedy, figure
from rootcase.science.tree.site import Site

LITTLE = 0.02
"""Share of the ground under which a cover counts as not there. JUDGEMENT."""


@dataclass(frozen=True, slots=True)
class Standing:
    """What a need is judged by at one tree."""

    ground: Ground
    site: Site
    """As the model was told it, readings or not."""
    covers: Mapping[str, float]
    """Mean share of each cover over the roots."""

    def middle(self, name: str) -> float:
        """Median of one of the site's draws."""
        return float(np.median(getattr(self.site, name)))


def law_of_the_trade(remedy: Remedy, standing: Standing) -> str:
    """Why good practice forbids a remedy here, whatever it would gain.

    Parameters
    ----------
    remedy : the remedy.
    standing : what was read at the tree and its ground.

    Returns
    -------
    Key of the words under prescribe.reason; empty where nothing forbids it.

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    Table prescribe/effects, row by row: memory or JUDGEMENT.

    Examples
    --------
    >>> from rootcase.casework.prescribe.remedies import remedies
    >>> site = Site(sand=0.4, clay=0.2, organic_matter_pct=2.0, litter=1.0, ece_ds_m=0.4, sar=1.0, ph=6.5,
    ...             trunk_diameter_m=0.2, crown_radius_m=3.0, salt_threshold_ds_m=2.0, salt_slope_pct=14.0,
    ...             lock_up_per_ph=0.03, years_since_planting=1.0)
    >>> feed = next(remedy for remedy in remedies() if remedy.code == "slow_nitrogen")
    >>> law_of_the_trade(feed, Standing(Ground("lawn", {}), site, {}))
    'newly_planted'
    """
    if remedy.code == "slow_nitrogen" and standing.middle("years_since_planting") <= figure("newly_planted_years"):
        return "newly_planted"
    if remedy.code == "leach":
        badly = standing.middle("drainage_mm_day") < figure("drains_badly_mm_day")
        if badly or standing.middle("mottle_depth_m") < figure("poor_air_depth_m"):
            return "drains_badly"
    return ""


def no_use(remedy: Remedy, standing: Standing, mean_gain: float) -> str:
    """Why the ground has no need of a remedy.

    Parameters
    ----------
    remedy : the remedy.
    standing : what was read at the tree and its ground.
    mean_gain : mean of the share of growth gained a year; 0 where the model cannot reckon it.

    Returns
    -------
    Key of the words under prescribe.reason; empty where it may answer one.

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    Table prescribe/effects, row by row: memory or JUDGEMENT.

    Examples
    --------
    >>> from rootcase.casework.prescribe.remedies import remedies
    >>> site = Site(sand=0.4, clay=0.2, organic_matter_pct=2.0, litter=1.0, ece_ds_m=0.4, sar=1.0, ph=6.5,
    ...             trunk_diameter_m=0.2, crown_radius_m=3.0, salt_threshold_ds_m=2.0, salt_slope_pct=14.0,
    ...             lock_up_per_ph=0.03)
    >>> gypsum = next(remedy for remedy in remedies() if remedy.code == "gypsum")
    >>> no_use(gypsum, Standing(Ground("lawn", {}), site, {"turf": 0.0, "bare": 0.0}), 0.0)
    'no_sodium'
    """
    site, covers = standing.site, standing.covers
    small = mean_gain < figure("no_shortage_points") / 100.0
    already = np.median(site.irrigation_mm) / site.irrigation_every_days * (remedy.every_days or 0)
    limy = standing.middle("ph") >= figure("lime_ph")
    fizz = standing.ground.choice("carbonate_fizz")
    rules = {
        "mulch": ("no_open_ground", covers["turf"] + covers["bare"] < LITTLE),
        "turf_off": ("no_turf", covers["turf"] < LITTLE),
        "water": ("already_watered", already >= 0.9 * (remedy.water_mm or 0.0)),
        "leach": ("no_salt", small),
        "gypsum": ("no_sodium", standing.middle("sar") < figure("gypsum_from_sar")),
        "slow_nitrogen": ("no_shortage", small),
        "chelate": ("no_lime", not limy),
        "sulfur": ("no_lime", not limy) if fizz is None or fizz.choice == "none" else ("free_lime", True),
        "stop_salt": ("no_salt", standing.middle("ece_ds_m") < standing.middle("salt_threshold_ds_m")),
    }
    reason, holds = rules.get(remedy.code, ("", False))
    return reason if holds else ""
