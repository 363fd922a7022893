"""What to do where the disc does not clear: the angle at which it strikes, the ring or chamfer that cures it."""

import numpy as np
import numpy.typing as npt

from softseat.piping.swing import NOISE, bore_clearance, disc_swing, positive_lengths, root_or_zero
from softseat.register import calculation


@calculation(
    "flush-angle",
    source="geometry; see docs/theory/piping.md",
    formula="angle = asin(L/sqrt(D^2 + t^2)) - atan(t/D)",
    example={"disc_diameter": "200 mm", "face_to_face": "60 mm"},
)
def flush_angle(disc_diameter: npt.ArrayLike, face_to_face: npt.ArrayLike, edge_thickness: npt.ArrayLike = 0.0) -> np.ndarray:
    """Opening at which the disc edge leaves the body: below it the valve slips between the flanges.

    Parameters
    ----------
    disc_diameter : array_like
        Over the sealing edge. [m]
    face_to_face : array_like
        Clamped length of the body. [m]
    edge_thickness : array_like
        Thickness of a cylindrical edge band. [m]

    Returns
    -------
    opening : ndarray
        90 where the disc never leaves the body; nan where a length is not above 0. [deg]
    """
    across, length = positive_lengths(disc_diameter, face_to_face)
    reach = np.hypot(across, edge_thickness)
    lean = np.arctan2(np.broadcast_to(edge_thickness, across.shape), across)
    with np.errstate(invalid="ignore"):
        leaves = np.degrees(np.arcsin(np.minimum(length / reach, 1.0)) - lean)
    return np.asarray(np.where(length >= reach, 90.0 + 0 * reach, leaves))


@calculation(
    "strike-angle",
    source="geometry; see docs/theory/piping.md",
    formula="R sin(angle + atan(t/D)) = max(L/2, sqrt(R^2 - (bore/2 - e)^2) where a bore begins at the face)",
    example={"disc_diameter": "200 mm", "face_to_face": "60 mm", "pipe_bore": "184 mm"},
)
def strike_angle(
    disc_diameter: npt.ArrayLike,
    face_to_face: npt.ArrayLike,
    pipe_bore: npt.ArrayLike,
    edge_thickness: npt.ArrayLike = 0.0,
    misalignment: npt.ArrayLike = 0.0,
) -> np.ndarray:
    """Opening at which the disc strikes a pipe that begins at the flange face: a stop must hold it short of that.

    Parameters
    ----------
    disc_diameter : array_like
        Over the sealing edge. [m]
    face_to_face : array_like
        Clamped length of the body. [m]
    pipe_bore : array_like
        Bore that begins at the face. [m]
    edge_thickness : array_like
        Thickness of a cylindrical edge band. [m]
    misalignment : array_like
        How far body and pipe are off each other's centre. [m]

    Returns
    -------
    opening : ndarray
        The flush angle: a bore below the chord is struck as soon as the edge leaves the body; nan where the disc clears, or
        where a length is not above 0. [deg]
    """
    gap = bore_clearance(disc_diameter, face_to_face, pipe_bore, edge_thickness, 0.0, misalignment)[2]
    with np.errstate(invalid="ignore"):
        return np.where(gap < -NOISE, flush_angle(disc_diameter, face_to_face, edge_thickness), np.nan)


@calculation(
    "spacer",
    source="geometry; see docs/theory/piping.md",
    formula="spacer = sqrt(R^2 - (bore/2 - g - e)^2) - L/2, R = sqrt(D^2 + t^2)/2",
    example={"disc_diameter": "200 mm", "face_to_face": "60 mm", "pipe_bore": "184 mm", "clearance": "3 mm", "misalignment": "1 mm"},
)
def spacer(
    disc_diameter: npt.ArrayLike,
    face_to_face: npt.ArrayLike,
    pipe_bore: npt.ArrayLike,
    clearance: npt.ArrayLike,
    misalignment: npt.ArrayLike = 0.0,
    edge_thickness: npt.ArrayLike = 0.0,
) -> tuple[np.ndarray, np.ndarray]:
    """Ring on each side, or depth of a chamfer in the pipe, that lets the disc clear.

    Parameters
    ----------
    disc_diameter : array_like
        Over the sealing edge. [m]
    face_to_face : array_like
        Clamped length of the body. [m]
    pipe_bore : array_like
        Bore of the pipe. [m]
    clearance, misalignment : array_like
        Radial clearance that is wanted, and how far body and pipe can be off centre. [m]
    edge_thickness : array_like
        Thickness of a cylindrical edge band. [m]

    Returns
    -------
    spacer : ndarray
        Thickness of the ring; 0 where none is needed; nan where a length is not above 0. [m]
    spacer_bore : ndarray
        Smallest bore of the ring; nan where a length is not above 0. [m]
    """
    across, length, bore = positive_lengths(disc_diameter, face_to_face, pipe_bore)
    room = np.add(clearance, misalignment)
    depth = root_or_zero(np.hypot(across, edge_thickness) ** 2 / 4 - np.maximum(bore / 2 - room, 0.0) ** 2) - length / 2
    return np.maximum(depth, 0.0), disc_swing(across, length, edge_thickness) + 2 * room
