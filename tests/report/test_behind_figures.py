"""What stands behind a figure: readings that could not be taken, those by which roots reach water."""

from __future__ import annotations

from dataclasses import replace

from rootcase.records.observe import Sample
from rootcase.report.text import one_tree
from rootcase.report.text.cases import tree_cases
from rootcase.report.text.ledger import results_of
from rootcase.report.text.readings import rests_told
from tests.report.fixtures import casework_fixture


def test_what_was_read_and_could_not_be_taken_is_not_told_as_not_looked_at() -> None:
    casework = casework_fixture()
    tree, record = casework.record.trees[0], casework.record
    sample = Sample("s", record.property.id, "lawn soil", tree.id, tree.place_id)
    ph = replace(record.readings[0], id="ph", kind="soil_ph", of="s", value=7.1, choice=None, nothing=None)
    read = replace(record, samples=(sample,), readings=(*record.readings, ph))
    case = tree_cases(casework)[0]
    assert case.explanation
    case = replace(case, explanation=replace(case.explanation, missing=("soil_ph", "ece")))
    before, after = (one_tree.not_looked_at(case, each) for each in (record, read))
    assert "soil pH" in before.split("Read, but")[0]
    looked, taken = after.split("Read, but not in a way that can be taken")
    assert "soil pH" not in looked
    assert "soil pH" in taken
    assert rests_told((), ("soil_ph", "ece"), read, tree).startswith("read, but not in a way that can be taken")
    assert rests_told((), ("soil_ph",), record, tree).startswith("nobody read")


def test_behind_water_stand_the_probes_by_which_roots_reach_it() -> None:
    casework = casework_fixture()
    explained = casework.explanations[0]
    limits = tuple(replace(step, rests_on=("turf",) if step.limit == "water" else
                           ("probe",) if step.limit == "strength" else ()) for step in explained.limits)
    case = replace(tree_cases(casework)[0], explanation=replace(explained, limits=limits))
    results = results_of(casework, (case,))
    assert results[f"{case.tree.id}/limit.water"].readings == ("turf", "probe")
    assert results[f"{case.tree.id}/limit.strength"].readings == ("probe",)
