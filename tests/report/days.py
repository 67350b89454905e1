"""The invented day of three makes of extract, as it stands in docs: for pictures and papers."""

from __future__ import annotations

from datetime import date

from rootcase.records.apply.jobs import Job, Pace
from rootcase.records.apply.rounds import GivenRound, GivenStep, PlannedBatch
from rootcase.records.prescribe import Dose
from rootcase.report.text.rounds import Names

DAY = date(2026, 4, 14)


def job(an_id: str, ground: str, remedy: str, litres: float = 0.0) -> Job:
    return Job(id=an_id, property_id=ground, place_id="", tree_id=an_id, tree_label=f"oak {an_id}", plan="m",
               remedy=remedy, first=DAY,
               dose=Dose(50.0, volume_m3=4.0) if remedy == "mulch" else Dose(50.0, litres=litres or 300.0),
               last=date(2026, 6, 30), product="extract" if litres else "", litres=litres,
               pace=Pace(minutes=20.0, source="", how_known="own"))


JOBS = {each.id: each for each in (
    *(job(str(n), "school", "extract", 100.0) for n in range(1, 9)), job("11", "library", "mulch"),
    *(job(str(n), "library", "extract", 166.0) for n in range(12, 15)), job("21", "mill", "water"),
    *(job(str(n), "cemetery", "extract", 75.0) for n in range(31, 37)), job("41", "meadow", "mulch"))}
NAMES = Names({"school": "School yard", "library": "Library lawn", "mill": "Mill lane", "cemetery": "Cemetery",
               "meadow": "River meadow"}, {"c": "crew 1"}, {"yard": "yard"}, JOBS)


def stop(start: float, end: float, ground: str, *jobs: str, batch: str = "", litres: float = 0.0) -> GivenStep:
    return GivenStep(kind="stop", starts_min=start, ends_min=end, property_id=ground, job_ids=jobs, batch_id=batch,
                     litres=litres, load_age_minutes=1.0 if batch else None)


def fill(start: float, end: float, batch: str, litres: float) -> GivenStep:
    return GivenStep(kind="fill", starts_min=start, ends_min=end, fill_point_id="yard", batch_id=batch, litres=litres)


ROUND = GivenRound(id="r", day=DAY, crew_id="c", steps=(
    fill(488, 494, "b33", 400), stop(500, 516, "school", "1", "2", "3", "4", batch="b33", litres=400),
    fill(520, 524, "b33", 400), stop(528, 540, "school", "5", "6", "7", "8", batch="b33", litres=400),
    stop(580, 680, "library", "11"), fill(685, 692, "b34", 498),
    stop(694, 712, "library", "12", "13", "14", batch="b34", litres=498),
    GivenStep(kind="rest", starts_min=740, ends_min=770), stop(780, 830, "mill", "21"), fill(835, 840, "b35", 450),
    stop(845, 878, "cemetery", "31", "32", "33", "34", "35", "36", batch="b35", litres=450),
    stop(900, 935, "meadow", "41")))
BATCHES = tuple(PlannedBatch(id=an_id, day=DAY, ready_min=ready, use_by_min=ready + 60, litres=800,
                             fill_point_id="yard", made=an_id == "b33")
                for an_id, ready in (("b33", 488.0), ("b34", 685.0), ("b35", 835.0)))
TOLD = {"b33": (33, 435.0)}
