"""The screen and the run of one item: the same answer by both, the asked and the safe stroke, and who gets none."""

import json
from dataclasses import asdict

import numpy as np
import pytest

from softseat.enquiry.reader import read_enquiry
from softseat.maker.package import load
from softseat.selection.decide import decide
from softseat.selection.hammer import ATMOSPHERE, bore_over_wall, safe_stroke, surge_screen, wave_speeds
from softseat.selection.surge_run import surge_answer
from softseat.sheet import GIVEN

ROWS = """Tag,Service,Medium,Size,Rating,Operating pressure,Flow m3/h,Temperature,Pipe length m,Closing time s,Operator
A-1,filter backwash,water,DN500,PN10,1.2 bar(g),2100,20 C,640,2,pneumatic double acting
A-2,raw water main,water,DN300,PN16,6 bar(g),400,20 C,2000,30,electric on-off
A-3,service,water,DN100,PN16,6 bar(g),40,20 C,,,lever
A-4,air,air,DN200,PN10,4 bar(g),3000 Nm3/h,20 C,500,3,pneumatic double acting
A-5,drain,water,DN200,PN10,3 bar(g),20,20 C,40,20,gear
"""


@pytest.fixture(scope="module")
def decided(tmp_path_factory):
    """Invented items: a backwash that shuts in 2 s, a main, no line, a gas, a line that cannot be hurt."""
    path = tmp_path_factory.mktemp("surge") / "items.csv"
    path.write_text(ROWS, encoding="utf-8")
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
