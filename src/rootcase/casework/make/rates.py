"""From ground to volume, and from volume to tanks."""

from __future__ import annotations

from rootcase.ground.errors import OutOfRange
from rootcase.ground.words import say
from rootcase.records.make.rates import Drench, Injection, LoadParts, Loads, Topdress
from rootcase.science.tank import rates
from rootcase.science.tank.loads import loads_l, parts_of_load_l
from rootcase.science.zones.amounts import layer_volume_m3


def drench(area_m2: float, rate_l_m2: float) -> Drench:
    """How much liquid an area takes.

    Parameters
    ----------
    area_m2 : treated. [m2]
    rate_l_m2 : of the liquid as it leaves the hose. [L m-2]

    Returns
    -------
    Drench: area, rate, volume. [m2], [L m-2], [L]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    A rate is no advice: none with evidence behind it was found for extract on trees.

    References
    ----------
    `rates.drench_l`.

    Examples
    --------
    >>> drench(100.0, 4.0).volume_l
    400.0
    """
    return Drench(area_m2=area_m2, rate_l_m2=rate_l_m2, volume_l=float(rates.drench_l(area_m2, rate_l_m2)))


def injection(area_m2: float, rate_l_m2: float, spacing_m: float, grid: rates.Grid,
              flow_l_min: float | None = None) -> Injection:
    """How many holes an area takes, how much each, and how long.

    Parameters
    ----------
    area_m2 : treated. [m2]
    rate_l_m2 : over all of it. [L m-2]
    spacing_m : between a hole and the next. [m]
    grid : "square" or "triangular".
    flow_l_min : caught at the tip; None: not told. [L/min]

    Returns
    -------
    Injection: holes, litres and seconds a hole, and what all of them take together. [-], [L], [s], [L]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Holes are whole, so that all together may differ a little from rate times area.

    References
    ----------
    `rates.hole_count`, `rates.litres_per_hole`, `rates.seconds_per_hole`.

    Examples
    --------
    >>> found = injection(100.0, 4.0, 0.5, "square", 16.0)
    >>> found.holes, found.litres_a_hole, found.seconds_a_hole
    (400, 1.0, 3.75)
    """
    holes = int(rates.hole_count(area_m2, spacing_m, grid))
    each = float(rates.litres_per_hole(rate_l_m2, spacing_m, grid))
    seconds = None if flow_l_min is None else float(rates.seconds_per_hole(each, flow_l_min))
    return Injection(spacing_m=spacing_m, holes=holes, litres_a_hole=each, seconds_a_hole=seconds,
                     volume_l=float(rates.for_places_l(each, holes)))


def topdress(area_m2: float, depth_m: float) -> Topdress:
    """How much compost a layer takes.

    Parameters
    ----------
    area_m2 : covered. [m2]
    depth_m : as it lies. [m]

    Returns
    -------
    Topdress: area, depth, volume. [m2], [m], [m3]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    None.

    References
    ----------
    `layer_volume_m3`.

    Examples
    --------
    >>> topdress(30.0, 0.05).volume_m3
    1.5
    """
    return Topdress(area_m2=area_m2, depth_m=depth_m, volume_m3=float(layer_volume_m3(area_m2, depth_m)))


def loads(volume_l: float, tank_l: float, least_l: float = 0.0, extract_share: float = 1.0) -> Loads:
    """How many tanks a job takes, and what goes into each.

    Parameters
    ----------
    volume_l : of the whole job. [L]
    tank_l : that one tank takes. [L]
    least_l : below which it cannot be stirred evenly; at most half the tank. [L]
    extract_share : of extract in the tank, the rest water. [-], 0 to 1

    Returns
    -------
    Loads, full ones first. [L] each

    Raises
    ------
    OutOfRange : a value leaves its range, the least is more than half a tank or than the whole job.

    Notes
    -----
    Where the tank divides the job there is no further load.

    References
    ----------
    `loads_l`, `parts_of_load_l`.

    Examples
    --------
    >>> [(each.volume_l, each.extract_l) for each in loads(1000.0, 400.0, 0.0, 0.25).loads]
    [(400.0, 100.0), (400.0, 100.0), (200.0, 50.0)]
    >>> len(loads(800.0, 400.0).loads)
    2
    """
    if least_l > tank_l / 2.0:
        raise OutOfRange(say("rates.least_too_much"), right=say("rates.right_least"))
    if 0.0 < volume_l < least_l:
        raise OutOfRange(say("rates.job_too_small"), right=say("rates.right_job"))
    each = loads_l(volume_l, tank_l, least_l)
    parts = [parts_of_load_l(load, extract_share) for load in each]
    return Loads(volume_l=volume_l, tank_l=tank_l, loads=tuple(
        LoadParts(volume_l=load, extract_l=float(part.concentrate_l), water_l=float(part.water_l))
        for load, part in zip(each, parts, strict=True)))
