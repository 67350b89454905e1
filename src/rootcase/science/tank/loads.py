"""How many tanks a day takes, what they weigh, and how they are filled without harm to the mains."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.ground.errors import OutOfRange
from rootcase.ground.units import convert
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.tank.batch import WATER_KG_L, water_weight_kg
from rootcase.tables.load import table

MOST_VOLUME_L = 1e6
MOST_MASS_KG = 100_000.0
HAIR = 1e-9
"""A share of a tank that is rounding, no load."""


class Parts(NamedTuple):
    """What goes into one load. [L] each"""

    concentrate_l: Lanes
    water_l: Lanes


class Axles(NamedTuple):
    """What each axle carries, or what it could still carry. [kg] each"""

    front_kg: float
    rear_kg: float


def loads_l(volume_l: float, tank_l: float, least_l: float) -> tuple[float, ...]:
    """How a volume is parted into tanks.

    Parameters
    ----------
    volume_l : of the whole job. [L], 0 to 1,000,000
    tank_l : that one tank takes. [L], 1 to 100,000
    least_l : below which the tank cannot be stirred or pumped evenly; 0 where any load can. [L], 0 to half the tank

    Returns
    -------
    [L], one a load, full ones first; empty for no volume. A last load below the least shares with the one before it

    Raises
    ------
    OutOfRange : a value leaves its range, or the whole job is less than the least load.

    Notes
    -----
    Where the tank divides the volume there is no further load, also after conversion of units.

    References
    ----------
    Arithmetic (computed); sharing with the last full load: JUDGEMENT.

    Examples
    --------
    >>> loads_l(730.0, 300.0, 0.0), loads_l(600.0, 300.0, 0.0), loads_l(640.0, 300.0, 50.0)
    ((300.0, 300.0, 130.0), (300.0, 300.0), (300.0, 170.0, 170.0))
    """
    volume = float(within("volume_l", volume_l, 0.0, MOST_VOLUME_L, "L"))
    tank = float(within("tank_l", tank_l, 1.0, 100_000.0, "L"))
    least = float(within("least_l", least_l, 0.0, tank / 2.0, "L"))
    full = int(volume / tank + HAIR)
    last = volume - full * tank
    if last <= HAIR * tank:
        return (tank,) * full
    if last >= least:
        return *(tank,) * full, last
    if not full:
        raise OutOfRange("the whole job is less than the least load of this tank", value=f"{volume:g} L",
                         right=f"take a smaller tank, or mix {least:g} L and say where the rest goes")
    return *(tank,) * (full - 1), (tank + last) / 2.0, (tank + last) / 2.0


def parts_of_load_l(load_l: Numbers, concentrate_share: Numbers) -> Parts:
    """How much concentrate and water a load takes, a short one in the same ratio.

    Parameters
    ----------
    load_l : see `loads_l`. [L], 0 to 100,000
    concentrate_share : same shape. [-], 0 to 1

    Returns
    -------
    Parts(concentrate_l, water_l), broadcast shape. [L] each

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
    >>> [round(float(part), 3) for part in parts_of_load_l(130.0, 0.2)]
    [26.0, 104.0]
    """
    load = within("load_l", load_l, 0.0, 100_000.0, "L")
    concentrate = load * within("concentrate_share", concentrate_share, 0.0, 1.0, "")
    return Parts(np.asarray(concentrate), np.asarray(load - concentrate))


def person_kg() -> float:
    """What one more person aboard is reckoned to weigh.

    Returns
    -------
    [kg]

    Raises
    ------
    Missing : never; the table is always there.

    Notes
    -----
    A rating counts as much for each seat; people and their boots weigh more.

    References
    ----------
    Table tank/aboard (memory).

    Examples
    --------
    >>> round(person_kg(), 1)
    68.0
    """
    return convert(table("tank/aboard").row(what="person")["weight_lb"], "lb", "kg")


def payload_left_kg(rating_kg: Numbers, curb_kg: Numbers, aboard_kg: Numbers, volume_l: Numbers) -> Lanes:
    """How much weight a vehicle could still take with its tank filled.

    Parameters
    ----------
    rating_kg : gross vehicle weight rating, from the vehicle's label. [kg], 100 to 100,000
    curb_kg : same shape, of the vehicle as it stands on a scale. [kg], 100 to 100,000
    aboard_kg : same shape, crew, empty tank, pump, hoses, compost, tools, fuel the scale did not see.
        [kg], 0 to 100,000
    volume_l : same shape, of liquid. [L], 0 to 100,000

    Returns
    -------
    broadcast shape. [kg]; below 0 the vehicle is overloaded

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    A warning, no permission: ratings of axles, tires and hitch and the license law govern as well. A tank half full
    without baffles surges most and can turn a vehicle over; fill it or empty it before the road.

    References
    ----------
    Payload as rating less curb weight: pages on vehicle weights (seen); arithmetic (computed).

    Examples
    --------
    >>> round(float(payload_left_kg(4500.0, 2900.0, 480.0, 1100.0)), 1)
    20.7
    """
    rating, curb, aboard = _vehicle(rating_kg, curb_kg, aboard_kg)
    liquid = water_weight_kg(within("volume_l", volume_l, 0.0, 100_000.0, "L"))
    return np.asarray(rating - curb - aboard - liquid)


def most_volume_l(rating_kg: Numbers, curb_kg: Numbers, aboard_kg: Numbers) -> Lanes:
    """How much liquid a vehicle may carry by its rating.

    Parameters
    ----------
    rating_kg : gross vehicle weight rating, from the vehicle's label. [kg], 100 to 100,000
    curb_kg : same shape, of the vehicle as it stands on a scale. [kg], 100 to 100,000
    aboard_kg : same shape, as in `payload_left_kg`. [kg], 0 to 100,000

    Returns
    -------
    broadcast shape. [L]; 0 where it is overloaded without any

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Shown rounded downward, never up. The cautions of `payload_left_kg` hold.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> int(most_volume_l(4500.0, 2900.0, 480.0))
    1120
    """
    rating, curb, aboard = _vehicle(rating_kg, curb_kg, aboard_kg)
    return np.asarray(np.maximum(rating - curb - aboard, 0.0) / WATER_KG_L)


def axle_weights_kg(empty: Axles, masses_kg: Numbers, ahead_of_rear_m: Numbers, wheelbase_m: float) -> Axles:
    """How what is aboard weighs on the two axles.

    Parameters
    ----------
    empty : Axles(front_kg, rear_kg) of the vehicle as it stands on a scale. [kg] each, 0 to 100,000
    masses_kg : one a thing aboard, the filled tank among them. [kg], 0 to 100,000
    ahead_of_rear_m : one for each, from the rear axle to its middle; behind that axle negative. [m], -10 to 20
    wheelbase_m : between the axles. [m], 1 to 15

    Returns
    -------
    Axles(front_kg, rear_kg). [kg] each

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Levels on flat ground, at rest. A load behind the rear axle lifts the front one and the steering with it. Held
    against the label's rating of each axle by the caller; a scale goes before any of it.

    References
    ----------
    Statics of a beam on two supports (computed).

    Examples
    --------
    >>> axle_weights_kg(Axles(1500.0, 1200.0), [1000.0], [0.9], 3.6)
    Axles(front_kg=1750.0, rear_kg=1950.0)
    """
    masses = within("masses_kg", masses_kg, 0.0, MOST_MASS_KG, "kg")
    arms = within("ahead_of_rear_m", ahead_of_rear_m, -10.0, 20.0, "m")
    wheelbase = float(within("wheelbase_m", wheelbase_m, 1.0, 15.0, "m"))
    front, rear = (float(weight) for weight in within("empty", empty, 0.0, MOST_MASS_KG, "kg"))
    forward = float(np.sum(masses * arms)) / wheelbase
    return Axles(front + forward, rear + float(np.sum(masses)) - forward)


def air_gap_m(hose_inside_diameter_m: Numbers, rule: str) -> Lanes:
    """How far above the tank's rim a filling hose ends, so that nothing is drawn back into the mains.

    Parameters
    ----------
    hose_inside_diameter_m : scalar or one per hose. [m], 0.002 to 0.3
    rule : of the table tank/air_gaps, "twice_the_hose" or "six_inches"

    Returns
    -------
    same shape, the least. [m]

    Raises
    ------
    OutOfRange : the diameter leaves its range.
    Missing : the table has no such rule.

    Notes
    -----
    The local cross-connection law rules, and asks for a backflow preventer in many places; a licensed plumber fits and
    tests it. A hose that hangs in the tank has no gap, whatever valve it has.

    References
    ----------
    Table tank/air_gaps, a source each row (seen).

    Examples
    --------
    >>> air_gap_m([0.0381, 0.0095], "twice_the_hose").round(4).tolist()
    [0.0762, 0.0254]
    """
    row = table("tank/air_gaps").row(rule=rule)
    inside = within("hose_inside_diameter_m", hose_inside_diameter_m, 0.002, 0.3, "m")
    return np.asarray(np.maximum(row["diameters"] * inside, row["least_m"]))


def _vehicle(rating_kg: Numbers, curb_kg: Numbers, aboard_kg: Numbers) -> tuple[Lanes, Lanes, Lanes]:
    return (within("rating_kg", rating_kg, 100.0, MOST_MASS_KG, "kg"),
            within("curb_kg", curb_kg, 100.0, MOST_MASS_KG, "kg"),
            within("aboard_kg", aboard_kg, 0.0, MOST_MASS_KG, "kg"))
