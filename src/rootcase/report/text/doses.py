"""Doses as a crew shovels them, in both systems, the property's own first; either figure brings the other back."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from rootcase.ground.measured import Pair, told
from rootcase.ground.quantity import System, number, with_unit
from rootcase.ground.words import say
from rootcase.records.prescribe import Dose, ZoneRun
from rootcase.report.text.figures import known, listed, sentence
from rootcase.science.zones.containers import Measure, carried
from rootcase.tables.load import table

GROUND: Pair = ("ft2", "m2")
TAPE: Pair = ("in", "cm")
GAUGE: Pair = ("in", "mm")
STEPS: Pair = ("ft", "m")
LOOSE: Pair = ("yd3", "m3")
WEIGHED: Pair = ("lb", "kg")
LIQUID: Pair = ("gal", "L")
LIQUID_RATE: Pair = ("gal/1000ft2", "L/100m2")
WEIGHED_RATE: Pair = ("lb/1000ft2", "kg/100m2")
SCALES, AS_DELIVERED = 3, 2
"""Figures of what is weighed out, and of what loose stuff weighs."""
EVEN = ((0.7, "good"), (0.55, "fair"), (0.0, "poor"))
"""From which share in the driest quarter on a zone waters so. JUDGEMENT."""
CUPS_ENOUGH = 16
_ANY_YEAR = 2001
ALIKE = (0.8, 1.25)
"""Between these the rule by the trunk and the ground ask for much the same. JUDGEMENT."""


def dose_text(dose: Dose, system: System, southern: bool = False) -> str:
    """Return how deep, how much and when.

    >>> dose_text(Dose(41.7, depth_m=0.0762, volume_m3=3.2111), "us")
    '3 in (7.6 cm) deep on 449 ft² (41.7 m²): 4.2 yd³ (3.2 m³), 19 barrows of 6 ft³'
    """
    text = _where(dose, system)
    if amounts := _amounts(dose, system):
        text = say("dose.amount", dose=text, amount=", ".join(amounts))
    if dose.parts > 1:
        text = say("dose.parts", dose=text, parts=dose.parts)
    return say("dose.when", dose=text, season=season_of(dose.season, southern)) if dose.season else text


def beside(dose: Dose, system: System) -> list[str]:
    """Return the sentences that stand beside a dose."""
    told_beside = _beside_runs(dose, system)
    if times := _times(dose):
        told_beside.append(say("dose.whole_season", times=times, amount=_in_all(dose, times, system)))
    if dose.unknown == "no_audit":
        told_beside.append(say("dose.no_audit", bucket=_bucket(system), count=_buckets(dose, system)))
    if (both := _by_both_rules(dose)) is not None:
        rule, area = (told(litres, "L", system, LIQUID) for litres in both)
        told_beside.append(say("dose.trunk_rule", rule=rule, area=area, which=say(f"dose.trunk.{_which(both)}")))
    return told_beside


def beside_together(doses: Sequence[tuple[str, Dose]], system: System) -> list[str]:
    """Return what stands beside the doses of several trees, each sentence once, with the trees it is of.

    >>> water = Dose(10.0, water_mm=10.0, litres=38.0, every_days=3, unknown="no_audit")
    >>> beside_together([("oak 5", water), ("oak 8", water)], "metric")[0].partition(": not known")[0]
    'Minutes on the controller'
    """
    alike: dict[str, list[str]] = {}
    hoses: list[str] = []
    rules: dict[str, list[str]] = {}
    seasons: dict[int, list[str]] = {}
    for label, dose in doses:
        for text in _beside_runs(dose, system):
            alike.setdefault(text, []).append(label)
        if times := _times(dose):
            seasons.setdefault(times, []).append(
                say("dose.together.in_all", amount=_in_all(dose, times, system), tree=label))
        if dose.unknown == "no_audit":
            hoses.append(say("dose.together.times", tree=label, count=_buckets(dose, system)))
        if (both := _by_both_rules(dose)) is not None:
            rule, area = (told(litres, "L", system, LIQUID) for litres in both)
            rules.setdefault(_which(both), []).append(say("dose.together.rule", tree=label, rule=rule, area=area))
    lines = [say("dose.together.at", trees=sentence(listed(labels)), said=text) for text, labels in alike.items()]
    lines += [say("dose.whole_season", times=times, amount=listed(each)) for times, each in seasons.items()]
    if hoses:
        lines.append(say("dose.together.no_audit", bucket=_bucket(system), times=", ".join(hoses)))
    return lines + [say("dose.together.rules", which=say(f"dose.trunk.{which}"), each="; ".join(each))
                    for which, each in rules.items()]


def _times(dose: Dose) -> int:
    """How often a season's watering is done; 0 for what is not repeated."""
    ends = {row["season"]: (str(row["first"]), str(row["last"])) for row in table("prescribe/seasons").rows}
    if dose.every_days is None or dose.litres is None or dose.season not in ends:
        return 0
    first, last = (date.fromisoformat(f"{_ANY_YEAR}-{end}") for end in ends[dose.season])
    return round(((last - first).days + 1) / dose.every_days)


def _in_all(dose: Dose, times: int, system: System) -> str:
    return told(times * (dose.litres or 0.0), "L", system, LIQUID)


def _beside_runs(dose: Dose, system: System) -> list[str]:
    """Minutes on the clock and what they rest on, or what is not known but for want of cups."""
    told_beside = [_zone(run, system) for run in dose.runs]
    if dose.runs:
        told_beside.append(say("dose.all_zones"))
        if any(run.cycles > 1 and not run.intake_read for run in dose.runs):
            told_beside.append(say("dose.intake_assumed"))
        fewest = min(run.cups for run in dose.runs)
        if fewest < CUPS_ENOUGH:
            told_beside.append(say("dose.few_cups", cups=fewest))
    if dose.cover_m is not None:
        told_beside.append(say("dose.no_organic_matter"))
    if dose.unknown and dose.unknown != "no_audit":
        told_beside.append(say(f"dose.unknown.{dose.unknown}"))
    return told_beside


def _where(dose: Dose, system: System) -> str:
    area = told(dose.area_m2, "m2", system, GROUND)
    if dose.holes is not None:
        return say("dose.holes", holes=dose.holes, wide=told(dose.hole_m or 0.0, "m", system, TAPE), area=area,
                   depth=told(dose.depth_m or 0.0, "m", system, TAPE),
                   spacing=told(dose.spacing_m or 0.0, "m", system, STEPS))
    if dose.trench_m is not None:
        return say("dose.trenches", length=told(dose.trench_m, "m", system, STEPS), area=area,
                   depth=told(dose.depth_m or 0.0, "m", system, TAPE))
    if dose.depth_m is not None and dose.cover_m is not None:
        return say("dose.tilled", depth=told(dose.depth_m, "m", system, TAPE), area=area,
                   cover=told(dose.cover_m, "m", system, TAPE))
    if dose.depth_m is not None:
        return say("dose.deep", depth=told(dose.depth_m, "m", system, TAPE), area=area)
    if dose.water_mm is not None and dose.every_days is not None:
        water = say("dose.water", depth=told(dose.water_mm, "mm", system, GAUGE), area=area)
        return say("dose.every", dose=water, days=dose.every_days)
    if dose.water_mm is not None:
        return say("dose.rate", rate=told(dose.water_mm, "L/m2", system, LIQUID_RATE), area=area)
    if dose.mass_kg is not None and dose.area_m2 > 0.0:
        return say("dose.rate", rate=told(dose.mass_kg / dose.area_m2, "kg/m2", system, WEIGHED_RATE), area=area)
    return say("dose.on", area=area)


def _amounts(dose: Dose, system: System) -> list[str]:
    """How much in all, and in how many barrows, sacks or buckets."""
    found = []
    if dose.volume_m3 is not None:
        found += _carried("loose", dose.volume_m3, "m3", LOOSE, system)
    if dose.mass_kg is not None and dose.volume_m3 is not None:
        found.append(say("dose.weight", weight=told(dose.mass_kg, "kg", system, WEIGHED, AS_DELIVERED)))
    elif dose.mass_kg is not None:
        found += _carried("weighed", dose.mass_kg, "kg", WEIGHED, system, SCALES)
    if dose.litres is not None:
        found.append(told(dose.litres, "L", system, LIQUID))
    return found


def _carried(measure: Measure, amount: float, unit: str, pair: Pair, system: System,
             figures: int | None = None) -> list[str]:
    return [told(amount, unit, system, pair, figures), *containers_told(measure, amount, system)]


def containers_told(measure: Measure, amount: float, system: System) -> list[str]:
    """How many barrows, loads, sacks or buckets an amount fills, in the unit of its measure.

    >>> containers_told("loose", 3.2, "metric")
    ['38 barrows of 85 L']
    """
    found = []
    for filled in carried(measure, amount, system):
        holds = with_unit(number(filled.holds), filled.unit)
        container = say(f"dose.container.{filled.container}")
        form = "dose.count_one" if filled.number == 1 else "dose.count"
        found.append(say(form, count=filled.number, container=container, holds=holds))
    return found


def _zone(run: ZoneRun, system: System) -> str:
    each = f"{run.minutes / run.cycles:.0f}"
    cycles = say("dose.cycles", count=run.cycles, each=each, soak=f"{run.soak_minutes:.0f}") if run.cycles > 1 else ""
    even = next(word for share, word in EVEN if run.evenness >= share)
    return say("dose.zone", zone=run.zone, minutes=f"{run.minutes:.0f}", cycles=cycles,
               rate=told(run.rate_mm_h, "mm/h", system, ("in/h", "mm/h")),
               even=say(f"dose.even.{even}", share=f"{100 * run.evenness:.0f} %"))


def _bucket(system: System) -> str:
    row = table("prescribe/containers").row(container="bucket", measure="liquid", system=system)
    return with_unit(number(row["holds"]), str(row["unit"]))


def _buckets(dose: Dose, system: System) -> int:
    """How many buckets the water of one time fills."""
    filled = carried("liquid", dose.litres or 0.0, system)
    return filled[0].number if filled else 1


def _by_both_rules(dose: Dose) -> tuple[float, float] | None:
    """Litres a week by the inch of trunk, and by the ground over the roots."""
    if not (dose.trunk_rule_l_week and dose.litres and dose.every_days):
        return None
    return dose.trunk_rule_l_week, 7.0 / dose.every_days * dose.litres


def _which(both: tuple[float, float]) -> str:
    ratio = both[0] / both[1]
    return "starves" if ratio < ALIKE[0] else "drowns" if ratio > ALIKE[1] else "alike"


def season_of(season: str, southern: bool) -> str:
    """When, in the months of the property's own half of the earth where months are named."""
    there = f"prescribe.season.{season}_south"
    return say(there) if southern and known(there) else say(f"prescribe.season.{season}")
