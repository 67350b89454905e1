"""The demonstration's pictures, in every layout, with no label on another."""

from datetime import UTC, datetime

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
from rootcase.services.demo import DAY, SEED, import_demo
from rootcase.services.prescribe import prescribe_property
from rootcase.services.run import Run


@pytest.fixture(scope="module", params=[0, 1], ids=["school ground", "streets"])
def casework(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp("book")
    with open_fieldbook(folder / "book.sqlite", now=lambda: datetime(2016, 1, 15, tzinfo=UTC)) as fieldbook:
        import_demo(fieldbook, folder / "demo")
        return prescribe_property(fieldbook, fieldbook.properties()[request.param], Run(DAY, 300, SEED, 2))


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
