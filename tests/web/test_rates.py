"""The pages of rates and loads: what was typed stays, the result stands above."""

from __future__ import annotations

import json

from click.testing import CliRunner
from fastapi.testclient import TestClient

from rootcase.cli.making.rates import rates
from rootcase.ground.errors import RootcaseError
from rootcase.services.rates import ASKS


def test_every_sum_has_a_page_with_its_cautions(desk_app: TestClient) -> None:
    listed = desk_app.get("/make/rates").text
    for name, asks in ASKS.items():
        assert f'href="/make/rates/{name}"' in listed
        page = desk_app.get(f"/make/rates/{name}")
        assert page.status_code == 200
        assert "notice caution" in page.text
        assert all(f'name="{ask.name}"' in page.text for ask in asks)
    assert desk_app.get("/make/rates/nothing").status_code == 404


def test_a_result_stands_above_and_what_was_typed_stays(desk_app: TestClient) -> None:
    page = desk_app.get("/make/rates/drench", params={"area": "1000 ft2", "rate": "100"})
    assert "take 100 gal (379 L)." in page.text
    assert 'value="1000 ft2"' in page.text
    wrong = desk_app.get("/make/rates/drench", params={"area": "<b>1000", "rate": "100"})
    assert wrong.status_code == 422
    assert 'value="&lt;b&gt;1000"' in wrong.text
    assert 'id="area-fault"' in wrong.text
    assert 'value="100"' in wrong.text


def test_an_empty_form_that_is_sent_says_what_is_missing(desk_app: TestClient) -> None:
    page = desk_app.get("/make/rates/topdress", params={"work": "1", "area": "", "depth": ""})
    assert page.status_code == 422
    assert page.text.count("nothing was typed".capitalize()) + page.text.count(
        "nothing was typed") == 2


def test_the_command_line_says_the_same() -> None:
    typed = ["payload", "volume=300 gal", "rating=10000 lb", "curb=6450 lb", "aboard=1000 lb"]
    done = CliRunner().invoke(rates, typed)
    assert done.exit_code == 0, done.output
    assert "48 lb to spare: no second" in done.output
    assert "A warning, no permission" in done.output
    told = json.loads(CliRunner().invoke(rates, [*typed, "--json"]).output)
    assert told["load"]["takes_another_person"] is False
    assert 21.0 < told["load"]["spare_kg"] < 22.0


def test_the_command_line_refuses_in_one_line() -> None:
    for typed, line in ((["drench", "area=x", "rate=4"], "area: this is not a value"),
                        (["drench", "ground=4"], "drench asks for no such thing (got ground=4); one of area, rate"),
                        (["shower"], "there is no such sum (got shower)")):
        done = CliRunner().invoke(rates, typed)
        assert isinstance(done.exception, RootcaseError)
        assert line in str(done.exception)
