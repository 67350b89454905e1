"""The mass balance of a batch: compost by count against extract by count."""

from __future__ import annotations

from collections.abc import Sequence

from rootcase.ground.units import convert
from rootcase.records.make.balance import Balance, Lacking
from rootcase.records.make.batch import Batch
from rootcase.records.make.slide import Slide, SlideCount, Span
from rootcase.science.compost.material import dry_mass_kg
from rootcase.science.tank.batch import expected_per_ml, recovery

Counted = tuple[Slide, SlideCount | None]
_PER_G = {"1/mL": "1/g", "m/mL": "m/g"}


def mass_balance(batch: Batch, extract: Sequence[Counted], compost: Sequence[Counted],
                 moisture_pct: float | None) -> Balance:
    """Which part of what was counted in the compost is in the extract?

    Parameters
    ----------
    batch : as it stands.
    extract : slides of it with what they come to, newest first.
    compost : slides of its heap, likewise.
    moisture_pct : of the compost as weighed; None: not measured. [%]

    Returns
    -------
    Balance: recovery [-] with its ends, or what is missing for it.

    Raises
    ------
    OutOfRange : a figure leaves its range.

    Notes
    -----
    Only slides of one method, operator, kind and constant are set against each other: the newest such two. Counts in
    compost are per dry gram and are turned back by the moisture. The ends are those of both intervals at their worst.

    References
    ----------
    `expected_per_ml`, `recovery` (computed).

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> batch = Batch(id="b", number=1, heap_id="h", started_at=datetime(2016, 5, 3, tzinfo=UTC), by="rs", steps=(),
    ...               judgement=None, loads=())
    >>> mass_balance(batch, (), (), 50.0).lacking
    ('mass', 'volume', 'extract_slide', 'heap_slide')
    """
    told, end, water = batch.newest("compost"), batch.newest("end"), batch.newest("water")
    mass_kg = told.figure("mass_kg") if told else None
    volume_l = (end.figure("volume_l") if end else None) or (water.figure("volume_l") if water else None)
    pair = next(((liquid, there, slide.counted) for slide, count in extract for heap, other in compost
                 if _alike(slide, heap) and (liquid := _span(count, tuple(_PER_G))) is not None
                 and (there := _span(other, (_PER_G[liquid.unit],))) is not None), None)
    asked: tuple[tuple[Lacking, bool], ...] = (
        ("mass", bool(mass_kg)), ("volume", bool(volume_l)), ("moisture", moisture_pct is not None),
        ("extract_slide", bool(extract)), ("heap_slide", bool(compost)),
        ("alike", pair is not None or not (extract and compost)))
    lacking = tuple(name for name, there in asked if not there)
    if lacking or pair is None or mass_kg is None or volume_l is None or moisture_pct is None:
        return Balance(lacking=lacking)
    liquid, there, counted = pair
    dry = float(dry_mass_kg(1.0, moisture_pct))
    grams, millilitres = convert(mass_kg, "kg", "g"), convert(volume_l, "L", "mL")
    could = [float(expected_per_ml(end * dry, grams, millilitres)) for end in (there.value, there.low, there.high)]
    expected = Span(could[0], could[1], could[2], liquid.unit)
    if not expected.low > 0.0:
        return Balance(lacking=("heap_slide",))
    share = Span(float(recovery(liquid.value, expected.value)), float(recovery(liquid.low, expected.high)),
                 float(recovery(liquid.high, expected.low)), "1")
    return Balance(recovery=share, counted=counted, expected=expected)


def _alike(one: Slide, other: Slide) -> bool:
    return ((one.method, one.by, one.counted, one.constant, one.repeat_of)
            == (other.method, other.by, other.counted, other.constant, other.repeat_of))


def _span(count: SlideCount | None, units: Sequence[str]) -> Span | None:
    """The count in one of these units, where its interval has ends."""
    return next((span for span in count.numbers if span.unit in units and span.high < float("inf")),
                None) if count else None
