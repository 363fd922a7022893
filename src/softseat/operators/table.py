"""Every operator of a maker as one table of columns: what it gives at each angle, closed and open, with and without air."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from softseat.errors import InputError
from softseat.operators.flange import masks
from softseat.operators.manual import gear_output
from softseat.operators.power import duty_rank, stroke_shape

KINDS = ("lever", "gear", "pneumatic_da", "pneumatic_sr", "electric_onoff", "electric_modulating")
CLOSES, OPENS = 0, 1  # what a spring does when the air fails
OPENING, CLOSING = 0, 1
Columns = Mapping[str, np.ndarray]


@dataclass(frozen=True, slots=True)
class Operators:
    """Columns over the operators, in the order lever, gear, cylinder, electric; torque in SI.

    A cylinder gives ``slope x gauge air pressure + base``; the rest the same torque ``flat`` at every angle.
    """

    key: np.ndarray
    kind: np.ndarray  # words of KINDS
    flange: np.ndarray  # bits of the ISO 5211 ladder
    flat: np.ndarray  # [N m], nan for cylinders
    slope: np.ndarray  # (fail, direction, operators, angles) [N m/Pa]
    base: np.ndarray  # (fail, direction, operators, angles) [N m]
    air_most: np.ndarray  # highest gauge air pressure it is made for; nan where it uses none [Pa]
    holds: np.ndarray  # stays where it is when the valve pushes back
    fails_safe: np.ndarray  # goes to its end when supply fails
    stroke_time: np.ndarray  # nan where the hand sets it [s]
    duty: np.ndarray  # rank of the duty class
    dn_most: np.ndarray  # nan where the maker sets none [-]
    greatest: np.ndarray  # the most it can give, for the shaft; nan for cylinders, which give it at the highest air [N m]
    size: np.ndarray  # what it is sorted by within its kind [N m]

    def __len__(self) -> int:
        return int(self.key.size)


def _flat(kind: npt.ArrayLike, columns: Columns, torque: np.ndarray, angles: int, **more: np.ndarray) -> Operators:
    """A table of operators that give the same at every angle."""
    n = torque.size
    none, no, zero = np.full(n, np.nan), np.zeros(n, bool), np.zeros((2, 2, n, angles))
    plain = {"holds": no, "fails_safe": no, "stroke_time": none, "duty": np.zeros(n, int), "dn_most": none, "greatest": torque} | more
    kinds = np.broadcast_to(np.asarray(kind, str), (n,))
    flange = masks(columns["top_flange"])
    return Operators(key=columns["key"], kind=kinds, flange=flange, flat=torque, slope=zero, base=zero, air_most=none, size=torque, **plain)


def levers(columns: Columns, hand_force: float, angles: int) -> Operators:
    """Levers: length [m], top_flange, dn_max.

    Parameters
    ----------
    columns : mapping of ndarray
        Columns of the maker's table, in SI.
    hand_force : float
        Pull that is allowed (house). [N]
    angles : int
        How many angles the stroke is divided into.
    """
    dn_most = columns.get("dn_max", np.full(columns["length"].size, np.nan))
    held = np.ones(columns["length"].size, bool)  # by the notch or by the hand, up to what the hand gives
    return _flat("lever", columns, hand_force * columns["length"], angles, holds=held, dn_most=dn_most)


def gears(columns: Columns, hand_force: float, angles: int) -> Operators:
    """Worm gears: torque [N m], ratio, efficiency, wheel_diameter [m], top_flange, self_locking.

    Parameters
    ----------
    columns : mapping of ndarray
        Columns of the maker's table, in SI.
    hand_force : float
        Pull that is allowed (house). [N]
    angles : int
        How many angles the stroke is divided into.
    """
    given = gear_output(hand_force, columns["ratio"], columns["efficiency"], columns["wheel_diameter"], columns["torque"])
    return _flat("gear", columns, given, angles, holds=columns["self_locking"] == "yes")


def electrics(columns: Columns, angles: int, stall: float = 1.0) -> Operators:
    """Electric drives: torque [N m], stroke_time [s], duty, fail_safe, top_flange.

    Parameters
    ----------
    columns : mapping of ndarray
        Columns of the maker's table, in SI.
    angles : int
        How many angles the stroke is divided into.
    stall : float
        Greatest output over rated; 1 where a torque switch or clutch limits it. [-]
    """
    duty = duty_rank(np.char.replace(columns["duty"], "onoff", "on-off"))
    kind = np.where(duty >= 2, "electric_modulating", "electric_onoff")
    yes = np.ones(duty.size, bool)  # worm or brake: it stays where it is
    safe = columns["fail_safe"] == "yes"
    torque, times = columns["torque"], columns["stroke_time"]
    return _flat(kind, columns, torque, angles, holds=yes, fails_safe=safe, stroke_time=times, duty=duty, greatest=torque * stall)


def cylinders(columns: Columns, angle: npt.ArrayLike) -> Operators:
    """Cylinders: kind, action, air and spring at start, mid and end of their own strokes, max_pressure [Pa], stroke_time [s].

    Parameters
    ----------
    columns : mapping of ndarray
        Columns of the maker's table, in SI (air torque in N m/Pa).
    angle : array_like
        Openings. [deg]
    """
    spring = columns["action"] == "sr"
    words = sorted(set(columns["action"].tolist()) - {"da", "sr"} | set(columns["kind"].tolist()) - {"rack", "yoke"})
    if words:
        raise InputError(f"cylinder of action or kind {words[0]!r}; allowed are da and sr, rack and yoke")
    yoke = columns["kind"] == "yoke"
    coil = {p: np.where(spring, columns[f"spring_{p}"], 0.0) for p in ("start", "mid", "end")}
    air_up, air_down = _strokes(columns["air_start"], columns["air_mid"], columns["air_end"], angle, yoke)
    coil_up, coil_down = _strokes(coil["start"], coil["mid"], coil["end"], angle, yoke)
    one_way = np.where(spring, 0.0, 1.0)[:, None]
    slope = np.stack([np.stack([air_up, air_down * one_way]), np.stack([air_up * one_way, air_down])])
    base = np.stack([np.stack([-coil_down, coil_down]), np.stack([coil_up, -coil_up])])
    n, most = spring.size, columns["max_pressure"]
    size = np.abs(slope).max(axis=(0, 1, 3)) * most
    return Operators(
        key=columns["key"], kind=np.where(spring, "pneumatic_sr", "pneumatic_da"), flange=masks(columns["top_flange"]),
        flat=np.full(n, np.nan), slope=slope, base=base, air_most=most, holds=np.ones(n, bool), fails_safe=spring,
        stroke_time=columns["stroke_time"], duty=np.full(n, 3), dn_most=np.full(n, np.nan), greatest=np.full(n, np.nan), size=size,
    )  # fmt: skip


def _strokes(
    start: np.ndarray, middle: np.ndarray, end: np.ndarray, angle: npt.ArrayLike, yoke: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Torque over the opening of a stroke that begins at the closed disc, and of one that begins at the open disc."""
    return stroke_shape(start, middle, end, angle, yoke), stroke_shape(end, middle, start, angle, yoke)


def together(*tables: Operators) -> Operators:
    """Several tables as one, in this order.

    Parameters
    ----------
    tables : Operators
        Made over the same angles.
    """

    def joined(name: str) -> np.ndarray:
        return np.concatenate([getattr(t, name) for t in tables], axis=2 if name in ("slope", "base") else 0)

    return Operators(**{name: joined(name) for name in Operators.__dataclass_fields__})
