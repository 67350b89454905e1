"""What a ring pushed into the ground tells of the water it takes in, and what books say of soils long wetted."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rootcase.science.circle import depth_in_circle_mm
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.soil.by_class import Between, Names, figures_by_name
from rootcase.tables.load import table


def ring_depth_mm(water_ml: Numbers, ring_diameter_mm: Numbers) -> Lanes:
    """How deep a measured pour stands in a ring.

    Parameters
    ----------
    water_ml : scalar or one per lane. [mL], 0 to 100,000
    ring_diameter_mm : same shape, inside. [mm], 40 to 1,000

    Returns
    -------
    same shape. [mm]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source pours 444 mL and calls it an inch, which holds in a ring of 149.2 mm only; a ring of 6 in needs
    463 mL. So the depth comes from the ring itself.

    References
    ----------
    USDA Natural Resources Conservation Service, Soil Quality Test Kit Guide, chapter 3 (seen in a copy on the
    web); the depth is geometry (computed).

    Examples
    --------
    >>> round(float(ring_depth_mm(463.33, 152.4)), 2)
    25.4
    """
    return depth_in_circle_mm(within("water_ml", water_ml, 0.0, 100_000.0, "mL"),
                              within("ring_diameter_mm", ring_diameter_mm, 40.0, 1000.0, "mm"))


def ring_rate_mm_h(water_ml: Numbers, ring_diameter_mm: Numbers, time_min: Numbers) -> Lanes:
    """How fast the ground took in the second pour.

    Parameters
    ----------
    water_ml : scalar or one per lane, the second pour alone. [mL], 0 to 100,000
    ring_diameter_mm : same shape, inside. [mm], 40 to 1,000
    time_min : same shape, until the surface only glistens. [min], 0.02 to 1,440

    Returns
    -------
    same shape. [mm h-1]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    A single ring reads high, for water leaves it sideways; the median of several is reported.

    References
    ----------
    USDA Natural Resources Conservation Service, Soil Quality Test Kit Guide, chapter 3 (seen in a copy on the web).

    Examples
    --------
    >>> round(float(ring_rate_mm_h(463.33, 152.4, 10.0)), 1)
    152.4
    """
    return ring_depth_mm(water_ml, ring_diameter_mm) / (within("time_min", time_min, 0.02, 1440.0, "min") / 60.0)


def permeability_class(rate_mm_h: Numbers) -> NDArray[np.str_]:
    """What a rate of intake is called, from very slow to very rapid.

    Parameters
    ----------
    rate_mm_h : scalar or one per lane. [mm h-1], 0 to 100,000

    Returns
    -------
    same shape, the name of the class, such as "moderately_slow".

    Raises
    ------
    OutOfRange : the rate leaves its range.

    Notes
    -----
    A rate on a border belongs to the slower class, for the source's fastest is "over 20 in/h".

    References
    ----------
    Permeability classes of the USDA soil surveys, in in/h, as in a course manual's Unit 2.1 (seen). Borders
    between the inner classes: JUDGEMENT.

    Examples
    --------
    >>> str(permeability_class(10.0))
    'moderately_slow'
    """
    rate = within("rate_mm_h", rate_mm_h, 0.0, 100_000.0, "mm/h")
    *faster, slowest = table("soil/permeability_classes").rows
    chosen: NDArray[np.str_] = np.select(
        [rate > row["over_mm_h"] for row in faster], [row["permeability"] for row in faster],
        slowest["permeability"])[()]
    return chosen


def steady_rate_mm_h(soil: Names, by: str) -> Between:
    """The rate a book gives for a soil that has been taking in water for long.

    Parameters
    ----------
    soil : name of a soil or one per lane, as the book has it: "loam" (FAO), "loams" (Hillel)
    by : "fao" or "hillel", whose figures

    Returns
    -------
    Between(low, high); an open end is 0 or infinite. [mm h-1]

    Raises
    ------
    Missing : this source has no such soil.

    Notes
    -----
    The two differ by a factor of two for loams and stay apart. FAO's row for sand prints "less than 30" and is read
    as more than 30. They are rates of open, undisturbed ground; trodden ground takes in less.

    References
    ----------
    Food and Agriculture Organization, Irrigation Methods, Annex 2, Table 7; Hillel 1982, Introduction to Soil Physics:
    table soil/steady_infiltration (seen in copies, the second's book memory).

    Examples
    --------
    >>> [float(end) for by, soil in (("fao", "loam"), ("hillel", "loams")) for end in steady_rate_mm_h(soil, by)]
    [10.0, 20.0, 5.0, 10.0]
    """
    return Between(*figures_by_name("soil/steady_infiltration", "soil", soil, ("low_mm_h", "high_mm_h"), by=by))
