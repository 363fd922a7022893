"""Known faults put into the torque model's own strokes: each is seen, on the right part, and nothing is seen where there is none."""

import importlib.util
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from softseat.errors import InputError, UnknownName
from softseat.works.build import shapes_of
from softseat.works.changes import change, change_point
from softseat.works.detection import detection, detection_table, false_alarms, first_seen, roc, scores
from softseat.works.history import history_of, read_history
from softseat.works.watch import limits_of, watch

_spec = importlib.util.spec_from_file_location("works_histories", Path(__file__).with_name("histories.py"))
_made = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(_made)
ANGLES, BEGIN, FULL, SIGNALS, history = _made.ANGLES, _made.BEGIN, _made.FULL, _made.SIGNALS, _made.history
LIMITS = {"torque": 800.0, "stroke_time": 8.0, "supply": 4.0e5, "seat_low": 60.0}
PART = {"swell": "seat", "set": "seat", "solids": "bearing", "operator": "operator", "air": "supply"}


@pytest.mark.parametrize("seed", [11, 12])
@pytest.mark.parametrize("fault", FULL)
def test_each_fault_is_seen_on_its_own_part_and_on_no_other(fault, seed):
    found = watch(history(seed, fault), LIMITS)
    assert [d.part for d in found.drifts] == [PART[fault]]
    (drift,) = found.drifts
    assert drift.since == pytest.approx(BEGIN, abs=160)
    assert not drift.step


@pytest.mark.parametrize("seed", range(20, 26))
def test_a_healthy_valve_gives_nothing(seed):
    assert watch(history(seed), LIMITS).drifts == ()


@pytest.mark.parametrize("fault", FULL)
def test_a_fault_at_one_stroke_is_a_step_there(fault):
    drift = watch(history(31, fault, step=True), LIMITS).drifts[0]
    assert drift.step
    assert drift.since == pytest.approx(BEGIN, abs=8)
    assert np.isnan(drift.strokes) or drift.strokes == 0


def straight(slope=0.5, count=200, noise=2.0, seed=3):
    x = np.arange(1, count + 1, dtype=float)
    y = 100 + slope * np.clip(x - 60, 0, None) + np.random.default_rng(seed).normal(0, noise, count)
    return history_of(x, {"torque": y})


def test_the_forecast_band_holds_the_true_stroke():
    """Torque 100 N m and 0.5 N m a stroke from the first: 300 N m at stroke 400, 200 strokes on."""
    inside = 0
    for seed in range(20):
        x = np.arange(1, 201, dtype=float)
        y = 100 + 0.5 * x + np.random.default_rng(seed).normal(0, 4, 200)
        (drift,) = watch(history_of(x, {"torque": y}), {"torque": 300.0}).drifts
        inside += drift.strokes_low - 15 <= 206 <= drift.strokes_high + 15
        assert drift.strokes == pytest.approx(206, abs=15)
        assert drift.margin == pytest.approx(300 / 197, rel=0.05)
    assert inside == 20


def test_without_torque_over_the_angle_the_part_is_not_named():
    found = watch(history(41, "swell", angles=False), LIMITS)
    assert [d.part for d in found.drifts] == ["seat or bearing"]
    assert any("cannot be told apart" in s for s in found.silent)


def test_without_the_shape_of_this_valve_a_mixed_sign_is_not_named():
    assert [d.part for d in watch(history(42, "solids", shaped=False)).drifts] == ["seat or bearing"]


def test_a_slower_stroke_alone_is_valve_or_operator():
    h = history(43, "operator")
    alone = history_of(h.stroke, {"stroke_time": h.signals["stroke_time"]})
    found = watch(alone)
    assert [d.part for d in found.drifts] == ["valve or operator"]
    assert "no supply pressure is logged: a slower stroke may be the air" in found.silent


def test_a_leak_with_a_lighter_seat_is_told_together():
    h = history(44, "set")
    leak = np.where(np.arange(len(h)) > 400, 2e-9 * (np.arange(len(h)) - 400), 0) + np.random.default_rng(1).uniform(0, 1e-9, len(h))
    both = history_of(h.stroke, {**{k: h.signals[k] for k in ("seat", "run")}, "leak": leak})
    told = [d for d in watch(both).drifts if d.signal == "seat"]
    assert "it leaks more too" in told[0].cause


def test_few_strokes_and_gaps_stay_silent():
    h = history(45, "swell")
    assert "42 are needed" in " ".join(watch(h.upto(40)).silent)
    torn = h.signals["stroke_time"].copy()
    torn[np.arange(len(h)) % 3 > 0] = np.nan
    assert any("more gaps than strokes" in s for s in watch(history_of(h.stroke, {"stroke_time": torn})).silent)


def test_wild_strokes_and_gaps_do_not_matter():
    """The histories hold one wild stroke in a hundred and three gaps; here five and twenty more."""
    h = history(46)
    rng = np.random.default_rng(2)
    seat = h.signals["seat"].copy()
    seat[rng.random(seat.size) < 0.05] *= 4
    seat[rng.random(seat.size) < 0.20] = np.nan
    assert watch(history_of(h.stroke, {"seat": seat, "temperature": h.signals["temperature"]})).drifts == ()


def test_the_effect_of_the_temperature_is_taken_off():
    """A year's swing of 24 K moves the seat by far more than the limit of effect: seen without the temperature, not with it."""
    h = history(47, seasons=12.0)
    ends = np.argsort(h.signals["temperature"])
    order = np.sort(np.r_[ends[:150], ends[-150:]])
    assert np.ptp(h.signals["temperature"]) > 20
    seat, warm = h.signals["seat"][ends], h.signals["temperature"][ends]
    x = np.arange(1.0, ends.size + 1)
    assert order.size == 300
    assert abs(change(history_of(x, {"seat": seat}), "seat").score) > 6
    both = history_of(h.stroke, {"seat": h.signals["seat"], "temperature": h.signals["temperature"]})
    assert abs(change(both, "seat").score) < 6
    assert warm[0] < warm[-1]


def test_change_point_against_scipy_ranks():
    """Place of the greatest departure of the rank sum, by scipy's ranks."""
    rng = np.random.default_rng(9)
    y = np.r_[rng.normal(0, 1, 70), rng.normal(2.5, 1, 50)]
    rank, n = stats.rankdata(y), y.size
    u = np.abs([2 * rank[:k].sum() - k * (n + 1) for k in range(1, n)])
    since, step = change_point(np.arange(1.0, n + 1), y)
    assert since == np.argmax(u) + 2
    assert step
    assert not change_point(np.arange(1.0, n + 1), 0.1 * np.arange(n) + rng.normal(0, 1, n))[1]


def test_the_detection_table_and_the_price_of_speaking_sooner():
    """Every second look, few valves: the whole table, of more, stands in docs/theory/works.md."""
    healthy = [history(60 + k) for k in range(3)]
    faulty = {(f, "full"): [history(70 + k, f)] for k, f in enumerate(FULL)}
    rows, alarms = detection(healthy, faulty, SIGNALS, BEGIN)
    table = detection_table(rows, alarms)
    assert all(r.found == 1 and r.wrong == 0 and 0 < r.strokes < 300 for r in rows), table
    assert alarms == 0
    assert "false alarms on healthy valves: 0.00 a year and valve" in table
    points = roc(healthy, [v[0] for v in faulty.values()], [2.0, 8.0, 70.0], BEGIN)
    assert [p[1] for p in points] == sorted((p[1] for p in points), reverse=True)
    assert points[0][1] > points[2][1] == 0
    assert points[2][2] < points[1][2] == 1.0


def test_false_alarms_are_counted_by_the_year():
    h = history(80)
    assert false_alarms([h], 1e9) == 0
    assert false_alarms([h], 0.0) == pytest.approx(365.25 / 41)
    assert first_seen(scores(h.upto(60)), 0.0)[0] == 42


def test_limits_of_the_item_are_its_operators(items):
    """The drive of the coated item gives its rated torque at every angle: the digits of its key."""
    assert limits_of(items["coated"])["torque"] == float(items["coated"].choice["operator_size"].lstrip("E"))


def test_shapes_of_the_item(items, maker):
    shapes = shapes_of(items["metal"], maker, 6e5, ANGLES)
    assert shapes.shape == (2, ANGLES.size)
    assert np.all(np.diff(shapes[0]) <= 0)
    assert shapes[0, 0] > 3 * shapes[0, -1] > 0
    assert np.ptp(shapes[1]) == 0


LOG = """date;stroke;stroke time [s];supply [bar(g)];torque_0 [N m];torque_30 [N m];leak [ml/min];gut feeling
2027-01-04;1;4,1;5,5;120;40;0;ok
2027-01-05;2;4,2;;121;41;0;
2027-01-07;3;4,1;5,6;x;40;0;ok
"""


def test_a_log_of_strokes():
    h = read_history(LOG)
    assert h.days.tolist() == [0, 1, 3]
    assert h.signals["supply"][[0, 2]] == pytest.approx([5.5e5, 5.6e5])
    assert np.isnan(h.signals["supply"][1])
    assert h.signals["seat"][:2] == pytest.approx([80, 80])
    assert np.isnan(h.signals["seat"][2])
    assert h.signals["run"][2] == 40
    assert h.notes == ("columns not read: gut feeling",)
    assert read_history(LOG, shapes=lambda angles: np.array([[80.0, 10.0], [30.0, 30.0]])).shaped


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("stroke,colour\n1,red\n2,red\n", "no signal among"),
        ("stroke,torque\n1,5\n2,6\n", "no unit"),
        ("stroke,torque [bar]\n1,5\n2,6\n", "bar unit"),
        ("stroke,torque [N m]\n2,5\n1,6\n", "do not rise"),
        ("", "heading row"),
    ],
)
def test_a_log_that_cannot_be_read(text, told):
    with pytest.raises(InputError, match=told):
        read_history(text)


def test_unknown_words():
    with pytest.raises(UnknownName, match="colour"):
        watch(history(1).upto(50), {"colour": 1.0})
    with pytest.raises(UnknownName, match="colour"):
        history_of(np.arange(3.0), {"colour": np.arange(3.0)})
