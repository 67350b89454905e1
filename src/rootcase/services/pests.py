"""Pests: what was counted, what follows, and which look is due."""

from __future__ import annotations

from rootcase.casework.explain.pests import pests_of
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.errors import Missing
from rootcase.records.observe import PropertyRecord, Weather
from rootcase.records.pests import Pests
from rootcase.services.run import Run
from rootcase.services.weather import days_for


def pests_property(fieldbook: Fieldbook, record: PropertyRecord, run: Run) -> Pests:
    """Counts beside their thresholds, and looks by the warmth of the year; where there is no weather it says why."""
    ground = record.property
    try:
        weather = days_for(fieldbook, ground, run)
    except Missing as missing:
        weather = Weather(ground.weather_station, (), (), (), (), (), (), "", told=(str(missing),))
    return pests_of(record, weather, fieldbook.forecast(ground.id), run.today)
