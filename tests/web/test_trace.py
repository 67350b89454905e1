"""Every figure leads back to readings, people, days and pages; a reading is put right on its own page."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from html import unescape
from pathlib import Path
from shutil import copy
from urllib.parse import unquote

import pytest
from fastapi.testclient import TestClient

from rootcase.casework.species import growth_class_of
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.records.report import Casework
from rootcase.report.text.cases import tree_cases
from rootcase.report.text.course import frontier_rows
from rootcase.report.text.ledger import results_of
from rootcase.services import people
from rootcase.services.decided import rows_behind
from rootcase.services.trace import figures_of, marked, reading_story, trace
from rootcase.web.app import create_app
from rootcase.web.desk import OWN, Desk
from tests.web.conftest import DRAWS, NOW


@pytest.fixture(scope="module")
def casework(desk_app: TestClient) -> Casework:
    desk: Desk = desk_app.app.state.desk  # type: ignore[attr-defined]
    kept = desk.kept(OWN, next(iter(desk.grounds(OWN).values())))
    assert kept.casework is not None
    return kept.casework


@pytest.fixture
def own_desk(desk_folder: Path, desk_results: Path, tmp_path: Path) -> Iterator[TestClient]:
    """A desk whose readings may be put right."""
    copy(desk_folder / "demo.sqlite", tmp_path / "demo.sqlite")
    desk = Desk(tmp_path / "demo.sqlite", lambda: NOW, tmp_path / "results", demo=True, draws=DRAWS)
    # Without its start: nothing is computed here.
    yield TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"})
    desk.close()


def test_every_figure_of_a_casework_has_its_page(desk_app: TestClient, casework: Casework) -> None:
    ground = casework.record.property
    results = results_of(casework, tree_cases(casework))
    assert len(results) > 80
    for name, result in list(results.items())[::9]:
        answer = desk_app.get(f"/properties/{ground.id}/figures/{name}")
        assert answer.status_code == 200, name
        text = unescape(answer.text)
        assert result.what in text
        assert result.figure in text
        for reading_id in result.readings:
            assert f"/readings/{reading_id}" in text


def test_a_figure_tells_person_day_cell_and_page_of_source(desk_app: TestClient, casework: Casework) -> None:
    tree = casework.comparison.trees[0]
    reading = next(each for each in casework.record.readings if each.id == tree.reading_ids[0])
    answer = desk_app.get(f"/properties/{casework.record.property.id}/figures/{tree.tree_id}/share")
    text = unescape(answer.text).replace("\N{NO-BREAK SPACE}", " ")
    for told in (reading.typed, reading.observer, re.sub(r"\d+$", "", reading.source), "/practice/tables/"):
        assert told in text


def test_a_mark_of_the_report_leads_to_its_figure(desk_app: TestClient, casework: Casework) -> None:
    ground = casework.record.property
    answer = desk_app.get(f"/properties/{ground.id}/marks", params={"mark": " A02 "}, follow_redirects=False)
    assert answer.headers["location"] == f"/properties/{ground.id}/figures/{marked(casework, 'a02')}"
    wrong = desk_app.get(f"/properties/{ground.id}/marks", params={"mark": "<z99>"})
    assert wrong.status_code == 422
    assert 'value="&lt;z99&gt;"' in wrong.text
    assert "no figure of the newest report bears this mark" in wrong.text


@pytest.mark.parametrize("address", ["figures/nothing/share", "figures/property/nothing"])
def test_a_figure_that_was_never_reckoned(desk_app: TestClient, casework: Casework, address: str) -> None:
    answer = desk_app.get(f"/properties/{casework.record.property.id}/{address}")
    assert answer.status_code == 404
    assert "nothing of this name was reckoned" in answer.text


def test_a_reading_is_put_right_and_its_figure_says_so(own_desk: TestClient, casework: Casework) -> None:
    desk: Desk = own_desk.app.state.desk  # type: ignore[attr-defined]
    ground = casework.record.property
    share = casework.comparison.trees[0]
    old = next(each for each in casework.record.readings if each.id == share.reading_ids[0])
    page = own_desk.get(f"/readings/{old.id}")
    assert f'value="{old.typed}"' in unescape(page.text)

    wrong = own_desk.post(f"/readings/{old.id}/correct", data={"typed": "a lot", "reason": "slip"})
    assert wrong.status_code == 422
    assert 'value="a lot"' in wrong.text

    answer = own_desk.post(f"/readings/{old.id}/correct", data={"typed": "20 mm", "reason": "looked_again"})
    text = unescape(answer.text)
    assert answer.status_code == 200
    assert f"Read as {old.typed}" in text
    assert "Corrected to 20 mm" in text
    assert "desk demo: looked again" in text
    with open_fieldbook(desk.path) as book:
        assert [each.typed for each in book.history(old.id).said] == [old.typed, "20 mm"]

    no_why = own_desk.post(f"{answer.url.path}/take-back", data={"why": " "})
    assert no_why.status_code == 422
    assert "say why it is taken back" in no_why.text
    for way, name in (("correct", "typed"), ("take-back", "why")):
        long = own_desk.post(f"{answer.url.path}/{way}", data={name: "long words " * 40, "reason": "looked_again"})
        assert long.status_code == 422
        assert f'value="{"long words " * 40}"' in long.text
        assert ("looked_again" in long.text.split(" selected")[0][-20:]) == (way == "correct")
    gone = own_desk.post(f"{answer.url.path}/take-back", data={"why": "wrong tree"})
    assert "is used nowhere" in gone.text
    assert own_desk.post(f"{answer.url.path}/take-back", data={"why": "again"}).status_code == 422
    assert ground.id in gone.text


def test_a_figure_tells_what_was_corrected_since(desk_folder: Path, tmp_path: Path, casework: Casework) -> None:
    share = casework.comparison.trees[0]
    name = f"{share.tree_id}/share"
    twice, gone = share.reading_ids[:2]
    copy(desk_folder / "demo.sqlite", tmp_path / "other.sqlite")
    figures = figures_of(casework)
    with open_fieldbook(tmp_path / "other.sqlite") as book:
        assert trace(book, casework, figures, name).since == ()
        assert not reading_story(book, twice, figures).reckoned_before
        book.correct(book.correct(twice, "20 mm", "slip"), "21 mm", "slip")
        book.take_back(gone, "wrong tree")
        since = trace(book, casework, figures, name).since
        assert all(reading_story(book, each, figures).reckoned_before for each in (twice, gone))
    assert [(each.reading.id, each.now and each.now.typed) for each in since] == [(twice, "21 mm"), (gone, None)]


def test_a_reading_of_nobody(desk_app: TestClient) -> None:
    for method, address in (("GET", "/readings/none"), ("POST", "/readings/none/correct"),
                            ("POST", "/readings/none/is-right")):
        assert desk_app.request(method, address, data={"why": "x"} if method == "POST" else None).status_code == 404


def test_the_crew_sees_the_work_and_no_money(desk_app: TestClient, casework: Casework,
                                             monkeypatch: pytest.MonkeyPatch) -> None:
    ground, owner = casework.record.property, people.demo_owner
    treated = casework.plan.items[0]
    addresses = {"case": f"/properties/{ground.id}/trees/{treated.tree_id}",
                 "cost": f"/properties/{ground.id}/figures/property/cost",
                 "remedy": f"/properties/{ground.id}/figures/{treated.tree_id}/remedy.{treated.remedy}"}
    assert all(ground.currency in desk_app.get(each).text for each in addresses.values())
    monkeypatch.setattr(people, "demo_owner", lambda book: replace(owner(book), role="crew", may_sign=False))
    seen = {name: desk_app.get(each) for name, each in addresses.items()}
    assert [answer.status_code for answer in seen.values()] == [200, 403, 403]
    assert "/remedy." not in seen["case"].text  # no link to what would be refused
    assert not [name for name, answer in seen.items() if ground.currency in answer.text]


@pytest.mark.parametrize("page", ["trees/{tree}", "plan"])
def test_figures_on_a_page_lead_to_results_that_are_there(desk_app: TestClient, casework: Casework, page: str) -> None:
    ground = casework.record.property.id
    seen = desk_app.get(f"/properties/{ground}/{page.format(tree=casework.plan.items[0].tree_id)}").text
    leads = {unquote(name) for name in re.findall(rf'href="/properties/{ground}/figures/([^"]+)"', seen)}
    assert len(leads) > 15
    assert leads <= results_of(casework, tree_cases(casework)).keys()


def test_every_budget_ceiling_and_hour_of_a_plan_leads_to_its_own_figure(desk_app: TestClient,
                                                                         casework: Casework) -> None:
    ground = casework.record.property.id
    answer = desk_app.get(f"/properties/{ground}/plan").text
    shown = {name: re.sub(r"<[^>]+>", "", text).strip() for name, text in re.findall(
        rf'href="/properties/{ground}/figures/property/([a-z.0-9]+)">(.*?)</a>', answer, re.DOTALL)}
    rows = frontier_rows(casework.plan)[1:]
    assert {"cost", "ceiling", "hours", *(f"budget.{row}" for row in range(1, len(rows) + 1))} == set(shown)
    for row, told in enumerate(rows, 1):
        page = unescape(desk_app.get(f"/properties/{ground}/figures/property/budget.{row}").text)
        assert shown[f"budget.{row}"] == told[0]
        assert told[0] in page
        assert told[1] in page
    ceiling = desk_app.get(f"/properties/{ground}/figures/property/ceiling").text
    told = next(each for each in casework.record.readings if each.kind == "budget_year")
    assert f"/readings/{told.id}" in ceiling


def test_every_table_of_a_figure_is_a_link_and_a_remedy_has_its_own(desk_app: TestClient, casework: Casework) -> None:
    assert casework.pests is not None
    item = casework.plan.items[0]
    at = f"/properties/{casework.record.property.id}/figures/{item.tree_id}"
    leads = {name: set(re.findall(r'href="/practice/tables/([^"]+)"', desk_app.get(f"{at}/{name}").text))
             for name in ("share", f"remedy.{item.remedy}")}
    reckoned = [*(each.table_versions for each in casework.explanations), casework.pests.table_versions]
    assert {name for versions in reckoned for name, _ in versions} <= leads["share"]
    assert "prescribe/remedies" not in leads["share"]
    assert "prescribe/remedies" in leads[f"remedy.{item.remedy}"]


def test_a_table_tells_which_casework_rests_on_it(desk_app: TestClient, casework: Casework) -> None:
    name, _ = casework.explanations[0].table_versions[0]
    at = f'href="/properties/{casework.record.property.id}"'
    for rests in (name, "prescribe/remedies"):
        assert at in desk_app.get(f"/practice/tables/{rests}").text
    nowhere = desk_app.get("/practice/tables/observe/tree_names").text
    assert at not in nowhere
    assert "of no property rests on it" in nowhere


def test_a_measure_tells_its_readings_on_both_sides(desk_app: TestClient, casework: Casework) -> None:
    line = next(each for each in casework.comparison.trees if each.yardstick_id)
    measure = next(each for each in line.measures if each.kind == "crown_dieback")
    seen = desk_app.get(f"/properties/{casework.record.property.id}/figures/{line.tree_id}/measure.crown_dieback")
    read = {reading.id: reading.of for reading in casework.record.readings if f"/readings/{reading.id}" in seen.text}
    assert read.keys() == set(measure.reading_ids)
    assert line.tree_id in read.values()
    assert len(set(read.values())) > 1


def test_a_figure_names_the_rows_that_decided_and_leads_to_them(desk_app: TestClient, casework: Casework) -> None:
    ground, record = casework.record.property.id, casework.record
    tree = next(each for each in record.trees if each.label == "oak 4")
    place = next(each.kind for each in record.places if each.id == tree.place_id)
    named = {(row.table.name, *row.cells[:2]) for row in rows_behind(casework, f"{tree.id}/limit.water")}
    assert ("explain/assumed_readings", ("place kind", place), ("quantity", "sar")) in named
    assert ("explain/reading_errors", ("reading", "bulk density"), ("kind", "added")) in named
    treated = casework.plan.items[0]
    for name in (f"{tree.id}/limit.water", f"{tree.id}/share", f"{treated.tree_id}/remedy.{treated.remedy}"):
        seen = desk_app.get(f"/properties/{ground}/figures/{name}").text
        rows = rows_behind(casework, name)
        assert rows
        for row in rows:
            assert f'href="/practice/tables/{row.table.name}#row-{row.number}"' in seen
            assert row.source
    assert 'id="row-1"' in desk_app.get("/practice/tables/species").text


def test_without_a_healthy_tree_the_row_of_the_growth_class_is_named(casework: Casework) -> None:
    line = casework.comparison.trees[0]
    alone = replace(casework, comparison=replace(casework.comparison, trees=(replace(line, basis="growth class"),)))
    named = {row.table.name: row.cells for row in rows_behind(alone, f"{line.tree_id}/share")}
    assert named["species"][0] == ("botanical name", "Quercus rubra")
    assert named["compare/growth_prior"][0] == ("growth class", growth_class_of("Quercus rubra"))
    assert rows_behind(casework, "property/cost") == ()


@pytest.mark.parametrize("system", ["us", "metric"])
def test_a_figure_stands_in_the_units_of_who_looks(desk_app: TestClient, casework: Casework, system: str,
                                                  monkeypatch: pytest.MonkeyPatch) -> None:
    owner = people.demo_owner
    monkeypatch.setattr(people, "demo_owner", lambda book: replace(owner(book), system=system))
    tree = next(each for each in casework.record.trees if each.label == "oak 4")
    at = f"/properties/{casework.record.property.id}"
    page = desk_app.get(f"{at}/trees/{tree.id}").text
    shown = re.findall(rf'href="({at}/figures/[^"]+/rootable)"><b>([^<]+)</b>', page)
    assert len(shown) == 1
    assert unescape(shown[0][1]) in unescape(desk_app.get(shown[0][0]).text)


def test_a_remedys_figure_tells_its_prices_and_no_code_words(desk_app: TestClient, casework: Casework) -> None:
    item = casework.plan.items[0]
    at = f"/properties/{casework.record.property.id}/figures"
    text = unescape(desk_app.get(f"{at}/{item.tree_id}/remedy.{item.remedy}").text)
    section = text.split("Prices of this work in the practice's book today")[1].split("</section>")[0]
    assert all(f"item={remedy}" in section for remedy in item.remedy.split("+"))
    assert "USD per" in section
    tree = next(each for each in casework.explanations if any(step.assumed for step in each.limits))
    limit = next(step.limit for step in tree.limits if step.assumed)
    rows = unescape(desk_app.get(f"{at}/{tree.tree_id}/limit.{limit}").text).split("The rows of tables")[1]
    decided = re.sub(r"<[^>]+>", " ", rows.split("</section>")[0])
    assert not re.search(r"[a-z]_ratio|[a-z]_share|JUDGEMENT|unit: 1\b", decided)
