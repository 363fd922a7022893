import numpy as np
import pytest

from softseat.seat.contact import seat_contact
from softseat.seat.hub import hub_contact
from softseat.seat.modulus import rubber_modulus
from softseat.seat.practice import practice
from softseat.torque.over_angle import Service, torque_over_angle
from softseat.torque.valve import Condition, Made, seat_torque, valve_in

SIZES = (np.array([0.3, 0.3]), 0.036, 0.3, 8e-3, 4e-3, 3e-3, 0.6e-3, 70, 0.5)
BUSH = (0.1, 0.18, 0.3)


def test_new_and_cold_it_is_the_contact_as_made():
    rim, hub, now = seat_torque(Made(*SIZES, hub_diameter=np.array([0.062, np.nan]), hub_interference=0.5e-3))
    alone = float(seat_contact(0.3, 8e-3, 4e-3, 3e-3, 0.6e-3, 0.5, 70)[3])
    young = float(rubber_modulus(70))
    assert rim.tolist() == pytest.approx([alone, alone])
    assert hub[0] == pytest.approx(float(hub_contact(0.062, 0.036, 0.5e-3, 8e-3, young, 0.5)[1]))
    assert hub[1] == pytest.approx(practice("hub_share") * alone)  # a hub that is not told
    assert now.tolist() == pytest.approx([0.6e-3] * 2)


def test_service_changes_torque_the_way_it_should():
    base = np.add(*seat_torque(Made(*SIZES))[:2])
    for harder in (Condition(temperature=343.15), Condition(swell=0.05), Condition(coat=5e-5), Condition(difference=1e6)):
        assert (np.add(*seat_torque(Made(*SIZES), harder)[:2]) > base).all()
    assert (np.add(*seat_torque(Made(*SIZES), Condition(compression_set=0.25))[:2]) < base).all()


def test_a_test_moves_the_level_in_every_condition_alike():
    tested = Made(*SIZES, tested_torque=np.array([250.0, np.nan]))
    new, hot = valve_in(tested, BUSH), valve_in(tested, BUSH, Condition(temperature=343.15))
    assert (new.rim + new.hub)[1, 0] == pytest.approx(250.0)
    assert (hot.rim / new.rim)[1, 0] == pytest.approx((hot.rim / new.rim)[1, 1])
    assert (new.rim[2] / new.rim[1]).tolist() == pytest.approx([1.25, 1.55])


def test_it_goes_through_the_stroke():
    curve = torque_over_angle(valve_in(Made(*SIZES), BUSH), Service(np.array([0.0, 1e6])))
    assert curve.opening.shape == (3, 2, 19)
    assert (curve.unseating[:, 1] > curve.unseating[:, 0])[1:].all()


def test_a_missing_size_spoils_its_row_alone():
    made = Made(np.array([0.3, np.nan]), *SIZES[1:])
    assert np.isnan(valve_in(made, BUSH).rim[1]).tolist() == [False, True]
