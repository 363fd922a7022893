"""Figures: rounding against Python's own decimal arithmetic, and properties."""

from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.papers.figures import NONE, aligned, figure, sentence
from softseat.selection.item import Number


@given(st.floats(1e-3, 9.9e8))
def test_a_printed_figure_is_the_value_within_its_last_digit(value):
    """Three digits say a value to half a unit of the third; 0.5 % is that unit at its worst."""
    said = float(figure(value).replace("\u202f", ""))
    assert abs(Decimal(said) - Decimal(value)) <= Decimal("0.0051") * Decimal(value)


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (10.0, "10"), (9.998, "10.0"), (0.5, "0.5"), (402.5, "402"), (1284.0, "1284"), (12340.0, "12\u202f340"), (0, "0"),
        (-3.456, "−3.46"),
        (0.01234, "0.0123"), (2.5e-7, "2.50 × 10⁻⁷"), (float("nan"), NONE), (None, NONE), (float("inf"), NONE), (np.float64(2.0), "2"),
    ],
)  # fmt: skip
def test_figures_that_were_thought_of(value, said):
    assert figure(value) == said


@given(st.lists(st.floats(1e-3, 1e6), min_size=1, max_size=8))
def test_a_column_has_its_points_under_each_other(values):
    cells = [a + b for a, b in aligned([figure(v) for v in values])]
    assert len({len(c) - c.index(".") if "." in c else 0 for c in cells}) == 1


def test_sentences():
    assert sentence(Number(210.0, "N m", 126.0, 294.0)) == "210 (126 … 294) N m"
    assert sentence(Number(5.0, "m3/h", 5.0, 5.0)) == "5 m³/h"
    assert sentence(Number(None, "bar")) == sentence(Number(float("nan"), "bar")) == NONE
    assert sentence({"value": 3.0, "unit": "C"}) == "3 °C"
    assert sentence([1.0, 2.0]) == "1, 2"
    assert sentence(np.arange(19.0)) == "0, 1 … 18 (19 values)"
    assert sentence(np.array([2.25])) == "2.25"
    assert sentence({"value": [1.0, 2.0, 3.0], "unit": "C", "of": 57}) == "1, 2, 3 … (57 values) °C"
    assert sentence(True) == "yes"
    assert sentence("double_flanged") == "double-flanged"
