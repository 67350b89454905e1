"""A day of rounds in a file, and the plan for it."""

from __future__ import annotations

import json
import time
from math import inf
from pathlib import Path
from typing import Any

import numpy as np

from rootcase.casework.apply.rounds import rounds_of_day
from rootcase.ground.errors import FileError, OutOfRange
from rootcase.science.rounds.day import Crew, Day, Plan, Source, Stop, travel_of_plan

SECONDS = 15.0
"""How long a day is searched that is too large to be proven."""
MOST_CREWS = 200
"""Of one day; each is searched for its own round."""
LIQUID = "liquid"
READ = ("crews", "tank_l", "day_min", "max_load_age_min", "fill_min", "node_names", "travel_min", "demand_l",
        "service_min", "window")
"""Nothing else of the file is looked at."""


def routed(path: Path, seed: int = 1) -> dict[str, Any]:
    """Minutes driven, and for each crew its trips: where it fills, when that is done, which stops follow."""
    told = _read(path)
    try:
        day, names = _day(told)
    except (KeyError, TypeError, ValueError, IndexError, OutOfRange) as error:
        told = f"{error} is not there" if isinstance(error, KeyError) else str(error)
        raise FileError("is no day of rounds", where=str(path), value=told,
                        right=f"it needs {', '.join(READ)}, each place once and in the same order") from error
    began = time.monotonic()
    found = rounds_of_day(day, seed, lambda: max(0.0, 1.0 - (time.monotonic() - began) / SECONDS))
    return {"cost": travel_of_plan(day, found.plan), "plan": _trips(day, found.plan, names), "proven": found.proven,
            "left_out": [{"stop": names[day.stops[each.stop].node], "why": each.why} for each in found.left_out]}


def _read(path: Path) -> dict[str, Any]:
    try:
        told = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise FileError("cannot be read", where=str(path), value=str(error), right="a file of JSON") from error
    missing = [name for name in READ if not isinstance(told, dict) or name not in told]
    if missing:
        raise FileError("says nothing of " + ", ".join(missing), where=str(path), right=f"it needs {', '.join(READ)}")
    return {name: told[name] for name in READ}


def _day(told: dict[str, Any]) -> tuple[Day, list[str]]:
    """First the yard, then the hydrant, then the stops; one liquid is filled, and its clock starts at the fill."""
    names = [str(name) for name in told["node_names"]]
    keeps = inf if told["max_load_age_min"] is None else _number(told["max_load_age_min"], "max_load_age_min")
    for name in ("travel_min", "demand_l", "service_min", "window"):
        if len(told[name]) != len(names):
            raise ValueError(f"{name} has {len(told[name])} rows for {len(names)} places")
    if not isinstance(told["fill_min"], dict):
        raise ValueError(f"fill_min is {told['fill_min']}: minutes at the depot and the hydrant, by these names")
    sources = tuple(Source(node=at, product=LIQUID, keeps_min=keeps,
                           fill_min=_number(told["fill_min"][where], f"fill_min of the {where}"))
                    for at, where in enumerate(("depot", "hydrant")))
    stops = tuple(Stop(node=at, product=LIQUID, demand_l=_number(told["demand_l"][at], f"demand_l of {name}"),
                       service_min=_number(told["service_min"][at], f"service_min of {name}"),
                       windows=((_number(told["window"][at][0], f"window of {name}"),
                                 _number(told["window"][at][1], f"window of {name}")),))
                  for at, name in enumerate(names) if at >= 2)
    crews = _number(told["crews"], "crews")
    if not 1.0 <= crews <= MOST_CREWS or crews % 1.0:
        raise ValueError(f"crews is {told['crews']}: a whole number from 1 to {MOST_CREWS}")
    twice = {name for name in names if names.count(name) > 1}
    if twice:
        raise ValueError(f"node_names has {min(twice)} more than once")
    crew = Crew(start=0, home=0, tank_l=_number(told["tank_l"], "tank_l"),
                back_by_min=_number(told["day_min"], "day_min"))
    return Day(np.array(told["travel_min"], dtype=float), stops, sources, (crew,) * int(crews)), names


def _number(told: Any, what: str) -> float:
    try:
        return float(told)
    except (TypeError, ValueError):
        raise ValueError(f"{what} is {json.dumps(told)}: a number") from None


def _trips(day: Day, plan: Plan, names: list[str]) -> list[list[dict[str, Any]]]:
    rounds = []
    for steps in plan.rounds:
        trips: list[dict[str, Any]] = []
        for step in steps:
            if step.kind == "fill":
                place = names[day.sources[step.index].node]
                trips.append({"fill_at": place, "fill_done_min": step.end_min, "stops": []})
            else:
                trips[-1]["stops"].append(names[day.stops[step.index].node])
        rounds.append(trips)
    return rounds
