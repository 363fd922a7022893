import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.errors import UnknownName
from softseat.operators.flange import drives, flange_limit, flange_rung, ladder, masks, smallest_rung, top_flange


# ISO 5211 greatest torque of each flange; from memory, sure.
@pytest.mark.parametrize(
    ("flange", "limit"),
    [("F03", 32), ("F04", 63), ("F05", 125), ("F07", 250), ("F10", 500), ("F12", 1000), ("F14", 2000), ("F16", 4000), ("F25", 8000),
     ("F30", 16000), ("F35", 32000), ("F40", 63000), ("F48", 125000), ("F60", 250000)],
)  # fmt: skip
def test_ladder(flange, limit):
    assert top_flange(limit) == (flange, limit)
    assert top_flange(limit * 1.001)[0] != flange
    assert flange_limit(flange) == limit


@given(st.floats(0, 3e5), st.floats(0, 3e5))
def test_more_torque_never_takes_a_smaller_flange(a, b):
    first, second = smallest_rung(sorted((a, b)))
    assert first <= second or second == -1


def test_what_no_flange_carries():
    assert smallest_rung([100.0, np.nan, 1e6]).tolist() == [2, -1, -1]
    name, limit = top_flange(1e6)
    assert name is None
    assert np.isnan(limit)


def test_flange_words():
    bits = masks(["F05/F07", "F10", ""])
    assert [[bool(int(b) >> flange_rung(f) & 1) for f in ("F05", "F07", "F10")] for b in bits] == [
        [True, True, False], [False, False, True], [True, True, True],
    ]  # fmt: skip
    with pytest.raises(UnknownName, match="F05"):
        masks(["F06"])


def test_squares_carry_the_torque_they_stand_for():
    """The stress of each square under its torque stays under the 280 MPa that ISO 5211 sets for driven components (from memory)."""
    for flange in ladder()[:10]:
        for kind, size, torque in drives(flange):
            if kind == "square":
                assert torque / (0.208 * size**3) < 280e6
