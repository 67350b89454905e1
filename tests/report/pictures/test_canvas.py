"""The canvas lets go of a picture only when its labels can be read."""

import base64
import io
import random
import re
import xml.etree.ElementTree as ET

import pytest
from fontTools.ttLib import TTFont

from rootcase.report.lettering import fitted, lacking, printable, wide_signs, width_px, wrapped
from rootcase.report.palette import PAPER, contrast
from rootcase.report.svg import Canvas, LayoutError


@pytest.mark.crowded
def test_two_labels_on_each_other_are_an_error() -> None:
    canvas = Canvas("test", 200)
    canvas.text(20, 40, "hard soil", 14)
    canvas.text(60, 44, "too little air", 14)
    assert canvas.finish(100, "title", "alt").faults == ("test: 'hard soil' lies on 'too little air'",)


def test_labels_side_by_side_are_let_through() -> None:
    canvas = Canvas("test", 200)
    end = canvas.text(20, 40, "hard soil", 14)
    canvas.text(end + 1, 40, "air", 14)
    assert canvas.finish(100, "title", "alt").faults == ()


@pytest.mark.crowded
@pytest.mark.parametrize(("x", "y"), [(-5, 40), (170, 40), (20, 5), (20, 99)])
def test_a_label_off_the_page_is_an_error(x: float, y: float) -> None:
    canvas = Canvas("test", 200)
    canvas.text(x, y, "hard soil", 14)
    assert canvas.finish(100, "title", "alt").faults == ("test: 'hard soil' leaves the page",)


def test_small_and_faint_words_are_errors() -> None:
    canvas = Canvas("test", 200)
    with pytest.raises(LayoutError, match="the smallest is 11"):
        canvas.text(20, 40, "hard soil", 10.9)
    with pytest.raises(LayoutError, match="too faint"):
        canvas.text(20, 40, "hard soil", 14, fill="rule")


def test_numbers_are_rounded_before_they_are_written() -> None:
    canvas = Canvas("test", 200)
    canvas.rect(1 / 3, 2.005001, 10, -0.001, fill="ink")
    rect = ET.fromstring(canvas.finish(100, "title", "alt").bare)[-1]
    assert (rect.get("x"), rect.get("y"), rect.get("width"), rect.get("height")) == ("0.33", "2.01", "10", "0")


def test_words_typed_by_people_are_data() -> None:
    canvas = Canvas("test", 400)
    canvas.text(20, 40, "<script>x</script> & oak", 14)
    picture = canvas.finish(100, "a < b", "c & d")
    root = ET.fromstring(picture.svg)
    assert [e.tag for e in root.iter() if "script" in e.tag] == []
    assert "<script>x</script> & oak" in [e.text for e in root.iter("{http://www.w3.org/2000/svg}text")]


def test_signs_no_face_draws_are_printed_as_code_points() -> None:
    assert printable("楓 4\tŁódź 🫠") == "楓 4 Łódź U+1FAE0"
    assert printable("e\u0301") == "é"
    assert lacking("楓 4 🫠 🫠") == ("🫠",)
    assert printable("a\u200bb\ufe0f") == "aU+200BbU+FE0F", "signs without a shape are named, not swallowed"


def test_what_ours_lacks_comes_from_the_wide_face_and_travels_with_the_picture() -> None:
    assert wide_signs("Łódź oak 4") == ""
    assert wide_signs("Дуб 楓 שלום") == "".join(sorted("Дуб楓שלום"))
    assert width_px("Д楓", 14, 700) == 14 * 1.5
    canvas = Canvas("test", 400)
    canvas.text(20, 40, "Дуб 4", 14, weight=700)
    face = ET.fromstring(canvas.finish(100, "a", "b").svg).find("{http://www.w3.org/2000/svg}style")
    assert face is not None
    assert face.text
    data = re.findall(r"base64,([^)]+)\)", face.text)[-1]
    font = TTFont(io.BytesIO(base64.b64decode(data)))
    assert set(font.getBestCmap()) == {ord(sign) for sign in "Дуб"}
    assert font["name"].getDebugName(1) == "Rootcase Wide", "a part may not bear the reserved name"
    assert "SIL Open Font License" in font["name"].getDebugName(13)
    assert len(data) < 20_000
    plain = Canvas("test", 400)
    plain.text(20, 40, "oak 4", 14)
    assert b"Rootcase Wide';font-weight" not in plain.finish(100, "a", "b").svg


def test_figures_are_all_of_one_width() -> None:
    assert len({width_px(figure, 100, 700) for figure in "0123456789"}) == 1


def test_words_are_broken_and_shortened_to_their_room() -> None:
    lines = wrapped("Gleditsia triacanthos by the gate", 90, 14, 700, most=2)
    assert len(lines) == 2
    assert all(width_px(line, 14, 700) <= 90 for line in lines)
    assert lines[-1].endswith("…")
    assert fitted("oak 1", 200, 14) == "oak 1"


@pytest.mark.published
def test_contrast_is_that_of_the_guideline() -> None:
    """Black on white is 21 to 1 by its definition (WCAG 2.2, W3C 2023, memory); ours are those of the colour table."""
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert contrast("#FFFFFF", "#FFFFFF") == pytest.approx(1.0)
    for name in ("ink", "slate", "forest", "madder", "woad", "walnut"):
        assert contrast(PAPER[name], PAPER["paper"]) >= 7.0, name
        assert contrast(PAPER[name], PAPER["mist"]) >= 7.0, name
    for name in ("rule", "forest_middle", "woad_middle"):
        assert contrast(PAPER[name], PAPER["paper"]) >= 3.0, name


@pytest.mark.property
@pytest.mark.crowded
def test_faults_are_those_of_every_label_held_against_every_other() -> None:
    dice = random.Random(7)
    for count in (2, 9, 60):
        canvas = Canvas("test", 400)
        for i in range(count):
            canvas.text(dice.uniform(-20, 400), dice.uniform(0, 320), f"oak {i}", dice.choice((11, 14, 27)))
        boxes = list(canvas._labels)
        slowly = [f"test: {one.text!r} lies on {other.text!r}" for i, one in enumerate(boxes)
                  for other in boxes[i + 1:] if one.touches(other)]
        found = [fault for fault in canvas.finish(300, "title", "alt").faults if "lies on" in fault]
        assert found == slowly
        assert count < 60 or found


def test_signs_no_picture_can_hold_are_written_as_code_points() -> None:
    canvas = Canvas("test", 400)
    canvas.text(20, 40, "oak\x01 \x0b<4>", 14)
    root = ET.fromstring(canvas.finish(100, "a\x00\ufffe", 'b "c" & <d>').bare)
    assert root[0].text == "aU+0000U+FFFE"
    assert root[1].text == 'b "c" & <d>'
    assert root[-1].text == "oakU+0001 <4>"
