"""A plan beside all that binds it: its money, visits and hours reckoned again from the prices and the tables."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import fsum, isclose

from rootcase.records.explain import Explanation
from rootcase.records.observe import PriceBook, PropertyRecord
from rootcase.records.prescribe import Dose, Plan, Step, TreePrescription
from rootcase.tables.load import Row, table

NEAR = 1e-6
SHARES_A_VISIT = {"spring": "spring", "early_spring": "spring", "may_september": "spring", "spring_or_autumn": "spring"}
"""Work of that season shares the visit of spring."""


@dataclass(frozen=True)
class Held:
    """A plan beside all that binds it."""

    record: PropertyRecord
    book: PriceBook
    plan: Plan
    explanations: tuple[Explanation, ...] = ()

    @cached_property
    def setup(self) -> float:
        return next((price.amount for price in self.book.prices if price.item == "visit"), 0.0)

    @property
    def forced(self) -> bool:
        return any(tree.against_advice for tree in self.plan.trees)

    def tree(self, tree_id: str) -> TreePrescription:
        return next(tree for tree in self.plan.trees if tree.tree_id == tree_id)


def remedy_row(code: str) -> Row:
    return table("prescribe/remedies").row(remedy=code)


def works(code: str) -> list[Row]:
    return sorted((row for row in table("prescribe/steps").rows if row["remedy"] == code), key=lambda row: row["year"])


def begun(steps: tuple[Step, ...]) -> dict[str, int]:
    """First year of each remedy, in the order in which they are first worked at."""
    found: dict[str, int] = {}
    for step in steps:
        found.setdefault(step.remedy, step.year)
    return found


def work_behind(step: Step, steps: tuple[Step, ...]) -> Row | None:
    """The table's row this step comes from."""
    run = step.year - begun(steps)[step.remedy] + 1
    return next((row for row in works(step.remedy) if row["year"] == run), None)


def visits(steps: tuple[Step, ...], year: int | None = None) -> set[tuple[str, int]]:
    """The crew's visits, by the season in which each step really is done."""
    return {(SHARES_A_VISIT.get(step.season, step.season), step.year) for step in steps if year in (None, step.year)
            and (row := work_behind(step, steps)) is not None and row["visit"]}


def hours(step: Step, steps: tuple[Step, ...]) -> tuple[float, float]:
    """Of people and of machines that one step takes."""
    first, dose = step.year == begun(steps)[step.remedy], step.dose
    size = {"m2": dose.area_m2, "m3": dose.volume_m3 or 0.0, "kL": (dose.litres or 0.0) / 1000.0, "tree": 1.0}
    rows = [row for row in table("prescribe/paces").rows
            if row["work"] == step.remedy and (first or not row["first_time_only"])]
    return (fsum(size[row["per"]] * row["person_hours"] for row in rows),
            fsum(size[row["per"]] * row["machine_hours"] for row in rows))


def five_years(code: str, dose: Dose, book: PriceBook) -> float | None:
    """What the price book asks for a remedy's five years."""
    done = tuple(Step(int(row["year"]), "", code, dose, None) for row in works(code))
    times = sum(1 for row in works(code) if row["visit"])
    size = {"per_m2": dose.area_m2, "per_tree": 1.0, "per_visit": float(times),
            "per_m3": None if dose.volume_m3 is None else times * dose.volume_m3,
            "per_hour": fsum(hours(step, done)[0] for step in done) or None}
    return next((price.amount * many for price in book.prices
                 if price.item == code and (many := size.get(price.unit)) is not None), None)


def same(one: float, other: float) -> bool:
    return isclose(one, other, rel_tol=NEAR, abs_tol=NEAR)


def paid(held: Held, taken: list[tuple[Step, ...]], year: int | None) -> float:
    """Money of these courses in this year with its visits; of all years for None. The minimum charge is this year's."""
    if not taken:
        return 0.0
    def own(at: int | None) -> float:
        return fsum(step.cost or 0.0 for steps in taken for step in steps if at in (None, step.year))

    def calls(at: int | None) -> float:
        return held.setup * len({visit for steps in taken for visit in visits(steps, at)})

    first = max(own(1) + calls(1), held.book.minimum_charge)
    return first if year == 1 else own(None) + calls(None) + first - own(1) - calls(1)


def took(taken: list[tuple[Step, ...]]) -> tuple[float, float]:
    """Hours of crew and machine in the first year, driving and setting up with them."""
    done = [hours(step, steps) for steps in taken for step in steps if step.year == 1]
    calls = len({visit for steps in taken for visit in visits(steps, 1)})
    setting_up = float(table("prescribe/paces").row(work="visit")["person_hours"])
    return (fsum(person for person, _ in done) + (calls * setting_up if taken else 0.0),
            fsum(machine for _, machine in done))
