"""What the liner leans on: the ring of flange face between flange bore and liner lip."""

import functools

import numpy as np
import numpy.typing as npt

from softseat.errors import UnknownName
from softseat.register import calculation
from softseat.tables import Row, index, number
from softseat.tables.nominal import listed


@functools.cache
def _type(flange_type: str) -> Row:
    types = index("flange_types", "type")
    if flange_type not in types:
        raise UnknownName(f"flange_type {flange_type!r} is not known; known are {listed(types)}")
    return types[flange_type]


def flange_bore(flange_type: npt.ArrayLike, pipe_bore: npt.ArrayLike, pipe_outside: npt.ArrayLike) -> np.ndarray:
    """Bore of a line flange at its face, by its type [m]; 0 for a blind; nan where pipe or type is not known.

    Parameters
    ----------
    flange_type : array_like
        WN, SO, LJ, stub, plate, blind, integral; "" where none is named. [-]
    pipe_bore, pipe_outside : array_like
        Bore and outside diameter of the pipe. [m]
    """
    kind, bore, outside = np.broadcast_arrays(np.asarray(flange_type, str), np.asarray(pipe_bore, float), np.asarray(pipe_outside, float))
    out = np.full(bore.shape, np.nan)
    for word in np.unique(kind[kind != ""]):
        row, here = _type(str(word)), kind == word
        widths = {"pipe bore": bore, "pipe outside": outside + number(row["play_mm"], "mm"), "none": np.zeros(bore.shape)}
        out[here] = widths[row["bore_of"]][here]
    return out


def face_of_collar(flange_type: str) -> bool:
    """Whether a collar or stub, not the flange, carries the liner: its face diameter must be asked.

    Parameters
    ----------
    flange_type : str
        WN, SO, LJ, stub, plate, blind, integral.
    """
    return _type(flange_type)["face_of"] == "collar"


def face_suits(flange_face: str) -> tuple[str, str]:
    """yes, no or condition, and why; for a liner folded over the faces of the body.

    Parameters
    ----------
    flange_face : str
        RF, FF, RTJ, TG, serrated, rubber.
    """
    faces = index("flange_faces", "face")
    if flange_face not in faces:
        raise UnknownName(f"flange_face {flange_face!r} is not known; known are {listed(faces)}")
    return faces[flange_face]["suits"], faces[flange_face]["remark"]


@calculation(
    "liner-support",
    source="geometry",
    formula="land = (min(face, lip outside) - max(bore, lip inside))/2",
    example={"flange_bore": "221.5 mm", "face_diameter": "268 mm", "lip_inside": "200 mm", "lip_outside": "240 mm"},
)
def liner_support(
    flange_bore: npt.ArrayLike, face_diameter: npt.ArrayLike, lip_inside: npt.ArrayLike, lip_outside: npt.ArrayLike
) -> np.ndarray:
    """Width of the ring on which the liner lip leans on the line flange.

    Parameters
    ----------
    flange_bore : array_like
        Bore of the flange at its face. [m]
    face_diameter : array_like
        Outside diameter of the face that carries the liner: raised face, collar or stub. [m]
    lip_inside, lip_outside : array_like
        Inside and outside diameter of the liner lip on the face of the body. [m]

    Returns
    -------
    support : ndarray
        Radial width; 0 or negative where lip and face do not meet; nan where a diameter is not known. [m]
    """
    outer = np.minimum(face_diameter, lip_outside)
    return np.asarray((outer - np.maximum(flange_bore, lip_inside)) / 2, float)
