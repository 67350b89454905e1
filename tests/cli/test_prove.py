"""rootcase prove, as a stranger would type it."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from rootcase.cli.main import rootcase
from rootcase.cli.proving.fit import fit
from rootcase.ground.errors import RootcaseError

DATA = Path(__file__).parents[1] / "data" / "trials"


def asked(*words: str) -> str:
    result = CliRunner().invoke(rootcase, ["prove", *words], catch_exceptions=False)
    assert result.exit_code == 0, result.output
    return result.output


def table(tmp_path: Path, text: str) -> str:
    path = tmp_path / "table.csv"
    path.write_text(text, encoding="utf-8")
    return str(path)


@pytest.mark.reference
def test_a_trial_is_answered_for_programs_and_for_people() -> None:
    found = json.loads(asked("fit", str(DATA / "baci_b.csv"), "--df", "kenward-roger", "--json"))
    assert {name: round(found[name], 4) for name in ("effect", "se", "df", "p")} == {
        "effect": 1.3852, "se": 0.5831, "df": 155.9271, "p": 0.0187}
    assert found["replicates"] == {"unit": "tree", "treated": 24, "untreated": 24, "sites": 8, "trees": 48,
                                   "readings": 950}
    assert [each["kind"] for each in found["warnings"]] == ["lost"]
    narrow = json.loads(asked("fit", str(DATA / "baci_b.csv"), "--level", "0.9", "--json"))
    assert narrow["df_by"] == "satterthwaite"
    assert narrow["level"] == 0.9
    told = asked("fit", str(DATA / "baci_null.csv"))
    assert "Not told from nothing: an effect larger than 1.138 up or 3.151 down is not likely" in " ".join(told.split())
    assert "never shoots" in told


def test_disturbed_trees_stay_and_the_effect_without_them_is_told(tmp_path: Path) -> None:
    head, *rows = (DATA / "baci_b.csv").read_text(encoding="utf-8").splitlines()
    place = head.split(",").index("tree")
    struck = sorted({row.split(",")[place] for row in rows})[1:3]  # the first was lost
    flagged = table(tmp_path, "\n".join([f"{head},befell", *(
        f"{row},{'pruned' if row.split(',')[place] in struck else ''}" for row in rows)]))
    found, plain = (json.loads(asked("fit", *words, "--json")) for words in (
        (flagged, "--flag", "Befell"), (str(DATA / "baci_b.csv"),)))
    assert {name: found[name] for name in ("effect", "se", "df", "replicates")} == {
        name: plain[name] for name in ("effect", "se", "df", "replicates")}
    warning = next(each for each in found["warnings"] if each["kind"] == "disturbed")
    assert warning["names"] == [f"{tree} (pruned)" for tree in struck]
    assert "Without these trees the effect is" in " ".join(asked("fit", flagged, "--flag", "befell").split())
    left = json.loads(asked("fit", table(tmp_path, "\n".join([head, *(
        row for row in rows if row.split(",")[place] not in struck)])), "--json"))
    assert warning["figures"] == [left["effect"], left["low"], left["high"]]


def test_a_flag_of_0_and_no_is_none(tmp_path: Path) -> None:
    head, *rows = (DATA / "baci_b.csv").read_text(encoding="utf-8").splitlines()
    place = head.split(",").index("tree")
    struck = sorted({row.split(",")[place] for row in rows})[1]
    flagged = table(tmp_path, "\n".join([f"{head},pruned", *(
        f"{row},{'1' if row.split(',')[place] == struck else ('0', 'no', '')[at % 3]}"
        for at, row in enumerate(rows))]))
    warning = json.loads(asked("fit", flagged, "--flag", "pruned", "--json"))["warnings"][-1]
    assert (warning["kind"], warning["names"]) == ("disturbed", [f"{struck} (1)"])


def test_a_lost_tree_is_named_with_why(tmp_path: Path) -> None:
    head, *rows = (DATA / "baci_b.csv").read_text(encoding="utf-8").splitlines()
    place, (lost, *_) = head.split(",").index("tree"), next(
        each["names"] for each in json.loads(asked("fit", str(DATA / "baci_b.csv"), "--json"))["warnings"])
    path = table(tmp_path, "\n".join([f"{head},befell", *(
        f"{row},{'felled for a main' if row.split(',')[place] == lost else ''}" for row in rows)]))
    (warning,) = json.loads(asked("fit", path, "--flag", "befell", "--json"))["warnings"]
    assert (warning["kind"], warning["names"][0]) == ("lost", f"{lost} (felled for a main)")


def test_a_trial_of_which_all_were_disturbed_says_that_nothing_is_left(tmp_path: Path) -> None:
    head, *rows = (DATA / "baci_b.csv").read_text(encoding="utf-8").splitlines()
    every = table(tmp_path, "\n".join([f"{head},befell", *(f"{row},dug near" for row in rows)]))
    assert "too little is left for an answer" in " ".join(asked("fit", every, "--flag", "befell").split())


@pytest.mark.published
def test_trials_are_pooled_by_either_way(tmp_path: Path) -> None:
    schools = table(tmp_path, "study,yi,vi\n" + "".join(
        f"{name},{y},{se**2}\n" for name, y, se in zip(
            "ABCDEFGH", (28, 8, -3, 7, -1, 1, 18, 12), (15, 10, 16, 11, 9, 11, 10, 18), strict=True)))
    found = json.loads(asked("pool", schools, "--method", "dl", "--json"))
    assert (found["mu"], found["se"], found["tau2"], found["i2"]) == pytest.approx((7.685617, 4.071919, 0.0, 0.0))
    believed = json.loads(asked("pool", schools, "--method", "bayes", "--json"))
    assert (believed["mu"], believed["shrunken"][0]) == pytest.approx((7.9324, 11.4003), abs=1e-3)
    stated = json.loads(asked("pool", schools, "--method", "bayes", "--prior-sd", "5", "--between", "half_cauchy",
                              "--between-scale", "5", "--json"))
    assert stated["mu"] == pytest.approx(4.3968, abs=1e-3)
    assert "Trials differ no more than by chance." in asked("pool", schools)
    assert "A: 28; after hearing the others" in asked("pool", schools, "--method", "bayes")


def test_what_a_trial_could_see() -> None:
    told = " ".join(asked("power", "trees=20", "effect=2", "shoots=6", "tree_year=1.2", "shoot=4").split())
    assert "see a difference of 2 in 58 % of trials" in told
    assert "For 2 in 80 %: 34 trees an arm." in told


@pytest.mark.parametrize(("command", "text", "says"), [
    ("fit", "site,tree,year,after,treated,shoot,y\na,1,2025,maybe,1,1,5\n", "after is neither 0 nor 1 (got maybe)"),
    ("fit", "site,tree,year,after,treated,shoot,y\na,1,2025.5,0,1,1,5\n", "year is no whole number"),
    ("fit", "site,tree,year,after,treated,shoot,y\na,1,2025,0,1,1,5\na,1,2025,0,1,1,6\n", "stands in row 2 already"),
    ("fit", "site,tree,year,after,treated,shoot,y\na,1,2025,0,1,1,5\na,1,2025.0,0,1,1,6\n", "stands in row 2 already"),
    ("fit", "site,tree,year,after,treated,shoot,y\n", "the file has no rows"),
    ("fit", "site,tree,year,y\n", "there is no column after"),
    ("fit", "site,tree,year,after,treated,shoot,y\na,1,2025,0,1,1,5 in\n", "the y is not a number (got 5 in)"),
    ("pool", "study,yi,vi\na,1,0\n", "the variance of an effect is above 0"),
    ("pool", "study,yi,vi\na,1,1\n", "")])
def test_what_is_wrong_in_a_file_is_one_line_with_its_row(tmp_path: Path, command: str, text: str, says: str) -> None:
    file = table(tmp_path, text)
    if not says:
        assert "Effect 1 (" in (told := asked(command, file))
        assert "chance" not in told
        return
    with pytest.raises(RootcaseError, match=f"^[^\n]*{re.escape(says)}[^\n]*$"):
        asked(command, file)


@pytest.mark.parametrize(("words", "says"), [
    (["trees=20"], "nothing is said of effect, tree_year, shoot"),
    (["trees=20 oaks", "effect=2", "tree_year=1", "shoot=4"], "this is no number (got 20 oaks)"),
    (["trees=9", "effect=2", "tree_year=1", "shoot=4", "sites=2.9"],
     "sites: this is no whole number from 1 to 1,000,000 (got 2.9)"),
    (["trees=9", "effect=2", "tree_year=1", "shoot=4", "sites=0"], "sites: this is no whole number"),
    (["trees=1.5", "effect=4", "tree_year=2", "shoot=5"], "trees: this is no whole number"),
    (["trees=1e9", "effect=4", "tree_year=2", "shoot=5"], "trees: this is no whole number"),
    (["trees=9", "effect=4", "tree_year=2", "shoot=5", "before=0"], "before: this is no whole number"),
    (["trees=9", "trees=12", "effect=4", "tree_year=2", "shoot=5"], "trees is named twice (got trees=12)"),
    (["oaks=20"], "oaks=20"), (["trees=2", "effect=2", "tree_year=1", "shoot=4", "sites=6"], "together more than 7")])
def test_what_is_wrong_on_the_line_is_said(words: list[str], says: str) -> None:
    with pytest.raises(RootcaseError, match=re.escape(says)):
        asked("power", *words)


def test_what_effects_depend_on_wants_ten_trials(tmp_path: Path) -> None:
    rows = [f"{at},{0.1 * at + 0.02 * (at % 3)},0.05,{at},{'ab'[at % 2]}" for at in range(12)]
    path = table(tmp_path, "\n".join(["study,yi,vi,rain,place", *rows]))
    line = json.loads(asked("pool", path, "--moderator", "Rain", "--json"))
    assert line["moderator"]["column"] == "rain"
    assert line["moderator"]["df"] == 10
    assert line["moderator"]["slope"] == pytest.approx(0.1, abs=0.01)
    assert line["mu"] == pytest.approx(0.57, abs=0.01)  # at the mean of rain
    assert "For each 1 more of rain the effect changes by 0.1" in asked("pool", path, "--moderator", "rain")
    few = table(tmp_path, "\n".join(["study,yi,vi,rain,place", *rows[:9]]))
    result = CliRunner().invoke(rootcase, ["prove", "pool", few, "--moderator", "rain"])
    assert isinstance(result.exception, RootcaseError)
    assert "9 trials" in str(result.exception)
    assert "at least 10" in str(result.exception)


def test_effects_of_one_property_are_not_so_many_properties(tmp_path: Path) -> None:
    path = table(tmp_path, "study,yi,vi,place\n1,1.0,0.01,a\n2,1.2,0.01,a\n3,3.0,0.01,b\n4,3.1,0.01,b\n")
    grouped = json.loads(asked("pool", path, "--property", "place", "--json"))
    alone = json.loads(asked("pool", path, "--json"))
    assert grouped["properties"] == 2
    assert grouped["se"] > 1.5 * alone["se"]
    assert grouped["high"] - grouped["low"] > 10.0  # two properties: t with one degree of freedom
    assert "By 2 properties, which are what was repeated" in asked("pool", path, "--property", "place")
    both = CliRunner().invoke(rootcase, ["prove", "pool", path, "--property", "place", "--moderator", "yi"])
    assert both.exit_code == 2


def test_effects_of_one_property_alone_have_no_interval(tmp_path: Path) -> None:
    path = table(tmp_path, "study,yi,vi,place\n1,1.0,0.01,a\n2,1.2,0.01,a\n")
    line = asked("pool", path, "--property", "place", "--json")
    assert "Infinity" not in line
    assert (json.loads(line)["low"], json.loads(line)["high"]) == (None, None)
    assert "one has no interval" in " ".join(asked("pool", path, "--property", "place").split())


def test_three_trials_of_which_nothing_was_believed_leave_their_spread_open(tmp_path: Path) -> None:
    """The tail of three flat trials falls as the spread squared: the sums for mean and spread of it have no end."""
    three = "study,yi,vi\na,1,0.1\nb,2,0.1\nc,1.5,0.1\n"
    found = json.loads(asked("pool", table(tmp_path, three), "--method", "bayes", "--json"))
    assert (found["se"], found["tau"], found["tau_sd"]) == (None, None, None)
    assert (found["mu"], found["low"]) == pytest.approx((1.5, -3.0025), abs=1e-3)
    assert "leave open how far" in asked("pool", table(tmp_path, three), "--method", "bayes")
    five = json.loads(asked("pool", table(tmp_path, f"{three}d,1.2,0.1\ne,0.4,0.1\n"), "--method", "bayes", "--json"))
    assert five["se"] == pytest.approx(0.50338, abs=2e-4)  # by quadrature
    stated = json.loads(asked("pool", table(tmp_path, three), "--method", "bayes", "--prior-sd", "1", "--json"))
    assert stated["se"] < 1.0


def test_no_option_makes_shoots_what_was_repeated() -> None:
    """Under all there are, 48 trees stand for 950 shoots."""
    assert {each.name for each in fit.params} == {"file", "freedom_by", "level", "flag", "as_json"}
    for df in ("satterthwaite", "kenward-roger"):
        for level in ("0.5", "0.9", "0.999"):
            found = json.loads(asked("fit", str(DATA / "baci_b.csv"), "--df", df, "--level", level, "--json"))
            assert (found["replicates"]["unit"], found["replicates"]["trees"]) == ("tree", 48)
    flagged = json.loads(asked("fit", str(DATA / "baci_b.csv"), "--flag", "shoot", "--json"))
    assert (flagged["replicates"]["unit"], flagged["replicates"]["trees"]) == ("tree", 48)
