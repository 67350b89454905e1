"""The loader refuses a table that does not say all about itself, and looks up exactly."""

from __future__ import annotations

from pathlib import Path

import pytest

from rootcase.ground.errors import FileError, Missing
from rootcase.tables.load import Table, _table, table

FIGURES = "name,width_m,source\nfirst,1.5,seen\nsecond,,memory\n"
TWIN = 'title = "Widths"\nhow_known = "memory"\n[units]\nname = "text"\nwidth_m = "m"\nsource = "text"\n'


def loaded(folder: Path, figures: str = FIGURES, twin: str = TWIN) -> Table:
    (folder / "widths.csv").write_text(figures, encoding="utf-8")
    (folder / "widths.toml").write_text(twin, encoding="utf-8")
    return _table("widths", folder / "widths.csv", folder / "widths.toml")


def test_text_stays_text_figures_become_numbers_and_empty_is_none(tmp_path: Path) -> None:
    found = loaded(tmp_path)
    assert [dict(row) for row in found.rows] == [{"name": "first", "width_m": 1.5, "source": "seen"},
                                                 {"name": "second", "width_m": None, "source": "memory"}]
    assert dict(found.units) == {"name": "text", "width_m": "m", "source": "text"}


def test_lookup_is_exact(tmp_path: Path) -> None:
    found = loaded(tmp_path)
    assert found.row(name="first")["width_m"] == 1.5
    with pytest.raises(Missing, match=r"tables/widths: no rows of the table fit \(got name = First\)"):
        found.row(name="First")
    with pytest.raises(Missing, match=r"2 rows of the table fit .*name exactly one"):
        loaded(tmp_path, FIGURES.replace("second", "first")).row(name="first")


def test_the_version_follows_figures_and_sources(tmp_path: Path) -> None:
    versions = {loaded(tmp_path).version, loaded(tmp_path, FIGURES.replace("1.5", "1.6")).version,
                loaded(tmp_path, twin=TWIN.replace("memory", "seen")).version}
    assert len(versions) == 3
    assert loaded(tmp_path).version in versions


@pytest.mark.parametrize(("figures", "twin", "message"), [
    (FIGURES, TWIN.replace('width_m = "m"\n', ""), r"widths.toml: columns and units do not match \(got width_m\)"),
    (FIGURES, TWIN.replace('"m"', '""'), r"columns and units do not match \(got width_m\)"),
    (FIGURES, TWIN + 'depth = "m"\n', r"columns and units do not match \(got depth\)"),
    (FIGURES.replace("name,width_m", "name,name"), TWIN.replace('width_m = "m"\n', ""), "a column twice"),
    (FIGURES, TWIN.replace('title = "Widths"', ""), "the table has no title"),
    (FIGURES, TWIN.replace('how_known = "memory"', ""), 'no how_known; write how_known = "..."'),
    ("name,width_m\nfirst,1\n", TWIN.replace('source = "text"\n', ""), "the table has no source"),
    (FIGURES.replace("1.5,seen", "1.5,"), TWIN, "widths.csv row 2: the row has no source"),
    (FIGURES.replace("1.5", "wide"), TWIN, r'row 2: width_m is not a number \(got "wide"\)'),
    (FIGURES.replace("1.5,", ""), TWIN, "row 2: the row has another number of cells"),
    ("", TWIN, "the table is empty"),
])
def test_a_table_must_say_all_about_itself(tmp_path: Path, figures: str, twin: str, message: str) -> None:
    with pytest.raises(FileError, match=message):
        loaded(tmp_path, figures, twin)


def test_a_missing_twin_is_named(tmp_path: Path) -> None:
    loaded(tmp_path)
    (tmp_path / "widths.toml").unlink()
    with pytest.raises(FileError, match=r"tables/widths.toml: the table's file is missing"):
        _table("widths", tmp_path / "widths.csv", tmp_path / "widths.toml")
    with pytest.raises(FileError, match=r"tables/nowhere.csv: the table's file is missing"):
        table("nowhere")


def test_a_row_cannot_be_changed() -> None:
    with pytest.raises(TypeError, match="does not support item assignment"):
        table("growth_class").rows[0]["growth_class"] = "quick"  # type: ignore[index]
