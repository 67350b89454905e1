"""Case pages at hand: what a tree's page shows, composed and drawn once for its casework and what is written down."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache, partial
from threading import Lock
from typing import Any

from markupsafe import Markup

from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord, System, Tree
from rootcase.records.report import Casework
from rootcase.report.pictures import draw_comparison, draw_section, draw_shoots, draw_timeline, draw_waterfall
from rootcase.report.pictures.signs import Layout
from rootcase.report.screen import case as told
from rootcase.report.screen.explained import conditioned_steps, steps, worth_reading
from rootcase.report.screen.photos import photos_by_year
from rootcase.report.screen.prescribed import remedy_rows
from rootcase.report.svg import Picture
from rootcase.report.text import one_tree
from rootcase.report.text.beside import beside, stop
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.comparison import measure_row
from rootcase.report.text.figures import listed
from rootcase.report.text.happenings import happenings, readings_at
from rootcase.report.text.ledger import results_of
from rootcase.report.text.naming import compare_note
from rootcase.report.text.next_reading import before_spending, next_reading
from rootcase.report.text.readings import told_together
from rootcase.report.text.result import Result
from rootcase.report.text.signed import arms_cost, pairs_lines, signature_of, tree_names
from rootcase.report.text.signs import not_a_soil_case, not_looked_for, signs_told
from rootcase.services.case import CaseFile, next_work
from rootcase.services.kept import Kept
from rootcase.services.trace import figures_of
from rootcase.web.picture import both, embedded
from rootcase.web.refusals import NotThere

MOST_HELD = 64
"""JUDGEMENT: pages at hand, some 300 kB each."""
_DRAWN_HELD = 16


@dataclass(frozen=True, slots=True)
class _Held:
    casework: Casework | None
    file: CaseFile
    day: date
    shown: dict[str, Any]


class Cases:
    """Pages of trees, each good while neither the casework nor what is written down has become another."""

    def __init__(self) -> None:
        self._held: OrderedDict[tuple[str, str, System], _Held] = OrderedDict()
        self._turn = Lock()

    def shown(self, kept: Kept, file: CaseFile, tree: Tree, system: System,
              today: date) -> dict[str, Any]:
        """All that the page of a tree shows, in a person's units."""
        key = (file.record.property.id, tree.id, system)
        with self._turn:
            held = self._held.get(key)
        if held is None or held.casework is not kept.casework or held.file is not file or held.day != today:
            held = _Held(kept.casework, file, today, _composed(kept, file, tree, system, today))
        with self._turn:
            self._held[key] = held
            self._held.move_to_end(key)
            while len(self._held) > MOST_HELD:
                self._held.popitem(last=False)
        return held.shown


CASES = Cases()


def _composed(kept: Kept, file: CaseFile, tree: Tree, system: System, today: date) -> dict[str, Any]:
    record = in_units(file.record, system)
    casework = kept.casework and replace(kept.casework, record=in_units(kept.casework.record, system))
    case, thought = told.case_of(casework, tree), casework.record if casework else record
    results = results_of(casework, (case,)) if casework else {}
    signed = file.signed if file.signed and any(
        each.tree_id == tree.id for each in file.signed.signing.plan.trees) else None
    happened = happenings(record, tree.id, file.plans, file.offers, file.put_on)
    drawn = kept.form("drawn", lambda _: lru_cache(_DRAWN_HELD)(partial(_drawn, kept))) if casework else None
    return {
        "case": case, "traced": results, "about": told.about(record, tree),
        "lines": told.lines(case, casework, record, signed, next_work(file, tree, today), file.proofs),
        "headline": " ".join(one_tree.headline(case)) if case.comparison else told.not_compared(tree, record),
        "basis": one_tree.basis(case, thought) if case.comparison else None, "sure": one_tree.sureness(case),
        "stop": stop(tree, record), "pairs": told.pairs(case, results),
        "readings": told_together(readings_at(record, tree.id)),
        **_compared(case, thought), **_explained(case, thought, file, results), **_prescribed(case, casework),
        **_arms(file, tree), "happened": happened[::-1], "photos": photos_by_year(record, tree, file.plans),
        "timeline": embedded(draw_timeline(tree.label, happened, today)) if happened else Markup(),
        "drawn": drawn(tree, system) if drawn and case.comparison else {},
    }


def in_units(record: PropertyRecord, system: System) -> PropertyRecord:
    """The record in the units that a person reads in."""
    return replace(record, property=replace(record.property, system=system))


def figures_at_hand(kept: Kept, system: System) -> Mapping[str, Result]:
    """Every figure of the newest casework in a person's units, made the first time one is asked for."""
    return kept.form(f"figures.{system}", lambda made: figures_of(replace(made, record=in_units(made.record, system))))


def _compared(case: TreeCase, record: PropertyRecord) -> dict[str, Any]:
    line = case.comparison
    return {"years": told.year_cells(line, record) if line else [],
            "measures": [(each.kind, measure_row(each, record)) for each in line.measures] if line else [],
            "notes": [compare_note(note) for note in line.notes] if line else []}


def _explained(case: TreeCase, record: PropertyRecord, file: CaseFile, results: Mapping[str, Result]) -> dict[str, Any]:
    explanation = case.explanation
    if explanation is None:
        return {"explanation": None, "outside": False, "worth": worth_reading(case, file.wanted)}
    seen = beside(case.tree, record)
    return {
        "explanation": explanation, "steps": steps(case, record), "soil": told.soil_cells(explanation, record, results),
        "unexplained": one_tree.unexplained(case), "conditioned": conditioned_steps(explanation, results),
        "mind": one_tree.change_of_mind(case), "beside": seen, "signs": signs_told(case),
        "unlooked": list(filter(None, (one_tree.not_looked_at(case, record), not_looked_for(case),
                                       one_tree.turned(case), one_tree.beyond(case)))),
        "next": next_reading(case), "worth": worth_reading(case, file.wanted), "outside": not_a_soil_case(explanation),
        "reckoned": say("terminal.reckoned", years=listed([str(year) for year in explanation.growth_years[1:]]),
                        draws=f"{explanation.draws:,}", balances=f"{explanation.balances:,}"),
        "weather": explanation.weather_told}


def _prescribed(case: TreeCase, casework: Casework | None) -> dict[str, Any]:
    if casework is None or case.prescription is None:
        return {"verdict": None}
    return {"verdict": one_tree.verdict(case), "verdict_unpriced": one_tree.verdict(case, priced=False),
            "future": one_tree.future(case),
            "remedies": remedy_rows(case, casework.record), "signature": signature_of(casework),
            "before": before_spending(case, casework.plan.currency)}


def _arms(file: CaseFile, tree: Tree) -> dict[str, list[str]]:
    """What a lot decided at the signing, where this tree is in it; what that costs apart."""
    if file.signed is None:
        return {"arms": [], "arms_cost": []}
    labels, currency = tree_names(file.record, file.signed), file.signed.signing.plan.currency
    own = [arms for arms in file.signed.signing.arms
           if any(tree.id in (pair.treated, pair.untreated) for pair in arms.pairs)]
    return {"arms": [line for arms in own for line in pairs_lines(arms, labels)],
            "arms_cost": [line for arms in own for line in arms_cost(arms, currency)]}


def _drawn(kept: Kept, tree: Tree, system: System) -> dict[str, Markup]:
    """The pictures of a tree, each in both layouts."""
    assert kept.casework is not None
    record, case = in_units(kept.casework.record, system), told.case_of(kept.casework, tree)
    line, explanation = case.comparison, case.explanation
    if line is None:
        return {}
    found = {"shoots": _both(partial(draw_shoots, record, tree.id, line)),
             "comparison": _both(partial(draw_comparison, record, tree.id, line))}
    if explanation:
        found["section"] = _both(partial(draw_section, record, tree.id, line, explanation))
        found["waterfall"] = _both(partial(draw_waterfall, record, tree.id, line, explanation))
    return found


def _both(draw: Callable[[Layout], Picture]) -> Markup:
    return both(draw("wide"), draw("phone"))


def tree_of(record: PropertyRecord, tree_id: str) -> Tree:
    """The tree that an address names."""
    found = next((tree for tree in record.trees if tree.id == tree_id), None)
    if found is None:
        raise NotThere(say("case.no_tree"), value=tree_id, right=say("web.see_trees"))
    return found
