"""Fitting cards: the order of tightening, and what a card says of a build."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.papers.fitting import card, ring, tightening


@given(st.integers(1, 18).map(lambda k: 4 * k))
def test_each_bolt_once_and_across(holes):
    """Property of a cross pattern: every second bolt lies opposite the one before it."""
    order = tightening(holes)
    assert sorted(order) == list(range(1, holes + 1))
    assert all((b - a) % holes == holes // 2 for a, b in zip(order[::2], order[1::2], strict=True))


@pytest.mark.parametrize(
    ("holes", "order"), [(4, [1, 3, 2, 4]), (8, [1, 5, 3, 7, 2, 6, 4, 8]), (12, [1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12])]
)
def test_cross_pattern(holes, order):
    """ASME PCC-1 star pattern, from memory."""
    assert tightening(holes) == order


@pytest.mark.parametrize("holes", [0, 3, 61, 400])
def test_a_ring_that_cannot_be_drawn(holes):
    assert ring(holes) == ""


def test_card(sample):
    told = card("B", [sample.item(1), sample.item(1)])
    assert told["lift"][0].startswith("Mass with operator about 17.3 kg")
    assert told["heads"] == [
        "Part",
        "Thread",
        "Length, mm",
        "Pieces",
        "Nuts",
        "Washers",
        "Torque at most, oiled, N m",
        "Torque at most, dry, N m",
        "Note",
    ]
    assert told["rows"][0] == ["stud", "M20", "170", "8", "16", "16", "190", "254", "no gasket: the liner seals"]
    assert told["also"] == ["Heavy valve: lift by the body. Never by the operator."]
    assert told["pieces"] == 4
    assert "group C of ISO 2230:2002, first period 10 years" in told["store"][-1]
