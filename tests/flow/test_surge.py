"""The transient run: closed forms, balances, order of convergence, an independent library, and what is refused."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from softseat.calculator import run
from softseat.errors import InputError
from softseat.flow.surge import closure_surge, relative_area
from softseat.flow.surge_line import GRAVITY, Boundary, Pipe, header, line, steady_flow
from softseat.flow.surge_march import march

MAIN = {"length": 813.0, "bore": 0.417, "friction_factor": 0.0187, "wave_speed": 1090.0, "reservoir_head": 61.0}
NAMES = ("steady_flow", "steady_head", "peak_head", "lowest_head", "peak_time", "critical_time", "joukowsky_head", "history", "notes")


def surge(**inputs):
    return dict(zip(NAMES, closure_surge(**inputs), strict=True))


def never(value):
    """A valve that stays as it is."""
    return lambda time: np.full(time.shape, value)


def shut(time):
    return np.where(time > 0, 0.0, 0.05)


@given(st.floats(50, 5000), st.floats(0.08, 1.5), st.floats(200, 1450), st.floats(0.1, 3.0))
@settings(max_examples=25)
def test_instant_closing_is_joukowsky(length, bore, speed, velocity):
    """Frictionless: exact. The rise comes with the first step and stands until the wave is back."""
    flow = velocity * np.pi / 4 * bore**2
    found = surge(
        length=length, bore=bore, friction_factor=0.0, wave_speed=speed, reservoir_head=30.0, closing_time=0.0, flow=flow, valve_head=30.0
    )
    assert found["joukowsky_head"] == pytest.approx(speed * velocity / GRAVITY)
    assert found["peak_head"] - 30 == pytest.approx(speed * velocity / GRAVITY, rel=1e-9)
    assert found["lowest_head"] - 30 == pytest.approx(-speed * velocity / GRAVITY, rel=1e-9)


def test_instant_closing_with_friction_is_joukowsky_within_half_a_per_cent():
    """At the first instant; later the line packs and the head goes on rising towards the reservoir's."""
    found = surge(**MAIN, closing_time=0.0, valve_cda=0.012)
    first = found["history"].item()[1, 1] - found["steady_head"]
    assert first == pytest.approx(float(found["joukowsky_head"]), rel=0.005)
    assert found["peak_head"] > found["steady_head"] + first


def test_steady_energy_balance_by_darcy_and_the_orifice():
    """Reservoir = f L/D v2/2g + Q2/(2 g CdA2); Wylie and Streeter's example pipe (600 m, 0.5 m): 0.477 m3/s, 143.49 m (from memory)."""
    found = surge(
        length=600.0,
        bore=0.5,
        friction_factor=0.018,
        wave_speed=1200.0,
        reservoir_head=150.0,
        closing_time=2.1,
        valve_cda=0.009,
        law=1.5,
        gravity=9.806,
    )
    q = float(found["steady_flow"])
    assert q == pytest.approx(0.477, abs=5e-4)
    assert found["steady_head"] == pytest.approx(143.49, abs=0.005)
    v = q / (np.pi / 16)
    assert 0.018 * 600 / 0.5 * v**2 / 2 / 9.806 + q**2 / (2 * 9.806 * 0.009**2) == pytest.approx(150)


def test_a_steady_valve_stays_steady():
    pipe = line([Pipe(700, 0.4, 0.02, 1000), Pipe(300, 0.3, 0.018, 1200)], [Pipe(500, 0.35, 0.02, 1100)], 20)
    source, end = Boundary(80.0, curve=12.0, check=True), Boundary(10.0)
    flow = steady_flow(pipe, source, end, 0.03)
    found = march(pipe, source, end, flow, never(0.03), 200)
    assert found.head == pytest.approx(np.full((201, 1), found.head[0, 0]), rel=1e-12)
    assert found.flow == pytest.approx(np.full((201, 1), flow[0]), rel=1e-12)
    assert found.last[-1, 0] == pytest.approx(10.0)


def test_mass_balance():
    """What came in and did not go out is stored in the line: the integral of g A/a2 dH (trapezoids, second order)."""
    pipe = line([Pipe(813.0, 0.417, 0.0187, 1090.0)], (), 80)
    source, end = Boundary(61.0), Boundary(0.0)
    full = 0.04
    flow = steady_flow(pipe, source, end, full)
    steps = 777
    found = march(pipe, source, end, flow, lambda t: full * relative_area(t, np.array([5.3]), 1.5), steps)
    stored = np.trapezoid(found.inflow[:, 0] - found.flow[:, 0], found.times()[:, 0])
    start = np.linspace(61.0, found.head[0, 0], 81)
    gain = np.trapezoid(found.last[:, 0] - start, pipe.place[:, 0]) * GRAVITY * pipe.area[0] / pipe.wave_speed[0] ** 2
    assert stored == pytest.approx(gain, rel=1e-5)


def test_the_grid_converges_with_second_order():
    """Smooth closing with friction: errors against a four times finer grid fall as the square of the reach."""
    at = 3.3

    def head(reaches):
        history = surge(**MAIN, closing_time=6.1, valve_cda=0.012, law=2.0, reaches=reaches)["history"].item()
        return np.interp(at * MAIN["length"] / MAIN["wave_speed"], *history.T)

    fine = head(320)
    errors = np.abs([head(n) - fine for n in (10, 20, 40)])
    order = np.log2(errors[:-1] / errors[1:])
    assert (order > 1.8).all(), order
    assert errors[1] < 1e-3 * fine


def test_two_halves_in_series_are_the_whole():
    whole = line([Pipe(800, 0.4, 0.02, 1000)], (), 20)
    halves = line([Pipe(400, 0.4, 0.02, 1000), Pipe(400, 0.4, 0.02, 1000)], (), 20)
    source, end = Boundary(50.0), Boundary(0.0)
    runs = [march(p, source, end, steady_flow(p, source, end, 0.05), shut, 100) for p in (whole, halves)]
    assert runs[0].head == pytest.approx(runs[1].head, rel=1e-12)


def test_transmission_at_a_change_of_bore():
    """First step that passes a junction: s = 2 Z2/(Z1 + Z2) of it goes on, Z = a/(gA) (any text on waves)."""
    pipe = line([Pipe(1000, 0.5, 0.0, 1000), Pipe(500, 0.3, 0.0, 1000)], (), 30)
    source, end = Boundary(50.0), Boundary(0.0)
    flow = steady_flow(pipe, source, end, 0.01)
    found = march(pipe, source, end, flow, lambda t: np.where(t > 0, 0.0, 0.01), 25)
    rise = 1000 / (GRAVITY * np.pi / 4 * 0.09) * flow[0]
    z_small, z_large = 1 / 0.09, 1 / 0.25
    passed = 2 * z_large / (z_large + z_small)
    assert found.last[18, 0] - 50 == pytest.approx(passed * rise, rel=1e-9)
    assert found.last[22, 0] - 50 == pytest.approx(passed * rise, rel=1e-9)
    assert pipe.speed_shift[0] < 1e-12


def test_a_long_header_takes_half_the_wave():
    """A wave that comes back to a header of the same pipe, long both ways: reflected by (Z_h/2 - Z)/(Z_h/2 + Z) = -1/3."""
    pipe = line([Pipe(500, 0.3, 0.0, 1000)], (), 10)
    flow = np.array([0.02])
    source, end = header(40.0, flow, 0.3, 1000.0), Boundary(0.0)
    found = march(pipe, source, end, flow, lambda t: np.where(t > 0, 0.0, 0.02 / np.sqrt(40)), 35)
    rise = 1000 / (GRAVITY * pipe.area[0]) * 0.02
    assert found.head[5, 0] - 40 == pytest.approx(rise, rel=1e-9)
    assert found.head[25, 0] - 40 == pytest.approx(rise * (1 - 2 / 3), rel=1e-9)


def test_a_check_valve_lets_nothing_back():
    pipe = line([Pipe(900, 0.3, 0.018, 1000)], (), 15)
    source, end = Boundary(45.0, curve=900.0, check=True), Boundary(5.0)
    flow = steady_flow(pipe, source, end, 0.02)
    found = march(pipe, source, end, flow, lambda t: 0.02 * np.clip(1 - t / 0.5, 0, 1), 150)
    assert found.inflow.min() == pytest.approx(0, abs=1e-15)
    assert 45 - 900 * flow[0] ** 2 - found.head[0, 0] == pytest.approx(0.018 * 900 / 0.3 * (flow[0] / pipe.area[0]) ** 2 / 2 / GRAVITY)


def test_an_in_line_valve_against_an_independent_library():
    """The library takes friction explicit in first order: heads agree within 1 % of the swing, steady values to its single precision."""
    rows = np.loadtxt(Path(__file__).with_name("tsnet_reference.csv"), delimiter=",", skiprows=5)
    percent = np.arange(0, 101, 5.0)
    for closing in (0.5, 2.0, 6.0):
        theirs = rows[rows[:, 0] == closing]
        f1, f2 = theirs[0, 1:3]
        pipe = line([Pipe(800, 0.3, f1, 1000)], [Pipe(420, 0.25, f2, 1050)], 20, 9.8)

        def valve(time, closing=closing):
            open_share = 100 * np.clip(1 - time / closing, 0, 1)
            return np.pi / 4 * 0.0625 * np.sqrt(2 * 9.8 * np.interp(open_share, percent, (percent / 100) ** 3 / 8))

        source, end = Boundary(120.0), Boundary(95.0)
        flow = steady_flow(pipe, source, end, valve(np.zeros(1)))
        assert flow[0] == pytest.approx(theirs[0, 6], rel=2e-4)
        found = march(pipe, source, end, flow, valve, 299)
        step = theirs[:, 3].astype(int)
        for ours, reference in ((found.head, theirs[:, 4]), (found.behind, theirs[:, 5])):
            assert np.abs(ours[step, 0] - reference).max() < 0.01 * np.ptp(reference)
        assert np.abs(found.flow[step, 0] - theirs[:, 6]).max() < 1e-4


def test_separation_leaves_no_numbers_behind_it():
    """DN417, 2.9 m/s stopped at once under 61 m: it falls far below -10 m when the wave comes back."""
    plain = surge(**MAIN, closing_time=0.0, valve_cda=0.012)
    found = surge(**MAIN, closing_time=0.0, valve_cda=0.012, vapour_head=-10.1)
    history = found["history"].item()
    gone = np.isnan(history[:, 1])
    first = int(gone.argmax())
    assert np.isnan([found["peak_head"], found["lowest_head"], found["peak_time"]]).all()
    assert history[:first, 1] == pytest.approx(plain["history"].item()[:first, 1])
    assert gone[first:].all()
    assert plain["history"].item()[first, 1] < -10.1
    assert "separates" in str(found["notes"])
    assert "below -10 m" in str(plain["notes"])


def test_a_cavity_behind_the_valve_is_flagged_and_the_line_before_goes_on():
    pipe = line([Pipe(600, 0.3, 0.018, 1000)], [Pipe(600, 0.3, 0.018, 1000)], 12)
    source, end = Boundary(20.0), Boundary(4.0)
    flow = steady_flow(pipe, source, end, 0.1)
    found = march(pipe, source, end, flow, lambda t: 0.1 * np.clip(1 - t / 2, 0, 1) ** 2, 80, -10.0)
    at = found.separation_time[1, 0]
    assert 0 < at < 2.0
    assert np.isnan(found.behind[-1, 0])
    # while the cavity stands the valve works against the vapour pressure
    after = round(at / found.time_step[0]) + np.arange(2)
    passes = 0.1 * np.clip(1 - found.times()[after, 0] / 2, 0, 1) ** 2
    assert found.flow[after, 0] == pytest.approx(passes * np.sqrt(found.head[after, 0] + 10.0), rel=1e-9)
    assert np.isfinite(found.head[: int(at / found.time_step[0]) + 3]).all()


def test_a_slower_closing_never_raises_more_and_rows_are_independent():
    closing = np.array([0.4, 1.0, 2.0, 4.0, np.nan, 9.0, 30.0, -1.0])
    found = surge(**MAIN, closing_time=closing, valve_cda=0.012)
    peaks = found["peak_head"]
    assert np.isnan(peaks).tolist() == [False] * 4 + [True, False, False, True]
    good = peaks[np.isfinite(peaks)]
    assert (np.diff(good) <= 1e-6 * good[:-1]).all()
    alone = surge(**MAIN, closing_time=2.0, valve_cda=0.012, reaches=20)
    assert surge(**MAIN, closing_time=closing, valve_cda=0.012, reaches=20)["peak_head"][2] == pytest.approx(alone["peak_head"], rel=1e-12)


def test_rows_with_their_own_pipe():
    """Length, wave speed and bore differ: each row is what it is alone."""
    many = {"length": np.array([300.0, 813.0, -5.0]), "bore": np.array([0.2, 0.417, 0.3]), "wave_speed": np.array([400.0, 1090.0, 900.0])}
    rest = {
        "friction_factor": 0.02,
        "reservoir_head": 45.0,
        "closing_time": 2.5,
        "valve_cda": np.array([0.004, 0.012, 0.01]),
        "reaches": 20,
    }
    found = surge(**many, **rest)
    for n in (0, 1):
        alone = surge(**{k: v[n] for k, v in many.items()}, **{k: v[n] if np.ndim(v) else v for k, v in rest.items()})
        for name in ("steady_flow", "peak_head", "lowest_head", "peak_time", "critical_time"):
            assert found[name][n] == pytest.approx(alone[name], rel=1e-12), name
    assert np.isnan(found["peak_head"][2])


def test_flow_with_valve_head_is_the_same_valve_as_its_area():
    by_area = surge(**MAIN, closing_time=3.0, valve_cda=0.012)
    by_flow = surge(**MAIN, closing_time=3.0, flow=float(by_area["steady_flow"]), valve_head=float(by_area["steady_head"]))
    assert by_flow["peak_head"] == pytest.approx(by_area["peak_head"], rel=1e-9)


def test_the_peak_stands_in_the_history():
    found = surge(**MAIN, closing_time=9.0, valve_cda=0.012)
    time, head = found["history"].item().T
    assert found["peak_head"] == head.max()
    assert found["peak_time"] == pytest.approx(time[head.argmax()])
    assert found["lowest_head"] == head.min()


def test_a_law_may_be_a_list_of_points():
    a = surge(**MAIN, closing_time=3.0, valve_cda=0.012, law=[[0, 1], [1, 0.6], [3, 0]])
    straight = surge(**MAIN, closing_time=3.0, valve_cda=0.012, law=[[0, 1], [3, 0]])
    assert straight["peak_head"] == pytest.approx(surge(**MAIN, closing_time=3.0, valve_cda=0.012)["peak_head"], rel=1e-9)
    assert a["peak_head"] != pytest.approx(straight["peak_head"], rel=1e-3)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"law": "sudden"}, "law"),
        ({"law": [[0, 1], [0, 0]]}, "rising"),
        ({"flow": 0.1}, "either"),
        ({"reaches": 2.5}, "reaches"),
        ({"law": -1}, "law"),
    ],
)
def test_a_mistake_is_told(change, said):
    with pytest.raises(InputError, match=said):
        surge(**MAIN, closing_time=1.0, valve_cda=0.012, **change)


def test_the_calculation_takes_words_with_units_and_lists():
    answer = run(
        "closure-surge", {**MAIN, "length": "813 m", "bore": "417 mm", "closing_time": [0.5, 8], "valve_cda": 0.012, "reaches": 10}
    )
    assert len(answer["peak_head"]) == 2
    assert answer["units"]["peak_head"] == "m"
    assert len(answer["history"]) == 2
    assert answer["history"][0][0][0] == 0.0
    assert "faster than 2L/a" in answer["notes"][0]
