import json
import math

import pytest

from softseat import tables
from softseat.errors import InputError, UnknownName
from softseat.materials import metals
from softseat.media.lookup import medium_properties, saturation
from softseat.register import CALCULATIONS

assert metals  # the register fills as the parts are imported
CHECKS = tables.read("checks/media")


def close(got, row):
    kind, width = row["tolerance"].split(":")
    return pytest.approx(float(row["expected"]), **{kind: float(width)}) == got


@pytest.mark.parametrize("row", CHECKS, ids=[r["id"] for r in CHECKS])
def test_published_values(row):
    calculation = CALCULATIONS[row["calculation"]]
    result = calculation.function(**json.loads(row["inputs"]))
    names = [o.name for o in calculation.outputs]
    got = result if len(names) == 1 else result[names.index(row["output"])]
    assert close(float(got), row), (got, row["expected"])


def test_saturation_wants_exactly_one_end():
    for wrong in ({}, {"temperature": 300.0, "pressure": 1e5}):
        with pytest.raises(InputError, match="exactly one"):
            saturation("water", **wrong)


def test_saturation_of_other_media():
    """Any medium with a vapour pressure answers; toluene at 30 C: 4.89 kPa by the reference equation."""
    assert saturation("Toluene", 303.15)[0] == pytest.approx(4890, abs=10)
    assert saturation("LP steam", pressure=4.5e5)[1] == pytest.approx(421.06, abs=0.01)  # steam tables: 147.91 C at 4.5 bar
    with pytest.raises(UnknownName, match="which acid"):
        saturation("acid", 300.0)


def test_properties_by_words():
    density, pv, *_, state, basis = medium_properties("H2SO4 98% dosing", 303.15, 4e5)
    assert (density, state) == (pytest.approx(1827, abs=8), "liquid")  # 98 % at 30 C: 1.827 in handbook tables (from memory)
    assert pv < 5
    assert "sulphuric acid 93-98 %" in basis
    assert math.isnan(medium_properties("cement", 303.15, 1e5)[0])
    assert medium_properties("149", 293.15, 101325.0)[0] == pytest.approx(1.204, abs=1e-3)


def test_the_examples_run():
    for name in ("medium", "medium-properties", "saturation", "gas-properties"):
        assert CALCULATIONS[name].example
