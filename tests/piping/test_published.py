"""Published figures of flanges, lengths and pipes, recomputed from the check table."""

import json

import pytest

import softseat.piping.bolting
import softseat.piping.centring
import softseat.piping.flange
import softseat.piping.length
import softseat.piping.pipe
import softseat.piping.remedy
import softseat.piping.swing  # noqa: F401 (enters the calculations)
from softseat.register import CALCULATIONS
from softseat.tables import read

ROWS = read("checks/piping")


@pytest.mark.parametrize("row", ROWS, ids=[r["id"] for r in ROWS])
def test_published(row):
    calculation = CALCULATIONS[row["calculation"]]
    result = calculation.function(**json.loads(row["inputs"]))
    values = result if isinstance(result, tuple) else (result,)
    got = values[[e.name for e in calculation.outputs].index(row["output"])]
    if not row["tolerance"]:
        assert str(got) == row["expected"]
    else:
        kind, size = row["tolerance"].split(":")
        assert float(got) == pytest.approx(float(row["expected"]), **{kind: float(size), "rel" if kind == "abs" else "abs": 0})
