"""The stage Explain of a case page: the waterfall as rows, and which readings are worth taking next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rootcase.ground.words import say
from rootcase.records.explain import Explanation
from rootcase.records.observe import PropertyRecord, WantedReading
from rootcase.report.pdf import bars
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.figures import listed, loss, sentence
from rootcase.report.text.naming import limit_name
from rootcase.report.text.next_reading import how_told, proposed
from rootcase.report.text.readings import rests_of, rests_told
from rootcase.report.text.result import Result
from rootcase.report.text.signs import WORTH_A_LOOK, cause_name, how_to_look, looked_at, not_a_soil_case
from rootcase.report.text.statements import of_tree

_CHOICES = 3


@dataclass(frozen=True, slots=True)
class Step:
    """One row of the waterfall's table."""

    name: str
    figure: str
    interval: str
    rests_on: str
    about: str
    """Name of the result, by which its trace is found; empty where it has none."""


@dataclass(frozen=True, slots=True)
class Worth:
    """A reading worth taking next."""

    kind: str
    what: str
    how: str
    settles: str
    wanted: WantedReading | None
    """Where it is on the next visit's list already."""


def steps(case: TreeCase, record: PropertyRecord) -> list[Step]:
    """Return the waterfall from the yardstick down to the tree as measured, and what each step rests on."""
    explanation = case.explanation
    if explanation is None:
        return []
    rests = {f"{explanation.tree_id}/limit.{step.limit}": rests_told(
        rests_of(step, explanation), step.assumed, record, case.tree)
             for step in explanation.limits}
    if case.comparison:
        rests[f"{explanation.tree_id}/share"] = rests_told(case.comparison.reading_ids, (), record,
                                                             case.tree)
    found = []
    for row in bars.waterfall(explanation):
        if row["form"] == "inner":  # the row in words; here each part has a row and a trace of its own
            found += [Step(say("case.of_water", part=say(f"terminal.water.{part.part}")), *loss(part.points), "",
                           of_tree(explanation.tree_id, f"water.{part.part}")) for part in explanation.water_parts]
        else:
            found.append(Step(row["name"], row["figure"], row["interval"], rests.get(row["about"], ""), row["about"]))
    return found


def conditioned_steps(explanation: Explanation, results: Mapping[str, Result]) -> list[Step]:
    """Return the limits once more, the growth itself taken in, and a cause outside the soil; none where no growth was
    read."""
    if explanation.conditioned is None:
        return []
    after = sorted(explanation.conditioned.limits, key=lambda step: -step.points.mean)
    rows = [(sentence(limit_name(step.limit)), str(step.limit)) for step in after if not step.same_as_yardstick]
    rows += [(say("case.conditioned.other"), "other"), (say("case.conditioned.chance"), "chance")]
    names = [(name, of_tree(explanation.tree_id, f"conditioned.{about}")) for name, about in rows]
    return [Step(name, results[about].figure, results[about].interval, "", about) for name, about in names]


def worth_reading(case: TreeCase, wanted: Sequence[WantedReading]) -> list[Worth]:
    """Return three readings at most: where a cause outside the soil leads the look at its signs first."""
    asked = {each.kind: each for each in wanted if each.tree_id == case.tree.id}
    found = _look(case.explanation, asked) if case.explanation else []
    first, best = {each.kind for each in found}, proposed(case.explanation) if case.explanation else ()
    found += [Worth(reading.kind, sentence(looked_at(reading.kind)), how_told(reading),
                    say("case.next.settles", share=f"{100 * reading.share_removed:.0f}"), asked.pop(reading.kind, None))
              for reading in best if reading.kind not in first]
    others = [Worth(kind, sentence(looked_at(kind)), "", "", each) for kind, each in asked.items()]
    return [*found[:_CHOICES], *(each for each in found[_CHOICES:] if each.wanted), *others]


def _look(explanation: Explanation, asked: dict[str, WantedReading]) -> list[Worth]:
    look = explanation.signs.look if explanation.signs and not_a_soil_case(explanation) else None
    if look is None or look.bits < WORTH_A_LOOK:
        return []
    parted = listed([cause_name(cause) for cause in look.between])
    return [Worth(look.kind, sentence(looked_at(look.kind)), how_to_look(look), say("case.next.parts", causes=parted),
                  asked.pop(look.kind, None))]
