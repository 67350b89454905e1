"""The twelve USDA texture classes: from a laboratory's shares, from the hand, and back to shares."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rootcase.ground.errors import ImpossibleValue
from rootcase.science.lanes import Numbers, within
from rootcase.tables.load import table

SUM_TOLERANCE = 0.001  # JUDGEMENT: a laboratory rounds to a tenth of a percent

BY_FEEL = {
    "short": {"gritty": "sandy_loam", "neither": "loam", "smooth": "silt_loam"},
    "medium": {"gritty": "sandy_clay_loam", "neither": "clay_loam", "smooth": "silty_clay_loam"},
    "long": {"gritty": "sandy_clay", "neither": "clay", "smooth": "silty_clay"},
}


def texture_class(sand: Numbers, silt: Numbers, clay: Numbers) -> NDArray[np.str_]:
    """Which of the twelve USDA classes a soil of these shares belongs to.

    Parameters
    ----------
    sand : scalar or one per lane, 0.05 to 2 mm. [kg kg-1], 0 to 1
    silt : same shape, 0.002 to 0.05 mm. [kg kg-1], 0 to 1
    clay : same shape, under 0.002 mm. [kg kg-1], 0 to 1

    Returns
    -------
    same shape, the name of the class, such as "silty_clay_loam".

    Raises
    ------
    OutOfRange : a share leaves 0 to 1.
    ImpossibleValue : the three do not sum to 1 within 0.001.

    Notes
    -----
    The source writes percent. Silt is taken as what sand and clay leave, so that rounding opens no gap
    between classes. A point on a border goes where the inequalities put it; polygons drawn from the same
    triangle give the neighbour there, or nothing.

    References
    ----------
    USDA Soil Survey Manual 1993 and 2017, texture triangle; inequalities as coded for the texture calculator
    of the Natural Resources Conservation Service (seen in several public copies; the manual itself not read).

    Examples
    --------
    >>> str(texture_class(0.40, 0.40, 0.20))
    'loam'
    """
    sand = within("sand", sand, 0.0, 1.0, "")
    silt = within("silt", silt, 0.0, 1.0, "")
    clay = within("clay", clay, 0.0, 1.0, "")
    total = sand + silt + clay
    if np.any(wrong := np.abs(total - 1.0) > SUM_TOLERANCE):
        raise ImpossibleValue("sand, silt and clay do not add up", value=f"{100 * total[wrong].flat[0]:g} %",
                              right="they must sum to 100 %")
    # Percent without the last bits, so that 0.29 is 29 and not 28.999999999999996 on a border.
    s, c = np.round(100.0 * sand, 6), np.round(100.0 * clay, 6)
    u = np.round(100.0 - s - c, 6)
    loamy = u + 2.0 * c >= 30.0
    rules = {
        "sand": u + 1.5 * c < 15,
        "loamy_sand": (u + 1.5 * c >= 15) & ~loamy,
        "sandy_loam": loamy & (((c >= 7) & (c < 20) & (s > 52)) | ((c < 7) & (u < 50))),
        "loam": (c >= 7) & (c < 27) & (u >= 28) & (u < 50) & (s <= 52),
        "silt_loam": ((u >= 50) & (c >= 12) & (c < 27)) | ((u >= 50) & (u < 80) & (c < 12)),
        "silt": (u >= 80) & (c < 12),
        "sandy_clay_loam": (c >= 20) & (c < 35) & (u < 28) & (s > 45),
        "clay_loam": (c >= 27) & (c < 40) & (s > 20) & (s <= 45),
        "silty_clay_loam": (c >= 27) & (c < 40) & (s <= 20),
        "sandy_clay": (c >= 35) & (s > 45),
        "silty_clay": (c >= 40) & (u >= 40),
        "clay": (c >= 40) & (s <= 45) & (u < 40),
    }
    chosen: NDArray[np.str_] = np.select(list(rules.values()), list(rules), default="")[()]
    return chosen


def texture_class_without_silt(sand: Numbers, clay: Numbers) -> NDArray[np.str_]:
    """Which of the twelve USDA classes a soil belongs to whose sand and clay are known: the rest is silt.

    Parameters
    ----------
    sand, clay : scalar or one per lane, shares of the fine earth. [-], 0 to 1

    Returns
    -------
    same shape, names of classes.

    Raises
    ------
    OutOfRange : a share leaves its range, or the two come to more than the whole.

    Notes
    -----
    See `texture_class`.

    References
    ----------
    USDA Soil Survey Manual, see `texture_class`.

    Examples
    --------
    >>> str(texture_class_without_silt(0.4, 0.2))
    'loam'
    """
    return texture_class(sand, np.maximum(1.0 - np.asarray(sand, dtype=np.float64) - np.asarray(clay), 0.0), clay)


def texture_by_feel(forms_ball: bool, ribbon_m: float, feel: str, chart: str = "extension") -> str:
    """Which class a moist handful is: does it ball, how long a ribbon, how does it rub.

    Parameters
    ----------
    forms_ball : True when the squeezed handful holds together
    ribbon_m : length of the ribbon when it breaks. [m], 0 (no ribbon) to 0.3
    feel : "gritty", "smooth" or "neither", rubbed very wet; not asked without a ribbon
    chart : copy of the chart in the table soil/ribbon_limits, "extension" or "wetland"

    Returns
    -------
    the name of the class, as `texture_class` gives it; silt is not an outcome.

    Raises
    ------
    OutOfRange : the ribbon leaves its range.
    ImpossibleValue : the feel is none of the three.
    Missing : there is no such chart.

    Notes
    -----
    Copies of the chart differ: short is under 2.5 cm and long over 5 cm (its extension copies, 1 and 2 in; taken
    unless told), or under 2 in and over 3 in (a book on wetlands). A length on a limit is medium.

    References
    ----------
    Thien 1979, A flow diagram for teaching texture-by-feel analysis, J. Agron. Educ. 8:54-55 (outcomes and limits
    of the ribbon seen in copies; the chart itself memory).

    Examples
    --------
    >>> texture_by_feel(True, 0.03, "neither")
    'clay_loam'
    """
    ribbon = float(within("ribbon_m", ribbon_m, 0.0, 0.3, "m"))
    if not forms_ball:
        return "sand"
    if ribbon == 0.0:
        return "loamy_sand"
    limits = table("soil/ribbon_limits").row(chart=chart)
    row = "short" if ribbon < limits["short_below_m"] else "medium" if ribbon <= limits["long_above_m"] else "long"
    if feel not in BY_FEEL[row]:
        raise ImpossibleValue("this feel is not on the chart", value=feel, right="gritty, smooth or neither")
    return BY_FEEL[row][feel]


def central_fractions(texture: str) -> tuple[float, float]:
    """The sand and the clay of a soil in the middle of a class, where only the class is known.

    Parameters
    ----------
    texture : name of the class, as `texture_class` gives it

    Returns
    -------
    (sand, clay). [kg kg-1]

    Raises
    ------
    Missing : there is no such class.

    Notes
    -----
    These are the points for which the source prints its own water contents. Not the centre of area of the
    class in the triangle.

    References
    ----------
    Saxton and Rawls 2006, Soil Sci. Soc. Am. J. 70:1569-1578, Table 3 (seen in a copy).

    Examples
    --------
    >>> central_fractions("clay_loam")
    (0.3, 0.35)
    """
    row = table("soil/texture_centres").row(texture=texture)
    return row["sand"], row["clay"]
