"""First-answer sheets: the model's answers to every combination of the five readings, on a grid."""

from __future__ import annotations

from collections.abc import Mapping
from math import sqrt
from statistics import mode

import numpy as np

from rootcase.casework.draws import FloatArray
from rootcase.casework.explain.errors import figure, floor_sd
from rootcase.casework.explain.plant import UNKNOWN_SPECIES
from rootcase.casework.first_answer.after import chances_at, flares_seen, left_at, next_at, slots
from rootcase.casework.first_answer.axes import AXES, TOLERANCES
from rootcase.casework.first_answer.forward import (
    Question,
    Traits,
    forward_tables,
    kept_draws,
    tolerance_factors,
    with_typical_seed,
)
from rootcase.casework.first_answer.observed import observed_table, positions_of
from rootcase.casework.species import growth_class_of, known_as
from rootcase.records.explain import NextReading
from rootcase.records.first_answer import FirstSheet, Kind, SheetAxes, TakeNext
from rootcase.tables.load import table
from rootcase.tables.readings import kinds

MIDDLE_OF_HALF_NORMAL = 0.6745


def kinds_known() -> tuple[Kind, ...]:
    """What a sheet must know of every species and genus of the table.

    Parameters
    ----------
    None.

    Returns
    -------
    Kinds by name: species and synonyms, genera, and last, without a name, what stands for any other.

    Raises
    ------
    Nothing.

    Notes
    -----
    Where only the genus is known, what most of its kinds have.

    References
    ----------
    Table species; what stands for an unknown kind: JUDGEMENT.

    Examples
    --------
    >>> [kind for kind in kinds_known() if kind.name in ("Acer platanoides", "")]
    [Kind(name='Acer platanoides', growth_class='slow', habit=0, lime=0, salt=1), Kind(name='', growth_class='medium', \
habit=0, lime=1, salt=0)]
    """
    rows = table("species").rows
    names = dict.fromkeys([str(row[column]) for row in rows for column in ("botanical_name", "synonym") if row[column]]
                          + [str(row["genus"]) for row in rows])

    def told(name: str, column: str) -> str:
        return mode(str(row[column]) for row in known_as(name)) if name else UNKNOWN_SPECIES[column]

    return tuple(Kind(name, growth_class_of(name), AXES.habits.index(told(name, "growth_habit")),
                      TOLERANCES.index(told(name, "lime_chlorosis_risk")),
                      TOLERANCES.index(told(name, "salt_tolerance"))) for name in (*names, ""))


def first_sheets(question: Question, bases: Mapping[str, str], axes: SheetAxes) -> tuple[FirstSheet, ...]:
    """Sheets for one ground, one for each thing the shoots may be compared with.

    Parameters
    ----------
    question : whose sheets, and with what they are computed.
    bases : species by growth class, or the yardstick's species by its id.
    axes : the nodes.

    Returns
    -------
    FirstSheet, one a base. Everything but the share is the same in all.

    Raises
    ------
    Missing : the weather is too short or a table lacks what is needed.

    Notes
    -----
    Limits do not depend on the shoots: the model runs once, and its kept draws are weighed for every share.

    References
    ----------
    docs/first-answer.md: JUDGEMENT, its grid.

    Examples
    --------
    >>> MIDDLE_OF_HALF_NORMAL
    0.6745
    """
    question = with_typical_seed(question)
    flares, alone = flares_seen(question)
    runs = [(habit, ground) for habit in axes.habits for ground in axes.grounds]
    found, ahead = [], []
    for habit, ground in runs:
        kept = kept_draws(question, Traits(habit), ground)
        at = slots(kept, axes)
        found.append((*forward_tables(kept, axes), np.stack([chances_at(draws, axes, alone) for draws in at], axis=2),
                      np.stack([left_at(draws[0], axes, question.seed) for draws in at], axis=2)))
        if habit == axes.habits[0]:
            ahead.append([next_at(question, kept, draws, ground) for draws in at])
    stopped, rod, unpushed, chances, left = (_by_habit_and_ground(list(each), axes)
                                             for each in zip(*found, strict=True))
    factors = [tolerance_factors(question, ground) for ground in axes.grounds]
    lime, salt = (np.stack(each, axis=1) for each in zip(*factors, strict=True))
    next_kinds, places = _next(ahead)
    return tuple(FirstSheet(
        basis=basis, texture=question.texture, place_kind=question.place.kind, station=question.weather.station,
        season=question.season, made=question.day, axes=axes, kinds=kinds_known(), flares=flares,
        next_kinds=next_kinds, positions=positions_of(question.record, question.yardstick_id),
        push_sd=kinds()["probe_depth"].error_size or 0.0, push_floor=floor_sd("refusal_depth"),
        push_not_told=figure("stop_not_told_log_sd"),
        beyond_rod=round(figure("beyond_rod_log_sd") * MIDDLE_OF_HALF_NORMAL, 4),
        observed=observed_table(question, species, axes), stopped=np.moveaxis(stopped, 1, 3),
        rod=np.moveaxis(rod, 1, 2), unpushed=unpushed, lime=lime, salt=salt,
        chances=np.moveaxis(chances, 1, 4), left=np.moveaxis(left, 1, 4), next=places)
        for basis, species in bases.items())


def _by_habit_and_ground(tables: list[FloatArray], axes: SheetAxes) -> FloatArray:
    """(habit, ground, ...), from one after the other."""
    return np.stack(tables).reshape(len(axes.habits), len(axes.grounds), *tables[0].shape)


def _next(ahead: list[list[tuple[NextReading, ...]]]) -> tuple[tuple[TakeNext, ...], FloatArray]:
    """Every reading that is told somewhere, and (depth, ground, 3) which of them are told where."""
    told = tuple(dict.fromkeys(TakeNext(row.kind, row.times, row.minutes)
                               for cells in ahead for rows in cells for row in rows))
    places = np.full((len(ahead[0]), len(ahead), 3), float(len(told)))
    for column, cells in enumerate(ahead):
        for line, rows in enumerate(cells):
            for at, row in enumerate(rows):
                places[line, column, at] = told.index(TakeNext(row.kind, row.times, row.minutes))
    return told, places


def push_variance(sheet: FirstSheet, pushes: int, *, all_told: bool) -> float:
    """How sure the middle of several pushes is.

    Parameters
    ----------
    sheet : its errors.
    pushes : how many stopped or went in, 1 or more.
    all_told : whether of each it was said what stopped it.

    Returns
    -------
    Variance of the natural log of the depth. [-]

    Raises
    ------
    Nothing.

    Notes
    -----
    As `strength` takes it.

    References
    ----------
    Tables observe/readings, explain/reading_errors, explain/quantities: JUDGEMENT.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> errors = SimpleNamespace(push_sd=0.3, push_floor=0.12, push_not_told=0.25)
    >>> round(push_variance(errors, 3, all_told=True), 6), push_variance(errors, 3, all_told=False)
    (0.03, 0.0625)
    """
    sd = max(sheet.push_sd / sqrt(pushes), sheet.push_floor)
    return (sd if all_told else max(sd, sheet.push_not_told)) ** 2
