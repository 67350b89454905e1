"""What a count under the microscope comes to: numbers, lengths and mass with their intervals."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import inf, isinf

import numpy as np

from rootcase.casework.make.slide_mass import weighed
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.make.slide import Bound, GroupShare, Method, Scatter, Slide, SlideCount, Span
from rootcase.science.lanes import Lanes, Numbers
from rootcase.science.microscope import clumping, combining, crossings, effort, geometry, nematodes, poisson
from rootcase.science.microscope.methods import methods
from rootcase.science.microscope.mpn import mpn

CONFIDENCE = 0.95
AIMED_AT = 0.2
"""Half width of the interval over the mean that is aimed at. JUDGEMENT: 97 objects where they lie at random."""
CLUMPED_BELOW = 0.2
"""Chance of the scatter under which clumps are reckoned with. JUDGEMENT: few fields show clumps badly."""
HUNDRED_GRAMS = "1/100g"

_Ends = tuple[float, float, float]
_Per = Callable[[float], Lanes]


def counted(slide: Slide, aimed_at: float = AIMED_AT) -> SlideCount:
    """What a slide comes to.

    Parameters
    ----------
    slide : with its counts and geometry.
    aimed_at : half width of the interval over the mean that is aimed at. [1], 0.01 to 1

    Returns
    -------
    SlideCount: numbers [1/mL], [1/g], [1/100 g], lengths [m/mL], [m/g] and mass [ug/mL], [ug/g], each at 95 %; fields
    still needed; what the method does not show.

    Raises
    ------
    Missing : a figure of the geometry that this method needs, or nothing was counted that it can be reckoned from.
    OutOfRange : a value leaves its range.

    Notes
    -----
    Exact limits where the fields scatter no more than chance allows, clumped ones where they do. No number has a
    desired range, and no two are set in a ratio.

    References
    ----------
    Tables and functions of science/microscope; the choice of the interval: JUDGEMENT.

    Examples
    --------
    >>> from datetime import date
    >>> from rootcase.records.make.batch import Figure
    >>> from rootcase.records.make.slide import SlideRow
    >>> found = counted(Slide(id="s", method="chamber", source="soil", source_id="bed", counted="cells", by="rs",
    ...     day=date(2016, 5, 3), rows=(SlideRow(counts=(45, 45)),),
    ...     figures=(Figure("square_mm2", 1.0), Figure("depth_mm", 0.1), Figure("dilution", 5.0))))
    >>> found.numbers[0].value, found.numbers[0].unit, found.still_needed
    (2250000.0, '1/mL', 1)
    """
    if slide.method == "tubes":
        return _tubes(slide, aimed_at)
    ends, scatter, p = _smear(slide) if slide.method == "smear" else _photos(slide) if slide.method == "photos" \
        else _mean(_counts(slide))
    numbers, counts = _numbers(slide, ends), _counts(slide)
    in_rings = slide.method == "smear" and len(slide.rows) > 1
    unit = "mm" if slide.method == "photos" else ""
    return SlideCount(
        slide_id=slide.id, method=slide.method, fields=len(slide.photos) if slide.method == "photos" else len(counts),
        counted=sum(counts), scatter=scatter, per_field=Span(*ends, unit), numbers=numbers,
        weighed=weighed(slide, numbers), groups=_groups(slide), p_clumped=p, still_needed=_still(counts, aimed_at),
        aimed_at=aimed_at, plain_mean=float(np.mean(counts)) if in_rings else None,
        mended=any(photo.mended_mm is not None for photo in slide.photos), not_shown=not_shown(slide.method))


def not_shown(method: Method) -> str:
    """What does a count by this method not show?

    Parameters
    ----------
    method : of the table.

    Returns
    -------
    str, which stands beside every count.

    Raises
    ------
    Missing : no such method.

    Notes
    -----
    Never left out, neither on a page nor in print.

    References
    ----------
    Table microscope/methods.

    Examples
    --------
    >>> not_shown("tubes").startswith("what does not grow")
    True
    """
    found = next((each for each in methods() if each.name == method), None)
    if found is None:
        raise Missing(say("slide.no_method"), value=method, right=", ".join(each.name for each in methods()))
    return found.not_shown


def _counts(slide: Slide) -> list[int]:
    """By field; of the feeding groups together, field by field."""
    if slide.method == "sieve":
        if len({len(row.counts) for row in slide.rows}) > 1:
            raise Missing(say("slide.uneven_rows"), right=say("slide.right_rows"))
        return [sum(each) for each in zip(*(row.counts for row in slide.rows), strict=True)]
    return [count for row in slide.rows for count in row.counts]


def _mean(counts: Sequence[int]) -> tuple[_Ends, Scatter, float | None]:
    """Of one field, with the interval that its scatter asks for."""
    if not counts:
        raise Missing(say("slide.no_counts"), right=say("slide.right_counts"))
    if not any(counts):
        return (0.0, 0.0, poisson.most_when_none_seen(CONFIDENCE) / len(counts)), "none seen", None
    mean = float(np.mean(counts))
    p = clumping.dispersion(counts).p_clumped if len(counts) > 1 else None
    if p is not None and p < CLUMPED_BELOW:
        return (mean, *clumping.clumped_limits(counts, CONFIDENCE)), "clumped", p
    low, high = (float(end) / len(counts) for end in poisson.poisson_limits(sum(counts), CONFIDENCE))
    return (mean, low, high), "exact", p


def _smear(slide: Slide) -> tuple[_Ends, Scatter, float | None]:
    """Of a smear in rings the mean by their areas; of one that dried evenly as of any fields."""
    counts = _counts(slide)
    if len(slide.rows) < 2 or not any(counts):
        return _mean(counts)
    if any(len(row.counts) < 2 for row in slide.rows):
        raise Missing(say("slide.few_in_ring"), right=say("slide.right_in_ring"))
    rings = ([need(slide, row.figure("inner_mm"), "inner_mm") for row in slide.rows],
             [need(slide, row.figure("outer_mm"), "outer_mm") for row in slide.rows],
             [float(np.mean(row.counts)) for row in slide.rows],
             [float(np.std(row.counts, ddof=1)) for row in slide.rows], [len(row.counts) for row in slide.rows])
    mean, _ = combining.ring_weighted_mean(*rings)
    return (mean, *combining.ring_weighted_limits(*rings, CONFIDENCE)), "rings", None


def _photos(slide: Slide) -> tuple[_Ends, Scatter, float | None]:
    """Of one photo; mended lengths stand for what was measured."""
    if not slide.photos:
        raise Missing(say("slide.no_photo_yet"), right=say("slide.right_photo"))
    lengths = [photo.length_mm if photo.mended_mm is None else photo.mended_mm for photo in slide.photos]
    if len(lengths) > 1:
        # of a mended length nothing says how far it is off: no nearer than the measured one
        lows = [max(length - (photo.length_mm - photo.low_mm), 0.0)
                for length, photo in zip(lengths, slide.photos, strict=True)]
        highs = [length + (photo.high_mm - photo.length_mm)
                 for length, photo in zip(lengths, slide.photos, strict=True)]
        ends = clumping.measured_mean_limits(lengths, lows, highs, CONFIDENCE)
        return (float(np.mean(lengths)), *ends), "fields", None
    only = slide.photos[0]
    ends = (only.low_mm, only.high_mm) if only.mended_mm is None else (0.0, inf)  # nothing says how far it is off
    return (lengths[0], *ends), "photo", None


def _still(counts: Sequence[int], aimed_at: float) -> int | None:
    return effort.fields_still_needed(counts, aimed_at, CONFIDENCE) if len(counts) > 1 and any(counts) else None


def _numbers(slide: Slide, ends: _Ends) -> tuple[Span, ...]:
    """Per millilitre of the liquid, and per gram where it is told how much was shaken up."""
    if slide.method == "sieve":
        return (_span(_hundred_grams(slide), ends, HUNDRED_GRAMS),)
    length = slide.method in ("crossings", "photos")
    unit = "m" if length else "1"
    if length and slide.figure("filter_mm2") is not None:
        return (_span(_on_filter(slide), ends, "m/g"),)
    per_ml = _per_ml(slide)
    mass_g, suspension_ml = slide.figure("mass_g"), slide.figure("suspension_ml")
    spans = [_span(per_ml, ends, f"{unit}/mL")]
    if mass_g is not None:
        whole_ml = need(slide, suspension_ml, "suspension_ml")
        spans.append(_span(lambda mean: geometry.number_per_gram(per_ml(mean), whole_ml, mass_g),
                           ends, f"{unit}/g"))
    return tuple(spans)


def _per_ml(slide: Slide) -> _Per:
    dilution = slide.figure("dilution") or 1.0
    recovery = slide.figure("recovery") or 1.0
    volume_ml = _volume_ml(slide)
    if slide.method in ("crossings", "photos"):
        return lambda mean: geometry.corrected_for_recovery(
            crossings.length_per_ml_m(_millimetres(slide, mean), volume_ml, dilution), recovery)
    return lambda mean: geometry.corrected_for_recovery(geometry.number_per_ml(mean, volume_ml, dilution), recovery)


def _on_filter(slide: Slide) -> _Per:
    return lambda mean: crossings.length_per_gram_m(
        _millimetres(slide, mean), _area_mm2(slide), slide.figure("filter_mm2") or 0.0,
        need(slide, slide.figure("filtered_g"), "filtered_g"))


def _hundred_grams(slide: Slide) -> _Per:
    aliquot_ml, extract_ml, dry_g = (need(slide, slide.figure(name), name)
                                     for name in ("aliquot_ml", "extract_ml", "mass_g"))
    return lambda mean: nematodes.nematodes_per_100_g(mean, aliquot_ml, extract_ml, dry_g,
                                                      slide.figure("recovery") or 1.0)


def _millimetres(slide: Slide, mean: float) -> Numbers:
    """Of hyphae in a field: photos tell it, crossings times the grid's geometry do."""
    if slide.method == "photos":
        return mean
    area = _area_mm2(slide)
    mesh = need(slide, slide.figure("mesh_mm"), "mesh_mm")
    return crossings.newman_length_mm(mean, area, crossings.line_length_mm(area, mesh))


def _volume_ml(slide: Slide) -> Numbers:
    area = _area_mm2(slide)
    if slide.method == "chamber":
        return geometry.counted_volume_ml(area, need(slide, slide.figure("depth_mm"), "depth_mm"))
    return geometry.drop_in_field_ml(area, _spread_mm2(slide), need(slide, slide.figure("drop_ul"), "drop_ul"))


def _area_mm2(slide: Slide) -> Numbers:
    """Of one field, square or photo."""
    if slide.method == "photos":
        return slide.photos[0].area_mm2
    square = slide.figure("square_mm2")
    if square is not None or slide.method in ("chamber", "crossings"):
        return need(slide, square, "square_mm2")
    return geometry.circle_area_mm2(geometry.field_diameter_mm(
        need(slide, slide.figure("field_number_mm"), "field_number_mm"),
        need(slide, slide.figure("objective"), "objective")))


def _spread_mm2(slide: Slide) -> Numbers:
    """Under the cover slip, or of the smear to its outermost ring."""
    rims = [rim for row in slide.rows if (rim := row.figure("outer_mm")) is not None]
    return geometry.circle_area_mm2(2.0 * max(rims)) if rims else need(slide, slide.figure("spread_mm2"), "spread_mm2")


def need(slide: Slide, value: float | None, name: str) -> float:
    """The figure, which this method cannot do without.

    Parameters
    ----------
    slide : it belongs to.
    value : as told; None: not told. [any unit]
    name : how it is called.

    Returns
    -------
    float. [unit of the value]

    Raises
    ------
    Missing : it was not told.

    Notes
    -----
    Nothing is put in the place of a geometry that nobody measured.

    References
    ----------
    None: a rule of this house.

    Examples
    --------
    >>> need(None, 0.1, "depth_mm")
    0.1
    """
    if value is None:
        raise Missing(say("slide.needs", what=say(f"slide.ask.{name}")), where=say(f"slide.method.{slide.method}"),
                      right=say("slide.right_needs"))
    return value


def _span(per: _Per, ends: _Ends, unit: str) -> Span:
    """The ends go through what is proportional to the count; an end that nothing bounds stays so."""
    value, low, high = (end if isinf(end) else float(per(end)) for end in ends)
    return Span(value, low, high, unit)


def _groups(slide: Slide) -> tuple[GroupShare, ...]:
    numbers = {row.label: sum(row.counts) for row in slide.rows if row.label in nematodes.GROUPS}
    if slide.method != "sieve" or not any(numbers.values()):
        return ()
    shares = nematodes.feeding_group_shares(numbers, CONFIDENCE)
    return tuple(GroupShare(group, numbers.get(group, 0), each.share, each.low, each.high)
                 for group, each in shares.items())


def _tubes(slide: Slide, aimed_at: float) -> SlideCount:
    inoculum = [need(slide, row.figure("inoculum_ml"), "inoculum_ml") for row in slide.rows]
    tubes = [need(slide, row.figure("tubes"), "tubes") for row in slide.rows]
    positive = [sum(row.counts) for row in slide.rows]
    if not positive:
        raise Missing(say("slide.no_tubes"), right=say("slide.right_tubes"))
    found = mpn(inoculum, tubes, positive, CONFIDENCE)
    bound: Bound = "fewer" if found.number == 0.0 else "more" if isinf(found.number) else ""
    value = {"fewer": found.least, "more": found.most, "": found.number}[bound]
    ends = (value, found.low, found.high)
    spans = [Span(*ends, "1/mL")]
    mass_g = slide.figure("mass_g")
    if mass_g is not None:
        whole_ml = need(slide, slide.figure("suspension_ml"), "suspension_ml")
        spans.append(_span(lambda end: geometry.number_per_gram(end, whole_ml, mass_g), ends, "1/g"))
    return SlideCount(
        slide_id=slide.id, method=slide.method, fields=int(sum(tubes)),
        counted=sum(positive), scatter="tubes", per_field=None, numbers=tuple(spans),
        aimed_at=aimed_at, bound=bound, rarity=found.rarity, not_shown=not_shown(slide.method))
