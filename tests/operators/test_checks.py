"""Every published check value of the folder, recomputed through its registered calculation."""

import json

import pytest

from softseat.calculator import calculations
from softseat.tables import read

ROWS = read("checks/operators")


@pytest.mark.parametrize("row", ROWS, ids=[r["id"] for r in ROWS])
def test_published_value(row):
    calculation = calculations()[row["calculation"]]
    result = calculation.function(**json.loads(row["inputs"]))
    results = result if isinstance(result, tuple) else (result,)
    got = dict(zip((o.name for o in calculation.outputs), results, strict=True))[row["output"]]
    if row["tolerance"] == "exact":
        assert got == row["expected"]
        return
    kind, size = row["tolerance"].split(":")
    assert got == pytest.approx(float(row["expected"]), **{"rel": 0, "abs": 0, kind: float(size)})


def test_each_id_stands_once_and_every_calculation_of_the_folder_runs_its_example():
    assert len({r["id"] for r in ROWS}) == len(ROWS)
    own = [c for c in calculations().values() if c.function.__module__.startswith("softseat.operators.")]
    assert own
    for calculation in own:
        needed = {e.name for e in calculation.inputs if not e.optional}
        assert needed <= set(calculation.example) <= {e.name for e in calculation.inputs}
        assert len({e.name for e in calculation.outputs}) == len(calculation.outputs)
