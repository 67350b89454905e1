"""Density, air, loss and volume of a heap."""

from __future__ import annotations

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

WATER_KG_M3, ORGANIC_KG_M3, MINERAL_KG_M3 = 1000.0, 1600.0, 2500.0
"""Of the stuff without the air between (memory)."""


def bulk_density_kg_m3(net_kg: Numbers, bucket_m3: Numbers) -> Lanes:
    """Density as it lies, from a bucket.

    Parameters
    ----------
    net_kg : scalar or one per lane, without the bucket. [kg], >= 0
    bucket_m3 : same shape. [m3], above 0, to 10

    Returns
    -------
    same shape. [kg m-3], 0 to 2500

    Raises
    ------
    OutOfRange : a value leaves its range, or the bucket would be denser than stone.

    Notes
    -----
    Filled by thirds, each dropped ten times, topped up without dropping. Methods drop from 15 or from 30 cm: the height
    belongs to the figure.

    References
    ----------
    WSU Puyallup, Calculating compost bulk density (seen).

    Examples
    --------
    >>> round(float(bulk_density_kg_m3(9.0, 0.020)))
    450
    """
    density = within("net_kg", net_kg, 0.0, 1e5, "kg") / within("bucket_m3", bucket_m3, 1e-6, 10.0, "m3")
    return within("density of the bucket", density, 0.0, MINERAL_KG_M3, "kg/m3")


def free_air_space_by_bucket_pct(water_m3: Numbers, bucket_m3: Numbers) -> Lanes:
    """Share of air in a full bucket, by the water that fills it.

    Parameters
    ----------
    water_m3 : scalar or one per lane, poured in until it stands level. [m3], 0 to the bucket
    bucket_m3 : same shape. [m3], above 0, to 10

    Returns
    -------
    same shape. [%]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    What dry stuff drinks meanwhile is counted as air: wet it first, pour at once.

    References
    ----------
    Volume of water over volume of the bucket (computed; common practice, no source).

    Examples
    --------
    >>> round(float(free_air_space_by_bucket_pct(2.4, 5.0)))
    48
    """
    water = within("water_m3", water_m3, 0.0, 10.0, "m3")
    bucket = within("bucket_m3", bucket_m3, 1e-6, 10.0, "m3")
    return within("free air space", 100.0 * water / bucket, 0.0, 100.0, "%")


def free_air_space_by_density_pct(density_kg_m3: Numbers, moisture_pct: Numbers, organic_pct: Numbers) -> Lanes:
    """Share of air in a heap, by its density, moisture and organic matter.

    Parameters
    ----------
    density_kg_m3 : scalar or one per lane, wet, as it lies. [kg m-3], 0 to 2500
    moisture_pct : same shape, of the wet weight. [%], 0 to 100
    organic_pct : same shape, of the dry matter. [%], 0 to 100

    Returns
    -------
    same shape. [%]

    Raises
    ------
    OutOfRange : a value leaves its range, or the stuff would fill more than the whole.

    Notes
    -----
    Water 1000, organic matter 1600, mineral 2500 kg/m3. The bottom of a high heap lies denser than its bucket.

    References
    ----------
    Agnew and Leonard 2003, The physical properties of compost, Compost Science and Utilization 11:238-264 (located;
    densities memory).

    Examples
    --------
    >>> round(float(free_air_space_by_density_pct(500.0, 55.0, 80.0)), 2)
    59.45
    """
    wet = within("moisture_pct", moisture_pct, 0.0, 100.0, "%") / 100.0
    organic = within("organic_pct", organic_pct, 0.0, 100.0, "%") / 100.0
    filled = within("density_kg_m3", density_kg_m3, 0.0, MINERAL_KG_M3, "kg/m3") * (
        wet / WATER_KG_M3 + (1.0 - wet) * (organic / ORGANIC_KG_M3 + (1.0 - organic) / MINERAL_KG_M3))
    return within("free air space", 100.0 * (1.0 - filled), 0.0, 100.0, "%")


def dry_matter_loss_pct(ash_start_pct: Numbers, ash_end_pct: Numbers) -> Lanes:
    """How much of its dry matter a heap has lost, by its ash.

    Parameters
    ----------
    ash_start_pct : scalar or one per lane, of the dry matter. [%], above 0, to 100
    ash_end_pct : same shape. [%], from the start to 100

    Returns
    -------
    same shape, of the dry matter at the start. [%]

    Raises
    ------
    OutOfRange : a value leaves its range, or the ash has fallen.

    Notes
    -----
    Ash stays; soil picked up in turning makes the loss look larger.

    References
    ----------
    Balance of ash (computed).

    Examples
    --------
    >>> round(float(dry_matter_loss_pct(20.0, 40.0)), 1)
    50.0
    """
    start, end = _ash(ash_start_pct, ash_end_pct)
    return np.asarray(100.0 * (1.0 - start / end))


def organic_matter_loss_pct(ash_start_pct: Numbers, ash_end_pct: Numbers) -> Lanes:
    """How much of its organic matter a heap has lost, by its ash.

    Parameters
    ----------
    ash_start_pct : scalar or one per lane, of the dry matter. [%], above 0, below 100
    ash_end_pct : same shape. [%], from the start to 100

    Returns
    -------
    same shape, of the organic matter at the start. [%]

    Raises
    ------
    OutOfRange : a value leaves its range, or the ash has fallen.

    Notes
    -----
    Ash stays; soil picked up in turning makes the loss look larger.

    References
    ----------
    Balance of ash: 100 - 100 X1 (100 - X2) / (X2 (100 - X1)) (memory).

    Examples
    --------
    >>> round(float(organic_matter_loss_pct(20.0, 40.0)), 1)
    62.5
    """
    start, end = _ash(ash_start_pct, ash_end_pct)
    within("ash_start_pct", ash_start_pct, 0.0, 99.999, "%")
    return np.asarray(100.0 - 100.0 * start * (100.0 - end) / (end * (100.0 - start)))


def windrow_volume_m3(width_m: Numbers, height_m: Numbers, length_m: Numbers) -> Lanes:
    """Volume of a windrow that is half an ellipse across.

    Parameters
    ----------
    width_m : scalar or one per lane, at the ground. [m], 0 to 20
    height_m : same shape. [m], 0 to 10
    length_m : same shape. [m], 0 to 1000

    Returns
    -------
    same shape. [m3]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Ends are taken as cut square: use the mean of the length at the ground and along the top.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> round(float(windrow_volume_m3(3.0, 1.5, 12.0)), 1)
    42.4
    """
    return np.asarray(np.pi / 4.0 * within("width_m", width_m, 0.0, 20.0, "m")
                      * within("height_m", height_m, 0.0, 10.0, "m") * within("length_m", length_m, 0.0, 1000.0, "m"))


def volume_left_m3(start_m3: Numbers, rule: str) -> tuple[Lanes, Lanes]:
    """Between what volume of finished compost a heap may come to.

    Parameters
    ----------
    start_m3 : scalar or one per lane, put in. [m3], 0 to 1,000,000
    rule : "web" or "windrow_handbook"

    Returns
    -------
    low and high, same shape. [m3]

    Raises
    ------
    OutOfRange : the volume leaves its range.
    Missing : no such rule.

    Notes
    -----
    The rules hardly meet (30 to 50 % left, 50 to 75 % left). The practice's own heaps, measured at
    both ends, are better.

    References
    ----------
    Table compost/shrink, a source each row.

    Examples
    --------
    >>> [round(float(end), 2) for end in volume_left_m3(10.0, "web")]
    [3.0, 5.0]
    """
    start = within("start_m3", start_m3, 0.0, 1e6, "m3")
    row = table("compost/shrink").row(rule=rule)
    return np.asarray(start * row["left_low_pct"] / 100.0), np.asarray(start * row["left_high_pct"] / 100.0)


def _ash(start_pct: Numbers, end_pct: Numbers) -> tuple[Lanes, Lanes]:
    start, end = within("ash_start_pct", start_pct, 1e-3, 100.0, "%"), within("ash_end_pct", end_pct, 1e-3, 100.0, "%")
    within("rise of the ash", end - start, 0.0, 100.0, "points")
    return start, end
