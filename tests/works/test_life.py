"""Life of a liner against the line it was made from; storage periods of ISO 2230; the spare's date."""

from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from softseat.errors import InputError, UnknownName
from softseat.works.life import YEAR, Compound, liner_life, spare, storage

R = 8.31446261815324
HOT = (373.15, 388.15, 398.15, 413.15)


def compound(energy=95e3, hot=HOT, scatter=(0.0, 0.0, 0.0, 0.0)):
    """Invented tests on an Arrhenius line: 2000 h at 125 C."""
    time = [2000 * 3600 * np.exp(energy / R * (1 / t - 1 / 398.15) + e) for t, e in zip(hot, scatter, strict=True)]
    return Compound("EPDM 70 of batch 3", "compression set 80 %", hot, tuple(time))


def test_the_line_gives_back_its_own_law():
    life = liner_life(compound(), [(348.15, 1.0)])
    assert life.activation_energy == pytest.approx(95e3, rel=1e-9)
    assert life.best == pytest.approx(2000 * 3600 * np.exp(95e3 / R * (1 / 348.15 - 1 / 398.15)), rel=1e-9)
    assert "compression set 80 %" in life.text


def test_the_band_is_the_one_of_linear_regression():
    """Standard error of a predicted mean, from scipy's slope and intercept errors and the t quantile of scipy."""
    scatter = (0.06, -0.11, 0.07, -0.02)
    told = compound(scatter=scatter)
    life = liner_life(told, [(353.15, 1.0)], 0.95)
    x, y = 1 / np.array(HOT), np.log(told.time)
    fit = stats.linregress(x, y)
    variance = fit.intercept_stderr**2 + fit.stderr**2 * (1 / 353.15) ** 2 - 2 * fit.stderr**2 * x.mean() / 353.15
    reach = stats.t.ppf(0.975, 2) * np.sqrt(variance)
    assert np.log(life.high / life.best) == pytest.approx(reach, rel=1e-6)
    assert np.log(life.best / life.low) == pytest.approx(reach, rel=1e-6)


def test_shares_of_life_add_up():
    warm, hot = (liner_life(compound(), [(t, 1.0)]).best for t in (353.15, 373.15))
    both = liner_life(compound(), [(353.15, 0.9), (373.15, 0.1)]).best
    assert 1 / both == pytest.approx(0.9 / warm + 0.1 / hot)


@pytest.mark.parametrize(
    ("duty", "known"), [([(333.15, 1.0)], True), ([(333.0, 1.0)], False), ([(453.15, 1.0)], True), ([(353.15, 0.99), (333.0, 0.01)], False)]
)
def test_forty_kelvin_beyond_the_tests_and_no_further(duty, known):
    life = liner_life(compound(), duty)
    assert life.known is known
    assert known or "not believed further than 40 K" in life.text


def test_two_temperatures_are_no_line():
    life = liner_life(Compound("x", "set 80 %", (373.15, 373.15, 393.15), (1e7, 1.1e7, 2e6)), [(363.15, 1.0)])
    assert not life.known
    assert "ISO 11346 wants 3" in life.text


def test_tests_that_age_slower_when_hotter_give_nothing():
    assert not liner_life(Compound("x", "set 80 %", (373.15, 383.15, 393.15), (1e6, 2e6, 4e6)), [(363.15, 1.0)]).known


@given(st.floats(335, 440), st.floats(0.5, 8))
def test_hotter_never_lives_longer_and_the_band_holds_the_best(t, more):
    told = compound(scatter=(0.06, -0.11, 0.07, -0.02))
    cool, hot = liner_life(told, [(t, 1.0)]), liner_life(told, [(t + more, 1.0)])
    assert hot.best < cool.best
    assert cool.low < cool.best < cool.high


@pytest.mark.parametrize(
    ("told", "duty", "said"),
    [
        (Compound("x", " ", HOT, (1e6,) * 4), [(363.15, 1.0)], "end point is not named"),
        (Compound("x", "set", HOT, (1e6,) * 3), [(363.15, 1.0)], "as many times as temperatures"),
        (compound(), [(363.15, 0.6)], "add up to 1"),
    ],
)
def test_what_cannot_be_used_is_said(told, duty, said):
    with pytest.raises(InputError, match=said):
        liner_life(told, duty)


@pytest.mark.parametrize(
    ("liner", "first", "further"), [("NR", 5, 2), ("AU", 5, 2), ("NBR", 7, 3), ("CR", 7, 3), ("EPDM", 10, 5), ("FKM", 10, 5)]
)
def test_storage_periods(liner, first, further):
    """ISO 2230: groups A 5 + 2, B 7 + 3, C 10 + 5 years; from memory."""
    inside, outside = f"{2016 + first}-06-14", f"{2016 + first}-06-17"
    assert storage(liner, "2016-06-15", inside).good
    late = storage(liner, "2016-06-15", outside)
    assert not late.good
    assert "inspect it" in late.text
    assert storage(liner, "2016-06-15", outside, inspected=True).good
    spent = storage(liner, "2016-06-15", f"{2016 + first + further}-06-17", inspected=True)
    assert not spent.good
    assert "do not fit" in spent.text


def test_storage_refuses_what_it_does_not_know():
    with pytest.raises(UnknownName, match="no storage group"):
        storage("PTFE", "2020-01-01", "2021-01-01")
    with pytest.raises(InputError, match="not yet cured"):
        storage("EPDM", "2022-01-01", "2021-01-01")
    with pytest.raises(InputError, match="cannot be read"):
        storage("EPDM", "spring", "2021-01-01")


def test_the_spare_comes_before_the_early_end():
    life = liner_life(compound(scatter=(0.03, -0.05, 0.04, -0.02)), [(368.15, 1.0)])
    told = spare(6, life, "2026-03-01", 90 * 86400.0, "EPDM")
    due = date.fromordinal(date(2026, 3, 1).toordinal() + int(life.low / 86400))
    assert told.due_from == due.isoformat()
    assert (due - date.fromisoformat(told.order_by)).days in (90, 91)
    assert date.fromisoformat(told.due_to) > due
    assert (date.fromisoformat(told.store_until) - due).days in (3652, 3653)


def test_no_spare_without_a_life():
    with pytest.raises(InputError, match="no life is known"):
        spare(6, liner_life(compound(), [(300.0, 1.0)]), "2026-03-01", 1.0, "EPDM")


def test_a_cool_duty_is_centuries_and_the_calendar_ends():
    life = liner_life(compound(), [(340.15, 1.0)])
    assert life.best > 20 * YEAR
    assert spare(1, liner_life(compound(200e3), [(335.0, 1.0)]), "2026-03-01", 1.0, "EPDM").due_to == ""
