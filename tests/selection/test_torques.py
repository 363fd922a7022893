"""Torque of a build: what is taken over from another one is what it would be by itself."""

import numpy as np
import pytest
from tests.enquiry.sheets import BREWERY, OIL, SEA

from softseat.enquiry.reader import read_enquiry
from softseat.maker.package import load
from softseat.selection.decide import decide
from softseat.selection.torques import TURNED_BY, torque_curve
from softseat.sheet import Sheet


class Listening(dict):
    """Columns, and which of them were asked for."""

    def __init__(self, columns):
        super().__init__(columns)
        self.asked = set()

    def __getitem__(self, name):
        self.asked.add(name)
        return super().__getitem__(name)


@pytest.fixture(scope="module")
def offered():
    return decide(read_enquiry(SEA).sheet, load()).offered


def test_what_is_compared_is_all_that_the_torque_is_made_of(offered):
    columns = Listening(offered.values)
    torque_curve(Sheet(columns, offered.state), load())
    if_tested = {"pn_valve", "disc_build"}  # asked for where the maker has a tested torque
    assert columns.asked | if_tested == set(TURNED_BY)


@pytest.mark.parametrize("name", ["disc_diameter", "t_max", "shutoff", "velocity", "dn"])
def test_only_the_items_that_are_otherwise_are_worked_out_anew(offered, name):
    column = offered[name].copy()
    column[::3] *= 1.1
    other = offered.adding(**{name: column})
    known, whole = torque_curve(other, load(), (offered, torque_curve(offered, load()))), torque_curve(other, load())
    for figure in ("opening", "closing", "required", "flow_drives"):
        assert np.array_equal(getattr(known, figure), getattr(whole, figure), equal_nan=figure != "flow_drives")


@pytest.mark.parametrize("path", [BREWERY, OIL], ids=lambda p: p.stem)
def test_the_quick_decision_is_the_thorough_one(path):
    sheet, maker = read_enquiry(path).sheet, load()
    thorough, quick = (decide(sheet, maker, thorough=t) for t in (True, False))
    assert np.array_equal(thorough.as_offered, quick.as_offered)
    assert np.array_equal(thorough.turning.curve.required, quick.turning.curve.required, equal_nan=True)
    assert np.array_equal(thorough.turning.choice.index, quick.turning.choice.index)
