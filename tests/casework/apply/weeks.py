"""Weeks made by chance."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np

from rootcase.casework.apply.week import Asked
from rootcase.records.apply.jobs import Job, Pace
from rootcase.records.apply.rounds import Crew, FillPoint, Fleet, PlannedBatch, Truck, Waiting
from rootcase.records.prescribe import Dose

MONDAY = date(2026, 4, 6)
YARD_DEG = (36.07, -79.79)


def random_week(seed: int, crews: int = 2, stops_a_day: int = 3, days: int = 5) -> Asked:
    """Jobs about a yard, most of them without a tank, some with extract near by."""
    chance = np.random.default_rng(seed)
    week = tuple(MONDAY + timedelta(days=at) for at in range(days))
    trucks = tuple(Truck(id=f"t{at}", name=f"truck {at}", tank_l=float(chance.choice((380.0, 1100.0))))
                   for at in range(crews))
    people = tuple(Crew(id=f"c{at}", name=f"crew {at}", truck_id=f"t{at}", people=("aa", "bb"), licensed=at == 0)
                   for at in range(crews))
    points = (FillPoint(id="yard", name="yard", latitude_deg=YARD_DEG[0], longitude_deg=YARD_DEG[1], fill_minutes=15.0,
                        is_yard=True),
              FillPoint(id="hydrant", name="hydrant", latitude_deg=YARD_DEG[0] + 0.05, longitude_deg=YARD_DEG[1],
                        fill_minutes=8.0))
    batches = tuple(PlannedBatch(id=f"b{day}{ready}", day=day, ready_min=ready, use_by_min=ready + 90.0, litres=2000.0,
                                 fill_point_id="yard") for day in week for ready in (450.0, 720.0))
    waiting = tuple(_waiting(chance, at, week) for at in range(crews * stops_a_day * days))
    fleet = Fleet(trucks=trucks, crews=people, fill_points=points)
    return Asked(waiting=waiting, fleet=fleet, batches=batches, days=week)


def _waiting(chance: np.random.Generator, at: int, week: tuple[date, ...]) -> Waiting:
    product = str(chance.choice(("", "", "water", "extract")))
    near = 0.03 if product == "extract" else 0.15
    litres = float(chance.integers(5, 40)) * 10.0 if product else 0.0
    pace = Pace(minutes=float(chance.integers(10, 45)), source="by chance", how_known="JUDGEMENT")
    job = Job(id=f"j{at}", property_id=f"p{at}", place_id="lawn", tree_id=f"t{at}", tree_label=f"oak {at}", plan="m",
              remedy=product or "mulch", dose=Dose(20.0), first=week[0], last=week[-1] + timedelta(days=30),
              product=product, litres=litres, pace=pace)
    open_days = frozenset(day for day in week if chance.random() < 0.7) or frozenset(week[:1])
    return Waiting(job=job, days=open_days, latitude_deg=YARD_DEG[0] + float(chance.uniform(-near, near)),
                   longitude_deg=YARD_DEG[1] + float(chance.uniform(-near, near)), licence=bool(chance.random() < 0.1))
