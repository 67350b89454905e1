"""Pictures inside pages: themed, with ids of their own, and what people typed left as they typed it."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from rootcase.report.palette import DUSK, PAPER, TEXT_CONTRAST, contrast
from rootcase.report.svg import Canvas, Picture
from rootcase.web.picture import both, embedded
from rootcase.web.showing import WEB

TYPED = '"#1A1C24" id="x" url(#x) <b>&amp;'


def drawn(name: str = "soil") -> Picture:
    canvas = Canvas(name, 600)
    canvas.rect(0, 0, 100, 100, fill=canvas.pattern("dots", 4, 4, [("circle", {"fill": canvas.colour("walnut")})]))
    canvas.text(20, 50, TYPED, fill="forest")
    return canvas.finish(200, "A title", "In words")


def variables(sheet: str) -> dict[str, str]:
    root = re.search(r":root \{(.*?)\n\}", (WEB / "static" / sheet).read_text(encoding="utf-8"), re.DOTALL)
    assert root
    return dict(re.findall(r"--([a-z-]+): (#[0-9A-F]{6});", root[1]))


def test_the_colours_are_the_pages() -> None:
    svg = str(embedded(drawn()))
    assert 'fill="var(--forest)"' in svg
    assert 'fill="var(--walnut)"' in svg
    assert not re.search('="#', svg)
    assert "style=" not in re.sub(">[^<]*<", "", svg)


def test_what_was_typed_stays_as_typed() -> None:
    root = ElementTree.fromstring(str(embedded(drawn(), "a")))
    assert TYPED in [element.text for element in root.iter("{http://www.w3.org/2000/svg}text")]


def test_many_pictures_of_one_kind_share_no_id() -> None:
    page = f"{embedded(drawn(), 'a')}{embedded(drawn(), 'b')}"
    ids = re.findall(r'<[^>]* id="([^"]*)"', page)
    assert len(ids) == len(set(ids)) == 6
    assert set(re.findall(r'fill="url\(#([^)]*)\)', page)) <= set(ids)
    assert set(" ".join(re.findall(r'aria-labelledby="([^"]*)"', page)).split()) <= set(ids)


def test_both_layouts_are_on_the_page() -> None:
    page = both(drawn("soil-wide"), drawn("soil-phone"))
    assert page.index('<div class="wide"><svg') < page.index('<div class="phone"><svg')


@pytest.mark.parametrize(("sheet", "palette"), [("desk.css", PAPER), ("dark.css", DUSK)])
def test_the_sheets_have_the_palettes_colours(sheet: str, palette: dict[str, str]) -> None:
    named = {name.replace("_", "-"): colour for name, colour in palette.items()}
    written = variables("desk.css") | variables(sheet)
    assert named.items() <= written.items()


@pytest.mark.parametrize("palette", [PAPER, DUSK])
def test_words_keep_their_contrast(palette: dict[str, str]) -> None:
    for ink in ("ink", "slate", "forest", "madder", "woad", "walnut"):
        for ground in ("paper", "mist"):
            assert contrast(palette[ink], palette[ground]) >= TEXT_CONTRAST, (ink, ground)
    assert all(contrast(palette["ink"], palette[tint]) >= TEXT_CONTRAST
               for tint in ("forest_tint", "woad_tint", "madder_tint", "leaf"))


def test_no_two_names_share_a_colour() -> None:
    assert len(set(PAPER.values())) == len(PAPER)
