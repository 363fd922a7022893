"""What the duty asks of the liner. (R052, R054-R057, R059-R060, R062, R064)"""

import numpy as np

from softseat.register import rule

ATMOSPHERE = 101325.0


@rule("R052", parts=("liner",), partial=True)
def silicone_and_solids(liner: np.ndarray, solids: np.ndarray, is_abrasive: np.ndarray) -> np.ndarray:
    """{liner} is weak in tear and wear: solids in the line."""
    return (liner == "VMQ") & ((solids > 0) | is_abrasive)


@rule("R054", parts=("liner_grade",), partial=True)
def high_nitrile_excursion(
    liner_grade: np.ndarray, t_excursion: np.ndarray, *, nbr_high_excursion_low: float, nbr_high_excursion_high: float
) -> np.ndarray:
    """High nitrile at {t_excursion}: a short-term figure only."""
    inside = (t_excursion > nbr_high_excursion_low) & (t_excursion <= nbr_high_excursion_high)
    return (liner_grade == "NBR_highACN") & inside


@rule("R055", partial=True)
def outside_waterworks_scope(
    waterworks_spec: np.ndarray, ph: np.ndarray, t_min: np.ndarray, t_max: np.ndarray,
    *, c504_ph_low: float, c504_ph_high: float, c504_t_low: float, c504_t_high: float,
) -> np.ndarray:  # fmt: skip
    """A waterworks valve standard is asked outside its scope: pH {ph}, {t_min} to {t_max}."""
    outside = (ph < c504_ph_low) | (ph > c504_ph_high) | (t_min < c504_t_low) | (t_max > c504_t_high)
    return waterworks_spec & outside


@rule("R056", partial=True)
def several_media(media_count: np.ndarray) -> np.ndarray:
    """{media_count} media pass this valve (product, cleaning, rinse): the liner must stand every one, the worst rules."""
    return media_count > 1


@rule("R057", partial=True)
def unknown_mixture(mixture_unknown: np.ndarray, liner: np.ndarray, liner_letter: np.ndarray, medium_id: np.ndarray) -> np.ndarray:
    """No table covers this mixture: immersion test on the compound."""
    return mixture_unknown | ((liner_letter == 0) & (liner != "") & ~np.isnan(medium_id))


@rule("R059", partial=True)
def rapid_decompression(
    is_gas: np.ndarray, is_carbon_dioxide: np.ndarray, fast_vent: np.ndarray, p_highest: np.ndarray, *, rgd_pressure: float, rgd_co2: float
) -> np.ndarray:
    """Gas at {p_highest} released quickly tears the rubber on its way out."""
    gauge = p_highest - ATMOSPHERE
    return is_gas & ((gauge > rgd_pressure) | (is_carbon_dioxide & fast_vent & (gauge > rgd_co2)))


@rule("R060", partial=True)
def solvents_in_the_ground(contaminated_ground: np.ndarray, is_potable: np.ndarray, potable_words: np.ndarray) -> np.ndarray:
    """Hydrocarbons in the ground pass through rubber into the water."""
    return contaminated_ground & (is_potable | potable_words)


@rule("R062", partial=True)
def liner_by_old_name(liner_old_name: np.ndarray) -> np.ndarray:
    """The liner is asked by a generic word or an old code: translated to ISO 1629 letters."""
    return liner_old_name


@rule("R064", partial=True)
def liquefied_gas(is_liquefied: np.ndarray, state: np.ndarray, boiling: np.ndarray, ambient_max: np.ndarray) -> np.ndarray:
    """A liquid kept liquid only by pressure (boils at {boiling}): flashes, traps, freezes the liner."""
    return (state == "liquid") & (is_liquefied | (boiling < ambient_max))
