"""Logs of the bench: what is read, what counts as held, what a fall means."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from softseat.errors import InputError
from softseat.units import ATMOSPHERE
from softseat.works.bench import Log, hold, leak_rate, read_log

BAR = 1e5


def made(seconds=130, step=1.0, level=15.3, slope=0.0, noise=0.003, seed=5):
    time = np.arange(0, seconds + step, step)
    return Log(time, (level + slope * time + np.random.default_rng(seed).normal(0, noise, time.size)) * BAR)


def test_a_steady_hold_is_seen_whole():
    held = hold(made(), 15 * BAR)
    assert (held.held, held.gaps, held.spikes) == (130.0, 0, 0)
    assert held.line.low < 0 < held.line.high


def test_the_fall_is_that_of_scipy():
    log = made(slope=-0.0021)
    held = hold(log, 15 * BAR)
    other = stats.linregress(log.time, log.pressure)
    assert held.line.slope == pytest.approx(other.slope, rel=1e-9)
    assert held.line.error == pytest.approx(other.stderr, rel=1e-9)


def test_a_hold_cut_short_counts_as_long_as_it_was():
    log = made(seconds=70)
    assert hold(log, 15 * BAR).held == 70.0
    dropped = made()
    dropped.pressure[95:] = 14.2 * BAR
    assert hold(dropped, 15 * BAR).held == 94.0


def test_a_gap_breaks_the_hold_and_is_said():
    log = made()
    kept = (log.time < 50) | (log.time > 80)
    held = hold(Log(log.time[kept], log.pressure[kept]), 15 * BAR)
    assert (held.gaps, held.held) == (1, 49.0)
    assert "not added" in held.notes[0]


def test_one_lost_reading_is_no_gap():
    log = made()
    kept = np.arange(log.time.size) % 17 != 3
    assert hold(Log(log.time[kept], log.pressure[kept]), 15 * BAR).held == 130.0


def test_a_spike_neither_breaks_nor_makes_a_hold():
    log = made()
    log.pressure[[30, 77]] = [3 * BAR, 29 * BAR]
    held = hold(log, 15 * BAR)
    assert (held.held, held.spikes) == (130.0, 2)
    assert held.highest < 15.5 * BAR
    assert hold(made(level=14.0), 15 * BAR).held == 0.0
    low = made(level=14.0)
    low.pressure[40] = 20 * BAR
    assert hold(low, 15 * BAR).held == 0.0


def test_a_real_loss_of_seconds_is_no_spike():
    log = made()
    log.pressure[60:66] = 13.9 * BAR
    held = hold(log, 15 * BAR)
    assert held.held < 66
    assert held.spikes == 0


def test_a_clock_that_runs_backwards_breaks_the_hold():
    log = made()
    time = np.concatenate([log.time[:60], log.time[60:] - 30])
    held = hold(Log(time, log.pressure), 15 * BAR)
    assert held.held == 70.0
    assert "backwards 1 times" in held.notes[-1]


@given(st.integers(3, 300), st.integers(3, 300))
def test_the_hold_is_never_longer_than_the_log(before, after):
    log = Log(np.arange(before + after, dtype=float), np.r_[np.full(before, 9.0), np.full(after, 16.0)] * BAR)
    assert hold(log, 15 * BAR).held <= after - 1


@pytest.mark.parametrize(
    "text",
    [
        "time [s],pressure [bar(g)]\n0,15.25\n1,15.5\n2,15.75\n",
        "Zeit [s];Druck [bar(g)]\n0;15,25\n1;15,5\n2;15,75\n",
        "# bench 2\ntime\tpressure [kPa(g)]\n0\t1525\n1\t1550\n2\t1575\n",
        "time,pressure [bar(a)]\n10:59:59,16.26325\n11:00:00,16.51325\n11:00:01,16.76325\n",
        "time,pressure [bar(g)]\n23:59:59,15.25\n0:00:00,15.5\n0:00:01,15.75\n",
        "time (s),pressure (barg)\n0,15.25\n0.5,\n1,15.5\n2,15.75\n",
    ],
)
def test_logs_as_benches_write_them(text):
    log = read_log(text)
    assert log.time.tolist() == [0, 1, 2]
    assert log.pressure == pytest.approx([15.25e5, 15.5e5, 15.75e5])


def test_absolute_readings_lose_one_atmosphere():
    assert read_log("t,p [bar]\n0,2\n1,3\n", kind="absolute").pressure == pytest.approx([2e5 - ATMOSPHERE, 3e5 - ATMOSPHERE])
    assert read_log("t,p [bar]\n0,2\n1,3\n").pressure == pytest.approx([2e5, 3e5])


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("a,b\n1,2\n", "no headings for time and pressure"),
        ("time [s],pressure\n0,1\n1,2\n", "no unit of pressure"),
        ("time [bar],pressure [bar(g)]\n0,1\n1,2\n", "no unit of time"),
        ("time [s],pressure [bar(g)]\n0,1\n", "fewer than two"),
        ("", "no headings"),
    ],
)
def test_a_log_that_cannot_be_read_says_why(text, told):
    with pytest.raises(InputError, match=told):
        read_log(text)


def test_leakage_of_a_gas_by_boyle():
    """p V is constant: 0.06 bar lost in a minute from 20 litres is 1.2 bar litre a minute, 1.184 litres at 101.325 kPa."""
    assert leak_rate(0.06e5 / 60, 0.020, 7e5, True) * 60e3 == pytest.approx(1.2e5 / ATMOSPHERE)
    assert np.isnan(leak_rate(100.0, 0.02, 7e5, False))
    assert leak_rate(1e3, 0.02, 7e5, False, 1e9) == pytest.approx(2e-8)
