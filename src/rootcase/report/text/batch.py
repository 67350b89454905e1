"""A batch in words: its finding, what was told of each step, its hour, its loads."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta, tzinfo
from zoneinfo import ZoneInfo

from rootcase.ground.dates import show_date
from rootcase.ground.quantity import System, number, show, with_unit
from rootcase.ground.units import convert, unit_label
from rootcase.ground.words import say
from rootcase.records.make.batch import Batch, HeapUse, Load, TankEvenness, ToldStep
from rootcase.records.make.checklist import BatchSeen, NeutraliserDose
from rootcase.report.text.figures import sentence, volume_alone
from rootcase.report.text.slides import SIGNS_SHOWN, figure_told
from rootcase.tables.load import table

_MINUTE = timedelta(minutes=1)
_ID = re.compile(r"[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}")
_LONG_MIN = 120
"""Over its age by more than this, a batch is told of by its hours alone."""
_UNITS = {"volume_l": "L", "mass_kg": "kg", "temperature_c": "degC", "screen_um": "um"}
"""Of figures that are told in both systems; the others stand as they are kept."""
_OWN = {"mass_g": "g", "total_chlorine_mg_l": "mg/L", "free_chlorine_mg_l": "mg/L", "oxygen_mg_l": "mg/L",
        "ec_ds_m": "dS/m", "share_pct": "%", "first_solids_mg_l": "mg/L", "last_solids_mg_l": "mg/L"}
_CELLS = ("first_per_ml", "last_per_ml")
"""Counts of many millions, told in words."""
_COUNT, _SIGN = "_per_100_ml", "_sign"
_CHOSEN = ("origin", "chemical", "rule", "cleaned", "potability_test", "strip", "air", "smell")


def zone_of(seen: BatchSeen) -> tzinfo:
    """In which a batch's times are said."""
    return ZoneInfo(seen.heap.time_zone)


def clock(moment: datetime, zone: tzinfo) -> str:
    """A time of the clock, such as 10:20."""
    return f"{moment.astimezone(zone):%H:%M}"


def day_and_clock(moment: datetime, zone: tzinfo) -> str:
    """The same with its day."""
    return say("made.day_and_clock", day=show_date(moment.astimezone(zone).date()), time=clock(moment, zone))


def _clock_from(day: datetime, moment: datetime, zone: tzinfo) -> str:
    """A time of the clock, with its day where that is another than of this moment."""
    same = moment.astimezone(zone).date() == day.astimezone(zone).date()
    return clock(moment, zone) if same else day_and_clock(moment, zone)


def batch_state(batch: Batch, heap: HeapUse, now: datetime) -> str:
    """open, refused, called_back; of a fit one over (its age), held (its heap), barred (its heap, for another reason)
    or fit."""
    judged = batch.judgement
    if judged is None:
        return "open"
    if judged.verdict == "refused" or batch.refused_since:
        return "called_back" if batch.refused_since else "refused"
    if judged.good_until is None or now > judged.good_until:
        return "over"
    if heap.held:
        return "held"
    return "fit" if heap.may_be_used else "barred"


def batch_finding(seen: BatchSeen, now: datetime) -> str:
    """What a batch's page says first."""
    batch, zone = seen.batch, zone_of(seen)
    judged, state = batch.judgement, batch_state(batch, seen.heap, now)
    if state == "open":
        return (say("made.finding.now", number=batch.number, step=say(f"batch.step.{seen.now}")) if seen.now
                else say("made.finding.ready", number=batch.number))
    until = _clock_from(now, judged.good_until, zone) if judged and judged.good_until else ""
    return say(f"made.finding.{state}", number=batch.number, until=until)


def batches_listed(batches: Sequence[Batch], heaps: Mapping[str, HeapUse], now: datetime
                   ) -> list[tuple[int, str, str, str]]:
    """Number, state by its name and in words, and when of which heap, of each batch whose heap is there."""
    found = []
    for batch in batches:
        heap = heaps.get(batch.heap_id)
        if heap is None:
            continue
        zone, judged = ZoneInfo(heap.time_zone), batch.judgement
        state = batch_state(batch, heap, now)
        started = day_and_clock(batch.started_at, zone)
        ends = _clock_from(now, judged.good_until, zone) if judged and judged.good_until else ""
        found.append((batch.number, state, say(f"made.listed.{state}", number=batch.number, until=ends),
                      say("made.listed.loads", started=started, heap=heap.name, count=len(batch.loads))))
    return found


def batch_lines(seen: BatchSeen, now: datetime, system: System) -> Iterator[str]:
    """All that stands of a batch, a line each."""
    batch, zone = seen.batch, zone_of(seen)
    yield batch_finding(seen, now)
    yield batch_lede(seen, now)
    yield from batch.judgement.why[1:] if batch.judgement else ()
    if batch.ended_as:
        yield became_line(batch)
    for told in batch.steps:
        yield say("batch.step_line", step=say(f"batch.step.{told.step}"), said=step_told(told, seen, system))
    yield from taken_back_told(seen, system)
    for load in batch.loads:
        yield say("batch.load_line", id=load.id, said=", ".join(load_told(batch, load, system, zone)))
    yield from sums_told(seen, system)
    yield seen.finding.limit_note


def batch_lede(seen: BatchSeen, now: datetime) -> str:
    """The line below it: the deciding reason, what is left of the hour, or what it is made of."""
    batch, judged, zone = seen.batch, seen.batch.judgement, zone_of(seen)
    if batch.refused_since:
        return batch.refused_since
    if judged and judged.verdict == "refused":
        return judged.why[0]
    if (state := batch_state(batch, seen.heap, now)) in ("held", "barred"):
        return say("made.held_because", why=seen.heap.held) if state == "held" else sentence(barred_by(seen.heap))
    if judged and judged.good_until and judged.ended_at:
        left = (judged.good_until - now) // _MINUTE
        if left < -_LONG_MIN:
            return say("made.long_gone", ended=day_and_clock(judged.ended_at, zone),
                       until=day_and_clock(judged.good_until, zone))
        return say("made.left" if left >= 0 else "made.gone", minutes=abs(left),
                   ended=_clock_from(now, judged.ended_at, zone), now=clock(now, zone))
    return say("made.of_heap", heap=seen.heap.name, started=day_and_clock(batch.started_at, zone), by=batch.by)


def barred_by(heap: HeapUse) -> str:
    """Why a heap that nobody holds may not be used; the first line decides."""
    return next(iter(heap.why_not), "")


def step_told(told: ToldStep, seen: BatchSeen, system: System) -> str:
    """What was told of a step, when, with its day where that is not the batch's, and by whom."""
    at = _clock_from(seen.batch.started_at, told.at, zone_of(seen))
    return say("made.told", said=step_said(told, seen, system), at=at, by=told.by)


def taken_back_told(seen: BatchSeen, system: System) -> tuple[str, ...]:
    """What was told by mistake and taken back, each with its reason."""
    zone = zone_of(seen)
    return tuple(say("made.taken_back", step=sentence(say(f"batch.step.{each.told.step}")), by=each.by,
                     said=step_told(each.told, seen, system), reason=each.reason,
                     at=_clock_from(seen.batch.started_at, each.at, zone)) for each in seen.batch.taken_back)


def step_said(told: ToldStep, seen: BatchSeen, system: System) -> str:
    """What was told of it alone, and what of it is doubted."""
    parts = [_figure(each.name, each.value, system, told.words.get(each.name.removesuffix(_COUNT) + _SIGN, ""))
             for each in told.figures]
    parts += [_word(name, word) for name, word in told.words.items() if not name.endswith(_SIGN)]
    said = "; ".join(parts) or say("made.just_done")
    return say("made.doubted", said=said, doubt=seen.doubts[told.id]) if told.id in seen.doubts else said


def moment_and_by(told: ToldStep, zone: tzinfo) -> str:
    """When and by whom."""
    return say("made.moment_and_by", at=day_and_clock(told.at, zone), by=told.by)


def dose_told(dose: NeutraliserDose) -> tuple[str, str, str]:
    """Chemical, advice and mass."""
    return (say(f"made.chosen.chemical.{dose.chemical}"), say(f"made.chosen.rule.{dose.rule}"),
            with_unit(number(dose.mass_g), "g"))


def stir_line(seen: BatchSeen, system: System) -> str:
    """What a neutraliser's dose is for, and what comes after it: 1.1 g for 300 gal, stir 10 minutes, test again."""
    water = seen.batch.newest("water")
    volume = water.figure("volume_l") if water else None
    if not seen.doses or volume is None:
        return ""
    masses = sorted({dose.mass_g for dose in seen.doses})
    return say("made.stir", mass=with_unit(number(seen.doses[0].mass_g), "g"), volume=volume_alone(volume, system),
               chemical=say(f"made.chosen.chemical.{seen.doses[0].chemical}"), count=len(masses),
               minutes=number(table("tank/stirring").row(after="neutralizer")["least_min"]))


def became_line(batch: Batch) -> str:
    """What became of it and where."""
    return say(f"made.page.became_{batch.ended_as}", where=batch.ended_where)


def caution_lines(*names: str) -> tuple[str, ...]:
    """The cautions that stand beside steps, a load or the end of a batch."""
    return tuple(line for name in names for line in say(f"made.caution.{name}").strip().splitlines())


def load_told(batch: Batch, load: Load, system: System, zone: tzinfo) -> tuple[str, str, str, str, str, str]:
    """When, with its day where that is not the batch's, tank, volume, gap, oxygen and by whom."""
    gap = show(load.air_gap_m, "m", system, ("in", "cm"))
    oxygen = say("made.not_read") if load.oxygen_mg_l is None else with_unit(number(load.oxygen_mg_l), "mg/L")
    return (_clock_from(batch.started_at, load.at, zone), load.tank or say("made.no_tank"),
            show(load.volume_l, "L", system), gap, oxygen, load.by)


def load_named(batch: Batch, load: Load, system: System, zone: tzinfo) -> str:
    """A load as a crew picks it."""
    judged = batch.judgement
    begun, until = batch.started_at, judged.good_until if judged else None
    return say("made.load_named", number=batch.number, tank=load.tank or say("made.no_tank"),
               at=_clock_from(begun, load.at, zone), volume=volume_alone(load.volume_l, system),
               until=_clock_from(begun, until, zone) if until else say("made.not_read"))


def load_for_crew(batch: Batch, load: Load, heap: HeapUse, system: System, now: datetime) -> str:
    """The same with what forbids to put it on, where something does."""
    state, named = batch_state(batch, heap, now), load_named(batch, load, system, ZoneInfo(heap.time_zone))
    return named if state == "fit" else say("made.load_stopped", load=named, why=say(f"made.stopped.{state}"))


def sums_told(seen: BatchSeen, system: System) -> tuple[str, ...]:
    """What follows from the steps."""
    sums, lines = seen.finding.sums, list[str]()
    if sums.beyond_made_l is not None:
        lines.append(say("made.sums.beyond", beyond=volume_alone(sums.beyond_made_l, system)))
    if sums.compost_per_water_kg_l:
        ratio = with_unit(number(convert(sums.compost_per_water_kg_l, "kg/L", "lb/gal")), "lb/gal")
        lines.append(say("made.sums.ratio", parts=number(1.0 / sums.compost_per_water_kg_l), ratio=ratio))
    if sums.share_of_saturation_pct is not None:
        lines.append(say("made.sums.share", share=number(sums.share_of_saturation_pct),
                         holds=f"{sums.saturation_mg_l:.1f}"))
    if sums.uptake_mg_l_h is not None:
        rate, low, high = (number(each) for each in sums.uptake_mg_l_h)
        lines.append(say("made.sums.uptake", rate=rate, low=low, high=high))
    return (*lines, *(_evenness(each) for each in sums.tanks), *seen.finding.cautions)


def _evenness(tank: TankEvenness) -> str:
    """What the first and the last gallon of a tank say."""
    return say(f"made.sums.{'even' if tank.stays_mixed else 'uneven'}", tank=tank.tank or say("made.no_tank"),
               pct=number(100.0 * tank.last / tank.first), measured=say(f"made.sums.{tank.measured}"),
               most=number(table("tank/tolerances").row(name="first_to_last_gallon")["most_pct"]))


def _figure(name: str, value: float, system: System, sign: str) -> str:
    if name in _CELLS:
        return say("made.figure", name=say(f"batch.figure.{name}"), value=f"{figure_told(value)} {unit_label('1/mL')}")
    told = show(value, _UNITS[name], system, ("mesh", "um") if name == "screen_um" else None) if (
        name in _UNITS) else with_unit(number(value), _OWN.get(name, "1"))
    return say("made.figure", name=say(f"batch.figure.{name}"), value=f"{sign}{told}")


def _word(name: str, word: str) -> str:
    if name == "origin":
        return say(f"batch.origin.{word}")
    if name == "slide" and _ID.fullmatch(word):
        word = word[-SIGNS_SHOWN:]
    told = say(f"made.chosen.{name}.{word}") if name in _CHOSEN else word
    return say("made.word", name=say(f"batch.word.{name}"), value=told)
