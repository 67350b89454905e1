"""Minutes on the controller, from cups set out under the heads."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.ground.errors import Missing, OutOfRange
from rootcase.ground.units import convert
from rootcase.science.circle import depth_in_circle_mm
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

MOST_RATE_MM_H = 500.0
STEEPEST_PCT = ((3.0, "storage_in_0_3"), (6.0, "storage_in_4_6"), (12.0, "storage_in_7_12"),
                (np.inf, "storage_in_over_12"))


class Runs(NamedTuple):
    """How a watering is parted so that nothing runs off: how many runs, minutes of each, minutes of rest between."""

    cycles: int
    minutes_each: float
    soak_minutes: float


def catch_depth_mm(volume_ml: Numbers, mouth_diameter_mm: Numbers) -> Lanes:
    """How deep the water stood in a straight-sided cup.

    Parameters
    ----------
    volume_ml : scalar or one per cup. [mL], 0 to 20,000
    mouth_diameter_mm : same shape, inside, where the water falls in. [mm], 20 to 700

    Returns
    -------
    same shape. [mm]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    A cup that tapers catches over its mouth, so the mouth is what counts.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> round(float(catch_depth_mm(50.0, 80.0)), 2)
    9.95
    """
    return depth_in_circle_mm(within("volume_ml", volume_ml, 0.0, 20_000.0, "mL"),
                              within("mouth_diameter_mm", mouth_diameter_mm, 20.0, 700.0, "mm"))


def precipitation_rate_mm_h(depths_mm: Numbers, minutes: float) -> float:
    """How fast a zone puts water on the ground.

    Parameters
    ----------
    depths_mm : what each cup caught. [mm], 0 to 300, not all 0
    minutes : how long the test ran. [min], 0.5 to 1,440

    Returns
    -------
    Mean of the cups. [mm h-1], above 0

    Raises
    ------
    OutOfRange : a value leaves its range, or no cup caught anything.

    Notes
    -----
    None.

    References
    ----------
    Irrigation Association, Recommended audit guidelines; ASAE S436.1 and ASABE/ICC 802 (memory); arithmetic (computed).

    Examples
    --------
    >>> precipitation_rate_mm_h([4.0, 6.0], 10.0)
    30.0
    """
    return _mean_mm(depths_mm) / float(within("minutes", minutes, 0.5, 1440.0, "min")) * 60.0


def lower_quarter_uniformity(depths_mm: Numbers) -> float:
    """How even a zone waters: what the driest quarter of the cups gets of the mean.

    Parameters
    ----------
    depths_mm : what each cup caught, four cups or more. [mm], 0 to 300, not all 0

    Returns
    -------
    [-], 0 to 1

    Raises
    ------
    OutOfRange : a value leaves its range, no cup caught anything, or fewer than four were set.

    Notes
    -----
    A quarter that is no whole number of cups is rounded to the nearest, half of one upward. Fewer than 16 cups tell
    little of a zone.

    References
    ----------
    Keller and Bliesner 2000, Sprinkle and trickle irrigation, as the manual of a package for sprinkler evaluation
    quotes it (example seen); Irrigation Association, Recommended audit guidelines (memory).

    Examples
    --------
    >>> round(lower_quarter_uniformity([8.0, 10.0, 10.0, 12.0]), 3)
    0.8
    """
    depths = np.sort(np.atleast_1d(np.asarray(depths_mm, dtype=np.float64)))
    if depths.size < 4:
        raise OutOfRange("too few cups to tell how even a zone waters", value=f"{depths.size} cups",
                         right="set four cups and more, better 16 to 24")
    driest = int(depths.size / 4.0 + 0.5)
    return float(depths[:driest].mean()) / _mean_mm(depths)


def run_time_multiplier(uniformity: Numbers) -> Lanes:
    """How much longer a zone runs so that its dry spots get enough, without drowning the rest.

    Parameters
    ----------
    uniformity : scalar or one per zone, of the lower quarter. [-], 0 to 1

    Returns
    -------
    same shape. [-], 1 to 2.5

    Raises
    ------
    OutOfRange : the value leaves its range.

    Notes
    -----
    The source writes RTM = 1 / (0.4 + 0.6 DU). Dividing by DU itself, as some pages do, gives a badly uneven zone far
    more than roots that reach sideways need.

    References
    ----------
    Irrigation Association, Landscape irrigation scheduling and water management (2005), scheduling multiplier (memory).

    Examples
    --------
    >>> round(float(run_time_multiplier(0.55)), 2)
    1.37
    """
    return np.asarray(1.0 / (0.4 + 0.6 * within("uniformity", uniformity, 0.0, 1.0, "")))


def run_minutes(depth_mm: Numbers, rate_mm_h: Numbers, multiplier: Numbers) -> Lanes:
    """How long a zone runs to put so much water on.

    Parameters
    ----------
    depth_mm : scalar or one per zone, what the ground is to get. [mm], 0 to 300
    rate_mm_h : same shape, see `precipitation_rate_mm_h`. [mm h-1], 0.1 to 500
    multiplier : same shape, see `run_time_multiplier`; 1 for a zone that waters evenly. [-], 1 to 2.5

    Returns
    -------
    same shape. [min]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    None.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> float(run_minutes(10.0, 30.0, 1.25))
    25.0
    """
    depth = within("depth_mm", depth_mm, 0.0, 300.0, "mm")
    rate = within("rate_mm_h", rate_mm_h, 0.1, MOST_RATE_MM_H, "mm/h")
    return np.asarray(60.0 * depth / rate * within("multiplier", multiplier, 1.0, 2.5, ""))


def intake_mm_h(soil: str) -> float:
    """What a soil takes in while it is sprinkled, where nobody measured it.

    Parameters
    ----------
    soil : a class of the table water/surface_storage, from "sand" to "clay"

    Returns
    -------
    [mm h-1]

    Raises
    ------
    Missing : the table has no such class.

    Notes
    -----
    A ring's own reading goes before it.

    References
    ----------
    Table water/surface_storage.

    Examples
    --------
    >>> round(intake_mm_h("loam"), 2)
    8.89
    """
    return convert(_soil(soil)["intake_in_h"], "in/h", "mm/h")


def surface_storage_mm(soil: str, slope_pct: float) -> float:
    """What may stand on a soil before it runs.

    Parameters
    ----------
    soil : a class of the table water/surface_storage, from "sand" to "clay"
    slope_pct : of the ground. [%], 0 to 300

    Returns
    -------
    [mm]

    Raises
    ------
    OutOfRange : the slope leaves its range.
    Missing : the table has no such class.

    Notes
    -----
    The source's classes leave gaps (0 to 3, 4 to 6 %); what lies between two counts to the steeper.

    References
    ----------
    Table water/surface_storage; between the classes: JUDGEMENT.

    Examples
    --------
    >>> surface_storage_mm("loam", 2.0), round(surface_storage_mm("loam", 8.0), 3)
    (7.62, 5.588)
    """
    slope = float(within("slope_pct", slope_pct, 0.0, 300.0, "%"))
    column = next(column for most, column in STEEPEST_PCT if slope <= most)
    return convert(_soil(soil)[column], "in", "mm")


def runs_without_runoff(minutes: float, rate_mm_h: float, intake_mm_h: float, storage_mm: float) -> Runs:
    """Into how many runs a watering is parted, and how long the ground rests between them.

    Parameters
    ----------
    minutes : in all. [min], 0 to 10,000
    rate_mm_h : of the zone. [mm h-1], 0.1 to 500
    intake_mm_h : of the ground. [mm h-1], 0.05 to 5,000
    storage_mm : what may stand on the ground, see `surface_storage_mm`. [mm], 0.1 to 100

    Returns
    -------
    Runs(cycles, minutes_each, soak_minutes). [-], [min], [min]; one run and no rest where the ground takes all

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source's longest run is 60 ASA / (PR - BIR). The rest is what standing water of one run takes to soak in, which
    is at most 60 ASA / BIR.

    References
    ----------
    Irrigation Association, Landscape irrigation scheduling and water management (2005), cycle and soak (memory).

    Examples
    --------
    >>> runs_without_runoff(30.0, 40.0, 10.0, 5.0)
    Runs(cycles=3, minutes_each=10.0, soak_minutes=30.0)
    """
    whole = float(within("minutes", minutes, 0.0, 10_000.0, "min"))
    rate = float(within("rate_mm_h", rate_mm_h, 0.1, MOST_RATE_MM_H, "mm/h"))
    intake = float(within("intake_mm_h", intake_mm_h, 0.05, 5000.0, "mm/h"))
    left_standing = max(rate - intake, 0.0) / 60.0 * whole
    cycles = max(int(np.ceil(left_standing / float(within("storage_mm", storage_mm, 0.1, 100.0, "mm")) - 1e-9)), 1)
    return Runs(cycles, whole / cycles, 60.0 * left_standing / cycles / intake if cycles > 1 else 0.0)


def _mean_mm(depths_mm: Numbers) -> float:
    depths = within("depths_mm", depths_mm, 0.0, 300.0, "mm")
    if not np.any(depths > 0.0):
        raise OutOfRange("no cup caught water", value=f"0 mm in all of {np.size(depths)} cups",
                         right="run the zone again, or leave it out")
    return float(np.mean(depths))


def _soil(soil: str) -> dict[str, float]:
    rows = {row["soil"]: row for row in table("water/surface_storage").rows}
    if soil not in rows:
        raise Missing("no such soil in the table of intake rates", where="tables/water/surface_storage", value=soil,
                      right=f"one of {', '.join(rows)}")
    return dict(rows[soil])
