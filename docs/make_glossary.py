"""Write docs/glossary.md from the records and the catalogue of readings: python docs/make_glossary.py"""

from __future__ import annotations

import ast
import csv
import sys
from collections.abc import Iterator
from pathlib import Path

CHECKOUT = Path(__file__).parents[1]
PACKAGE = CHECKOUT / "src" / "rootcase"
PAGE = CHECKOUT / "docs" / "glossary.md"

# What the end of a name means; the longest end that fits counts.
UNITS = {
    "_m": "m", "_mm": "mm", "_m2": "m²", "_m3": "m³", "_kg": "kg", "_kg_m2": "kg/m²", "_kg_m3": "kg/m³",
    "_l": "L", "_l_m2": "L/m²", "_mpa": "MPa", "_kpa": "kPa", "_c": "°C", "_deg": "°", "_m_s": "m/s", "_ds_m": "dS/m",
    "_pct": "%", "_points": "percent points of the yardstick's growth", "_share": "fraction, 0 to 1",
    "_years": "years", "_year": "year", "_days": "days", "_hours": "hours", "_minutes": "minutes",
    "litres": "L", "cost": "the property's currency", "budget": "the property's currency",
    "amount": "the price's currency", "charge": "the price's currency", "_value": "the kind's SI unit",
    "level": "fraction, 0 to 1", "chance_other_cause": "probability", "effective_draws": "count",
    "_points_m2": "percent points × m²", "_m2_day": "MJ/m² a day", "_c_day": "°C day",
    "_m_px": "m a pixel", "_px": "pixel", "um_per_px": "µm a pixel", "_um": "µm", "_mm2": "mm²",
    "_mg_l": "mg/L", "_mg_l_h": "mg/L an hour", "_kg_l": "kg/L", "kg_m2": "kg/m²", "_g": "g", "_h": "hours",
    "_mm_h": "mm/h", "_s": "s",
    "_ml": "mL", "per_ml": "per mL", "per_g": "per g", "_l_min": "L/min", "_l_s": "L/s",
}
UNITS_OF = {"rates.JarStep.amount": "as its own unit says", "recipe.Recipe.cost": "the currency of what was typed",
            "recipe.Stock.unit_cost": "the currency of what was typed"}
INTRODUCTION = """\
# Glossary

Written by `python docs/make_glossary.py` from the records and the catalogue of readings; a test keeps it so.
A number's name ends with its unit; inside the program all units are SI.

"""


def unit(name: str) -> str:
    ends = [end for end in UNITS if name.endswith(end)]
    return UNITS[max(ends, key=len)] if ends else ""


def quantities() -> Iterator[tuple[str, str, str, str]]:
    """(name, unit, record, meaning) of each field whose name carries a unit."""
    for file in sorted((PACKAGE / "records").rglob("*.py")):
        for record in ast.parse(file.read_text(encoding="utf-8")).body:
            if isinstance(record, ast.ClassDef):
                for field, following in zip(record.body, [*record.body[1:], None], strict=True):
                    name = ast.unparse(field.target) if isinstance(field, ast.AnnAssign) else ""
                    if unit(name):
                        of = f"{file.stem}.{record.name}"
                        yield name, UNITS_OF.get(f"{of}.{name}", unit(name)), of, meaning(following)


def meaning(following: ast.stmt | None) -> str:
    if isinstance(following, ast.Expr) and isinstance(following.value, ast.Constant):
        return " ".join(str(following.value.value).split())
    return ""


def readings() -> list[dict[str, str]]:
    with open(PACKAGE / "tables" / "observe" / "readings.csv", encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def table(heads: tuple[str, ...], rows: Iterator[tuple[str, ...]]) -> str:
    lines = [heads, tuple("---" for _ in heads), *rows]
    return "".join("| " + " | ".join(cell.replace("|", "\\|") for cell in line) + " |\n" for line in lines)


def limits(row: dict[str, str]) -> str:
    return f"{row['lower_hard']} to {row['upper_hard']}" if row["lower_hard"] else ""


def page() -> str:
    kinds = (
        (row["kind"], row["label"], row["of"], row["si_unit"], row["us_unit"], row["metric_unit"], limits(row))
        for row in readings()
    )
    return (
        INTRODUCTION + "## Quantities in the records\n\n"
        + table(("name", "unit", "in", "meaning"), iter(sorted(quantities())))
        + "\n## Readings\n\nLimits are in the SI unit: outside them a value cannot be.\n\n"
        + table(("kind", "label", "of", "SI", "US", "metric", "limits"), kinds)
    )


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    print(f"{PAGE.relative_to(CHECKOUT)}: written", file=sys.stderr)
