"""The day it is for a practice, for its pages and its commands."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from datetime import date, datetime

from rootcase.ground.clock import day_there, zone
from rootcase.records.observe import Property


def practice_day(grounds: Iterable[Property], now: datetime) -> date:
    """The day where most of the practice's properties lie, wherever this machine stands: at four in the afternoon on
    the west coast a machine that goes by UTC is a day ahead. Without properties, the machine's own."""
    zones = Counter(each.time_zone for each in grounds if each.time_zone)
    return day_there(now, zone(zones.most_common(1)[0][0])) if zones else now.astimezone().date()
