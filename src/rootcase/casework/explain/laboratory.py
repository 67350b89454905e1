"""What a laboratory told, in the way the model takes it: salt of a paste, pH in water, SAR, organic matter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from rootcase.casework.draws import FloatArray
from rootcase.casework.explain.book import Book
from rootcase.casework.explain.errors import assumed, centre, figure, read_sd, spread, under
from rootcase.casework.explain.ground import Ground
from rootcase.records.observe import Reading
from rootcase.science.chemistry.extracts import extract_texture, paste_salt, water_ph
from rootcase.science.chemistry.sodium import sodium_adsorption_ratio_held
from rootcase.science.means import geometric_mean
from rootcase.tables.load import table

PERCENT = 100.0
WATER_METHODS = ("water_1_1", "water_1_2.5")
THIN_EXTRACTS = ("1_1", "1_2", "1_5")
"""The nearest to a paste first."""
CARBON_RULES = {"carbon_x_1.724": "van_bemmelen", "carbon_x_2": "pribyl_2010"}
"""By which rule of the table a method turned carbon into matter."""
MATTER_RULE = "pribyl_2010"
LEAST_EC_DS_M = 1e-3
"""A laboratory's 0 is less than it can tell, and never nothing."""
MOST_ESP_PCT = 46.0
"""Where the relation of sodium held to sodium dissolved stops (`sodium_adsorption_ratio_held`)."""


class Told(NamedTuple):
    """For each draw a number, how far it may be off [natural log], and the most that any source makes of it."""

    central: FloatArray
    sd: FloatArray
    most: FloatArray


def salt(ground: Ground, sand: FloatArray, clay: FloatArray, z: FloatArray, book: Book) -> FloatArray:
    """Salt of the saturation extract: as read, turned from a thinner extract, or as such places have it.

    Parameters
    ----------
    ground : what was read.
    sand : (n,) draws. [kg kg-1]
    clay : (n,) draws. [kg kg-1]
    z : (n,) standard normal errors of the extract.
    book : where readings used, turned and not made are noted.

    Returns
    -------
    (n,) draws. [dS m-1]

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    A paste stands before every thinner extract, and of those the thickest stands alone: ratios are never mixed. What
    is reported as less than a limit lies under the largest that any source makes of that limit.

    References
    ----------
    `paste_salt`. Error: table explain/reading_errors, JUDGEMENT.

    Examples
    --------
    >>> nobody_asked = Ground("bed", {})
    >>> salt(nobody_asked, np.array([0.4]), np.array([0.2]), np.zeros(1), Book()).tolist()
    [0.4]
    """
    usual = assumed(ground.place_kind, "ece_ds_m")
    readings, extract = _thickest(ground.numbers("ece"))
    book.note("ece", readings)
    if not readings:
        return spread(usual, "ece", None, z)
    if extract == "paste":
        told = _as_read(readings, "ece", sand)
    else:
        told, least, most = _from_thin(readings, extract, sand, clay)
        book.turn("ece", f"extract_{extract}", readings, least, most)
    return _drawn(told, readings, "ece", usual, z)


def ph(ground: Ground, z: FloatArray, book: Book) -> FloatArray:
    """Soil pH in water: from a laboratory, turned where it used calcium chloride, from a kit, or the usual.

    Parameters
    ----------
    ground : what was read.
    z : (n,) standard normal errors.
    book : where readings used, turned and not made are noted.

    Returns
    -------
    (n,) draws. [pH]

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    A laboratory stands before a kit. What was read in a paste is shown and not taken.

    References
    ----------
    `water_ph`. Error: table explain/reading_errors, JUDGEMENT.

    Examples
    --------
    >>> ph(Ground("bed", {}), np.zeros(1), Book()).tolist()
    [6.5]
    """
    laboratory = ground.numbers("soil_ph")
    water = [r for r in laboratory if r.attributes.get("method") in WATER_METHODS]
    chloride = [r for r in laboratory if r.attributes.get("method") == "cacl2"]
    kit = ground.numbers("soil_ph_field")
    readings = water or chloride or kit
    book.note("soil_ph", readings)
    if not readings:
        return spread(assumed(ground.place_kind, "ph"), "ph", None, z)
    central, sd = centre(readings, "ph"), read_sd(readings[0].kind, len(readings), "ph")
    if readings is chloride:
        turned = water_ph(central, "cacl2")
        added = float(turned.ph) - central
        book.turn("soil_ph", "cacl2", readings, added, added)
        central, sd = float(turned.ph), float(np.hypot(sd, turned.added_sd))
    return spread(central, "ph", sd, z)


def sodium(ground: Ground, z: FloatArray, book: Book) -> FloatArray:
    """Sodium adsorption ratio: as read, from the sodium the exchange holds, or as such places have it.

    Parameters
    ----------
    ground : what was read.
    z : (n,) standard normal errors of the extract.
    book : where readings used, turned and not made are noted.

    Returns
    -------
    (n,) draws. [(mmol_c L-1)^0.5]

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    Exchangeable sodium counts only where no ratio was read.

    References
    ----------
    `sodium_adsorption_ratio_held`; what turning adds to the error: table explain/quantities, JUDGEMENT.

    Examples
    --------
    >>> sodium(Ground("bed", {}), np.zeros(1), Book()).tolist()
    [1.0]
    """
    usual = assumed(ground.place_kind, "sar")
    read, held = ground.numbers("sar"), ground.numbers("esp")
    book.note("sar", read or held)
    if read:
        return _drawn(_as_read(read, "sar", z), read, "sar", usual, z)
    if not held:
        return spread(usual, "sar", None, z)
    esp_pct = np.minimum(PERCENT * np.array([r.value or 0.0 for r in held]), MOST_ESP_PCT)
    ratio = geometric_mean(sodium_adsorption_ratio_held(esp_pct))
    sd = np.hypot(read_sd("esp", len(held), "sar"), figure("sar_from_esp_log_sd"))
    book.turn("sar", "esp", held, ratio, ratio)
    told = Told(np.full(z.shape, ratio), np.full(z.shape, sd), np.full(z.shape, ratio))
    return _drawn(told, held, "sar", usual, z)


def organic(ground: Ground, z: FloatArray, book: Book) -> FloatArray:
    """Organic matter of the topsoil: burnt off, reckoned from carbon, or as such places have it.

    Parameters
    ----------
    ground : what was read.
    z : (n,) standard normal errors.
    book : where readings used, turned and not made are noted.

    Returns
    -------
    (n,) draws. [%]

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    Only with its method. Ignition weighs the matter itself and is taken as it stands, though it drives water off clay
    too and reads higher for it. Carbon becomes matter at half of it carbon, so what was reckoned with 1.724 is raised
    by 2 over 1.724; the factor's own doubt is added to either. The water formulas were fitted to carbon times 1.724
    (memory), so they are given a seventh more than theirs: less than one laboratory differs from another.

    References
    ----------
    Table chemistry/carbon_rules (Pribyl 2010: 1.4 to 2.5, abstract seen); table explain/quantities, JUDGEMENT.

    Examples
    --------
    >>> organic(Ground("bed", {}), np.zeros(1), Book()).tolist()
    [4.0]
    """
    readings = [r for r in ground.topsoil("organic_matter") if r.attributes.get("method")]
    book.note("organic_matter", readings)
    usual = assumed(ground.place_kind, "organic_matter_pct")
    if not readings:
        return spread(usual, "organic_matter", None, z)
    carbon = [r for r in readings if r.attributes["method"] in CARBON_RULES]
    low = [r for r in carbon if CARBON_RULES[r.attributes["method"]] != MATTER_RULE]
    as_matter = [replace(r, value=PERCENT * (r.value or 0.0) * _matter_per_told(r)) for r in readings]
    if low:
        book.turn("organic_matter", "carbon", low, _matter_per_told(low[0]), _matter_per_told(low[0]))
    told = _as_read(as_matter, "organic_matter", z)
    doubt = np.full(z.shape, figure("carbon_factor_log_sd") if carbon else 0.0)
    return _drawn(told._replace(sd=np.hypot(told.sd, doubt)), as_matter, "organic_matter", usual, z)


def _matter_per_told(reading: Reading) -> float:
    """How many times what the laboratory told the organic matter is."""
    rule = CARBON_RULES.get(reading.attributes["method"], MATTER_RULE)
    per_carbon = {name: float(table("chemistry/carbon_rules").row(rule=name)["organic_matter_per_carbon"])
                  for name in (rule, MATTER_RULE)}
    return per_carbon[MATTER_RULE] / per_carbon[rule]


def _thickest(readings: Sequence[Reading]) -> tuple[list[Reading], str]:
    """Readings of the extract nearest to a paste, and which that is; none where none says which it is."""
    for extract in ("paste", *THIN_EXTRACTS):
        found = [r for r in readings if r.attributes.get("extract") == extract]
        if found:
            return [replace(r, value=max(r.value or 0.0, LEAST_EC_DS_M)) for r in found], extract
    return [], ""


def _amount(readings: Sequence[Reading], reading: str) -> float:
    """What the readings say together; the highest limit where limits are all that was told."""
    if _only_limits(readings):
        return max(r.value or 0.0 for r in readings)
    return centre(readings, reading)


def _only_limits(readings: Sequence[Reading]) -> bool:
    return {r.sign for r in readings} == {"<"}


def _as_read(readings: Sequence[Reading], kind: str, like: FloatArray) -> Told:
    amount, sd = _amount(readings, kind), read_sd(kind, len(readings), kind)
    return Told(*(np.full(np.shape(like), value) for value in (amount, sd, amount)))


def _from_thin(readings: Sequence[Reading], extract: str, sand: FloatArray,
               clay: FloatArray) -> tuple[Told, float, float]:
    """What a paste would have read in each draw's texture, with the least and most times of the reading."""
    amount, sd = _amount(readings, "ece"), read_sd("ece", len(readings), "ece")
    groups = extract_texture(sand, clay)
    central, spread_of, least, most = (np.empty(groups.shape) for _ in range(4))
    for group in np.unique(groups):
        turned, here = paste_salt(amount, extract, str(group)), groups == group
        central[here], spread_of[here] = turned.ece_ds_m, np.hypot(sd, turned.log_sd)
        least[here], most[here] = turned.least_factor, turned.most_factor
    return Told(central, spread_of, most * amount), float(least.min()), float(most.max())


def _drawn(told: Told, readings: Sequence[Reading], reading: str, usual: float, z: FloatArray) -> FloatArray:
    """Draws around what was told; where only limits were, what such places have, as far as it lies under them."""
    if _only_limits(readings):
        return under(told.most, usual, reading, z)
    return np.asarray(told.central * np.exp(told.sd * z))
