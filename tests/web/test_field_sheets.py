"""First-answer sheets: what is missing is told, made once, and fetched under a name that its content decides."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from fastapi.testclient import TestClient

from rootcase.casework.first_answer import sheet as sheet_module
from rootcase.casework.first_answer.forward import Question
from rootcase.casework.first_answer.packed import unpacked
from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.records.first_answer import FirstSheet, SheetsTold
from rootcase.services.demo import DAY, SEED
from rootcase.services.first_answer import TEXTURES, SheetsAtHand, make_sheets
from rootcase.services.run import Run
from rootcase.web.desk import Desk
from tests.casework.random_sheet import random_sheet
from tests.web.conftest import DRAWS

SHEETS = "/api/field/sheets"


@dataclass(frozen=True)
class Made:
    book: Fieldbook
    run: Run
    before: SheetsTold
    told: SheetsTold
    asked: list[Question]


@pytest.fixture(scope="module")
def made(desk_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Made]:
    """Sheets of chance numbers in place of minutes of the model; what was asked of it."""
    asked: list[Question] = []
    chance = random_sheet(np.random.default_rng(1))

    def by_chance(question: Question, bases: Mapping[str, str], axes: object) -> tuple[FirstSheet, ...]:
        asked.append(question)
        return tuple(replace(chance, basis=basis) for basis in bases)

    run = Run(DAY, DRAWS, SEED, results=tmp_path_factory.mktemp("sheets"))
    with pytest.MonkeyPatch.context() as patch, open_fieldbook(desk_folder / "demo.sqlite") as book:
        patch.setattr(sheet_module, "first_sheets", by_chance)
        before = SheetsAtHand().told(book, run)
        make_sheets(book, run)
        yield Made(book, run, before, SheetsAtHand().told(book, run), asked)


def test_sheets_are_made_for_every_station_class_and_texture_and_every_yardstick(made: Made) -> None:
    stations = {each.weather_station for each in made.book.properties()}
    records = [made.book.record(each.id) for each in made.book.properties()]
    beside = sum(len(record.yardsticks) * len(record.places) for record in records)
    expected, told = len(stations) * len(TEXTURES) * 3 + beside, made.told.sheets
    assert made.before == SheetsTold((), expected)
    assert (len(told), made.told.missing, len({each.name for each in told})) == (expected, 0, expected)
    assert sum(bool(each.yardstick) for each in told) == beside
    assert {(each.station, each.growth_class, each.texture) for each in told if not each.yardstick} == {
        (station, growth, texture) for station in stations for growth in ("slow", "medium", "fast")
        for texture in TEXTURES}
    assert (made.asked[0].texture, made.asked[-1].texture) == ("", TEXTURES[-1])


def test_what_is_made_is_not_made_again(made: Made) -> None:
    asked = len(made.asked)
    make_sheets(made.book, made.run)
    assert len(made.asked) == asked


@pytest.mark.parametrize("otherwise", [{"draws": DRAWS + 1}, {"today": date(2016, 11, 1)}])
def test_a_sheet_has_another_name_where_what_decides_it_is_another(made: Made, otherwise: dict[str, Any]) -> None:
    assert SheetsAtHand().told(made.book, replace(made.run, **otherwise)).sheets == ()


def test_another_day_of_the_same_season_is_the_same_sheet(made: Made) -> None:
    later = replace(made.run, today=DAY + timedelta(days=20))
    assert SheetsAtHand().told(made.book, later) == made.told


def test_a_phone_asks_for_them_over_the_api(desk_app: TestClient, made: Made,
                                            monkeypatch: pytest.MonkeyPatch) -> None:
    desk: Desk = desk_app.app.state.desk  # type: ignore[attr-defined]
    monkeypatch.setattr(desk, "results", made.run.results)
    told = desk_app.get(SHEETS).json()
    assert (told["missing"], len(told["sheets"])) == (0, len(made.told.sheets))
    first = told["sheets"][0]
    answer = desk_app.get(f"{SHEETS}/{first['name']}")
    assert (answer.headers["content-type"], len(answer.content)) == ("application/octet-stream", first["bytes"])
    assert unpacked(answer.content).basis == first["growth_class"]
    assert len(answer.content) <= 60_000
    refused = desk_app.get(f"{SHEETS}/unknown")
    assert (refused.status_code, "list" in refused.json()["right"]) == (404, True)


def test_the_making_is_one_job_however_often_it_is_asked_for(desk_app: TestClient,
                                                             monkeypatch: pytest.MonkeyPatch) -> None:
    desk: Desk = desk_app.app.state.desk  # type: ignore[attr-defined]
    started = []
    plain = desk.jobs.start
    monkeypatch.setattr(desk.jobs, "_open", lambda: None)
    monkeypatch.setattr(desk.jobs, "start", lambda *said, **more: started.append(plain(*said, **more)) or started[-1])
    answers = [desk_app.post(SHEETS) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [202, 202]
    assert answers[0].json()["id"] == answers[1].json()["id"]
    assert answers[0].json()["work"] == "first_answer"
    desk.jobs.cancel(desk.tenant("own"), answers[0].json()["id"])
