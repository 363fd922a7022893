"""What the liner leans on."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.errors import UnknownName
from softseat.piping.support import face_of_collar, face_suits, flange_bore, liner_support


def test_bores_by_type():
    # ASME B16.5 NPS 8: slip-on bore 221.5 mm (from memory), pipe 219.1 outside
    got = flange_bore(["WN", "SO", "blind", ""], 0.2027, 0.2191)
    assert got[:3] == pytest.approx([0.2027, 0.2215, 0.0])
    assert np.isnan(got[3])
    assert (face_of_collar("stub"), face_of_collar("WN")) == (True, False)
    with pytest.raises(UnknownName, match="WN"):
        flange_bore("?", 0.2, 0.2)


LENGTHS = st.floats(0.05, 0.5)


@given(LENGTHS, LENGTHS, LENGTHS, LENGTHS, st.floats(0, 0.02))
def test_a_wider_bore_never_supports_more_and_never_beyond_the_lip(bore, face, inside, outside, more):
    land = liner_support(bore, face, inside, outside)
    assert liner_support(bore + more, face, inside, outside) <= land
    assert land <= (outside - inside) / 2 + 1e-12


def test_faces():
    assert [face_suits(f)[0] for f in ("RF", "FF", "RTJ", "rubber")] == ["yes", "yes", "no", "condition"]
    with pytest.raises(UnknownName, match="RF"):
        face_suits("XX")
