"""The fonts of the pages are those of the report, packed anew; docs/make_web_fonts.py writes them."""

from __future__ import annotations

import io
import re

import pytest
from fontTools.ttLib import TTFont

from rootcase.report.lettering import Weight, font_bytes, wide_signs
from rootcase.report.wide_face import wide_advances
from rootcase.web.statics import STATIC

FONTS = STATIC / "fonts"
RULES = re.findall(r"src: url\((wide/\w+\.woff2)\).*unicode-range: ([^;]*);", (FONTS / "wide.css").read_text("utf-8"))


@pytest.mark.parametrize(("weight", "name"), [(400, "Regular"), (700, "Bold")])
def test_our_face_is_whole(weight: Weight, name: str) -> None:
    packed, whole = TTFont(FONTS / f"AtkinsonHyperlegibleNext-{name}.woff2"), TTFont(io.BytesIO(font_bytes(weight)))
    assert packed.getBestCmap() == whole.getBestCmap()
    assert packed["hmtx"].metrics == whole["hmtx"].metrics


def test_every_sign_of_the_wide_face_is_asked_from_the_part_that_draws_it() -> None:
    asked = {code for _, ranges in RULES for code in codes(ranges)}
    assert {ord(sign) for sign in wide_signs("".join(wide_advances()))} <= asked
    assert not asked & TTFont(FONTS / "AtkinsonHyperlegibleNext-Regular.woff2").getBestCmap().keys()


@pytest.mark.parametrize(("part", "sign"), [("wide/00400.woff2", "Д"), ("wide/06800.woff2", "楓")])
def test_a_part_draws_its_signs(part: str, sign: str) -> None:
    assert ord(sign) in TTFont(FONTS / part).getBestCmap()
    assert ord(sign) in codes(dict(RULES)[part])


def codes(ranges: str) -> set[int]:
    ends = (each.removeprefix("U+").partition("-") for each in ranges.split(", "))
    return {code for first, _, last in ends for code in range(int(first, 16), int(last or first, 16) + 1)}
