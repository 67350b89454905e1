"""Wishes: what the client wants, as it stands and as it was typed; tried at once, kept only when somebody says so."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from rootcase.fieldbook.asking import Answered
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.grid import Cell
from rootcase.fieldbook.intake.used_days import used_days
from rootcase.fieldbook.intake.values import read_value
from rootcase.ground.errors import Missing, RootcaseError, UnreadableValue
from rootcase.ground.length import MOST_LINE, require_length
from rootcase.ground.words import say
from rootcase.records.observe import Place, Property, PropertyRecord, Reading, Weather
from rootcase.records.report import Casework
from rootcase.services.kept import Kept
from rootcase.services.prescribe import outlooks_for, plan_inputs, silent_output
from rootcase.services.run import Run
from rootcase.services.weather import weather_for
from rootcase.services.what_if import WISHES
from rootcase.tables.readings import kinds

if TYPE_CHECKING:
    from rootcase.casework.prescribe.prescribe import PlanInputs

CEILINGS = ("budget_year", "crew_hours_year", "machine_hours_year")
"""Told once a property and year."""
CLOSED_DAYS = "closed_days"
OF_A_PLACE = (*WISHES, CLOSED_DAYS)
NOT_ASKED = "not_asked"
Key = tuple[str, str]
"""Id of the place, empty for what is told once a property; and kind."""


@dataclass(frozen=True, slots=True)
class Tried:
    """Answers that are otherwise than those that stand."""

    wishes: tuple[tuple[str, str, str], ...] = ()
    """(place id, kind, answer); an empty answer: no such wish."""
    ceilings: tuple[tuple[str, float | None], ...] = ()
    """(budget, crew_hours or machine_hours, figure; None: no ceiling)."""

    def __bool__(self) -> bool:
        return bool(self.wishes or self.ceilings)


def places_asked(record: PropertyRecord) -> tuple[Place, ...]:
    """Places with trees that a plan is made for, where there is something to ask about."""
    healthy = {tree_id for yardstick in record.yardsticks for tree_id in yardstick.tree_ids}
    grown = {tree.place_id for tree in record.trees if tree.id not in healthy}
    return tuple(place for place in record.places if place.id in grown)


def answers(record: PropertyRecord) -> dict[Key, str]:
    """What stands, as it would be typed; nothing where nobody was asked."""
    found = {}
    for place in places_asked(record):
        for kind in OF_A_PLACE:
            newest = _newest(reading for reading in record.of(place.id, kind=kind) if reading.nothing is None)
            found[place.id, kind] = (newest.choice if newest else None) or (NOT_ASKED if kinds()[kind].choices else "")
    for kind in CEILINGS:
        newest = _newest(each for each in record.readings if each.kind == kind and each.value is not None)
        found["", kind] = f"{newest.value:.12g}" if newest else ""
    return found


def _require_days(said: str) -> None:
    """Days in use close days only where they can be read; whichever day it is told on, they can or cannot."""
    unread = used_days(said, date.min)[1]
    if unread:
        raise UnreadableValue(say("plans.no_day"), value="; ".join(unread), right=say("plans.days_right"))


def _newest(readings: Iterable[Reading]) -> Reading | None:
    return max(readings, key=lambda reading: (reading.day, reading.id), default=None)


def read_tried(record: PropertyRecord, typed: Mapping[Key, str]) -> tuple[Tried, dict[Key, str]]:
    """What was typed otherwise than it stands, and what of it cannot be read and why."""
    wishes, ceilings, wrong = [], [], {}
    for key, stands in answers(record).items():
        said = typed.get(key, stands).strip()
        if said == stands:
            continue
        place_id, kind = key
        try:
            require_length(said, MOST_LINE)
            value = read_value(kinds()[kind], Cell(said), "", record.property.system, None,
                               currency=record.property.currency) if said else None
            if kind == CLOSED_DAYS:
                _require_days(said)
        except RootcaseError as error:
            wrong[key] = str(error)
            continue
        if not place_id:
            ceilings.append((kind.removesuffix("_year"), value.value if value else None))
        else:
            wishes.append((place_id, kind, (value.choice or "") if value else ""))
    return Tried(tuple(wishes), tuple(ceilings)), wrong


def try_wishes(fieldbook: Fieldbook, ground: Property, run: Run, kept: Kept, tried: Tried) -> Casework:
    """The kept casework with the plan as it would be inside other wishes; nothing of it is kept."""
    from rootcase.casework.prescribe.prescribe import plan_of  # slow to load, and seldom needed
    from rootcase.casework.prescribe.what_if import Changes, supposed

    stands, inputs, weather, run = ready_to_try(fieldbook, ground, run, kept)
    then = supposed(inputs, Changes(dict(tried.ceilings), tried.wishes))
    if tried.wishes:
        then = replace(then, outlooks=outlooks_for(then.record, stands.comparison, stands.explanations, weather, run))
    with silent_output():
        return replace(stands, record=then.record, plan=plan_of(then), signed=None, plan_mark="")


def ready_to_try(fieldbook: Fieldbook, ground: Property, run: Run,
                 kept: Kept) -> tuple[Casework, PlanInputs, Weather, Run]:
    """What every try starts from, made the first time it is asked for, and how it is run."""
    from rootcase.casework.prescribe.prescribe import MOST_DRAWS

    stands = kept.casework
    if stands is None or kept.because:
        raise Missing(say("plans.explain_first"), where=ground.name)
    run = replace(run, today=stands.made_on, draws=min(stands.draws, MOST_DRAWS), seed=stands.seed)
    weather = kept.form("weather", lambda made: weather_for(fieldbook, ground, run))
    return stands, kept.form("plan_inputs", lambda made: plan_inputs(
        made.record, made.comparison, made.explanations, weather, fieldbook.price_book(ground.currency), run)
        ), weather, run


def keep_wishes(fieldbook: Fieldbook, ground: Property, run: Run, typed: Mapping[Key, str],
                by: str) -> dict[Key, str]:
    """Write down what was answered otherwise than it stands, or say what is wrong with it; then nothing is written."""
    record = fieldbook.record(ground.id)
    if wrong := read_tried(record, typed)[1]:
        return wrong
    stands = answers(record)
    changed = {key: typed[key].strip() for key in stands if key in typed and typed[key].strip() != stands[key]}
    told = [Answered(of, kind, said) for (place_id, kind), said in changed.items()
            for of in ([place_id] if place_id else _places_of(record, kind, said))]
    wrong = fieldbook.asking.tell(ground.id, told, by=by, day=run.today)
    return {("" if kind in CEILINGS else place_id, kind): why for (place_id, kind), why in wrong.items()}


def _places_of(record: PropertyRecord, kind: str, said: str) -> list[str]:
    """Where money or hours are written down: where they were before, else at the first place with trees; where there is
    no ceiling any more, everywhere."""
    told = list(dict.fromkeys(reading.of for reading in record.readings if reading.kind == kind))
    return told if told and not said else told[-1:] or [place.id for place in places_asked(record)[:1]]
