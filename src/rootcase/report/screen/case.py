"""The case page of one tree: its finding, four bars, and a line for each of its six stages."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from rootcase.ground.dates import show_date
from rootcase.ground.quantity import show
from rootcase.ground.words import say
from rootcase.records.compare import ShootYear, TreeComparison
from rootcase.records.explain import Explanation
from rootcase.records.observe import PropertyRecord, Reading, Tree
from rootcase.records.offer import DueItem, SignedPlan
from rootcase.records.prove import Proof
from rootcase.records.report import Casework
from rootcase.report.text import one_tree
from rootcase.report.text.cases import TreeCase, tree_cases
from rootcase.report.text.comparison import share_told, year_rows
from rootcase.report.text.figures import loss, percent, sentence
from rootcase.report.text.happenings import PHOTO, counted_readings, readings_at
from rootcase.report.text.naming import kind_name, place_name, remedy_name, species_of
from rootcase.report.text.proof import interval, left_out_line
from rootcase.report.text.readings import value_told
from rootcase.report.text.result import Result
from rootcase.report.text.sides import depths_of
from rootcase.report.text.signed import signature
from rootcase.report.text.statements import of_tree

Stage = Literal["observe", "compare", "explain", "prescribe", "apply", "prove"]
STAGES: tuple[Stage, ...] = ("observe", "compare", "explain", "prescribe", "apply", "prove")
State = Literal["done", "here", "to come"]
Cell = tuple[str, str]
"""What stands in a table, and the name of the result it is; empty where it is none."""
_OF_A_LAYER = ("texture", "hardness", "reach")
_SMALL = ("in", "cm")
_EXPLAIN_WITH = ("probe_depth", "ground_under_crown")
"""What explains a tree at the least."""


@dataclass(frozen=True, slots=True)
class Line:
    """A stage in one line, with its day; None where nothing of it was done."""

    stage: Stage
    state: State
    told: str
    day: date | None


@dataclass(frozen=True, slots=True)
class Pair:
    """One measure of the tree beside its kind's, as two bars."""

    name: str
    here: str
    interval: str
    """Of the tree's value; empty where it has none."""
    there: str
    there_interval: str
    here_part: float
    """Of the longer bar, 0 to 1."""
    there_part: float
    figure: str
    """Name of the tree's result, by which its trace is found."""
    kind_figure: str


def case_of(casework: Casework | None, tree: Tree) -> TreeCase:
    """Return a tree with its results; without any where it is not compared or nothing is kept."""
    found = () if casework is None else tree_cases(casework)
    return next((case for case in found if case.tree.id == tree.id), TreeCase(tree, None, None, None))


def about(record: PropertyRecord, tree: Tree) -> str:
    """Return kind, place and trunk of a tree, as they were read."""
    read = [reading for reading in reversed(record.of(tree.id, kind="dbh")) if reading.value is not None]
    trunk = next((reading for reading in read if reading.plain), next((each for each in read if each.doubts), None))
    girth = say("case.trunk" if trunk.plain else "case.trunk_doubted",
                dbh=show(trunk.value, "mm", record.property.system, _SMALL)) if trunk else ""
    return ", ".join(part for part in (species_of(record, tree), place_name(record, tree), girth) if part)


def lines(case: TreeCase, casework: Casework | None, record: PropertyRecord,
          signed: SignedPlan | None, work: DueItem | None = None, proofs: Sequence[Proof] = ()) -> tuple[Line, ...]:
    """Return the six stages, each in a line; the first that is not done is where the work stands.

    work: the signed work that comes next at the tree. proofs: of the trials of its property.
    """
    readings = readings_at(record, case.tree.id)
    done = {"observe": bool(readings), "compare": case.share is not None, "explain": case.explanation is not None,
            "prescribe": signed is not None, "apply": False, "prove": False}
    here = next(stage for stage in STAGES if not done[stage])
    proved = _proved(case.tree, record, proofs)
    done["prove"] = proved is not None
    made_on = casework.made_on if casework else None
    is_yardstick = any(case.tree.id in yardstick.tree_ids for yardstick in record.yardsticks)
    told = {
        "observe": (_observed(readings, record, case.tree), readings[0].day if readings else None),
        "compare": (one_tree.basis(case, record).text if case.comparison else not_compared(case.tree, record),
                    made_on if case.comparison else None),
        "explain": (_explained(case.explanation, readings, is_yardstick), made_on if case.explanation else None),
        "prescribe": (_prescribed(case, signed, is_yardstick),
                      signed.day if signed else made_on if case.prescription else None),
        "apply": (_applied(signed, work), None),
        "prove": proved or (say("case.line.prove_signed" if signed else "case.line.prove_none"), None)}
    return tuple(Line(stage, "done" if done[stage] else "here" if stage == here else "to come", *told[stage])
                 for stage in STAGES)


def _proved(tree: Tree, record: PropertyRecord, proofs: Sequence[Proof]) -> tuple[str, date] | None:
    """What the trial says that a tree is in, or why its pair says nothing, and the day of what was read last for it."""
    labels = {each.id: each.label for each in record.trees}
    told = []
    for proof, trial in ((each, trial) for each in proofs for trial in each.properties):
        own = next((each for each in trial.trees if each.tree_id == tree.id), None)
        if own and trial.fit:
            key = "more" if trial.fit.low > 0 else "less" if trial.fit.high < 0 else "not_told"
            told.append(say(f"case.line.proved.{key}", remedy=sentence(remedy_name(proof.remedy)),
                            arm=say(f"case.line.arm.{'treated' if own.treated else 'untreated'}"), pairs=trial.pairs,
                            effect=interval(trial.fit.effect, trial.fit.low, trial.fit.high)))
        told += [left_out_line(each, labels) for each in trial.left_out
                 if tree.id in (each.tree_id, each.partner_id) and each.why in ("removed", "dead")]
    days = [each.day for kind in ("shoot_length_by_year", "shoot_length_last", "tree_status")
            for each in record.of(tree.id, kind=kind)]
    return (" ".join(told), max(days)) if told and days else None


def _applied(signed: SignedPlan | None, work: DueItem | None) -> str:
    if signed is None or work is None:
        return say("case.line.apply_signed" if signed else "case.line.apply_none")
    return say("case.line.apply_next", remedy=remedy_name(work.what), day=show_date(work.day),
               last=show_date(date.fromisoformat(work.why)))


def _observed(readings: Sequence[Reading], record: PropertyRecord, tree: Tree) -> str:
    if not readings:
        return say("case.line.observe_none")
    newest = next((each for each in readings if each.kind != PHOTO), readings[0])
    return say("case.line.observe", readings=counted_readings(readings), pits=len(record.pits_of(tree.id)),
               photos=sum(each.kind == PHOTO for each in readings), kind=kind_name(newest.kind),
               value=value_told(newest))


def not_compared(tree: Tree, record: PropertyRecord) -> str:
    """Return why a tree stands beside no other: it is itself a healthy one, or nothing was read."""
    group = next((yardstick.label for yardstick in record.yardsticks if tree.id in yardstick.tree_ids), "")
    return say("case.line.yardstick", group=group) if group else say("case.line.compare_none")


def _explained(explanation: Explanation | None, readings: Sequence[Reading], is_yardstick: bool) -> str:
    if explanation is None and is_yardstick:
        return say("case.line.explain_yardstick")
    if explanation is None:
        read = {each.kind for each in readings if each.nothing is None}
        missing = [code for code in _EXPLAIN_WITH if code not in read]
        return say("case.line.explain_none", count=len(missing), kinds=", ".join(
            say(f"case.line.with_{code}") for code in missing)) if missing else say("case.line.explain_anew")
    predicted, rest = share_told(explanation.predicted_share), explanation.unexplained_points
    if rest is None:
        return say("case.line.explain_alone", predicted=predicted)
    figure, interval = loss(rest)
    return say("case.line.explain", predicted=predicted, rest=figure, interval=interval)


def _prescribed(case: TreeCase, signed: SignedPlan | None, is_yardstick: bool) -> str:
    plan = case.prescription
    if signed is not None:
        own = next(each for each in signed.signing.plan.trees if each.tree_id == case.tree.id)
        return say("case.line.prescribe_signed", what=one_tree.proposed(TreeCase(case.tree, None, None, own)),
                   signature=signature(signed))
    if plan is None:
        return say("case.line.prescribe_yardstick" if is_yardstick else "case.line.prescribe_none")
    return say("case.line.not_judged" if case.not_judged else "case.line.prescribe", what=one_tree.proposed(case))


def pairs(case: TreeCase, results: Mapping[str, Result]) -> tuple[Pair, ...]:
    """Return what tells the tree from its kind at a glance: last shoot, depth for roots, water in reach, dead ends."""
    comparison, explanation = case.comparison, case.explanation
    found = []
    if comparison and (year := _last_year(comparison)) and year.tree_mm and year.yardstick_mm:
        found.append((say("case.pair.shoot", year=year.year), f"year.{year.year}", "", year.tree_mm.median,
                      year.yardstick_mm.median))
    if explanation:
        here, there = explanation.soil, explanation.yardstick_soil
        found.append((say("case.pair.depth"), "rootable", "", here.rootable_depth_m.mean, there.rootable_depth_m.mean))
        found.append((say("case.pair.water"), "reach", "", here.water_in_reach_mm.mean, there.water_in_reach_mm.mean))
    dead = next((line for line in comparison.measures if line.kind == "crown_dieback"), None) if comparison else None
    if dead and dead.tree_value is not None and dead.yardstick_value is not None:
        found.append((say("case.pair.dead"), "measure.crown_dieback", ".here", dead.tree_value, dead.yardstick_value))
    return tuple(_pair(of_tree(case.tree.id, about), here, results, name, *values)
                 for name, about, here, *values in found)


def _last_year(comparison: TreeComparison) -> ShootYear | None:
    """The newest year of which shoots were read on both sides."""
    return max((year for year in comparison.years if year.tree_mm and year.yardstick_mm),
               key=lambda year: year.year, default=None)


def _pair(about: str, here: str, results: Mapping[str, Result], name: str, first: float, second: float) -> Pair:
    own, kind, longer = results[about + here], results[f"{about}.kind"], max(first, second) or 1.0
    return Pair(name, own.figure, own.interval, kind.figure, kind.interval, first / longer, second / longer,
                about + here, f"{about}.kind")


def year_cells(line: TreeComparison, record: PropertyRecord) -> list[list[Cell]]:
    """Return the years of shoots as rows, each figure with the name its trace is found by."""
    rows = year_rows(line, record)
    leads = [[""] * 5, *(["", f"year.{year.year}" if year.tree_mm else "",
                          f"year.{year.year}.kind" if year.yardstick_mm else "", "",
                          f"year.{year.year}.share" if year.share else ""] for year in line.years)]
    return [[(told, lead and of_tree(line.tree_id, lead)) for told, lead in zip(row, lead_row, strict=True)]
            for row, lead_row in zip(rows, leads[:len(rows)], strict=True)]


def soil_cells(explanation: Explanation, record: PropertyRecord, results: Mapping[str, Result]) -> list[list[Cell]]:
    """Return the section's numbers: the model's layers here and at the yardstick, with what is known of each."""
    def cell(about: str) -> Cell:
        result = results[of_tree(explanation.tree_id, about)]
        told = say("case.soil.interval", value=result.figure, interval=result.interval) if result.interval else (
            result.figure)
        return told, of_tree(explanation.tree_id, about)

    heads = [(say(f"case.soil.{name}"), "") for name in ("layer", "texture", "hardness", "reach", "texture_there",
                                                         "hardness_there", "reach_there")]
    return [heads, *([(depths_of(layer, record.property.system), ""),
                      *(cell(f"soil.{at}.{name}{kind}") for kind in ("", ".kind") for name in _OF_A_LAYER)]
                     for at, layer in enumerate(explanation.soil.layers))]


def share_in_short(case: TreeCase) -> tuple[str, str]:
    """Return the tree's share and its interval, as a list of trees shows them."""
    return percent(case.share) if case.share else (say("report.not_known"), "")
