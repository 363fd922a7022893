"""The screen and the run of one item: the same answer by both, the asked and the safe stroke, and who gets none."""

import json
import re
from dataclasses import asdict

import numpy as np
import pytest

from softseat.enquiry.reader import read_enquiry
from softseat.maker.package import load
from softseat.register import HOLDS
from softseat.selection.decide import decide
from softseat.selection.hammer import ATMOSPHERE, bore_over_wall, safe_stroke, surge_screen, wave_speeds
from softseat.selection.judge import judge
from softseat.selection.surge_run import surge_answer
from softseat.sheet import ASSUMED, GIVEN

ROWS = """Tag,Service,Medium,Size,Rating,Operating pressure,Flow m3/h,Temperature,Pipe length m,Closing time s,Operator
A-1,filter backwash,water,DN500,PN10,1.2 bar(g),2100,20 C,640,2,pneumatic double acting
A-2,raw water main,water,DN300,PN16,6 bar(g),400,20 C,2000,30,electric on-off
A-3,service,water,DN100,PN16,6 bar(g),40,20 C,,,lever
A-4,air,air,DN200,PN10,4 bar(g),3000 Nm3/h,20 C,500,3,pneumatic double acting
A-5,drain,water,DN200,PN10,3 bar(g),20,20 C,40,20,gear
"""
PUMPED = """Tag,Service,Medium,Size,Rating,Operating pressure,Flow m3/h,Temp.,Pipe length m,Closing time s,Operator,Pump head m,Remarks
P-1,raw water main,water,DN300,PN16,6 bar(g),400,20 C,2000,30,electric on-off,70,
P-2,raw water main,water,DN300,PN16,6 bar(g),400,20 C,2000,30,electric on-off,,
P-3,raw water main,water,DN300,PN10,9 bar(g),400,20 C,200,300,electric on-off,,"TDH 100 m, steel pipe"
P-4,transfer,water,DN200,PN10,3 bar(g),120,20 C,,20,gear,,"shut-off head 48 m, 40 m behind the valve"
P-5,filter outlet,water,DN500,PN10,1.2 bar(g),2100,20 C,,2,pneumatic double acting,,640 m to sump
P-6,filter outlet,hot water,DN500,PN10,1.2 bar(g),2100,85 C,,12,pneumatic double acting,,640 m to sump
P-7,drain,water,DN200,PN10,3 bar(g),120,20 C,,20,gear,,20 m downstream of the pump
"""


@pytest.fixture(scope="module")
def decided(tmp_path_factory):
    """Invented items: a backwash that shuts in 2 s, a main, no line, a gas, a line that cannot be hurt."""
    path = tmp_path_factory.mktemp("surge") / "items.csv"
    path.write_text(ROWS, encoding="utf-8")
    return decide(read_enquiry(path).sheet, load())


@pytest.fixture(scope="module")
def pumped(tmp_path_factory):
    """Invented items: pumps of which one head is said, and lines behind the valve."""
    path = tmp_path_factory.mktemp("surge") / "pumped.csv"
    path.write_text(PUMPED, encoding="utf-8")
    return decide(read_enquiry(path).sheet, load())


def test_the_backwash_stops_within_the_wave_return_and_rises_by_joukowsky(decided):
    """rho a v of 2100 m3/h in DN500: 998.2 x 1000 x 2.971 = 29.65 bar on top of 1.2, at the best guess of the wave speed."""
    answer = surge_answer(decided.asked, 0)
    assert answer.sudden
    assert not answer.safe
    assert answer.numbers["pressure_rise"].value == pytest.approx(29.65, abs=0.02)
    assert answer.numbers["surge_pressure"].value == pytest.approx(1.2 + 29.65, rel=0.01)
    assert answer.numbers["critical_time"].value == pytest.approx(1.28)
    assert "rigid column misleads" in answer.sentence
    assert answer.separates
    assert answer.numbers["vapour_margin"].value == 0


def test_the_offered_stroke_keeps_to_the_rating_by_its_bad_end(decided):
    assert decided.offered["stroke_time"][0] > decided.asked["stroke_time"][0]
    answer = surge_answer(decided.offered, 0)
    assert answer.safe
    assert answer.numbers["surge_pressure"].high <= 10.0
    assert answer.numbers["safe_stroke"].value == decided.offered["stroke_time"][0]
    assert answer.numbers["whole_stroke"].value >= answer.numbers["safe_stroke"].value
    low, best, high = (answer.numbers["surge_pressure"].low, answer.numbers["surge_pressure"].value, answer.numbers["surge_pressure"].high)
    assert low < best < high


def test_screen_and_run_give_the_same_pressure(decided):
    for sheet in (decided.asked, decided.offered):
        for n in (0, 1, 4):
            shown = surge_answer(sheet, n).numbers["surge_pressure"]
            coarse = (sheet["surge_pressure"][:, n] - ATMOSPHERE) / 1e5
            rise = max(shown.high - (sheet["p1"][n] - ATMOSPHERE) / 1e5, 0.1)
            assert [shown.low, shown.value, shown.high] == pytest.approx(coarse.tolist(), abs=0.03 * rise)


def test_two_speeds_are_offered_where_the_asked_stroke_is_not_safe(decided):
    numbers = surge_answer(decided.asked, 1).numbers
    assert numbers["two_speed_time"].value < numbers["safe_stroke"].value
    assert 0 < numbers["break_time"].value < numbers["two_speed_time"].value
    assert "two_speed_time" not in surge_answer(decided.offered, 1).numbers


def test_who_gets_no_answer(decided):
    assert surge_answer(decided.asked, 2) is None  # no line
    assert surge_answer(decided.asked, 3) is None  # a gas
    assert np.isnan(decided.asked["surge_pressure"][:, [2, 3]]).all()


def test_a_harmless_line_is_said_to_be_safe(decided):
    answer = surge_answer(decided.asked, 4)
    assert answer.safe
    assert not answer.sudden
    assert decided.offered["stroke_time"][4] == 20


def test_every_number_and_curve_is_plain_and_finite(decided):
    for n in (0, 1, 4):
        answer = surge_answer(decided.asked, n)
        json.dumps(asdict(answer), allow_nan=False)
        for curve in (*answer.history, *answer.envelope):
            low, best, high = (np.array(v) for v in (curve.low, curve.value, curve.high))
            assert len(curve.opening) == len(low) == len(best) == len(high) > 20
            assert (low <= best + 1e-9).all()
            assert (best <= high + 1e-9).all()


def test_the_pipe_that_is_named_narrows_the_wave_speed(decided):
    def named(pipe, class_=""):
        sheet = decided.asked.item(0)
        columns = {"pipe_system": np.array([pipe]), "pipe_class": np.array([class_])}
        return wave_speeds(sheet.adding(GIVEN, **columns))[:, 0]

    unknown, steel, pe, sdr = named(""), named("steel"), named("pe"), named("pe", "SDR 11")
    assert np.ptp(steel) < np.ptp(unknown)
    assert pe[2] < steel[0]
    assert np.ptp(sdr) < np.ptp(pe)


def test_bore_over_wall_of_an_sdr_is_two_less():
    """bore = d (1 - 2/SDR): by the rounded walls of the table within 2 %."""
    assert bore_over_wall("pe", "SDR 11", 200.0) == pytest.approx(9, rel=0.03)
    assert np.isnan(bore_over_wall("pe", "", 200.0))
    assert np.isnan(bore_over_wall("", "SDR 11", 200.0))


def test_an_answer_does_not_depend_on_its_neighbours(decided):
    whole = surge_screen(decided.asked)
    for n in (0, 1, 4):
        one = surge_screen(decided.asked.item(n))
        for name in ("surge_pressure", "separation_head", "effective_time"):
            assert np.array_equal(whole[name][..., n], one[name][..., 0], equal_nan=True)
    every = np.ones(len(decided.asked), bool)
    assert np.array_equal(safe_stroke(decided.asked, every)[[0]], safe_stroke(decided.asked.item(0), every[[0]]))


def test_of_a_pump_both_heads_where_one_is_said(pumped):
    """1.2 times the duty head is common practice, no source; the table holds it."""
    sheet = pumped.asked
    assert sheet["pump_head"] == pytest.approx([70, np.nan, 100, 40, np.nan, np.nan, np.nan], nan_ok=True)
    assert sheet["shutoff_head"] == pytest.approx([84, np.nan, 120, 48, np.nan, np.nan, np.nan], nan_ok=True)
    assert sheet.state["shutoff_head"][[0, 2, 3]].tolist() == [ASSUMED, ASSUMED, GIVEN]
    assert "1.2 times" in sheet.why[0, "shutoff_head"]


def test_the_highest_pressure_counts_the_shut_off_head(pumped):
    """Nobody said a highest pressure: what stands at the flow and what the pump gains, 14, 20 and 8 m of cold water."""
    above = (pumped.asked["p_max"] - pumped.asked["p1"]) / 9806.65
    assert above == pytest.approx([14, 0, 20, 8, 0, 0, 0])


def test_a_pump_presses_higher_than_a_tank(pumped):
    """By shut-off head at least: 9 bar(g), 200 m of line (84 m times a friction factor of 0.01 to 0.035) and 20 m."""
    surge = (pumped.asked["surge_pressure"] - ATMOSPHERE) / 1e5
    assert (surge[:, 0] > surge[:, 1]).all()
    assert (surge[:, 2] >= 9 + 20 * 0.0979).all()
    assert surge[2, 2] < 9 + 23 * 0.0979
    answer = surge_answer(pumped.asked, 2)
    assert "No stroke keeps to the rating" in answer.sentence
    assert "holds 11.1 bar(g) at an assumed shut-off head" in answer.sentence
    assert "stop of the pump is not computed" in answer.sentence
    assert pumped.offered["pn_valve"][2] > 10


def test_the_line_behind_the_valve(pumped):
    """DN200, 40 m into the open: braked in 20 s of stroke, some L v/(g t) of 3 s; DN500, 640 m in 2 s: far below the vapour."""
    sheet, lowest = pumped.asked, pumped.asked["lowest_head"]
    assert sheet["pipe_length_behind"] == pytest.approx([np.nan, np.nan, np.nan, 40, 640, 640, np.nan], nan_ok=True)
    assert np.isnan(lowest[:, [0, 1, 2, 6]]).all()
    assert (lowest[:, 3] > -2).all()
    assert (lowest[:, 3] < 0).all()
    assert lowest[:, 4] == pytest.approx(np.full(3, (2339 - ATMOSPHERE) / 998.2 / 9.80665), abs=0.01)  # steam tables, 20 C
    assert pumped.judged_asked["R133"].tolist() == [0, 0, 0, 0, HOLDS, HOLDS, 0]
    assert lowest[0, 5] > -5  # hot water boils before it reaches the limit of cold
    answer = surge_answer(sheet, 4)
    assert answer.separates
    assert "the column separates; it stays whole from" in answer.sentence
    assert surge_answer(sheet, 3).numbers["lowest_head"].value == pytest.approx(lowest[1, 3], rel=1e-3)


def test_the_stroke_that_keeps_the_column_behind_whole_does_so(pumped):
    seconds = float(re.search(r"from (\d+) s on", surge_answer(pumped.asked, 4).sentence)[1])
    one = pumped.asked.item(4)
    for share, parted in ((0.8, True), (1.05, False)):
        judged = judge(surge_screen(one.adding(GIVEN, stroke_time=np.array([share * seconds]))), ("R133",))["R133"]
        assert (judged[0] == HOLDS) == parted, share


def test_a_shut_valve_shows_no_flow(decided):
    for n in (0, 1, 4):
        flow = next(c for c in surge_answer(decided.asked, n).history if c.name == "flow")
        assert min(flow.low) >= 0
