"""What law asks of records of restricted products and of fertilizer, held against the duty of a record and the laws."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from rootcase.casework.apply.duties import duty
from rootcase.ground.units import convert
from rootcase.records.apply.done import Application, Duty, OnFile, Product
from rootcase.science.chemistry.nutrient_law import (
    fertilizer_closed,
    fertilizer_off_water_m,
    nutrient_records_years,
)
from rootcase.tables.load import table
from tests.published.vectors import Answers, Row, asserted, check

DAY = date(2026, 5, 26)
PRODUCT = Product(name="Example", registration="1234-567", restricted=True)
WHOLE = Application(
    id="a", slot="a", property_id="p", place_id="", tree_ids=("t",), remedy="growth_regulator", day=DAY,
    started=datetime(2026, 5, 26, 8, tzinfo=UTC), ended=datetime(2026, 5, 26, 9, tzinfo=UTC), time_zone="UTC",
    applicator="rs", applicator_licence="77", no_helper=True, amount="1 L", litres=1.0, area="20 m2", area_m2=20.0,
    site="oak in a lawn", product=PRODUCT)
ON_FILE = OnFile(client_named=True, client_address=True)
GONE: Mapping[str, tuple[Application, OnFile]] = {
    "product": (replace(WHOLE, product=replace(PRODUCT, name="")), ON_FILE),
    "registration": (replace(WHOLE, product=replace(PRODUCT, registration="")), ON_FILE),
    "amount": (replace(WHOLE, amount="", litres=None), ON_FILE),
    "location": (replace(WHOLE, tree_ids=()), ON_FILE),
    "area": (replace(WHOLE, area="", area_m2=None), ON_FILE),
    "site": (replace(WHOLE, site=""), ON_FILE),
    "day": (replace(WHOLE, day=DAY + timedelta(days=1)), ON_FILE),
    "applicator": (replace(WHOLE, applicator=""), ON_FILE),
    "licence": (replace(WHOLE, applicator_licence=""), ON_FILE),
    "hours": (replace(WHOLE, started=None, ended=None), ON_FILE),
    "helpers": (replace(WHOLE, no_helper=False), ON_FILE),
    "client_name": (WHOLE, replace(ON_FILE, client_named=False)),
    "client_address": (WHOLE, replace(ON_FILE, client_address=False))}
"""A whole record, each time without one of its fields."""
FIELDS = {
    "brand or product name": ("product",), "product name": ("product",), "EPA registration number": ("registration",),
    "total amount applied": ("amount",), "total amount per location per application": ("amount",),
    "location": ("location",), "size of area treated": ("area",),
    "crop, commodity, stored product or site": ("site",), "month, day and year": ("day",),
    "time and date": ("hours", "day"), "certified applicator name": ("applicator",),
    "certification number (if applicable)": ("licence",),
    "applicator name and certification number, and any noncertified applicator supervised":
        ("applicator", "licence", "helpers"),
    "name and address of the person for whom applied": ("client_name", "client_address")}
LAWS = {"fertiliser_law_ny": "new_york", "fertiliser_law_nj": "new_jersey", "fertiliser_law_md": "maryland",
        "fertiliser_law_fl": "collier_florida"}


def asked(one: Application = WHOLE, on_file: OnFile = ON_FILE) -> Duty:
    return duty(one, on_file, DAY)


def required(row: Row) -> str:
    """The words of the law where a record without any of its fields is told to lack that field."""
    assert asked().missing == ()
    lacking = [field for field in FIELDS[row.expected]
               if field not in [lack.field for lack in asked(*GONE[field]).missing]]
    return "" if lacking else row.expected


def within_deadline(row: Row) -> str:
    due = asked().due
    assert due is not None
    return "pass" if DAY + timedelta(days=row.inputs["days_after_application"]) <= due else "fail"


def retention(row: Row) -> str:
    """Kept to the very day two years on, and free from the next."""
    keep_until = asked().keep_until
    assert keep_until is not None
    years, part = divmod(row.inputs["years_since_application"], 1.0)
    today = DAY.replace(year=DAY.year + int(years)) + timedelta(days=round(365.0 * part))
    if today == keep_until:
        return "keep until two full years have passed"
    return "keep" if today < keep_until else "federal minimum met"


def copy_days(_: Row) -> float:
    due = asked().copy_due
    assert due is not None
    return float((due - DAY).days)


def on_day(row: Row) -> str:
    month, day = map(int, row.inputs["date"].split("-"))
    return "prohibited" if fertilizer_closed(LAWS[row.topic], month, day) else "allowed"


def near_water(row: Row) -> str:
    given = row.inputs
    least_m = fertilizer_off_water_m(LAWS[row.topic], given["shield"], convert(given["veg_buffer_ft"], "ft", "m"))
    return "allowed" if convert(given["ft_to_surface_water"], "ft", "m") >= least_m else "prohibited"


def closed_season(row: Row) -> str:
    held = table("chemistry/nutrient_laws").row(law=LAWS[row.topic], about="closed")
    first, last = (date.fromisoformat(f"2015-{held[end]}") for end in ("first", "last"))
    if (first.day, (last + timedelta(days=1)).day) == (1, 1):
        return f"{first:%B}-{last:%B}"
    return f"{first.day} {first:%b} - {last.day} {last:%b}"


ANSWERS: Answers = {
    ("rup_record_7CFR110_3a", "required"): required,
    ("rup_record_commercial_40CFR171", "required"): required,
    ("rup_record_deadline", "within_deadline"): within_deadline,
    ("rup_record_retention", "retention"): retention,
    ("rup_record", "commercial_copy_to_client_within"): copy_days,
    ("fertiliser_law_ny", "lawn_fertiliser_date"): on_day,
    ("fertiliser_law_ny", "lawn_fertiliser_near_water"): near_water,
    ("fertiliser_law_nj", "closed_season"): closed_season,
    ("fertiliser_law_fl", "closed_months"): closed_season,
    ("fertiliser_law_md", "keep_nutrient_records"): lambda row: nutrient_records_years(LAWS[row.topic]),
}


@pytest.mark.parametrize("row", asserted("practice-law.csv"))
def test_the_law_is_kept(row: Row) -> None:
    check(row, ANSWERS)


def test_a_law_that_is_not_known_is_refused_with_those_that_are() -> None:
    with pytest.raises(Exception, match="new_york, new_jersey, collier_florida"):
        fertilizer_closed("maryland", 12, 1)
