"""Does the disc clear the pipe: the edge of a disc on a centred shaft sweeps a sphere."""

import functools

import numpy as np
import numpy.typing as npt

from softseat.register import calculation
from softseat.tables import column

CLEARS, TIGHT, STRIKES = "clears", "tight", "strikes"
NOISE = 1e-9  # [m]: what rounding may leave of a length; a bore that is just enough is enough


def _positive(*lengths: npt.ArrayLike) -> list[np.ndarray]:
    """Arrays of one shape, nan where one of them is not above 0."""
    return [np.where(x > 0, x, np.nan) for x in np.broadcast_arrays(*(np.asarray(v, float) for v in lengths))]


def _root(square: npt.ArrayLike) -> np.ndarray:
    """Square root, 0 where the square is negative: the disc stays inside."""
    return np.asarray(np.sqrt(np.maximum(square, 0.0)))


@calculation(
    "disc-swing",
    source="geometry; see docs/theory/piping.md",
    formula="chord = sqrt(D^2 + t^2 - L^2)",
    example={"disc_diameter": "200 mm", "face_to_face": "60 mm"},
)
def disc_swing(disc_diameter: npt.ArrayLike, face_to_face: npt.ArrayLike, edge_thickness: npt.ArrayLike = 0.0) -> np.ndarray:
    """Chord that the opening disc sweeps in the plane of the flange face, its widest outside the body.

    Parameters
    ----------
    disc_diameter : array_like
        Over the sealing edge, D. [m]
    face_to_face : array_like
        Clamped length of the body, L; the shaft stands in its middle. [m]
    edge_thickness : array_like
        Thickness of a cylindrical edge band, t; 0 for a thin edge. [m]

    Returns
    -------
    chord : ndarray
        Diameter of the swept circle at the face; 0 where the disc stays inside the body; nan where a length is not above 0. [m]

    References
    ----------
    Geometry: the edge corner lies on a sphere of diameter sqrt(D^2 + t^2) about the shaft axis; a plane at L/2 cuts it.
    """
    across, length = _positive(disc_diameter, face_to_face)
    return _root(across**2 + np.square(edge_thickness) - length**2)


@functools.cache
def _clearances() -> tuple[np.ndarray, np.ndarray]:
    return column("disc_clearance", "disc_up_to_mm", "mm"), column("disc_clearance", "clearance_mm", "mm")


def usual_clearance(disc_diameter: npt.ArrayLike) -> np.ndarray:
    """Radial clearance that is asked between disc and pipe, by size of the disc.

    Parameters
    ----------
    disc_diameter : array_like
        Over the sealing edge. [m]

    Returns
    -------
    ndarray
        From the table of clearances; nan where the diameter is not known. [m]

    References
    ----------
    API 609, disc clearance, from memory; table ``disc_clearance``.
    """
    limits, wanted = _clearances()
    across = np.asarray(disc_diameter, float)
    return np.where(np.isnan(across), np.nan, wanted[np.minimum(np.searchsorted(limits, across), len(limits) - 1)])


@calculation(
    "bore-clearance",
    source="geometry; clearance API 609 (from memory)",
    formula="gap = (bore - chord)/2; clears from gap >= clearance + misalignment",
    example={"disc_diameter": "200 mm", "face_to_face": "60 mm", "pipe_bore": "202.74 mm", "misalignment": "1 mm"},
)
def bore_clearance(
    disc_diameter: npt.ArrayLike,
    face_to_face: npt.ArrayLike,
    pipe_bore: npt.ArrayLike,
    edge_thickness: npt.ArrayLike = 0.0,
    clearance: npt.ArrayLike | None = None,
    misalignment: npt.ArrayLike = 0.0,
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Whether the opening disc clears the bore of the pipe or flange.

    Parameters
    ----------
    disc_diameter : array_like
        Over the sealing edge. [m]
    face_to_face : array_like
        Clamped length of the body. [m]
    pipe_bore : array_like
        Smallest bore that the disc reaches into: pipe, lining, stub end or flange. [m]
    edge_thickness : array_like
        Thickness of a cylindrical edge band; 0 for a thin edge. [m]
    clearance : array_like
        Radial clearance that is wanted; left out the usual one of the size. [m]
    misalignment : array_like
        How far body and pipe can be off each other's centre. [m]

    Returns
    -------
    gap : ndarray
        Radial gap between disc and bore on one centre; negative where they overlap; nan where a length is not above 0. [m]
    verdict : ndarray of str
        clears, tight (clears on centre with less than clearance and misalignment), strikes; empty where the gap is nan.
    least_gap : ndarray
        Gap that is left on the near side at full misalignment; nan where a length is not above 0. [m]
    bore_needed : ndarray
        Smallest bore that clears; nan where a length is not above 0. [m]

    References
    ----------
    Geometry as disc-swing. API 609 for the usual clearance (from memory: 1.5 mm to NPS 6, 3 mm, 6 mm).
    """
    chord = disc_swing(disc_diameter, face_to_face, edge_thickness)
    (bore,) = _positive(pipe_bore)
    room = np.add(usual_clearance(disc_diameter) if clearance is None else clearance, misalignment)
    gap, needed = np.broadcast_arrays((bore - chord) / 2, chord + 2 * room)
    verdict = np.select([np.isnan(gap + needed), gap < -NOISE, bore >= needed - NOISE], ["", STRIKES, CLEARS], TIGHT)
    return np.array(gap), verdict, gap - misalignment, np.array(needed)


@calculation(
    "largest-disc",
    source="geometry; see docs/theory/piping.md",
    formula="D = sqrt((bore - 2(g + e))^2 + L^2 - t^2)",
    example={"pipe_bore": "193.7 mm", "face_to_face": "60 mm", "clearance": "3 mm", "misalignment": "1 mm"},
)
def largest_disc(
    pipe_bore: npt.ArrayLike,
    face_to_face: npt.ArrayLike,
    clearance: npt.ArrayLike,
    misalignment: npt.ArrayLike = 0.0,
    edge_thickness: npt.ArrayLike = 0.0,
) -> np.ndarray:
    """Largest disc that clears a bore.

    Parameters
    ----------
    pipe_bore : array_like
        Bore of the pipe. [m]
    face_to_face : array_like
        Clamped length of the body. [m]
    clearance, misalignment : array_like
        Radial clearance that is wanted, and how far body and pipe can be off centre. [m]
    edge_thickness : array_like
        Thickness of a cylindrical edge band. [m]

    Returns
    -------
    disc_diameter : ndarray
        Nan where a length is not above 0 or clearance and misalignment fill the bore. [m]
    """
    bore, length = _positive(pipe_bore, face_to_face)
    free = bore - 2 * np.add(clearance, misalignment)
    square = np.where(free > 0, free, np.nan) ** 2 + length**2 - np.square(edge_thickness)
    return np.asarray(_root(square))


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
    across, length = _positive(disc_diameter, face_to_face)
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
    across, length, bore = _positive(disc_diameter, face_to_face, pipe_bore)
    room = np.add(clearance, misalignment)
    depth = _root(np.hypot(across, edge_thickness) ** 2 / 4 - np.maximum(bore / 2 - room, 0.0) ** 2) - length / 2
    return np.maximum(depth, 0.0), disc_swing(across, length, edge_thickness) + 2 * room


@calculation(
    "centring",
    source="geometry: plays of bolt and hole added",
    formula="e = (K - b - OD)/2 + (h - b)/2; with eyes e = h - b",
    example={"bolt_circle": "295 mm", "hole_diameter": "22 mm", "bolt_diameter": "20 mm", "body_diameter": "268 mm"},
)
def centring(
    bolt_circle: npt.ArrayLike, hole_diameter: npt.ArrayLike, bolt_diameter: npt.ArrayLike, body_diameter: npt.ArrayLike | None = None
) -> np.ndarray:
    """How far a wafer body can hang off the centre of its flanges: the misalignment of the bore check.

    Parameters
    ----------
    bolt_circle : array_like
        Of the flange. [m]
    hole_diameter : array_like
        Of the flange, and of the body's eyes where it has them. [m]
    bolt_diameter : array_like
        Of the bolt. [m]
    body_diameter : array_like
        Outside diameter of a plain body that hangs inside the ring of bolts; left out the body has eyes on the bolts. [m]

    Returns
    -------
    misalignment : ndarray
        Nan where bolt or hole is not above 0, the bolt is larger than the hole, or the body does not go between the bolts. [m]
    """
    circle, hole, bolt = _positive(bolt_circle, hole_diameter, bolt_diameter)
    play = (hole - bolt) / 2
    body = play if body_diameter is None else (circle - bolt - body_diameter) / 2
    with np.errstate(invalid="ignore"):
        return np.where((play >= 0) & (body >= 0), play + body, np.nan)
