"""What swells or softens which rubber. (R038-R043, R058, R061, R063, R065)"""

import numpy as np

from softseat.register import CANNOT_SAY, HOLDS, HOLDS_NOT, rule

A, B, C = 3, 2, 1


@rule("R038", parts=("liner",))
def liner_not_resistant(liner: np.ndarray, liner_letter: np.ndarray, named_attack: np.ndarray) -> np.ndarray:
    """By the general table {liner} does not stand this medium at this strength and temperature."""
    return (liner_letter == C) & ~named_attack


@rule("R039", parts=("liner",))
def liner_conditional(liner: np.ndarray, liner_letter: np.ndarray) -> np.ndarray:
    """By the general table {liner} is conditional in this medium: to be confirmed with the compound."""
    return liner_letter == B


@rule("R040", parts=("liner",))
def oil_on_epdm(liner: np.ndarray, is_mineral_oil: np.ndarray, liner_letter: np.ndarray, oily_air: np.ndarray) -> np.ndarray:
    """{liner} swells in mineral oil, fuel and like hydrocarbons."""
    return np.isin(liner, ("EPDM", "IIR")) & is_mineral_oil & (liner_letter <= C) & ~oily_air


@rule("R041", parts=("liner",), partial=True)
def oily_air_on_epdm(
    liner: np.ndarray, is_compressed_air: np.ndarray, oil_carry: np.ndarray, oil_known: np.ndarray, oil: np.ndarray
) -> np.ndarray:
    """Compressed air with oil carried over, on {liner}: slow swelling that looks right on day one."""
    concerned = np.isin(liner, ("EPDM", "IIR")) & is_compressed_air
    oily = oil_carry | (oil > 0)
    return np.select([~concerned, oily, oil_known], [HOLDS_NOT, HOLDS, HOLDS_NOT], CANNOT_SAY)


@rule("R042", parts=("liner",))
def aromatics_on_nbr(liner: np.ndarray, is_aromatic_chlorinated: np.ndarray) -> np.ndarray:
    """{liner} swells in aromatics and chlorinated solvents."""
    return np.isin(liner, ("NBR", "HNBR", "CR", "NR", "CSM")) & is_aromatic_chlorinated


@rule("R043", parts=("liner",))
def ketones_on_fkm(liner: np.ndarray, is_ketone_ester_ether: np.ndarray) -> np.ndarray:
    """{liner} swells and softens in ketones, esters and low ethers."""
    return (liner == "FKM") & is_ketone_ester_ether


@rule("R058", worst="high", partial=True)
def swells(swell: np.ndarray, *, swell_condition: float) -> np.ndarray:
    """Volume swell {swell}: interference and torque rise, the disc can stick."""
    return swell > swell_condition


@rule("R061", parts=("liner",), partial=True)
def fat_on_epdm(
    liner: np.ndarray, is_fat: np.ndarray, fat_traces: np.ndarray, fat_steady: np.ndarray, fat_share: np.ndarray, medium_phase: np.ndarray,
    *, fat_swells: float,
) -> np.ndarray:  # fmt: skip
    """{liner} swells in fat, cream and edible oil."""
    concerned = np.isin(liner, ("EPDM", "IIR"))
    steady = fat_steady | (fat_share >= fat_swells)
    unsure = (fat_traces & np.isnan(fat_share)) & (medium_phase != "powder")
    return np.select([~concerned, is_fat | steady, unsure], [HOLDS_NOT, HOLDS, CANNOT_SAY], HOLDS_NOT)


@rule("R063", partial=True)
def one_spare_for_all(one_spare: np.ndarray, oily_in_schedule: np.ndarray) -> np.ndarray:
    """One spare liner for all lines is asked, and the schedule holds lines that no single rubber stands."""
    return one_spare & oily_in_schedule


@rule("R065", parts=("liner",), partial=True)
def draws_plasticiser(liner: np.ndarray, draws: np.ndarray, plasticiser: np.ndarray) -> np.ndarray:
    """The medium draws plasticiser out of {liner}: it shrinks and hardens after drying out."""
    return draws & np.isin(liner, ("NBR", "HNBR", "CR", "EPDM", "NR")) & (plasticiser == "extractable")
