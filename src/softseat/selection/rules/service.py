"""Services with their own papers. (R171-R181)"""

import numpy as np

from softseat.register import rule


@rule("R171", partial=True)
def fuel_gas(is_fuel_gas: np.ndarray) -> np.ndarray:
    """Fuel gas or biogas: gas approval, hydrogen sulphide and condensate are to be settled."""
    return is_fuel_gas


@rule("R172", partial=True)
def fire_water(fire_protection: np.ndarray, is_fire_water: np.ndarray) -> np.ndarray:
    """Fire-protection water: only a listed model may be quoted."""
    return fire_protection | is_fire_water


@rule("R173", partial=True)
def potable_water(is_potable: np.ndarray, potable_words: np.ndarray, is_wet: np.ndarray, approvals_named: np.ndarray) -> np.ndarray:
    """Drinking water: the approval goes by compound and country."""
    return (is_potable | (potable_words & is_wet)) & ~approvals_named


@rule("R174", partial=True)
def food(is_food: np.ndarray, food_words: np.ndarray) -> np.ndarray:
    """Food or drink: formulation, migration, crevices."""
    return is_food | food_words


@rule("R175", partial=True)
def sour_service(is_sour: np.ndarray, h2s: np.ndarray, *, h2s_liner: float) -> np.ndarray:
    """Hydrogen sulphide ({h2s}): metals by ISO 15156, liner by test."""
    return is_sour | (h2s > h2s_liner)


@rule("R176", partial=True)
def ship(ship_flag: np.ndarray) -> np.ndarray:
    """On a ship: class rules, fire, bottom valves."""
    return ship_flag


@rule("R177", partial=True)
def radiation_field(radiation: np.ndarray, absorbed_dose: np.ndarray, *, dose: float) -> np.ndarray:
    """Radiation hardens the rubber with its dose."""
    return radiation & ~(absorbed_dose <= dose)


@rule("R178", partial=True)
def fugitive_emission(emission_class: np.ndarray) -> np.ndarray:
    """A fugitive emission class is asked: the shaft seal needs its type test."""
    return emission_class


@rule("R179", partial=True)
def clean_assembly(silicone_free: np.ndarray) -> np.ndarray:
    """Silicone-free or degreased service: clean assembly, no silicone grease."""
    return silicone_free


@rule("R180", partial=True)
def seismic_qualification(seismic: np.ndarray) -> np.ndarray:
    """Seismic or vibration qualification is asked: natural frequency of operator and neck."""
    return seismic


@rule("R181", partial=True)
def marking_without_basis(ce_marking: np.ndarray, water_main: np.ndarray, category: np.ndarray) -> np.ndarray:
    """A marking is asked where it may not or need not be given."""
    return ce_marking & (water_main | (category == "SEP"))
