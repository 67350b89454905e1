"""Results kept between commands: what is read back is what was made, and nothing that changed meets an old result."""

from __future__ import annotations

import shutil
import struct
from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

from rootcase.casework.compare import compare
from rootcase.casework.explain import explain
from rootcase.casework.prescribe import outlooks, prescribe
from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.records.outlook import Outlooks
from rootcase.records.report import Casework
from rootcase.services import results
from rootcase.services.demo import DAY, STATION, import_demo
from rootcase.services.prescribe import outlooks_for, prescribe_property
from rootcase.services.results import sources_digest
from rootcase.services.run import Run
from rootcase.services.weather import weather_for

RUN = Run(DAY, 30, 3, 1)
STAGES = {"compare": (compare, "compare"), "explain": (explain, "explain"), "look ahead": (outlooks, "outlooks_of"),
          "prescribe": (prescribe, "plan_with_readings")}
ALL = set(STAGES)


@pytest.fixture(autouse=True)
def steady_sources(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever works on the formulas while the tests run does not disturb them."""
    monkeypatch.setattr(results, "sources_digest", lambda package: "these")
    monkeypatch.setattr(results, "_sources_met", lambda: "these")


def bits(value: object) -> object:
    """Types, layout and every bit of a result: NaN is NaN, and minus zero is not zero."""
    if is_dataclass(value):
        return type(value), [(each.name, bits(getattr(value, each.name))) for each in fields(value)]
    if isinstance(value, tuple):
        return tuple(map(bits, value))
    if isinstance(value, np.ndarray):
        return value.dtype, value.shape, value.strides, value.flags.writeable, value.tobytes()
    return type(value), struct.pack("d", value) if isinstance(value, float) else value


def thought(casework: Casework) -> object:
    return bits((casework.comparison, casework.explanations, casework.plan))


@dataclass(frozen=True)
class Demo:
    """The demonstration, thought through once without any cache."""

    path: Path
    casework: Casework
    outlooks: tuple[Outlooks, ...]


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    folder = tmp_path_factory.mktemp("demo")
    with open_fieldbook(folder / "book.sqlite") as book:
        import_demo(book, folder / "demo")
        ground = book.properties()[0]
        casework = prescribe_property(book, ground, RUN)
        ahead = outlooks_for(casework.record, casework.comparison, casework.explanations,
                             weather_for(book, ground, RUN), RUN)
        return Demo(folder / "book.sqlite", casework, ahead)


@pytest.fixture
def book(demo: Demo, tmp_path: Path) -> Iterator[Fieldbook]:
    shutil.copy(demo.path, tmp_path / "book.sqlite")
    with open_fieldbook(tmp_path / "book.sqlite") as copy:
        yield copy


@pytest.fixture
def made(demo: Demo, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The stages that were made anew, one entry each time; they give the demonstration's results."""
    told: list[str] = []
    of_tree = {each.tree_id: each for each in demo.casework.explanations}
    ahead_of = {each.tree_id: each for each in demo.outlooks}
    answers: dict[str, Callable[..., object]] = {
        "compare": lambda *_, **__: demo.casework.comparison,
        "explain": lambda record, tree_id, *_, **__: of_tree[tree_id],
        "look ahead": lambda record, explanation, *_, **__: ahead_of[explanation.tree_id],
        "prescribe": lambda *_, **__: demo.casework.plan}

    def counted(stage: str) -> Callable[..., object]:
        def count(*inputs: object, **more: object) -> object:
            told.append(stage)
            return answers[stage](*inputs, **more)

        return count

    for stage, (module, name) in STAGES.items():
        monkeypatch.setattr(module, name, counted(stage))
    return told


def test_what_is_read_back_is_what_was_made(demo: Demo, book: Fieldbook, tmp_path: Path,
                                            monkeypatch: pytest.MonkeyPatch) -> None:
    run = replace(RUN, results=tmp_path / "results")
    ground = book.properties()[0]
    assert thought(prescribe_property(book, ground, run)) == thought(demo.casework)
    for module, name in STAGES.values():
        monkeypatch.delattr(module, name)  # whoever asks for it now fails
    assert thought(prescribe_property(book, ground, replace(run, threads=2))) == thought(demo.casework)


def trunk_of(book: Fieldbook, *trees: str) -> str:
    """A trunk read at one of these trees."""
    record = book.record(book.properties()[0].id)
    return next(each.id for each in record.readings if each.kind == "dbh" and each.of in trees)


def correct_a_reading(book: Fieldbook) -> int:
    book.correct(trunk_of(book, next(iter(book.record(book.properties()[0].id).compared_with))), "16 in", "read again")
    return 1


def take_a_reading_back(book: Fieldbook) -> int:
    book.take_back(trunk_of(book, next(iter(book.record(book.properties()[0].id).compared_with))), "no")
    return 1


def correct_one_at_a_healthy_tree(book: Fieldbook) -> int:
    record = book.record(book.properties()[0].id)
    yardstick = record.yardsticks[0]
    book.correct(trunk_of(book, *yardstick.tree_ids), "16 in", "read again")
    return list(record.compared_with.values()).count(yardstick.id)


def forbid_holes(book: Fieldbook) -> int:
    record = book.record(book.properties()[0].id)
    wish = next(each for each in record.readings if each.kind == "wish_holes")
    book.correct(wish.id, "no", "the client's word")
    return sum(tree.place_id == wish.of and tree.id in record.compared_with for tree in record.trees)


def rain_more(book: Fieldbook, monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    (folder / "weather.csv").write_text("date,tmin,tmax,rain\n2014-06-01,9,19,0.1\n")
    book.import_weather(folder / "weather.csv", STATION)


def raise_a_price(book: Fieldbook, monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    (folder / "sheet").mkdir()
    (folder / "sheet" / "prices.csv").write_text("item,unit,amount,currency,source\nmulch,per_m2,9.51,USD,invented\n")
    book.import_sheet(folder / "sheet", property_id=book.properties()[0].id)


def rename_the_engine(book: Fieldbook, monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    monkeypatch.setattr(results, "ENGINE", "another day")


def renew_a_library(book: Fieldbook, monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    monkeypatch.setattr(results, "version", lambda name: "99" if name == "scipy" else "1")
    monkeypatch.setattr(results, "_versions", results._versions.__wrapped__)  # another day asks anew


def change_the_sources(book: Fieldbook, monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    monkeypatch.setattr(results, "sources_digest", lambda package: "others")
    monkeypatch.setattr(results, "_sources_met", lambda: "others")


def think(book: Fieldbook, run: Run, folder: Path) -> None:
    prescribe_property(book, book.properties()[0], replace(run, results=folder / "results"))


def forget(folder: Path, field: bytes) -> None:
    """Drop the results that have such a field."""
    for file in (folder / "results").iterdir():
        if field in file.read_bytes():
            file.unlink()


def once(demo: Demo, stages: set[str]) -> list[str]:
    """What is made when these stages are: explain and look ahead once a tree."""
    trees = len(demo.casework.comparison.trees)
    times = {"compare": 1, "explain": trees, "look ahead": trees, "prescribe": 1}
    return [stage for stage, often in times.items() for _ in range(often) if stage in stages]


@pytest.mark.parametrize(("change", "anew"), [
    (rain_more, {"explain", "look ahead", "prescribe"}), (raise_a_price, {"prescribe"}), (rename_the_engine, ALL),
    (renew_a_library, ALL), (change_the_sources, ALL),
], ids=lambda each: getattr(each, "__name__", ""))
def test_what_changes_is_made_anew(change: Callable[..., None], anew: set[str], demo: Demo, book: Fieldbook,
                                   made: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    think(book, RUN, tmp_path)
    assert made == once(demo, ALL)
    made.clear()
    change(book, monkeypatch, tmp_path)
    think(book, RUN, tmp_path)
    assert made == once(demo, anew)


@pytest.mark.parametrize("change", [correct_a_reading, take_a_reading_back, correct_one_at_a_healthy_tree,
                                    forbid_holes], ids=lambda each: each.__name__)
def test_only_trees_are_explained_anew_that_a_reading_speaks_of(
        change: Callable[[Fieldbook], int], demo: Demo, book: Fieldbook, made: list[str], tmp_path: Path) -> None:
    think(book, RUN, tmp_path)
    made.clear()
    trees = change(book)
    assert 0 < trees <= len(demo.casework.comparison.trees)
    think(book, RUN, tmp_path)
    assert made == ["compare", *["explain"] * trees, *["look ahead"] * trees, "prescribe"]


@pytest.mark.parametrize(("run", "anew"), [
    (RUN, set()),
    (replace(RUN, threads=2), set()),
    (replace(RUN, draws=101), ALL),
    (replace(RUN, seed=4), ALL),
    (replace(RUN, today=DAY + timedelta(1)), {"compare", "prescribe"}),  # no new weather
    (replace(RUN, today=date(2015, 12, 31)), ALL)],
    ids=["the same", "threads", "draws", "seed", "day after", "day with less weather"])
def test_another_run_is_made_anew(run: Run, anew: set[str], demo: Demo, book: Fieldbook, made: list[str],
                                  tmp_path: Path) -> None:
    think(book, RUN, tmp_path)
    made.clear()
    think(book, run, tmp_path)
    assert made == once(demo, anew)


def test_another_comparison_of_the_same_readings_explains_anew(demo: Demo, book: Fieldbook, made: list[str],
                                                               tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    think(book, RUN, tmp_path)
    comparison = demo.casework.comparison
    draws = comparison.trees[0].log_share_draws
    assert draws is not None
    moved = replace(comparison.trees[0], log_share_draws=np.nextafter(draws, 1.0))
    monkeypatch.setattr(compare, "compare",
                        lambda *_, **__: replace(comparison, trees=(moved, *comparison.trees[1:])))
    forget(tmp_path, b'"log_share_draws"')
    made.clear()
    think(book, RUN, tmp_path)
    assert made == ["explain", "look ahead", "prescribe"]


def test_another_explanation_is_prescribed_for_anew(demo: Demo, book: Fieldbook, made: list[str], tmp_path: Path,
                                                    monkeypatch: pytest.MonkeyPatch) -> None:
    think(book, RUN, tmp_path)
    explanations = {each.tree_id: replace(each, doubts=("another",)) for each in demo.casework.explanations}
    monkeypatch.setattr(explain, "explain", lambda record, tree_id, *_, **__: explanations[tree_id])
    forget(tmp_path, b'"limit_draws"')
    made.clear()
    think(book, RUN, tmp_path)
    assert made == once(demo, {"look ahead", "prescribe"})


@pytest.fixture(scope="module")
def package(tmp_path_factory: pytest.TempPathFactory) -> Path:
    copy = tmp_path_factory.mktemp("copy") / "rootcase"
    shutil.copytree(results.PACKAGE, copy, ignore=shutil.ignore_patterns("__pycache__"))
    return copy


@pytest.mark.parametrize("file", ["science/tree/engine.py", "casework/draws.py", "tables/species.csv",
                                  "tables/species.toml", "records/explain.py", "ground/units.py"])
def test_a_changed_formula_or_figure_changes_the_sources(package: Path, file: str) -> None:
    before, text = sources_digest(package), (package / file).read_bytes()
    (package / file).write_bytes(text + b" ")
    changed = sources_digest(package)
    (package / file).write_bytes(text)
    assert changed != before == sources_digest(package)


def test_compiled_files_drawings_and_another_place_do_not(package: Path, tmp_path: Path) -> None:
    before = sources_digest(package)
    (package / "science" / "__pycache__").mkdir()
    (package / "science" / "__pycache__" / "lanes.pyc").touch()
    (package / "report" / "svg.py").write_text("")
    assert sources_digest(package) == before
    assert sources_digest(shutil.copytree(package, tmp_path / "rootcase")) == before
