"""A laboratory's way of reading salt and pH turned into the way the formulas take."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rootcase.ground.errors import Missing
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

MOST_EC_DS_M = 60.0
SANDY_SILT_AND_CLAYS = 0.30
"""Silt and twice the clay of sands and loamy sands stay under this: USDA 2017, Soil Survey Manual, ch. 3 (memory)."""
COARSE_SAND, COARSE_CLAY, FINE_CLAY = 0.50, 0.20, 0.27
"""Shares that part the other groups the sources name: coarse over half sand and under a fifth clay, fine from the clay
of a clay loam. JUDGEMENT."""
LEAST_LOG_SD = 0.20
"""Of a turned reading, however well the sources agree: soils of one texture differ in the water of their paste and in
their salts. JUDGEMENT."""


class PasteSalt(NamedTuple):
    """What a saturation extract would have read [dS m-1], how sure, and the least and most times of the reading."""

    ece_ds_m: Lanes
    log_sd: Lanes
    least_factor: Lanes
    most_factor: Lanes


class WaterPh(NamedTuple):
    """What water would have read [pH], and the error the turning adds [pH]."""

    ph: Lanes
    added_sd: float


def extract_texture(sand: Numbers, clay: Numbers) -> NDArray[np.str_]:
    """Which of the four groups a soil belongs to for turning extracts.

    Parameters
    ----------
    sand : scalar or one per lane. [kg kg-1], 0 to 1
    clay : same shape. [kg kg-1], 0 to 1

    Returns
    -------
    same shape: "sand", "coarse", "medium" or "fine".

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The sources say coarse, medium and fine, or name texture classes; where one ends is ours, save that sands and loamy
    sands are the classes of that name.

    References
    ----------
    USDA 2017, Soil Survey Manual, chapter 3, texture classes (memory); else JUDGEMENT.

    Examples
    --------
    >>> extract_texture([0.90, 0.65, 0.40, 0.30], [0.05, 0.10, 0.20, 0.34]).tolist()
    ['sand', 'coarse', 'medium', 'fine']
    """
    sandy, fine = within("sand", sand, 0.0, 1.0, ""), within("clay", clay, 0.0, 1.0, "")
    within("sand plus clay", sandy + fine, 0.0, 1.0 + 1e-9, "")
    groups = [1.0 - sandy + fine < SANDY_SILT_AND_CLAYS, (sandy > COARSE_SAND) & (fine < COARSE_CLAY),
              fine >= FINE_CLAY]
    chosen: NDArray[np.str_] = np.select(groups, ["sand", "coarse", "fine"], "medium")[()]
    return chosen


def paste_salt(ec_ds_m: Numbers, extract: str, texture: str) -> PasteSalt:
    """What a saturation extract would have read where a thinner one was made.

    Parameters
    ----------
    ec_ds_m : scalar or one per lane, of the thinner extract. [dS m-1], 0.001 to 60
    extract : "1_1", "1_2" or "1_5", soil to water by weight
    texture : "sand", "coarse", "medium" or "fine", see `extract_texture`

    Returns
    -------
    PasteSalt(ece_ds_m, log_sd, least_factor, most_factor), same shape. [dS m-1], [natural log], [-], [-]

    Raises
    ------
    OutOfRange : the value leaves its range.
    Missing : no equation is listed for this extract and texture.

    Notes
    -----
    The geometric mean of what every listed equation gives, and as its error the spread between them, never under
    LEAST_LOG_SD. Where no equation is for sands apart, those of coarse soil are taken. A paste holds the same salt
    in less water, so no equation may give less than was read: that decides where an offset would take a low reading
    under it. Gypsum dissolves more in more water, so in gypseous soil all of them read too high.

    References
    ----------
    Table chemistry/extract_equations, a source each row.

    Examples
    --------
    >>> turned = paste_salt(0.5, "1_5", "fine")
    >>> round(float(turned.ece_ds_m), 2), round(float(turned.least_factor), 1), round(float(turned.most_factor), 1)
    (3.34, 5.8, 8.6)
    """
    read = within("ec_ds_m", ec_ds_m, 0.001, MOST_EC_DS_M, "dS/m")
    equations = table("chemistry/extract_equations")
    of_extract = [row for row in equations.rows if row["extract"] == extract]
    listed = {row["texture"] for row in of_extract}
    wanted = "coarse" if texture == "sand" and "sand" not in listed else texture
    rows = [row for row in of_extract if row["texture"] == wanted]
    if not rows:
        raise Missing("no equation turns this extract", where=f"tables/{equations.name}",
                      value=f"{extract}, {texture}", right="1_1, 1_2 or 1_5 of sand, coarse, medium or fine soil")
    factors = np.stack([np.maximum(row["slope"] + row["offset_ds_m"] / read, 1.0) for row in rows])
    logs = np.log(factors)
    return PasteSalt(read * np.exp(logs.mean(axis=0)), np.maximum(logs.std(axis=0), LEAST_LOG_SD),
                     factors.min(axis=0), factors.max(axis=0))


def water_ph(salt_ph: Numbers, method: str) -> WaterPh:
    """What pH in water would have been where it was read in a salt solution.

    Parameters
    ----------
    salt_ph : scalar or one per lane. [pH], 2 to 12
    method : "cacl2", 0.01 M calcium chloride

    Returns
    -------
    WaterPh(ph, added_sd), same shape. [pH], [pH]

    Raises
    ------
    OutOfRange : the value leaves its range.
    Missing : no such method.

    Notes
    -----
    The source's regression turned round: about 0.6 more at pH 5, 0.5 more at pH 7. The gap is smaller in salty soil.

    References
    ----------
    Table chemistry/salt_ph.

    Examples
    --------
    >>> round(float(water_ph(5.4, "cacl2").ph), 2)
    6.0
    """
    row = table("chemistry/salt_ph").row(method=method)
    read = within("salt_ph", salt_ph, 2.0, 12.0, "pH")
    return WaterPh((read - row["offset"]) / row["slope"], float(row["added_sd"]))
