"""Histories, invented: the torque model turns a DN200 valve day after day, with a known fault, noise, wild strokes and gaps."""

import numpy as np

from softseat.seat.effects import ROOM
from softseat.torque.over_angle import Service, torque_over_angle
from softseat.torque.valve import Condition, Made, valve_in
from softseat.works.history import history_of

ANGLES = np.array([0.0, 5.0, 10.0, 20.0, 30.0, 45.0, 60.0, 75.0, 90.0])
BEGIN = 200
FULL = {"swell": 0.05, "set": 0.35, "solids": 1.8, "operator": 0.5, "air": 0.25}
SIGNALS = {"swell": ("seat",), "set": ("seat",), "solids": ("run",), "operator": ("stroke_time",), "air": ("supply", "stroke_time")}


def growth(count, fault, share, step):
    """Nothing until BEGIN, then straight up to its full size at the end, or all at once."""
    after = np.clip((np.arange(count) - BEGIN) / (count - BEGIN), 0, 1)
    return FULL[fault] * share * (np.where(after > 0, 1.0, 0.0) if step else after) if fault else np.zeros(count)


def made(count):
    def over(value):
        return np.full(count, value)

    return Made(
        disc_diameter=over(0.1974), shaft_diameter=over(0.034), bore=over(0.2), liner_thickness=over(0.007), edge_radius=over(0.003),
        land=over(0.002), interference=over(0.0006), hardness=over(70.0), friction=over(0.4),
    )  # fmt: skip


def history(seed, fault="", share=1.0, count=600, step=False, angles=True, seasons=8.0, shaped=True):
    rng = np.random.default_rng(seed)
    day = np.arange(count, dtype=float)
    grown = {f: growth(count, f if f == fault else "", share, step) for f in FULL}
    temperature = ROOM + 5 + seasons * np.sin(2 * np.pi * (day / 365.25 + rng.uniform())) + rng.normal(0, 1, count)
    condition = Condition(temperature=temperature, difference=6e5, swell=grown["swell"], compression_set=grown["set"])
    friction = 0.12 * (1 + grown["solids"]) * np.array([[0.7], [1.0], [1.3]])
    valve = valve_in(made(count), friction, condition)
    falls = np.where(ANGLES <= 10, 6e5, 6e5 * np.cos(np.radians(ANGLES)) ** 2 * 0.3)
    curve = torque_over_angle(
        valve, Service(difference=np.tile(falls, (count, 1)), velocity=np.zeros((count, ANGLES.size)), density=1000.0), ANGLES
    )
    torque = curve.opening[1] * rng.normal(1, 0.03, count)[:, None] * rng.normal(1, 0.01, (count, ANGLES.size))
    supply = 5.5e5 * (1 - grown["air"]) * rng.normal(1, 0.01, count)
    time = 4.0 * (1 + grown["operator"]) * (5.5e5 / supply) ** 0.5 * rng.normal(1, 0.03, count)
    wild = rng.random(count) < 0.01
    torque[wild] *= 2.5
    time[rng.random(count) < 0.01] *= 3
    torque[rng.random(count) < 0.03] = np.nan
    signals = {"stroke_time": time, "supply": supply, "temperature": temperature}
    if not angles:
        return history_of(day + 1, {**signals, "torque": torque[:, 0]}, days=day)
    return history_of(day + 1, signals, ANGLES, torque, day, shapes(falls) if shaped else None)


def shapes(falls):
    """The same valve new and at room temperature: what the watch is told of it."""
    friction = 0.12 * np.array([[0.7], [1.0], [1.3]])
    valve = valve_in(made(1), friction, Condition(difference=6e5))
    curve = torque_over_angle(valve, Service(difference=falls[None, :], velocity=np.zeros((1, ANGLES.size)), density=1000.0), ANGLES)
    return np.stack([(curve.terms["seat"] + curve.terms["hub"])[1, 0], curve.terms["bearing"][1, 0]])
