"""Every file that came from somewhere says from where, and under which licence it may be passed on."""

from __future__ import annotations

from pathlib import Path

import pytest

CHECKOUT = Path(__file__).parents[2]
DATA = CHECKOUT / "tests" / "data"
FONTS = CHECKOUT / "src" / "rootcase" / "report" / "fonts"
FREE = ("CC0-1.0", "public domain", "free to use and pass on with attribution")


@pytest.mark.parametrize("file", sorted(DATA.glob("*.csv")), ids=lambda file: file.name)
def test_each_file_of_data_has_a_source_and_a_licence(file: Path) -> None:
    rows = [row.strip("| ").split(" | ") for row in (DATA / "README.md").read_text(encoding="utf-8").splitlines()]
    told = [row for row in rows if row[0] == file.name]
    assert [len(row) for row in told] == [4]
    assert any(licence in told[0][3] for licence in FREE)


@pytest.mark.parametrize(("face", "licence"), [
    ("AtkinsonHyperlegibleNext-Bold.ttf", "OFL.txt"), ("AtkinsonHyperlegibleNext-Regular.ttf", "OFL.txt"),
    ("UnifontEX-Regular.woff", "OFL-UnifontEX.txt"),
])
def test_each_typeface_travels_with_its_licence(face: str, licence: str) -> None:
    assert (FONTS / face).exists()
    assert "SIL OPEN FONT LICENSE Version 1.1" in (FONTS / licence).read_text(encoding="utf-8")


def test_no_typeface_is_left_out() -> None:
    assert len([file for file in FONTS.iterdir() if file.suffix in {".ttf", ".otf", ".woff", ".woff2"}]) == 3


def test_the_weather_of_the_demonstration_names_who_measured_it() -> None:
    told = (CHECKOUT / "src" / "rootcase" / "services" / "demo" / "README.md").read_text(encoding="utf-8")
    assert "`files/seattle.csv` and `files/new-york.csv`" in told
    assert "NOAA" in told
    assert "public domain" in " ".join(told.split())
