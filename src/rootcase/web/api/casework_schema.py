"""The whole casework as it is written: its parts described from the records, its own frame here."""

from __future__ import annotations

from rootcase.records.compare import LabLine
from rootcase.records.explain import NextReading, Turned
from rootcase.records.observe import Rule
from rootcase.records.pests import Pests
from rootcase.records.prescribe import Dose, FrontierPoint, PlanReading, Step
from rootcase.records.signs import Signs
from rootcase.web.api.schemas import NAMED, Schema, closed, schema_of

_TEXT, _NUMBER, _FLAG = schema_of(str), schema_of(float), schema_of(bool)
_PERHAPS_TEXT: Schema = {"type": ["string", "null"]}


def _list(of: Schema) -> Schema:
    return {"type": "array", "items": of}


def _perhaps(of: Schema) -> Schema:
    return {"anyOf": [of, {"type": "null"}]}


def _known_as(name: str, schema: Schema) -> Schema:
    NAMED[name] = schema
    return {"$ref": f"#/components/schemas/{name}"}


def _with_more(name: str, base: Schema, **more: Schema) -> Schema:
    """A record as it is described, with fields of its own beside."""
    held = NAMED[base["$ref"].rpartition("/")[2]]
    return _known_as(name, closed(held["properties"] | more, held.get("description", "")))


_FOUR = _known_as("FourFigures", closed(dict.fromkeys(("mean", "median", "low", "high"), _NUMBER),
                                        "An estimate and its interval at the casework's level."))
_LIMITS = _list(closed({"limit": _TEXT, "points": _perhaps(_FOUR)}))
_DOSE = _perhaps(_with_more("DoseInWords", schema_of(Dose), words=closed({"us": _TEXT, "metric": _TEXT})))
_STEPS = schema_of(tuple[Step, ...])
_REMEDY = _known_as("CaseworkRemedy", closed({
    "remedy": _TEXT, "dose": _DOSE, "cost": _NUMBER, "gain_points": _perhaps(_FOUR), "verdict": _TEXT, "reason": _TEXT,
    "steps": _STEPS}))
_CONDITIONED = closed({
    "share": _FOUR, "limits": _LIMITS, "other_cause_points": _FOUR, "chance_other_cause": _NUMBER,
    "chance_largest": _list(_NUMBER), "effective_draws": _NUMBER, "temper": _NUMBER, "disagree": _FLAG})
_ALWAYS = {
    "tree": _TEXT, "species": _PERHAPS_TEXT, "observed_share": _perhaps(_FOUR), "predicted_share": _perhaps(_FOUR),
    "limits": _LIMITS, "unexplained_points": _perhaps(_FOUR), "conditioned": _perhaps(_CONDITIONED),
    "signs": _perhaps(schema_of(Signs)), "turned": schema_of(tuple[Turned, ...]),
    "next_readings": schema_of(tuple[NextReading, ...]), "doubt_no_reading_removes": _NUMBER,
    "weather_ends": _PERHAPS_TEXT, "weather_told": _list(_TEXT), "growth_years": _list(schema_of(int)),
    "balances": schema_of(int), "remedies": _list(_REMEDY), "verdict": _PERHAPS_TEXT,
    "next_for_plan": schema_of(tuple[PlanReading, ...]), "enough_read": schema_of(bool | None)}
_WHERE_PRESCRIBED = {"reason": _TEXT, "chosen": _PERHAPS_TEXT, "weight": _NUMBER, "against_advice": _FLAG}
_TREE = _known_as("CaseworkTree", closed(_ALWAYS, "A tree that was compared.") | {
    "properties": _ALWAYS | _WHERE_PRESCRIBED})
_ITEM = closed({"tree": _TEXT, "remedy": _TEXT, "dose": _DOSE, "cost": _NUMBER, "gain_points": _perhaps(_FOUR),
                "steps": _STEPS, "against_advice": _FLAG})
_POINT = _with_more("CaseworkFrontierPoint", schema_of(FrontierPoint),
                    treated=_list(closed({"tree": _TEXT, "remedy": _TEXT})))
_PRICE = closed({"constraint": _TEXT, "choice": _TEXT, "place": _PERHAPS_TEXT, "tree": _PERHAPS_TEXT,
                 "points_at_tree": _NUMBER, "points_m2": _NUMBER, "money": _NUMBER})
_PLAN = _known_as("CaseworkPlan", closed({
    "items": _list(_ITEM), **dict.fromkeys(("shared_cost", "total_cost", "first_year_cost", "budget", "gain_points_m2",
                                            "best_bound"), _NUMBER), "fits": _FLAG,
    "wishes": _list(closed({"place": _TEXT, "wish": _TEXT, "choice": _TEXT})), "not_asked": _list(_TEXT),
    "rules": schema_of(tuple[Rule, ...]), "rules_unknown": _list(_TEXT), "crew_hours": _NUMBER,
    "machine_hours": _NUMBER, "frontier": _list(_POINT), "prices": _list(_PRICE)}))
CASEWORK = _known_as("CaseworkOfProperty", closed({
    "property": _TEXT, "level": _NUMBER, "currency": _TEXT, "draws": schema_of(int), "seed": schema_of(int),
    "engine": _TEXT, "trees": _list(_TREE), "plan": _PLAN, "laboratory": schema_of(tuple[LabLine, ...]),
    "pests": schema_of(Pests | None)}, "Everything thought about a property on one day."))
