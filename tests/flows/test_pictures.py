"""The demonstration's pictures, in every layout, with no label on another."""

import pytest

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.report.pictures import (
    draw_frontier,
    draw_plan,
    draw_remedies,
    draw_section,
    draw_shares,
    draw_shoots,
    draw_waterfall,
)
from rootcase.services.demo import DAY, SEED
from rootcase.services.prescribe import prescribe_property
from rootcase.services.run import Run
from tests.web.conftest import DRAWS, desk_folder, desk_results

__all__ = ["desk_folder", "desk_results"]  # fixtures, told to pytest by being named here


@pytest.fixture(scope="module", params=[0, 1], ids=["school ground", "streets"])
def casework(request, desk_folder, desk_results):
    with open_fieldbook(desk_folder / "demo.sqlite") as fieldbook:
        run = Run(DAY, DRAWS, SEED, 2, results=desk_results)
        return prescribe_property(fieldbook, fieldbook.properties()[request.param], run)


@pytest.mark.parametrize("layout", ["wide", "column", "phone"])
def test_no_label_lies_on_another(casework, layout):
    record, prescribed = casework.record, {p.tree_id: p for p in casework.plan.trees}
    explained = {e.tree_id: e for e in casework.explanations}
    pictures = [draw_shares(record, casework.comparison, layout), draw_plan(record, casework.plan, layout),
                draw_frontier(record, casework.plan, layout)]
    for compared in casework.comparison.trees:
        tree = compared.tree_id
        pictures += [draw_shoots(record, tree, compared, layout),
                     draw_section(record, tree, compared, explained[tree], layout),
                     draw_waterfall(record, tree, compared, explained[tree], layout),
                     draw_remedies(record, tree, compared, explained[tree], prescribed[tree], layout)]
    assert [fault for picture in pictures for fault in picture.faults] == []
