"""The phone's page and what it reads: open to anyone, generated, nothing of a practice in it."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

from fastapi.testclient import TestClient
from PIL import Image

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.services.field_kinds import field_catalogue, field_words
from rootcase.tables.readings import kinds
from rootcase.web.app import create_app
from rootcase.web.desk import Desk
from tests.web.conftest import NOW


def test_anyone_may_open_the_phone_page_and_it_tells_nothing(tmp_path: Path) -> None:
    with open_fieldbook(tmp_path / "own.sqlite"):
        pass
    desk = Desk(tmp_path / "own.sqlite", lambda: NOW, tmp_path)
    with TestClient(create_app(desk), base_url="http://127.0.0.1") as nobody:
        page = nobody.get("/field")
        assert page.status_code == 200
        assert all(name in page.text for name in ("Today", "Trees", "Plans", "Make", "Proof", "field/app.js"))
        assert nobody.get("/field/kinds.json").json()["kinds"].keys() == field_catalogue()["kinds"].keys()
        assert nobody.get("/field/words.json").json() == dict(field_words())
        assert nobody.get("/api/field/start").status_code == 401


def test_each_picture_for_a_start_screen_is_of_the_size_that_is_told(desk_app: TestClient) -> None:
    drawn = [each for each in desk_app.get("/field/manifest.webmanifest").json()["icons"] if each["sizes"] != "any"]
    for each in drawn:
        with Image.open(BytesIO(desk_app.get(each["src"]).content)) as picture:
            assert "{}x{}".format(*picture.size) == each["sizes"]
            corner = picture.convert("RGBA").getpixel((0, 0))
        assert (corner[3] == 255) == (each["purpose"] == "maskable")
    assert {each["sizes"] for each in drawn} == {"192x192", "512x512"}


def test_every_kind_of_the_field_is_told_with_its_limits_and_choices() -> None:
    told, field = field_catalogue()["kinds"], {"tree", "pit", "place", "visit", "sample"}
    assert set(told) == {code for code, kind in kinds().items() if kind.of in field}
    for code, each in told.items():
        kind = kinds()[code]
        assert (each.get("lower_hard"), each.get("upper_doubt")) == (kind.lower_hard, kind.upper_doubt)
        assert each.get("choices", {}) == dict(kind.choices)
        assert not kind.us_unit or {*kind.pair} <= {"mesh", *field_catalogue()["units"][kind.si_unit]}


def test_the_phone_page_is_light_to_load() -> None:
    """JUDGEMENT: what a phone reads at every start."""
    assert len(repr(field_catalogue())) < 260_000
    assert len(repr(dict(field_words()))) < 60_000
