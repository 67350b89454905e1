"""From what one field, square or smear shows to numbers per millilitre and per gram.

All are proportional to the count: what holds for the mean holds for the two ends of its interval.
"""

from __future__ import annotations

import numpy as np

from rootcase.science.circle import circle_area
from rootcase.science.lanes import Lanes, Numbers, within

MOST_COUNT = 1e6
"""Of one field or square, or its mean."""
MOST_DILUTION = 1e9
LEAST_VOLUME_ML, MOST_VOLUME_ML = 1e-12, 1.0
MOST_DENSITY = 1e15
"""Per millilitre or gram."""


def field_diameter_mm(field_number_mm: Numbers, objective: Numbers) -> Lanes:
    """How wide is the circle that is seen?

    Parameters
    ----------
    field_number_mm : the figure engraved on the eyepiece; scalar or one per lane. [mm], 5 to 40
    objective : magnification of the objective; times that of a tube lens that magnifies. [1], 1 to 200

    Returns
    -------
    same shape. [mm]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Measure the field once with a stage micrometer: the engraved figure is rounded, and the area goes with its square.

    References
    ----------
    Field number over magnification; common practice, no source.

    Examples
    --------
    >>> float(field_diameter_mm(18, 40))
    0.45
    """
    return (within("field_number_mm", field_number_mm, 5.0, 40.0, "mm")
            / within("objective", objective, 1.0, 200.0, "times"))


def circle_area_mm2(diameter_mm: Numbers) -> Lanes:
    """How much ground does a round field, filter or cover slip cover?

    Parameters
    ----------
    diameter_mm : scalar or one per lane. [mm], 0.001 to 200

    Returns
    -------
    same shape. [mm2]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Of a filter the part that was wetted counts, inside the clamp.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> round(float(circle_area_mm2(0.45)), 6)
    0.159043
    """
    return circle_area(within("diameter_mm", diameter_mm, 1e-3, 200.0, "mm"))


def film_thickness_um(drop_ul: Numbers, cover_area_mm2: Numbers) -> Lanes:
    """How thick does a drop lie under its cover slip?

    Parameters
    ----------
    drop_ul : scalar or one per lane. [uL], 0.1 to 1000
    cover_area_mm2 : area of the cover slip. [mm2], 10 to 5000

    Returns
    -------
    same shape. [um]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The drop must reach every edge and none may run out. The film is far thicker than what is sharp at once: small cells
    above and below are missed unless the focus is moved through it.

    References
    ----------
    Geometry (computed): 1 uL is 1 mm3.

    Examples
    --------
    >>> round(float(film_thickness_um(20, 18 * 18)), 2)
    61.73
    """
    return (1000.0 * within("drop_ul", drop_ul, 0.1, 1000.0, "uL")
            / within("cover_area_mm2", cover_area_mm2, 10.0, 5000.0, "mm2"))


def counted_volume_ml(area_mm2: Numbers, depth_mm: Numbers) -> Lanes:
    """How much liquid stands in a square of a chamber, or in one field of a film?

    Parameters
    ----------
    area_mm2 : the square or field looked at; scalar or one per lane. [mm2], 1e-6 to 1000
    depth_mm : of the chamber, or thickness of the film. [mm], 0.001 to 5

    Returns
    -------
    same shape. [mL]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    A chamber's cover must show coloured rings where it is seated, else the depth is not what is engraved. What lies on
    the top or left line is in, on the bottom or right line out.

    References
    ----------
    Geometry (computed): 1 mm3 is 0.001 mL.

    Examples
    --------
    >>> float(counted_volume_ml(1.0, 0.02))
    2e-05
    """
    return (within("area_mm2", area_mm2, 1e-6, 1000.0, "mm2")
            * within("depth_mm", depth_mm, 1e-3, 5.0, "mm") / 1000.0)


def drop_in_field_ml(field_area_mm2: Numbers, spread_area_mm2: Numbers, drop_ul: Numbers) -> Lanes:
    """How much of a drop lies in one field, under a cover slip or dried on the slide?

    Parameters
    ----------
    field_area_mm2 : looked at; scalar or one per lane. [mm2], 1e-6 to the whole
    spread_area_mm2 : of the cover slip, or of the smear. [mm2], 1 to 5000
    drop_ul : laid on. [uL], 0.1 to 1000

    Returns
    -------
    same shape. [mL]

    Raises
    ------
    OutOfRange : a value leaves its range, or the field is more than the whole.

    Notes
    -----
    The drop must reach every edge and none may run out. Where it dried unevenly, count by rings.

    References
    ----------
    Geometry (computed): 1 uL is 0.001 mL.

    Examples
    --------
    >>> round(float(drop_in_field_ml(0.159, 324, 20)), 9)
    9.815e-06
    """
    field = within("field_area_mm2", field_area_mm2, 1e-6, 1000.0, "mm2")
    spread = within("spread_area_mm2", spread_area_mm2, 1.0, 5000.0, "mm2")
    share = within("field_area_mm2 over spread_area_mm2", field / spread, 0.0, 1.0, "")
    return np.asarray(share * within("drop_ul", drop_ul, 0.1, 1000.0, "uL") / 1000.0)


def number_per_ml(mean_count: Numbers, volume_ml: Numbers, dilution: Numbers) -> Lanes:
    """How many are in a millilitre of the liquid before it was diluted?

    Parameters
    ----------
    mean_count : mean of the squares or fields, or an end of its interval. [1], 0 to 1,000,000
    volume_ml : that one square or field holds. [mL], 1e-12 to 1
    dilution : so many times thinner than the liquid asked about; 1 for none. [1], 1 to 1e9

    Returns
    -------
    same shape. [1/mL]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Without a stain living, dead and mineral look alike: it is a direct (total) count. A dilution has an error of its
    own, which stands in no count.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> float(number_per_ml(45, counted_volume_ml(1.0, 0.1), 5))
    2250000.0
    """
    return (within("mean_count", mean_count, 0.0, MOST_COUNT, "")
            / within("volume_ml", volume_ml, LEAST_VOLUME_ML, MOST_VOLUME_ML, "mL")
            * within("dilution", dilution, 1.0, MOST_DILUTION, "times"))


def number_per_gram(number_per_ml: Numbers, suspension_ml: Numbers, mass_g: Numbers) -> Lanes:
    """How many came from a gram of what was shaken up?

    Parameters
    ----------
    number_per_ml : in the suspension; scalar or one per lane. [1/mL], 0 to 1e15
    suspension_ml : all of it: the water added and the room of what was put in. [mL], 0.001 to 1,000,000
    mass_g : what was put in; its dry mass for a number per dry gram. [g], 1e-6 to 1,000,000

    Returns
    -------
    same shape. [1/g]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    1 g of moist soil takes the room of about 1 mL (JUDGEMENT). What stayed on the grains is not counted: see
    `corrected_for_recovery`.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> float(number_per_gram(1.5e6, 5.0, 0.25))
    30000000.0
    """
    return (within("number_per_ml", number_per_ml, 0.0, MOST_DENSITY, "1/mL")
            * within("suspension_ml", suspension_ml, 1e-3, 1e6, "mL") / within("mass_g", mass_g, 1e-6, 1e6, "g"))


def smear_per_gram(mean_per_field: Numbers, fields_per_cm2: Numbers, dry_g_per_cm2: Numbers) -> Lanes:
    """How many are in a dry gram, counted on a smear that has dried on its slide?

    Parameters
    ----------
    mean_per_field : scalar or one per lane. [1], 0 to 1,000,000
    fields_per_cm2 : so many fields make a square centimetre. [1/cm2], 1 to 1e8
    dry_g_per_cm2 : dry soil that lies on a square centimetre. [g/cm2], 1e-12 to 1

    Returns
    -------
    same shape. [1/g dry]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    A drop dries with a rim: count by rings (`ring_weighted_mean`) or spread it evenly.

    References
    ----------
    University of Florida, Soil Microbial Ecology manual, after Babiuk and Paul 1970 (seen: an excerpt).

    Examples
    --------
    >>> f"{float(smear_per_gram(15, 8264, 1e-6)):.4g}"
    '1.24e+11'
    """
    return (within("mean_per_field", mean_per_field, 0.0, MOST_COUNT, "")
            * within("fields_per_cm2", fields_per_cm2, 1.0, 1e8, "1/cm2")
            / within("dry_g_per_cm2", dry_g_per_cm2, 1e-12, 1.0, "g/cm2"))


def corrected_for_recovery(number: Numbers, recovery: Numbers) -> Lanes:
    """How many were there, where a known part of them was found?

    Parameters
    ----------
    number : as counted, per millilitre or gram; scalar or one per lane. [any], 0 to 1e15
    recovery : found of what was put in, from a trial of one's own. [1], 0.01 to 1.5

    Returns
    -------
    same shape. [unit of the number]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    A recovery has an error of its own: take it into the interval (`product_limits_drawn`). Above 1 it is the trial's
    own scatter. Without a trial no correction is made.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> float(corrected_for_recovery(8e8, 0.8))
    1000000000.0
    """
    return within("number", number, 0.0, MOST_DENSITY, "") / within("recovery", recovery, 0.01, 1.5, "")
