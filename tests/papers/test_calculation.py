"""The calculation sheet: every value with its unit, the trace's or the vocabulary's."""

from softseat.papers.calculation import calculations
from softseat.papers.frame import Frame


def test_values_carry_their_units(sample):
    first, second = calculations(Frame("x", sample.MAKER), sample.item(0))["steps"]
    assert first["inputs"] == [
        ["operating pressure", "601\u202f325 Pa"],
        ["pressure behind", "5.713 bar"],
        ["vapour pressure", "2339, 2340, 2341 … (57 values) Pa"],
    ]
    assert first["results"] == [["cavitation index σ", "19.966 (18.1 … 21.3)"]]
    assert second["inputs"] == [["Kv", "905 m³/h"]]  # what was not given is not printed
