"""A day of rounds on the command line: a file in, its fills and rounds out."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from rootcase.cli.applying.route import route
from rootcase.ground.errors import FileError

DATA = Path(__file__).parents[1] / "data" / "routing"


def told(*words: str) -> Result:
    return CliRunner().invoke(route, list(words))


@pytest.mark.reference
def test_a_day_with_an_age_limit_is_told_as_json() -> None:
    done = told(str(DATA / "tank_p3.json"), "--json")
    assert done.exit_code == 0, done.output
    found = json.loads(done.output)
    assert found["cost"] == 279.0
    assert found["proven"]
    assert len(found["plan"]) == 2
    stops = {stop for crew in found["plan"] for trip in crew for stop in trip["stops"]}
    assert stops == {f"s{at}" for at in range(1, 9)}
    assert {trip["fill_at"] for crew in found["plan"] for trip in crew} <= {"depot", "hydrant"}


def test_the_answer_in_the_file_is_not_looked_at(tmp_path: Path) -> None:
    day = json.loads((DATA / "tank_p1.json").read_text(encoding="utf-8"))
    assert {name for name in day if name.startswith("opt")}
    day = {name: value for name, value in day.items() if not name.startswith("opt")} | {"optimum_travel_min": 1}
    (tmp_path / "day.json").write_text(json.dumps(day), encoding="utf-8")
    assert json.loads(told(str(tmp_path / "day.json"), "--json").output)["cost"] == 169.0


def test_people_read_rounds_and_what_was_left_out(tmp_path: Path) -> None:
    day = json.loads((DATA / "tank_p1.json").read_text(encoding="utf-8"))
    day["demand_l"][2] = 9000
    (tmp_path / "day.json").write_text(json.dumps(day), encoding="utf-8")
    done = told(str(tmp_path / "day.json"))
    assert "Crew 1:" in done.output
    assert "fill at depot" in done.output
    assert "Left out: s1, it takes more than a tank holds." in done.output


@pytest.mark.parametrize(("change", "said"), [
    ({"crews": "many"}, 'crews is "many": a number'),
    ({"service_min": [0, 0, "x"] + [1] * 6}, 'service_min of s1 is "x": a number'),
    ({"crews": 0}, "crews is 0: a whole number from 1 to 200"),
    ({"crews": 1e9}, "crews is 1000000000.0"), ({"crews": 1.5}, "crews is 1.5"), ({"day_min": float("nan")}, "back_by"),
    ({"node_names": ["depot", *"aabcdefg"]}, "node_names has a more than once"),
    ({"fill_min": 10}, "fill_min is 10: minutes at the depot and the hydrant"),
    ({"window": [[0, 1]]}, "window has 1 rows for 9 places"),
    ({"travel_min": [[0.0]]}, "travel_min has 1 rows"), ({"travel_min": [[-5] * 9] * 9}, "travel_min"),
    ({"tank_l": -3}, "tank_l"), ({"fill_min": {}}, "(got 'depot' is not there)"),
    ({"service_min": None}, "is no day of rounds")])
def test_what_is_wrong_with_a_file_is_told(tmp_path: Path, change: dict[str, object], said: str) -> None:
    day = json.loads((DATA / "tank_p1.json").read_text(encoding="utf-8"))
    (tmp_path / "day.json").write_text(json.dumps(day | change), encoding="utf-8")
    done = told(str(tmp_path / "day.json"))
    assert isinstance(done.exception, FileError)
    assert said in str(done.exception)


def test_what_a_file_does_not_say_is_named(tmp_path: Path) -> None:
    (tmp_path / "day.json").write_text("{}", encoding="utf-8")
    assert "says nothing of crews, tank_l" in str(told(str(tmp_path / "day.json")).exception)
    (tmp_path / "day.json").write_text("no", encoding="utf-8")
    assert "cannot be read" in str(told(str(tmp_path / "day.json")).exception)
