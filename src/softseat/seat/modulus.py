"""From the hardness of the liner to the stiffness of a bonded layer of it."""

import numpy as np
import numpy.typing as npt

from softseat.register import calculation

GENT_FROM, GENT_TO = 20.0, 95.0  # Shore A: the line is singular at 100 and meaningless near 0
STIFFER = 7.0, 2.0, 1.0  # factor on the modulus ...
ABOVE_TR10 = 0.0, 15.0, 50.0  # ... so many kelvin above TR10


@calculation(
    "rubber-modulus",
    source="Gent 1958, hardness and modulus",
    formula="E = 0.0981 (56 + 7.62336 S) / (0.137505 (254 - 2.54 S)) MPa",
    example={"hardness": 70},
)
def rubber_modulus(hardness: npt.ArrayLike) -> np.ndarray:
    """Young's modulus of a rubber at small strain from its Shore A hardness.

    Parameters
    ----------
    hardness : array_like
        Hardness S, Shore A. [-]

    Returns
    -------
    young : ndarray
        Young's modulus E at about 20 C; nan where the hardness is outside 20 to 95 Shore A. [Pa]

    Notes
    -----
    30 to 80 Shore A is the usual range; +-30 % at best: strain, filler and the +-5 points of a delivered compound.

    References
    ----------
    A. N. Gent, "On the relation between indentation hardness and Young's modulus", 1958.
    """
    s = np.asarray(hardness, float)
    s = np.where((s >= GENT_FROM) & (s <= GENT_TO), s, np.nan)
    return np.asarray(1e6 * 0.0981 * (56 + 7.62336 * s) / (0.137505 * (254 - 2.54 * s)))


@calculation(
    "strip-modulus",
    source="Gent and Lindley 1959, long bonded strip",
    formula="E_a = 4/3 E (1 + S^2), in series with K",
    example={"young": "5.52 MPa", "shape_factor": 1, "bulk_modulus": "2000 MPa"},
)
def strip_modulus(young: npt.ArrayLike, shape_factor: npt.ArrayLike, bulk_modulus: npt.ArrayLike | None = None) -> np.ndarray:
    """Apparent modulus in compression of a long rubber strip bonded on both faces.

    Parameters
    ----------
    young : array_like
        Young's modulus E of the rubber. [Pa]
    shape_factor : array_like
        Half the width over the thickness, S = w/(2 t). [-]
    bulk_modulus : array_like
        Bulk modulus K of the rubber, about 2 GPa; without it the rubber keeps its volume. [Pa]

    Returns
    -------
    apparent_modulus : ndarray
        Mean stress over mean strain; nan where an input is missing or negative. [Pa]

    References
    ----------
    A. N. Gent and P. B. Lindley, "The compression of bonded rubber blocks", 1959. Against plane finite elements the form is
    6 % low at S = 0.25, right at 1, 3 to 5 % high from 2.
    """
    e, s = np.asarray(young, float), np.asarray(shape_factor, float)
    with np.errstate(invalid="ignore", divide="ignore"):
        stiff = 4 / 3 * np.where((e >= 0) & (s >= 0), e, np.nan) * (1 + s * s)
        if bulk_modulus is None:
            return np.asarray(stiff)
        k = np.asarray(bulk_modulus, float)
        return np.asarray(stiff * k / (stiff + k))


def modulus_at(
    young: npt.ArrayLike, temperature: npt.ArrayLike, reference_temperature: npt.ArrayLike = 293.15, tr10: npt.ArrayLike = np.nan
) -> np.ndarray:
    """Modulus at another temperature: entropic (proportional to T) when warm, stiffening towards the glass when cold.

    Parameters
    ----------
    young : array_like
        Young's modulus at ``reference_temperature``. [Pa]
    temperature, reference_temperature : array_like
        Temperature of the rubber and of the hardness test. [K]
    tr10 : array_like
        TR10 of the compound (ISO 2921); nan where it is not known: then nothing is said of stiffening. [K]

    Returns
    -------
    young : ndarray
        Young's modulus at ``temperature``; nan where the rubber is below its TR10. [Pa]

    Notes
    -----
    Twice at TR10 + 15 K and about seven times at TR10 are rough and from memory; carbon-black compounds soften a little
    when warm, which is left out.
    """
    t, low = np.asarray(temperature, float), np.asarray(tr10, float)
    above = t - low
    with np.errstate(invalid="ignore"):
        cold = np.exp(np.interp(above, ABOVE_TR10, np.log(STIFFER)))
        cold = np.where(np.isnan(low), 1.0, np.where(above < 0, np.nan, cold))
        return np.asarray(np.asarray(young, float) * t / np.asarray(reference_temperature, float) * cold)
