"""The main job, from field sheet to report, as a stranger starts it; and the same bytes however it is started."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from rootcase.cli.main import compiled_folder

FOLDERS = ["Alder-Bank-school-ground", "Cedar-Lane"]
LIMITS = ["strength", "air", "water", "salt", "nutrition", "establishment"]
FOUR = {"mean", "median", "low", "high"}
SRC = Path(__file__).parents[2] / "src"
COMPILED = os.environ.get("NUMBA_CACHE_DIR", compiled_folder())


def run_demo(folder, *, cache, threads=2, environment=None, cwd=None):
    """Files and words of one run; with a cache of its own it computes, and takes nothing an earlier run has kept."""
    command = [sys.executable, "-m", "rootcase.cli.main", "demo", "--out", str(folder), "--threads", str(threads)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, cwd=cwd,
                          env={**os.environ, "PYTHONPATH": str(SRC), "XDG_CACHE_HOME": str(cache),
                               "NUMBA_CACHE_DIR": COMPILED, **(environment or {})})
    assert done.returncode == 0, done.stderr[-2000:]
    return {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}, done.stdout


def kept_in(cache):
    return {p.name: p.stat().st_mtime_ns for p in (cache / "rootcase" / "results").iterdir()}


@pytest.fixture(scope="module")
def cache(tmp_path_factory):
    return tmp_path_factory.mktemp("cache")


@pytest.fixture(scope="module")
def demo(tmp_path_factory, cache):
    files, printed = run_demo(tmp_path_factory.mktemp("demo") / "out", cache=cache)
    return files, printed, [json.loads(files[f"{folder}/casework.json"]) for folder in FOLDERS]


@pytest.fixture(scope="module")
def trees(demo):
    return [tree for numbers in demo[2] for tree in numbers["trees"]]


def test_it_writes_what_it_promises(demo):
    files, printed, properties = demo
    for folder, numbers in zip(FOLDERS, properties, strict=True):
        assert files[f"{folder}/report.pdf"].startswith(b"%PDF-")
        assert len([name for name in files if name.startswith(f"{folder}/pictures/") and name.endswith(".svg")]) >= 4
        assert {"level", "currency", "draws", "seed", "engine", "trees", "plan"} <= set(numbers)
        assert (numbers["level"], numbers["currency"]) == (0.9, "USD")
        assert all(tree["tree"] in printed for tree in numbers["trees"])


def test_it_has_trees_of_several_kinds_and_places(demo, trees):
    assert 12 <= len(trees) <= 20
    assert len({tree["species"] for tree in trees}) >= 4
    assert [numbers["property"] for numbers in demo[2]] == ["Alder Bank school ground", "Cedar Lane"]


def test_each_tree_has_all_its_figures(trees):
    for tree in trees:
        assert {"tree", "species", "observed_share", "predicted_share", "limits", "unexplained_points", "conditioned",
                "remedies", "verdict"} <= set(tree)
        assert [limit["limit"] for limit in tree["limits"]] == LIMITS
        assert all(set(limit["points"]) >= FOUR for limit in tree["limits"])
        for remedy in tree["remedies"]:
            assert {"remedy", "dose", "cost", "gain_points", "verdict"} <= set(remedy)


def test_the_readme_shows_what_it_prints(demo):
    readme = (SRC.parent / "README.md").read_text(encoding="utf-8")
    shown = readme.split("$ ./run demo\n")[1].split("```")[0].splitlines()
    printed = set(demo[1].splitlines())
    assert [line for line in shown if line not in printed and not line.startswith(("[", "Report: "))] == []


def test_the_waterfall_closes_in_means(trees):
    for tree in trees:
        taken = sum(limit["points"]["mean"] for limit in tree["limits"])
        assert abs(100 - taken - 100 * tree["predicted_share"]["mean"]) < 1e-6, tree["tree"]
        if tree["observed_share"] is not None:
            left = 100 - taken - tree["unexplained_points"]["mean"]
            assert abs(left - 100 * tree["observed_share"]["mean"]) < 1e-6, tree["tree"]


def test_every_kind_of_answer_is_there(trees):
    """Some trees are treated and at least one is left alone: nothing is prescribed to every tree."""
    verdicts = {tree["verdict"] for tree in trees}
    assert "leave it alone" in verdicts
    assert len(verdicts) >= 2


def test_the_tree_sick_from_something_else_is_named_so_and_no_other_gets_an_odd_cause(trees):
    """Its story: a buried flare and roots that squeeze the trunk. Nothing of the soil is done for it."""
    sick = next(tree for tree in trees if tree["tree"] == "oak 6")
    assert sick["verdict"] == "leave it alone"
    assert {remedy["remedy"] for remedy in sick["remedies"] if remedy["verdict"] == "chosen"} <= {"nothing"}
    assert {cause["cause"] for cause in sick["signs"]["causes"][:2]} == {"girdling_roots", "buried_flare"}
    assert sick["signs"]["causes"][0]["chance"] > 2 / 3
    assert sick["signs"]["first_stays"] > 0.8
    assert sick["signs"]["look"]["kind"] == "encircling_share"
    for tree in trees:
        if tree is not sick and tree["signs"]:
            assert tree["signs"]["causes"][0]["chance"] < 1 / 3, tree["tree"]


def test_four_trees_are_answered_as_they_should_be(trees):
    """Sound, sick from something else, in a paved pit, and new: none of them is sold what does not help it."""
    tree = {each["tree"]: each for each in trees}
    sound, sick, pit, new = (tree[label] for label in ("oak 3", "oak 6", "oak 7", "oak 8"))
    assert (sound["verdict"], sound["reason"]) == ("leave it alone", "like_its_kind")
    assert (sick["verdict"], sick["reason"], sick["chosen"]) == ("leave it alone", "not_the_soil", None)
    assert (pit["verdict"], pit["chosen"]) == ("nothing on our list helps", None)
    assert (new["verdict"], new["reason"]) == ("treat", "water_and_patience")
    chosen = next(each for each in new["remedies"] if each["remedy"] == new["chosen"])
    assert chosen["steps"][0]["remedy"] == "water"
    assert chosen["steps"][0]["year"] == 1
    assert max(step["year"] for step in chosen["steps"] if step["remedy"] == "water") < 5


def test_no_remedy_is_credited_with_more_than_the_yardstick(trees):
    for tree in trees:
        for remedy in tree["remedies"]:
            assert remedy["gain_points"] is None or remedy["gain_points"]["high"] <= 100.0


@pytest.mark.property
@pytest.mark.parametrize("differing", [
    "everything", *(pytest.param(one, marks=pytest.mark.full) for one in ("threads", "place and time", "cold cache"))])
def test_the_same_bytes_however_it_is_started(demo, trees, tmp_path, differing):
    """All at once; with --long one by one too, so that the test names the guilty, and with code compiled anew."""
    environment = {}
    if differing in ("everything", "place and time"):
        environment |= {"TZ": "Pacific/Auckland", "LC_ALL": "C", "PYTHONHASHSEED": "7"}
    if differing == "cold cache":
        environment |= {"NUMBA_CACHE_DIR": str(tmp_path / "cold")}
    threads = 1 if differing in ("everything", "threads") else 2
    again, _ = run_demo(tmp_path / "another folder" / "öut", cache=tmp_path / "empty", threads=threads,
                        environment=environment, cwd=tmp_path)
    assert len(kept_in(tmp_path / "empty")) == 2 * len(trees) + 2 * len(FOLDERS)  # it has computed
    assert again.keys() == demo[0].keys()
    assert [name for name, data in again.items() if data != demo[0][name]] == []


def test_a_second_run_takes_what_is_kept_and_writes_the_same_bytes(demo, cache, tmp_path):
    kept = kept_in(cache)
    files, printed = run_demo(tmp_path / "out", cache=cache, threads=1)
    assert files == demo[0]
    assert [line for line in printed.splitlines() if not line.startswith(("Report: ", "Offer: "))] == [
        line for line in demo[1].splitlines() if not line.startswith(("Report: ", "Offer: "))]
    assert kept_in(cache) == kept
