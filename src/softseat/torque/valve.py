"""From what the maker makes and what service does to it, to the valve's own torque terms with their bands."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from softseat.seat.contact import rim_contact, rim_torque, seat_contact
from softseat.seat.effects import ROOM, interference_in_service
from softseat.seat.hub import hub_contact
from softseat.seat.modulus import modulus_at, rubber_modulus
from softseat.seat.practice import practice
from softseat.torque.over_angle import Valve
from softseat.torque.seating import seat_torque_band


@dataclass(frozen=True, slots=True)
class Made:
    """What the maker makes, over the items, new and at 20 C."""

    disc_diameter: npt.ArrayLike  # [m]
    shaft_diameter: npt.ArrayLike  # [m]
    bore: npt.ArrayLike  # [m]
    liner_thickness: npt.ArrayLike  # [m]
    edge_radius: npt.ArrayLike  # [m]
    land: npt.ArrayLike  # [m]
    interference: npt.ArrayLike  # radial [m]
    hardness: npt.ArrayLike  # Shore A [-]
    friction: npt.ArrayLike  # disc on liner, best value, wet as tested [-]
    hub_diameter: npt.ArrayLike = np.nan  # nan: the hub counts as a share of the rim, by the practice table [m]
    hub_interference: npt.ArrayLike = np.nan  # depth of each flat in the liner [m]
    tr10: npt.ArrayLike = np.nan  # [K]
    tested_torque: npt.ArrayLike = np.nan  # rim and hub, new, wet, 20 C, no difference; nan where not tested [N m]


@dataclass(frozen=True, slots=True)
class Condition:
    """How the valve is met in service, over the items."""

    temperature: npt.ArrayLike = ROOM  # [K]
    difference: npt.ArrayLike = 0.0  # across the closed disc; presses the seat further [Pa]
    swell: npt.ArrayLike = 0.0  # [-]
    compression_set: npt.ArrayLike = 0.0  # [-]
    coat: npt.ArrayLike = 0.0  # on the edge, not in the disc's diameter [m]
    confinement: float | None = None  # [-]


NEW = Condition()


def seat_torque(made: Made, condition: Condition = NEW) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Torque of rim and hub, and the interference, in one condition.

    Parameters
    ----------
    made, condition : Made, Condition
        Sizes as made; what service has done to them.

    Returns
    -------
    rim, hub : ndarray
        Best values, no band; nan where a size is missing or the contact beyond the model. [N m]
    interference : ndarray
        As it is in that condition. [m]
    """
    c = condition
    now = interference_in_service(
        made.interference, made.liner_thickness, made.disc_diameter, c.temperature, c.swell, c.compression_set, c.coat,
        confinement=c.confinement,
    )  # fmt: skip
    young = modulus_at(rubber_modulus(made.hardness), c.temperature, ROOM, made.tr10)
    rim, unpressed = _rims(made, c.difference, now, young)
    told = _hub(made, c, young)
    hub = np.where(np.isnan(told), practice("hub_share") * unpressed, told)
    rim, hub, now = np.broadcast_arrays(rim, hub, now)
    return rim, hub, now


def _hub(made: Made, c: Condition, young: np.ndarray) -> np.ndarray:
    """Torque of the hub by its own sizes; nan, and no step of the calculation, where the maker tells none of them."""
    if np.all(np.isnan(made.hub_diameter)):
        return np.array(np.nan)
    pressed = interference_in_service(
        made.hub_interference, made.liner_thickness, 0.0, c.temperature, c.swell, c.compression_set, confinement=c.confinement
    )
    return hub_contact(made.hub_diameter, made.shaft_diameter, pressed, made.liner_thickness, young, made.friction)[1]


def _rims(made: Made, difference: npt.ArrayLike, now: np.ndarray, young: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Torque of the rim at this interference and modulus, under the difference and without it: one contact for both."""
    sizes = made.liner_thickness, made.edge_radius, made.land
    if np.all(np.asarray(difference) == 0):
        rim = seat_contact(made.disc_diameter, *sizes, now, made.friction, young=young, difference=difference)[3]
        return rim, rim
    contact = rim_contact(*sizes, now, young)
    return rim_torque(contact, made.disc_diameter, made.friction, difference), rim_torque(contact, made.disc_diameter, made.friction)


def valve_in(made: Made, bearing_friction: npt.ArrayLike, condition: Condition = NEW, packing: np.ndarray | None = None) -> Valve:
    """The valve's terms in one condition, with the band of a tested or an untested seat.

    Parameters
    ----------
    made, condition : Made, Condition
        Sizes as made; what service has done to them.
    bearing_friction : array_like, leading axis 3
        Low, best and high friction of the bush. [-]
    packing : ndarray, leading axis 3
        Torque of the stem seals; none where not told. [N m]

    Returns
    -------
    valve : Valve
        For ``torque_over_angle``; nan at the items with a missing size. [N m]
    """
    return valves_in(made, bearing_friction, (condition,), packing)[0]


def valves_in(
    made: Made, bearing_friction: npt.ArrayLike, conditions: Sequence[Condition], packing: np.ndarray | None = None
) -> list[Valve]:
    """The valve's terms in several conditions, measured by one seat as new.

    Parameters
    ----------
    made, conditions : Made, sequence of Condition
        Sizes as made; what service has done to them.
    bearing_friction : array_like, leading axis 3
        Low, best and high friction of the bush. [-]
    packing : ndarray, leading axis 3
        Torque of the stem seals; none where not told. [N m]

    Returns
    -------
    valves : list of Valve
        For ``torque_over_angle``; nan at the items with a missing size. [N m]
    """
    terms = [np.atleast_1d(*seat_torque(made, condition)) for condition in conditions]
    as_tested = np.add(*seat_torque(made)[:2])
    friction = np.asarray(bearing_friction, float)
    found = []
    for rim, hub, now in terms:
        disc, shaft, bore = (np.broadcast_to(np.asarray(v, float), now.shape) for v in (made.disc_diameter, made.shaft_diameter, made.bore))
        bands = [seat_torque_band(t, made.tested_torque, as_tested) for t in (rim, hub)]
        found.append(Valve(disc, shaft, bore, now, bands[0], bands[1], np.broadcast_to(friction.reshape(3, -1), (3, *now.shape)), packing))
    return found
