"""What stands behind a figure: readings that could not be taken, those by which roots reach water."""

from __future__ import annotations

from dataclasses import replace

from rootcase.records.observe import Sample
from rootcase.report.pictures import draw_waterfall
from rootcase.report.screen.case import about
from rootcase.report.text import one_tree
from rootcase.report.text.cases import tree_cases
from rootcase.report.text.ledger import results_of
from rootcase.report.text.readings import rests_told
from tests.report.fixtures import casework_fixture
from tests.report.pictures.marks import root_of, texts


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


def test_bars_say_which_years_their_whole_is_the_mean_of() -> None:
    casework = casework_fixture()
    line = next(each for each in casework.comparison.trees if each.yardstick_typical_mm and len(each.years) > 1)
    explained = next(each for each in casework.explanations if each.tree_id == line.tree_id)
    words = " ".join(texts(root_of(draw_waterfall(casework.record, line.tree_id, line, explained, "wide").bare)))
    years = [year.year for year in line.years if year.yardstick_mm]
    assert f"the healthy kind’s mean over {min(years)} to {max(years)}." in words


def test_a_trunk_in_doubt_is_told_as_that() -> None:
    record = casework_fixture().record
    tree = record.trees[0]
    dbh = replace(record.readings[0], id="dbh", kind="dbh", of=tree.id, value=9999.0, doubts=("very thick",),
                  choice=None, nothing=None)
    others = tuple(each for each in record.readings if each.kind != "dbh")
    assert about(replace(record, readings=(*others, dbh)), tree).endswith(", in doubt")
    assert not about(replace(record, readings=(*others, replace(dbh, doubts=()))), tree).endswith(", in doubt")
