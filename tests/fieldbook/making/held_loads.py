"""The slow checker of what a file holds: it shares no line with the gates."""

from __future__ import annotations

import json
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from rootcase.fieldbook.store.engine import sqlite_driver

USUAL_FLOOR = 6.0
LOWEST_FLOOR = 5.0
EVENTS = "SELECT id, kind, body, made_at FROM events WHERE practice_id = 'own' ORDER BY received"


def rows(path: Path) -> list[tuple[str, str, dict[str, Any]]]:
    """Id, kind and body of every event in the file, in its order; a load's with when it was written down."""
    with closing(sqlite_driver().connect(str(path))) as look:
        return [(an_id, kind, json.loads(body) | ({"made_at": made_at} if kind == "load_filled" else {}))
                for an_id, kind, body, made_at in look.execute(EVENTS)]


def held_before(told: list[tuple[str, str, dict[str, Any]]], batch: str) -> bool:
    """Whether what was said last of the batch's heap is a hold, whoever took it back."""
    heap = next((body["heap"] for _, kind, body in told if kind == "batch_started" and body["batch"] == batch), None)
    said = [kind for _, kind, body in told if kind in ("heap_held", "heap_freed") and body["heap"] == heap]
    return said[-1:] == ["heap_held"]


def floor_of(told: list[tuple[str, str, dict[str, Any]]], batch: str) -> float:
    """The strictest floor that held since the batch was started."""
    held, begun = [USUAL_FLOOR], False
    for _, kind, body in told:
        if kind == "batch_rules_told":
            held = [*held, float(body["oxygen_floor_mg_l"])] if begun else [float(body["oxygen_floor_mg_l"])]
        begun = begun or (kind == "batch_started" and body["batch"] == batch)
    return max(LOWEST_FLOOR, *held)


def wrong_loads(path: Path) -> list[str]:
    """Every load in the file held against all that was told before it, one rule after the other."""
    told, wrong = rows(path), []
    for place, (an_id, kind, load) in enumerate(told):
        if kind != "load_filled":
            continue
        before = [(each, body) for _, each, body in told[:place] if body.get("batch") == load["batch"]]
        verdicts = [(at, body) for at, (each, body) in enumerate(before) if each == "batch_judged"]
        every = [body for _, each, body in told if each == "batch_judged" and body["batch"] == load["batch"]]
        if len(verdicts) != 1 or len(every) != 1 or verdicts[0][1]["verdict"] != "fit":
            wrong.append(f"{an_id}: not judged fit, once, before")
            continue
        if any(each == "batch_called_back" for each, _ in before):
            wrong.append(f"{an_id}: called back before")
        at, verdict = verdicts[0]
        ends = [body["at"] for each, body in before[:at] if each == "batch_step_told" and body["step"] == "end"]
        ended, until, filled = (datetime.fromisoformat(text) for text in (verdict["ended_at"], verdict["good_until"],
                                                                          load["at"]))
        if not ends or datetime.fromisoformat(ends[-1]) != ended:
            wrong.append(f"{an_id}: another end than the one told")
        own = verdict.get("own_limit_h")
        if own is not None:
            judged = next(number for number, (_, each, body) in enumerate(told) if body == verdict)
            limits = [body.get("holding_h") for _, each, body in told[:judged] if each == "batch_rules_told"]
            if not limits or limits[-1] is None or float(limits[-1]) != float(own):
                wrong.append(f"{an_id}: an own limit that nobody told")
        if held_before(told[:place], load["batch"]):
            wrong.append(f"{an_id}: its heap was held")
        if any(each == "batch_ended" for each, _ in before):
            wrong.append(f"{an_id}: gone before")
        if not 0.0 < float(load["volume_l"]) <= 1e5:
            wrong.append(f"{an_id}: no volume")
        if load.get("oxygen_mg_l") is not None and float(load["oxygen_mg_l"]) < floor_of(told[:place], load["batch"]):
            wrong.append(f"{an_id}: too little oxygen")
        late = datetime.fromisoformat(load["made_at"]) - filled if load["made_at"] else timedelta(days=1)
        if not timedelta() <= late <= timedelta(minutes=1):
            wrong.append(f"{an_id}: written down at another time")
        if not ended <= filled <= until or until - ended > timedelta(hours=float(own or 1.0)):
            wrong.append(f"{an_id}: over its age")
    return wrong
