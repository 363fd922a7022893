"""The operating torque over the stroke, opening and closing, with its band."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from softseat.torque.band import combine, house, opposed, uncertainty
from softseat.torque.dynamic import dynamic_torque_band
from softseat.torque.seating import rim_share
from softseat.torque.terms import bearing_torque

ANGLES = np.arange(0.0, 91.0, 5.0)


@dataclass(frozen=True, slots=True)
class Valve:
    """What the valve brings, over the items; a value with a band has a leading axis low, best, high."""

    disc_diameter: np.ndarray  # (items,) [m]
    shaft_diameter: np.ndarray  # (items,) [m]
    bore: np.ndarray  # (items,) [m]
    interference: np.ndarray  # (items,) radial, as it is in this service [m]
    rim: np.ndarray  # (3, items) torque of the rim, closed [N m]
    hub: np.ndarray  # (3, items) torque of the hub flats [N m]
    bearing_friction: np.ndarray  # (3, items) [-]
    packing: np.ndarray | None = None  # (3, items) torque of the stem seals [N m]
    coefficient: np.ndarray | None = None  # (items, angles) tested dynamic torque on the net drop; nan where untested [-]


@dataclass(frozen=True, slots=True)
class Service:
    """What the plant brings. Factors are what is certain and multiplies; none of them is a band."""

    difference: npt.ArrayLike  # (items,) or (items, angles) across the disc at each angle; the first is shut-off [Pa]
    velocity: npt.ArrayLike = np.nan  # (items, angles) [m/s]
    density: npt.ArrayLike = np.nan  # (items,) [kg/m3]
    media_factor: npt.ArrayLike = 1.0  # (items,) on seat and bearing: dry, powder, oil
    stand_factor: npt.ArrayLike = 1.0  # (items,) on the seat at first opening: long idle or aged
    flow_factor: npt.ArrayLike = 1.0  # (items,) on the dynamic term: disturbed inflow, gas
    hydrostatic: npt.ArrayLike = 0.0  # (items,) [N m]
    hold: npt.ArrayLike = 0.0  # (items,) angle up to which the closed seat torque is held [deg]


@dataclass(frozen=True, slots=True)
class TorqueCurve:
    """Torque of the operator over the angle; negative closing torque means that the flow drives the disc."""

    angle: np.ndarray  # (angles,) [deg]
    opening: np.ndarray  # (3, items, angles) [N m]
    closing: np.ndarray  # (3, items, angles) [N m]
    terms: Mapping[str, np.ndarray] = field(repr=False)  # seat, hub, bearing, packing, hydrostatic, dynamic: (3, items, angles)
    flow_drives: np.ndarray  # (items,) at the bad end, anywhere on the stroke
    required: np.ndarray  # (3, items) largest of the stroke, either way [N m]

    @property
    def unseating(self) -> np.ndarray:
        """To leave the seat, (3, items). [N m]"""
        return self.opening[:, :, 0]

    @property
    def seating(self) -> np.ndarray:
        """To come back into it, (3, items). [N m]"""
        return self.closing[:, :, 0]

    def take(self, rows: np.ndarray) -> "TorqueCurve":
        """The curves of these items, without their terms."""
        return TorqueCurve(
            self.angle, self.opening[:, rows], self.closing[:, rows], {}, self.flow_drives[rows], np.take(self.required, rows, axis=1)
        )

    def putting(self, rows: np.ndarray, fresh: "TorqueCurve") -> "TorqueCurve":
        """These curves with those of some items anew, without their terms."""
        opening, closing, required, drives = (c.copy() for c in (self.opening, self.closing, self.required, self.flow_drives))
        opening[:, rows], closing[:, rows] = fresh.opening, fresh.closing
        required[:, rows], drives[rows] = fresh.required, fresh.flow_drives
        return TorqueCurve(self.angle, opening, closing, {}, drives, required)


def stand_and_age(idle_factor: npt.ArrayLike, aged_factor: npt.ArrayLike) -> np.ndarray:
    """One factor for a liner that stood long and one that aged: the larger, never their product.

    Parameters
    ----------
    idle_factor, aged_factor : array_like
        Factor of the house for long standing, and for an aged liner. [-]
    """
    return np.asarray(np.maximum(np.asarray(idle_factor, float), np.asarray(aged_factor, float)))


def _over(value: npt.ArrayLike) -> np.ndarray:
    """A value over items, or over items and angles, so that it lies over both."""
    array = np.asarray(value, float)
    return np.asarray(array[:, None] if array.ndim == 1 else array)


def _terms(valve: Valve, service: Service, angle: np.ndarray) -> dict[str, np.ndarray]:
    items = np.shape(valve.disc_diameter)[0]
    difference = np.broadcast_to(_over(service.difference), (items, angle.size))
    media, flow = _over(service.media_factor), _over(service.flow_factor)
    held = angle <= _over(service.hold)
    share = np.where(held, 1.0, rim_share(angle, _over(valve.interference), _over(valve.disc_diameter)))
    bearing = bearing_torque(
        difference, valve.disc_diameter[:, None], valve.shaft_diameter[:, None], np.asarray(valve.bearing_friction)[:, :, None]
    )
    dynamic = dynamic_torque_band(angle, valve.bore[:, None], difference, _over(service.velocity), _over(service.density), flow)
    if valve.coefficient is not None:
        tested = valve.coefficient * np.abs(difference) * valve.bore[:, None] ** 3 * flow
        dynamic = np.where(np.isnan(tested), dynamic, tested)
    packing = np.zeros((3, items)) if valve.packing is None else valve.packing
    empty = np.where(held, _over(service.hydrostatic), 0.0)
    found = {
        "seat": valve.rim[:, :, None] * share * media,
        "hub": valve.hub[:, :, None] * media,
        "bearing": bearing * media,
        "packing": packing[:, :, None],
        "hydrostatic": empty,
        "dynamic": dynamic,
    }
    return {name: np.broadcast_to(term, (3, items, angle.size)) for name, term in found.items()}


def torque_over_angle(valve: Valve, service: Service, angle: npt.ArrayLike = ANGLES, coverage: float | None = None) -> TorqueCurve:
    """Torque that the operator must give at every angle, opening and closing.

    Parameters
    ----------
    valve : Valve
        Sizes, seat torque and friction over the items.
    service : Service
        Differences, velocity and the factors of medium and standing.
    angle : array_like
        Openings, the first of them closed. [deg]
    coverage : float
        Coverage of the band; without it the house's figure. [-]

    Returns
    -------
    curve : TorqueCurve
        nan at the items and angles of which a part is nan. [N m]

    Notes
    -----
    Opening: seat + hub + bearing + packing + hydrostatic + dynamic. Closing: the dynamic term helps, the others resist.
    Seat and hub share rubber and friction and count as one part; the parts are added as variances.
    """
    theta = np.asarray(angle, float)
    terms = _terms(valve, service, theta)
    wanted = house("coverage") if coverage is None else coverage
    stand = np.where(theta <= _over(service.hold), _over(service.stand_factor), 1.0)
    rubber, rest = terms["seat"] + terms["hub"], [terms["bearing"], terms["packing"], terms["hydrostatic"]]
    keys = ("seat_uncalibrated", "friction_bearing", "packing", "hydrostatic", "dynamic_lens_high")
    declared = [uncertainty(key)[1] for key in keys]
    opening = combine([rubber * stand, *rest, terms["dynamic"]], declared, wanted)
    closing = combine([rubber, *rest, opposed(terms["dynamic"])], declared, wanted)
    with np.errstate(invalid="ignore"):
        drives = (closing[0] < 0).any(axis=-1)
    required = np.maximum(opening.max(axis=2), np.abs(closing).max(axis=2))
    return TorqueCurve(theta, opening, closing, terms, drives, required)
