"""How long a planted tree takes to root in, and how large a one to plant."""

from __future__ import annotations

from rootcase.ground.errors import Missing
from rootcase.ground.units import convert
from rootcase.science.lanes import within
from rootcase.tables.load import table

THICKEST_M = 10.0


def years_to_root_in(trunk_m: float, hardiness_zone: float) -> float:
    """How long does a planted tree take to root in?

    Parameters
    ----------
    trunk_m : diameter when it is planted. [m], 0 to 10
    hardiness_zone : of the US map, half zones not told apart. [-], 1 to 13

    Returns
    -------
    from planting, of a tree that is watered in its first season. [years]

    Raises
    ------
    OutOfRange : the trunk leaves its range.
    Missing : there is no such zone.

    Notes
    -----
    Up to zone 6 the source says "one year or more" for each inch. Longer where it is dry or nobody waters. Slow growth
    until then is to be expected and no fault.

    References
    ----------
    Table prescribe/establishment (seen).

    Examples
    --------
    >>> round(years_to_root_in(0.0508, 5), 6), round(years_to_root_in(0.0508, 9), 6)
    (2.0, 0.5)
    """
    within("trunk_m", trunk_m, 0.0, THICKEST_M, "m")
    return _years_an_inch(hardiness_zone) * convert(trunk_m, "m", "in")


def thickest_to_plant_m(watered_years: float, hardiness_zone: float) -> float:
    """How thick a trunk may be planted where it is watered for so long?

    Parameters
    ----------
    watered_years : for which somebody will water. [years], 0 to 10
    hardiness_zone : of the US map, half zones not told apart. [-], 1 to 13

    Returns
    -------
    trunk that is rooted in by then. [m]

    Raises
    ------
    OutOfRange : the years leave their range.
    Missing : there is no such zone.

    Notes
    -----
    Of a range that its source prints this is the lower end.

    References
    ----------
    Table prescribe/establishment (seen).

    Examples
    --------
    >>> round(thickest_to_plant_m(1.0, 4), 6)
    0.0254
    """
    within("watered_years", watered_years, 0.0, 10.0, "years")
    return convert(watered_years / _years_an_inch(hardiness_zone), "in", "m")


def rooted_in_radius_m(branch_radius_m: float) -> float:
    """How far do the roots of a planted tree reach once it has rooted in?

    Parameters
    ----------
    branch_radius_m : from the trunk to the tips of the branches. [m], 0 to 15

    Returns
    -------
    from the trunk, about. [m]

    Raises
    ------
    OutOfRange : the radius leaves its range.

    Notes
    -----
    In ground that lets roots through. The model's own ratio of rooted to crown ground is another figure, of grown
    trees: `free_root_spread_ratio` among its priors.

    References
    ----------
    Table tree/rooting_in.

    Examples
    --------
    >>> rooted_in_radius_m(1.5)
    4.5
    """
    within("branch_radius_m", branch_radius_m, 0.0, 15.0, "m")
    return branch_radius_m * float(table("tree/rooting_in").row(figure="root_over_branch_radius")["value"])


def root_advance_m_year() -> float:
    """How far do the roots of a planted tree come in a year?

    Returns
    -------
    along the ground in a year, in a temperate climate. [m]

    Raises
    ------
    None

    Notes
    -----
    Faster in warm soil. The model infers it for each tree.

    References
    ----------
    Table tree/rooting_in.

    Examples
    --------
    >>> round(root_advance_m_year(), 4)
    0.4572
    """
    row = table("tree/rooting_in").row(figure="root_advance_a_year")
    return convert(row["value"], "in", "m")


def _years_an_inch(zone: float) -> float:
    for row in table("prescribe/establishment").rows:
        if row["zone_from"] <= zone <= row["zone_to"]:
            return float(row["years_an_inch"])
    raise Missing("there is no such hardiness zone", value=f"{zone:g}", right="1 to 13")
