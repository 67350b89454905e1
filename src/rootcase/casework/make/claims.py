"""What may be said of a tank: what it brings beside what lies there, and what trials found."""

from __future__ import annotations

from rootcase.records.make.claims import Brought, Claims, OrganismsAdded, Trial
from rootcase.science.tank import claims as science
from rootcase.science.zones.amounts import layer_volume_m3
from rootcase.tables.load import table

_CELLS_PER_ML = 1e8
"""JUDGEMENT: what a good extract is said to hold; for a batch that nobody counted."""
_ELEMENTS = (("nitrogen", "leachate_nitrate"), ("phosphorus", "leachate_phosphate"),
             ("potassium", "leachate_potassium"))


def usual_rate_l_m2() -> float:
    """At which rate a tank is set beside the soil where none is told.

    Returns
    -------
    the rate of the published trial in the laboratory. [L m-2]

    Raises
    ------
    Missing : the table has lost its row.

    Notes
    -----
    55 US gallons on 1,000 square feet.

    References
    ----------
    Table tank/trials, laboratory_dilute (seen: abstract).

    Examples
    --------
    >>> usual_rate_l_m2()
    2.24
    """
    rate: float = table("tank/trials").row(trial="laboratory_dilute")["rate_l_m2"]
    return rate


def honest_claims(rate_l_m2: float, bacteria_per_ml: float | None = None) -> Claims:
    """What a tank brings to the ground in nutrients and organisms, beside what is there.

    Parameters
    ----------
    rate_l_m2 : put on. [L m-2], 0 to 200
    bacteria_per_ml : counted on the batch; None: not counted. [mL-1]

    Returns
    -------
    Claims. [kg m-2] of each element, [%] of the soil's bacteria

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Nutrients are those of a rich leachate of worm compost, more than an extract of the same hour holds: the most that
    can be said, not an estimate. Bacteria count as if all arrived and lived.

    References
    ----------
    `brought_kg_m2`, `added_organisms_pct`, `nitrogen_in_compost_kg`; tables tank/claim_figures and tank/trials.

    Examples
    --------
    >>> from rootcase.ground.units import convert
    >>> found = honest_claims(2.24)
    >>> round(convert(found.brought[0].kg_m2, "kg/m2", "lb/1000ft2"), 3), round(found.organisms.pct, 2)
    (0.026, 0.11)
    >>> round(convert(found.compost_nitrogen_kg_m2, "kg/m2", "lb/1000ft2"), 1)
    23.6
    """
    brought = tuple(_brought(element, figure, rate_l_m2) for element, figure in _ELEMENTS)
    layer_m = science.compared_figure("layer_compared")
    compost = science.nitrogen_in_compost_kg(
        layer_volume_m3(1.0, layer_m), *(science.compared_figure(f"compost_{each}_compared")
                                         for each in ("density", "dry", "nitrogen")))
    trials = tuple(Trial(trial=row["trial"], differs=science.trial_found_difference(row["trial"]),
                         growth=row["growth"] == "yes", years=row["years"], source=row["source"],
                         rate_l_m2=row["rate_l_m2"], found=row["found"])
                   for row in table("tank/trials").rows)
    return Claims(rate_l_m2=rate_l_m2, brought=brought,
                  mineral_nitrogen_kg_m2=science.compared_figure("mineral_nitrogen_compared"),
                  mineral_source=_source("mineral_nitrogen_compared"), compost_layer_m=layer_m,
                  compost_nitrogen_kg_m2=float(compost), compost_source=_source("compost_nitrogen_compared"),
                  organisms=_organisms(rate_l_m2, bacteria_per_ml), trials=trials)


def _brought(element: str, figure: str, rate_l_m2: float) -> Brought:
    content = science.compared_figure(figure)
    if element == "nitrogen":
        content = float(science.nitrogen_of_nitrate_mg_l(content))
    elif element == "phosphorus":
        content = float(science.phosphorus_of_phosphate_mg_l(content))
    return Brought(element=element, content_mg_l=content, source=_source(figure),
                   kg_m2=float(science.brought_kg_m2(content, rate_l_m2)))


def _organisms(rate_l_m2: float, bacteria_per_ml: float | None) -> OrganismsAdded:
    there, depth_m = science.compared_figure("soil_bacteria"), science.compared_figure("soil_depth_compared")
    per_ml = _CELLS_PER_ML if bacteria_per_ml is None else bacteria_per_ml
    share = science.added_organisms_pct(per_ml, rate_l_m2, there, science.compared_figure("soil_density_compared"),
                                       depth_m)
    return OrganismsAdded(per_ml=per_ml, counted=bacteria_per_ml is not None, pct=float(share),
                          depth_m=depth_m, source=_source("soil_bacteria"))


def _source(figure: str) -> str:
    row = table("tank/claim_figures").row(figure=figure)
    return f"{row['source']} ({row['how_known']})"
