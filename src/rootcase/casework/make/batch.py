"""A batch judged: fit, or refused with every reason; there is no third way and none round it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, tzinfo

from rootcase.casework.make.additive import additive_faults, is_test_batch
from rootcase.casework.make.checklist import neutraliser_doses
from rootcase.casework.make.evenness import tanks_evenness
from rootcase.casework.make.laboratory import over_the_limit
from rootcase.casework.make.limits import (
    age_limit,
    air_off,
    apart,
    cannot_be,
    good_until,
    of_the_liquid,
    saturation_mg_l,
)
from rootcase.casework.make.near_end import near_h, read_near_the_end
from rootcase.casework.make.taken_back import not_told_anew
from rootcase.casework.make.volumes import beyond_made_l
from rootcase.casework.make.water_tests import chlorine_before_dose, water_tests
from rootcase.ground.words import say
from rootcase.records.make.batch import AdditiveTest, Batch, BatchFinding, BatchRules, BatchSums, HeapUse, ToldStep
from rootcase.science.tank.hygiene import age_h
from rootcase.science.tank.oxygen import share_of_saturation_pct
from rootcase.science.tank.water import water_finding, water_origin
from rootcase.tables.load import table

_MINUTES = 60.0


def judge(batch: Batch, heap: HeapUse, rules: BatchRules, tests: Sequence[AdditiveTest], at: datetime,
          zone: tzinfo) -> BatchFinding:
    """Is a batch fit to be loaded at a moment?

    Parameters
    ----------
    batch : as it stands.
    heap : whether its compost may be used.
    rules : the practice's oxygen floor and its own limit of age.
    tests : laboratory counts of what had an additive.
    at : the moment, with its zone.
    zone : in which times are said.

    Returns
    -------
    BatchFinding; refused with every reason, the first of which decides.

    Raises
    ------
    OutOfRange : a figure leaves its range.

    Notes
    -----
    What nobody told counts as not done. A slide is not asked for: no count makes a batch fit. A reading of oxygen that
    cannot be decides nothing; while the newest is one, the batch is read again before it is judged. Oxygen counts from
    the earliest start of extraction that was told, for the water alone is not the liquid. Sour once is sour, and a vat
    that was cleaned with the water in it asks for other water.

    References
    ----------
    Tables tank/water_origins, tank/source_water, tank/hygiene_limits, tank/holding, tank/oxygen_floors, a source each
    row; that the lowest oxygen decides: JUDGEMENT.

    Examples
    --------
    >>> from datetime import UTC
    >>> batch = Batch(id="b", number=32, heap_id="h", started_at=datetime(2016, 5, 3, 9, 5, tzinfo=UTC), by="rs",
    ...               steps=(), judgement=None, loads=())
    >>> heap = HeapUse(name="heap 4", may_be_used=True, why_not=(), time_zone="UTC")
    >>> judge(batch, heap, BatchRules(oxygen_floor_mg_l=6.0), (), batch.started_at, UTC).why[0]
    'Nobody told that the vat was cleaned. Right: washed, rinsed, and told as clean before water goes in.'
    """
    end = batch.newest("end")
    limit = age_limit(batch, rules)
    against = [line for lines in against_by_step(batch, heap, tests).values() for line in lines]
    why = (*against, *_compost(batch), *_extraction(batch), *_oxygen(batch, rules, at, zone), *_smell(batch, at, zone),
           *_lab(batch), *_age(batch, limit.hours, at, zone), *not_told_anew(batch, rules))
    return BatchFinding(
        verdict="refused" if why else "fit", why=why, read_again=_read_again(batch, rules),
        ended_at=end.at if end else None, good_until=good_until(end.at, limit) if end else None,
        own_limit_h=limit.own_h, limit_note=limit.note, sums=_sums(batch, rules),
        cautions=tuple(_with_care(batch)))


def before_compost(batch: Batch, heap: HeapUse, tests: Sequence[AdditiveTest]) -> tuple[str, ...]:
    """What stands against a batch before compost goes in?

    Parameters
    ----------
    batch : as it stands.
    heap : whether its compost may be used.
    tests : laboratory counts of what had an additive.

    Returns
    -------
    A line each, with what would be right; empty where nothing does.

    Raises
    ------
    OutOfRange : a figure leaves its range.

    Notes
    -----
    No compost is put in while something stands against it. An additive that is not tested yet does not stop it: such a
    batch is made for its laboratory test, judged refused, and never loaded.

    References
    ----------
    Tables tank/water_origins, tank/source_water, tank/hygiene_limits, a source each row (memory).

    Examples
    --------
    >>> from datetime import UTC
    >>> batch = Batch(id="b", number=32, heap_id="h", started_at=datetime(2016, 5, 3, 9, 5, tzinfo=UTC), by="rs",
    ...               steps=(), judgement=None, loads=())
    >>> len(before_compost(batch, HeapUse(name="heap 4", may_be_used=True, why_not=(), time_zone="UTC"), ()))
    3
    """
    against = against_by_step(batch, heap, tests)
    if is_test_batch(batch, tests):
        against["additive"] = ()
    return tuple(line for lines in against.values() for line in lines)


def against_by_step(batch: Batch, heap: HeapUse, tests: Sequence[AdditiveTest]) -> dict[str, tuple[str, ...]]:
    """What stands against a batch before compost goes in, by what it is about?

    Parameters
    ----------
    batch : as it stands.
    heap : whether its compost may be used.
    tests : laboratory counts of what had an additive.

    Returns
    -------
    Lines by vat, water, chlorine (the neutraliser's too), heap and additive.

    Raises
    ------
    OutOfRange : a figure leaves its range.

    Notes
    -----
    They decide the verdict; what stops the compost is told by `before_compost`.

    References
    ----------
    `before_compost`.

    Examples
    --------
    >>> from datetime import UTC
    >>> batch = Batch(id="b", number=32, heap_id="h", started_at=datetime(2016, 5, 3, 9, 5, tzinfo=UTC), by="rs",
    ...               steps=(), judgement=None, loads=())
    >>> heap = HeapUse(name="heap 4", may_be_used=True, why_not=(), time_zone="UTC")
    >>> [name for name, lines in against_by_step(batch, heap, ()).items() if lines]
    ['vat', 'water', 'chlorine']
    """
    return {"vat": tuple(_vat(batch)), "water": tuple(_water(batch)), "chlorine": tuple(_chlorine(batch)),
            "heap": tuple(_heap(heap)), "additive": additive_faults(batch, tests)}


def _vat(batch: Batch) -> Iterator[str]:
    told = batch.newest("vat")
    if told is None:
        yield say("batch.why.vat_not_told")
    elif told.words.get("cleaned") != "yes":
        yield say("batch.why.vat_dirty")


def _water(batch: Batch) -> Iterator[str]:
    told = batch.newest("water")
    if told is None:
        yield say("batch.why.water_not_told")
        return
    if _cleaned_since(batch, told):
        yield say("batch.why.water_before_vat")
    origin = told.words.get("origin", "")
    if origin not in {row["origin"] for row in table("tank/water_origins").rows}:
        yield say("batch.why.water_not_told")
        return
    found = water_origin(origin)
    if not found.fit:
        yield say("batch.why.water", origin=say(f"batch.origin.{origin}"), first=say(f"batch.first.{found.first}"))
    elif found.first == "potability_test" and told.words.get("potability_test") != "yes":
        yield say("batch.why.well_untested")


def _cleaned_since(batch: Batch, water: ToldStep) -> bool:
    """Whether the vat became clean with the water already in it."""
    vat = batch.newest("vat")
    if vat is None or vat.words.get("cleaned") != "yes":
        return False
    order = [each.id for each in batch.every_step or batch.steps]
    dirty = any(each.words.get("cleaned") == "no" for each in batch.ever("vat"))
    return vat.at > water.at or (dirty and order.index(vat.id) > order.index(water.id))


def _with_care(batch: Batch) -> Iterator[str]:
    """What was read of the water beside its chlorine: told, and refusing nothing."""
    told = batch.newest("water")
    for name, reading in (("ec_ds_m", "electrical_conductivity"), ("ph", "ph")):
        value = told.figure(name) if told else None
        if value is not None and (found := water_finding(reading, "tank", value)) != "good":
            row = table("tank/source_water").row(reading=reading, rule="tank")
            yield say(f"made.care.{name}", value=f"{value:g}", found=say(f"made.care.{found}"),
                      low=f"{row['good_low']:g}", high=f"{row['good_high']:g}")


def _chlorine(batch: Batch) -> Iterator[str]:
    """What was read last of total chlorine decides."""
    tests = water_tests(batch)
    limit = table("tank/source_water").row(reading="total_chlorine", rule="tank")["good_high"]
    tested = next((told for told in tests if told.step == "chlorine"), None)
    total = tests[-1].figure("total_chlorine_mg_l") if tests else None
    if any(told.words.get("strip") == "free" for told in tests):
        yield say("batch.why.free_strip")
    elif tested is None or tested.figure("total_chlorine_mg_l") is None:
        yield say("batch.why.chlorine_not_tested")
    elif total is None:
        yield say("batch.why.not_tested_again", limit=f"{limit:g}")
    elif water_finding("total_chlorine", "tank", total) != "good":
        yield say("batch.why.chlorine", total=f"{total:g}", limit=f"{limit:g}")


def _heap(heap: HeapUse) -> Iterator[str]:
    if not heap.may_be_used:
        yield say("batch.why.heap", heap=heap.name, why=next(iter(heap.why_not), say("batch.why.heap_unknown")))


def _compost(batch: Batch) -> Iterator[str]:
    told = batch.newest("compost")
    if told is None or not told.figure("mass_kg"):
        yield say("batch.why.no_compost")


def _extraction(batch: Batch) -> Iterator[str]:
    begun, end = batch.newest("start"), batch.newest("end")
    if begun is None:
        yield say("batch.why.not_begun")
    if end is None:
        yield say("batch.why.not_ended")
    elif begun is not None and begun.at > end.at:
        yield say("batch.why.begun_after_end")


def _oxygen(batch: Batch, rules: BatchRules, at: datetime, zone: tzinfo) -> Iterator[str]:
    """The lowest reading decides: a dip that passed was a dip."""
    read = [told for told in of_the_liquid(batch) if not cannot_be(told, rules)]
    if not read:
        yield say("batch.why.no_oxygen", floor=f"{rules.oxygen_floor_mg_l:g}")
        return
    lowest = min(read, key=lambda told: told.figure("oxygen_mg_l") or 0.0)
    oxygen = lowest.figure("oxygen_mg_l") or 0.0
    if not read_near_the_end(batch):
        yield say("batch.why.oxygen_early", hours=f"{near_h():g}")
    if oxygen < rules.oxygen_floor_mg_l:
        yield say("batch.why.oxygen", oxygen=apart(oxygen, rules.oxygen_floor_mg_l, 1), at=_clock(lowest.at, at, zone),
                  floor=f"{rules.oxygen_floor_mg_l:.1f}")


def _smell(batch: Batch, at: datetime, zone: tzinfo) -> Iterator[str]:
    """Sour once is sour: no later word takes it back."""
    if any(told.words.get("smell") == "sour" for told in batch.ever("smell")):
        yield say("batch.why.sour", started=_clock(batch.started_at, at, zone))


def _lab(batch: Batch) -> Iterator[str]:
    for told in batch.told("lab"):
        if over := over_the_limit(told):
            yield say("batch.why.lab", over=over)


def _age(batch: Batch, limit_h: float, at: datetime, zone: tzinfo) -> Iterator[str]:
    end = batch.newest("end")
    if end is None or end.at > at:
        return
    hours = age_h(end.at, at)
    if hours > limit_h:
        yield say("batch.why.age", minutes=apart(hours * _MINUTES, limit_h * _MINUTES), ended=_clock(end.at, at, zone),
                  limit=f"{limit_h * _MINUTES:,.0f}")


def _read_again(batch: Batch, rules: BatchRules) -> tuple[str, ...]:
    told = batch.newest("oxygen")
    if told is None or not cannot_be(told, rules):
        return ()
    return (say("batch.read_again", oxygen=f"{told.figure('oxygen_mg_l'):g}",
                holds=f"{saturation_mg_l(told, rules):.1f}"),)


def _sums(batch: Batch, rules: BatchRules) -> BatchSums:
    water, compost, oxygen = batch.newest("water"), batch.newest("compost"), batch.newest("oxygen")
    volume = water.figure("volume_l") if water else None
    mass = compost.figure("mass_kg") if compost else None
    found = air_off(batch, rules)
    share = None
    warm = oxygen is not None and oxygen.figure("temperature_c") is not None
    if oxygen is not None and warm and not cannot_be(oxygen, rules):
        share = float(share_of_saturation_pct(oxygen.figure("oxygen_mg_l") or 0.0, saturation_mg_l(oxygen, rules)))
    return BatchSums(
        neutraliser_needed_g=_needed_g(batch, volume), share_of_saturation_pct=share,
        compost_per_water_kg_l=mass / volume if mass and volume else None,
        saturation_mg_l=saturation_mg_l(oxygen, rules) if oxygen and warm else None,
        uptake_mg_l_h=(found.uptake.rate, found.uptake.low, found.uptake.high) if found else None,
        hours_to_floor=found.hours if found else None, beyond_made_l=beyond_made_l(batch),
        tanks=tanks_evenness(batch))


def _needed_g(batch: Batch, volume_l: float | None) -> float | None:
    """By the advice that was chosen; None where the water, its total chlorine or the advice is not told."""
    told = batch.newest("neutraliser")
    if told is None:
        return None
    advice = (told.words.get("chemical", ""), told.words.get("rule", ""))
    return next((dose.mass_g for dose in neutraliser_doses(volume_l, chlorine_before_dose(batch))
                 if (dose.chemical, dose.rule) == advice), None)


def _clock(moment: datetime, now: datetime, zone: tzinfo) -> str:
    """A time of the clock, with its day where that is another than now."""
    local = moment.astimezone(zone)
    return f"{local:%H:%M}" if local.date() == now.astimezone(zone).date() else f"{local:%Y-%m-%d %H:%M}"
