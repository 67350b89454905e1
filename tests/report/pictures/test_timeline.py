"""The timeline: each thing on its day, each kind of thing on its lane."""

from __future__ import annotations

from datetime import date

import pytest

from rootcase.report.pictures import draw_timeline
from rootcase.report.text.happenings import Happening
from tests.report.pictures.marks import mark, marks, number, points, root_of, texts

TODAY = date(2016, 6, 15)
HAPPENED = (Happening(date(2015, 11, 5), "read", "99 readings"), Happening(date(2016, 2, 3), "plan", "signed"),
            Happening(date(2016, 2, 3), "offer", "offer 1"), Happening(date(2016, 6, 3), "photo", "photo", "r1"),
            Happening(date(2017, 6, 1), "ahead", "look again"))


def test_days_stand_as_far_apart_as_they_were() -> None:
    root = root_of(draw_timeline("oak 4", HAPPENED, TODAY).bare)
    read = points(mark(marks(root, "lane")[0], "mark"))[0][0]
    ahead = number(mark(marks(root, "lane")[-1], "mark"), "cx")
    today = points(mark(root, "today"))[0][0]
    px = (ahead - read) / (HAPPENED[-1].day - HAPPENED[0].day).days
    assert 168 < read < today < ahead < 1072
    assert today == pytest.approx(read + px * (TODAY - HAPPENED[0].day).days, abs=0.05)


def test_each_kind_of_thing_has_a_lane_and_no_other_is_drawn() -> None:
    root = root_of(draw_timeline("oak 4", HAPPENED, TODAY).bare)
    assert [lane.get("data-lane") for lane in marks(root, "lane")] == ["read", "photo", "plan", "offer", "ahead"]
    lone = root_of(draw_timeline("oak 4", HAPPENED[:1], TODAY).bare)
    assert [lane.get("data-lane") for lane in marks(lone, "lane")] == ["read"]


def test_what_lies_ahead_is_dashed_and_what_was_is_not() -> None:
    root = root_of(draw_timeline("oak 4", HAPPENED, TODAY).bare)
    dashed = [lane.get("data-lane") for lane in marks(root, "lane") if mark(lane, "mark").get("stroke-dasharray")]
    assert dashed == ["ahead"]


def test_many_things_on_near_days_keep_their_words_apart() -> None:
    crowd = [Happening(date(2015, month, day), "read", "x") for month in range(1, 13) for day in (1, 9, 20)]
    picture = draw_timeline("oak 4", crowd, TODAY)
    assert picture.faults == ()
    assert len(marks(root_of(picture.bare), "happening")) == len(crowd)
    assert "2016" in " ".join(texts(root_of(picture.bare)))
