"""The water a batch is made with: its chlorine, what takes it out, and what else is read."""

from __future__ import annotations

from typing import Literal, NamedTuple

import numpy as np

from rootcase.ground.errors import Missing
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

CHLORINE_G_MOL = 70.90
NITROGEN_G_MOL = 14.007
MOST_VOLUME_L = 1e6
MOST_CHLORINE_MG_L = 50.0

Chlorine = Literal["total", "free"]
Finding = Literal["good", "with_care", "poor"]


class Origin(NamedTuple):
    """Whether water of an origin may be used, and what is read first or used in its place."""

    fit: bool
    first: str


def told_dose_mg_mg(chemical: str, rule: str) -> float:
    """How much of a neutraliser somebody advises for each part of total chlorine.

    Parameters
    ----------
    chemical : of the table tank/neutralisers, as "ascorbic_acid"
    rule : whose advice, as "field_guide"

    Returns
    -------
    [mg mg-1], chlorine as Cl2

    Raises
    ------
    Missing : nobody in the table advises that.

    Notes
    -----
    Products of sulfur use up oxygen too, ascorbates do not; ascorbic acid lowers the pH. For humic acid no dose with a
    source was found and none is computed. More than the dose is no better: stir, wait and test again.

    References
    ----------
    Table tank/neutralisers, a source each row.

    Examples
    --------
    >>> told_dose_mg_mg("ascorbic_acid", "field_guide")
    2.5
    """
    dose: float = table("tank/neutralisers").row(chemical=chemical, rule=rule)["dose_mg_mg"]
    return dose


def reaction_dose_mg_mg(chemical: str, product: str) -> float:
    """How much of a neutraliser the reaction itself takes for each part of total chlorine.

    Parameters
    ----------
    chemical : of the table tank/neutraliser_reactions, as "sodium_thiosulfate"
    product : what it ends in, as "sulfate" or "tetrathionate"

    Returns
    -------
    [mg mg-1], chlorine as Cl2

    Raises
    ------
    Missing : the table has no such reaction.

    Notes
    -----
    Beside the told dose, not in its place: which way thiosulfate goes hangs on the pH, and the two ends lie eightfold
    apart.

    References
    ----------
    Table tank/neutraliser_reactions (computed).

    Examples
    --------
    >>> round(reaction_dose_mg_mg("ascorbic_acid", "dehydroascorbic_acid"), 3)
    2.484
    """
    reaction = table("tank/neutraliser_reactions").row(chemical=chemical, product=product)
    dose: float = reaction["molar_mass_g_mol"] / (reaction["chlorine_mol_mol"] * CHLORINE_G_MOL)
    return dose


def neutraliser_g(volume_l: Numbers, chlorine_mg_l: Numbers, dose_mg_mg: Numbers, tested: Chlorine) -> Lanes:
    """How much neutraliser a vat of water takes.

    Parameters
    ----------
    volume_l : of water. [L], 0 to 1,000,000
    chlorine_mg_l : same shape, total chlorine as Cl2. [mg/L], 0 to 50
    dose_mg_mg : same shape, see `told_dose_mg_mg` and `reaction_dose_mg_mg`. [mg mg-1], 0.1 to 20
    tested : what the strip or kit shows, "total" or "free"

    Returns
    -------
    broadcast shape. [g]

    Raises
    ------
    OutOfRange : a value leaves its range.
    Missing : only free chlorine was tested.

    Notes
    -----
    Much mains water carries chloramine, which a strip for free chlorine does not show and standing does not drive off:
    its zero is no zero. Read the product's label and safety sheet, weigh in the open air, keep products apart, wear
    gloves and eye protection; local rules on what may be drained go before this.

    References
    ----------
    Arithmetic (computed); that free-chlorine strips miss chloramine: common practice, no source.

    Examples
    --------
    >>> round(float(neutraliser_g(1000.0, 2.0, 2.5, "total")), 3)
    5.0
    """
    if tested != "total":
        raise Missing("this strip misses chloramine", where="total chlorine", value=f"{tested} chlorine alone",
                      right="use a total-chlorine test")
    return np.asarray(within("volume_l", volume_l, 0.0, MOST_VOLUME_L, "L")
                      * within("chlorine_mg_l", chlorine_mg_l, 0.0, MOST_CHLORINE_MG_L, "mg/L")
                      * within("dose_mg_mg", dose_mg_mg, 0.1, 20.0, "mg/mg") / 1000.0)


def implied_dose_mg_mg(mass_g: Numbers, volume_l: Numbers, chlorine_mg_l: Numbers) -> Lanes:
    """Which dose a rule of thumb or a day's weighing comes to.

    Parameters
    ----------
    mass_g : of the neutraliser. [g], 0 to 100,000
    volume_l : same shape, of water. [L], 0.1 to 1,000,000
    chlorine_mg_l : same shape, total chlorine as Cl2. [mg/L], 0.01 to 50

    Returns
    -------
    broadcast shape. [mg mg-1]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Set it beside `told_dose_mg_mg` before a rule is used.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> float(implied_dose_mg_mg(5.0, 1000.0, 2.0))
    2.5
    """
    return np.asarray(1000.0 * within("mass_g", mass_g, 0.0, 1e5, "g")
                      / within("volume_l", volume_l, 0.1, MOST_VOLUME_L, "L")
                      / within("chlorine_mg_l", chlorine_mg_l, 0.01, MOST_CHLORINE_MG_L, "mg/L"))


def ammonia_left_mg_l(total_chlorine_mg_l: Numbers) -> Lanes:
    """How much ammonia nitrogen stays in water whose chloramine was neutralised.

    Parameters
    ----------
    total_chlorine_mg_l : as Cl2, all of it monochloramine. [mg/L], 0 to 50

    Returns
    -------
    same shape. [mg/L], as N

    Raises
    ------
    OutOfRange : the value leaves its range.

    Notes
    -----
    One nitrogen for each chlorine: the most there can be, since part of the total may be free chlorine.

    References
    ----------
    Stoichiometry of monochloramine (computed).

    Examples
    --------
    >>> round(float(ammonia_left_mg_l(4.0)), 2)
    0.79
    """
    chlorine = within("total_chlorine_mg_l", total_chlorine_mg_l, 0.0, MOST_CHLORINE_MG_L, "mg/L")
    return chlorine * (NITROGEN_G_MOL / CHLORINE_G_MOL)


def water_finding(reading: str, rule: str, value: float) -> Finding:
    """Is water good, to be used with care, or poor by one reading and one rule?

    Parameters
    ----------
    reading : of the table tank/source_water, as "ph"
    rule : whose limits, as "tank"
    value : in the row's unit; all of them, 0 to 100

    Returns
    -------
    "good", "with_care" or "poor"

    Raises
    ------
    OutOfRange : the value leaves its range.
    Missing : the table has no such row.

    Notes
    -----
    A limit belongs to the better side. Where a rule has no outer limits nothing is poor by it. The limits of drinking
    water are those of a yearly mean: one day above says test again and ask the supplier.

    References
    ----------
    Table tank/source_water, a source each row; most of it memory.

    Examples
    --------
    >>> [water_finding("electrical_conductivity", "tank", value) for value in (0.75, 1.2, 1.6)]
    ['good', 'with_care', 'poor']
    """
    row = table("tank/source_water").row(reading=reading, rule=rule)
    read = float(within(reading, value, 0.0, 100.0, row["unit"]))
    if row["good_low"] <= read <= row["good_high"]:
        return "good"
    below, above = row["poor_below"], row["poor_above"]
    return "poor" if (below is not None and read < below) or (above is not None and read > above) else "with_care"


def water_origin(origin: str) -> Origin:
    """May water of an origin go into a batch, and what comes first?

    Parameters
    ----------
    origin : of the table tank/water_origins, as "mains", "softened" or "pond"

    Returns
    -------
    Origin(fit, first)

    Raises
    ------
    Missing : the table has no such origin.

    Notes
    -----
    What is not potable is refused before compost goes in.

    References
    ----------
    Table tank/water_origins, a source each row (memory).

    Examples
    --------
    >>> water_origin("softened"), water_origin("mains").fit
    (Origin(fit=False, first='water_before_the_softener'), True)
    """
    row = table("tank/water_origins").row(origin=origin)
    return Origin(row["fit"] == "yes", row["first"])
