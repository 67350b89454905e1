"""The client's report: it builds whatever is read or typed, is tagged, says what it must, and never differs."""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pypdf
import pytest
import typst

from rootcase.casework.compare.laboratory import laboratory
from rootcase.records.explain import Explanation
from rootcase.records.prescribe import Step
from rootcase.records.report import Author, Casework
from rootcase.report.pdf.behind import rows_of, short_ids
from rootcase.report.pdf.report import report_pdf
from rootcase.report.pdf.typeset import ReportError
from rootcase.report.text.naming import remedy_name
from tests.report.cases import CASES
from tests.report.fixtures import casework_extreme, casework_fixture, casework_of


@cache
def report_of(make: Callable[[], Casework]) -> bytes:
    return report_pdf(make())


def plain_report() -> bytes:
    return report_of(casework_fixture)


def opened(pdf: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(pdf))


def pages(pdf: bytes, *order: str) -> list[str]:
    """Text of each page in the order in which it seems to stand, or with "-raw" in that in which it was set."""
    text = subprocess.run(["pdftotext", *order, "-", "-"], input=pdf, capture_output=True, check=True).stdout.decode()
    return [" ".join(page.split()) for page in text.split("\f")[:-1]]


def test_the_property_has_two_pages_each_lagging_tree_one_the_others_a_table() -> None:
    text = pages(plain_report())
    assert "Five of the seven trees we read grow clearly less than their kind." in text[0]
    as_set = pages(plain_report(), "-raw")[0]
    found = [as_set.index(title) for title in ("What we found", "What we propose", "If nothing is done",
                                                "What we do not know")]
    assert found == sorted(found)
    assert "What it means for you" in text[0] + text[1]
    for page, label in zip(text[2:7], ("Oak 1", "Oak 3", "Maple 4", "Maple 5", "Oak 6"), strict=True):
        assert f"{label} grows about" in page
        assert "What takes the growth, of 100" in page
        assert "What could be done" in page
    assert "The other trees" in text[7]
    assert "The figures, and what they rest on" in text[7]
    assert "Tables and model" in text[-1]


def test_laboratory_sheets_stand_as_tables_and_lead_to_their_readings() -> None:
    told = casework_fixture()
    sheets = replace(told, comparison=replace(told.comparison, laboratory=laboratory(told.record)))
    text = pages(report_pdf(sheets), "-layout")
    page = next(each for each in text if "Laboratory sheets" in each)
    for words in ("Soil A", "Organic matter (loss on", "2.8 % (2.3 to 3.4)", "University of Minnesota",
                  "ignition reads higher than carbon"):
        assert words in page, words
    assert "Soil A: what the laboratory told" in " ".join(text)
    assert not any("Laboratory sheets" in each for each in pages(plain_report()))


def test_the_second_page_says_who_what_and_until_when() -> None:
    page = pages(plain_report())[1]
    for words in ("Yes to this", "Ask a question", "No, leave it", "This is not a risk assessment", "Prepared by ____",
                  "The findings hold until November 2016",
                  "Prices are before tax and hold as the offer says.", "last read 2 October 2015"):
        assert words in page
    signed = replace(casework_fixture(), author=Author("A. Reader", "none"))
    assert "Prepared by A. Reader, credential none." in pages(report_pdf(signed))[1]


def test_the_head_of_the_record_is_the_last_line_of_a_report() -> None:
    casework = casework_fixture()
    line = "Record of work up to entry 214: head 3f9c01ab5d7e2c40, 27 November 2026"
    assert line in pages(report_pdf(casework, line))[-1]
    assert "Record of work" not in pages(report_pdf(casework))[-1]


def test_where_nothing_has_a_position_the_years_of_the_plan_follow_the_answer() -> None:
    casework = casework_fixture()
    dated = tuple(replace(item, steps=(Step(1, "autumn", item.remedy, item.dose, item.cost),))
                  for item in casework.plan.items)
    casework = replace(casework, plan=replace(casework.plan, items=dated))
    record = casework.record
    nowhere = replace(record, trees=tuple(replace(tree, east_m=None, north_m=None) for tree in record.trees),
                      places=tuple(replace(place, outline_m=()) for place in record.places), outlines=(), lines=(),
                      keep_off=())
    text = pages(report_pdf(replace(casework, record=nowhere)))
    assert "bring a list that says where they stand" in text[1]
    years, first_tree = (" ".join(text).index(words) for words in ("The plan, year by year", "Oak 1 grows about"))
    assert years < first_tree
    placed = " ".join(pages(report_pdf(casework)))
    assert placed.index("Oak 1 grows about") < placed.index("The plan, year by year")


def test_leaving_it_alone_is_the_first_row_of_every_choice() -> None:
    for page in pages(plain_report())[2:7]:
        assert "What could be done, gain over five years Leave it alone" in page
        assert "the base" in page


def test_what_cannot_be_reckoned_stands_in_the_list() -> None:
    maple = pages(plain_report())[4]
    assert "Nothing on our list helps maple 4." in maple
    assert "not known" in maple.split("What could be done")[1]


@pytest.mark.property
def test_every_mark_leads_to_a_row_and_every_row_to_readings() -> None:
    text = pages(plain_report())
    front, behind = " ".join(text[:8]).split("The figures, and what they rest on")[0], " ".join(text[7:])
    used = set(re.findall(r"\ba\d{2,3}\b", front)) - {"a12"} | {"a12"}
    rows = set(re.findall(r"\ba\d{2,3}\b", behind.split("The readings")[0]))
    assert used <= rows
    reader = opened(plain_report())
    links = [annotation.get_object() for page in reader.pages for annotation in page.get("/Annots", ())]
    assert len(links) > len(used)
    record = casework_fixture().record
    shown = short_ids(record)
    shoot = record.of(record.trees[0].id, kind="shoot_length_by_year")[0]
    assert f"{shoot.typed} {shown[shoot.id]}" in behind


def test_few_figures_carry_each_its_mark_many_one_for_all() -> None:
    assert re.search(r"Likely at oak 1 and oak 3: hard soil, a third to two fifths of the growth\. a\d\d a\d\d Likely",
                     pages(plain_report())[0])
    text = pages(report_of(many_trees))
    assert re.search(r"oak 18 and 15 more alone\. a\d\d Wood-chip", text[0])
    assert any("and 15 more alone." in page for page in text[2:]), "the one mark has its row behind"


def test_what_else_was_weighed_names_each_remedy_once_with_its_trees() -> None:
    text = pages(plain_report())[7].split("What else was weighed")[1].split("The figures, and")[0]
    for case in casework_fixture().plan.trees:
        for outcome in case.remedies:
            drawn = remedy_name(outcome.remedy)[1:]
            assert drawn in text or any(drawn in page for page in pages(plain_report())[2:7])
    assert "Compost topdressing" in text
    assert text.count("ompost topdressing") == 1
    assert re.search(r"Slow nitrogen .*: oak 3\.", text)


def test_this_years_cost_stands_beside_the_ceiling() -> None:
    text = " ".join(pages(plain_report())[:2])
    assert ("1,325 USD this year, 2,470 USD over five years. Of it 180 USD go to visits, which the trees share. "
            "Your ceiling for this year: 4,000 USD.") in text


def test_short_ids_tell_readings_apart() -> None:
    shown = short_ids(casework_fixture().record)
    assert len(set(shown.values())) == len(shown)
    assert all(full.endswith(short) for full, short in shown.items())


def test_rows_that_follow_each_other_are_a_range() -> None:
    assert rows_of(["a.csv row 3", "a.csv row 4", "a.csv row 4", "phone 2"]) == "a.csv row 3-4; phone 2"


def test_tags_title_language_and_alternative_text() -> None:
    reader = opened(plain_report())
    root: Any = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert reader.metadata is not None
    assert reader.metadata.title == "Mill Hall: trees and their soil"
    kinds, figures = [], []

    def walk(node: Any) -> None:
        node = node.get_object()
        if isinstance(node, list):
            for child in node:
                walk(child)
        elif isinstance(node, dict):
            kinds.append(node.get("/S"))
            if node.get("/S") == "/Figure":
                figures.append(node.get("/Alt"))
            if "/K" in node and not isinstance(node["/K"], int):
                walk(node["/K"])

    walk(root["/StructTreeRoot"]["/K"])
    assert {"/H1", "/H2", "/Table", "/TH", "/TD", "/Link", "/Figure"} <= set(kinds)
    assert len(figures) == 7
    assert all(figures)


def every_font(pdf: bytes) -> set[str]:
    """Fonts of the pages and of the pictures on them."""
    reader = opened(pdf)
    objects = (reader.get_object(number) for number in range(1, len(reader.xref_objStm) + len(reader.xref[0])))
    return {str(each["/BaseFont"]) for each in objects if isinstance(each, dict) and "/BaseFont" in each}


def test_only_our_typeface_is_in_it() -> None:
    fonts = every_font(plain_report())
    assert fonts
    assert all("AtkinsonHyperlegibleNext" in font for font in fonts)


def test_numbers_stay_behind_a_name_that_runs_from_right_to_left() -> None:
    pdf = report_pdf(casework_of((replace(CASES[2], label="אלון 3"),)))
    words = subprocess.run(["pdftotext", "-bbox", "-f", "1", "-l", "1", "-", "-"], input=pdf, capture_output=True,
                           check=True).stdout.decode()
    placed = re.findall(r'xMin="([\d.]+)" yMin="([\d.]+)"[^>]*>([^<]+)</word>', words)
    names = [i for i, (_, _, word) in enumerate(placed) if re.search("[\u05d0-\u05ea]{4}", word)]
    assert len(names) > 3
    for i in names:
        on_the_line = [place for place in placed if abs(float(place[1]) - float(placed[i][1])) < 4]
        gaps = [float(place[0]) - float(placed[i][0]) for place in on_the_line if re.fullmatch("3[:,.]?", place[2])]
        assert 0 < min(gaps, key=abs) < 60


def test_no_line_begins_with_a_mark_or_what_a_number_is_in() -> None:
    """At any width of the words before it, here of the tree's name."""
    for length in range(1, 9):
        label = f"oak {'1' * length}"
        pdf = report_pdf(casework_of((*(replace(case, label=f"{label}{at}") for at, case in enumerate(CASES[:3])),)))
        text = subprocess.run(["pdftotext", "-l", "1", "-", "-"], input=pdf, capture_output=True, check=True).stdout
        torn = [line for line in text.decode().splitlines() if re.match(r"%|a\d\d\b|(ft|cm|m)\b", line)]
        assert torn == []


def test_paper_follows_the_property() -> None:
    letter = opened(plain_report()).pages[0].mediabox
    a4 = opened(report_pdf(casework_of(CASES, system="metric"))).pages[0].mediabox
    assert (float(letter.width), float(letter.height)) == (612, 792)
    assert (round(float(a4.width)), round(float(a4.height))) == (595, 842)


def many_trees() -> Casework:
    return casework_of(tuple(replace(case, label=f"{case.label.split()[0]} {number}")
                             for number, case in enumerate(CASES * 8, 1))[:60])


def nothing_read() -> Casework:
    """Eight trees of which nobody read a thing; the model still predicts, from what it assumes."""
    unread = replace(CASES[7], cover=())
    return casework_of(tuple(replace(unread, label=f"oak {n}") for n in range(1, 4)))


def no_stage_but_the_first() -> Casework:
    """Trees in the record, and no result at all."""
    bare = casework_fixture()
    return replace(bare, comparison=replace(bare.comparison, trees=()), explanations=(),
                   plan=replace(bare.plan, trees=(), items=()))


def no_yardstick() -> Casework:
    bare = casework_fixture()
    trees = tuple(replace(line, yardstick_id=None, basis="growth class", yardstick_tree_count=0)
                  for line in bare.comparison.trees)
    return replace(bare, comparison=replace(bare.comparison, trees=trees),
                   record=replace(bare.record, yardsticks=(), compared_with={}))


def typed_as_markup() -> Casework:
    """Names that would be code if they were spliced into the template."""
    return casework_of((replace(CASES[0], label='#panic("x") *oak* $1$ @a01 <b> "] 1'),), name='Hall #sys.inputs "]')


def not_latin() -> Casework:
    return casework_of((replace(CASES[0], label="Дуб 1"), replace(CASES[6], label="楓 2")), name="Парк Победы")


@pytest.mark.property
@pytest.mark.parametrize("make", [casework_extreme, many_trees, nothing_read, no_stage_but_the_first, no_yardstick,
                                  typed_as_markup, not_latin])
def test_it_builds_whatever_is_read_or_typed(make: Callable[[], Casework]) -> None:
    text = pages(report_of(make))
    assert "What we do not know" in text[0]
    assert "This is not a risk assessment" in text[1]


def test_what_is_typed_is_data() -> None:
    text = " ".join(pages(report_of(typed_as_markup)))
    assert '#panic("x") *oak* $1$ @a01 <b> "] 1' in text
    assert 'Hall #sys.inputs "]' in text


def test_signs_ours_lacks_are_set_in_the_wide_face() -> None:
    pdf = report_of(not_latin)
    text = " ".join(pages(pdf))
    for typed in ("Парк Победы", "楓 2"):
        assert typed in text
    assert "printed as their code point" not in text
    fonts = every_font(pdf)
    assert any("RootcaseWide" in font for font in fonts)
    assert all("AtkinsonHyperlegibleNext" in font or "RootcaseWide" in font for font in fonts), "in pictures too"
    assert len(pdf) < 4 * len(plain_report()), "a part of the face, not all of it"
    assert report_pdf(not_latin()) == pdf


def test_signs_no_face_draws_are_printed_as_code_points_and_listed() -> None:
    casework = not_latin()
    trees = tuple(replace(tree, label=tree.label.replace("楓", "🫠")) for tree in casework.record.trees)
    text = " ".join(pages(report_pdf(replace(casework, record=replace(casework.record, trees=trees)))))
    assert "U+1FAE0 2" in text
    assert "Signs that our typefaces lack are printed as their code point: U+1FAE0" in text


def test_nothing_read_is_never_fine() -> None:
    text = " ".join(pages(report_of(nothing_read)))
    assert "We cannot tell yet how these trees grow: no shoots were read." in text
    assert "grow like their kind" not in text
    assert "Nothing that can be said of growth yet." in text
    assert "We cannot tell: nobody has read how these trees grow." in text
    assert "Waiting loses little" not in text


def test_a_warning_of_the_typesetter_is_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(typst, "compile_with_warnings", lambda *_, **__: (b"%PDF", ["unknown font family"]))
    with pytest.raises(ReportError, match="unknown font family"):
        report_pdf(casework_fixture())


def test_no_interval_is_missing_from_a_figure() -> None:
    explanation: Explanation = casework_fixture().explanations[0]
    page = pages(plain_report())[2]
    for step in explanation.limits:
        if not step.same_as_yardstick:
            assert f"−{step.points.high:.0f} to" in page


@pytest.mark.property
def test_same_bytes_in_another_folder_time_zone_and_locale(tmp_path: Path) -> None:
    source = Path(__file__).parents[2]
    code = ("import hashlib; from tests.report.fixtures import casework_fixture; "
            "from rootcase.report.pdf.report import report_pdf; "
            "print(hashlib.sha256(report_pdf(casework_fixture())).hexdigest())")

    def made(zone: str, language: str, hash_seed: str, folder: Path) -> str:
        environment = os.environ | {"TZ": zone, "LANG": language, "LC_ALL": language, "PYTHONHASHSEED": hash_seed,
                                    "PYTHONPATH": f"{source / 'src'}{os.pathsep}{source}"}
        command = [sys.executable, "-c", code]
        done = subprocess.run(command, env=environment, cwd=folder, capture_output=True, check=True)
        return done.stdout.decode().strip()

    assert made("Pacific/Auckland", "C", "1", tmp_path) == made("America/Los_Angeles", "de_DE.UTF-8", "2", source)
