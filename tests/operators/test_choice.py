from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from softseat.errors import InputError
from softseat.operators.choice import REASONS, Wanted, choose
from softseat.operators.flange import flange_rung
from softseat.operators.table import cylinders, electrics, gears, levers, together

ANGLE = np.arange(0.0, 91.0, 5.0)
ATM = 101325.0


def words(*text):
    return np.array(text)


def numbers(*value):
    return np.array(value, float)


@pytest.fixture(scope="module")
def table():
    """Nine invented operators."""
    hand = levers(
        {"key": words("L1", "L2"), "length": numbers(0.2, 0.4), "top_flange": words("F05", "F07"), "dn_max": numbers(100, 200)}, 360.0, 19
    )
    worm = gears(
        {"key": words("G1", "G2"), "torque": numbers(250, 2000), "ratio": numbers(40, 60), "efficiency": numbers(0.3, 0.3),
         "wheel_diameter": numbers(0.2, 0.5), "top_flange": words("F07", "F14"), "self_locking": words("no", "yes")}, 360.0, 19,
    )  # fmt: skip
    air = cylinders(
        {"key": words("D1", "D2", "S1"), "kind": words("rack", "yoke", "rack"), "action": words("da", "da", "sr"),
         "air_start": numbers(40, 120, 100) / 1e5, "air_mid": numbers(40, 60, 100) / 1e5, "air_end": numbers(40, 120, 100) / 1e5,
         "spring_start": numbers(np.nan, np.nan, 320), "spring_mid": numbers(np.nan, np.nan, 260),
         "spring_end": numbers(np.nan, np.nan, 200),
         "max_pressure": numbers(8e5, 8e5, 8e5), "top_flange": words("F07", "F10", "F10"), "stroke_time": numbers(1, 2, 2)}, ANGLE,
    )  # fmt: skip
    motor = electrics(
        {"key": words("E1", "E2"), "torque": numbers(300, 600), "stroke_time": numbers(15, 30), "duty": words("onoff", "modulating"),
         "fail_safe": words("no", "yes"), "top_flange": words("F07", "F10")}, 19,
    )  # fmt: skip
    return together(hand, worm, air, motor)


def need(*peaks, running=0.3):
    """Opening and closing torque that falls from its peak to a share of it."""
    best = np.array(peaks, float)[:, None] * np.where(ANGLE == 0, 1.0, running)
    band = np.stack([best * 0.5, best, best * 1.5])
    return {"opening": band, "closing": band.copy()}


def chosen(table, wanted):
    found = choose(wanted, table)
    return [str(table.key[i]) if i >= 0 else "" for i in found.index], found


def test_the_smallest_that_holds_at_the_bad_end(table):
    keys, found = chosen(table, Wanted(**need(40, 90, 150, 900), kind="", air_min=5e5 + ATM, air_max=7e5 + ATM))
    assert keys == ["L1", "L2", "G1", "G2"]
    assert found.margin == pytest.approx([72 / 60, 144 / 135, 250 / 225, 1620 / 1350])  # the last: 360 N on the wheel, not the rating


def test_kinds_in_turn(table):
    kinds = words("pneumatic_da", "pneumatic_sr", "electric_onoff", "electric_modulating", "bare_shaft")
    keys, _ = chosen(table, Wanted(**need(100, 100, 100, 100, 100), kind=kinds, air_min=5e5 + ATM, air_max=7e5 + ATM))
    assert keys == ["D1", "S1", "E1", "E2", ""]


def test_spring_return_by_hand(table):
    """S1 at 5 bar: air 500 less spring end 200 opens the seat with 300; the spring ends with 200 at the seat when closing."""
    opens = choose(Wanted(**need(100), kind="pneumatic_sr", air_min=5e5 + ATM, air_max=6e5 + ATM), table)
    assert opens.margin == pytest.approx([200 / 150])  # closing governs: 200 against 1.5 x 100
    fails_open = choose(Wanted(**need(100), kind="pneumatic_sr", fail="open", air_min=5e5 + ATM, air_max=6e5 + ATM), table)
    assert fails_open.margin == pytest.approx([min(320 / 150, (500 - 320) / 150)])  # the spring opens with 320; air 500 - 320 seats it


def test_yoke_is_weakest_in_the_middle(table):
    flat = np.full((3, 1, 19), 200.0)
    found = choose(Wanted(flat, flat, kind="pneumatic_da", air_min=4e5 + ATM, air_max=6e5 + ATM), table)
    assert found.margin == pytest.approx([240 / 200])  # 60 N m a bar at 45 deg, though 120 at the ends
    assert found.why_not(0)[4] == "torque too small"


def test_each_reason_is_named(table):
    def why(key, **asked):
        found = choose(Wanted(**{**need(60), "air_min": 5e5 + ATM, "air_max": 7e5 + ATM, **asked}), table)
        return found.why_not(0)[table.key.tolist().index(key)]

    assert why("L1", kind="gear") == "not the kind asked"
    assert why("D1", fail="close") == "does not go to the fail position"
    assert why("S1", fail="stay") == "does not go to the fail position"
    assert why("G1", flange_rung=flange_rung("F10")) == "top flange does not fit"
    assert why("L1", dn=150) == "valve too large for it"
    assert why("D1", air_max=9e5 + ATM) == "air supply above its rating"
    assert why("E1", duty=2) == "duty class too low"
    assert why("E1", stroke_min=20) == "stroke time does not fit"
    assert why("D1", stroke_min=20) == "holds"  # a cylinder is throttled
    assert why("D1", stroke_max=0.5) == "stroke time does not fit"
    assert why("L1") == "torque too small"
    assert why("D2", shaft_limit=500) == "too strong for the shaft"
    driven = need(40)
    driven["closing"] = np.stack([np.full((1, 19), -20.0), np.full((1, 19), -5.0), np.full((1, 19), 30.0)])
    assert why("G1", **driven) == "cannot hold against the flow"
    assert why("G2", **driven) == why("L1", **driven) == "holds"  # self-locking; by notch and hand
    driven["closing"] = driven["closing"] - 400.0  # more than a hand holds
    assert why("L1", **driven) == "cannot hold against the flow"
    assert len(set(REASONS)) == len(REASONS)


def test_a_row_without_torque_gets_none_and_the_others_go_on(table):
    keys, found = chosen(table, Wanted(**need(40, np.nan, 40), air_min=5e5 + ATM, air_max=7e5 + ATM))
    assert keys == ["L1", "", "L1"]
    assert np.isnan(found.margin).tolist() == [False, True, False]


def test_many_are_as_each_alone(table):
    peaks = np.random.default_rng(5).uniform(5, 700, 1100)  # over more than one chunk
    kind = np.resize(words("", "pneumatic_da", "pneumatic_sr", "gear"), 1100)
    asked = Wanted(**need(*peaks), kind=kind, air_min=5e5 + ATM, air_max=7e5 + ATM)
    whole = choose(asked, table)
    for n in (0, 511, 512, 1099):
        alone = replace(asked, opening=asked.opening[:, n : n + 1], closing=asked.closing[:, n : n + 1], kind=kind[n : n + 1])
        assert choose(alone, table).index[0] == whole.index[n]


@settings(max_examples=40, deadline=None)
@given(peak=st.floats(1, 2000), more=st.floats(1, 3), air=st.floats(3e5, 7e5))
def test_more_torque_or_less_air_never_has_more_margin(table, peak, more, air):
    def margins(p, a):
        return choose(Wanted(**need(p), air_min=a + ATM, air_max=7e5 + ATM), table).margins[0]

    base = margins(peak, air)
    assert (margins(peak * more, air) <= base * (1 + 1e-12)).all()
    assert (margins(peak, air * 0.9) <= base).all()


def test_words_that_are_not_known(table):
    with pytest.raises(InputError, match="pneumatic_da"):
        choose(Wanted(**need(40), kind="hydraulic"), table)
    with pytest.raises(InputError, match="stay"):
        choose(Wanted(**need(40), fail="shut"), table)


@pytest.mark.parametrize(
    "some_air", [lambda rng, n: rng.choice([4.5e5, 5.5e5, 7e5, np.nan], n), lambda rng, n: rng.uniform(4e5, 7e5, n)], ids=["few", "many"]
)
def test_a_supply_of_its_own_makes_no_difference_to_the_neighbours(table, some_air):
    """Items of one supply are worked out together; each is judged as it would be alone."""
    rng = np.random.default_rng(3)
    peaks, air = rng.uniform(20, 900, 40), some_air(rng, 40)
    fail, kind = rng.choice(["open", "close", "stay", ""], 40), rng.choice(["pneumatic_da", "pneumatic_sr", ""], 40)
    most = 1.2 * air
    whole = choose(Wanted(**need(*peaks), air_min=air, air_max=most, fail=fail, kind=kind), table)
    for n, peak in enumerate(peaks):
        one = choose(Wanted(**need(peak), air_min=air[n], air_max=most[n], fail=fail[n], kind=kind[n]), table)
        assert whole.index[n] == one.index[0]
        assert np.array_equal(whole.margins[n], one.margins[0], equal_nan=True)
        assert np.array_equal(whole.reason[n], one.reason[0])
