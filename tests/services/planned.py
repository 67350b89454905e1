"""A small signed plan at a property with made up weather and a forecast, for the tests of the days ahead."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.records.estimate import Estimate
from rootcase.records.observe import Property
from rootcase.records.offer import Signing
from rootcase.records.prescribe import Dose, Plan, PlanItem, Step
from tests.fieldbook.sheets import SHEET, write_sheet

TODAY = date(2016, 5, 2)
GAIN = Estimate(1.0, 1.0, 0.0, 2.0, 0.5, 1.5)
STEPS = {"extract": Step(1, "spring_or_autumn", "extract", Dose(50.0, litres=110.0, water_mm=2.24), None, "as_trial"),
         "air_tillage": Step(1, "any", "air_tillage", Dose(50.0, depth_m=0.2), None, "when_moist"),
         "mulch": Step(1, "any", "mulch", Dose(50.0, volume_m3=4.0), None)}


def weather_file(path: Path, first: date, rows: Sequence[tuple[float, float, float]], et0: float = 3.0) -> Path:
    """Lowest, highest, rain of each day."""
    with path.open("w", newline="", encoding="utf-8") as file:
        out = csv.writer(file)
        out.writerow(["date", "t_min_c", "t_max_c", "rain_mm", "et0_mm", "wind 2 m (m/s)"])
        for n, (low, high, rain) in enumerate(rows):
            out.writerow([(first + timedelta(n)).isoformat(), low, high, rain, et0, 2.0])
    return path


def planned(book: Fieldbook, folder: Path, remedies: Sequence[str] = ("extract", "air_tillage", "mulch"),
            rain: Sequence[float] = (0.0,) * 8, forecast: bool = True) -> Property:
    """A property with weather to yesterday, a forecast of so many days, and a plan that was signed."""
    book._now = lambda: datetime(2016, 5, 2, 12, tzinfo=UTC)
    book.import_sheet(write_sheet(folder / "sheet", SHEET))
    (ground,) = book.properties()
    book.import_weather(weather_file(folder / "w.csv", TODAY - timedelta(100), [(9.0, 19.0, 2.0)] * 100), "Seattle")
    if forecast:
        ahead = weather_file(folder / "f.csv", TODAY, [(9.0, 19.0, each) for each in rain])
        book.import_forecast(ahead, "Seattle", f"{TODAY.isoformat()}T06:00")
    tree = next(tree for tree in book.record(ground.id).trees if tree.label == "oak 4")
    items = tuple(PlanItem(tree.id, remedy, STEPS[remedy].dose, 0.0, GAIN, (STEPS[remedy],)) for remedy in remedies)
    plan = Plan(ground.id, items, 0.0, 0.0, None, "USD", 0.0, 0.0, (), (), True, (), date(2016, 1, 20), 100, 1)
    book.sign(ground.id, Signing(plan, (), "", "", "", 100, None), by="rs", day=date(2016, 1, 21))
    return ground
