"""A course as its years of work, several budgets side by side, and what each wish costs, in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from rootcase.ground.dates import months_later
from rootcase.ground.quantity import System
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.prescribe import ConstraintPrice, FrontierPoint, Plan, Step
from rootcase.report.text.doses import dose_text, season_of
from rootcase.report.text.figures import known, listed, money, sentence
from rootcase.report.text.naming import remedy_name
from rootcase.tables.load import table

TIMES = ("this_year", "next_year", "later")
NOTHING = "nothing"
HOURS_AND_MONEY = ("crew_hours", "machine_hours", "budget")
_MOST_BUDGETS = 5


@dataclass(frozen=True, slots=True)
class StepLine:
    """One piece of work, repeated in years that follow one another."""

    time: str
    """this_year, next_year or later."""
    when: str
    what: str
    first: Step
    """Its dose and cost; the same in each of its years."""
    last_year: int


def step_lines(steps: Sequence[Step], *, southern: bool = False) -> list[StepLine]:
    """Return the work of a course in the order of the calendar, years of the same work on one line.

    >>> from rootcase.records.prescribe import Dose
    >>> water = [Step(year, "may_september", "water", Dose(1.0), 20.0) for year in (1, 2, 3)]
    >>> [(line.when, line.what) for line in step_lines(water)]
    [('this year and the two after, in the growing season, May to September', 'watering in summer')]
    """
    groups: list[list[Step]] = []
    for step in sorted(steps, key=lambda step: calendar(step, southern=southern)):
        group = next((each for each in groups if _goes_on(each[-1], step)), None)
        if group is None:
            groups.append([step])
        else:
            group.append(step)
    return [_line(group, southern) for group in groups]


def calendar(step: Step, *, southern: bool = False) -> tuple[int, int, int]:
    """Return when in its course a piece of work begins: year, month and day.

    >>> from rootcase.records.prescribe import Dose
    >>> calendar(Step(2, "spring", "mulch", Dose(1.0), None)), calendar(Step(1, "any", "mulch", Dose(1.0), None))
    ((2, 3, 15), (1, 1, 1))
    """
    firsts = {row["season"]: str(row["first"]) for row in table("prescribe/seasons").rows}
    first = firsts.get(step.season, firsts["any"])
    month, day = (int(part) for part in first.split("-"))
    turned = months_later(month, 6) if southern and step.season != "any" else month
    return step.year, turned, day


def years_text(steps: Sequence[Step], *, southern: bool = False) -> str:
    """Return when what is done, without doses, in one paragraph.

    >>> from rootcase.records.prescribe import Dose
    >>> years_text([Step(1, "autumn", "mulch", Dose(10.0), 20.0)])
    'This year, in early autumn: wood-chip mulch.'
    """
    return " ".join(f"{sentence(say('course.work_row', when=line.when, what=line.what))}."
                    for line in step_lines(steps, southern=southern))


def course_lines(steps: Sequence[Step], system: System, *, southern: bool = False) -> list[str]:
    """Return a sentence for each piece of a course's work, each remedy with its dose where it first stands.

    >>> from rootcase.records.prescribe import Dose
    >>> water = [Step(year, "may_september", "water", Dose(10.0), 20.0) for year in (1, 2)]
    >>> course_lines(water, "metric")
    ['This year and the one after, in the growing season, May to September: watering in summer, on 10 m² (108 ft²).']
    """
    told: list[str] = []
    dosed: set[str] = set()
    for line in step_lines(steps, southern=southern):
        text = say("course.work_row", when=line.when, what=line.what)
        if line.first.remedy not in dosed:
            text = say("course.dosed", work=text, dose=dose_text(replace(line.first.dose, season=""), system, southern))
            dosed.add(line.first.remedy)
        told.append(f"{sentence(text)}.")
    return told


def price_lines(plan: Plan, record: PropertyRecord) -> list[str]:
    """Return a sentence for each wish and each limit that costs something, the dearest first."""
    labels = {tree.id: tree.label for tree in record.trees}
    places = {place.id: place.name for place in record.places}
    return [_price(price, plan, labels, places) for price in plan.prices]


def frontier_rows(plan: Plan) -> list[tuple[str, str, str, str]]:
    """Return several budgets side by side, a head first; the plan's own is marked. Empty where there is one choice.

    Columns: this year's money, in all, trees treated, gain as a share of the most that any money buys.
    """
    points = budgets_shown(plan)
    if not points:
        return []
    most = max(point.gain_points_m2 for point in points)
    rows = [tuple(say(f"course.head.{head}") for head in ("this_year", "in_all", "trees", "gain"))]
    for point in points:
        gain = f"{100 * point.gain_points_m2 / most:.0f} %"
        if _is_the_plan(plan, point.treated):
            gain = say("course.the_plan", gain=gain)
        rows.append((money(point.first_year_cost, plan.currency), money(point.total_cost, plan.currency),
                     str(len(point.treated)), gain))
    return rows  # type: ignore[return-value]  # each row has four cells


def budgets_shown(plan: Plan) -> list[FrontierPoint]:
    """Return the budgets that stand side by side, rising; empty where there is one choice."""
    choices = {frozenset(point.treated): point for point in reversed(plan.frontier) if point.treated}
    points = _spread(list(reversed(choices.values())), plan)
    return points if len(points) > 1 else []


def no_fit(plan: Plan, record: PropertyRecord) -> str:
    """Return why no plan fits, the cheapest that would, and which wish or limit to loosen; empty where one fits."""
    if plan.fits:
        return ""
    budget = say("course.no_ceiling") if plan.budget is None else money(plan.budget, plan.currency)
    if plan.items:
        return say("course.over", budget=budget, cost=money(plan.first_year_cost, plan.currency))
    if not any(tree.reason == "no_money" for tree in plan.trees):
        return say("course.not_priced" if plan.currency else "course.no_currency")
    cheapest = [money(point.first_year_cost, plan.currency) for point in plan.frontier if point.treated][:1]
    ways = say("course.or").join(
        [*(say("course.way.money", cheapest=each) for each in cheapest), *_loosened(plan, record)])
    would = say(f"course.{'cheapest' if cheapest else 'loosened'}", ways=ways) if ways else ""
    failing = _failing(plan)
    told = say("course.no_fit_within", limits=listed(failing)) if failing else say("course.no_fit", budget=budget)
    return f"{told} {would}".strip()


def _failing(plan: Plan) -> list[str]:
    """The limits that alone, let go, would let a plan fit: hours and money each by itself, the wishes in one word."""
    binding = {price.constraint: _figure(price, plan) for price in plan.prices if price.points_m2 > 0.0}
    limits = {name if name in HOURS_AND_MONEY else "wishes": choice for name, choice in binding.items()}
    return [say(f"course.limit.{name}", choice=choice) for name, choice in limits.items()]


def _loosened(plan: Plan, record: PropertyRecord) -> list[str]:
    """What to allow, one wish or limit at a time, for a plan to fit as things are otherwise."""
    places = {place.id: place.name for place in record.places}
    return [say(f"course.way.{price.constraint}", place=places.get(price.place_id, ""), choice=price.choice)
            for price in plan.prices if price.points_m2 > 0.0 and price.constraint != "budget"]


def hours_line(plan: Plan) -> str:
    """Return how long the crew and its machines work this year; empty where nothing is done this year."""
    if plan.crew_hours <= 0.0:
        return ""
    machine = say("course.machine_hours", hours=f"{plan.machine_hours:.0f}") if plan.machine_hours >= 1.0 else ""
    return f"{say('course.crew_hours', hours=f'{max(plan.crew_hours, 1.0):.0f}')} {machine}".strip()


def _spread(points: list[FrontierPoint], plan: Plan) -> list[FrontierPoint]:
    """The first, the last, the plan's own and so many evenly between."""
    if len(points) <= _MOST_BUDGETS:
        return points
    evenly = {round(at * (len(points) - 1) / (_MOST_BUDGETS - 1)) for at in range(_MOST_BUDGETS)}
    return [point for at, point in enumerate(points) if at in evenly or _is_the_plan(plan, point.treated)]


def _goes_on(before: Step, step: Step) -> bool:
    return before.year + 1 == step.year and replace(before, year=step.year, note=step.note) == step


def _line(group: list[Step], southern: bool) -> StepLine:
    first, last = group[0], group[-1]
    time = TIMES[min(first.year, len(TIMES)) - 1]
    if first.year == last.year:
        when = say(f"course.when.{time}", year=first.year)
    elif first.year == 1:
        when = say("course.when.and_after", years=say(f"course.number.{last.year - 1}"))
    else:
        when = say("course.when.each", first=first.year, last=last.year)
    what = remedy_name(first.remedy)
    if first.note:
        what = say("course.noted", what=what, note=say(f"course.note.{first.note}"))
    when = say("course.step", when=when, season=season_of(first.season, southern))
    return StepLine(time, when, what, first, last.year)


def _price(price: ConstraintPrice, plan: Plan, labels: Mapping[str, str], places: Mapping[str, str]) -> str:
    own = f"course.price.{price.constraint}_{price.choice}"
    at_tree = say(own if known(own) else f"course.price.{price.constraint}",
                  place=places.get(price.place_id, ""), choice=_figure(price, plan),
                  tree=labels.get(price.tree_id, ""), points=round(price.points_at_tree))
    if price.points_m2 <= 0.0 or plan.gain_points_m2 <= 0.0:
        return sentence(at_tree)
    more = round(100 * price.points_m2 / plan.gain_points_m2)
    form = "more" if price.money >= 0.0 else "less"
    return sentence(f"{at_tree} " + say(f"course.without_{form}", more=max(more, 1),
                                        money=money(abs(price.money), plan.currency)))


def _figure(price: ConstraintPrice, plan: Plan) -> str:
    return money(float(price.choice), plan.currency) if price.constraint == "budget" else price.choice


def _is_the_plan(plan: Plan, treated: tuple[tuple[str, str], ...]) -> bool:
    return set(treated) == {(item.tree_id, item.remedy) for item in plan.items}
