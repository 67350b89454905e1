"""Batches in words, a line each."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, tzinfo

from rootcase.ground.quantity import System, show
from rootcase.ground.words import say
from rootcase.records.make.batch import Batch, Load, ToldStep

_UNITS = {"_mg_l": "mg/L", "_l": "L", "_kg": "kg", "_g": "g", "_c": "degC", "_pct": "%", "_um": "um", "_ds_m": "dS/m"}
_AS_TOLD = ("mg/L", "%", "um", "dS/m", "")
"""Units that people use alike in both systems."""


def batch_line(batch: Batch, zone: tzinfo) -> str:
    """Number, when, verdict, loads."""
    return say("batch.line", number=batch.number, at=clock(batch.started_at, zone), verdict=standing(batch, zone),
               loads=len(batch.loads))


def standing(batch: Batch, zone: tzinfo) -> str:
    """Whether it may be loaded, and until when."""
    judged = batch.judgement
    if judged is None:
        return say("batch.standing.open")
    if judged.verdict == "refused":
        return say("batch.standing.refused")
    if batch.refused_since:
        return say("batch.standing.called_back", why=batch.refused_since)
    own = say("batch.standing.own") if judged.own_limit_h is not None else ""
    return say("batch.standing.fit", until=clock(judged.good_until, zone) if judged.good_until else "", own=own)


def batch_lines(batch: Batch, zone: tzinfo, system: System) -> Iterator[str]:
    """All that stands of a batch."""
    yield batch_line(batch, zone)
    if batch.judgement is not None:
        yield from batch.judgement.why
    if batch.ended_as:
        yield say(f"batch.ended.{batch.ended_as}", where=batch.ended_where)
    yield from (step_line(told, zone, system) for told in batch.steps)
    yield from (load_line(load, zone, system) for load in batch.loads)


def step_line(told: ToldStep, zone: tzinfo, system: System) -> str:
    """What was told of one step, by whom, when."""
    said = [*(f"{say(f'batch.figure.{each.name}')} {_figure(each.name, each.value, system)}" for each in told.figures),
            *(f"{say(f'batch.word.{name}')} {word}" for name, word in told.words.items())]
    return say("batch.step_line", step=say(f"batch.step.{told.step}"), at=clock(told.at, zone), by=told.by,
               said=", ".join(said))


def load_line(load: Load, zone: tzinfo, system: System) -> str:
    return say("batch.load_line", id=load.id, at=clock(load.at, zone), by=load.by, tank=load.tank,
               volume=show(load.volume_l, "L", system))


def clock(moment: datetime, zone: tzinfo) -> str:
    """A moment as the place's clock shows it."""
    return f"{moment.astimezone(zone):%Y-%m-%d %H:%M}"


def _figure(name: str, value: float, system: System) -> str:
    unit = next((unit for ending, unit in _UNITS.items() if name.endswith(ending)), "")
    return f"{value:,g} {unit}".strip() if unit in _AS_TOLD else show(value, unit, system)
