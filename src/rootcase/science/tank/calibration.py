"""What a sprayer, a hose or an injector really puts out, and how evenly."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.ground.errors import OutOfRange
from rootcase.ground.units import convert
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.means import variation_pct
from rootcase.science.water.audit import lower_quarter_uniformity
from rootcase.tables.load import table


class Plot(NamedTuple):
    """Ground to calibrate on: the square to mark out, its area, and the area that was meant. [m], [m2], [m2]"""

    side_m: float
    area_m2: float
    meant_m2: float


class Wear(NamedTuple):
    """How far each nozzle is off the set, the worst of them, and which are to be replaced. [%], [%], [-]"""

    off_pct: Lanes
    worst_pct: float
    replace: tuple[bool, ...]


class Evenness(NamedTuple):
    """Of a set of catch cans: mean in their own unit, spread and two uniformities. [%] each"""

    mean: float
    cv_pct: float
    cu_pct: float
    du_pct: float


def flow_l_min(volume_l: Numbers, minutes: Numbers) -> Lanes:
    """How much flows out in a minute.

    Parameters
    ----------
    volume_l : caught. [L], 0 to 100,000
    minutes : same shape, for how long. [min], 0.01 to 1,440

    Returns
    -------
    broadcast shape. [L/min]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    With the hose, tip and pressure of the work.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> float(flow_l_min(5.0, 0.5))
    10.0
    """
    return np.asarray(within("volume_l", volume_l, 0.0, 1e5, "L") / within("minutes", minutes, 0.01, 1440.0, "min"))


def speed_m_s(distance_m: Numbers, seconds: Numbers) -> Lanes:
    """How fast a sprayer goes.

    Parameters
    ----------
    distance_m : measured on the ground of the work. [m], 0.1 to 10,000
    seconds : same shape. [s], 0.1 to 100,000

    Returns
    -------
    broadcast shape. [m/s]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    With the tank half full, walking or driving as in the work.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> float(speed_m_s(30.0, 24.0))
    1.25
    """
    return np.asarray(within("distance_m", distance_m, 0.1, 10_000.0, "m")
                      / within("seconds", seconds, 0.1, 100_000.0, "s"))


def boom_l_m2(flow_l_min: Numbers, speed_m_s: Numbers, width_m: Numbers) -> Lanes:
    """Which rate a moving boom, or one of its nozzles, puts on the ground.

    Parameters
    ----------
    flow_l_min : of the boom, or of one nozzle. [L/min], 0 to 5,000
    speed_m_s : same shape. [m/s], 0.01 to 20
    width_m : same shape, of the boom's swath, or between nozzles. [m], 0.01 to 50

    Returns
    -------
    broadcast shape. [L m-2]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    In US units the source's 5940 GPM / (MPH W): 5940 is 60 min/h, 12 in/ft and 43,560 ft2/ac over 5,280 ft/mi.

    References
    ----------
    Albany County weed and pest calibration sheet (seen); the constant computed.

    Examples
    --------
    >>> round(float(boom_l_m2(6.0, 1.25, 4.0)), 4)
    0.02
    """
    return np.asarray(within("flow_l_min", flow_l_min, 0.0, 5000.0, "L/min") / 60.0
                      / within("speed_m_s", speed_m_s, 0.01, 20.0, "m/s") / within("width_m", width_m, 0.01, 50.0, "m"))


def ounce_plot() -> Plot:
    """The ground on which fluid ounces caught are gallons an acre.

    Returns
    -------
    Plot(side_m, area_m2, meant_m2)

    Raises
    ------
    Missing : the table has lost its row.

    Notes
    -----
    1/128 acre. The sheets round its side to 18.5 ft, by which the square is 0.6 % too large: less than a hand can
    repeat.

    References
    ----------
    Table tank/plots (seen).

    Examples
    --------
    >>> plot = ounce_plot()
    >>> round(plot.side_m, 2), round(100 * (plot.area_m2 / plot.meant_m2 - 1), 1)
    (5.64, 0.6)
    """
    row = table("tank/plots").row(plot="ounces_are_gallons_an_acre")
    side_m = convert(row["marked_side_ft"], "ft", "m")
    return Plot(side_m, side_m**2, convert(row["meant_ft2"], "ft2", "m2"))


def injected_share(drawn_l: Numbers, delivered_l: Numbers) -> Lanes:
    """Which share of what comes out of a hose its injector or hose-end jar drew in.

    Parameters
    ----------
    drawn_l : gone from the jar or the stock. [L], 0 to 10,000
    delivered_l : same shape, caught at the end, with what was drawn. [L], 0.01 to 1,000,000, not less than drawn

    Returns
    -------
    broadcast shape. [-], 0 to 1

    Raises
    ------
    OutOfRange : a value leaves its range, or less came out than was drawn.

    Notes
    -----
    Moves with pressure, hose length and a clogged screen: measured on the day, with the hose of the work and a backflow
    preventer on the water. A dial's 1 to 16 is one part of stock in 16 or in 17 by maker; measured it is neither.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> float(injected_share(0.5, 10.0))
    0.05
    """
    drawn = within("drawn_l", drawn_l, 0.0, 10_000.0, "L")
    delivered = within("delivered_l", delivered_l, 0.01, 1e6, "L")
    return within("share drawn", drawn / delivered, 0.0, 1.0, "")


def stock_share(wanted_share: Numbers, injected_share: Numbers) -> Lanes:
    """How strong the stock is mixed so that an injector delivers a wanted strength.

    Parameters
    ----------
    wanted_share : of concentrate in what comes out. [-], 0 to 1
    injected_share : same shape, see `injected_share`. [-], 0.0001 to 1

    Returns
    -------
    broadcast shape. [-], of concentrate in the stock, 0 to 1

    Raises
    ------
    OutOfRange : a value leaves its range, or the injector draws too little for it.

    Notes
    -----
    None.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> round(float(stock_share(0.02, 0.05)), 3)
    0.4
    """
    share = (within("wanted_share", wanted_share, 0.0, 1.0, "")
             / within("injected_share", injected_share, 1e-4, 1.0, ""))
    return within("share of concentrate in the stock", share, 0.0, 1.0, "")


def nozzle_wear(caught: Numbers) -> Wear:
    """Which nozzles of a set are worn or clogged.

    Parameters
    ----------
    caught : of each nozzle in the same time, three or more. [any unit], above 0 to 1e6

    Returns
    -------
    Wear(off_pct, worst_pct, replace)

    Raises
    ------
    OutOfRange : a value leaves its range, or there are fewer than three.

    Notes
    -----
    Off the median of the set, which one bad nozzle does not move as it moves the mean. A set that wore evenly looks
    sound here: catch a new one beside it. Clean before replacing.

    References
    ----------
    Table tank/tolerances, nozzle_from_the_set (memory); the median: JUDGEMENT.

    Examples
    --------
    >>> wear = nozzle_wear([16.2, 15.8, 17.9, 16.0])
    >>> round(wear.worst_pct, 1), wear.replace
    (11.2, (False, False, True, False))
    """
    flows = np.atleast_1d(within("caught", caught, 1e-6, 1e6, ""))
    if flows.size < 3:
        raise OutOfRange("too few nozzles to tell one from the set", value=f"{flows.size} nozzles",
                         right="catch three or more")
    off = 100.0 * (flows / np.median(flows) - 1.0)
    most = table("tank/tolerances").row(name="nozzle_from_the_set")["most_pct"]
    return Wear(off, float(np.abs(off).max()), tuple(bool(each) for each in np.abs(off) > most))


def evenness(caught: Numbers) -> Evenness:
    """How evenly a pass of the hose or boom fell on a set of equal cans.

    Parameters
    ----------
    caught : in each can, four or more, not all 0. [any unit], 0 to 1e6

    Returns
    -------
    Evenness(mean, cv_pct, cu_pct, du_pct); the spread with n - 1

    Raises
    ------
    OutOfRange : a value leaves its range, fewer than four cans, or all empty.

    Notes
    -----
    CU is 100 (1 - sum|x - m| / sum x) after Christiansen, DU the mean of the lowest quarter over the mean, see
    `lower_quarter_uniformity`.

    References
    ----------
    Christiansen 1942, Irrigation by sprinkling, Univ. California Bull. 670 (memory).

    Examples
    --------
    >>> [round(value, 2) for value in evenness([92, 101, 88, 110, 97, 104, 95, 113])]
    [100.0, 8.68, 93.0, 90.0]
    """
    cans = np.atleast_1d(within("caught", caught, 0.0, 1e6, ""))
    mean = float(cans.mean()) if cans.size else 0.0
    low = lower_quarter_uniformity(cans / mean if mean > 0.0 else cans)
    return Evenness(mean, variation_pct(cans),
                    100.0 * (1.0 - float(np.abs(cans - mean).sum() / cans.sum())), 100.0 * low)
