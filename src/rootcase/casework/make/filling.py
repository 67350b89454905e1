"""Before a tank is filled: weight, the gap above the rim, and whether it mixes at all."""

from __future__ import annotations

from typing import NamedTuple

from rootcase.records.make.rates import AxleLoads, FillingGap, Jar, JarStep, LoadWeight, Payload
from rootcase.science.tank import loads, mixing
from rootcase.science.tank.batch import water_weight_kg
from rootcase.tables.load import table


class Chassis(NamedTuple):
    """The two axles as they stand empty on a scale, their ratings, and where the tank sits. [kg], [m]"""

    empty: loads.Axles
    rating: loads.Axles
    tank_ahead_of_rear_m: float
    wheelbase_m: float


def least_air_gap_m() -> float:
    """How far above the rim does a filling hose end at least, whatever its width?

    Parameters
    ----------
    None.

    Returns
    -------
    The least of all sources. [m]

    Raises
    ------
    Missing : there is no such table.

    Notes
    -----
    The local cross-connection rule may want more.

    References
    ----------
    Table tank/air_gaps, a source each row (seen).

    Examples
    --------
    >>> least_air_gap_m()
    0.0254
    """
    return min(float(row["least_m"]) for row in table("tank/air_gaps").rows if row["least_m"])


def payload(volume_l: float, rating_kg: float, curb_kg: float, aboard_kg: float,
            chassis: Chassis | None = None) -> Payload:
    """What a load weighs against what the vehicle's label leaves.

    Parameters
    ----------
    volume_l : of liquid. [L]
    rating_kg : gross vehicle weight rating, from the label in the door. [kg]
    curb_kg : of the vehicle as it stands on a scale. [kg]
    aboard_kg : crew, empty tank, pump, hoses, compost, tools. [kg]
    chassis : its axles; None: not told.

    Returns
    -------
    Payload: the load against what is left, see `load_weight`, and the axles. [kg], [L]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    A warning, no permission. On the axles only the tank is placed; what else is aboard is on neither, so that the
    sums of the axles are too small by it: weigh with all of it in the empty figures.

    References
    ----------
    `payload_left_kg`, `axle_weights_kg`.

    Examples
    --------
    >>> found = payload(1135.6, 4500.0, 2900.0, 443.3).load
    >>> round(found.weight_kg), round(found.left_kg), round(found.spare_kg), found.takes_another_person
    (1135, 1157, 22, False)
    """
    left = float(loads.payload_left_kg(rating_kg, curb_kg, aboard_kg, 0.0))
    return Payload(load=load_weight(volume_l, left), axles=chassis and _axles(chassis, volume_l))


def load_weight(volume_l: float, left_kg: float) -> LoadWeight:
    """What a load weighs against what is left of the payload.

    Parameters
    ----------
    volume_l : of liquid. [L]
    left_kg : rating less the vehicle and all else aboard; 0 or less where it is overloaded without. [kg]

    Returns
    -------
    LoadWeight: weight, left before and after it, the most liquid, and whether one more person may come along. [kg], [L]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    A warning, no permission.

    References
    ----------
    `water_weight_kg`; table tank/aboard.

    Examples
    --------
    >>> load_weight(1000.0, 900.0).most_l < 901.0
    True
    """
    weight = float(water_weight_kg(volume_l))
    return LoadWeight(volume_l=volume_l, weight_kg=weight, left_kg=left_kg, spare_kg=left_kg - weight,
                      most_l=max(left_kg, 0.0) / float(water_weight_kg(1.0)),
                      takes_another_person=left_kg - weight >= loads.person_kg())


def filling_gap(hose_inside_diameter_m: float) -> FillingGap:
    """How far above the rim of the tank a filling hose ends.

    Parameters
    ----------
    hose_inside_diameter_m : of the hose. [m]

    Returns
    -------
    FillingGap by both rules. [m] each

    Raises
    ------
    OutOfRange : the diameter leaves its range.

    Notes
    -----
    The local cross-connection law rules.

    References
    ----------
    `air_gap_m`; table tank/air_gaps.

    Examples
    --------
    >>> filling_gap(0.0381)
    FillingGap(twice_the_hose_m=0.0762, six_inches_m=0.1524)
    """
    twice, six = (float(loads.air_gap_m(hose_inside_diameter_m, rule)) for rule in ("twice_the_hose", "six_inches"))
    return FillingGap(twice_the_hose_m=twice, six_inches_m=six)


def jar(product_l_m2: float | None = None) -> Jar:
    """How two things are tried together in a jar, and in which order they meet in the tank.

    Parameters
    ----------
    product_l_m2 : rate of the product alone; None: not told. [L m-2]

    Returns
    -------
    Jar: the portion for a litre, the steps, the order. [mL]

    Raises
    ------
    OutOfRange : the rate leaves its range.

    Notes
    -----
    A product's own label goes before it.

    References
    ----------
    `jar_test`, `mix_order`, `jar_portion_ml`.

    Examples
    --------
    >>> jar(0.0002).portion_ml, len(jar().steps)
    (20.0, 6)
    """
    portion = None if product_l_m2 is None else float(mixing.jar_portion_ml(product_l_m2))
    steps = tuple(JarStep(what=step.what, amount=step.amount, unit=step.unit) for step in mixing.jar_test())
    return Jar(portion_ml=portion, steps=steps, order=mixing.mix_order())


def _axles(chassis: Chassis, volume_l: float) -> AxleLoads:
    front, rear = loads.axle_weights_kg(chassis.empty, [float(water_weight_kg(volume_l))],
                                        [chassis.tank_ahead_of_rear_m], chassis.wheelbase_m)
    return AxleLoads(front_kg=front, rear_kg=rear, front_spare_kg=chassis.rating.front_kg - front,
                     rear_spare_kg=chassis.rating.rear_kg - rear)
