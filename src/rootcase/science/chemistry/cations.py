"""Exchangeable cations by summation, as soil laboratories print them."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

MOST_CMOL_KG = 500.0


class Cations(NamedTuple):
    """Charge of each basic cation [cmol_c kg-1]."""

    calcium: Lanes
    magnesium: Lanes
    potassium: Lanes
    sodium: Lanes


def cations_cmol_kg(calcium_mg_kg: Numbers, magnesium_mg_kg: Numbers, potassium_mg_kg: Numbers,
                    sodium_mg_kg: Numbers, laboratory: str) -> Cations:
    """What charge each basic cation of a soil test carries.

    Parameters
    ----------
    calcium_mg_kg : scalar or one per lane, extractable. [mg kg-1], 0 to 60,000
    magnesium_mg_kg : same shape. [mg kg-1], 0 to 60,000
    potassium_mg_kg : same shape. [mg kg-1], 0 to 60,000
    sodium_mg_kg : same shape. [mg kg-1], 0 to 60,000
    laboratory : whose divisors, "clemson" or "rounded"; potassium is 391 or 390

    Returns
    -------
    Cations(calcium, magnesium, potassium, sodium). [cmol_c kg-1], the same number as meq/100 g

    Raises
    ------
    OutOfRange : a value leaves its range.
    Missing : no such laboratory.

    Notes
    -----
    In limy, gypseous or salty soil the extract dissolves what was never exchangeable, and the sums mean nothing.

    References
    ----------
    Table chemistry/cation_weights.

    Examples
    --------
    >>> round(float(cations_cmol_kg(1471.0, 0.0, 0.0, 0.0, "rounded").calcium), 2)
    7.36
    """
    weights = table("chemistry/cation_weights").row(laboratory=laboratory)
    given = {"calcium": calcium_mg_kg, "magnesium": magnesium_mg_kg, "potassium": potassium_mg_kg,
             "sodium": sodium_mg_kg}
    return Cations(**{cation: within(f"{cation}_mg_kg", content, 0.0, 60_000.0, "mg/kg") / weights[cation]
                      for cation, content in given.items()})


def acidity_cmol_kg(buffer_ph: Numbers, buffer: str) -> Lanes:
    """How much acidity a soil holds, judged from how far it pulls a buffer down.

    Parameters
    ----------
    buffer_ph : scalar or one per lane. [-], 3 to 9
    buffer : "clemson_8" or "summation_7"; only the one the laboratory used

    Returns
    -------
    same shape, none where the buffer was not pulled down. [cmol_c kg-1]

    Raises
    ------
    OutOfRange : a value leaves its range.
    Missing : no such buffer.

    Notes
    -----
    The sources write 8 (8.00 - BpH) and 12 (7 - BpH). They are not two answers to one reading: each is right for its
    own buffer alone.

    References
    ----------
    Table chemistry/buffer_acidity.

    Examples
    --------
    >>> round(float(acidity_cmol_kg(7.7, "clemson_8")), 2)
    2.4
    """
    row = table("chemistry/buffer_acidity").row(buffer=buffer)
    pulled = row["no_acidity_at_ph"] - within("buffer_ph", buffer_ph, 3.0, 9.0, "")
    return np.asarray(row["cmol_kg_per_ph"] * np.maximum(pulled, 0.0))


def exchange_capacity_cmol_kg(cations: Cations, acidity_cmol_kg: Numbers) -> Lanes:
    """How much charge a soil can hold, as the sum of what it does hold.

    Parameters
    ----------
    cations : see `cations_cmol_kg`. [cmol_c kg-1], 0 to 500
    acidity_cmol_kg : same shape, as a buffer tells it. [cmol_c kg-1], 0 to 500

    Returns
    -------
    same shape. [cmol_c kg-1]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Not in limy, gypseous or salty soil, see `cations_cmol_kg`.

    References
    ----------
    Clemson University Agricultural Service Laboratory, how exchange capacity is worked out (seen).

    Examples
    --------
    >>> round(float(exchange_capacity_cmol_kg(cations_cmol_kg(1600.0, 240.0, 195.0, 46.0, "rounded"), 1.3)), 9)
    12.0
    """
    acidity = within("acidity_cmol_kg", acidity_cmol_kg, 0.0, MOST_CMOL_KG, "cmol/kg")
    return base_sum_cmol_kg(cations) + acidity


def base_sum_cmol_kg(cations: Cations) -> Lanes:
    """How much charge the basic cations of a soil carry together.

    Parameters
    ----------
    cations : see `cations_cmol_kg`. [cmol_c kg-1], each 0 to 500

    Returns
    -------
    same shape. [cmol_c kg-1]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Over the exchange capacity it is the base saturation, see `saturation_pct`.

    References
    ----------
    Clemson University Agricultural Service Laboratory, how exchange capacity is worked out (seen).

    Examples
    --------
    >>> round(float(base_sum_cmol_kg(cations_cmol_kg(1600.0, 240.0, 195.0, 46.0, "rounded"))), 9)
    10.7
    """
    total: Lanes = sum((within(name, charge, 0.0, MOST_CMOL_KG, "cmol/kg")
                        for name, charge in zip(Cations._fields, cations, strict=True)), np.zeros(()))
    return total


def saturation_pct(held_cmol_kg: Numbers, exchange_cmol_kg: Numbers) -> Lanes:
    """What share of the exchange a cation, or all basic ones, hold.

    Parameters
    ----------
    held_cmol_kg : scalar or one per lane. [cmol_c kg-1], 0 to the capacity
    exchange_cmol_kg : same shape, cation exchange capacity. [cmol_c kg-1], 0.1 to 1,000

    Returns
    -------
    same shape. [%], 0 to 100

    Raises
    ------
    OutOfRange : a value leaves its range, or more is held than the capacity.

    Notes
    -----
    More than 100 % tells of dissolved lime or salt and is refused.

    References
    ----------
    Clemson University Agricultural Service Laboratory, how exchange capacity is worked out (seen).

    Examples
    --------
    >>> float(saturation_pct(5.0, 20.0))
    25.0
    """
    held = within("held_cmol_kg", held_cmol_kg, 0.0, 2 * MOST_CMOL_KG, "cmol/kg")
    share = 100.0 * held / within("exchange_cmol_kg", exchange_cmol_kg, 0.1, 2 * MOST_CMOL_KG, "cmol/kg")
    return within("saturation_pct", share, 0.0, 100.0 + 1e-9, "%")
