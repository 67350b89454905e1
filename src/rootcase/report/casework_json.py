"""The casework, and each stage's result, as JSON: the same objects that the screen and the page are made of."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from datetime import date
from math import isfinite
from os import PathLike
from typing import Any

import numpy as np

from rootcase.records.estimate import Estimate
from rootcase.records.explain import Conditioned, Explanation, LimitShare
from rootcase.records.prescribe import ConstraintPrice, Dose, Plan, RemedyOutcome, TreePrescription
from rootcase.records.report import Casework
from rootcase.report.text.doses import dose_text
from rootcase.report.text.naming import species_of

_FIGURES = 12
"""Figures kept of every number: the same text on every processor, and means that close to far under 1e-6 points."""


def casework_json(casework: Casework) -> bytes:
    """Return the whole casework of a property.

    In every entry of `trees` the means close: 100 less the limits less what is not explained is the observed share.
    """
    record, plan = casework.record, casework.plan
    explanations = {explanation.tree_id: explanation for explanation in casework.explanations}
    prescriptions = {prescription.tree_id: prescription for prescription in plan.trees}
    compared = {comparison.tree_id: comparison for comparison in casework.comparison.trees}
    trees = []
    for tree in record.trees:
        if tree.id not in compared and tree.id not in explanations:
            continue
        explained = explanations.get(tree.id)
        observed = explained.observed_share if explained else compared[tree.id].share
        trees.append({"tree": tree.label, "species": species_of(record, tree), "observed_share": _four(observed),
                      **_explained(explained), **_prescribed(prescriptions.get(tree.id))})
    labels = {tree.id: tree.label for tree in record.trees}
    places = {place.id: place.name for place in record.places}
    return _bytes({"property": record.property.name, "level": casework.level, "currency": plan.currency,
                   "draws": casework.draws, "seed": casework.seed,
                   "engine": casework.engine, "trees": trees, "plan": _plan(plan, labels, places),
                   "laboratory": _plainly(casework.comparison.laboratory), "pests": _plainly(casework.pests)})


def stage_json(result: Any) -> bytes:
    """Return one stage's result (a record, or several) field by field, without its draws.

    >>> stage_json(Estimate(0.5, 0.5, 0.4, 0.6, 0.45, 0.55))[:24]
    b'{\\n  "mean": 0.5,\\n  "medi'
    """
    return _bytes(_plainly(result))


def _explained(explained: Explanation | None) -> dict[str, Any]:
    if explained is None:
        return {"predicted_share": None, "limits": [], "unexplained_points": None, "conditioned": None,
                "signs": None, "turned": [], "next_readings": [], "doubt_no_reading_removes": None,
                "weather_ends": None, "weather_told": [], "growth_years": [], "balances": 0}
    return {"predicted_share": _four(explained.predicted_share), "limits": _limits(explained.limits),
            "unexplained_points": _four(explained.unexplained_points),
            "conditioned": _conditioned(explained.conditioned),
            "signs": _plainly(explained.signs),
            "turned": _plainly(explained.turned),
            "next_readings": _plainly(explained.next_readings),
            "doubt_no_reading_removes": explained.doubt_no_reading_removes,
            "weather_ends": explained.weather_ends.isoformat(), "weather_told": list(explained.weather_told),
            "growth_years": list(explained.growth_years),
            "balances": explained.balances}


def _limits(limits: tuple[LimitShare, ...]) -> list[dict[str, Any]]:
    return [{"limit": limit.limit, "points": _four(limit.points)} for limit in limits]


def _conditioned(result: Conditioned | None) -> dict[str, Any] | None:
    if result is None:
        return None
    return {"share": _four(result.share), "limits": _limits(result.limits),
            "other_cause_points": _four(result.other_cause_points),
            "chance_other_cause": result.chance_other_cause, "chance_largest": list(result.chance_largest),
            "effective_draws": result.effective_draws,
            "temper": result.temper, "disagree": result.disagree}


def _prescribed(prescription: TreePrescription | None) -> dict[str, Any]:
    if prescription is None:
        return {"remedies": [], "verdict": None, "next_for_plan": [], "enough_read": None}
    return {"remedies": [_remedy(outcome) for outcome in prescription.remedies], "verdict": prescription.verdict,
            "reason": prescription.reason, "chosen": prescription.chosen, "weight": prescription.weight,
            "against_advice": prescription.against_advice,
            "next_for_plan": _plainly(prescription.next_for_plan), "enough_read": prescription.enough_read}


def _remedy(outcome: RemedyOutcome) -> dict[str, Any]:
    return {"remedy": outcome.remedy, "dose": _dose(outcome.dose), "cost": outcome.cost,
            "gain_points": _four(outcome.gain_points), "verdict": outcome.verdict, "reason": outcome.reason,
            "steps": _plainly(outcome.steps)}


def _plan(plan: Plan, labels: Mapping[str, str], places: Mapping[str, str]) -> dict[str, Any]:
    items = [{"tree": labels[item.tree_id], "remedy": item.remedy, "dose": _dose(item.dose), "cost": item.cost,
              "gain_points": _four(item.gain_points), "steps": _plainly(item.steps),
              "against_advice": item.against_advice} for item in plan.items]
    wishes = [{"place": places[place_id], "wish": kind, "choice": choice} for place_id, kind, choice in plan.wishes]
    return {"items": items, "shared_cost": plan.shared_cost, "total_cost": plan.total_cost,
            "first_year_cost": plan.first_year_cost, "budget": plan.budget, "gain_points_m2": plan.gain_points_m2,
            "best_bound": plan.best_bound, "fits": plan.fits, "wishes": wishes, "not_asked": list(plan.not_asked),
            "rules": _plainly(plan.rules), "rules_unknown": list(plan.rules_unknown),
            "crew_hours": plan.crew_hours, "machine_hours": plan.machine_hours,
            "frontier": [_plainly(point) | {"treated": [{"tree": labels[tree], "remedy": code}
                                                        for tree, code in point.treated]} for point in plan.frontier],
            "prices": [_price(price, labels, places) for price in plan.prices]}


def _price(price: ConstraintPrice, labels: Mapping[str, str], places: Mapping[str, str]) -> dict[str, Any]:
    return {"constraint": price.constraint, "choice": price.choice, "place": places.get(price.place_id),
            "tree": labels.get(price.tree_id), "points_at_tree": price.points_at_tree, "points_m2": price.points_m2,
            "money": price.money}


def _dose(dose: Dose | None) -> Any:
    """Field by field in SI, and in the words of both systems."""
    if dose is None:
        return None
    plain = replace(dose, season="")
    return {**_plainly(dose), "words": {"us": dose_text(plain, "us"), "metric": dose_text(plain, "metric")}}


def _four(estimate: Estimate | None) -> dict[str, float] | None:
    if estimate is None:
        return None
    return {name: getattr(estimate, name) for name in ("mean", "median", "low", "high")}


def _plainly(value: Any) -> Any:
    """Dataclasses to mappings of their fields, days to ISO text; arrays of draws stay out."""
    if is_dataclass(value):
        parts = ((field.name, getattr(value, field.name)) for field in fields(value))
        return {name: _plainly(part) for name, part in parts if not isinstance(part, np.ndarray)}
    if isinstance(value, Mapping):
        return {str(key): _plainly(part) for key, part in value.items()}
    if isinstance(value, tuple | list):
        return [_plainly(part) for part in value]
    if isinstance(value, date):
        return value.isoformat()
    return str(value) if isinstance(value, PathLike) else value


def _bytes(value: Any) -> bytes:
    return (json.dumps(_rounded(value), indent=2, ensure_ascii=False, allow_nan=False) + "\n").encode()


def _rounded(value: Any) -> Any:
    """Every number to as many figures as two processors agree on; what is no number becomes null."""
    if isinstance(value, dict):
        return {key: _rounded(part) for key, part in value.items()}
    if isinstance(value, list):
        return [_rounded(part) for part in value]
    if isinstance(value, float | np.floating):
        return float(f"{value:.{_FIGURES}g}") + 0.0 if isfinite(value) else None
    return value.item() if isinstance(value, np.generic) else value
