"""Days of rounds made by chance: several products, breaks, windows, crews that cannot do all, loads aboard."""

from __future__ import annotations

from math import inf

import numpy as np

from rootcase.science.rounds.day import Break, Crew, Day, OnBoard, Source, Stop


def random_day(seed: int, stops: int | None = None, crews: int | None = None) -> Day:
    chance = np.random.default_rng(seed)
    many = stops if stops is not None else int(chance.integers(1, 25))
    people = crews if crews is not None else int(chance.integers(1, 5))
    places = chance.integers(0, 60, (many + 3, 2))
    # Some drives are longer by what a road adds, so that the triangle's rule does not hold everywhere.
    drives = np.rint(np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1)))
    drives = drives * chance.choice((1.0, 1.0, 1.0, 2.0), drives.shape)
    np.fill_diagonal(drives, 0.0)
    ready = float(chance.choice((0, 0, 60, 120)))
    sources = (
        Source(node=0, product="extract", fill_min=15.0, ready_min=ready,
               use_by_min=ready + float(chance.choice((60, 150, 400))), holds_l=float(chance.choice((inf, 900.0)))),
        Source(node=1, product="water", fill_min=10.0),
        Source(node=0, product="water", fill_min=20.0, keeps_min=float(chance.choice((inf, 90.0)))),
        Source(node=2, product="extract", fill_min=5.0, ready_min=200.0, use_by_min=320.0,
               crews=frozenset({0}) if chance.random() < 0.3 else None))
    return Day(drives, tuple(_stop(chance, at + 3, people) for at in range(many)), sources,
               tuple(_crew(chance) for _ in range(people)))


def _stop(chance: np.random.Generator, node: int, people: int) -> Stop:
    product = str(chance.choice(("extract", "extract", "water", "")))
    opens = float(chance.integers(0, 300))
    windows = {0: ((0.0, inf),), 1: ((opens, opens + float(chance.integers(0, 120))),),
               2: ((opens, opens + 30.0), (opens + 120.0, opens + 150.0))}[int(chance.choice((0, 0, 1, 2)))]
    who = frozenset(int(each) for each in range(people) if chance.random() < 0.6)
    return Stop(node=node, service_min=float(chance.integers(5, 50)), product=product,
                demand_l=float(chance.integers(1, 8)) * 50.0 if product else 0.0, windows=windows,
                crews=who if chance.random() < 0.2 else None, weight=float(chance.choice((1.0, 1.0, 3.0))))


def _crew(chance: np.random.Generator) -> Crew:
    aboard = OnBoard("extract", 250.0, float(chance.integers(20, 200))) if chance.random() < 0.2 else None
    rest = Break(120.0, float(chance.choice((200, 260))), 30.0) if chance.random() < 0.5 else None
    return Crew(start=int(chance.choice((0, 0, 0, 2))), home=0, tank_l=float(chance.choice((300, 600, 800))),
                leaves_min=float(chance.choice((0, 30))), back_by_min=float(chance.choice((240, 420, 480))), rest=rest,
                on_board=aboard)
