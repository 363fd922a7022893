"""The interference that seals when cold, set and worn, and that can still be turned when hot and swollen."""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from softseat.seat.contact import holding_pressure, rim_contact
from softseat.seat.effects import ROOM, interference_in_service
from softseat.seat.modulus import modulus_at
from softseat.seat.practice import practice

HALVINGS = 30


@dataclass(frozen=True, slots=True)
class Seat:
    """What the maker makes, over the items, at 20 C."""

    disc_diameter: npt.ArrayLike  # [m]
    liner_thickness: npt.ArrayLike  # [m]
    edge_radius: npt.ArrayLike  # [m]
    land: npt.ArrayLike  # [m]
    young: npt.ArrayLike  # [Pa]
    tr10: npt.ArrayLike = np.nan  # [K]


@dataclass(frozen=True, slots=True)
class Strain:
    """What service does to it, over the items."""

    t_min: npt.ArrayLike = ROOM  # [K]
    t_max: npt.ArrayLike = ROOM  # [K]
    compression_set: npt.ArrayLike = 0.0  # counts against sealing only [-]
    wear: npt.ArrayLike = 0.0  # counts against sealing only [m]
    loss: npt.ArrayLike = 0.0  # bending of the disc; counts against sealing only [m]
    swell: npt.ArrayLike = 0.0  # counts against turning only [-]
    coat: npt.ArrayLike = 0.0  # counts against turning only: a maker may or may not have allowed for it [m]
    confinement: float | None = field(default=None)  # [-]


@dataclass(frozen=True, slots=True)
class Window:
    """Radial interference at 20 C; closed where ``smallest`` is above ``largest``."""

    smallest: np.ndarray  # nan where no interference up to the strain limit seals [m]
    largest: np.ndarray  # [m]
    bound_by: np.ndarray  # what ends it above: "torque" or "strain", "" where nan


def held(seat: Seat, strain: Strain, interference: npt.ArrayLike) -> np.ndarray:
    """Difference that a seat holds cold, set, worn and with its disc bent; rubber that stiffens in the cold gets no credit for it.

    Parameters
    ----------
    seat, strain : Seat, Strain
        What was made, and what service does to it.
    interference : array_like
        Radial, as made at 20 C. [m]

    Returns
    -------
    holding_pressure : ndarray
        nan where the liner is below its TR10. [Pa]
    """
    now = interference_in_service(
        interference, seat.liner_thickness, seat.disc_diameter, strain.t_min, compression_set=strain.compression_set,
        wear=strain.wear, loss=strain.loss, confinement=strain.confinement,
    )  # fmt: skip
    young = np.minimum(modulus_at(seat.young, strain.t_min, ROOM, seat.tr10), modulus_at(seat.young, strain.t_min))
    return holding_pressure(rim_contact(seat.liner_thickness, seat.edge_radius, seat.land, now, young).peak_pressure)


def turning(seat: Seat, strain: Strain, interference: npt.ArrayLike, friction: npt.ArrayLike) -> tuple[np.ndarray, np.ndarray]:
    """Rim torque swollen and coated, at the worse of hot (grown) and cold (stiff), and the strain of the liner when hot.

    Parameters
    ----------
    seat, strain : Seat, Strain
        What was made, and what service does to it.
    interference : array_like
        Radial, as made at 20 C. [m]
    friction : array_like
        Friction of disc and liner, its bad end. [-]

    Returns
    -------
    torque : ndarray
        nan where the contact is beyond the model or the liner below its TR10. [N m]
    strain : ndarray
        Interference over thickness; nan where an input is missing. [-]
    """
    hot, grown = _load(seat, strain, interference, strain.t_max)
    cold, _ = _load(seat, strain, interference, strain.t_min)
    with np.errstate(invalid="ignore", divide="ignore"):
        share = grown / np.asarray(seat.liner_thickness, float)
        torque = np.asarray(friction, float) * np.maximum(hot, cold) * np.square(np.asarray(seat.disc_diameter, float))
    return np.asarray(torque), np.asarray(share)


def _load(seat: Seat, strain: Strain, interference: npt.ArrayLike, temperature: npt.ArrayLike) -> tuple[np.ndarray, np.ndarray]:
    """Line load and interference of a new liner, swollen and coated, at a temperature."""
    now = interference_in_service(
        interference, seat.liner_thickness, seat.disc_diameter, temperature, strain.swell, coat=strain.coat, confinement=strain.confinement
    )  # fmt: skip
    young = modulus_at(seat.young, temperature, ROOM, seat.tr10)
    return rim_contact(seat.liner_thickness, seat.edge_radius, seat.land, now, young).line_load, now


def interference_window(
    seat: Seat,
    strain: Strain,
    rating: npt.ArrayLike,
    torque_limit: npt.ArrayLike,
    friction: npt.ArrayLike | None = None,
    strain_limit: npt.ArrayLike | None = None,
) -> Window:
    """Smallest interference that seals and largest that can be turned, as made at 20 C.

    Parameters
    ----------
    seat, strain : Seat, Strain
        What was made, and what service does to it.
    rating : array_like
        Difference that the seat is to hold; it is tested above it (practice table). [Pa]
    torque_limit : array_like
        What operator or hand can give to the rim. [N m]
    friction : array_like
        Friction at its bad end; without it the practice table's high end for a wet rim. [-]
    strain_limit : array_like
        Interference over thickness allowed; without it the practice table's. [-]

    Returns
    -------
    window : Window
        nan where nothing seals or an input is missing.
    """
    mu = practice("friction_rim_high") if friction is None else np.asarray(friction, float)
    most = practice("strain_limit") if strain_limit is None else np.asarray(strain_limit, float)
    wanted = practice("rating_margin") * np.asarray(rating, float)
    full = np.asarray(seat.liner_thickness, float) * 0.5  # half the liner: beyond any limit
    shape = np.broadcast_shapes(*(np.shape(x) for x in (full, wanted, torque_limit, mu, seat.disc_diameter, strain.t_max, strain.t_min)))
    span = np.broadcast_to(full, shape)
    at_most = np.minimum(np.nan_to_num(_bisect(lambda d: turning(seat, strain, d, mu)[1] <= most, span)), span)

    def turns(d: np.ndarray) -> np.ndarray:
        torque, share = turning(seat, strain, d, mu)
        return np.asarray((torque <= torque_limit) & (share <= most))

    largest = _bisect(turns, span)
    smallest = _bisect(lambda d: ~(held(seat, strain, d) >= wanted), at_most)
    seals = held(seat, strain, smallest * (1 + 1e-6) + 1e-9) >= wanted
    known = ~np.isnan(np.asarray(wanted + largest + at_most + np.asarray(torque_limit, float)))
    bound = np.where(largest < at_most * (1 - 1e-6), "torque", "strain")
    return Window(np.where(seals & known, smallest, np.nan), np.where(known, largest, np.nan), np.where(known, bound, ""))


def _bisect(below: Callable[[np.ndarray], np.ndarray], span: np.ndarray) -> np.ndarray:
    """Where a condition that holds at small interference stops holding; the span itself where it never stops."""
    low, high = np.zeros(span.shape), np.array(span, float)
    with np.errstate(invalid="ignore"):
        for _ in range(HALVINGS):
            middle = (low + high) / 2
            yes = below(middle)
            low, high = np.where(yes, middle, low), np.where(yes, high, middle)
    return np.asarray(np.where(np.isnan(span), np.nan, low))
