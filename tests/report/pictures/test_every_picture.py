"""What holds for every picture: it can be read by anyone, it is the same every time, it survives strange input."""

import hashlib
import json
import os
import re
import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from rootcase.records.explain import LIMITS
from rootcase.records.prove import Proof
from rootcase.records.report import Casework
from rootcase.report.palette import PAPER, contrast
from rootcase.report.pictures import (
    Picture,
    draw_comparison,
    draw_frontier,
    draw_plan,
    draw_proof,
    draw_remedies,
    draw_section,
    draw_shares,
    draw_shoots,
    draw_timeline,
    draw_waterfall,
)
from rootcase.report.text.happenings import happenings
from tests.report.cases import CASES, Case
from tests.report.fixtures import casework_extreme, casework_fixture, casework_of
from tests.report.pictures.marks import ET, root_of
from tests.report.pictures.test_frontier import with_frontier
from tests.report.pictures.test_proof import LAYOUTS as PROOF_LAYOUTS
from tests.report.pictures.test_proof import NAMES, PROOF, wild_proof
from tests.report.test_signed import arms_in

LAYOUTS = ("wide", "column", "phone")
COLOURS = {"red", "green", "blue", "yellow", "brown", "grey", "gray", "black", "white", "orange", *PAPER} - {
    "paper", "ink", "rule", "sand", "loam", "clay", "leaf"}


def every_picture(casework: Casework, trees: int = 99) -> Iterator[tuple[str, Picture]]:
    record = casework.record
    pairs = list(zip(casework.comparison.trees, casework.explanations, casework.plan.trees, strict=True))[:trees]
    for layout in LAYOUTS:
        yield f"plan-{layout}", draw_plan(record, casework.plan, layout)
        yield f"plan-trial-{layout}", draw_plan(record, casework.plan, layout, arms_in(casework.plan))
        yield f"shares-{layout}", draw_shares(record, casework.comparison, layout)
        yield f"frontier-{layout}", draw_frontier(record, with_frontier(casework.plan), layout)
    for comparison, explanation, prescription in pairs:
        tree = comparison.tree_id
        label = next(each.label for each in record.trees if each.id == tree)
        yield f"timeline-{tree}", draw_timeline(label, happenings(record, tree, (), ()), casework.made_on)
        for layout in LAYOUTS:
            yield f"section-{layout}-{tree}", draw_section(record, tree, comparison, explanation, layout)
            yield f"waterfall-{layout}-{tree}", draw_waterfall(record, tree, comparison, explanation, layout)
            yield f"comparison-{layout}-{tree}", draw_comparison(record, tree, comparison, layout)
            yield f"shoots-{layout}-{tree}", draw_shoots(record, tree, comparison, layout)
            yield (f"remedies-{layout}-{tree}",
                   draw_remedies(record, tree, comparison, explanation, prescription, layout))


def proof_pictures(proof: Proof, names: Mapping[str, str]) -> Iterator[tuple[str, Picture]]:
    for layout in PROOF_LAYOUTS:
        yield f"proof-{layout}", draw_proof(proof, names, proof.properties[0].property_id, "us", invented=True,
                                            layout=layout)


@pytest.fixture(scope="module", params=["usual", "extreme"])
def pictures(request: pytest.FixtureRequest) -> dict[str, Picture]:
    make: dict[str, Callable[[], Casework]] = {"usual": casework_fixture, "extreme": casework_extreme}
    proof, names = (PROOF, NAMES) if request.param == "usual" else wild_proof()
    return dict(every_picture(make[request.param]())) | dict(proof_pictures(proof, names))


def test_the_words_of_a_picture_tell_what_it_shows(pictures: dict[str, Picture]) -> None:
    for name, picture in pictures.items():
        root = root_of(picture.bare)
        title, alt = root[0], root[1]
        assert title.text == picture.title, name
        assert alt.text == picture.alt, name
        assert root.get("aria-labelledby") == f"{title.get('id')} {alt.get('id')}", name
        words = re.findall(r"\w+", picture.alt.lower())
        assert 4 < len(picture.alt.split()) < 80, (name, picture.alt)
        assert not COLOURS & set(words), name
        assert "image of" not in picture.alt


def test_no_word_is_small(pictures: dict[str, Picture]) -> None:
    """11 px on a screen; 12 px where a wide picture is printed 254 mm wide, which is 7 pt."""
    for name, picture in pictures.items():
        smallest = 12 if "-wide" in name and picture.width > 1000 else 11
        for text in root_of(picture.bare).iter("{http://www.w3.org/2000/svg}text"):
            assert float(text.attrib["font-size"]) >= smallest, (name, text.text)


def test_every_word_stands_on_plain_ground_it_can_be_read_on(pictures: dict[str, Picture]) -> None:
    for name, picture in pictures.items():
        ground: list[ET.Element] = []
        for element in root_of(picture.bare).iter():
            tag = element.tag.rpartition("}")[2]
            if tag == "rect" and element.get("fill") != "none":
                ground.append(element)
            elif tag == "text":
                under = [rect for rect in ground if holds(rect, element)]
                fill = PAPER["slate"] if element.get("fill") == PAPER["paper"] else under[-1].attrib["fill"]
                assert fill.startswith("#"), (name, element.text, "stands on a hatch")
                assert contrast(element.attrib["fill"], fill) >= 7.0, (name, element.text)


def holds(rect: ET.Element, text: ET.Element) -> bool:
    if "x" not in rect.attrib:
        return True
    x, y, wide, tall = (float(rect.attrib[key]) for key in ("x", "y", "width", "height"))
    return x <= float(text.attrib["x"]) <= x + wide and y <= float(text.attrib["y"]) <= y + tall


def test_a_picture_stands_alone(pictures: dict[str, Picture]) -> None:
    for name, picture in list(pictures.items())[:8]:
        svg = picture.svg.decode()
        assert "<script" not in svg, name
        assert not re.search(r"(href|src)\s*=|url\((?!#|data:font/woff2;base64,)", svg), name
        font = "".join(re.findall(r"base64,([A-Za-z0-9+/=]+)", svg))
        assert 8_000 < len(font) < 28_000, name
        assert b"base64" not in picture.bare, name


def test_numbers_have_at_most_two_decimals(pictures: dict[str, Picture]) -> None:
    for name, picture in pictures.items():
        for element in root_of(picture.bare).iter():
            for key in ("x", "y", "width", "height", "d", "cx", "cy", "r"):
                assert not re.search(r"\.\d{3}", element.get(key, "")), (name, key, element.get(key))


def test_the_reader_sees_his_own_unit_first_and_the_other_too() -> None:
    casework = casework_fixture()
    arguments = casework.comparison.trees[0], casework.explanations[0]
    for system, wanted in (("us", r"5.in \(13.cm\)"), ("metric", r"13.cm \(5.in\)")):
        record = replace(casework.record, property=replace(casework.record.property, system=system))  # type: ignore[arg-type]
        assert re.search(wanted, draw_section(record, record.trees[0].id, *arguments).bare.decode())


def test_invented_data_say_so_and_read_data_do_not() -> None:
    casework = casework_fixture()
    real = replace(casework.record, property=replace(casework.record.property, invented=False))
    for name, picture in every_picture(casework, trees=1):
        if name.startswith(("section-wide", "waterfall-phone", "shoots-wide", "plan-wide")):
            assert b"Invented" in picture.bare, name
    for name, picture in every_picture(replace(casework, record=real), trees=1):
        assert b"Invented" not in picture.bare, name


def digests() -> dict[str, str]:
    pictures = [*every_picture(casework_fixture(), trees=3), *proof_pictures(PROOF, NAMES)]
    return {name: hashlib.sha256(picture.svg).hexdigest() for name, picture in pictures}


def test_the_same_case_gives_the_same_bytes_anywhere(tmp_path: Path) -> None:
    here = Path(__file__).parents[3]
    code = "import json; from tests.report.pictures.test_every_picture import digests; print(json.dumps(digests()))"
    environment = {"PYTHONPATH": os.pathsep.join([str(here), str(here / "src")]), "PYTHONHASHSEED": "7",
                   "TZ": "Asia/Kathmandu", "LC_ALL": "tr_TR.UTF-8", "PATH": os.environ["PATH"]}
    other = subprocess.run([sys.executable, "-c", code], cwd=tmp_path, env=environment, capture_output=True, text=True,
                           check=True)
    assert json.loads(other.stdout) == digests()


@pytest.mark.property
def test_no_input_makes_labels_collide(long: bool) -> None:
    """Any picture that lets a label touch another, leave the page or shrink is an error; none may arise."""
    for seed in range(200 if long else 4):
        generator = np.random.default_rng(seed)
        cases = tuple(strange_case(generator, number) for number in range(int(generator.integers(1, 12))))
        casework = casework_of(cases, "Ground " * int(generator.integers(1, 12)), ("us", "metric")[seed % 2])
        assert all(picture.bare for _, picture in every_picture(casework))


def strange_case(generator: np.random.Generator, number: int) -> Case:
    base = CASES[int(generator.integers(len(CASES)))]

    def some(low: float, high: float, missing: float = 0.15) -> float | None:
        return None if generator.random() < missing else float(np.exp(generator.uniform(np.log(low), np.log(high))))

    losses = {limit: float(generator.normal(0.1, 0.25)) for limit in LIMITS if generator.random() < 0.7}
    names = ("oak", "Gleditsia triacanthos", "Ulme am alten Tor hinter dem Schuppen", "Ο πλάτανος", "x")
    refusal = some(0.01, 2.0)
    return replace(
        base, label=f"{names[int(generator.integers(len(names)))]} {number + 1}", share=some(0.002, 6.0), losses=losses,
        height_m=some(0.1, 110), spread_m=some(0.1, 60), dieback=some(0.01, 1.0), density=some(0.02, 1.0),
        live_crown_ratio=some(0.02, 1.0), dbh_mm=some(5, 9000), refusal_m=refusal,
        rootable_m=some(0.005, 1.4, 0.0) or 0.1, surface_mpa=some(0.05, 1.9, 0.0) or 1.0,
        cover=(("litter", 0.1), ("mulch", 0.2), ("turf", 0.3), ("bare", 0.1), ("paved", 0.3)),
        east_m=float(generator.uniform(0, 60)), north_m=float(generator.uniform(0, 45)),
        remedies={code: (some(0.01, 300, 0.2), some(1, 9e6, 0.2)) for code in
                  ("mulch", "air_tillage", "turf_off", "soil_volume", "slow_nitrogen") if generator.random() < 0.7},
        chosen=None)
