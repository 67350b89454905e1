"""Whether a tree still roots in, and how long it is to be watered."""

from __future__ import annotations

from math import ceil

import numpy as np

from rootcase.casework.prescribe.remedies import YEARS, figure
from rootcase.ground.errors import Missing
from rootcase.records.explain import LIMITS, Explanation
from rootcase.records.observe import Weather
from rootcase.science.tree.establishing import years_to_root_in
from rootcase.science.tree.site import Site
from rootcase.science.warmth.hardiness import hardiness_zone

PATIENT_ZONE = 1
"""Taken where no year of the weather is whole: the longest of the table. JUDGEMENT."""


def settling_years(explanation: Explanation, site: Site, weather: Weather) -> int | None:
    """How many years a tree is still to be watered until it has rooted in.

    Parameters
    ----------
    explanation : of the tree.
    site : as the model was told it.
    weather : daily weather of its station.

    Returns
    -------
    1 to 5; None where not being rooted in is not what takes most, or takes too little to matter.

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    Years for each inch of trunk by hardiness zone, for a tree that was watered. Where nobody waters, none of them has
    gone by yet: dry trees take longer. At least one.

    References
    ----------
    Table prescribe/establishment (seen). That an unwatered tree has them all ahead: JUDGEMENT.

    Examples
    --------
    >>> from types import SimpleNamespace as Told
    >>> limits = [Told(limit=limit, points=Told(mean=30.0 if limit == "establishment" else 0.0)) for limit in LIMITS]
    >>> young = Told(conditioned=None, limits=limits)
    >>> site = Told(trunk_diameter_m=0.0508, irrigation_mm=0.0, years_since_planting=1.5)
    >>> settling_years(young, site, Weather("s", (), (), (), (), (), (), ""))
    2
    """
    after = explanation.conditioned
    takes = {limit.limit: limit.points.mean for limit in (explanation.limits if after is None else after.limits)}
    if max(LIMITS, key=lambda limit: takes[limit]) != "establishment" or takes["establishment"] < figure(
            "matters_points"):
        return None
    needed = years_to_root_in(float(np.median(site.trunk_diameter_m)), _zone(weather))
    gone = float(np.median(site.years_since_planting)) if np.median(site.irrigation_mm) > 0.0 else 0.0
    return min(max(ceil(needed - gone - 1e-9), 1), YEARS)


def _zone(weather: Weather) -> float:
    try:
        return float(hardiness_zone([day.year for day in weather.days], weather.t_min_c))
    except Missing:
        return PATIENT_ZONE
