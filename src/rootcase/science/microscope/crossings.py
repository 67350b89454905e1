"""Length of hyphae or fine roots from how often they cross the lines of a grid."""

from __future__ import annotations

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within

MOST_CROSSINGS = 1e6


def line_length_mm(area_mm2: Numbers, spacing_mm: Numbers) -> Lanes:
    """How long are all lines of a square grid over an area, both ways together?

    Parameters
    ----------
    area_mm2 : the area the grid covers; scalar or one per lane. [mm2], 1e-6 to 1e6
    spacing_mm : from line to line. [mm], 0.001 to 100

    Returns
    -------
    same shape. [mm]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Lines one way only are half as long: a factor of pi/2 for them, used on a square grid, doubles the length.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> float(line_length_mm(10_000, 10))
    2000.0
    """
    return (2.0 * within("area_mm2", area_mm2, 1e-6, 1e6, "mm2")
            / within("spacing_mm", spacing_mm, 1e-3, 100.0, "mm"))


def newman_length_mm(crossings: Numbers, area_mm2: Numbers, line_length_mm: Numbers) -> Lanes:
    """How long is all that lies in an area, by its crossings with lines of known length?

    Parameters
    ----------
    crossings : counted, or an end of their interval; scalar or one per lane. [1], 0 to 1,000,000
    area_mm2 : where it lies, at the scale of the lines. [mm2], 1e-6 to 1e6
    line_length_mm : all lines over that area. [mm], 0.001 to 1e6

    Returns
    -------
    same shape. [mm]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Area and lines in the same scale: on the slide, not in the eyepiece. Holds for what lies in all directions, or for
    lines laid at random. One hypha that crosses a line three times counts three. Pieces longer than the mesh scatter
    less than their crossings by a Poisson law would (0.35/sqrt(N) where 1/sqrt(N) is that law's; simulated): its
    interval is wide enough for one slide, and the fields' own scatter still rules.

    References
    ----------
    Newman 1966, A method of estimating the total length of root in a sample, J. Appl. Ecol. 3:139-145 (seen: abstract),
    R = pi N A / 2 H; Olson 1950, Quantitative estimates of filamentous algae, Trans. Am. Microsc. Soc. 69:272-279
    (memory), the same for a film under the microscope.

    Examples
    --------
    >>> round(float(newman_length_mm(100, 2500, 1000)), 2)
    392.7
    """
    return np.asarray(np.pi / 2.0 * within("crossings", crossings, 0.0, MOST_CROSSINGS, "")
                      * within("area_mm2", area_mm2, 1e-6, 1e6, "mm2")
                      / within("line_length_mm", line_length_mm, 1e-3, 1e6, "mm"))


def tennant_length_mm(crossings: Numbers, spacing_mm: Numbers) -> Lanes:
    """How long is all that lies on a square grid, by its crossings with the lines of both ways?

    Parameters
    ----------
    crossings : counted over the whole grid, or an end of their interval; scalar or one per lane. [1], 0 to 1,000,000
    spacing_mm : from line to line. [mm], 0.001 to 100

    Returns
    -------
    same shape. [mm]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    11/14 for pi/4, which it exceeds by 0.04 %: with it a sheet agrees with those reckoned by hand.

    References
    ----------
    Tennant 1975, A test of a modified line intersect method of estimating root length, J. Ecol. 63:995-1001 (memory).

    Examples
    --------
    >>> round(float(tennant_length_mm(142, 10)), 1)
    1115.7
    """
    return (11.0 / 14.0 * within("crossings", crossings, 0.0, MOST_CROSSINGS, "")
            * within("spacing_mm", spacing_mm, 1e-3, 100.0, "mm"))


def length_per_gram_m(mean_mm_per_field: Numbers, field_area_mm2: Numbers, filter_area_mm2: Numbers,
                      dry_g_on_filter: Numbers) -> Lanes:
    """How many metres of hyphae are in a dry gram, from a membrane filter?

    Parameters
    ----------
    mean_mm_per_field : mean of the fields, or an end of its interval; scalar or one per lane. [mm], 0 to 1000
    field_area_mm2 : one field. [mm2], 1e-6 to 1000
    filter_area_mm2 : the part that was wetted. [mm2], 1 to 10,000
    dry_g_on_filter : dry soil in what was filtered. [g], 1e-9 to 10

    Returns
    -------
    same shape. [m/g dry]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Living and dead hyphae alike, and of no one fungus. What hides under grains is missed.

    References
    ----------
    Field mean times filter area over field area (computed); the membrane filter method, common practice, no source.

    Examples
    --------
    >>> round(float(length_per_gram_m(0.35, 0.159043, 201.062, 0.0005)))
    885
    """
    return (within("mean_mm_per_field", mean_mm_per_field, 0.0, 1000.0, "mm")
            * within("filter_area_mm2", filter_area_mm2, 1.0, 1e4, "mm2")
            / within("field_area_mm2", field_area_mm2, 1e-6, 1000.0, "mm2")
            / within("dry_g_on_filter", dry_g_on_filter, 1e-9, 10.0, "g") / 1000.0)


def length_per_ml_m(mean_mm_per_field: Numbers, volume_ml: Numbers, dilution: Numbers) -> Lanes:
    """How many metres of hyphae are in a millilitre, from fields of a wet mount?

    Parameters
    ----------
    mean_mm_per_field : mean of the fields, or an end of its interval; scalar or one per lane. [mm], 0 to 1000
    volume_ml : that one field holds. [mL], 1e-12 to 1
    dilution : so many times thinner than the liquid asked about; 1 for none. [1], 1 to 1e9

    Returns
    -------
    same shape. [m/mL]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The length that is seen lies flat: hyphae that climb through the film are read too short.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> round(float(length_per_ml_m(0.05, 9.8175e-6, 5)), 2)
    25.46
    """
    return (within("mean_mm_per_field", mean_mm_per_field, 0.0, 1000.0, "mm")
            / within("volume_ml", volume_ml, 1e-12, 1.0, "mL")
            * within("dilution", dilution, 1.0, 1e9, "times") / 1000.0)
