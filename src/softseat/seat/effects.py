"""What changes the interference after it was made: warmth, swelling, set, coat, wear, pressure on the disc."""

import numpy as np
import numpy.typing as npt

from softseat.register import calculation
from softseat.seat.practice import practice

ROOM = 293.15


def thermal_growth(
    liner_thickness: npt.ArrayLike,
    disc_diameter: npt.ArrayLike,
    temperature: npt.ArrayLike,
    expansion_disc: npt.ArrayLike = 0.0,
    expansion_body: npt.ArrayLike = 0.0,
    expansion_liner: npt.ArrayLike | None = None,
    confinement: npt.ArrayLike | None = None,
) -> np.ndarray:
    """Interference gained by warmth over 20 C, the bonded liner growing into the bore.

    Parameters
    ----------
    liner_thickness, disc_diameter : array_like
        Thickness of the rubber, diameter of the disc. [m]
    temperature : array_like
        Temperature of valve and liner. [K]
    expansion_disc, expansion_body : array_like
        Linear expansion of disc and body; equal ones cancel. [1/K]
    expansion_liner : array_like
        Linear expansion of the rubber; without it the practice table's. [1/K]
    confinement : array_like
        3 where the rubber can only grow in thickness, 1 where it is free; without it the practice table's. [-]

    Returns
    -------
    growth : ndarray
        Radial, negative when cold; nan where an input is missing. [m]
    """
    alpha = practice("expansion_liner") if expansion_liner is None else np.asarray(expansion_liner, float)
    held = practice("confinement") if confinement is None else np.asarray(confinement, float)
    warmer = np.asarray(temperature, float) - ROOM
    metal = (np.asarray(expansion_disc, float) - np.asarray(expansion_body, float)) * np.asarray(disc_diameter, float) / 2
    return np.asarray((held * alpha * np.asarray(liner_thickness, float) + metal) * warmer)


def swell_growth(liner_thickness: npt.ArrayLike, swell: npt.ArrayLike, confinement: npt.ArrayLike | None = None) -> np.ndarray:
    """Interference gained by a liner that takes up the medium.

    Parameters
    ----------
    liner_thickness : array_like
        Thickness of the rubber. [m]
    swell : array_like
        Volume gained, as a share (0.05 is 5 %). [-]
    confinement : array_like
        3 confined, 1 free; without it the practice table's. [-]

    Returns
    -------
    growth : ndarray
        Radial; nan where an input is missing. [m]
    """
    held = practice("confinement") if confinement is None else np.asarray(confinement, float)
    return np.asarray(held / 3 * np.asarray(liner_thickness, float) * np.asarray(swell, float))


@calculation(
    "interference-in-service",
    source="own derivation, docs/theory/seat.md",
    formula="delta = (delta0 + c alpha t dT + c/3 t dV + coat) (1 - CS) - wear - loss",
    example={
        "interference": "0.6 mm",
        "liner_thickness": "8 mm",
        "disc_diameter": "300 mm",
        "temperature": "70 C",
        "swell": 0.02,
        "compression_set": 0.1,
    },
)
def interference_in_service(
    interference: npt.ArrayLike,
    liner_thickness: npt.ArrayLike,
    disc_diameter: npt.ArrayLike,
    temperature: npt.ArrayLike = ROOM,
    swell: npt.ArrayLike = 0.0,
    compression_set: npt.ArrayLike = 0.0,
    coat: npt.ArrayLike = 0.0,
    wear: npt.ArrayLike = 0.0,
    loss: npt.ArrayLike = 0.0,
    confinement: npt.ArrayLike | None = None,
) -> np.ndarray:
    """Radial interference that is there in service, from what was made at 20 C.

    Parameters
    ----------
    interference : array_like
        As made, at 20 C, radial. [m]
    liner_thickness, disc_diameter : array_like
        Thickness of the rubber, diameter of the disc. [m]
    temperature : array_like
        Temperature of valve and liner. [K]
    swell : array_like
        Volume gained by the rubber, as a share. [-]
    compression_set : array_like
        Share of the compression that does not come back. [-]
    coat : array_like
        Coat on the disc's edge that the dimension does not count. [m]
    wear : array_like
        Radial wear of edge and liner. [m]
    loss : array_like
        What the bending of the disc under pressure takes. [m]
    confinement : array_like
        3 where the rubber can only grow in thickness, 1 where it is free. [-]

    Returns
    -------
    interference_now : ndarray
        Never below 0: then the disc no longer touches; nan where an input is missing or the set is above 1. [m]
    """
    grown = thermal_growth(liner_thickness, disc_diameter, temperature, confinement=confinement)
    grown = grown + swell_growth(liner_thickness, swell, confinement)
    lost = np.asarray(compression_set, float)
    kept = np.where((lost >= 0) & (lost <= 1), 1 - lost, np.nan)
    now = (np.asarray(interference, float) + grown + np.asarray(coat, float)) * kept - np.asarray(wear, float) - np.asarray(loss, float)
    return np.asarray(np.where(np.isnan(now), np.nan, np.maximum(now, 0.0)))
