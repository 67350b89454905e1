"""A first-answer sheet of chance numbers: what a lookup makes of it shows every table and axis."""

from __future__ import annotations

from datetime import date

import numpy as np

from rootcase.casework.first_answer.axes import AXES
from rootcase.casework.first_answer.packed import packed, unpacked
from rootcase.casework.first_answer.sheet import kinds_known
from rootcase.records.first_answer import FirstReadings, FirstSheet, FlareSeen, Push, TakeNext

STOPS = ("hard", "buried", "stone", "root", "rod_end", "gave_up", "")
FLARES = ("not_looked", "all_round", "part", "none")
TEXTS = ("Quercus rubra", "Acer platanoides", "Quercus sp.", "Nothing known", "")


def random_sheet(rng: np.random.Generator) -> FirstSheet:
    habits, grounds, after = len(AXES.habits), len(AXES.grounds), len(AXES.after_ln_mm) + 1
    shares = habits, len(AXES.seen_ln), len(AXES.seen_sd), after, grounds
    points = grounds, 7, 3
    shoots = 2, len(AXES.shoot_ln_mm), len(AXES.shoots_reciprocal), len(AXES.shoot_variance), 5
    return unpacked(packed(FirstSheet(
        basis="medium", texture="", place_kind="lawn", station="somewhere", season=2015, made=date(2016, 1, 15),
        axes=AXES, kinds=kinds_known(),
        flares=tuple(FlareSeen(code, float(rng.random()), float(rng.random())) for code in FLARES),
        next_kinds=(TakeNext("dbh", 1, 0.3), TakeNext("sample_cores", 1, 15.0)), positions=("leader", "upper"),
        push_sd=0.3, push_floor=0.12, push_not_told=0.25, beyond_rod=0.2361,
        observed=rng.uniform(-7.0, -3.0, shoots) * [1, 1, 1, 1, -0.1],
        stopped=rng.uniform(-50.0, 100.0, (habits, len(AXES.depth_ln_mm), len(AXES.push_variance), *points)),
        rod=rng.uniform(-50.0, 100.0, (habits, len(AXES.rod_ln_mm), *points)),
        unpushed=rng.uniform(-50.0, 100.0, (habits, *points)), lime=rng.uniform(0.2, 3.0, (3, grounds, 2)),
        salt=rng.uniform(0.2, 3.0, (3, grounds, 2)), chances=rng.random((*shares, 2, 7)),
        left=rng.uniform(0.0, 2.5, (*shares, 2)), next=rng.integers(0, 3, (after, grounds, 3)).astype(float))))


def random_look(rng: np.random.Generator) -> FirstReadings:
    return FirstReadings(
        str(rng.choice(TEXTS)), tuple(float(mm) for mm in rng.uniform(0.0, 2500.0, rng.integers(0, 13)).round(1)),
        tuple(Push(float(rng.uniform(0.5, 2000.0)), str(rng.choice(STOPS))) for _ in range(rng.integers(0, 6))),
        str(rng.choice((*AXES.grounds, "lava"))), str(rng.choice((*FLARES, ""))),
        str(rng.choice(["upper", "lower", ""])))
