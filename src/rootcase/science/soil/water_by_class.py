"""Water a soil holds, by the name of its class alone: published sets side by side, each under its own name."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.soil.by_class import Between, Names, figures_by_name
from rootcase.tables.load import table

STEPS_FROM = (0.0, 0.25, 0.5, 0.75)  # of the available water, as the chart for the hand has them


class ClassWater(NamedTuple):
    """Water held [m3 m-3] at three states, and let through when full [mm h-1]."""

    wilting_point: Lanes
    field_capacity: Lanes
    saturation: Lanes
    conductivity_mm_h: Lanes


def fao_class_water(texture: Names) -> ClassWater:
    """What a texture class holds and lets through by FAO's default soils, beside Saxton and Rawls.

    Parameters
    ----------
    texture : name of a class or one per lane, as `texture_class` gives it

    Returns
    -------
    ClassWater(wilting_point, field_capacity, saturation, conductivity_mm_h). [m3 m-3], the last [mm h-1]

    Raises
    ------
    Missing : there is no such class.

    Notes
    -----
    The source prints mm a day. It holds more than `soil_water` does: a clay 0.54 at field capacity against 0.42, a
    sand 0.13 against 0.10. The two are never mixed; say which one a figure comes from.

    References
    ----------
    Food and Agriculture Organization, default soils of the AquaCrop model: table soil/water_by_class_fao (seen as
    shipped in a public package).

    Examples
    --------
    >>> [round(float(part), 2) for part in fao_class_water("clay")]
    [0.39, 0.54, 0.55, 1.46]
    """
    wilting_point, field_capacity, saturation, through_mm_day = figures_by_name(
        "soil/water_by_class_fao", "texture", texture,
        ("wilting_point", "field_capacity", "saturation", "conductivity_mm_day"))
    return ClassWater(wilting_point, field_capacity, saturation, through_mm_day / 24.0)


def handbook_available_water_mm_m(texture: Names, by: str) -> Between:
    """The available water a handbook gives for a texture.

    Parameters
    ----------
    texture : name of a texture or one per lane, as the handbook names it: also "fine_sand", "very_fine_sandy_loam"
    by : "uc_anr" or "nrcs", whose handbook

    Returns
    -------
    Between(low, high). [mm m-1]

    Raises
    ------
    Missing : this handbook has no such texture; neither has silt or plain sand.

    Notes
    -----
    Both print inches a foot; 1 in/ft is 83.33 mm/m. Where both name a texture they overlap, and neither is averaged.

    References
    ----------
    University of California Agriculture and Natural Resources, Soil Water Holding Characteristics; USDA Natural
    Resources Conservation Service 1998, Estimating Soil Moisture by Feel and Appearance: table
    soil/available_water_handbook (seen in copies).

    Examples
    --------
    >>> [float(end) for end in handbook_available_water_mm_m("loam", "nrcs")]
    [125.0, 175.0]
    """
    return Between(*figures_by_name(
        "soil/available_water_handbook", "texture", texture, ("low_mm_m", "high_mm_m"), by=by))


def depletion_by_feel_mm_m(texture: str, available_share: Numbers) -> Between:
    """How much water is gone from a soil that feels as if so much of its available water were left.

    Parameters
    ----------
    texture : name of the class, as `texture_class` gives it; loams and clays only
    available_share : scalar or one per lane, what is left. [-], 0 to 1

    Returns
    -------
    Between(low, high), to bring it back to field capacity. [mm m-1]

    Raises
    ------
    Missing : the source's pages that were seen do not name this texture.
    OutOfRange : the share leaves 0 to 1.

    Notes
    -----
    The source prints four steps, in inches a foot. Its range joins the doubt of the hand with that of the soil: the
    wetter end of a step in the leaner soil to the drier end in the richer. A share on a border counts to the wetter
    step (JUDGEMENT).

    References
    ----------
    USDA Natural Resources Conservation Service, Estimating Soil Moisture by Feel and Appearance: table
    soil/depletion_by_feel (seen).

    Examples
    --------
    >>> [float(end) for end in depletion_by_feel_mm_m("loam", 0.6)]
    [33.33, 91.67]
    """
    share = within("available_share", available_share, 0.0, 1.0, "")
    steps = [table("soil/depletion_by_feel").row(texture=texture, available_from=low) for low in STEPS_FROM]
    step = np.searchsorted(STEPS_FROM, share, side="right") - 1
    return Between(*(np.array([row[end] for row in steps])[step] for end in ("low_mm_m", "high_mm_m")))
