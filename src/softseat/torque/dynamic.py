"""What the flow does to a part-open disc: it closes it, from either side."""

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from softseat.register import calculation
from softseat.tables import column
from softseat.torque.band import uncertainty

TABLE = "disc_torque_coefficients"
NET_UP_TO = 65.0  # [deg] above it the thin disc of the theory has no loss left and the net drop says nothing
COLUMNS = ("ct_net", "ct_free", "ctv_theory", "ct_real", "ct_lens", "ctv_lens")


def _curves(opening: npt.ArrayLike) -> Mapping[str, np.ndarray]:
    angle = np.asarray(opening, float)
    inside = np.where((angle >= 0) & (angle <= 90), angle, np.nan)
    nodes = column(TABLE, "opening")
    found = {}
    for name in COLUMNS:
        values = column(TABLE, name)
        here = ~np.isnan(values)  # a node that was not computed ends the curve
        found[name] = np.interp(inside, nodes[here], values[here], left=np.nan, right=np.nan)
    return found


@calculation(
    "torque-coefficient",
    source="own free-streamline solution of a plate in a channel; own simulation of an invented lens disc",
    formula="T = ct D^3 dp = ctv D^3 rho v^2/2",
    example={"opening": 60},
)
def torque_coefficient(
    opening: npt.ArrayLike,
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Coefficients of the dynamic torque of a concentric disc.

    Parameters
    ----------
    opening : array_like
        Opening of the disc, 0 closed, 90 open. [deg]

    Returns
    -------
    ct_net : ndarray
        Thin plate, on the net drop; nan where the opening is not between 0 and 90 deg. [-]
    ct_free : ndarray
        Thin plate, on inlet less cavity pressure (choked, cavitating, free discharge);
        nan where the opening is not between 0 and 90 deg. [-]
    ctv_theory : ndarray
        Thin plate, on the velocity head; nan where the opening is below 5 or above 90 deg. [-]
    ct_lens : ndarray
        Lens disc, on the net drop; nan where the opening is not between 0 and 90 deg. [-]
    ctv_lens : ndarray
        Lens disc, on the velocity head; nan where the opening is below 5 or above 90 deg. [-]

    References
    ----------
    Helmholtz and Kirchhoff's free streamlines, own solution 2026; computed, not tested: +-50 %. See docs/theory/torque.md.
    """
    c = _curves(opening)
    return c["ct_net"], c["ct_free"], c["ctv_theory"], c["ct_lens"], c["ctv_lens"]


@calculation(
    "plate-in-stream",
    source="Rayleigh 1876; Lamb, Hydrodynamics, art. 77",
    formula="C_N = 2 pi sin a/(4 + pi sin a); x/L = 3/4 cos a/(4 + pi sin a)",
    example={"incidence": 45},
)
def plate_in_stream(incidence: npt.ArrayLike) -> tuple[np.ndarray, np.ndarray]:
    """Force on an inclined plate in an unbounded stream with a dead wake, the limit of the theory far from the walls.

    Parameters
    ----------
    incidence : array_like
        Angle between plate and stream, above 0 to 90. [deg]

    Returns
    -------
    normal_force : ndarray
        Coefficient of the force square to the plate, on its chord; nan where the opening is not between 0 and 90 deg. [-]
    ahead : ndarray
        Centre of pressure ahead of the middle, as a share of the chord; nan where the opening is not between 0 and 90 deg. [-]
    """
    a = np.asarray(incidence, float)
    s, c = np.sin(np.radians(a)), np.cos(np.radians(a))
    s = np.where((a > 0) & (a <= 90), s, np.nan)
    return np.asarray(2 * np.pi * s / (4 + np.pi * s)), np.asarray(0.75 * c / (4 + np.pi * s))


def dynamic_torque_band(
    opening: npt.ArrayLike,
    bore: npt.ArrayLike,
    difference: npt.ArrayLike,
    velocity: npt.ArrayLike = np.nan,
    density: npt.ArrayLike = np.nan,
    factor: npt.ArrayLike = 1.0,
) -> np.ndarray:
    """Dynamic torque with its band: thin plate, lens disc, 1.3 x lens disc.

    Parameters
    ----------
    opening : array_like
        Opening of the disc. [deg]
    bore : array_like
        Bore of the valve, D. [m]
    difference : array_like
        Net pressure drop at this opening; its sign does not matter. [Pa]
    velocity : array_like
        Velocity in the bore at this opening; used above 65 deg, nan where not known. [m/s]
    density : array_like
        Density. [kg/m3]
    factor : array_like
        What is certain and multiplies: disturbed inflow, gas. [-]

    Returns
    -------
    torque : ndarray, leading axis 3
        Closing torque, low, best, high; nan where the opening is not between 0 and 90 deg or a value is missing. [N m]
    """
    angle, d, dp, v, rho = np.broadcast_arrays(*(np.asarray(x, float) for x in (opening, bore, difference, velocity, density)))
    c, high = _curves(angle), 1 + uncertainty("dynamic_lens_high")[0]
    head = rho * v * v / 2
    by_speed = (angle > NET_UP_TO) & ~np.isnan(head)
    load = np.where(by_speed, head, np.abs(dp)) * d**3 * np.asarray(factor, float)
    low = np.where(by_speed, c["ctv_theory"], c["ct_real"])
    best = np.where(by_speed, c["ctv_lens"], c["ct_lens"])
    return np.stack([low * load, best * load, high * best * load])


@calculation(
    "dynamic-torque",
    source="own free-streamline theory and simulation of a lens disc; AWWA M49 structure",
    formula="T = ct D^3 dp up to 65 deg, ctv D^3 rho v^2/2 above",
    example={"opening": 60, "bore": "300 mm", "difference": "0.5 bar"},
)
def dynamic_torque(
    opening: npt.ArrayLike,
    bore: npt.ArrayLike,
    difference: npt.ArrayLike,
    coefficient: npt.ArrayLike | None = None,
    velocity: npt.ArrayLike | None = None,
    density: npt.ArrayLike | None = None,
) -> np.ndarray:
    """Torque by which the flow closes the disc.

    Parameters
    ----------
    opening : array_like
        Opening of the disc, 0 closed, 90 open. [deg]
    bore : array_like
        Bore of the valve, D. [m]
    difference : array_like
        Pressure drop across the disc at this opening, not the shut-off difference. [Pa]
    coefficient : array_like
        Tested coefficient on the net drop; takes the place of the computed curve. [-]
    velocity : array_like
        Velocity in the bore; above 65 deg the torque goes by it where it is given. [m/s]
    density : array_like
        Density, with ``velocity``. [kg/m3]

    Returns
    -------
    torque : ndarray
        Best value, closing positive, from a lens disc or from the tested coefficient;
        nan where the opening is not between 0 and 90 deg. [N m]

    References
    ----------
    docs/theory/torque.md; computed, not tested: low end the thin plate, high end 1.3 times this.
    """
    if coefficient is not None:
        angle, c, d, dp = np.broadcast_arrays(*(np.asarray(x, float) for x in (opening, coefficient, bore, difference)))
        return np.asarray(np.where((angle >= 0) & (angle <= 90), c * d**3 * np.abs(dp), np.nan))
    speed = np.nan if velocity is None else velocity
    weight = np.nan if density is None else density
    return np.asarray(dynamic_torque_band(opening, bore, difference, speed, weight)[1])
