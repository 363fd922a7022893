"""Where a wafer body hangs between its flanges."""

import numpy as np
import numpy.typing as npt

from softseat.piping.swing import positive_lengths
from softseat.register import calculation


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
    circle, hole, bolt = positive_lengths(bolt_circle, hole_diameter, bolt_diameter)
    play = (hole - bolt) / 2
    body = play if body_diameter is None else (circle - bolt - body_diameter) / 2
    with np.errstate(invalid="ignore"):
        return np.where((play >= 0) & (body >= 0), play + body, np.nan)
