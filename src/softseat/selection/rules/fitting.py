"""Fitting and storing: care, told on the fitting card. (R152-R158, R190-R200)"""

import numpy as np

from softseat.register import rule


@rule("R152", partial=True)
def neighbour_too_near(neighbour_d: np.ndarray, neighbour_touches: np.ndarray, *, neighbour: float) -> np.ndarray:
    """The next fitting is near ({neighbour_d}): the disc swings into it."""
    return (neighbour_d < neighbour) | neighbour_touches


@rule("R153", partial=True)
def shaft_vertical_large(dn: np.ndarray, orientation: np.ndarray, *, shaft_vertical_dn: float) -> np.ndarray:
    """DN{dn} with the shaft vertical: the thrust bearing takes the weight."""
    return (dn > shaft_vertical_dn) & (orientation == "shaft_vertical")


@rule("R154", partial=True)
def pipe_out_of_line(jacked: np.ndarray) -> np.ndarray:
    """The pipe is spread or out of line: the body takes its load."""
    return jacked


@rule("R155", parts=("body_style",), partial=True)
def not_centred(body_style: np.ndarray, centred: np.ndarray) -> np.ndarray:
    """The wafer body is not centred by this drilling: the disc can touch the pipe."""
    return (body_style == "wafer") & (centred == "no")


@rule("R156", parts=("body_style",), partial=True)
def neck_holes_missed(body_style: np.ndarray, neck_holes: np.ndarray) -> np.ndarray:
    """Tapped holes at the shaft neck: studs cannot pass there ({neck_holes})."""
    return (body_style != "wafer") & (neck_holes != "") & (neck_holes != "none")


@rule("R157", partial=True)
def no_lifting_point(mass: np.ndarray, lifting: np.ndarray, *, lift_mass: float) -> np.ndarray:
    """{mass} without a lifting point."""
    return (mass > lift_mass) & (lifting == "none")


@rule("R158", partial=True)
def retention_unstated(retention: np.ndarray) -> np.ndarray:
    """The retention of the shaft is not stated."""
    return retention == ""


@rule("R190", partial=True)
def stored_hot(storage_t: np.ndarray, hot_store: np.ndarray, *, store_hot: float) -> np.ndarray:
    """Stored warm, in sun, or near ozone makers: the rubber ages before use."""
    return (storage_t > store_hot) | hot_store


@rule("R191", partial=True)
def fitted_cold(storage_t: np.ndarray, fitted_from_store: np.ndarray, *, store_cold: float) -> np.ndarray:
    """Stored at {storage_t} and fitted cold: stiff, easily torn."""
    return fitted_from_store & (storage_t < store_cold)


@rule("R192", partial=True)
def freezes_wet(ambient_min: np.ndarray, wet_store: np.ndarray, *, freeze: float) -> np.ndarray:
    """A wet valve in frost: ice lifts the liner."""
    return (ambient_min < freeze) & wet_store


@rule("R193", partial=True)
def too_old(storage_years: np.ndarray, shelf_years: np.ndarray) -> np.ndarray:
    """{storage_years} years since cure, above the first storage period of {shelf_years}."""
    return storage_years > shelf_years
