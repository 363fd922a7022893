"""How long the valve is between the flanges, and what fills the gap that a longer one leaves."""

import functools

import numpy as np
import numpy.typing as npt

from softseat.piping.drilling import UNTRUSTED
from softseat.register import calculation
from softseat.tables import number, read
from softseat.tables.nominal import dn, known, plain, words


@functools.cache
def _lengths() -> dict[tuple[str, float], tuple[float, float, str]]:
    return {
        (row["key"], number(row["DN"])): (number(row["L_mm"], "mm"), number(row["tol_mm"], "mm"), row["certainty"])
        for row in read("face_to_face")
        if row["certainty"] != UNTRUSTED
    }


def _series(word: str) -> str:
    """Series as typed: EN 558 20, EN 558 series 20, EN 558-1 basic series 20, ISO 5752 20, 20."""
    text = word.lower().replace("basic", "").replace("series", "").replace("iso 5752", "EN 558").strip()
    text = text.replace("en 558-1", "EN 558").replace("en 558-2", "EN 558")
    return known("series", "series", f"EN 558 {text}" if text.isdigit() else text)


@calculation(
    "face-to-face",
    source="EN 558:2017 / ISO 5752:2021; API 609 Category A",
    formula="table",
    example={"series": "EN 558 20", "size": "DN200"},
    each=True,
)
def face_to_face(series: str, size: str) -> tuple[float, float, str]:
    """Face-to-face length of a valve, metal to metal as clamped.

    Parameters
    ----------
    series : str
        EN 558 20 (wafer short), 25, 16 (wafer medium, long), 13, 14 (double-flanged short, long), 15, 3 (gate valves, for the gap
        of an old one), API 609 A, DIN 3202 K1.
    size : str
        DN200, NPS 8.

    Returns
    -------
    length : float
        Face-to-face; nan where the series has no row of this size that is trusted. [m]
    tolerance : float
        Either way; nan where the series has no row of this size that is trusted. [m]
    certainty : str
        How sure the row is: high, medium-high, medium; empty where there is none.

    References
    ----------
    EN 558:2017, basic series; API 609, Category A. From memory, series 20 held against a public list.
    """
    return _lengths().get((_series(series), dn(size)), (float("nan"), float("nan"), ""))


def lengths(series: npt.ArrayLike, dn: npt.ArrayLike) -> np.ndarray:
    """Face-to-face of each item [m]; nan where the series or the size has none.

    Parameters
    ----------
    series : array_like
        As the table has it: EN 558 20, API 609 A. [-]
    dn : array_like
        DN number. [-]
    """
    row, size = np.broadcast_arrays(np.asarray(series, str), np.asarray(dn, float))
    known_words = words("series")
    keys = [(known_words.get(plain(s), s), float(d)) for s, d in zip(row.ravel(), size.ravel(), strict=True)]
    return np.array([_lengths().get(k, (np.nan,))[0] for k in keys]).reshape(size.shape)


@calculation(
    "replacement-spool",
    source="arithmetic",
    formula="spool = line gap - face-to-face - joints",
    example={"line_gap": "230 mm", "face_to_face": "60 mm", "joints": "3 mm"},
)
def replacement_spool(line_gap: npt.ArrayLike, face_to_face: npt.ArrayLike, joints: npt.ArrayLike = 0.0) -> np.ndarray:
    """Length of the spool that fills the gap of an older, longer valve.

    Parameters
    ----------
    line_gap : array_like
        Between the flange faces of the line: face-to-face of the old valve and its two joints. [m]
    face_to_face : array_like
        Of the new valve; its liner seals without a joint. [m]
    joints : array_like
        Joints that the spool itself needs, compressed. [m]

    Returns
    -------
    spool : ndarray
        Face-to-face of the spool; negative where the new valve does not go in; nan where an input is not known. [m]
    """
    return np.asarray(np.subtract(line_gap, np.add(face_to_face, joints)), float)
