"""Does the disc clear the pipe: the edge of a disc on a centred shaft sweeps a sphere."""

import functools

import numpy as np
import numpy.typing as npt

from softseat.register import calculation
from softseat.tables import column

CLEARS, TIGHT, STRIKES = "clears", "tight", "strikes"
NOISE = 1e-9  # [m]: what rounding may leave of a length; a bore that is just enough is enough


def positive_lengths(*lengths: npt.ArrayLike) -> list[np.ndarray]:
    """Arrays of one shape, nan where a length is not above 0.

    Parameters
    ----------
    lengths : array_like
        Lengths. [m]
    """
    return [np.where(x > 0, x, np.nan) for x in np.broadcast_arrays(*(np.asarray(v, float) for v in lengths))]


def root_or_zero(square: npt.ArrayLike) -> np.ndarray:
    """Square root of a squared length, 0 where it is negative: the disc stays inside.

    Parameters
    ----------
    square : array_like
        Squared length. [m2]
    """
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
    across, length = positive_lengths(disc_diameter, face_to_face)
    return root_or_zero(across**2 + np.square(edge_thickness) - length**2)


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
    (bore,) = positive_lengths(pipe_bore)
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
    bore, length = positive_lengths(pipe_bore, face_to_face)
    free = bore - 2 * np.add(clearance, misalignment)
    square = np.where(free > 0, free, np.nan) ** 2 + length**2 - np.square(edge_thickness)
    return np.asarray(root_or_zero(square))
