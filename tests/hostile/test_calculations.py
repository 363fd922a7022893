"""Every calculation with whatever a caller may send: numbers with their reason where there is none, or one sentence."""

import json
import math
import os

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from softseat.calculator import calculations, run
from softseat.errors import SoftseatError

CASES = int(os.environ.get("SOFTSEAT_CASES", "12"))
many = settings(max_examples=CASES, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
EDGES = (0.0, -0.0, -1.0, 1.0, 1e-300, 1e300, -1e300, math.inf, -math.inf, math.nan, 5e-324, 90.0, 1e5, 0.2, None, True, "", "nan",
    "x", "5 bar", "20 C", "DN200", "3 in", [], [1.0, None, math.nan], [[1.0]], {}, "\x00", "9" * 400, 10**400, -(10**400))  # fmt: skip
values = st.one_of(st.sampled_from(EDGES), st.floats(), st.integers(), st.text(max_size=12), st.lists(st.floats(), max_size=4))
SLOW = {"closure-surge"}  # marches through time: the reaches asked for are its cost


def plain(value):
    """No nan, no infinity anywhere: JSON has neither."""
    json.dumps(value, allow_nan=False)
    return True


@pytest.mark.parametrize("name", sorted(set(calculations()) - SLOW))
@many
@given(data=st.data())
def test_a_number_a_reason_or_a_sentence(name, data):
    found = calculations()[name]
    inputs = dict(found.example)
    for entry in found.inputs:
        what = data.draw(st.sampled_from(["example", "left out", "other", "other"]))
        if what == "left out":
            inputs.pop(entry.name, None)
        elif what == "other":
            inputs[entry.name] = data.draw(values)
    try:
        answer = run(name, inputs)
    except SoftseatError as error:
        told = str(error)
    else:
        told = ""
    if told:
        assert 5 < len(told) < 3000
        return
    assert plain(answer)
    for entry in found.outputs:
        got = answer.get(entry.name)
        if got is None and entry.name in answer:
            assert any(n.startswith(entry.name) for n in answer["notes"]), (entry.name, answer)


@pytest.mark.parametrize("name", sorted(set(calculations()) - SLOW))
def test_each_argument_at_each_edge(name):
    """One argument at a time: the others as in the example."""
    found = calculations()[name]
    for entry in found.inputs:
        for edge in EDGES:
            try:
                answer = run(name, {**found.example, entry.name: edge})
            except SoftseatError:
                continue
            assert plain(answer), (entry.name, edge)


@pytest.mark.parametrize("name", sorted(calculations()))
def test_a_name_that_it_has_not(name):
    with pytest.raises(SoftseatError, match="no argument"):
        run(name, {**calculations()[name].example, "=cmd": 1})
