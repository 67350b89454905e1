"""Terminal text: what stands where, in the width asked for, with nothing quietly left out."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from rootcase.records.compare import Comparison
from rootcase.records.estimate import Estimate
from rootcase.records.observe import PropertyRecord, Sample
from rootcase.records.report import Casework
from rootcase.report.terminal import (
    comparison_text,
    explanation_text,
    import_text,
    plan_text,
    readings_text,
    summary,
    weather_text,
)
from rootcase.report.terminal.chart import waterfall
from rootcase.report.text.cases import tree_cases
from rootcase.report.text.naming import compare_note, short_ids
from rootcase.report.text.whole_property import not_known
from tests.report.fixtures import casework_extreme, casework_fixture


@pytest.fixture(scope="module")
def casework() -> Casework:
    return casework_fixture()


def block(text: str, name: str) -> str:
    """The lines of one heading, up to the next."""
    return text.split(f"\n{name} ")[1].split("\n\n\n")[0]


def test_a_plan_on_readings_of_years_ago_says_so() -> None:
    casework = casework_fixture()
    newest = max(reading.day for reading in casework.record.readings)
    for days, said in ((3 * 365, False), (3 * 365 + 1, True)):
        later = replace(casework, made_on=newest + timedelta(days=days))
        assert ("older than three years" in plan_text(later)) is said
        told = [statement.text for statement in not_known(tree_cases(later), later)]
        assert any("older than three years" in text for text in told) is said


def test_summary_tells_the_whole_story_in_order(casework: Casework) -> None:
    text = summary(casework)
    places = [text.index(words) for words in (
        "Mill Hall", "Invented data", "Five of the seven trees", "\noak 1 ", "Oak 1 grows",
        "29 % of what its healthy kind grows", "Hard soil", "of it turf", "The soil alone predicts",
        "Not explained by the soil", "This tree, measured",
        "480 USD", "We did not find out", "The other trees", "The plan", "This year", "1,325 USD", "2,470 USD",
        "Your ceiling for this year", "What we do not know", "Weather ends 31 October 2015", "Not a risk assessment")]
    assert places == sorted(places)


@pytest.mark.property
@pytest.mark.parametrize("width", [40, 58, 60, 80, 132])
@pytest.mark.parametrize("make", [casework_fixture, casework_extreme])
def test_no_line_is_wider_than_asked(make: Callable[[], Casework], width: int) -> None:
    casework = make()
    record = casework.record
    for screen in (summary(casework, width), comparison_text(record, casework.comparison, width),
                   explanation_text(record, casework.explanations, width), plan_text(casework, width),
                   readings_text(record, width)):
        assert not [line for line in screen.splitlines() if len(line) > width]


def test_names_stay_as_typed_save_where_a_sentence_begins(casework: Casework) -> None:
    text = summary(casework)
    assert "\noak 1 " in text
    assert "\nOak 1 grows" in text
    labels = {"oak 1": "p1", "oak 2": "B 2"}
    trees = tuple(replace(tree, label=labels.get(tree.label, tree.label)) for tree in casework.record.trees)
    text = summary(replace(casework, record=replace(casework.record, trees=trees)))
    assert "\np1 grows" in text
    assert "\nB 2 " in text
    assert "P1" not in text
    record = replace(casework.record, trees=trees)
    assert not re.search(r"^(P1|Oak 3)$", readings_text(record), re.MULTILINE)
    assert re.search(r"^p1$", readings_text(record), re.MULTILINE)


def test_colour_adds_only_weight(casework: Casework) -> None:
    plain, coloured = summary(casework), summary(casework, colour=True)
    assert "\x1b" not in plain
    assert "\x1b[1m" in coloured
    assert re.sub(r"\x1b\[\d+m", "", coloured) == plain


@pytest.mark.property
def test_bars_are_as_long_as_their_numbers(casework: Casework) -> None:
    for explanation in casework.explanations:
        lines = waterfall(explanation, 132)
        whole = len(re.findall("█", lines[0]))
        tree = next((line for line in lines if line.startswith("This tree")), None)
        if tree and explanation.observed_share:
            level = 100 * explanation.observed_share.mean
            most = max(100.0, level)
            assert abs(tree.count("█") - whole * level / 100 * min(1, 100 / most) * most / 100) <= 1
        strength = next((line for line in lines if line.startswith("Hard soil")), None)
        if strength:
            points = next(step.points.mean for step in explanation.limits if step.limit == "strength")
            assert abs(strength.count("▒") - whole * points / 100) <= 1


@pytest.mark.property
@pytest.mark.parametrize("make", [casework_fixture, casework_extreme])
def test_a_narrow_waterfall_keeps_its_bars_and_numbers(make: Callable[[], Casework]) -> None:
    for explanation in make().explanations:
        wide, narrow = waterfall(explanation, 132), waterfall(explanation, 40)
        assert max(map(len, narrow)) <= 40
        assert narrow[:2] == ["Its healthy kind", narrow[1]]
        assert narrow[1].count("█") == pytest.approx(wide[0].count("█") * 18 / 81, abs=1)
        numbers = re.findall(r"[−+]?\d+", " ".join(wide))
        assert re.findall(r"[−+]?\d+", " ".join(narrow)) == numbers


def test_a_gain_is_a_step_up(casework: Casework) -> None:
    water = next(line for line in waterfall(casework.explanations[1], 80) if line.startswith("Too little water"))
    assert "+++" in water
    assert "▒" not in water
    assert "+22" in water


def test_a_cause_that_is_not_known_is_not_put_as_the_answer(casework: Casework) -> None:
    first = casework.explanations[0]
    bare = replace(first, limits=tuple(replace(limit, rests_on=()) for limit in first.limits), conditioned=None)
    lines = summary(replace(casework, explanations=(bare, *casework.explanations[1:]))).splitlines()
    told = next(line for line in lines if "most weight so far" in line)
    assert re.fullmatch(r"not known; most weight so far: hard soil \(0\.\d\d\)", told)
    assert not [line for line in lines if re.match(r"not known, \d", line)]
    assert any(re.match(r"(likely|maybe), 0\.\d\d: ", line) for line in lines)


def test_what_was_not_read_says_so(casework: Casework) -> None:
    text = summary(casework)
    assert "oak 8  not known" in text
    assert "The growth of oak 8: no shoots were read." in text


def test_comparison(casework: Casework) -> None:
    text = comparison_text(casework.record, casework.comparison)
    assert "2015   4.1 in (11 cm)  15 in (37 cm)       8" in text
    assert re.search(r"Leaf blade length +not known +5.6 in \(142 mm\)", text)
    assert "17 points more (8 to 26)" in " ".join(text.split())


def test_each_year_has_its_share_with_its_interval(casework: Casework) -> None:
    first = casework.comparison.trees[0]
    share = Estimate(0.29, 0.28, 0.21, 0.38, 0.25, 0.33)
    years = (replace(first.years[0], share=share), *first.years[1:])
    comparison = replace(casework.comparison, trees=(replace(first, years=years),))
    rows = comparison_text(casework.record, comparison).splitlines()
    head = next(i for i, line in enumerate(rows) if line.startswith("year "))
    assert rows[head].endswith("shoots  share (9 in 10)")
    assert re.search(r"^2015 .* 8 +29 % \(21 to 38\)$", rows[head + 1])
    assert re.search(r"^2014 .* 10 +not known$", rows[head + 2])


def test_what_was_missing_beside_a_measure_is_named(casework: Casework) -> None:
    first = casework.comparison.trees[0]
    measures = tuple(replace(line, share=None, difference=None, note="companion_missing"
                             if line.kind == "crown_dieback" else line.note) for line in first.measures)
    comparison = replace(casework.comparison, trees=(replace(first, measures=measures),))
    text = " ".join(comparison_text(casework.record, comparison, 200).split())
    assert re.search(r"Crown dieback [^.]*: not read beside it the same day: light while rating crowns\.", text)
    both = compare_note("companion_missing", "crown_transparency")
    assert "the same day: crown in the line of sight or light while rating crowns." in both


def test_comparison_against_the_growth_class(casework: Casework) -> None:
    line = replace(casework.comparison.trees[0], basis="growth class", yardstick_id=None)
    text = comparison_text(casework.record, Comparison(casework.record.property.id, (line,), 1, 1, date(2015, 11, 4)))
    assert "of what the books give for its kind" in text


def test_explanation_keeps_the_conditioned_result_apart(casework: Casework) -> None:
    text = explanation_text(casework.record, casework.explanations[:1])
    assert text.index("This tree, measured") < text.index("Taking in the growth itself: hard soil −33")
    assert "A cause outside the soil: chance 0.28" in text.replace("\n", " ")
    assert "Weather ends 31 October 2015" in text


def test_plan_puts_leaving_alone_first(casework: Casework) -> None:
    text = plan_text(casework)
    first = text.split("what could be done")[1].splitlines()[1]
    assert first.startswith("Leave it alone")
    assert "the base" in first
    assert "· Gain not known: keeping wheels and feet off." in text
    assert max(len(block.splitlines()) for block in text.split("\n\n")) < 24, "a tree fits on a screen"
    assert "1,325 USD of it this year." in text
    assert "Your ceiling for this year: 4,000 USD." in text
    assert "Nothing on our list helps maple 4." in text


def read_aloud(record: PropertyRecord, width: int = 80) -> str:
    return readings_text(record, width).replace("\N{NO-BREAK SPACE}", " ")


def test_readings_are_shown_as_typed(casework: Casework) -> None:
    text = read_aloud(casework.record)
    assert re.search(r"Height +2 October 2015 +44 ft", text)
    assert "trunk goes into" in text


def test_a_choice_is_listed_by_its_name_and_by_its_meaning_where_the_name_says_nothing(casework: Casework) -> None:
    text = read_aloud(casework.record)
    assert re.search(r"Texture by feel +2 October 2015 +clay loam \[", text)
    assert "2.5-5 cm" not in text
    assert re.search(r"Root flare +2 October 2015 +trunk goes into", text)


def test_every_reading_shows_the_end_of_its_id_that_a_correction_takes(casework: Casework) -> None:
    text, short = readings_text(casework.record), short_ids(casework.record)
    height = next(reading for reading in casework.record.readings if reading.kind == "tree_height")
    assert f"44 ft [{short[height.id]}]".replace(" ", "\N{NO-BREAK SPACE}") in text, "a number is never torn"
    assert all(f"[{sign}]" in text for sign in short.values())
    assert {len(sign) for sign in short.values()} == {5}


def test_a_doubt_stands_with_its_own_value(casework: Casework) -> None:
    readings = list(casework.record.readings)
    shoots = [i for i, reading in enumerate(readings) if reading.kind == "shoot_length_by_year"]
    readings[shoots[1]] = replace(readings[shoots[1]], doubts=("longer than usual", "one lost point?"))
    record = replace(casework.record, readings=tuple(readings))
    signs = short_ids(record)
    first, second, third = (readings[i] for i in shoots[:3])
    told = " ".join(read_aloud(record, 400).split())
    assert (f"{first.typed} [{signs[first.id]}], {second.typed} [{signs[second.id]}] (doubted: longer than usual; one "
            f"lost point?), {third.typed} [{signs[third.id]}], ") in told
    assert told.count("doubted:") == 1


@dataclass(frozen=True)
class AFault:
    row: int
    value: str = "356 in"
    what: str = "356 is too thick"
    right: str = "was it mm?"

    @property
    def where(self) -> str:
        return f"trees row {self.row}, dbh"

    @property
    def line(self) -> str:
        return f"{self.where}: {self.what} (got {self.value}); {self.right}"


@dataclass(frozen=True)
class ASheet:
    property_name: str = "Mill Hall"
    new: int = 1170
    same: int = 2
    corrected: int = 1
    faults: tuple[AFault, ...] = (AFault(3),)
    rejects_path: Path | None = Path("rejects.xlsx")
    told: tuple[str, ...] = ("1,5 taken as 1.5",)
    unknown_columns: tuple[str, ...] = ("mood",)
    unknown_pages: tuple[str, ...] = ()


def test_an_import_names_what_needs_the_person() -> None:
    text = import_text(ASheet())
    assert text.splitlines() == [
        "Mill Hall: 1,170 new, 1 corrected, 2 known already.", "· 1,5 taken as 1.5",
        "· Columns that are none of ours, kept as text: mood.", "1 need you; the rest is kept.",
        "! trees row 3, dbh: 356 is too thick (got 356 in); was it mm?", "Mend them in rejects.xlsx and import that."]


def test_faults_of_one_cause_are_told_once_and_past_ten_rows_counted() -> None:
    tree = tuple(AFault(row, f"oak {row}", "there is no tree of this name", "add it") for row in range(3, 1203))
    text = import_text(replace(ASheet(), faults=(AFault(2), *tree))).splitlines()[3:]
    assert text[0] == "1,201 need you; the rest is kept."
    assert text[1] == "! trees row 2, dbh: 356 is too thick (got 356 in); was it mm?"
    assert text[2] == "! There is no tree of this name: 1,200 times. Add it"
    assert text[3] == "  · trees row 3, dbh: oak 3"
    assert text[12:] == ["  · trees row 12, dbh: oak 12", "  · and 1,190 more, all in the file named below",
                         "Mend them in rejects.xlsx and import that."]
    two_ways_out = (AFault(3, right="was it mm?"), AFault(4, right="was it a girth?"))
    assert import_text(replace(ASheet(), faults=two_ways_out)).count("! ") == 2


@dataclass(frozen=True)
class AWeatherFile:
    station: str = "Seattle"
    new: int = 1461
    replaced: int = 0
    same: int = 0
    first: date | None = date(2012, 1, 1)
    ends: date | None = date(2015, 12, 31)
    told: tuple[str, ...] = ("Daily weather, a row a day.",)
    gaps: tuple[str, ...] = ("3 days missing in June 2014",)
    faults: tuple[AFault, ...] = ()


def test_weather_says_where_it_ends_and_what_is_missing() -> None:
    assert weather_text(AWeatherFile()).splitlines() == [
        "Seattle: 1 January 2012 to 31 December 2015. 1,461 days new, 0 replaced, 0 known", "already.",
        "· Daily weather, a row a day.", "· 3 days missing in June 2014"]


def test_a_typical_year_has_no_first_day() -> None:
    typical = AWeatherFile(new=365, first=None, ends=None, told=(), gaps=())
    assert weather_text(typical).splitlines() == ["Seattle: 365 days of a typical year."]


def test_trees_at_which_nothing_was_read_are_named_together(casework: Casework) -> None:
    first = casework.comparison.trees[0]
    unread = tuple(replace(first, tree_id=tree.id, share=None, measures=(), years=())
                   for tree in casework.record.trees[:3])
    text = comparison_text(casework.record, replace(casework.comparison, trees=unread), 200)
    assert len(re.findall("we cannot tell", text)) == 1
    assert all(tree.label in text for tree in casework.record.trees[:3])
    alone = comparison_text(casework.record, replace(casework.comparison, trees=unread[:1]), 200)
    assert "We cannot tell how" in alone


def test_things_of_one_label_are_told_apart(casework: Casework) -> None:
    record, tree = casework.record, next(t for t in casework.record.trees if casework.record.of(t.id))
    of_tree = record.of(tree.id)[0]
    sample = Sample("s", record.property.id, tree.label, tree.id, None)
    both = replace(record, samples=(sample,), readings=(*record.readings, replace(of_tree, id="s" * 9, of="s")))
    text = readings_text(both)
    assert re.search(rf"^{tree.label} +tree$", text, re.MULTILINE)
    assert re.search(rf"^{tree.label} +sample at {tree.label}$", text, re.MULTILINE)
