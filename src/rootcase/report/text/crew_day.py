"""A crew's day in words: whether each make of extract is out before it is too old, and the numbers behind it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rootcase.ground.measured import told
from rootcase.ground.quantity import System
from rootcase.ground.words import say
from rootcase.records.apply.crew_day import CrewDay, DayMake, DayStop
from rootcase.report.text.doses import LIQUID
from rootcase.report.text.rounds import Names, clock_told, day_told, lasts

_FIGURES = 3


def day_finding(day: CrewDay) -> str:
    """The one point of the picture."""
    if not day.stops:
        return say("crew_day.no_stop")
    if not day.makes:
        return say("crew_day.none")
    bad = next((each for each in day.makes if each.refused), None)
    if bad:
        return say("crew_day.refused", make=make_name(bad))
    worst = min(day.makes, key=lambda each: each.in_hand_min or 0.0)
    hand = worst.in_hand_min or 0.0
    if round(hand) < 0:
        return say("crew_day.too_old", make=make_name(worst), over=lasts(-hand),
                   limit=clock_told(worst.use_by_min or 0.0))
    if len(day.makes) == 1:
        return say("crew_day.one", hand=lasts(hand))
    return say("crew_day.many", count=len(day.makes), hand=lasts(hand))


def day_under(day: CrewDay, names: Names) -> str:
    """Of what and of when, and how a make's clock runs."""
    return say("crew_day.under", day=day_told(day.day), crew=names.crew(day.crew_id))


def make_name(make: DayMake) -> str:
    """What a make is called: by its number, or as planned for its hour."""
    if make.number:
        return say("crew_day.batch", number=make.number)
    return say("crew_day.planned" if make.ends_min is None else "crew_day.planned_at",
               time=clock_told(make.ends_min or 0.0))


def make_short(make: DayMake) -> str:
    """The same where there is little room and the hour stands below."""
    return make_name(make) if make.number else say("crew_day.planned_short")


def ends_told(make: DayMake) -> str:
    """End of extraction, or that there is nothing of it."""
    if make.ends_min is None:
        return say("crew_day.nothing_there")
    return say("crew_day.ends", time=clock_told(make.ends_min))


def loads_told(day: CrewDay, make: DayMake) -> str:
    """Which loads are of this make, and how old it is at its last tree."""
    before = sum(len(each.loads) for each in day.makes[:day.makes.index(make)])
    numbers = [str(before + at) for at in range(1, len(make.loads) + 1)]
    loads = (say("crew_day.load", number=numbers[0]) if len(numbers) == 1
             else say("crew_day.loads", first=numbers[0], last=numbers[-1]))
    if make.ends_min is None:
        return loads
    return say("crew_day.age", loads=loads, age=lasts(make.last_use_min - make.ends_min))


def refuse_told(make: DayMake) -> str:
    """From when on nothing of it may go out."""
    return say("crew_day.refuse_all") if make.use_by_min is None else say(
        "crew_day.refuse_from", time=clock_told(make.use_by_min))


def hand_told(make: DayMake) -> str:
    """Time between its last use and that hour; empty where there is nothing of it."""
    if make.in_hand_min is None:
        return ""
    hand = round(make.in_hand_min)
    return say("crew_day.in_hand" if hand >= 0 else "crew_day.over", time=lasts(abs(hand)))


def stop_what(stop: DayStop, names: Names) -> str:
    """What is put on at a stop, and at how many trees."""
    trees = {names.jobs[each].tree_id for each in stop.job_ids if each in names.jobs}
    if not trees:
        return say("week.done")
    works = ", ".join(say(f"crew_day.work.{each}") for each in stop.works)
    return say("crew_day.at_tree" if len(trees) == 1 else "crew_day.at_trees", works=works, count=len(trees))


def make_rows(day: CrewDay, system: System) -> list[tuple[str, ...]]:
    """The same numbers as a table: make, end of extraction, tanks, last use, refused from, in hand."""
    return [(make_name(each), ends_told(each), ", ".join(told(load.litres, "L", system, LIQUID, _FIGURES)
                                                         for load in each.loads),
             clock_told(each.last_use_min), refuse_told(each), hand_told(each)) for each in day.makes]


def make_heads() -> list[str]:
    return [say(f"crew_day.head.{each}") for each in ("make", "ends", "tanks", "last_use", "refuse", "hand")]


def day_alt(day: CrewDay, names: Names) -> str:
    """The picture in words."""
    return " ".join([day_finding(day), *_stops_alt(day.stops, names), *(
        say("crew_day.make_alt", make=make_name(each), ends=ends_told(each), loads=loads_told(day, each),
            last=clock_told(each.last_use_min), refuse=refuse_told(each)) for each in day.makes)])


def _stops_alt(stops: Sequence[DayStop], names: Names) -> Iterator[str]:
    for each in stops:
        yield say("crew_day.stop_alt", number=each.number, start=clock_told(each.starts_min),
                  end=clock_told(each.ends_min), place=names.grounds.get(each.property_id, ""),
                  what=stop_what(each, names))
