"""A dose as it is measured out: rounded once, with what the laboratory, the cups and the trunk tell of it."""

from __future__ import annotations

from dataclasses import replace

from rootcase.casework.prescribe.laboratory_doses import FROM_LABORATORY, laboratory_dose, nitrogen_dose_kg_m2
from rootcase.casework.prescribe.needs import Standing
from rootcase.casework.prescribe.remedies import Remedy, figure
from rootcase.casework.prescribe.sprinklers import zone_runs
from rootcase.ground.measured import measured, not_above, on_a_tape
from rootcase.ground.quantity import System
from rootcase.records.prescribe import Dose
from rootcase.science.water.trunk_rule import trunk_rule_l_week
from rootcase.science.zones.amounts import ring_area_m2
from rootcase.science.zones.containers import holes_on_grid

BY_LABEL = ("chelate", "growth_regulator", "mycorrhiza", "biostimulant")
LOOSE, WEIGHED, LIQUID = ("yd3", "m3"), ("lb", "kg"), ("gal", "L")
"""US and metric unit of each measure."""
SCALES, AS_DELIVERED = 3, 2
"""Figures of what is weighed out, and of what loose stuff weighs."""


def measured_out(remedy: Remedy, dose: Dose | None, standing: Standing, system: System) -> Dose | None:
    """A dose as a crew measures it out.

    Parameters
    ----------
    remedy : the remedy.
    dose : of one application on this ground, see `dose_of`.
    standing : what was read at the tree and its ground.
    system : the property's own, in which amounts are rounded.

    Returns
    -------
    Dose in SI units; None where there is none.

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    Depths are what a tape shows, volumes follow from them, and each amount is rounded once to what is printed of it in
    the property's own system; a product that is weighed never upward, so that no rounding lifts it over a cap. Loose
    stuff is told by its weight as delivered too. Ground and depth of water stay as they are.

    References
    ----------
    Tables prescribe/remedies and prescribe/effects. `measured`, `on_a_tape`.

    Examples
    --------
    >>> from rootcase.casework.explain.ground import Ground
    >>> from rootcase.casework.prescribe.remedies import remedies
    >>> mulch = next(remedy for remedy in remedies() if remedy.code == "mulch")
    >>> laid = measured_out(mulch, Dose(41.7, depth_m=0.08, volume_m3=3.336), Standing(Ground("lawn", {}), None, {}),
    ...                     "us")
    >>> round(laid.depth_m, 4), round(laid.volume_m3, 2)
    (0.0762, 3.21)
    """
    if dose is None:
        return None
    if remedy.code == "radial_trenches":
        dose = _trenched(dose, standing)
    if remedy.hole_m is not None and remedy.spacing_m is not None:
        dose = _holed(dose, remedy.hole_m, remedy.spacing_m)
    elif dose.volume_m3 is not None and dose.area_m2 > 0.0:
        laid_m = on_a_tape(dose.volume_m3 / dose.area_m2, system)
        dose = replace(dose, volume_m3=dose.area_m2 * laid_m)
    if remedy.code == "water":
        dose = _watered(dose, standing)
    dose = _rounded(_weighed(remedy, dose, standing), system)
    return replace(dose, unknown="label") if remedy.code in BY_LABEL else dose


def _weighed(remedy: Remedy, dose: Dose, standing: Standing) -> Dose:
    """With the mass: of a product by the laboratory, of nitrogen under its cap, of loose stuff as delivered."""
    if remedy.code in FROM_LABORATORY:
        told = laboratory_dose(remedy.code, standing)
        mass = None if told.kg_m2 is None else dose.area_m2 * told.kg_m2
        return replace(dose, mass_kg=mass, parts=told.parts, unknown=told.unknown)
    if remedy.code == "slow_nitrogen":
        wanted = (dose.mass_kg or 0.0) / dose.area_m2 if dose.area_m2 > 0.0 else 0.0
        return replace(dose, mass_kg=dose.area_m2 * nitrogen_dose_kg_m2(wanted))
    if remedy.density_kg_m3 is not None and dose.volume_m3 is not None:
        return replace(dose, mass_kg=dose.volume_m3 * remedy.density_kg_m3)
    return dose


def _trenched(dose: Dose, standing: Standing) -> Dose:
    """Spokes from near the trunk to the edge of the crown, as much of each as lies in ground that may be opened."""
    zone_m2 = dose.area_m2
    open_share = min(standing.covers.get("turf", 0.0) + standing.covers.get("bare", 0.0), 1.0)
    spoke_m = max(standing.middle("crown_radius_m") - figure("trench_off_trunk_m"), 0.0)
    length = figure("trench_spokes") * spoke_m * open_share if zone_m2 > 0.0 else 0.0
    area = min(length * figure("trench_width_m"), zone_m2)
    return replace(dose, area_m2=area, trench_m=area / figure("trench_width_m"),
                   volume_m3=area * (dose.depth_m or 0.0))


def _holed(dose: Dose, hole_m: float, spacing_m: float) -> Dose:
    holes = round(float(holes_on_grid(dose.area_m2, spacing_m)))
    return replace(dose, holes=holes, hole_m=hole_m, spacing_m=spacing_m,
                   volume_m3=holes * float(ring_area_m2(hole_m / 2.0, 0.0)) * (dose.depth_m or 0.0))


def _watered(dose: Dose, standing: Standing) -> Dose:
    runs = zone_runs(standing, dose.water_mm or 0.0)
    return replace(dose, runs=runs, unknown="" if runs else "no_audit",
                   trunk_rule_l_week=float(trunk_rule_l_week(standing.middle("trunk_diameter_m"))))


def _rounded(dose: Dose, system: System) -> Dose:
    def whole(amount: float | None, unit: str, pair: tuple[str, str], figures: int | None = None) -> float | None:
        return None if amount is None else measured(amount, unit, system, pair, figures)

    by_scales = dose.mass_kg is not None and dose.volume_m3 is None
    weighed = (not_above(dose.mass_kg or 0.0, "kg", system, WEIGHED, SCALES) if by_scales
               else whole(dose.mass_kg, "kg", WEIGHED, AS_DELIVERED))
    return replace(dose, depth_m=None if dose.depth_m is None else on_a_tape(dose.depth_m, system),
                   cover_m=None if dose.cover_m is None else on_a_tape(dose.cover_m, system),
                   volume_m3=whole(dose.volume_m3, "m3", LOOSE), mass_kg=weighed,
                   litres=whole(dose.litres, "L", LIQUID), trench_m=whole(dose.trench_m, "m", ("ft", "m")),
                   trunk_rule_l_week=whole(dose.trunk_rule_l_week, "L", LIQUID))
