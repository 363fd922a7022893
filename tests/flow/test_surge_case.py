"""Many items at once: against Allievi, against the fine run, and what the search promises."""

from dataclasses import replace

import fluids
import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from softseat.flow import surge_case
from softseat.flow.curves import kv_curve
from softseat.flow.surge_case import MEMBERS, OPENINGS, Case, Stroke, band, closings, mirrored, run, shut_head
from softseat.flow.surge_friction import friction_factor, pipe_roughness
from softseat.flow.surge_line import GRAVITY, Boundary, Pipe, line
from softseat.flow.surge_march import march
from softseat.flow.surge_safe import safe_strokes
from softseat.flow.surge_screen import allievi_chain
from softseat.flow.surge_setting import two_speed
from softseat.flow.surge_stroke import kv_conductance

BEST = MEMBERS[:1]


def case(length, bore, velocity, head, behind=np.nan, speeds=(800, 1010, 1260), friction=(0.012, 0.017, 0.024), rise=0.0):
    length, bore, velocity, head, behind = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(v, float)) for v in (length, bore, velocity, head, behind))
    )
    items = len(length)
    kv = np.stack([kv_curve(d, OPENINGS) for d in bore], axis=-1)
    speeds, friction = (np.array(v, float)[:, None] * np.ones(items) for v in (speeds, friction))
    start, rise = np.full(items, 90.0), np.full(items, float(rise))
    return Case(length, bore, velocity * np.pi / 4 * bore**2, head, behind, speeds, friction, kv, start, rise)


LINES = case([640.0, 2000.0, 150.0, 5000.0, 333.0], [0.5, 0.3, 0.2, 0.6, 0.35], [2.97, 1.5, 3.0, 1.2, 2.1], [12.0, 60.0, 30.0, 80.0, 44.0])


@settings(deadline=None)  # the first call of the library loads it
@given(st.floats(4e3, 1e8), st.floats(1e-6, 0.05))
def test_friction_against_colebrook_of_an_independent_library(reynolds, roughness):
    """Haaland states 2 %."""
    with np.errstate(over="ignore"):  # the library's closed form overflows on its way in rough pipes
        reference = fluids.friction_factor(reynolds, roughness, Method="Colebrook")
    assert friction_factor(reynolds, roughness) == pytest.approx(reference, rel=0.02)


def test_laminar_friction_and_a_bad_row():
    assert friction_factor([1000.0, -1.0, np.nan], 1e-4)[0] == pytest.approx(0.064)
    assert np.isnan(friction_factor([1000.0, -1.0, np.nan], 1e-4)).tolist() == [False, True, True]


def even_valve(constant, a=1000.0, head=100.0):
    """500 m without friction, all the head lost in a valve whose Kv is even over the opening."""
    flow = constant * 2 * GRAVITY * head / a * np.pi / 4 * 0.3**2
    full = flow / np.sqrt(head) / kv_conductance(1.0)
    kv = np.broadcast_to((OPENINGS / 90 * full)[None, :, None], (3, 91, 1))
    bands = np.full((3, 1), a), np.zeros((3, 1)), kv
    return Case(*(np.array([v]) for v in (500.0, 0.3, flow, head, 0.0)), *bands, np.array([90.0]), np.zeros(1))


def test_an_even_closing_without_friction_is_allievis():
    """The uniform closing of the chain, a V0/(2 g H0) = 0.5, four returns of 1 s."""
    found = closings(even_valve(0.5), Stroke(np.array([4.0])), 5)
    assert found.peak[0, 0] / 100 == pytest.approx(allievi_chain(0.5, 4, 1), rel=1e-9)
    assert found.peak_time[0, 0] == pytest.approx(1.0)


@pytest.mark.parametrize(("constant", "returns"), [(3.0, 12), (6.0, 30), (20.0, 100), (90.0, 300)])
def test_a_slow_even_closing_is_allievis_too(constant, returns):
    """Beyond forty returns the run has a lower wave speed than the chain: the highest heads still agree within 1.5 % of the rise."""
    found = closings(even_valve(constant), Stroke(np.array([float(returns)])), 4)
    chain = allievi_chain(constant, returns, np.arange(1, returns + 1)).max()
    assert found.peak[0, 0] / 100 - 1 == pytest.approx(chain - 1, rel=0.015)


def test_what_is_spent_behind_the_valve_goes_with_the_square_of_the_flow():
    """Before it moves the line stands as stated, whatever is held behind the valve."""
    for behind in (np.nan, 0.0, 5.0, 400.0):
        found = run(case(640.0, 0.5, 2.97, 12.0, behind), Stroke(np.array([9.0])), np.zeros(7, int), MEMBERS, 6)
        assert found.head[0] == pytest.approx(np.full(7, 12.0))
        assert found.flow[0] == pytest.approx(np.full(7, 2.97 * np.pi / 16))
        assert found.head[1] == pytest.approx(np.full(7, 12.0), rel=2e-3)


def test_the_band_adds_independent_deviations_as_squares():
    values = np.array([10.0, 7.0, 13.0, 10.0, 14.0, 9.0, 6.0])
    assert band(values) == pytest.approx([10 - np.hypot(3, 4), 10, 10 + np.hypot(3, 4)])


@pytest.mark.parametrize("stroke", [0.3, 2.0, 11.0, 47.0, 190.0])
def test_the_coarse_run_has_converged(stroke):
    """Four reaches and a capped number of returns against thirty reaches, by the rise over the steady head."""
    coarse, fine = (closings(LINES, Stroke(np.full(5, stroke)), reaches, members=BEST).peak[0] for reaches in (4, 30))
    head = LINES.head
    assert coarse - head == pytest.approx(fine - head, rel=0.03)


def test_slow_closings_do_not_feel_the_capped_wave_speed():
    """A stroke of 300 returns, marched with all of them (reservoir march of the same case) and capped."""
    one = case(150.0, 0.2, 3.0, 30.0)
    capped = run(one, Stroke(np.array([90.0])), np.zeros(1, int), BEST, 6)
    longer = case(150.0, 0.2, 3.0, 30.0, speeds=(133.3, 133.3, 133.3))
    slower = run(longer, Stroke(np.array([90.0])), np.zeros(1, int), BEST, 6)
    assert capped.head.max() == pytest.approx(slower.head.max(), rel=1e-3)


def test_a_bad_row_leaves_the_others_alone():
    length = np.array([640.0, np.nan, 640.0, 640.0])
    flows = np.array([2.97, 2.97, 0.0, 2.97])
    found = closings(case(length, 0.5, flows, 12.0), Stroke(np.array([2.0, 2.0, 2.0, np.nan])))
    assert np.isnan(found.peak[0]).tolist() == [False, True, True, True]
    assert found.peak[0, 0] == closings(case(640.0, 0.5, 2.97, 12.0), Stroke(np.array([2.0]))).peak[0, 0]


@given(st.floats(1.0, 3.0), st.floats(200, 3000), st.floats(1.5, 6))
@settings(max_examples=12, deadline=None)
def test_the_safe_stroke_is_safe_in_the_fine_run_and_not_much_too_long(velocity, length, ratio):
    one = case(length, 0.41, velocity, 25.0)
    room = np.array([25.0 * ratio + 0.05 * length * 0.02])
    least = 2 * one.length / one.wave_speed[1]
    stroke = safe_strokes(one, room, least, 3600.0)
    assume(np.isfinite(stroke[0]))
    again = closings(one, Stroke(stroke), 24).peak
    assert band(again)[2, 0] <= room[0] + 0.04 * (room[0] - 25)
    if stroke[0] > 1.01 * least[0]:
        shorter = closings(one, Stroke(0.9 * stroke), 24).peak
        assert band(shorter)[2, 0] >= room[0] - 0.04 * (room[0] - 25)
    assert safe_strokes(one, 1.2 * room, least, 3600.0)[0] <= stroke[0]


def test_an_item_alone_and_among_others_is_the_same_to_the_last_bit():
    stroke = np.array([2.0, 30.0, 20.0, 60.0, 0.4])
    together = closings(LINES, Stroke(stroke))
    for n in range(5):
        alone = closings(LINES.take(np.array([n])), Stroke(stroke[n : n + 1]))
        for name in ("peak", "lowest", "peak_time"):
            assert np.array_equal(getattr(together, name)[:, n], getattr(alone, name)[:, 0]), (n, name)


def test_no_stroke_is_safe_below_the_pressure_that_stands():
    assert np.isnan(safe_strokes(LINES, np.full(5, 5.0), np.full(5, 1.0), 600.0)).all()


def test_a_column_that_must_stay_whole_asks_for_more_time():
    room, least = np.full(5, 130.0), np.full(5, 1.0)
    within = safe_strokes(LINES, room, least, 3600.0)
    whole = safe_strokes(LINES, room, least, 3600.0, -9.9)
    assert (whole >= within).all()
    assert whole[0] > within[0]


def test_two_speeds_beat_one_and_keep_to_the_limit_in_the_fine_run():
    one = LINES.take(np.array([1]))
    room, least = 163.0, 4.0
    even = float(safe_strokes(one, np.array([room]), np.array([least]), 3600.0)[0])
    found = two_speed(one, room, -1e9, least, even)
    assert found.stroke_time < 0.9 * even
    fine = closings(one, Stroke(np.array([found.stroke_time]), "two-speed", found.break_opening, found.break_time), 24)
    assert band(fine.peak)[2, 0] <= room + 0.04 * (room - 60)
    assert found.peak <= room
    wide = case(1500.0, 0.4, 2.39, 83.0, speeds=(250, 1000, 1350))  # the band of a pipe that nobody named
    longer = float(safe_strokes(wide, np.array([166.0]), np.array([3.0]), 3600.0)[0])
    wider = two_speed(wide, 166.0, -1e9, 3.0, longer)
    assert wider.peak <= 166
    assert wider.stroke_time < 0.5 * longer
    assert two_speed(one, room, -1e9, 10 * even, even) is None
    assert two_speed(one, room, -1e9, 0.95 * even, even) is None  # safe, but no gain on the even stroke


def test_roughness_of_a_pipe_is_a_band():
    for pipe in ("steel", "pe", ""):
        assert (np.diff(pipe_roughness(pipe)) > 0).all()
    assert pipe_roughness("")[0] <= pipe_roughness("pe")[1]


def inline(length, bore, flow, heads, closing, reaches=24, spent=0.0):
    """A valve between two lines by the in-line valve of the march: heads of the ends, even closing of the area; lowest head behind it.

    ``spent`` is lost before the valve at the steady flow, with its square.
    """
    pipe = Pipe(length, bore, 0.018, 1000.0)
    line_ = line([Pipe(1.0 * length / reaches, bore, 0.0, 1000.0)], [pipe], 1)
    lost = 0.018 * length / bore * (flow / (np.pi / 4 * bore**2)) ** 2 / 2 / GRAVITY
    full = flow / np.sqrt(heads[0] - heads[1] - lost - spent)
    start = np.array([flow])
    steps = int(2 * reaches * (closing * 1000 / 2 / length + 2.5))

    def passes(time):
        with np.errstate(divide="ignore"):
            return 1 / np.sqrt(1 / np.square(full * np.clip(1 - time / closing, 0, 1)) + spent / flow**2)

    found = march(line_, Boundary(heads[0]), Boundary(heads[1]), start, passes, steps)
    return found.behind.min(), lost


@pytest.mark.parametrize("spent", [0.0, 22.0])
@pytest.mark.parametrize("closing", [0.2, 3.0, 11.0, 40.0])
def test_the_line_behind_is_the_line_before_turned_round(closing, spent):
    """Lowest head behind the valve as minus the highest of the mirrored line, against the march of the in-line valve (1 m before it)."""
    length, bore, flow, ends = 640.0, 0.4, 0.21, (38.0, 4.0)
    lowest, lost = inline(length, bore, flow, ends, closing, 40, spent)
    full = flow / np.sqrt(ends[0] - ends[1] - lost - spent) / kv_conductance(1.0)
    kv = np.broadcast_to((OPENINGS / 90 * full)[None, :, None], (3, 91, 1))
    bands = np.full((3, 1), 1000.0), np.full((3, 1), 0.018), kv
    one = Case(*(np.array([v]) for v in (np.nan, bore, flow, ends[0], np.nan)), *bands, np.array([90.0]), np.zeros(1))
    turned = mirrored(one, np.array([length]), np.array([ends[1] + lost]))
    peak = closings(turned, Stroke(np.array([closing])), 40, members=BEST).peak[0, 0]
    assert -peak - ends[1] == pytest.approx(lowest - ends[1], rel=0.02)


def test_an_open_end_behind_the_valve_stands_at_the_atmosphere():
    """Behind it the friction of the line and nothing else: a stop at once pulls a v/g below that (Joukowsky, 1 % for the packing)."""
    one = case(np.nan, 0.4, 1.3, 30.0, friction=(0.018, 0.018, 0.018), speeds=(1000, 1000, 1000))
    turned = mirrored(one, np.array([500.0]), np.array([np.nan]))
    lost = 0.018 * 500 / 0.4 * 1.3**2 / 2 / GRAVITY
    assert -turned.head == pytest.approx(lost)
    first = run(turned, Stroke(np.array([0.01])), np.zeros(1, int), BEST, 20).head[1, 0]
    assert -first == pytest.approx(lost - 1000 * 1.3 / GRAVITY, rel=0.01)


@given(st.floats(0.5, 3.0), st.floats(100, 4000), st.floats(0.5, 60), st.floats(5, 400))
@settings(max_examples=15, deadline=None)
def test_a_pump_presses_at_least_its_shut_off_head(velocity, length, rise, stroke):
    pumped, plain = (case(length, 0.35, velocity, 40.0, rise=r) for r in (rise, 0.0))
    lost = 0.017 * length / 0.35 * velocity**2 / 2 / GRAVITY
    assert shut_head(pumped, np.zeros(1, int), BEST) == pytest.approx(40 + lost + rise)
    with_pump, without = (closings(c, Stroke(np.array([stroke])), members=BEST).peak[0, 0] for c in (pumped, plain))
    assert with_pump >= 40 + lost + rise
    assert with_pump >= without - 0.02 * (without - 40)  # a wave that comes back finds a softer end


def test_a_very_slow_closing_against_a_pump_ends_at_shut_off():
    """Static head of the pump, and no more above it than braking in a fifth of the stroke; the check valve lets nothing back."""
    one = case(300.0, 0.35, 1.4, 40.0, rise=11.0)
    found = run(one, Stroke(np.array([400.0])), np.zeros(1, int), BEST, 8)
    still = shut_head(one, np.zeros(1, int), BEST)[0]
    assert -0.01 < found.highest[-1, 0] - still < 300 * 1.4 / (GRAVITY * 0.2 * 400)
    assert found.inflow.min() >= 0


def test_pumps_and_reservoirs_in_one_crowd_are_what_they_are_alone():
    rises = np.array([0.0, 9.0, 0.0, 21.0, 4.0])
    crowd, stroke = replace(LINES, pump_rise=rises), 3 * 2 * LINES.length / LINES.wave_speed[1]  # as many returns each: one march
    together = closings(crowd, Stroke(stroke))
    for n in range(5):
        alone = closings(crowd.take(np.array([n])), Stroke(stroke[n : n + 1]))
        assert np.array_equal(together.peak[:, n], alone.peak[:, 0]), n
        assert np.array_equal(together.lowest[:, n], alone.lowest[:, 0]), n
    plain = closings(LINES, Stroke(stroke))
    assert np.array_equal(together.lowest[:, [0, 2]], plain.lowest[:, [0, 2]])  # no check valve at a tank


@pytest.mark.parametrize(
    ("length", "velocity", "head", "rise", "stroke"),
    [(306.0, 0.72, 89.0, 36.0, 32.0), (42.0, 0.5, 40.0, 8.0, 44.0), (51.0, 0.35, 28.0, 161.0, 60.0), (321.0, 0.31, 56.0, 11.0, 167.0)],
)
def test_before_a_pump_the_lowered_wave_speed_does_not_tell(monkeypatch, length, velocity, head, rise, stroke):
    """Against the same march with all its wave returns: within 2 % of the rise."""
    one = case(length, 0.35, velocity, head, rise=rise)

    def highest():
        return run(one, Stroke(np.array([stroke])), np.zeros(1, int), BEST, 4).highest[-1, 0] - head

    lowered = highest()
    monkeypatch.setattr(surge_case, "_counted", lambda case, stroke, item: np.full(len(item), 1e9))
    assert lowered == pytest.approx(highest(), rel=0.02)


def test_a_steep_pump_and_a_slow_stroke_still_end_at_shut_off():
    one = case(51.0, 0.82, 0.35, 28.3, rise=1610.0)
    assert closings(one, Stroke(np.array([513.0])), members=BEST).peak[0, 0] >= 28.3 + 1610


def test_runs_of_different_length_are_as_each_alone():
    times = np.array([3.0, 250.0, 12.0, 40.0, 900.0])
    together_ = closings(LINES, Stroke(times))
    for n, time in enumerate(times):
        alone = closings(LINES.take(np.array([n])), Stroke(np.array([time])))
        for name in ("peak", "peak_time", "lowest", "lowest_time"):
            assert np.array_equal(getattr(together_, name)[:, n], getattr(alone, name)[:, 0])


def test_peaks_are_those_of_the_whole_record():
    stroke, item = Stroke(np.array([3.0, 20.0, 12.0, 40.0, 9.0])), np.arange(5)
    whole, found = run(LINES, stroke, item, np.ones((5, 3), int), 4), closings(LINES, stroke, members=BEST)
    longer = np.fmax(whole.highest[-1], shut_head(LINES, item, np.ones((5, 3), int)))
    assert np.array_equal(found.peak[0], longer)
    assert (found.lowest[0] >= whole.lowest[-1]).all()


@given(st.lists(st.floats(0.3, 4.0), min_size=5, max_size=5), st.sampled_from([-np.inf, -9.9, 5.0]))
@settings(max_examples=6, deadline=None)
def test_the_search_for_a_safe_stroke_finds_what_trying_everything_does(share, floor):
    room, least = LINES.head * np.array(share), 2 * LINES.length / LINES.wave_speed[1]
    assert np.array_equal(safe_strokes(LINES, room, least, 3600.0, floor), everything(LINES, room, least, 3600.0, floor), equal_nan=True)


def everything(lines, room, least, longest, floor):
    """Each stroke of both grids with every member."""
    low, high, items = least, np.full(len(lines), longest), np.tile(np.arange(len(lines)), 17)
    for _ in range(2):
        grid = low * (high / low) ** (np.arange(17)[:, None] / 16)
        ends = closings(lines.take(items), Stroke(grid.ravel()))
        peak, lowest = band(ends.peak)[2].reshape(grid.shape), band(ends.lowest)[0].reshape(grid.shape)
        lasting = np.logical_and.accumulate(((peak <= room) & (lowest >= floor))[::-1])[::-1]
        first, any_ = lasting.argmax(axis=0), lasting.any(axis=0)
        found = np.where(any_, grid[first, np.arange(len(lines))], np.nan)
        before = grid[np.maximum(first - 1, 0), np.arange(len(lines))]
        low, high = np.where(any_, before, least), np.where(any_, found, longest)
    return found
