"""What a laboratory told, sample by sample: the value, the healthy kind's, the ranges, and what it means."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rootcase.ground.dates import show_date
from rootcase.ground.quantity import interval, number, show, with_unit
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.compare import Comparison, LabLine, LabRange
from rootcase.records.observe import PropertyRecord, System
from rootcase.report.text.figures import ends, listed, percent, sentence
from rootcase.report.text.naming import kind_name, subjects, way_name
from rootcase.tables.readings import kinds

SENTENCES = {
    **dict.fromkeys(("nitrate_n", "ammonium_n"), "mineral_nitrogen"), **dict.fromkeys(("calcium", "magnesium"), "base"),
    **dict.fromkeys(("iron", "manganese"), "metal"), **dict.fromkeys(("sulfate_s", "zinc", "copper", "boron"), "trace"),
    "esp": "sar", **dict.fromkeys(("sand", "silt", "clay"), "texture"),
    **dict.fromkeys(("leaf_p", "leaf_k", "leaf_ca", "leaf_mg", "leaf_mn", "leaf_s", "leaf_zn", "leaf_cu", "leaf_b"),
                    "leaf"),
    **dict.fromkeys(("leaf_fe", "leaf_al"), "leaf_metal"), **dict.fromkeys(("leaf_na", "leaf_cl"), "leaf_salt")}
"""Kinds that share their sentences of what a value means and does not."""
EXCHANGED = ("calcium", "magnesium", "potassium", "cec")
_SIZE_OF_DEPTH = ("in", "cm")


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One value in words."""

    kind: str
    name: str
    here: str
    healthy: str
    ranges: tuple[str, ...]
    means: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sample in words."""

    sample_id: str
    title: str
    rows: tuple[SheetRow, ...]
    remarks: tuple[str, ...]
    """What is said once of the whole sheet."""


def of_sheet(sample_id: str) -> str:
    """Return the name under which what was told of a sample is marked.

    >>> of_sheet("s1")
    'sample/s1'
    """
    return f"sample/{sample_id}"


def sheets(record: PropertyRecord, comparison: Comparison) -> tuple[Sheet, ...]:
    """Return every sample that a laboratory told something of."""
    by_sample: dict[str, list[LabLine]] = {}
    for line in comparison.laboratory:
        by_sample.setdefault(line.sample_id, []).append(line)
    return tuple(_sheet(record, sample_id, lines) for sample_id, lines in by_sample.items())


def _sheet(record: PropertyRecord, sample_id: str, lines: Sequence[LabLine]) -> Sheet:
    system = record.property.system
    read = {line.kind for line in lines}
    remarks = [say("laboratory.ratios")] if len(read & set(EXCHANGED)) > 1 else []
    remarks += [say("laboratory.nitrogen_first")] if "leaf_n" in read else []
    return Sheet(sample_id, _title(record, sample_id), tuple(_row(line, system) for line in lines), tuple(remarks))


def _title(record: PropertyRecord, sample_id: str) -> str:
    """The sample's label, where and when it was taken, and how deep."""
    sample = next(each for each in record.samples if each.id == sample_id)
    labels, readings = subjects(record), record.of(sample_id)
    about = [labels[of] for of in (sample.tree_id or sample.place_id,) if of in labels]
    top, bottom = (next((r.value for r in readings if r.kind == f"sample_depth_{end}" and r.value is not None), None)
                   for end in ("top", "bottom"))
    if bottom is not None:
        unit = _SIZE_OF_DEPTH[record.property.system == "metric"]
        deep = show(bottom, "mm", record.property.system, _SIZE_OF_DEPTH)
        about.append(say("laboratory.down_to", bottom=deep) if top is None else say(
            "laboratory.depth", top=number(convert(top, "mm", unit)), bottom=deep))
    about.append(say("laboratory.sampled", day=show_date(max(r.day for r in readings))))
    return say("laboratory.sample", sample=sentence(sample.label), about=", ".join(about))


def _row(line: LabLine, system: System) -> SheetRow:
    name = sentence(kind_name(line.kind))
    if line.method:
        name = say("laboratory.method", kind=name, method=way_name(line.method))
    return SheetRow(line.kind, name, _here(line, system), _healthy(line, system), _ranges(line, system),
                    means(line.kind))


def lists(comparison: Comparison) -> str:
    """Return the published lists that were set beside any value, each once and in full; empty where none was."""
    cited = dict.fromkeys(about.source for line in comparison.laboratory for about in line.ranges)
    return say("laboratory.lists", sources="; ".join(cited)) if cited else ""


def means(kind: str) -> str:
    """Return what a value of this kind tells, and what it does not.

    >>> means("cec").endswith("It is neither good nor bad, and no share of it is judged.")
    True
    """
    about = SENTENCES.get(kind, kind)
    return say("laboratory.and_not", means=say(f"laboratory.means.{about}"), means_not=say(f"laboratory.not.{about}"))


def _figure(line: LabLine, value: float, system: System) -> str:
    """A value in the reader's unit alone: the other one of a laboratory's is the same by another name."""
    kind, unit = kinds()[line.kind], _unit(line, system)
    return with_unit(number(convert(value, kind.si_unit, unit)), unit)


def _unit(line: LabLine, system: System) -> str:
    return kinds()[line.kind].pair[system == "metric"]


def _here(line: LabLine, system: System) -> str:
    value = _figure(line, line.value, system)
    if line.interval is None:
        return say("laboratory.under" if line.sign == "<" else "laboratory.over", value=value)
    si_unit, unit = kinds()[line.kind].si_unit, _unit(line, system)
    low, high = (convert(end, si_unit, unit) for end in (line.interval.low, line.interval.high))
    return say("laboratory.value", value=value, interval=interval(low, high))


def _healthy(line: LabLine, system: System) -> str:
    if line.yardstick_value is None:
        return say(f"laboratory.note.{line.note}") if line.note else ""
    value = _figure(line, line.yardstick_value, system)
    if line.share:
        low, high = ends(line.share.low, line.share.high)
        return say("laboratory.share", value=value, share=percent(line.share)[0], low=low, high=high)
    if line.difference:
        si_unit, unit = kinds()[line.kind].si_unit, _unit(line, system)
        scale = convert(1.0, si_unit, unit) if si_unit != "pH" else 1.0
        by, low, high = (scale * part for part in (line.difference.mean, line.difference.low, line.difference.high))
        key = "laboratory.higher" if by >= 0 else "laboratory.lower"
        about = (low, high) if by >= 0 else (-high, -low)
        return say(key, value=value, by=number(abs(by)), interval=interval(*about))
    return say("laboratory.shown", value=value, note=say(f"laboratory.note.{line.note}")) if line.note else value


def _ranges(line: LabLine, system: System) -> tuple[str, ...]:
    if line.ranges:
        return tuple(_range(line, each, system) for each in line.ranges)
    if not line.other_methods:
        return (say("laboratory.no_range"),)
    methods = listed([way_name(method) for method in line.other_methods])
    if not line.method:
        return (say("laboratory.method_not_told", methods=methods),)
    return (say("laboratory.other_methods", method=way_name(line.method), methods=methods),)


def _range(line: LabLine, about: LabRange, system: System) -> str:
    source = about.source.partition(",")[0]
    if about.how_known.startswith("memory"):
        source = say("laboratory.memory", source=source)
    if about.verdict == "described":
        return say("laboratory.described", called=about.called, source=source, plants=about.plants)
    told = say(f"laboratory.{about.verdict}", source=source, range=_span(line, about, system), wanted=about.wanted,
               plants=about.plants)
    if about.called and about.called != about.wanted:
        told = f"{told} {say('laboratory.called', called=about.called)}"
    return told if about.sure or about.verdict == "undecided" else f"{told} {say('laboratory.not_sure')}"


def _span(line: LabLine, about: LabRange, system: System) -> str:
    si_unit, unit = kinds()[line.kind].si_unit, _unit(line, system)
    low, high = (None if end is None else number(convert(end, si_unit, unit), 3) for end in (about.low, about.high))
    if low is None or high is None:
        return say("laboratory.from", low=with_unit(low, unit)) if low is not None else say(
            "laboratory.up_to", high=with_unit(high or "", unit))
    return say("laboratory.between", low=low, high=with_unit(high, unit))
