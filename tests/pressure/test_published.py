"""Published figures of ratings, tests, categories and holiday voltages, recomputed from the check table."""

import json

import pytest

import softseat.pressure.category
import softseat.pressure.holiday
import softseat.pressure.shell
import softseat.pressure.testing  # noqa: F401 (enters the calculations)
from softseat.register import CALCULATIONS
from softseat.tables import read

ROWS = read("checks/pressure")


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
