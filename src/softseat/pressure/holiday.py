"""The voltage that finds a hole in a coat or liner."""

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from softseat.errors import UnknownName
from softseat.register import calculation
from softseat.tables.nominal import listed, plain

MICRON = 1e-6  # [m]
D5162_CHANGE = 1.016e-3  # [m], 40 mil


def _sp0274(thickness: np.ndarray) -> np.ndarray:
    return np.asarray(250 * np.sqrt(thickness / MICRON))


def _d5162(thickness: np.ndarray) -> np.ndarray:
    return np.where(thickness < D5162_CHANGE, 3294.0, 7843.0) * np.sqrt(thickness * 1e3)


_STANDARDS: dict[str, Callable[[np.ndarray], np.ndarray]] = {"NACE SP0274": _sp0274, "ASTM D5162": _d5162}


@calculation(
    "holiday-voltage",
    source="NACE SP0274; ASTM D5162",
    formula="SP0274: V = 250 sqrt(t/um); D5162: V = 3294 sqrt(t/mm) below 1.016 mm, 7843 sqrt(t/mm) from there",
    example={"thickness": "3 mm", "standard": "NACE SP0274"},
    each=True,
)
def holiday_voltage(thickness: npt.ArrayLike, standard: str) -> np.ndarray:
    """Voltage of a high-voltage holiday test. It must stay below what the coat itself stands.

    Parameters
    ----------
    thickness : array_like
        Of the coat or liner, t. [m]
    standard : str
        NACE SP0274 (thick coats), ASTM D5162 (any; below 0.5 mm the wet sponge is the usual test).

    Returns
    -------
    voltage : ndarray
        Test voltage; nan where the thickness is not above 0. [V]

    References
    ----------
    NACE SP0274, as an instrument manual prints it. ASTM D5162 (as G62), from memory: no text was seen; its constants in mm and
    in mil (525, 1250) agree with each other.
    """
    found = {plain(name): f for name, f in _STANDARDS.items()}.get(plain(standard))
    if found is None:
        raise UnknownName(f"standard {standard!r} is not known; known are {listed(_STANDARDS)}")
    t = np.asarray(thickness, float)
    return found(np.where(t > 0, t, np.nan))
