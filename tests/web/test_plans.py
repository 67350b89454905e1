"""Plans at the desk: wishes turned, the plan signed, outdated, offered, shown to a client, withdrawn."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from dataclasses import replace
from html import escape, unescape
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from rootcase.fieldbook.events import PlanSigned
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.people.links import open_link
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.services.demo import DAY, SEED
from rootcase.services.kept import make_casework
from rootcase.services.offer import Answering, answer_offer
from rootcase.services.run import Run
from rootcase.web import plan_work
from rootcase.web.app import create_app
from rootcase.web.desk import Desk
from rootcase.web.elsewhere import Elsewhere
from rootcase.web.who import Visitor
from tests.web.conftest import DRAWS, NOW, at_once


class Ground:
    """A property of a desk of one's own, and its pages."""

    def __init__(self, path: Path, results: Path) -> None:
        self.path, self.results = path, results
        with open_fieldbook(path) as book:
            self.ground = next(each for each in book.properties() if each.name.startswith("Alder"))
            record = book.record(self.ground.id)
            self.lawn = next(place.id for place in record.places if place.name == "front lawn")
            self.trees = {tree.label: tree.id for tree in record.trees}
        self.at = f"/properties/{self.ground.id}"
        self.make()

    def make(self) -> None:
        with open_fieldbook(self.path) as book:
            make_casework(book, self.ground, Run(DAY, DRAWS, SEED, 2, results=self.results))


@pytest.fixture(scope="module")
def ground(tmp_path_factory: pytest.TempPathFactory, desk_folder: Path, desk_results: Path) -> Ground:
    path = tmp_path_factory.mktemp("plans") / "demo.sqlite"
    shutil.copy(desk_folder / "demo.sqlite", path)
    return Ground(path, desk_results)


@pytest.fixture(scope="module")
def app(ground: Ground) -> Iterator[TestClient]:
    desk = Desk(ground.path, lambda: NOW, ground.results, demo=True, draws=DRAWS)
    desk.jobs.call = at_once  # type: ignore[method-assign]
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Desk, "begin", lambda desk: None)  # what is computed here is computed once, by the tests
        patch.setattr(Desk, "compute", lambda desk, practice_id, ground, onward: None)
        made = create_app(desk)
        with TestClient(made, base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"}) as client:
            yield client


def words(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html.partition("<main")[2])).split())


def finding(html: str) -> str:
    return words("<main" + re.findall(r"<h1.*?</h1>", html, re.DOTALL)[0])


def test_the_plan_shows_wishes_with_their_price_and_leaving_alone_first(app: TestClient, ground: Ground) -> None:
    html = app.get(f"{ground.at}/plan").text
    said = words(html)
    assert "get work, for" in finding(html)
    assert "costs oak 5 about" in said
    assert "Out here:" in said
    for rows in re.findall(r"<tbody>(.*?)</tbody>", html, re.DOTALL):
        if "what-if?tree=" in rows and "Leave it alone" in rows:
            assert "Leave it alone" in re.findall(r'scope="row">(.*?)<', rows)[0]
    assert html.count('"key weld"') == 1
    assert html.count(f"{ground.at}/figures/property/cost") == 1


def test_turned_wishes_are_tried_without_a_word_written(app: TestClient, ground: Ground) -> None:
    with open_fieldbook(ground.path) as book:
        before = book.state_hash()
    as_it_is = app.get(f"{ground.at}/plan").text
    turned = {f"wish_lawn@{ground.lawn}": "free", "budget_year": "3200"}
    tried = app.get(f"{ground.at}/plan", params=turned).text
    assert "Tried, not kept" in tried
    assert finding(tried) != finding(as_it_is)
    part = app.get(f"{ground.at}/plan/made", params=turned).text
    assert "<html" not in part
    assert finding("<main" + part) == finding(tried)
    assert f'data-part="wish_lawn@{ground.lawn}-note"' in part
    assert "Tried, not kept" not in as_it_is
    assert f'href="{ground.at}/sign"' in as_it_is
    assert f'href="{ground.at}/sign"' not in tried  # it is not what would be signed
    assert tried.count(' class="weld"') + tried.count('"key weld"') == 1
    assert "Keep these wishes, then sign" in tried
    assert tried.index("Tried, not kept") < tried.index('id="wishes"'), "said before anything else"
    assert "Tried, not kept" in part
    with open_fieldbook(ground.path) as book:
        assert book.state_hash() == before


def test_a_property_without_a_currency_says_so_and_leads_to_where_it_is_told(
        app: TestClient, ground: Ground, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Desk, "ground", lambda desk, practice_id, property_id: replace(ground.ground, currency=""))
    html = app.get(f"{ground.at}/plan").text
    assert "No currency is told for this property" in html
    assert f'href="{ground.at}/particulars"' in html
    monkeypatch.undo()
    assert "No currency is told" not in app.get(f"{ground.at}/plan").text


def test_money_that_buys_nothing_says_what_would_fit(app: TestClient, ground: Ground) -> None:
    assert "Cheapest that would:" in finding(app.get(f"{ground.at}/plan", params={"budget_year": "100"}).text)


def test_what_cannot_be_read_stands_beside_its_field_with_what_was_typed(app: TestClient, ground: Ground) -> None:
    answer = app.post(f"{ground.at}/wishes", data={"budget_year": "<b>much</b>"}, follow_redirects=False)
    assert answer.status_code == 422
    assert 'value="&lt;b&gt;much&lt;/b&gt;"' in answer.text
    assert 'id="budget_year-fault"' in answer.text
    part = app.get(f"{ground.at}/plan/made", params={"budget_year": "much"})
    assert (part.status_code, 'class="fault"' in part.text) == (422, True)
    assert "Not tried: what is marked below cannot be read" in part.text


def test_what_no_field_has_room_for_is_no_wish(app: TestClient, ground: Ground) -> None:
    typed = {f"closed_days@{ground.lawn}": "d" * 401, "budget_year": "9" * 401}
    answer = app.post(f"{ground.at}/wishes", data=typed)
    assert (answer.status_code, answer.text.count("400 signs at most")) == (422, 2)
    assert all(f'value="{each}"' in answer.text for each in typed.values())


def test_another_choice_shows_what_the_money_buys_less(app: TestClient, ground: Ground) -> None:
    said = words(app.get(f"{ground.at}/what-if", params={"tree": ground.trees["oak 5"], "course": "nothing"}).text)
    assert "Oak 5: " in said
    assert "becomes leave it alone" in said
    assert "Supposed only" in said
    assert app.get(f"{ground.at}/what-if", params={"tree": "nobody", "course": "mulch"}).status_code == 422


def test_another_price_or_wish_is_supposed_and_written_nowhere(app: TestClient, ground: Ground) -> None:
    dear = words(app.get(f"{ground.at}/what-if", params={"item": "mulch", "price": "4,000", "unit": "m2"}).text)
    assert "becomes" in dear
    barred = words(app.get(f"{ground.at}/what-if", params={"wish": "wish_chips=no", "at": "front lawn"}).text)
    assert "becomes" in barred
    wrong = app.get(f"{ground.at}/what-if", params={"item": "mulch", "price": "much", "unit": "m2"})
    assert (wrong.status_code, 'value="much"' in wrong.text) == (422, True)


def test_a_reading_that_said_something_else_is_explained_anew(app: TestClient, ground: Ground) -> None:
    with open_fieldbook(ground.path) as book:
        record = book.record(ground.ground.id)
    pits = [pit.id for pit in record.pits_of(ground.trees["oak 5"])]
    reading = next(each for each in record.of(*pits, kind="probe_depth") if each.value)
    asked = {"of": ground.trees["oak 5"], "reading": reading.id}
    said = words(app.get(f"{ground.at}/what-if", params={**asked, "value": "30 in"}).text)
    assert "as it would be Oak 5" in said
    wrong = app.get(f"{ground.at}/what-if", params={**asked, "value": "deep"})
    assert wrong.status_code == 422
    assert "deep" in words(wrong.text)


def test_signing_needs_a_reason_against_the_advice_and_the_plan_that_was_shown(app: TestClient, ground: Ground) -> None:
    paper = app.get(f"{ground.at}/sign").text
    assert "This would be signed" in paper
    assert f"{ground.at}/figures/" in paper, "its figures lead to what they were made of"
    against = {f"tree-{ground.trees['oak 5']}": "nothing"}
    mark = re.findall(r'name="mark" value="(\w{64})"', paper)[0]
    for typed in ({"mark": "0" * 64}, {"mark": mark, **against}, {"mark": mark, "reason": "w" * 1001}):
        answer = app.post(f"{ground.at}/sign", data=typed, follow_redirects=False)
        assert answer.status_code == 422
        assert 'role="alert"' in answer.text
    assert "No plan was ever signed here" in app.get(f"{ground.at}/signed").text


def test_who_may_not_sign_is_refused(app: TestClient, ground: Ground, monkeypatch: pytest.MonkeyPatch) -> None:
    nobody = Visitor("own", "kb", "", "practitioner", False, "us")
    monkeypatch.setattr("rootcase.web.who.visitor_of", lambda request: nobody)
    assert app.get(f"{ground.at}/sign").status_code == 403
    assert app.post(f"{ground.at}/sign").status_code == 403
    assert f'href="{ground.at}/sign"' not in app.get(f"{ground.at}/plan").text


def test_crew_sees_the_signed_work_and_no_money(app: TestClient, ground: Ground,
                                                monkeypatch: pytest.MonkeyPatch) -> None:
    signed(app, ground)
    crew = Visitor("own", "cr", "", "crew", False, "us")
    monkeypatch.setattr("rootcase.web.who.visitor_of", lambda request: crew)
    said = words(app.get(f"{ground.at}/signed").text)
    assert "Oak 5: " in said
    assert "USD" not in said
    assert "USD" not in words(app.get("/plans").text)
    assert app.get(f"{ground.at}/plan").status_code == 403


def test_from_the_signature_to_the_client_and_back(app: TestClient, ground: Ground) -> None:
    signed(app, ground)
    with open_fieldbook(ground.path) as book, book.store.reading() as look:
        told_at = {event.made_at for event in look.events(ground.ground.id) if isinstance(event.body, PlanSigned)}
    assert told_at == {written(NOW)}, "by the desk's clock, whichever process wrote it"
    assert "Nothing it rests on has changed" in app.get(f"{ground.at}/signed").text
    assert "A plan stands signed. Next: " in words(app.get(f"{ground.at}/trees/{ground.trees['oak 5']}").text)
    assert " may begin, as signed, and is done by " in words(app.get("/due?until=2017-01-01").text)
    for typed, why in (("600; 0", "this buys nothing"), ("-5", ""), ("not looked", "buys nothing"), ("9" * 401, "400")):
        unread = app.post(f"{ground.at}/offers", data={"budgets": typed})
        said = re.findall(r'id="budgets-fault"[^>]*>([^<]+)', unread.text)
        assert (unread.status_code, why in "".join(said), f'value="{typed}"' in unread.text) == (422, True, True), said
    made = app.post(f"{ground.at}/offers", data={"budgets": "600; 2"}, follow_redirects=False)
    assert made.status_code == 303
    html = app.get(made.headers["location"]).text
    assert "For 2.00 USD no smaller step is to be had" in html
    address = made.headers["location"].partition("?")[0]
    assert "Leave it alone" in html
    assert f"{ground.at}/figures/property/cost" in html
    assert f"{ground.at}/figures/" in app.get(f"{ground.at}/signed").text
    for days in ("900", "9" * 5000, "<b>long</b>"):
        refused = app.post(f"{address}/links", data={"days": days})
        assert refused.status_code == 422
        assert f'value="{escape(days)}"' in refused.text
    shown = app.post(f"{address}/links", data={"days": "30"})
    assert shown.text.count("This address opens on this machine alone.") == 1
    token = re.findall(r"/c/([\w-]+)", shown.text)[0]
    assert token not in app.get(address).text
    assert "The page can be opened until" in words(app.get(address).text)
    assert "the offer itself holds until" in words(shown.text)
    with open_fieldbook(ground.path) as book:
        link = open_link(book.store, token, NOW)
        assert link is not None
        assert link.offer_mark == address.rpartition("/")[2]
    assert app.post(f"{address}/links/nobody/end").status_code == 404
    assert app.post(f"{address}/links/{link.id}/end", follow_redirects=False).status_code == 303
    with open_fieldbook(ground.path) as book:
        assert open_link(book.store, token, NOW) is None
        answer_offer(book, ground.ground, Answering("question", "R. <Doe>", words="What of the <b>bees</b>?"), DAY)
        answer_offer(book, ground.ground, Answering("yes", "R. <Doe>"), DAY)
    for place in ("/", "/plans", "/due", f"{ground.at}/offers", address):
        said = app.get(place).text
        assert "What of the &lt;b&gt;bees&lt;/b&gt;?" in said, f"{place}: a yes answers no question"
        assert "<b>bees" not in said
    to = re.findall(r'action="([^"]+/questions/[^"#]+)', app.get(address).text)[0]
    unsaid = app.post(to, data={"words": " "})
    assert (unsaid.status_code, "say what was said back" in unsaid.text) == (422, True)
    assert app.post(f"{to}0", data={"words": "None"}).status_code == 422
    long = app.post(to, data={"words": "x" * 1001})
    assert (long.status_code, "1,000 signs at most" in long.text) == (422, True)
    assert app.post(to, data={"words": "They keep their <i>flowers</i>."}, follow_redirects=False).status_code == 303
    assert "What of the" not in app.get("/").text + app.get("/due").text
    assert "They keep their &lt;i&gt;flowers&lt;/i&gt;." in app.get(address).text
    again = app.post(f"{address}/links", data={"days": "30"}).text
    assert "They keep their &lt;i&gt;flowers&lt;/i&gt;." in app.get(re.findall(r"/c/[\w-]+", again)[0]).text


def test_a_plan_that_is_outdated_shows_old_and_new_and_is_withdrawn_with_a_reason(app: TestClient,
                                                                                 ground: Ground) -> None:
    signed(app, ground)
    kept = app.post(f"{ground.at}/wishes", data={f"wish_lawn@{ground.lawn}": "stays"}, follow_redirects=False)
    assert (kept.status_code, kept.headers["location"]) == (303, f"{ground.at}/sign"), "signing follows"
    stale = app.get(f"{ground.at}/plan")
    assert "Explain again, then it can be signed" in stale.text
    assert "Not tried: something came since" in app.get(f"{ground.at}/plan", params={"budget_year": "9"}).text
    assert "something came since" in words(app.get("/plans").text)
    assert "Planned anew" not in words(app.get("/plans").text), "what is signed is the newest that there is"
    ground.make()
    said = words(app.get(f"{ground.at}/signed").text)
    assert "Outdated" in said
    assert "Would be:" in said
    assert "Sign again" in said
    assert "what it rests on has changed" in words(app.get("/").text)
    assert "Planned anew: " in words(app.get("/plans").text)
    mark = re.findall(r'name="mark" value="(\w{64})"', app.get(f"{ground.at}/signed").text)[0]
    refused = app.post(f"{ground.at}/withdraw", data={"mark": mark}, follow_redirects=False)
    assert (refused.status_code, 'id="reason-fault"' in refused.text) == (422, True)
    late = app.post(f"{ground.at}/withdraw", data={"mark": "f" * 64, "reason": "the lawn stays now"})
    assert late.status_code == 422
    assert 'value="the lawn stays now"' in late.text
    app.post(f"{ground.at}/withdraw", data={"mark": mark, "reason": "the lawn stays now"})
    assert "the lawn stays now" in app.get(f"{ground.at}/signed").text


def test_the_report_is_the_paper_itself(app: TestClient, ground: Ground) -> None:
    page = app.get(f"{ground.at}/report").text
    assert "Take the PDF" in page
    answer = app.get(f"{ground.at}/report.pdf", params={"prepared_by": "R. Doe"})
    assert (answer.status_code, answer.headers["content-type"]) == (200, "application/pdf")
    assert answer.content.startswith(b"%PDF-")


def paper(at: Elsewhere, *_: object) -> bytes:
    """The head of the record alone; how often it was made stands beside the file."""
    with at.opened() as book, at.path.with_suffix(".made").open("a", encoding="utf-8") as made:
        print(told := f"{book.recording.head().count} links", file=made)
    return told.encode()


def test_the_paper_at_hand_is_made_anew_once_work_was_logged(app: TestClient, ground: Ground,
                                                             monkeypatch: pytest.MonkeyPatch) -> None:
    def look() -> str:
        return app.get(f"{ground.at}/report.pdf", params={"prepared_by": name}).text

    monkeypatch.setattr(plan_work, "report_paper", paper)
    made = ground.path.with_suffix(".made")
    name = re.findall(r'name="prepared_by"[^>]* value="([^"]*)"', app.get(f"{ground.at}/report").text)[0]
    assert look() == look()
    assert made.read_text(encoding="utf-8").count("\n") == 1
    with open_fieldbook(ground.path, now=lambda: NOW) as book:
        book.recording.tell(ground.ground.id, PutOnLogged(slot="late", tree=ground.trees["oak 1"], remedy="mulch",
                                                          day=NOW.date(), by="rs"))
    assert look() == made.read_text(encoding="utf-8").splitlines()[1]


def test_places_without_anything_say_so(app: TestClient) -> None:
    assert "1 heap" in app.get("/make").text
    assert "things are due by" in app.get("/due").text
    assert app.get("/due", params={"until": "soon"}).status_code == 422
    assert app.get("/due", params={"until": "2015-01-01"}).status_code == 422


def test_another_s_property_is_not_there(app: TestClient) -> None:
    for page in ("plan", "plan/made", "what-if", "sign", "signed", "offers", "report", "report.pdf"):
        assert app.get(f"/properties/nobody/{page}").status_code == 404


def signed(app: TestClient, ground: Ground) -> None:
    """Sign the plan as it stands, where none is signed."""
    if "No plan was ever signed here" in app.get(f"{ground.at}/signed").text:
        mark = re.findall(r'name="mark" value="(\w{64})"', app.get(f"{ground.at}/sign").text)[0]
        answer = app.post(f"{ground.at}/sign", data={"mark": mark}, follow_redirects=False)
        assert (answer.status_code, answer.headers.get("location")) == (303, f"{ground.at}/signed"), words(answer.text)
