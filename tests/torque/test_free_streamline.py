"""The theory behind the dynamic torque, solved again: a plate in a channel with free streamlines, by its hodograph.

The flow is the upper half plane t: upstream infinity at t = infinity, the two jets at t = -1 and 1, the plate between b1 and b2,
stagnation at s. The logarithm of the hodograph over R = sqrt((t^2 - 1)(t - b1)(t - b2)) has its imaginary part known on the whole
real axis, so it is one Cauchy integral. Unknown are b1 and b2: the plate has its length and stands in the middle of the channel.
"""

import functools

import numpy as np
import pytest
from scipy.optimize import brentq, root

from softseat.tables import index
from softseat.torque.dynamic import plate_in_stream

THEORY = ("ct_net", "ct_free", "ctv_theory", "k_borda")
NODES, FINE = (np.polynomial.legendre.leggauss(n) for n in (160, 481))


def _between(a, b, rule=NODES):
    """Gauss nodes from a to b, crowded at both ends."""
    u = np.pi / 2 * rule[0]
    return (a + b) / 2 + (b - a) / 2 * np.sin(u), (b - a) / 2 * rule[1] * np.pi / 2 * np.cos(u)


def _stagnation(beta, tau):
    """Where the flow divides (no source at infinity), and the first moment, which is pi times the logarithm of U over V."""

    def moment(place, power):
        (up, a), (low, b) = _between(0, place), _between(place, np.pi)
        return (np.pi - beta) * (b * tau(low) ** power / np.sqrt(1 - tau(low) ** 2)).sum() - beta * (
            a * tau(up) ** power / np.sqrt(1 - tau(up) ** 2)
        ).sum()

    place = brentq(lambda f: moment(f, 0), 1e-9, np.pi - 1e-9, xtol=1e-14)
    return place, moment(place, 1)


def _flow(beta, b1, b2):
    """Velocity ratio, length, force and moment of the plate, and the height of its lower edge, over the channel (V = Q = 1)."""
    half = (b2 - b1) / 2

    def tau(f):
        return (b1 + b2) / 2 + half * np.cos(f)

    place, first = _stagnation(beta, tau)
    s, u = tau(place), np.exp(first / np.pi)
    (up, wu), (low, wl) = _between(0, place), _between(place, np.pi)
    nodes, weight = np.concatenate([up, low]), np.concatenate([wu, wl])

    def turned(f):
        return np.where(f < place, -beta, np.pi - beta) / np.sqrt(1 - tau(f) ** 2)

    def r(t):
        return np.sqrt(np.abs((t * t - 1) * (t - b1) * (t - b2)))

    (up, wu), (low, wl) = _between(0, place, FINE), _between(place, np.pi, FINE)
    f, w = np.concatenate([low[::-1], up[::-1]]), np.concatenate([wl[::-1], wu[::-1]])
    t = tau(f)
    apart = np.subtract.outer(-t, -tau(nodes))
    rest = np.subtract.outer(-turned(f), -turned(nodes))  # less the value at the point itself, whose principal value is zero
    inside = np.divide(rest, apart, out=np.zeros_like(rest), where=np.abs(apart) > 1e-13)
    speed = np.exp(r(t) / np.pi * (inside * weight).sum(axis=1))
    piece = np.abs((t - s) / (t * t - 1)) / np.pi * half * np.sin(f) * w / speed
    length, along = piece.sum(), np.cumsum(piece) - piece / 2
    load = (1 - speed**2) * piece / 2
    share, w = _between(0, 1)
    t = -1 + (b1 + 1) * share
    angle = -r(t) / np.pi * (turned(nodes) / np.subtract.outer(-t, -tau(nodes)) * weight).sum(axis=1)
    rise = (np.sin(angle) * -(t - s) / (t * t - 1) / np.pi * (b1 + 1) * w).sum()
    edge = (-1 / u / 2 + (1 + s) / 2 + rise) * u
    return u, length * u, load.sum(), (load * (length / 2 - along)).sum(), edge, length


@functools.cache
def solved(opening, ratio=1.0):
    """Velocity ratio, force and moment of a plate of this length over the channel."""
    beta = np.radians(90 - opening)

    def ends(x):
        b1 = np.tanh(x[0])
        return b1, b1 + (1 - b1) / (1 + np.exp(-x[1]))

    def missing(x):
        _, length, _, _, edge, _ = _flow(beta, *ends(x))
        return [length - ratio, edge + ratio / 2 * np.sin(beta)]

    for guess in ((-1.0, 1.0), (-1.5, 2.0), (-0.5, 0.5), (-2.0, 3.0), (-2.5, 4.0)):
        found = root(missing, guess, tol=1e-11)
        if np.abs(found.fun).max() < 1e-8:
            u, _, force, moment, _, length = _flow(beta, *ends(found.x))
            return u, force / length, moment / length**2
    raise AssertionError(f"no solution at {opening}")


@pytest.mark.parametrize("opening", [10, 30, 45, 60, 75])
def test_the_table_is_the_solution(opening):
    u, _, moment = solved(opening)
    row = {name: float(index("disc_torque_coefficients", "opening")[str(opening)][name]) for name in THEORY}
    strips = 2 / 3 * moment  # a round disc of similar strips
    assert row["k_borda"] == pytest.approx((1 / u - 1) ** 2, rel=6e-4)
    assert row["ct_net"] == pytest.approx(strips / (0.5 * (1 - u) ** 2), rel=6e-4)
    assert row["ct_free"] == pytest.approx(strips / (0.5 * (1 - u * u)), rel=6e-4)
    assert row["ctv_theory"] == pytest.approx(strips / (0.5 * u * u), rel=6e-4)


def test_far_from_the_walls_it_is_rayleighs_plate():
    """Blockage goes with the root of the plate's share of the channel: two small shares lead to none."""
    (u1, f1, _), (u2, f2, m2) = solved(45, 1e-3), solved(45, 1e-4)
    c1, c2 = f1 / (0.5 * u1**2), f2 / (0.5 * u2**2)
    force, ahead = plate_in_stream(45.0)
    assert c2 - (c1 - c2) / (np.sqrt(10) - 1) == pytest.approx(float(force), abs=2e-3)
    assert m2 / f2 == pytest.approx(float(ahead), abs=1e-4)
    assert abs(c2 - float(force)) < abs(c1 - float(force))
