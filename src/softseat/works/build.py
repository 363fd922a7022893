"""What the maker's data say of the build of one item: sizes for the torque model, nominal figures for the works test."""

import numpy as np
import numpy.typing as npt

from softseat.errors import InputError
from softseat.maker.package import Maker
from softseat.maker.valves import row_of
from softseat.materials import bushes
from softseat.selection.item import Item
from softseat.torque.seating import rim_share
from softseat.torque.terms import bearing_torque
from softseat.torque.valve import Condition, Made, seat_torque


def dn_of(item: Item) -> float:
    """DN number of the build."""
    return _digits(item, "size")


def pn_of(item: Item) -> float:
    """PN number of the build."""
    return _digits(item, "rating")


def _digits(item: Item, key: str) -> float:
    if not item.choice:
        raise InputError(f"item {item.n} ({item.tag}): it has no build, the verdict is {item.offered}")
    return float("".join(c for c in str(item.choice[key]) if c.isdigit() or c == "."))


def valve_row(item: Item, maker: Maker) -> dict[str, float | str]:
    """The maker's row of this build: numbers in SI, words as they stand.

    Raises
    ------
    InputError
        Where the maker's data have no such valve.
    """
    size, rating, choice = dn_of(item), pn_of(item), item.choice or {}
    row = int(row_of(maker, choice["body_style"], size, rating))
    if row < 0:
        raise InputError(f"item {item.n}: maker's data {maker.name!r} have no {choice['body_style']} {choice['size']} {choice['rating']}")
    return {name: column[row].item() for name, column in maker.table("valves").items()}


def disc_build(item: Item, maker: Maker) -> str:
    """How the disc is made, the word of the torque table: coated, metal, covered."""
    return str(_of(maker, "discs", "disc", str((item.choice or {}).get("disc", "")), "disc_build", ""))


def _of(maker: Maker, table: str, key: str, word: str, column: str, default: float | str) -> float | str:
    held = maker.table(table)
    at = np.flatnonzero(held[key] == word)
    return held[column][at[0]].item() if at.size else default


def nominal(item: Item, maker: Maker, what: str) -> float:
    """A nominal figure of the maker for this build in SI: hardness, coat, body_coat; nan where he tells none."""
    choice = item.choice or {}
    if what == "hardness":
        return float(_of(maker, "liners", "liner_grade", str(choice.get("liner_grade")), "hardness", float("nan")))
    if what == "coat":
        return float(_of(maker, "discs", "disc", str(choice.get("disc")), "coat", float("nan")))
    coats = maker.table("coats")
    at = np.flatnonzero((coats["coating"] == choice.get("coating")) | (coats["text"] == choice.get("coating")))
    at = at if at.size else np.flatnonzero(coats["default"] == "yes")
    return float(coats["thickness"][at[0]]) if at.size else float("nan")


def made_of(item: Item, maker: Maker, tested_torque: float = float("nan")) -> Made:
    """Sizes and friction of one build for the torque model, each of shape (1,)."""
    row, grade = valve_row(item, maker), str((item.choice or {}).get("liner_grade"))

    def one(value: float | str) -> np.ndarray:
        return np.array([float(value)])

    sizes = ("disc_diameter", "shaft_diameter", "liner_thickness", "edge_radius", "land", "interference")
    return Made(
        bore=one(dn_of(item) * 1e-3),
        hardness=one(nominal(item, maker, "hardness")),
        friction=one(_of(maker, "liners", "liner_grade", grade, "friction_wet_best", float("nan"))),
        tested_torque=one(tested_torque),
        **{name: one(row[name]) for name in sizes},
    )


def bush_friction(item: Item) -> np.ndarray:
    """Friction of the shaft in its bushes, wetted: low, best, high, of shape (3, 1)."""
    word = np.array([str((item.choice or {}).get("bush", ""))])
    return np.asarray(bushes.friction(word, np.array([True])), float).reshape(3, -1)


def shapes_of(item: Item, maker: Maker, difference: npt.ArrayLike, angles: np.ndarray) -> np.ndarray:
    """Torque of the rubber (rim and hub) and of the bushes over the openings, as the model has them for this build. [N m]

    Parameters
    ----------
    item, maker : Item, Maker
        The build and its sizes.
    difference : array_like
        Across the disc, at every opening or one for all; the first is at the closed disc. [Pa]
    angles : ndarray
        Openings. [deg]

    Returns
    -------
    shapes : ndarray
        (2, angles): rubber, bushes.
    """
    made = made_of(item, maker)
    falls = np.broadcast_to(np.asarray(difference, float), angles.shape)
    rim, hub, pressed = (part[0] for part in seat_torque(made, Condition(difference=float(falls.flat[0]))))
    rubber = rim * rim_share(angles, pressed, made.disc_diameter[0]) + hub  # type: ignore[index]
    bushes_ = bearing_torque(falls, made.disc_diameter, made.shaft_diameter, bush_friction(item)[1])
    return np.stack([rubber, np.broadcast_to(bushes_, angles.shape)])
