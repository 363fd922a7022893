"""Every published check value of flow and noise, recomputed through the registered calculation."""

import importlib
import json
import pkgutil

import pytest

import softseat.flow
from softseat.register import CALCULATIONS
from softseat.tables import read

for module in pkgutil.iter_modules(softseat.flow.__path__, "softseat.flow."):
    importlib.import_module(module.name)
ROWS = [*read("checks/flow"), *read("checks/noise")]


def value(row):
    calculation = CALCULATIONS[row["calculation"]]
    result = calculation.function(**json.loads(row["inputs"]))
    results = result if isinstance(result, tuple) else (result,)
    return dict(zip((o.name for o in calculation.outputs), results, strict=True))[row["output"]]


@pytest.mark.parametrize("row", ROWS, ids=[r["id"] for r in ROWS])
def test_published_value(row):
    got = value(row)
    if row["tolerance"] == "exact":
        assert str(got) == row["expected"]
        return
    kind, size = row["tolerance"].split(":")
    assert float(got) == pytest.approx(float(row["expected"]), **{kind: float(size)}, **({"rel": 0} if kind == "abs" else {"abs": 0}))


def test_each_id_stands_once_and_none_is_marked_as_not_to_be_used():
    ids = [r["id"] for r in ROWS]
    assert len(set(ids)) == len(ids)
    assert not [r["id"] for r in ROWS if r["certainty"].startswith("LOW") or "do-not-use" in r["tolerance"]]


@pytest.mark.parametrize("name", sorted(n for n, c in CALCULATIONS.items() if c.function.__module__.startswith("softseat.flow")))
def test_the_worked_example_takes_only_names_of_the_calculation(name):
    calculation = CALCULATIONS[name]
    known = {e.name for e in calculation.inputs}
    assert set(calculation.example) <= known
    assert {e.name for e in calculation.inputs if not e.optional} <= set(calculation.example)
