"""What the section draws of each side, picked from the record, the comparison and the soil column."""

from __future__ import annotations

from dataclasses import dataclass

from rootcase.records.compare import TreeComparison
from rootcase.records.explain import Explanation, SoilColumn
from rootcase.records.observe import PropertyRecord
from rootcase.report.pictures.trees import TreeShape
from rootcase.report.pictures.trunk import trunk_mm

_RODS = {"probe_depth", "penetration_profile"}


@dataclass(frozen=True, slots=True)
class Side:
    """One half of the section: this tree, or the mean of its yardstick."""

    shape: TreeShape
    soil: SoilColumn
    litter_m: float
    mulch_m: float
    shoots_mm: tuple[tuple[int, float], ...]
    """One typical shoot, oldest year first; only years that both sides were read for, so that the two compare."""
    woodland: bool
    left_out: tuple[str, ...] = ()
    """Kinds of which all that was read is doubted or only a limit, and so not drawn."""

    @property
    def probed(self) -> bool:
        """Somebody pushed a rod or a cone, so that the hardness is more than the model's guess."""
        return bool(_RODS & set(self.soil.read_kinds)) and self.soil.known_to_m > 0

    @property
    def chief_cover(self) -> str:
        return max(self.soil.cover, key=lambda part: part[1], default=("unread", 1.0))[0]

    @property
    def shoots_total_mm(self) -> float | None:
        return sum(length for _, length in self.shoots_mm) if self.shoots_mm else None


def two_sides(record: PropertyRecord, tree_id: str, comparison: TreeComparison,
              explanation: Explanation) -> tuple[Side, Side]:
    """This tree, and the yardstick it is compared with."""
    yardstick = next((y for y in record.yardsticks if y.id == comparison.yardstick_id), None)
    theirs = yardstick.tree_ids if yardstick else ()
    years = [(year.year, year.tree_mm.mean, year.yardstick_mm.mean)
             for year in sorted(comparison.years, key=lambda year: year.year) if year.tree_mm and year.yardstick_mm]
    here = _side(record, (tree_id,), explanation.soil, _measured(comparison, here=True),
                 tuple((year, mm) for year, mm, _ in years))
    there = _side(record, theirs, explanation.yardstick_soil, _measured(comparison, here=False),
                  tuple((year, mm) for year, _, mm in years))
    return here, there


def _measured(comparison: TreeComparison, here: bool) -> dict[str, float | None]:
    return {line.kind: line.tree_value if here else line.yardstick_value for line in comparison.measures}


def _side(record: PropertyRecord, tree_ids: tuple[str, ...], soil: SoilColumn, measured: dict[str, float | None],
          shoots_mm: tuple[tuple[int, float], ...]) -> Side:
    pits = tuple(pit.id for tree_id in tree_ids for pit in record.pits_of(tree_id))
    left_out: list[str] = []

    def mean(kind: str, *of: str) -> float | None:
        read = [r for r in record.of(*of, kind=kind) if r.value is not None]
        plain = [r.value for r in read if r.plain and r.value is not None]
        if read and not plain:
            left_out.append(kind)
        return sum(plain) / len(plain) if plain else None

    def value(kind: str) -> float | None:
        compared = measured.get(kind)
        return compared if compared is not None else mean(kind, *tree_ids)

    def depth_m(kind: str) -> float:
        return (mean(kind, *pits) or 0.0) / 1000

    trunk = trunk_mm(record, *tree_ids) if value("dbh") is not None else None
    flares = {r.choice for r in record.of(*tree_ids, kind="root_flare_state")}
    shape = TreeShape(value("tree_height"), value("crown_spread"), value("live_crown_ratio"),
                      None if trunk is None else trunk / 1000, value("crown_density"), value("crown_dieback"),
                      flares == {"none"})
    kinds = {record.place_of(tree).kind for tree in record.trees if tree.id in tree_ids}
    litter_m, mulch_m = depth_m("litter_depth"), depth_m("mulch_depth")
    return Side(shape, soil, litter_m, mulch_m, shoots_mm, kinds == {"woodland"}, tuple(left_out))
