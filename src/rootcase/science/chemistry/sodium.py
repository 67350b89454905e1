"""Sodium that loosens clay, and the gypsum that takes its place."""

from __future__ import annotations

import numpy as np

from rootcase.ground.errors import require_order
from rootcase.science.chemistry.soil_mass import charge_matched_kg_m2
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

MOST_MMOL_L = 1000.0
GYPSUM_G_PER_MOL_OF_CHARGE = 86.09


def sodium_adsorption_ratio(sodium_mmol_l: Numbers, calcium_mmol_l: Numbers, magnesium_mmol_l: Numbers) -> Lanes:
    """How much sodium a water holds beside the calcium and magnesium that keep clay together.

    Parameters
    ----------
    sodium_mmol_l : scalar or one per lane, moles of charge (meq/L). [mmol_c L-1], 0 to 1,000
    calcium_mmol_l : same shape, moles of charge. [mmol_c L-1], 0 to 1,000
    magnesium_mmol_l : same shape, moles of charge. [mmol_c L-1], 0 to 1,000; with calcium at least 0.01

    Returns
    -------
    same shape. [(mmol_c L-1)^0.5]

    Raises
    ------
    OutOfRange : a value leaves its range, or there is neither calcium nor magnesium.

    Notes
    -----
    The source writes SAR = Na / sqrt((Ca + Mg) / 2) in meq/L. No departure from it.

    References
    ----------
    Richards (ed.) 1954, Diagnosis and improvement of saline and alkali soils, USDA Agriculture Handbook 60 (memory).

    Examples
    --------
    >>> float(sodium_adsorption_ratio(10.0, 5.0, 3.0))
    5.0
    """
    sodium = within("sodium_mmol_l", sodium_mmol_l, 0.0, MOST_MMOL_L, "mmol_c/L")
    calcium = within("calcium_mmol_l", calcium_mmol_l, 0.0, MOST_MMOL_L, "mmol_c/L")
    both = calcium + within("magnesium_mmol_l", magnesium_mmol_l, 0.0, MOST_MMOL_L, "mmol_c/L")
    half = within("calcium and magnesium together", both, 0.01, 2 * MOST_MMOL_L, "mmol_c/L") / 2.0
    return np.asarray(sodium / np.sqrt(half))


def exchangeable_sodium_pct(sodium_adsorption_ratio: Numbers) -> Lanes:
    """What share of the soil's exchange sodium holds, judged from the water in it.

    Parameters
    ----------
    sodium_adsorption_ratio : scalar or one per lane, of the saturation extract. [(mmol_c L-1)^0.5], 0 to 60

    Returns
    -------
    same shape. [%], 0 to 100

    Raises
    ------
    OutOfRange : the value leaves its range.

    Notes
    -----
    The source writes ESP = 100 x / (1 + x) with x = -0.0126 + 0.01475 SAR, below zero only under SAR 0.85, where 0
    is given. Fair to a SAR of about 20; the error grows with SAR and with salt. 13 stands for 15 %.

    References
    ----------
    Richards (ed.) 1954, USDA Agriculture Handbook 60, p. 26 (equation seen in a state's administrative code that
    quotes it; the stop at 60 JUDGEMENT).

    Examples
    --------
    >>> round(float(exchangeable_sodium_pct(13.0)), 2)
    15.19
    """
    ratio = -0.0126 + 0.01475 * within("sodium_adsorption_ratio", sodium_adsorption_ratio, 0.0, 60.0, "")
    return np.asarray(np.maximum(100.0 * ratio / (1.0 + ratio), 0.0))


def sodium_adsorption_ratio_held(exchangeable_sodium_pct: Numbers) -> Lanes:
    """What sodium the soil's water holds, judged from what its exchange holds.

    Parameters
    ----------
    exchangeable_sodium_pct : scalar or one per lane. [%], 0 to 46

    Returns
    -------
    same shape. [(mmol_c L-1)^0.5], 0.85 and above

    Raises
    ------
    OutOfRange : the value leaves its range.

    Notes
    -----
    `exchangeable_sodium_pct` turned round, with the same error; the stop is where that one stops.

    References
    ----------
    `exchangeable_sodium_pct`.

    Examples
    --------
    >>> round(float(sodium_adsorption_ratio_held(15.0)), 1)
    12.8
    """
    held = within("exchangeable_sodium_pct", exchangeable_sodium_pct, 0.0, 46.0, "%")
    return np.asarray((held / (100.0 - held) + 0.0126) / 0.01475)


def sodium_to_replace_cmol_kg(esp_pct: Numbers, wanted_esp_pct: Numbers, exchange_cmol_kg: Numbers) -> Lanes:
    """How much sodium gypsum has to drive out; none where the soil is not sodic.

    Parameters
    ----------
    esp_pct : scalar or one per lane, exchangeable sodium. [%], 0 to 100
    wanted_esp_pct : same shape, what it is to come down to. [%], below the limit of a sodic soil, 15
    exchange_cmol_kg : same shape, cation exchange capacity. [cmol_c kg-1], 0 to 200

    Returns
    -------
    same shape, 0 at 15 % and below. [cmol_c kg-1]

    Raises
    ------
    OutOfRange : a value leaves its range, or what is wanted is sodic itself.

    Notes
    -----
    Gypsum on ground without too much sodium loosens nothing and adds salt, so the answer there is none.

    References
    ----------
    Washington State University Extension FS307E: none without sodium (seen); the limit table chemistry/salt_limits
    (memory); the rest stoichiometry (computed).

    Examples
    --------
    >>> [float(cmol) for cmol in sodium_to_replace_cmol_kg([20.0, 12.0], 5.0, 20.0)]
    [3.0, 0.0]
    """
    sodic_above = table("chemistry/salt_limits").row(limit="handbook_60")["esp_pct"]
    esp = within("esp_pct", esp_pct, 0.0, 100.0, "%")
    wanted = within("wanted_esp_pct", wanted_esp_pct, 0.0, 100.0, "%")
    require_order("wanted_esp_pct", wanted, "the limit of a sodic soil", sodic_above, "%")
    exchange = within("exchange_cmol_kg", exchange_cmol_kg, 0.0, 200.0, "cmol/kg")
    return np.where(esp > sodic_above, (esp - wanted) / 100.0 * exchange, 0.0)


def gypsum_kg_m2(sodium_cmol_kg: Numbers, soil_mass_kg_m2: Numbers, purity_pct: Numbers, excess: Numbers) -> Lanes:
    """How much gypsum drives so much sodium out of a layer.

    Parameters
    ----------
    sodium_cmol_kg : scalar or one per lane, sodium to replace. [cmol_c kg-1], 0 to 200
    soil_mass_kg_m2 : same shape, the layer. [kg m-2], 0 to 30,000
    purity_pct : same shape, CaSO4 2H2O in the product. [%], 1 to 100
    excess : same shape, times the exact weight, since not all calcium meets sodium. [-], 1 to 1.3

    Returns
    -------
    same shape, in all. [kg m-2]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    86.09 g for each mole of charge. The source's excess is 1.1 to 1.3, more the lower the sodium wanted. What is
    driven out must be washed down, so only on ground that drains; the rate of a licensed adviser or laboratory goes
    before this one.

    References
    ----------
    Oster, Shainberg and Abrol 1999, Reclamation of salt-affected soils, Agronomy Monograph 38:659-691, as a
    calculator page of North Dakota State University gives it (page seen, chapter not read).

    Examples
    --------
    >>> round(float(gypsum_kg_m2(1.0, 200.0, 100.0, 1.1)), 4)
    0.1894
    """
    sodium = within("sodium_cmol_kg", sodium_cmol_kg, 0.0, 200.0, "cmol/kg")
    pure = charge_matched_kg_m2(sodium, GYPSUM_G_PER_MOL_OF_CHARGE, soil_mass_kg_m2)
    return pure * within("excess", excess, 1.0, 1.3, "") / (within("purity_pct", purity_pct, 1.0, 100.0, "%") / 100.0)
