"""The printed card: its size, its words, and that a photo of the print is read."""

from __future__ import annotations

import io
import subprocess
from datetime import date
from functools import cache

import numpy as np
import pytest
from PIL import Image

from rootcase.ground.quantity import System
from rootcase.report.pdf.leaf_card import leaf_card_pdf
from rootcase.science.photo.card import find_card
from rootcase.science.photo.leaves import leaves_on
from rootcase.science.photo.plane import mapped
from tests.report.test_pdf import opened, pages

DOTS_PER_INCH = 127  # five a millimeter
PAPER_MM = {"us": (215.9, 279.4), "metric": (210.0, 297.0)}

printed = cache(leaf_card_pdf)


@cache
def photographed(system: System) -> Image.Image:
    drawn = subprocess.run(["pdftoppm", "-r", str(DOTS_PER_INCH), "-png", "-"],
                           input=printed(system, date(2026, 5, 2)), capture_output=True, check=True).stdout
    return Image.open(io.BytesIO(drawn)).convert("RGB")


@pytest.mark.parametrize("system", ["us", "metric"])
def test_the_print_has_its_size_and_is_one_sheet_that_says_what_to_do(system: System) -> None:
    pdf = printed(system, date(2026, 5, 2))
    box = opened(pdf).pages[0].mediabox
    assert (float(box.width) * 25.4 / 72, float(box.height) * 25.4 / 72) == pytest.approx(PAPER_MM[system], abs=0.1)
    text = pages(pdf)
    assert len(text) == 1
    assert "Print at 100 %" in text[0]
    assert "100 mm (3.94 in)" in text[0]
    found = find_card(np.asarray(np.asarray(photographed(system)).mean(axis=2) / 255, np.float32))
    corner, beside = mapped(np.linalg.inv(found.to_mm), [(0, 0), (200, 150)])
    assert beside - corner == pytest.approx([200 * 5, 150 * 5], abs=0.5)  # as large on paper as in the table
    assert corner[0] == pytest.approx(5 * (PAPER_MM[system][0] - 200) / 2, abs=0.6)


def test_a_photo_of_the_print_is_read_aslant_and_shows_no_leaf_where_none_lies() -> None:
    table = Image.new("RGB", (1500, 1800), (120, 110, 100))
    table.paste(photographed("us"), (200, 200))
    aslant = table.transform(table.size, Image.Transform.PERSPECTIVE,
                             (1.02, 0.09, -40.0, -0.06, 1.1, 20.0, 0.00005, 0.00012), Image.Resampling.BICUBIC)
    pixels = np.asarray(aslant)
    found = find_card(np.asarray(pixels.mean(axis=2) / 255, np.float32))
    assert found.markers == (0, 1, 2, 3)
    assert found.residual_mm < 0.06
    assert leaves_on(pixels, found) == []  # patches, bar and words are no leaves
