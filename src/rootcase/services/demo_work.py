"""The invented practice's work near its yard: two small grounds with plans that were signed by hand, trucks and crews,
what was put on yesterday, and the rounds that were given for today and the next working day.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from importlib.resources import as_file
from zoneinfo import ZoneInfo

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.clock import read_time
from rootcase.ground.words import say
from rootcase.records.apply.jobs import Job
from rootcase.records.apply.rounds import GivenRound, GivenStep, StepKind
from rootcase.records.estimate import Estimate
from rootcase.records.observe import Property
from rootcase.records.offer import Signing
from rootcase.records.prescribe import Dose, Plan, PlanItem, Step
from rootcase.science.tree.engine import ENGINE
from rootcase.services.demo_files import Clock, moment_of, packaged, pairs_of, require, rows_of
from rootcase.services.fleet import WHATS, fleet, planned_batches, take
from rootcase.services.ground_told import KINDS, tell_of_ground
from rootcase.services.log import take_litres, take_log
from rootcase.services.make_batch import batch_named
from rootcase.services.people import DEMO_CODE
from rootcase.services.planned_work import jobs_at
from rootcase.services.week import give_round

SIGNED_ON = date(2016, 1, 4)
GROUNDS = ("quarry-green", "tanner-row")
STATION = "Seattle"
FORECAST_AT = "2016-01-14T16:00"
_TOLD_AT = "2016-01-14 16:30"
_AHEAD = timedelta(days=30)
_NO_GAIN = Estimate(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
"""Nobody reckoned one: these plans are of the demonstration, and no tree there was read."""
_FIGURES = ("litres", "water_mm", "volume_m3", "mass_kg", "depth_m")
_MIN_PER_H = 60


def tell_work(book: Fieldbook, clock: Clock, place: ZoneInfo) -> None:
    """Tell the fieldbook of the grounds near the yard, and of the work there."""
    clock.at = moment_of(_TOLD_AT, place)
    for name in GROUNDS:
        with as_file(packaged("yard", name)) as folder:
            require(book.import_sheet(folder).faults)
    _tell_weather(book)
    grounds = {each.name: each for each in book.properties()}
    for name in dict.fromkeys(row["ground"] for row in rows_of("plans")):
        book.sign(grounds[name].id, _signing(book, grounds[name]), by=DEMO_CODE, day=SIGNED_ON)
    for row in rows_of("fleet"):
        what = next(each for each in WHATS if each == row["what"])
        require(take(book, what, pairs_of(row["cells"]), DEMO_CODE, "us"))
    for row in rows_of("ground"):
        kind = next(each for each in KINDS if each == row["kind"])
        require(tell_of_ground(book, grounds[row["ground"]], kind, pairs_of(row["cells"]), by=DEMO_CODE,
                               today=clock.at.astimezone(place).date()))
    _tell_record(book, grounds)
    _give_rounds(book, grounds, clock.at.astimezone(place).date())


def _tell_weather(book: Fieldbook) -> None:
    """Invented days from where the station's file ends to yesterday, and an invented forecast."""
    with as_file(packaged("yard", "weather.csv")) as lately, as_file(packaged("yard", "forecast.csv")) as ahead:
        book.import_weather(lately, STATION, source=say("services.demo_invented"))
        book.import_forecast(ahead, STATION, FORECAST_AT)


def _signing(book: Fieldbook, ground: Property) -> Signing:
    """A plan that was made by hand."""
    trees = {tree.label: tree.id for tree in book.record(ground.id).trees}
    items = tuple(PlanItem(trees[row["tree"]], row["remedy"], dose, 0.0, _NO_GAIN,
                           (Step(1, row["season"], row["remedy"], dose, None, row["note"]),))
                  for row in rows_of("plans") if row["ground"] == ground.name for dose in (_dose(row),))
    plan = Plan(ground.id, items, 0.0, 0.0, None, ground.currency, 0.0, 0.0, (), (), True, (), SIGNED_ON, 0, 0)
    return Signing(plan, (), "", ENGINE, "", 0, None)


def _dose(row: Mapping[str, str]) -> Dose:
    figures = {name: float(row[name]) for name in _FIGURES if row[name]}
    return Dose(float(row["area_m2"]), **figures)  # type: ignore[arg-type]  # figures are of the dose's


def _tell_record(book: Fieldbook, grounds: Mapping[str, Property]) -> None:
    """What was put on, from the load that went out, and where the rest of it went."""
    batch = batch_named(book, "2")
    for row in rows_of("record"):
        cells = pairs_of(row["cells"])
        if row["ground"]:
            record = book.record(grounds[row["ground"]].id)
            plan = next(each.mark for each in book.signed_plans(record.property.id))
            tree = next(tree.id for tree in record.trees if tree.label == cells["tree"])
            cells |= {"tree": tree, "plan": plan} | ({"load": batch.loads[0].id} if row["load"] else {})
            require(take_log(book, record.property, cells, DEMO_CODE, "us").wrong)
        else:
            require(take_litres(book, batch, [cells], DEMO_CODE, "us"))


def _give_rounds(book: Fieldbook, grounds: Mapping[str, Property], told_on: date) -> None:
    there, batches = fleet(book), planned_batches(book)
    own = book.recording.applications()
    jobs = [job for ground in grounds.values()
            for job in jobs_at(book, book.record(ground.id), told_on, told_on + _AHEAD, own)]
    crews = {each.name: each.id for each in there.crews}
    points = {each.name: each.id for each in there.fill_points}
    steps: dict[tuple[date, str], list[GivenStep]] = {}
    for row in rows_of("rounds"):
        ground = grounds[row["ground"]].id if row["ground"] else ""
        kind: StepKind = "fill" if row["fill_point"] else "stop" if ground else "rest"
        steps.setdefault((date.fromisoformat(row["day"]), row["crew"]), []).append(GivenStep(
            kind=kind, starts_min=_minutes(row["starts"]), ends_min=_minutes(row["ends"]), property_id=ground,
            job_ids=_ids(jobs, ground, row["work"]), fill_point_id=points.get(row["fill_point"], ""),
            batch_id=batches[int(row["batch"]) - 1].id if row["batch"] else "", litres=float(row["litres"] or 0.0),
            load_age_minutes=float(row["age_min"]) if row["age_min"] else None))
    for (day, crew), of_day in steps.items():
        give_round(book, GivenRound(id="", day=day, crew_id=crews[crew], steps=tuple(of_day)), DEMO_CODE)


def _ids(jobs: list[Job], ground: str, work: str) -> tuple[str, ...]:
    """Of work that is told as remedy=tree; remedy=tree."""
    told = [tuple(pair.strip().split("=")) for pair in work.split(";") if pair.strip()]
    return tuple(next(job.id for job in jobs if (job.property_id, job.remedy, job.tree_label) == (ground, *each))
                 for each in told)


def _minutes(clock: str) -> float:
    time = read_time(clock)
    return time.hour * _MIN_PER_H + time.minute + 0.0
