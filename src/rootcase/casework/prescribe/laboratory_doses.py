"""Gypsum, sulfur and nitrogen: how much, from what a laboratory told, under their caps."""

from __future__ import annotations

from typing import NamedTuple

from rootcase.casework.prescribe.needs import Standing
from rootcase.casework.prescribe.remedies import figure
from rootcase.science.chemistry.fertiliser import nitrogen_limits
from rootcase.science.chemistry.lime_and_sulfur import sulfur_cap, sulfur_doses, sulfur_kg_m2
from rootcase.science.chemistry.sodium import exchangeable_sodium_pct, gypsum_kg_m2, sodium_to_replace_cmol_kg
from rootcase.science.chemistry.soil_mass import soil_mass_kg_m2

SULFUR_RULE, SULFUR_FROM_PH, SULFUR_TO_PH = "western_to_6_5", 7.0, 8.5
HIGHEST_SAR = 60.0
PERCENT = 100.0
FROM_LABORATORY = ("gypsum", "sulfur")


class FromLaboratory(NamedTuple):
    """One dose, how many of them the course takes, and what is not known; a dose of None: not known or not called for.
    """

    kg_m2: float | None
    parts: int = 1
    unknown: str = ""
    """Key of the words under dose.unknown."""


def laboratory_dose(remedy: str, standing: Standing) -> FromLaboratory:
    """How much gypsum or sulfur the laboratory's figures call for.

    Parameters
    ----------
    remedy : "gypsum" or "sulfur".
    standing : what was read at the tree and its ground.

    Returns
    -------
    FromLaboratory(kg_m2, parts, unknown). [kg m-2 of pure product, one dose]

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    Gypsum takes exchangeable sodium (read, or from a read sodium adsorption ratio) and exchange capacity; sulfur takes
    a laboratory's pH and a fizz test that shows no free lime. What is above the most of one time is parted evenly.
    A laboratory's or a label's own rate goes before these.

    References
    ----------
    `gypsum_kg_m2`, `sulfur_kg_m2`; table prescribe/effects.

    Examples
    --------
    >>> from rootcase.casework.explain.ground import Ground
    >>> laboratory_dose("gypsum", Standing(Ground("lawn", {}), None, {}))
    FromLaboratory(kg_m2=None, parts=1, unknown='gypsum_lab')
    """
    return _gypsum(standing) if remedy == "gypsum" else _sulfur(standing)


def nitrogen_dose_kg_m2(wanted_kg_m2: float) -> float:
    """How much slow nitrogen of one year may be given.

    Parameters
    ----------
    wanted_kg_m2 : what the remedy's row says. [kg m-2], 0 to 1

    Returns
    -------
    [kg m-2], at most what the rule for trees allows in a year

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    Where a local law on nutrients is stricter it holds.

    References
    ----------
    `nitrogen_limits`.

    Examples
    --------
    >>> nitrogen_dose_kg_m2(0.01), round(nitrogen_dose_kg_m2(0.05), 4)
    (0.01, 0.0195)
    """
    return min(wanted_kg_m2, nitrogen_limits("a300_1998_2004", "slow").high_kg_m2)


def _gypsum(standing: Standing) -> FromLaboratory:
    held, ratio = _newest(standing, "esp"), _newest(standing, "sar")
    exchange = _newest(standing, "cec")
    if exchange is None or (held is None and ratio is None):
        return FromLaboratory(None, unknown="gypsum_lab")
    esp_pct = held * PERCENT if held is not None else float(exchangeable_sodium_pct(min(ratio or 0.0, HIGHEST_SAR)))
    soil = soil_mass_kg_m2(standing.middle("bulk_density_mg_m3"), figure("gypsum_layer_m"))
    sodium = sodium_to_replace_cmol_kg(esp_pct, figure("gypsum_wanted_esp_pct"), exchange)
    whole = float(gypsum_kg_m2(sodium, soil, PERCENT, figure("gypsum_excess")))
    parts = max(int(-(-whole // figure("gypsum_most_kg_m2"))), 1)
    return FromLaboratory(whole / parts, parts) if whole > 0.0 else FromLaboratory(None, unknown="gypsum_none")


def _sulfur(standing: Standing) -> FromLaboratory:
    ph, fizz = _newest(standing, "soil_ph"), standing.ground.choice("carbonate_fizz")
    if ph is None or fizz is None:
        return FromLaboratory(None, unknown="sulfur_lab")
    if ph < SULFUR_FROM_PH or fizz.choice != "none":
        return FromLaboratory(None, unknown="sulfur_none")
    sandy, heavy = standing.middle("sand") >= figure("sandy_from"), standing.middle("clay") >= figure(
        "heavy_soil_clay")
    texture = "sand" if sandy else "clay" if heavy else "loam"
    whole = float(sulfur_kg_m2(SULFUR_RULE, texture, min(ph, SULFUR_TO_PH), False))
    parts = int(sulfur_doses(whole, sulfur_cap("clemson_landscape").low_kg_m2))
    return FromLaboratory(whole / parts, parts)


def _newest(standing: Standing, kind: str) -> float | None:
    found = standing.ground.numbers(kind)
    return max(found, key=lambda r: (r.day, r.id)).value if found else None
