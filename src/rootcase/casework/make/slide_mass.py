"""What the counted would weigh, by the constant that was chosen."""

from __future__ import annotations

from math import isinf

from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.make.slide import Slide, Span, Weighed
from rootcase.science.microscope import biomass
from rootcase.tables.load import table


def weighed(slide: Slide, numbers: tuple[Span, ...]) -> tuple[Weighed, ...]:
    """What would the counted weigh?

    Parameters
    ----------
    slide : with the constant that was chosen, and the mean volume of a cell [um3] or diameter of the hyphae [um].
    numbers : of cells [1/mL], [1/g] or of hyphae [m/mL], [m/g].

    Returns
    -------
    dry mass and carbon, as far as the constant tells of each. [ug/mL], [ug/g]; nothing where no constant was chosen

    Raises
    ------
    Missing : no such constant, or the size was not told.
    OutOfRange : a value leaves its range.

    Notes
    -----
    The interval is that of the count alone: neither the sizes' spread nor the constant's is in it.

    References
    ----------
    Table microscope/biomass_constants.

    Examples
    --------
    >>> from datetime import date
    >>> from rootcase.records.make.batch import Figure
    >>> slide = Slide(id="s", method="fields", source="soil", source_id="bed", counted="bacteria", by="rs",
    ...     day=date(2016, 5, 3), rows=(), figures=(Figure("cell_um3", 0.2),), constant="fry_1990")
    >>> [(each.of, round(each.mass.value), each.mass.unit) for each in weighed(slide, (Span(1e9, 8e8, 2e9, "1/g"),))]
    [('carbon', 62, 'ug/g')]
    """
    if not slide.constant:
        return ()
    organism: biomass.Organism = "hyphae" if slide.method in ("crossings", "photos") else "bacteria"
    row = table("microscope/biomass_constants").row(organism=organism, constant=slide.constant)
    size = slide.figure("diameter_um" if organism == "hyphae" else "cell_um3")
    if size is None:
        raise Missing(say("slide.no_size"), right=say("slide.right_size"))
    volume_mm3 = biomass.hypha_volume_mm3 if organism == "hyphae" else biomass.cells_volume_mm3

    def mass(end: float, quantity: biomass.Quantity) -> float:
        return end if isinf(end) else float(biomass.mass_ug(volume_mm3(end, size), organism, slide.constant, quantity))

    def span(number: Span, quantity: biomass.Quantity) -> Span:
        value, low, high = (mass(end, quantity) for end in (number.value, number.low, number.high))
        return Span(value, low, high, f"ug/{number.unit.partition('/')[2]}")

    quantities: tuple[biomass.Quantity, ...] = ("dry", "carbon")
    return tuple(Weighed(slide.constant, quantity, span(number, quantity)) for quantity in quantities
                 if row[f"{quantity}_g_cm3"] is not None for number in numbers)
