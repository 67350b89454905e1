"""The case page: the report's sentences, the way to every figure's trace, readings wanted, photos by year."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from PIL import Image

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.records.observe import Tree
from rootcase.records.report import Casework
from rootcase.report.text import one_tree
from rootcase.report.text.cases import TreeCase, tree_cases
from rootcase.report.text.figures import loss, percent
from rootcase.report.text.ledger import results_of
from rootcase.services.offer import due_in_practice
from rootcase.web.app import create_app
from rootcase.web.desk import OWN, Desk
from rootcase.web.who import Visitor
from tests.fieldbook.sheets import SHEET, open_book, write_sheet
from tests.web.conftest import NOW
from tests.web.test_trees import desk_of, words


@pytest.fixture(scope="module")
def casework(desk_app: TestClient) -> Casework:
    desk = desk_of(desk_app)
    kept = desk.kept(OWN, next(iter(desk.grounds(OWN).values())))
    assert kept.casework is not None
    return kept.casework


def address(casework: Casework, label: str) -> str:
    tree = next(tree for tree in casework.record.trees if tree.label == label)
    return f"/properties/{tree.property_id}/trees/{tree.id}"


def case_of(casework: Casework, label: str) -> TreeCase:
    return next(case for case in tree_cases(casework) if case.tree.label == label)


@pytest.mark.parametrize("label", ["oak 3", "oak 4", "oak 5", "oak 6", "oak 8"])
def test_the_page_says_what_the_report_says_of_the_tree(desk_app: TestClient, casework: Casework, label: str) -> None:
    page = words(desk_app.get(address(casework, label)).text)
    case = case_of(casework, label)
    assert case.explanation is not None
    said = [*one_tree.headline(case), one_tree.basis(case, casework.record).text, one_tree.sureness(case),
            one_tree.change_of_mind(case), one_tree.not_looked_at(case, casework.record)]
    said += [each.text for each in (one_tree.unexplained(case), one_tree.verdict(case), one_tree.future(case)) if each]
    for text in filter(None, said):
        assert re.sub(r"\s+", " ", text) in page


def test_the_waterfalls_table_holds_every_step_with_its_interval_and_what_it_rests_on(
        desk_app: TestClient, casework: Casework) -> None:
    page = words(desk_app.get(address(casework, "oak 4")).text)
    explanation = case_of(casework, "oak 4").explanation
    assert explanation is not None
    for step in explanation.limits:
        if not step.same_as_yardstick:
            assert " ".join(loss(step.points)) in page
    assert " ".join(percent(explanation.predicted_share)) in page
    assert "8 × probe depth to refusal" in page


def test_every_figure_leads_to_a_trace_that_there_is(desk_app: TestClient, casework: Casework) -> None:
    known = results_of(casework, tree_cases(casework))
    for label in ("oak 4", "oak 6"):
        page = desk_app.get(address(casework, label)).text
        found = set(re.findall(r'class="figure[^"]*" href="/properties/[^/]+/figures/([^"]+)"', page))
        assert len(found) > 15
        assert {name.replace("%2B", "+") for name in found} <= known.keys()


def test_each_reading_leads_to_its_own_page_newest_first(desk_app: TestClient, casework: Casework) -> None:
    page = desk_app.get(address(casework, "oak 4")).text
    tree = case_of(casework, "oak 4").tree
    own = (tree.id, *(pit.id for pit in casework.record.pits_of(tree.id)))
    assert {f"/readings/{each.id}" for each in casework.record.of(*own)} <= set(re.findall(r'href="([^"]+)"', page))
    days = re.findall(r"(5 November|26 August) 2015, reader", page)
    assert days == sorted(days, key=["5 November", "26 August"].index)


def test_leaving_it_alone_is_the_first_row_of_every_choice(desk_app: TestClient, casework: Casework) -> None:
    for case in tree_cases(casework):
        rows = re.findall(r'<tr(?: class="chosen")?>\s*<th scope="row">([^<]+)<', desk_app.get(
            address(casework, case.tree.label)).text.partition('class="stack remedies"')[2])
        assert rows[0].strip() == "Leave it alone"


def test_where_the_soil_is_not_the_case_the_main_key_is_the_look(desk_app: TestClient, casework: Casework) -> None:
    for label, key in (("oak 4", "Prescribe"), ("oak 6", "Take this reading")):
        page = desk_app.get(address(casework, label)).text
        main = page.partition("<main")[2]
        assert re.findall(r'class="(?:key )?weld"[^>]*>([^<]+)<', main) == [key]


def test_a_yardstick_tree_says_what_it_is_and_has_its_readings(desk_app: TestClient, casework: Casework) -> None:
    page = desk_app.get(address(casework, "oak 1")).text
    assert "One of the healthy trees that others are compared with (wood oaks)." in page
    assert "Quercus rubra" in page
    assert "Others are measured by it, so there is nothing to explain." in page
    assert "Others are measured by it, so it is not planned for." in page
    assert "Too little read" not in page


def test_a_tree_of_another_property_or_of_none_is_not_there(desk_app: TestClient, casework: Casework) -> None:
    desk = desk_of(desk_app)
    other = [ground.id for ground in desk.grounds(OWN).values()][1]
    tree = casework.record.trees[0]
    for where in (f"/properties/{other}/trees/{tree.id}", f"/properties/{tree.property_id}/trees/nobody"):
        assert desk_app.get(where).status_code == 404
        assert desk_app.post(f"{where}/want", data={"kind": "dbh"}).status_code == 404


def test_a_wanted_reading_stands_on_the_page_and_in_what_is_due_until_it_is_taken_off(
        app_to_change: TestClient) -> None:
    desk = desk_of(app_to_change)
    ground = next(iter(desk.grounds(OWN).values()))
    tree = desk.file(OWN, ground).record.trees[3]
    at = f"/properties/{ground.id}/trees/{tree.id}"
    answer = app_to_change.post(f"{at}/want", data={"kind": "probe_depth"}, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, f"{at}#next")
    assert "On the next visit’s list, by demo, 15 January 2016" in app_to_change.get(at).text
    items, _ = due_in_practice(desk.book(OWN), (ground,), desk.run(OWN), desk.today(OWN))
    assert [(item.what, item.tree_ids) for item in items if item.kind == "wanted"] == [("probe_depth", (tree.id,))]
    assert desk.kept(OWN, ground).current  # nothing of the casework is outdated by a wish
    app_to_change.post(f"{at}/unwant", data={"kind": "probe_depth"})
    assert "On the next visit’s list" not in app_to_change.get(at).text
    refused = app_to_change.post(f"{at}/want", data={"kind": "dhb"})
    assert refused.status_code == 422
    assert "dhb" in refused.text


def test_what_came_since_is_told_and_the_newest_readings_are_shown(app_to_change: TestClient) -> None:
    desk = desk_of(app_to_change)
    ground = next(iter(desk.grounds(OWN).values()))
    record = desk.file(OWN, ground).record
    tree = next(tree for tree in record.trees if tree.label == "oak 5")
    reading = next(iter(record.of(tree.id, kind="dbh")))
    desk.book(OWN).correct(reading.id, "14 1/4 in", "slip")
    page = app_to_change.get(f"/properties/{ground.id}/trees/{tree.id}").text
    assert "14 1/4" in page.replace("\N{NO-BREAK SPACE}", " ")
    assert "(corrected)" in page
    assert "Explained on 15 January 2016; a reading was corrected" in page
    assert "Explain again" in page


def photo(colour: str) -> bytes:
    made = io.BytesIO()
    place = Image.Exif()
    place[0x010E] = "47.45 N"
    Image.new("RGB", (40, 60), colour).save(made, "JPEG", exif=place)
    return made.getvalue()


@pytest.fixture
def photographed(tmp_path: Path) -> Iterator[tuple[TestClient, str, Tree]]:
    """Oak 4 photographed in two years from one mark, oak 1 once, oak 4 once from nowhere."""
    pages = {name: [list(line) for line in lines] for name, lines in SHEET.items()}
    pages["visits"] += [["spring", "2016-01-10", "reader 1"]]
    pages["trees"][0] += ["tree_photo", "mark"]
    pages["trees"][1] += ["", ""]
    for row, name in ((2, "one.jpg"), (3, "two.jpg")):
        pages["trees"][row] += [name, "stake at the gate"]
    pages["trees"].append(["oak 4", "lawn", "spring", "", "wood oaks", "100", "50", "", "", "three.jpg",
                           "stake at the gate"])
    folder = write_sheet(tmp_path / "sheet", pages)
    for name, colour in (("one.jpg", "red"), ("two.jpg", "green"), ("three.jpg", "blue")):
        (folder / name).write_bytes(photo(colour))
    with open_book(tmp_path / "own.sqlite") as book:
        ground = book.import_sheet(folder).property_id
    with open_fieldbook(tmp_path / "own.sqlite") as book:
        tree = next(tree for tree in book.record(ground).trees if tree.label == "oak 4")
    desk = Desk(tmp_path / "own.sqlite", lambda: NOW, tmp_path / "results")
    desk.demo = True
    client = TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"})
    yield client, ground, tree
    desk.close()


def test_photos_of_one_mark_stand_by_year_and_are_no_evidence_alone(
        photographed: tuple[TestClient, str, Tree]) -> None:
    client, ground, tree = photographed
    page = client.get(f"/properties/{ground}/trees/{tree.id}").text
    assert "Photo from the mark: stake at the gate" in page
    assert re.findall(r'alt="([^"]+)"', page) == ["oak 4, 5 November 2015", "oak 4, 10 January 2016"]
    assert "They are no evidence." in page


def test_a_photo_is_drawn_anew_without_what_it_carried(photographed: tuple[TestClient, str, Tree]) -> None:
    client, ground, tree = photographed
    page = client.get(f"/properties/{ground}/trees/{tree.id}").text
    shot = client.get(re.findall(r'<img src="([^"]+)"', page)[0])
    assert (shot.status_code, shot.headers["content-type"]) == (200, "image/jpeg")
    with Image.open(io.BytesIO(shot.content)) as image:
        assert image.size == (40, 60)
        assert not image.getexif()
    assert client.get(f"/properties/{ground}/photos/nobody").status_code == 404


def told_by(link: str) -> str:
    return words(link.partition("<span")[0]).strip()


def test_a_figures_page_shows_the_figure_that_was_clicked_in_the_same_rounding_and_unit(
        desk_app: TestClient, casework: Casework) -> None:
    page = desk_app.get(address(casework, "oak 4")).text
    links = re.findall(r'<a class="figure" href="(/properties/[^"]+/figures/[^"]+)">(.*?)</a>', page, re.DOTALL)
    names = {href.rpartition("/")[2].partition(".")[0] for href, _ in links}
    assert {"year", "soil", "reach", "rootable", "measure", "conditioned", "water", "limit", "remedy"} <= names
    assert any(href.endswith(".kind") for href, _ in links)
    for href, link in links:
        if "/remedy." not in href:
            title = words(re.findall(r"<h1.*?</h1>", desk_app.get(unescape(href)).text, re.DOTALL)[0])
            assert re.split(r" \(\d|, ", told_by(link))[0] in title, href


def test_the_conditioned_figures_are_folded_and_say_which_are_the_clients(
        desk_app: TestClient, casework: Casework) -> None:
    page = desk_app.get(address(casework, "oak 4")).text
    folded = page.partition("<summary>If the growth itself is taken in</summary>")[2].partition("</details>")[0]
    after = case_of(casework, "oak 4").explanation
    assert after is not None
    assert after.conditioned is not None
    assert "What the client is told is the picture above" in folded
    for step in after.conditioned.limits:
        if not step.same_as_yardstick:
            assert " ".join(loss(step.points)) in words(folded)
    assert words(page).count(loss(after.conditioned.other_cause_points)[1]) == 1


def test_a_link_says_by_itself_where_it_leads_and_the_readings_have_a_way_past_them(
        desk_app: TestClient, casework: Casework) -> None:
    page = desk_app.get(address(casework, "oak 4")).text
    for link in re.findall(r'<a class="figure mark"[^>]*>(.*?)</a>', page, re.DOTALL):
        assert '<span class="unseen">: ' in link
    for picture in re.findall(r"<svg.*?</svg>", page, re.DOTALL):
        assert "<a" not in picture
        assert "tabindex" not in picture
    observe = page.partition('id="observe"')[2]
    assert observe.index('href="#compare"') < observe.index('href="/readings/')


def test_who_sees_no_prices_reads_no_sum_at_any_tree_nor_among_the_plans(
        desk_app: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    crew = Visitor("own", "kb", "", "crew", False, "us")
    seen_by_owner = " ".join(desk_app.get(at).text for at in trees_of(desk_app))
    assert "USD" in seen_by_owner
    monkeypatch.setattr("rootcase.web.who.visitor_of", lambda request: crew)
    for at in (*trees_of(desk_app), "/plans", "/trees", "/due"):
        told = re.sub(r"<[^>]+>", " ", desk_app.get(at).text)
        assert "USD" not in told, at


def trees_of(app: TestClient) -> list[str]:
    return sorted(set(re.findall(r'href="(/properties/[-\w]+/trees/[-\w]+)"', app.get("/trees").text)))
