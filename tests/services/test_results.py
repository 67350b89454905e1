"""Results kept between commands: what is read back is what was made, and nothing that changed meets an old result."""

from __future__ import annotations

import errno
import json
import os
import shutil
import stat
import struct
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.casework.compare import compare
from rootcase.casework.explain import explain
from rootcase.casework.prescribe import prescribe
from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.records.estimate import Estimate
from rootcase.records.report import Casework
from rootcase.services import results
from rootcase.services.demo import DAY, STATION, import_demo
from rootcase.services.prescribe import prescribe_property
from rootcase.services.results import remembered, sources_digest
from rootcase.services.run import Run

RUN = Run(DAY, 100, 3, 1)
STAGES = {"compare": compare, "explain": explain, "prescribe": prescribe}
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


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    folder = tmp_path_factory.mktemp("demo")
    with open_fieldbook(folder / "book.sqlite") as book:
        import_demo(book, folder / "demo")
        return Demo(folder / "book.sqlite", prescribe_property(book, book.properties()[0], RUN))


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
    answers: dict[str, Callable[..., object]] = {
        "compare": lambda *_, **__: demo.casework.comparison,
        "explain": lambda record, tree_id, *_, **__: of_tree[tree_id],
        "prescribe": lambda *_, **__: demo.casework.plan}

    def counted(stage: str) -> Callable[..., object]:
        def count(*inputs: object, **more: object) -> object:
            told.append(stage)
            return answers[stage](*inputs, **more)

        return count

    for stage, module in STAGES.items():
        monkeypatch.setattr(module, stage, counted(stage))
    return told


def test_what_is_read_back_is_what_was_made(demo: Demo, book: Fieldbook, tmp_path: Path,
                                            monkeypatch: pytest.MonkeyPatch) -> None:
    run = replace(RUN, results=tmp_path / "results")
    ground = book.properties()[0]
    assert thought(prescribe_property(book, ground, run)) == thought(demo.casework)
    for stage, module in STAGES.items():
        monkeypatch.delattr(module, stage)  # whoever asks for it now fails
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
    """What is made when these stages are: explain once a tree."""
    times = {"compare": 1, "explain": len(demo.casework.comparison.trees), "prescribe": 1}
    return [stage for stage, often in times.items() for _ in range(often) if stage in stages]


@pytest.mark.parametrize(("change", "anew"), [
    (rain_more, {"explain", "prescribe"}), (raise_a_price, {"prescribe"}), (rename_the_engine, ALL),
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
    assert made == ["compare", *["explain"] * trees, "prescribe"]


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
    assert made == ["explain", "prescribe"]


def test_another_explanation_is_prescribed_for_anew(demo: Demo, book: Fieldbook, made: list[str], tmp_path: Path,
                                                    monkeypatch: pytest.MonkeyPatch) -> None:
    think(book, RUN, tmp_path)
    explanations = {each.tree_id: replace(each, doubts=("another",)) for each in demo.casework.explanations}
    monkeypatch.setattr(explain, "explain", lambda record, tree_id, *_, **__: explanations[tree_id])
    forget(tmp_path, b'"limit_draws"')
    made.clear()
    think(book, RUN, tmp_path)
    assert made == ["prescribe"]


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


def test_sources_that_change_while_they_are_loaded_keep_nothing(tmp_path: Path,
                                                                monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(results, "sources_digest", lambda package: "later")
    assert remembered(tmp_path, Estimate, (), lambda: ESTIMATE) == ESTIMATE
    assert list(tmp_path.iterdir()) == []


ESTIMATE = Estimate(0.1, -0.0, float("nan"), float("inf"), 1e-310, 1e300)


def failing() -> Estimate:
    raise AssertionError("it was kept")


def keep(folder: Path, estimate: Estimate = ESTIMATE, *name: object) -> Path:
    """The file this estimate is kept in."""
    before = set(folder.iterdir()) if folder.exists() else set()
    remembered(folder, Estimate, name, lambda: estimate)
    made, = set(folder.iterdir()) - before
    return made


@given(st.builds(Estimate, *[st.floats()] * 6))
def test_a_number_comes_back_to_the_last_bit(estimate: Estimate) -> None:
    written = results._written(estimate)
    back = results._typed(Estimate, json.loads(written))
    assert [np.isnan(x) or x.hex() for x in _numbers(back)] == [np.isnan(x) or x.hex() for x in _numbers(estimate)]


def _numbers(estimate: Estimate) -> list[float]:
    return [getattr(estimate, each.name) for each in fields(estimate)]


@pytest.mark.parametrize("broken", [
    b"", b"\n", b"{}", b"PK\x03\x04 another program's", "half", "flipped", "of another name", "a folder"])
def test_a_file_that_is_not_whole_is_made_anew(tmp_path: Path, broken: bytes | str) -> None:
    file = keep(tmp_path / "results")
    whole = file.read_bytes()
    if broken == "a folder":
        file.unlink()
        file.mkdir()
    elif broken == "of another name":
        shutil.copy(keep(tmp_path / "results", replace(ESTIMATE, mean=2.0), "another"), file)
    elif broken == "flipped":
        file.write_bytes(whole[:-3] + bytes([whole[-3] ^ 1]) + whole[-2:])
    else:
        file.write_bytes(whole[:-5] if isinstance(broken, str) else broken)
    assert bits(remembered(tmp_path / "results", Estimate, (), lambda: ESTIMATE)) == bits(ESTIMATE)
    if broken != "a folder":
        assert file.read_bytes() == whole
        assert bits(remembered(tmp_path / "results", Estimate, (), failing)) == bits(ESTIMATE)
    assert [each for each in (tmp_path / "results").iterdir() if len(each.name) != len(file.name)] == []


def test_kinds_do_not_meet(tmp_path: Path) -> None:
    keep(tmp_path / "results")
    assert remembered(tmp_path / "results", int, (), lambda: 5) == 5


def test_a_folder_that_cannot_be_is_no_error(tmp_path: Path) -> None:
    (tmp_path / "closed").write_text("in the way")
    for folder in (tmp_path / "closed", tmp_path / "closed" / "results"):
        assert remembered(folder, Estimate, (), lambda: ESTIMATE) is ESTIMATE


def test_a_folder_that_may_not_be_written_is_read_all_the_same(tmp_path: Path,
                                                               monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(**_: object) -> None:  # rights do not stop root
        raise PermissionError(errno.EACCES, "no")

    keep(tmp_path / "results")
    monkeypatch.setattr(results, "mkstemp", refuse)
    assert bits(remembered(tmp_path / "results", Estimate, (), failing)) == bits(ESTIMATE)
    assert remembered(tmp_path / "results", Estimate, ("another",), lambda: ESTIMATE) is ESTIMATE


def test_a_full_disk_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(part: str, path: Path) -> None:
        raise OSError(errno.ENOSPC, "no space")

    monkeypatch.setattr(os, "replace", full)
    assert remembered(tmp_path / "results", Estimate, (), lambda: ESTIMATE) is ESTIMATE
    assert list((tmp_path / "results").iterdir()) == []


@pytest.mark.skipif(sys.platform == "win32", reason="no such rights")
def test_nobody_else_reads_it(tmp_path: Path) -> None:
    file = keep(tmp_path / "results")
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert stat.S_IMODE(file.parent.stat().st_mode) == 0o700


def test_the_oldest_go_when_there_are_too_many(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    files = [keep(tmp_path, ESTIMATE, number) for number in range(6)]
    for age, file in enumerate(reversed(files)):  # file 0 is the oldest
        os.utime(file, ns=(1, 10**9 * (100 - age)))
    size = files[0].stat().st_size
    monkeypatch.setattr(results, "MOST_BYTES", 4 * size)
    newest = keep(tmp_path, ESTIMATE, "newest")
    assert {newest, *files[3:]} == set(tmp_path.iterdir())


WRITER = """
import sys
from pathlib import Path
from rootcase.records.estimate import Estimate
from rootcase.services import results
results.MOST_BYTES = 1000
results.sources_digest = results.cache(results.sources_digest)
for turn in range(400):
    number = float(turn % 9)
    expected = Estimate(*[number] * 6)
    assert results.remembered(Path(sys.argv[1]), Estimate, (number,), lambda: expected) == expected
"""


def test_two_programs_write_at_once(tmp_path: Path) -> None:
    environment = {**os.environ, "PYTHONPATH": str(results.PACKAGE.parent)}
    both = [subprocess.Popen([sys.executable, "-c", WRITER, str(tmp_path)], stderr=subprocess.PIPE, env=environment)
            for _ in range(2)]
    assert [(each.communicate()[1], each.returncode) for each in both] == [(b"", 0)] * 2
    assert {len(file.name) for file in tmp_path.iterdir()} == {64}
    for number in range(9):
        expected = Estimate(*[float(number)] * 6)
        assert remembered(tmp_path, Estimate, (float(number),), lambda: expected) == expected  # noqa: B023


def test_what_has_no_way_back_is_told(tmp_path: Path) -> None:
    def odd() -> Any:
        return replace(ESTIMATE, mean={1.0})

    with pytest.raises(TypeError, match="a result cannot hold a set"):
        remembered(tmp_path, Estimate, (), odd)
