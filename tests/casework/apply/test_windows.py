"""Days that are closed, worked by hand: frost, wet, dry, heat, rain, wind, locate, use, law; and what always holds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from math import erf, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rootcase.casework.apply.ahead import DAY, Expected, Felt, days_ahead, sky_of
from rootcase.casework.apply.gates import Limits, gates_of
from rootcase.casework.apply.windows import Site, chance_of, windows_of
from rootcase.records.apply.told import Bloom, GroundTold, Permit, Use
from rootcase.records.apply.windows import Finding, Gate, PlaceDay
from rootcase.records.observe import Rule
from rootcase.tables.load import table
from tests.casework.apply.skies import FINE, LOCATED, NOT_KNOWN, SOIL, TODAY, ahead, days_of, job, weather, with_one

REMEDIES = [str(row["remedy"]) for row in table("apply/gate_groups").rows]
WEATHERED = [remedy for remedy in REMEDIES if any(each.gate == "wind" for each in gates_of(remedy))]


def gate(day: PlaceDay, name: Gate) -> Finding:
    return next(each for each in day.findings if each.gate == name)


def closing(days: Sequence[PlaceDay]) -> list[list[str]]:
    return [[each.gate for each in day.findings if each.state == "not_fit"] for day in days]


@pytest.mark.published
def test_soil_is_the_mean_of_eleven_days_of_air() -> None:
    # Air at (10 + 20) / 2 = 15 to yesterday, then (0 + 4) / 2 = 2: after n cold days (15 (11 - n) + 2 n) / 11.
    soil = [gate(day, "soil_temperature").figure for day in days_of(job(), ahead(12, lowest=0.1, highest=3.9))]
    assert soil == pytest.approx([(15 * (11 - n) + 2 * n) / 11 for n in range(1, 12)])
    # It is under 6 C from the day on which 15 - 13 n / 11 < 6, n > 7.6: the eighth.
    assert [gate(day, "soil_temperature").state for day in days_of(job(), ahead(12, lowest=0.1, highest=3.9))] == [
        "fit"] * 7 + ["not_fit"] * 4


@pytest.mark.reference
def test_frost_closes_its_night_alone_and_is_as_sure_as_the_forecast() -> None:
    days = days_of(job(), ahead(10, lowest=with_one((10.0,) * 10, 3, -2.0)))
    assert closing(days) == [[], [], [], ["frost"], [], [], [], [], []]
    # Lead of 3 days: error 2.2 C; 2 C below freezing is 2 / 2.2 errors.
    assert days[3].chance == pytest.approx(0.5 * (1 + erf(2 / 2.2 / sqrt(2))))
    assert gate(days[3], "frost").low == pytest.approx(-2 - 1.6448536 * 2.2)


@pytest.mark.reference
def test_rain_wets_the_soil_until_it_has_drained() -> None:
    # A hand found it fit this morning: 0.75 of 40 mm, so 10 mm are missing. 35 mm fall on the third day: 25 mm stand
    # above what it holds, (40 + 25) / 40 = 1.625. It drains 10 mm a day, but a day begins as wet as the one before
    # ended: 1.625, then 15 mm, 1.375, then 5 mm, 1.125, which is below 1.15.
    felt = Felt(squeezed=((TODAY, "fit", 0.75),))
    days = days_of(job("air_tillage"), ahead(10, felt=felt, rain=with_one((0.0,) * 10, 2, 35.0)))
    full = [gate(day, "saturated").figure for day in days]
    assert full == pytest.approx([0.75, 0.75, 1.625, 1.625, 1.375, 1.125, 1.0, 1.0, 1.0])
    assert closing(days) == [[], [], ["saturated"], ["saturated"], ["saturated"], [], [], [], []]
    assert (gate(days[0], "saturated").basis, gate(days[1], "saturated").basis) == ("read", "forecast")


@pytest.mark.reference
def test_half_an_inch_of_rain_closes_its_day_and_the_day_before_to_liquid() -> None:
    days = days_of(job(), ahead(10, felt=Felt(squeezed=((TODAY, "fit", 0.5),)), rain=with_one((0.0,) * 10, 4, 13.0)))
    assert closing(days) == [[], [], [], ["rain_to_come"], ["rain_to_come"], [], [], [], []]
    # Of two days' rain the later one's lead tells how sure it is: 6 mm on the fourth. (13 - 12.7) / 6 errors above.
    assert days[3].chance == pytest.approx(0.5 * (1 + erf(0.3 / 5.5 / sqrt(2))))


@pytest.mark.reference
def test_soil_dries_by_what_its_cover_takes() -> None:
    # 0.25 of 40 mm = 10 mm left, 30 mm missing of which 16 mm cost nothing: thirst (40 - 30) / (40 - 16) = 0.4167.
    # 5 mm of reference a day take 0.85 x 5 x 0.4167 = 1.771 mm; 8.229 mm are left, and so on: 0.25, 0.2057, 0.169.
    felt = Felt(squeezed=((TODAY - timedelta(1), "dry", 0.25),))
    days = days_of(job(), ahead(10, felt=felt, before={"reference": 5.0}, reference=5.0))
    left, told = 0.25, []
    for _ in range(10):
        told.append(left)
        left -= 0.85 * 5.0 * min(left * 40.0 / 24.0, 1.0) / 40.0
    assert [gate(day, "too_dry").figure for day in days] == pytest.approx(told[1:])
    assert [len(each) > 0 for each in closing(days)] == [each <= 0.15 for each in told[1:]]


@pytest.mark.reference
def test_of_two_reasons_the_surer_one_is_the_chance() -> None:
    # 9 C below freezing with an error of 1.8 C is all but sure; 35.1 C is barely above 35.
    days = days_of(job(), ahead(10, lowest=with_one((10.0,) * 10, 1, -9.0), highest=with_one((20.0,) * 10, 1, 35.1)))
    assert closing(days)[1] == ["frost", "heat"]
    assert (days[1].chance or 0.0) > 0.999


@pytest.mark.reference
@pytest.mark.parametrize(("changed", "gate_closed"), [
    ({"highest": with_one((20.0,) * 10, 1, 35.0)}, "heat"), ({"wind": with_one((2.0,) * 10, 1, 5.6)}, "wind")])
def test_heat_and_wind_close_their_day(changed: dict[str, Sequence[float]], gate_closed: str) -> None:
    # 95 F; a mean of 5.6 m/s with gusts of twice that, 11.2 m/s or 25 mph.
    assert closing(days_of(job("air_tillage"), ahead(10, **changed)))[:3] == [[], [gate_closed], []]


@pytest.mark.reference
def test_frozen_soil_closes_and_a_hand_knows_better() -> None:
    cold = ahead(14, before={"lowest": -6.0, "highest": 4.0}, lowest=1.0, highest=3.0)
    # (-1 x 10 + 2 x 1) / 11 below freezing; -1 + 3 n / 11 above from n = 4.
    assert [gate(day, "frozen").state for day in days_of(job("air_tillage"), cold)][:5] == ["not_fit"] * 3 + ["fit"] * 2
    thawed = ahead(14, felt=Felt(squeezed=((TODAY, "fit", 0.75),)), before={"lowest": -6.0, "highest": 4.0},
                   lowest=1.0, highest=3.0)
    assert gate(days_of(job("air_tillage"), thawed)[0], "frozen").state == "fit"


@pytest.mark.reference
def test_a_thermometer_draws_the_soil_towards_it_and_is_forgotten() -> None:
    felt = Felt(warm_c=((TODAY - timedelta(14), 11.0),))
    (first, *_, last) = (gate(day, "soil_temperature") for day in days_of(job(), ahead(15, felt=felt)))
    assert first.figure == pytest.approx(15.0 - 4.0 / 2.718281828)  # 4 C below, two weeks ago
    assert last.figure == pytest.approx(15.0 - 4.0 * 2.718281828 ** (-27 / 14))


@pytest.mark.reference
def test_lines_have_to_be_located_and_marks_end() -> None:
    days = days_of(job("air_tillage"), ahead(24), LOCATED)  # marks hold to 20 May, the nineteenth day
    assert closing(days) == [[]] * 19 + [["locate"]] * 4
    assert (gate(days[19], "locate").says, gate(days[19], "locate").until) == ("412", date(2016, 5, 20))
    assert days[19].chance == 1.0
    untold = days_of(job("air_tillage"), ahead(24), GroundTold())
    assert {day.state for day in untold} == {"not_known"}
    assert {day.state for day in days_of(job("extract"), ahead(4), GroundTold())} == {"fit"}  # opens no ground


@pytest.mark.reference
def test_use_bloom_law_permit_and_season_close_their_days() -> None:
    told = replace(LOCATED, uses=(Use(id="u", name="match", first=TODAY, last=date(2016, 5, 30), weekdays=(5, 6),
                                      place_id="lawn"),),
                   blooms=(Bloom(id="b", of="t", first=TODAY, last=TODAY),),
                   permits=(Permit(id="p", what="street", number="", first=TODAY, last=date(2016, 5, 30)),
                            Permit(id="q", what="street", number="7", first=TODAY, last=date(2016, 5, 10))))
    rule = Rule("closed", "A county", None, "", "05-11", "05-12", ("growth_regulator",), "a code", TODAY, "")
    work = job("growth_regulator", last=date(2016, 5, 13))
    days = days_of(work, ahead(14), told, (rule,))
    assert closing(days) == [["bloom"], [], [], [], [], ["use"], ["use"], [], [], ["law", "permit"],
                             ["law", "permit"], ["permit"], ["season", "use", "permit"]]
    assert [gate(days[9], "law").until, gate(days[5], "use").until] == [date(2016, 5, 12), date(2016, 5, 8)]


def test_a_permit_is_asked_for_where_a_rule_or_the_place_says_so_and_opens_by_its_number() -> None:
    rule = Rule("permit", "A city", None, "", "", "", ("air_tillage",), "a code", TODAY, "")
    given = replace(LOCATED, permits=(Permit(id="p", what="city", number="7", first=TODAY, last=TODAY + DAY),))
    for asked in ({"rules": (rule,)}, {"places": frozenset(("lawn",))}):
        assert closing(days_of(job("air_tillage"), ahead(4), **asked)) == [["permit"]] * 3
        assert closing(days_of(job("air_tillage"), ahead(4), given, **asked)) == [[], [], ["permit"]]
        other = replace(LOCATED, permits=tuple(replace(each, remedies=("mulch",)) for each in given.permits))
        assert closing(days_of(job("air_tillage"), ahead(4), other, **asked)) == [["permit"]] * 3
        own = replace(LOCATED, permits=tuple(replace(each, remedies=("air_tillage",)) for each in given.permits))
        assert closing(days_of(job("air_tillage"), ahead(4), own, **asked)) == [[], [], ["permit"]]
        assert closing(days_of(job("mulch"), ahead(4), **asked)) == [[]] * 3
    assert closing(days_of(job("air_tillage"), ahead(4), places=frozenset(("bed",)))) == [[]] * 3
    assert gate(days_of(job("air_tillage"), ahead(4), rules=(rule,))[0], "permit").says == "A city"
    untold = replace(LOCATED, permits=tuple(replace(each, work_told=False) for each in given.permits))
    day = days_of(job("air_tillage"), ahead(4), untold)[0]
    assert (day.state, gate(day, "permit").state, [each.gate for each in day.bars]) == (
        "not_known", "not_known", ["permit"])
    assert days_of(job("mulch"), ahead(4), untold)[0].state == "fit"
    both = replace(untold, permits=(*untold.permits, *given.permits))
    assert days_of(job("air_tillage"), ahead(4), both)[0].state == "fit"


def test_a_paper_opens_the_days_it_holds_on_and_no_other() -> None:
    days = ahead(4)
    site = Site({"lawn": days}, LOCATED, (), permit_places=frozenset(("lawn",)),
                papers={"lawn": days[1].day, "bed": days[-1].day})
    found, = windows_of([job("air_tillage")], site)
    assert closing(found.days) == [[], [], ["permit"]]


@pytest.mark.property
@pytest.mark.parametrize("remedy", WEATHERED)
def test_without_a_forecast_no_day_is_fit(remedy: str) -> None:
    assert {day.state for day in days_of(job(remedy), ahead(no_forecast=True))} == {"not_known"}


@pytest.mark.property
@pytest.mark.parametrize("remedy", WEATHERED)
def test_beyond_the_forecast_no_day_is_fit(remedy: str) -> None:
    days = days_of(job(remedy), ahead(5, shown=9))
    assert {day.state for day in days[5:]} == {"not_known"}
    assert all(day.chance is None for day in days[5:])


@pytest.mark.property
def test_what_is_usual_opens_no_day_and_is_told() -> None:
    years = weather(TODAY - timedelta(900), 900, lowest=[float(n % 7) for n in range(900)])
    sky = sky_of(years, None, TODAY, TODAY + timedelta(3))
    days = days_of(job(), days_ahead(sky, SOIL, Felt(), TODAY))
    told = gate(days[2], "frost")
    assert (told.state, told.basis, told.figure, told.low, told.high) == ("not_known", "usual", 3.0, 0.0, 6.0)
    assert {day.state for day in days} == {"not_known"}
    few = days_ahead(sky_of(weather(TODAY - timedelta(300), 200), None, TODAY, TODAY), SOIL, Felt(), TODAY)
    assert few[0].lowest_c is None  # no earlier year is near this day


@pytest.mark.property
@pytest.mark.parametrize("figure", sorted(FINE))
def test_a_figure_that_is_not_known_never_opens_a_day_that_needs_it(figure: str) -> None:
    days = days_of(job(), ahead(10, **{figure: NOT_KNOWN}))
    needed = figure in ("lowest", "highest", "rain", "reference")
    assert days[5].state == ("not_known" if needed else "fit")


@pytest.mark.property
@settings(max_examples=40, deadline=None)
@given(day=st.integers(0, 9), remedy=st.sampled_from(REMEDIES),
       figure=st.sampled_from(("lowest", "rain", "wind", "reference")), value=st.floats(0.0, 40.0))
def test_a_changed_forecast_changes_only_the_days_it_touches(day: int, remedy: str, figure: str, value: float) -> None:
    value = min(value, {"lowest": 19.0, "reference": 12.0}.get(figure, value))
    before, after = (days_of(job(remedy), ahead(10, **{figure: column})) for column in (
        (FINE[figure],) * 10, with_one((FINE[figure],) * 10, day, value)))
    reaches = day - 1 if figure == "rain" else day  # rain to come is asked of the day before
    assert before[:max(reaches, 0)] == after[:max(reaches, 0)]
    if figure == "wind":
        assert before[day + 1:] == after[day + 1:]
    if figure == "lowest":  # eleven days of air make the soil's
        assert [each.state for each in before[day + 11:]] == [each.state for each in after[day + 11:]]


@pytest.mark.property
@settings(max_examples=100, deadline=None)
@given(figure=st.floats(-20.0, 60.0), gate_of=st.sampled_from([each for remedy in REMEDIES for each in gates_of(remedy)
                                                              if each.unit]),
       column=st.sampled_from(("temperature_c", "rain_mm", "wind_m_s")))
def test_a_chance_never_rises_with_the_lead(figure: float, gate_of: Limits, column: str) -> None:
    chances = [chance_of(gate_of, Expected(figure, 0.0, 0.0, row[column], "forecast"))
               for row in table("apply/forecast_errors").rows]
    if not gate_of.low < figure < gate_of.high:
        chances = [1.0 - each for each in chances]
        if gate_of.gate == "soil_temperature":
            return  # a wide enough error reaches past both ends: closed is surer then, and open never
    assert all(after <= before + 1e-12 for before, after in pairwise(chances))


@pytest.mark.property
def test_the_same_day_over_and_over_is_ever_less_sure() -> None:
    chances = [day.chance or 0.0 for day in days_of(job(), ahead(14))]
    assert chances == sorted(chances, reverse=True)
    assert chances[0] > chances[-1]


@pytest.mark.property
def test_forecast_errors_grow() -> None:
    rows = table("apply/forecast_errors").rows
    assert [row["lead_days"] for row in rows] == list(range(len(rows)))
    for column in ("temperature_c", "rain_mm", "wind_m_s"):
        steps = [row[column] for row in rows]
        assert steps == sorted(steps)


@pytest.mark.property
def test_every_remedy_has_a_group_and_every_gate_somebody() -> None:
    assert set(REMEDIES) == {str(row["remedy"]) for row in table("prescribe/remedies").rows}
    of = {str(row["of"]) for row in table("apply/gates").rows}
    assert of == {str(row["remedy_group"]) for row in table("apply/gate_groups").rows}
    assert SOIL.total_mm > 0.0
