import numpy as np
import pytest

from softseat.seat.window import Seat, Strain, held, interference_window, turning

SEAT = Seat(0.3, 8e-3, 4e-3, 3e-3, 5.5e6, tr10=228.15)
SERVICE = Strain(t_min=278.15, t_max=333.15, compression_set=0.1, wear=2e-5, swell=0.01)


def test_the_ends_of_the_window_just_do():
    found = interference_window(SEAT, SERVICE, 1e6, 900.0, friction=0.5, strain_limit=0.2)
    assert held(SEAT, SERVICE, found.smallest) == pytest.approx(1.1e6, rel=1e-5)  # rating margin 1.1
    assert turning(SEAT, SERVICE, found.largest, 0.5)[0] == pytest.approx(900.0, rel=1e-5)
    assert found.smallest < found.largest
    assert str(found.bound_by) == "torque"


def test_strain_ends_it_where_the_operator_is_strong():
    found = interference_window(SEAT, SERVICE, 1e6, 1e6, friction=0.5, strain_limit=0.15)
    assert turning(SEAT, SERVICE, found.largest, 0.5)[1] == pytest.approx(0.15, rel=1e-6)
    assert str(found.bound_by) == "strain"


def test_a_wider_temperature_range_narrows_the_window():
    cold = np.array([293.15, 273.15, 253.15])
    found = interference_window(SEAT, Strain(t_min=cold, t_max=353.15), 1e6, 900.0, friction=0.5)
    assert (np.diff(found.smallest) > 0).all()
    hot = interference_window(SEAT, Strain(t_max=[293.15, 333.15, 373.15]), 1e6, 900.0, friction=0.5)
    assert (np.diff(hot.largest) < 0).all()


def test_too_high_a_rating_and_a_missing_limit():
    found = interference_window(SEAT, Strain(), [1e6, 4e7, 1e6], [900.0, 900.0, np.nan], friction=0.5)
    assert np.isnan(found.smallest).tolist() == [False, True, True]
    assert found.bound_by.tolist() == ["torque", "torque", ""]


def test_a_liner_near_its_tr10_is_hard_to_turn_and_holds_no_more_for_it():
    cold = interference_window(SEAT, Strain(t_min=[293.15, 235.15]), 1e6, 900.0, friction=0.5)
    assert cold.largest[1] < cold.largest[0]
    assert cold.smallest[1] > cold.smallest[0]
