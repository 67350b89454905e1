"""What people type: a table of cases, what is refused and why, and round trips."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import TypedError, UnknownUnit, UnreadableValue
from rootcase.ground.typed import Limits, Typed, read

VALUES = [
    # typed, value, sign, unit
    ("12", 12, "=", None), ("0", 0, "=", None), ("1,5 m", 1.5, "=", "m"), ("1.5m", 1.5, "=", "m"),
    (",5", 0.5, "=", None),
    (".5", 0.5, "=", None), ("12.", 12, "=", None), ("45cm", 45, "=", "cm"), ("=12", 12, "=", None),
    ("3 1/2 in", 3.5, "=", "in"), ('3-1/2"', 3.5, "=", "in"), ("1-1/2", 1.5, "=", None), ("½ in", 0.5, "=", "in"),
    ("1½", 1.5, "=", None), ("1 ½ ft", 1.5, "=", "ft"), ("3/4 in", 0.75, "=", "in"), ("1⅛”", 1.125, "=", "in"),
    ("6'", 6, "=", "ft"), ("6’", 6, "=", "ft"), ('12"', 12, "=", "in"), ("12''", 12, "=", "in"),
    ("6 feet", 6, "=", "ft"),
    ("5'6\"", 66, "=", "in"), ("5’6”", 66, "=", "in"), ("5' 6 1/2\"", 66.5, "=", "in"), ("5 ft 6 in", 66, "=", "in"),
    ("~12", 12, "~", None), ("about 12 in", 12, "~", "in"), ("ca. 12", 12, "~", None), ("≈ 12", 12, "~", None),
    ("<1", 1, "<", None), ("< 1 mg/L", 1, "<", "mg/L"), ("under 5 psi", 5, "<", "psi"), ("≤5", 5, "<", None),
    (">120", 120, ">", None), (">=5", 5, ">", None), ("at least 30 in", 30, ">", "in"), ("36+", 36, ">", None),
    ("longer than 60 min", 60, ">", "min"),
    ("645 ft2", 645, "=", "ft2"), ("12ft3", 12, "=", "ft3"), ("5 ft 2", 62, "=", "in"),
    ("2 yd3", 2, "=", "yd3"), ("2 yd³", 2, "=", "yd3"), ("2 cu yd", 2, "=", "yd3"), ("300 psi", 300, "=", "psi"),
    ("5 gal/1000 sq ft", 5, "=", "gal/1000ft2"), ("5 gal per 1,000 ft2", 5, "=", "gal/1000ft2"),
    ("20 °C", 20, "=", "degC"), ("20C", 20, "=", "degC"), ("68 F", 68, "=", "degF"), ("-5 °C", -5, "=", "degC"),
    ("−5 °C", -5, "=", "degC"), ("12 %", 12, "=", "%"), ("12%", 12, "=", "%"), ("12 percent", 12, "=", "%"),
    ("1.250,5", 1250.5, "=", None), ("1,250.5", 1250.5, "=", None), ("1 250", 1250, "=", None),
    ("1 250,5 kg", 1250.5, "=", "kg"),
    ("1\u202f250", 1250, "=", None), ("1,250,000", 1250000, "=", None), ("1.250.000", 1250000, "=", None),
    ("0,125", 0.125, "=", None), ("1250,500", 1250.5, "=", None), ("1,2345", 1.2345, "=", None),
    ("1.250", 1.25, "=", None),
    ("1.2e-3 m", 0.0012, "=", "m"), ("2E6", 2e6, "=", None), ("3 x 10^4", 30000, "=", None),
    ("3×10^4", 30000, "=", None),
]


@pytest.mark.parametrize(("text", "value", "sign", "unit"), VALUES)
def test_a_value(text: str, value: float, sign: str, unit: str | None) -> None:
    typed = read(text)
    assert typed is not None
    assert (typed.text, typed.value, typed.sign, typed.unit) == (text, value, sign, unit)
    assert (typed.low, typed.high, typed.nothing) == (None, None, None)


@pytest.mark.parametrize(("text", "low", "high", "sign", "unit"), [
    ("3-4 in", 3, 4, "=", "in"), ("3–4", 3, 4, "=", None), ("3 to 4 cm", 3, 4, "=", "cm"),
    ("3 in - 4 in", 3, 4, "=", "in"),
    ("1-1/2-2 in", 1.5, 2, "=", "in"), ("1/2-3/4 in", 0.5, 0.75, "=", "in"), ("-5 to -3 C", -5, -3, "=", "degC"),
    ("about 10-15", 10, 15, "~", None), ("1,5-2,5 m", 1.5, 2.5, "=", "m"), ("150..200 psi", 150, 200, "=", "psi"),
    ("5'6\"-5'9\"", 66, 69, "=", "in"),
])
def test_a_range_is_kept_and_never_halved(text: str, low: float, high: float, sign: str, unit: str | None) -> None:
    typed = read(text)
    assert typed is not None
    assert (typed.value, typed.low, typed.high, typed.sign, typed.unit) == (None, low, high, sign, unit)


@pytest.mark.parametrize("text", ["", "  ", "-", "–", "?", "n/a", "N/A", "na"])
def test_a_blank_is_no_reading(text: str) -> None:
    assert read(text) is None


@pytest.mark.parametrize(("text", "nothing"), [
    ("none seen", "none seen"), ("None Seen", "none seen"), ("none found", "none seen"), ("not looked", "not looked"),
    ("not read", "not read"), ("could not read", "not read"),
])
def test_three_kinds_of_nothing_are_kept_apart(text: str, nothing: str) -> None:
    typed = read(text)
    assert typed == Typed(text, nothing=nothing)  # type: ignore[arg-type]
    assert typed.to("mm", "in") == typed


@pytest.mark.parametrize(("text", "message"), [
    ("abc", r'this is not a value \(got "abc"\); write a number with its unit'),
    ("3//4", "not a value"), ("3/0", "not a value"), ("3 5/4", "not a value"), ("1,25,3", "not a value"),
    ("12,", "not a value"),
    ("3.5.2", "not a value"), ("5 6", "not a value"), ("3 - 4 - 5", "not a value"), ("--5", "not a value"),
    ("nan", "not a value"), ("inf", "not a value"), ("<", "not a value"), ("1e999", "not a value"),
    ("none", "not a value"), ("cat 3", "not a value"), ("9" * 400, "not a value"), ("9" * 5000 + " in", "not a value"),
    ("4-3", "this is not a range"), ("<3-4", "this is not a range"), ("3 in - 4 cm", "different units"),
    ("5'12\"", "twelve inches and more"), ("3-Apr", "spreadsheet .* date"), ("Apr-03", "spreadsheet .* date"),
    ("2015-04-03 00:00:00", "spreadsheet .* date"), ("4/3/2015", "spreadsheet .* date"),
])
def test_what_is_no_value_is_refused_in_one_line(text: str, message: str) -> None:
    with pytest.raises(UnreadableValue, match=message) as refused:
        read(text)
    assert f'"{text}"' in str(refused.value)
    assert "\n" not in str(refused.value)


def test_an_unknown_unit_is_named_and_the_nearest_offered() -> None:
    with pytest.raises(UnknownUnit, match=r'got "psii".*did you mean psi'):
        read("300 psii")


def test_a_comma_that_can_be_two_things_names_both() -> None:
    with pytest.raises(UnreadableValue, match=r"this can be 1.25 or 1,250 .*write 1.25 or 1250"):
        read("1,250")
    with pytest.raises(UnreadableValue, match=r"this can be 1.25 to 1.3 or 1,250 to 1,300"):
        read("1,250-1,300")


DENSITY = Limits(0.1, 2.65, "Mg/m3", "g/cm3")


@pytest.mark.parametrize(("text", "value", "taken"), [
    ("1,250", 1.25, "only 1.25"), ("1,250 kg/m3", 1250, "only 1,250"),
])
def test_limits_decide_a_comma_where_one_reading_is_possible_and_it_is_said(
        text: str, value: float, taken: str) -> None:
    typed = read(text, DENSITY)
    assert typed is not None
    assert typed.value == value
    assert taken in typed.said


def test_limits_that_allow_both_or_none_decide_nothing() -> None:
    for limits in (Limits(0, 5000, "mm", "mm"), Limits(5000, 6000, "mm", "mm"), Limits(None, None, "mm", "mm")):
        with pytest.raises(UnreadableValue, match=r"this can be 1\.25 or 1,250"):
            read("1,250", limits)


@pytest.mark.parametrize(("text", "limits", "value"), [
    ("1,420 ft2", None, 1420), ("10,600 sq ft", None, 10600), ("1,420-1,500 ft2", None, 1420),
    ("1,420", Limits(0, None, "m2", "ft2"), 1420), ("1,420.5 gal", None, 1420.5), ("3,12 in", None, 3.12),
])
def test_a_comma_before_three_figures_parts_thousands_in_us_units(text: str, limits: Limits | None,
                                                                  value: float) -> None:
    typed = read(text, limits)
    assert typed is not None
    assert (typed.value if typed.low is None else typed.low) == value


def test_elsewhere_it_is_asked_about() -> None:
    for text, limits in (("1,420 m2", None), ("1,420 m2", Limits(0, None, "m2", "ft2")),
                         ("3,125 in", Limits(0, None, "mm", "cm")), ("1,420", Limits(0, None, "m2", "m2"))):
        with pytest.raises(UnreadableValue, match="this can be"):
            read(text, limits)


def test_feet_and_inches_are_said_back() -> None:
    typed = read("5'6\"")
    assert typed is not None
    assert typed.said == "5'6\" taken as 5 ft 6 in (1.68 m)"


@pytest.mark.parametrize(("text", "unit", "box", "value"), [
    ("3 1/2", "mm", "in", 88.9), ("3 1/2 cm", "mm", "in", 35), ("55", "degC", "degF", 12.777777777777779),
    ("300 psi", "MPa", "MPa", 2.0684271879505083), ("12", "1", "%", 0.12), ("18 F", "degC_diff", "degF_diff", 10),
    ("10 C", "degC_diff", "degF_diff", 10), ("18", "degC_diff", "degF_diff", 10),
])
def test_it_is_turned_into_the_stored_unit_once(text: str, unit: str, box: str, value: float) -> None:
    typed = read(text)
    assert typed is not None
    turned = typed.to(unit, box)
    assert (turned.value, turned.unit, turned.text) == (pytest.approx(value, rel=1e-15), unit, text)


def test_a_rise_typed_as_a_temperature_is_said() -> None:
    typed = read("18 F")
    assert typed is not None
    assert "difference of temperatures" in typed.to("degC_diff", "degF_diff").said
    assert typed.to("degC", "degF").said == ""


def test_a_range_is_turned_at_both_ends() -> None:
    typed = read("3-4")
    assert typed is not None
    assert (typed.to("mm", "in").low, typed.to("mm", "in").high) == (pytest.approx(76.2), pytest.approx(101.6))


DECIMALS = st.decimals(min_value=0, max_value=10**6, places=2, allow_nan=False)


STYLES = st.sampled_from([("{:f}", "."), ("{:f}", ","), ("{:,f}", ".")])


@given(DECIMALS, STYLES, st.sampled_from(["", " in", "cm", " psi"]))
def test_a_decimal_is_read_back_however_it_is_written(value: object, style: tuple[str, str], unit: str) -> None:
    text = style[0].format(value)
    if style[1] == ",":
        text = text.replace(".", ",")
    typed = read(text + unit)
    assert typed is not None
    assert typed.value == float(str(value))


@given(st.integers(0, 99), st.integers(1, 15), st.sampled_from([2, 4, 8, 16]), st.sampled_from([" ", "-"]))
def test_a_mixed_number_is_read_back(whole: int, top: int, bottom: int, between: str) -> None:
    if top < bottom:
        typed = read(f"{whole}{between}{top}/{bottom}\"")
        assert typed is not None
        assert typed.value == float(whole + Fraction(top, bottom))


@given(st.integers(0, 99), st.integers(0, 11), st.sampled_from(["'{}\"", "' {}\"", " ft {} in", "’{}”"]))
def test_feet_and_inches_are_read_back(feet: int, inches: int, style: str) -> None:
    typed = read(f"{feet}{style.format(inches)}")
    assert typed is not None
    assert (typed.value, typed.unit) == (12 * feet + inches, "in")


@given(DECIMALS, DECIMALS, st.sampled_from(["-", " - ", "–", " to "]))
def test_a_range_is_read_back_or_refused_when_it_runs_backwards(low: object, high: object, between: str) -> None:
    text = f"{low}{between}{high}"
    if float(str(low)) > float(str(high)):
        with pytest.raises(UnreadableValue, match="not a range"):
            read(text)
    else:
        typed = read(text)
        assert typed is not None
        assert (typed.low, typed.high) == (float(str(low)), float(str(high)))


@given(st.text(alphabet="0123456789.,-/ '\"½<>~toingalcm°%e", max_size=14))
def test_any_text_is_read_or_refused_and_never_breaks(text: str) -> None:
    try:
        typed = read(text)
    except TypedError:
        return
    assert typed is None or typed.nothing or typed.value is not None or typed.high is not None
