"""One function composes the verdict (design: no over ask over if over yes)."""

import numpy as np
import pytest

from softseat.register import CANNOT_SAY, HOLDS, HOLDS_NOT
from softseat.selection.verdict import ASK, DOUBT, IF, NO, YES, verdict

SEVERITY = {"S": "stop", "Q": "query", "C": "condition", "A": "advice", "K": "care", DOUBT: "query", "O": "stop"}


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ({}, YES),
        ({"A": HOLDS, "K": HOLDS}, YES),
        ({"C": HOLDS}, IF),
        ({"Q": HOLDS}, ASK),
        ({"Q": HOLDS, "C": HOLDS}, ASK),
        ({"S": CANNOT_SAY}, ASK),
        ({"C": CANNOT_SAY}, YES),
        ({"S": HOLDS}, NO),
        ({"S": HOLDS, "Q": HOLDS}, NO),
        ({DOUBT: HOLDS, "S": HOLDS}, ASK),
        ({DOUBT: HOLDS, "O": HOLDS}, NO),
    ],
)
def test_verdict(said, expected):
    judged = {r: np.array([said.get(r, HOLDS_NOT)], np.int8) for r in SEVERITY}
    assert verdict(judged, SEVERITY, frozenset({"O"})).tolist() == [expected]
