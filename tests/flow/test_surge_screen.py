"""Surge by hand against the transient run, closed forms and limits."""

import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.flow.surge import closure_surge
from softseat.flow.surge_line import GRAVITY
from softseat.flow.surge_screen import allievi_chain, effective_time, slow_closing
from softseat.register import CALCULATIONS
from softseat.tables import read

ROWS = read("checks/surge")


@pytest.mark.parametrize("row", ROWS, ids=[r["id"] for r in ROWS])
def test_published_value(row):
    calculation = CALCULATIONS[row["calculation"]]
    result = calculation.function(**json.loads(row["inputs"]))
    results = result if isinstance(result, tuple) else (result,)
    got = dict(zip((o.name for o in calculation.outputs), results, strict=True))[row["output"]]
    kind, size = row["tolerance"].split(":")
    assert float(got) == pytest.approx(float(row["expected"]), **{kind: float(size)}, **({"rel": 0} if kind == "abs" else {"abs": 0}))


@given(st.floats(0.05, 3.0), st.integers(2, 9))
def test_the_chain_is_the_run_at_the_ends_of_the_wave_returns(constant, phases):
    """Two ways to one frictionless closing: interlocking equations of Allievi, method of characteristics."""
    a, head, bore = 1130.0, 87.0, 0.31
    flow = constant * 2 * GRAVITY * head / a * np.pi / 4 * bore**2
    *_, history, _notes = closure_surge(565.0, bore, 0.0, a, head, float(phases), flow, head, reaches=6)
    ends = history.item()[12::12, 1][: phases + 2]
    assert ends / head == pytest.approx(allievi_chain(constant, phases, np.arange(1, phases + 3)), rel=1e-9)


def test_the_chain_keeps_bad_rows_apart():
    assert np.isnan(allievi_chain([1.0, -1.0, 1.0], [4, 4, 0], [2, 2, 2])).tolist() == [False, True, True]


@given(st.floats(0.02, 0.8))
def test_the_chain_tends_to_the_limit_of_a_slow_closing(m):
    """Two hundred returns: the highest of the chain within 1 % of the limit, which a rigid column does not reach."""
    n = 200
    limit, rigid = slow_closing(1.0, m * GRAVITY, 1.0, 1.0)
    assert allievi_chain(m * n, n, np.arange(1, n + 1)).max() == pytest.approx(limit, rel=0.01)
    assert limit > rigid


def test_the_effective_time_by_michaud():
    """Rise of an even stop: 2 L v/(g T); a rise of a v/g comes of 2L/a, and no rise leaves the stroke."""
    assert effective_time(640.0, 2.9, 2 * 640 * 2.9 / GRAVITY / 7.3, 30.0) == pytest.approx(7.3)
    assert effective_time(640.0, 2.9, 1100 * 2.9 / GRAVITY, 30.0) == pytest.approx(1280 / 1100)
    assert effective_time(640.0, 2.9, [0.0, np.nan, 1e-3], 30.0)[[0, 2]].tolist() == [30.0, 30.0]
