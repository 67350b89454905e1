"""Decided: which rows of which tables stand behind a figure, as the casework looks them up."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rootcase.casework.explain.ground import ground_of
from rootcase.casework.species import growth_class_of, known_as
from rootcase.ground.words import say
from rootcase.records.compare import TreeComparison
from rootcase.records.explain import Explanation
from rootcase.records.observe import PropertyRecord, Tree
from rootcase.records.report import Casework
from rootcase.report.text.cases import TreeCase, tree_cases
from rootcase.report.text.naming import species_of
from rootcase.tables.load import Row, Table, table

_ASSUMED = {"bulk_density": ("density_ratio",), "organic_matter": ("organic_matter_pct",), "ece": ("ece_ds_m",),
            "probe_depth": ("refusal_depth_m", "surface_resistance_mpa"), "sar": ("sar",), "soil_ph": ("ph",),
            "irrigation_kind": ("irrigation_chance", "irrigation_mm_week"),
            "cover_share_by_ring": ("litter", "mulch", "turf", "bare", "paved")}
"""What stands in for a kind that nobody read."""
_ERRORS = {"bulk_density": "bulk_density", "organic_matter": "organic_matter", "penetration_profile": "resistance",
           "probe_depth": "refusal_depth", "ece": "ece", "soil_ph": "ph", "sar": "sar", "dbh": "trunk_diameter",
           "drainage_hole_drop": "drainage", "mottle_top": "mottle_depth", "crown_spread": "crown_radius",
           "irrigation_kind": "irrigation"}
"""Whose error a reading carries."""
_PRIORS = {"strength": ("half_rooting_resistance_mpa", "resistance_steepness", "rod_stop_resistance_mpa",
                        "below_refusal_ratio", "plasticity"),
           "air": ("mottled_root_share", "sodic_loss"),
           "water": ("basal_crop_coefficient", "infiltration_error", "turf_coefficient", "turf_topsoil_share",
                     "mulch_evaporation_cut", "field_capacity_error", "bud_set_weight"),
           "salt": ("salt_threshold_error_ds_m", "salt_slope_error"),
           "nutrition": ("nitrogen_release_per_year", "nitrogen_demand_kg_ha", "lock_up_error"),
           "establishment": ("root_advance_m_year", "free_root_spread_ratio")}
"""The model's own figures that a limit turns on first. docs/model.md, 1 and 2."""


@dataclass(frozen=True, slots=True)
class Decided:
    """One row of a table."""

    table: Table
    number: int
    """Of the row, the first is 1."""
    cells: tuple[tuple[str, str], ...]
    """Column and what stands in it, as far as it is filled."""
    source: str
    how_known: str


def rows_behind(casework: Casework, name: str) -> tuple[Decided, ...]:
    """The rows that decided the figure of this name; empty where it was reckoned from other figures alone."""
    tree_id, _, figure = name.partition("/")
    case = next((each for each in tree_cases(casework) if each.tree.id == tree_id), None)
    if case is None:
        return ()
    found = dict.fromkeys((which, at) for which, at in _rows(case, figure, casework.record))
    return tuple(_decided(table(which), at) for which, at in found)


def _rows(case: TreeCase, figure: str, record: PropertyRecord) -> Iterator[tuple[str, int]]:
    kind, _, part = figure.partition(".")
    if kind in ("share", "year") and case.comparison:
        yield from _growth(case.comparison, case.tree, record)
    elif kind == "measure":
        yield from _where("compare/measures", kind=part.split(".")[0])
    elif kind in ("limit", "conditioned", "water", "rootable", "reach", "soil") and case.explanation:
        limit = part if kind in ("limit", "conditioned") else "water" if kind in ("water", "reach") else "strength"
        if figure.endswith(".kind"):
            yield from _forest_floor(case.explanation)
        else:
            yield from _limit(case.explanation, limit, case.tree, record)
    elif kind == "signs" and case.explanation and case.explanation.signs:
        for cause in case.explanation.signs.causes:
            yield from _where("explain/causes", cause=cause.cause)
    elif kind == "remedy":
        for remedy in part.split("+"):
            for which in ("prescribe/remedies", "prescribe/steps", "prescribe/rates"):
                yield from _where(which, remedy=remedy)


def _growth(line: TreeComparison, tree: Tree, record: PropertyRecord) -> Iterator[tuple[str, int]]:
    yield from _where("compare/pooling")
    if line.basis == "growth class":
        species = species_of(record, tree) or ""
        yield from _species(species)
        yield from _where("compare/growth_prior", growth_class=growth_class_of(species))


def _limit(explanation: Explanation, limit: str, tree: Tree, record: PropertyRecord) -> Iterator[tuple[str, int]]:
    step = next((each for each in explanation.limits if each.limit == limit), None)
    if step is None:
        return
    kinds = {reading.kind for reading in record.readings if reading.id in step.rests_on}
    for kind in sorted(kinds & _ERRORS.keys()):
        yield from _where("explain/reading_errors", reading=_ERRORS[kind])
    place = ground_of(record, [tree]).place_kind
    for quantity in (each for kind in step.assumed for each in _ASSUMED.get(kind, ())):
        own = tuple(_where("explain/assumed_readings", place_kind=place, quantity=quantity))
        yield from own or _where("explain/assumed_readings", place_kind="lawn", quantity=quantity)
    if limit in ("salt", "nutrition"):
        known = known_as(species_of(record, tree) or "")
        yield from _species(species_of(record, tree) or "")
        for row in known:
            yield from (_where("tree/salt_classes", tolerance=row["salt_tolerance"]) if limit == "salt" else
                        _where("tree/lock_up", risk=row["lime_chlorosis_risk"]))
    for parameter in _PRIORS[step.limit]:
        yield from _where("tree/priors", parameter=parameter)
    if not explanation.yardstick_soil.read_kinds:
        yield from _forest_floor(explanation)


def _forest_floor(explanation: Explanation) -> Iterator[tuple[str, int]]:
    """What stands for the kind's soil, as far as nobody read it."""
    if not explanation.yardstick_soil.read_kinds:
        yield from _where("tree/forest_floor")


def _species(name: str) -> Iterator[tuple[str, int]]:
    rows = table("species").rows
    yield from (("species", rows.index(row)) for row in known_as(name))


def _where(which: str, **cells: object) -> Iterator[tuple[str, int]]:
    """The rows of a table that hold these cells."""
    for at, row in enumerate(table(which).rows):
        if all(row[column] == cell for column, cell in cells.items()):
            yield which, at


def _decided(which: Table, at: int) -> Decided:
    row = which.rows[at]
    source, how = (str(told).replace("JUDGEMENT", say("trace.judgement")) for told in (
        row.get("source") or which.source or say("report.behind.by_row"), row.get("how_known") or which.how_known))
    return Decided(which, at + 1, tuple(_cells(which, row)), source, how)


def _cells(which: Table, row: Row) -> Iterator[tuple[str, str]]:
    for column, unit in which.units.items():
        cell = row[column]
        if column in ("source", "how_known") or cell in ("", None) or (column == "unit" and cell == "1"):
            continue
        told = cell.replace("_", " ") if isinstance(cell, str) else f"{cell:.12g}"
        bare = unit in ("text", "1") or ", " in unit or "unit" in which.units  # the row, or words, tell the unit
        yield column.replace("_", " "), told if bare else f"{told} {unit}"
