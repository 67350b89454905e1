"""What a tank brings to the ground, beside what lies there already: the figures an honest sentence needs."""

from __future__ import annotations

import numpy as np

from rootcase.ground.units import convert
from rootcase.science.chemistry.soil_mass import soil_mass_kg_m2
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

NITROGEN_IN_NITRATE = 14.007 / 62.004
PHOSPHORUS_IN_PHOSPHATE = 30.974 / 94.970
MOST_CONTENT_MG_L = 1e6
MOST_RATE_L_M2 = 200.0
_TURNED = {"kg/ha": "kg/m2", "lb/yd3": "kg/m3", "in": "m"}
"""Units of the table that are not those the formulas are in."""


def nitrogen_of_nitrate_mg_l(nitrate_mg_l: Numbers) -> Lanes:
    """How much nitrogen a laboratory's nitrate is.

    Parameters
    ----------
    nitrate_mg_l : as NO3. [mg/L], 0 to 1,000,000

    Returns
    -------
    same shape. [mg/L], as N

    Raises
    ------
    OutOfRange : the value leaves its range.

    Notes
    -----
    A sheet that says nitrate-nitrogen has done this already.

    References
    ----------
    Atomic weights (memory); arithmetic (computed).

    Examples
    --------
    >>> round(float(nitrogen_of_nitrate_mg_l(247.0)), 1)
    55.8
    """
    return within("nitrate_mg_l", nitrate_mg_l, 0.0, MOST_CONTENT_MG_L, "mg/L") * NITROGEN_IN_NITRATE


def phosphorus_of_phosphate_mg_l(phosphate_mg_l: Numbers) -> Lanes:
    """How much phosphorus a laboratory's phosphate is.

    Parameters
    ----------
    phosphate_mg_l : as PO4. [mg/L], 0 to 1,000,000

    Returns
    -------
    same shape. [mg/L], as P

    Raises
    ------
    OutOfRange : the value leaves its range.

    Notes
    -----
    Not for P2O5.

    References
    ----------
    Atomic weights (memory); arithmetic (computed).

    Examples
    --------
    >>> round(float(phosphorus_of_phosphate_mg_l(168.0)), 1)
    54.8
    """
    return within("phosphate_mg_l", phosphate_mg_l, 0.0, MOST_CONTENT_MG_L, "mg/L") * PHOSPHORUS_IN_PHOSPHATE


def brought_kg_m2(content_mg_l: Numbers, rate_l_m2: Numbers) -> Lanes:
    """How much of an element a liquid brings to the ground.

    Parameters
    ----------
    content_mg_l : in the liquid, as the element. [mg/L], 0 to 1,000,000
    rate_l_m2 : same shape. [L m-2], 0 to 200

    Returns
    -------
    broadcast shape. [kg m-2]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Told beside `amount_in_soil_kg_m2` of the same ground.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> round(1e6 * float(brought_kg_m2(56.0, 2.24)), 1)
    125.4
    """
    return np.asarray(within("content_mg_l", content_mg_l, 0.0, MOST_CONTENT_MG_L, "mg/L") / 1e6
                      * within("rate_l_m2", rate_l_m2, 0.0, MOST_RATE_L_M2, "L/m2"))


def nitrogen_in_compost_kg(volume_m3: Numbers, density_kg_m3: Numbers, dry_share: Numbers,
                           nitrogen_pct: Numbers) -> Lanes:
    """How much nitrogen, nearly all of it slow, lies in a heap of compost.

    Parameters
    ----------
    volume_m3 : as laid, see `layer_volume_m3`. [m3], 0 to 1,000,000
    density_kg_m3 : same shape, moist. [kg m-3], 50 to 1,500
    dry_share : same shape, of the weight. [-], 0.1 to 1
    nitrogen_pct : same shape, total, of dry matter. [%], 0 to 15

    Returns
    -------
    broadcast shape. [kg]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Total nitrogen; a tenth or so comes free in a year (memory). For setting beside `brought_kg_m2`, not for a dose.

    References
    ----------
    Arithmetic (computed); finished compost has 0.5 to 2.5 % N, Clemson University (seen).

    Examples
    --------
    >>> round(float(nitrogen_in_compost_kg(1.0, 500.0, 0.6, 1.5)), 3)
    4.5
    """
    return np.asarray(within("volume_m3", volume_m3, 0.0, 1e6, "m3")
                      * within("density_kg_m3", density_kg_m3, 50.0, 1500.0, "kg/m3")
                      * within("dry_share", dry_share, 0.1, 1.0, "")
                      * within("nitrogen_pct", nitrogen_pct, 0.0, 15.0, "%") / 100.0)


def added_organisms_pct(liquid_per_ml: Numbers, rate_l_m2: Numbers, soil_per_g: Numbers, bulk_density_mg_m3: Numbers,
                        depth_m: Numbers) -> Lanes:
    """How many organisms a liquid adds, as a share of those that live in the soil under it.

    Parameters
    ----------
    liquid_per_ml : counted after screen and pump. [mL-1], 0 to 1e13
    rate_l_m2 : same shape. [L m-2], 0 to 200
    soil_per_g : same shape, in dry soil, by the same method. [g-1], 1 to 1e13
    bulk_density_mg_m3 : same shape. [Mg m-3], 0.05 to 2.65
    depth_m : same shape, that the liquid is reckoned to reach. [m], 0.001 to 10

    Returns
    -------
    broadcast shape. [%]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    As if all of them arrived and lived. A count of what was put on is no evidence that anything changed.

    References
    ----------
    Mass balance (computed).

    Examples
    --------
    >>> round(float(added_organisms_pct(1e8, 2.24, 1e9, 1.3, 0.15)), 2)
    0.11
    """
    within("bulk_density_mg_m3", bulk_density_mg_m3, 0.05, 2.65, "Mg/m3")
    within("depth_m", depth_m, 0.001, 10.0, "m")
    added = (within("liquid_per_ml", liquid_per_ml, 0.0, 1e13, "1/mL")
             * within("rate_l_m2", rate_l_m2, 0.0, MOST_RATE_L_M2, "L/m2"))
    there = within("soil_per_g", soil_per_g, 1.0, 1e13, "1/g") * soil_mass_kg_m2(bulk_density_mg_m3, depth_m)
    return np.asarray(100.0 * added / there)


def compared_figure(figure: str) -> float:
    """A published amount to set a tank's own beside.

    Parameters
    ----------
    figure : of the table tank/claim_figures, as "leachate_nitrate" or "mineral_nitrogen_compared"

    Returns
    -------
    [kg m-2] for an amount on the ground, [kg m-3], [m]; else as its row: [mg/L], [g-1], [Mg m-3], [%], [1]

    Raises
    ------
    Missing : the table has no such figure.

    Notes
    -----
    The leachate is a rich one; what a practice makes is weaker until its laboratory says otherwise.

    References
    ----------
    Table tank/claim_figures, a source each row.

    Examples
    --------
    >>> compared_figure("leachate_nitrate"), compared_figure("mineral_nitrogen_compared")
    (247.0, 0.0195)
    >>> compared_figure("layer_compared"), round(compared_figure("compost_density_compared"), 1)
    (0.0254, 504.3)
    """
    row = table("tank/claim_figures").row(figure=figure)
    value: float = row["value"]
    unit = row["unit"].partition(" ")[0]
    return convert(value, unit, _TURNED[unit]) if unit in _TURNED else value


def trial_found_difference(trial: str) -> bool:
    """Did a trial of compost tea find anything that plain water did not do?

    Parameters
    ----------
    trial : of the table tank/trials, as "field_five_years"

    Returns
    -------
    true or false, for what the table's row names under found

    Raises
    ------
    Missing : the table has no such trial.

    Notes
    -----
    "No significant difference" in one trial is not proof of none. Aerated tea is not the same liquid as an extract
    used within the hour, for which no trial was found.

    References
    ----------
    Table tank/trials, a source each row (seen: abstracts).

    Examples
    --------
    >>> trial_found_difference("field_five_years")
    False
    """
    return bool(table("tank/trials").row(trial=trial)["differs"] == "yes")
