"""Pests in words: what was counted, the plant's threshold apart from the eye's, what follows, which look is due."""

from __future__ import annotations

from dataclasses import dataclass

from rootcase.ground.dates import count_days, show_date
from rootcase.ground.quantity import interval, number, show
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.pests import DegreeDays, PestCount, PestFinding, PestLook, Pests, TreePests
from rootcase.report.text.figures import listed, sentence
from rootcase.report.text.naming import choice_name, kind_name, names, subjects
from rootcase.tables.readings import kinds

_ADVICE = {"not enough to act on": "quiet", "watch": "watch", "act on local advice": "act"}
CAUTIONS = ("helpers", "soap", "broad", "regulated")


@dataclass(frozen=True, slots=True)
class PestLines:
    """One tree: a heading a group and what stands under it."""

    tree: str
    findings: tuple[tuple[str, str], ...]
    beside: str
    """What was looked for and not there, and what somebody named."""


@dataclass(frozen=True, slots=True)
class LookLine:
    """One stage of a pest: what, when, where, what to read."""

    what: str
    when: str
    trees: str
    read: str


def trees_in_words(record: PropertyRecord, pests: Pests) -> list[PestLines]:
    """Return every tree at which something was looked for, in the order of the record."""
    labels = subjects(record)
    return [PestLines(sentence(labels[tree.tree_id]), tuple(_finding(finding) for finding in tree.findings),
                      _beside(tree)) for tree in pests.trees]


def looks_in_words(record: PropertyRecord, pests: Pests) -> list[LookLine]:
    """Return the looks, due ones first; those of a pest whose days nobody can tell say so."""
    labels = subjects(record)
    return [LookLine(say("pests.look.what", pest=sentence(look.pest), stage=look.stage), _when(look, record),
                     names([labels[tree] for tree in look.tree_ids]), _to_read(look)) for look in pests.looks]


def warmth_in_words(record: PropertyRecord, pests: Pests) -> list[str]:
    """Return how warm the year was so far and what the dates rest on."""
    if pests.degree_days is None:
        return [say("pests.warmth.not_known"), *pests.weather_told]
    told = [_so_far(pests.degree_days, record)]
    told += pests.weather_told
    if pests.forecast_days:
        told.append(say("pests.warmth.forecast", days=count_days(pests.forecast_days)))
    told.append(say("pests.warmth.ahead", years=pests.earlier_years) if pests.earlier_years
                else say("pests.warmth.no_years"))
    return told


def not_looked(record: PropertyRecord, pests: Pests) -> str:
    """Return the trees at which no pest was looked for; empty where there are none."""
    labels = subjects(record)
    left = [labels[tree] for tree in pests.not_looked]
    return say("pests.not_looked", trees=names(left)) if left else ""


def cautions() -> list[str]:
    """Return what stands beside every count and every look."""
    return [say(f"pests.caution.{caution}") for caution in CAUTIONS]


def _finding(finding: PestFinding) -> tuple[str, str]:
    group = say(f"pests.group.{finding.group}")
    advice = _ADVICE[finding.verdict]
    parts = [_counted(finding.counted), _thresholds(finding),
             *(say(f"pests.reason.{reason}") for reason in finding.reasons),
             say(f"pests.act.{finding.group}") if advice == "act" else say(f"pests.advice.{advice}"),
             say("pests.again", day=show_date(finding.look_again))]
    return say("pests.headline", group=group, verdict=finding.verdict), " ".join(parts)


def _counted(counts: tuple[PestCount, ...]) -> str:
    newest = max(count.day for count in counts)
    return say("pests.counted", day=show_date(newest), counts="; ".join(_count(count) for count in counts))


def _count(count: PestCount) -> str:
    if count.choice is not None:
        return say("pests.count", kind=kind_name(count.kind), value=choice_name(count.kind, count.choice))
    unit = kinds()[count.kind].si_unit
    value = number(count.value) if kinds()[count.kind].value_type == "count" else show(count.value, unit, "us")
    return say("pests.count", kind=kind_name(count.kind), value=value)


def _thresholds(finding: PestFinding) -> str:
    if finding.group in ("borers", "wilt"):
        return say("pests.threshold.no_tolerable")
    plant = say("pests.threshold.plant", share=show(finding.plant_from, "1", "us")) if finding.plant_from else say(
        "pests.threshold.plant_not_known")
    eye = say("pests.threshold.eye", share=show(finding.eye_from, "1", "us")) if finding.eye_from else ""
    return f"{plant} {eye}".strip()


def _beside(tree: TreePests) -> str:
    parts = [say("pests.clean", kinds=listed([kind_name(kind) for kind in tree.clean]))] if tree.clean else []
    if tree.named:
        parts.append(say("pests.named", names=listed([f"“{name}”" for name in tree.named])))
    return " ".join(parts)


def _when(look: PestLook, record: PropertyRecord) -> str:
    window = say("pests.look.window", degree_days=_degree_days(look.from_c_day, look.to_c_day, record))
    if look.first is None:
        told = say(f"pests.look.{'not_reached' if look.state == 'not reached' else 'not_known'}")
    elif look.last is None:
        told = say(f"pests.look.{look.state}_open", first=show_date(look.first))
    else:
        told = say(f"pests.look.{look.state}", first=show_date(look.first), last=show_date(look.last))
    cue = say(f"pests.cue.{look.cue}") if look.cue else ""
    return " ".join(part for part in (told, window, cue) if part)


def _to_read(look: PestLook) -> str:
    return listed([kind_name(kind) for kind in look.kinds])


def _degree_days(least_c_day: float, most_c_day: float, record: PropertyRecord) -> str:
    fahrenheit = interval(*(convert(end, "degC_day", "degF_day") for end in (least_c_day, most_c_day)))
    first = "us" if record.property.system == "us" else "metric"
    return say(f"pests.degree_days.{first}", fahrenheit=fahrenheit, celsius=interval(least_c_day, most_c_day))


def _so_far(days: DegreeDays, record: PropertyRecord) -> str:
    told = say("pests.warmth.so_far", since=show_date(days.since),
               sum=_degree_days(days.least_c_day, days.most_c_day, record))
    if not days.days_lacking:
        return told
    ends = say("pests.warmth.observed_to", day=show_date(days.observed_to)) if days.observed_to else say(
        "pests.warmth.none_observed")
    return f"{told} {say('pests.warmth.lacking', days=count_days(days.days_lacking))} {ends}"
