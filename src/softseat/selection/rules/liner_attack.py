"""What attacks which rubber. (R044-R051, R053)"""

import numpy as np

from softseat.register import CANNOT_SAY, HOLDS, HOLDS_NOT, rule

C = 1


@rule("R044", parts=("liner",))
def oxidising_acid(liner: np.ndarray, is_oxidising_acid: np.ndarray, liner_letter: np.ndarray) -> np.ndarray:
    """{liner} is oxidised or charred by this acid at this strength."""
    return np.isin(liner, ("EPDM", "NBR", "HNBR", "NR", "CR")) & is_oxidising_acid & (liner_letter <= C)


@rule("R045", parts=("liner",))
def amine_on_fkm(liner: np.ndarray, is_amine: np.ndarray) -> np.ndarray:
    """Ammonia and amines attack {liner}."""
    return (liner == "FKM") & is_amine


@rule("R046", parts=("liner",))
def hot_water_on_fkm(
    liner: np.ndarray, is_aqueous: np.ndarray, is_steam: np.ndarray, t_max: np.ndarray, *, fkm_hot_water: float
) -> np.ndarray:
    """Hot water of {t_max} hydrolyses standard {liner}."""
    return (liner == "FKM") & (is_aqueous | is_steam) & (t_max > fkm_hot_water)


@rule("R047", parts=("liner",), partial=True)
def ozone_cracks(
    liner: np.ndarray, outdoor_sun: np.ndarray, ozone_near: np.ndarray, ozone_in: np.ndarray, is_ozone: np.ndarray
) -> np.ndarray:
    """Sun, ozone or electric discharge cracks {liner} at stretched faces."""
    return np.isin(liner, ("NBR", "NR")) & (outdoor_sun | ozone_near) & ~(is_ozone | ozone_in)


@rule("R048", partial=True)
def chloramine_in_potable(is_chloramine: np.ndarray, chloramine: np.ndarray) -> np.ndarray:
    """Chloraminated water is hard on most rubbers."""
    return is_chloramine | chloramine


@rule("R049", partial=True)
def hypochlorite(
    is_hypochlorite: np.ndarray, concentration: np.ndarray, t_max: np.ndarray, *, naocl_conc: float, naocl_warm: float
) -> np.ndarray:
    """Hypochlorite of {concentration} at {t_max}: oxidises rubber and pits disc metals."""
    strong = (concentration > naocl_conc) | (t_max > naocl_warm)
    unsure = np.isnan(concentration)
    return np.select([~is_hypochlorite, strong, unsure], [HOLDS_NOT, HOLDS, CANNOT_SAY], HOLDS_NOT)


@rule("R186", parts=("liner",), partial=True)
def chloramine_on_other_rubber(liner: np.ndarray, is_chloramine: np.ndarray, chloramine: np.ndarray) -> np.ndarray:
    """Chloraminated water is harder on {liner} than on peroxide-cured EPDM."""
    return np.isin(liner, ("NBR", "HNBR", "NR", "CR")) & (is_chloramine | chloramine)


@rule("R050", parts=("liner",), partial=True)
def ozone_on_nbr(liner: np.ndarray, is_ozone: np.ndarray, ozone_in: np.ndarray) -> np.ndarray:
    """Ozone in the medium cracks {liner} in hours to days."""
    return np.isin(liner, ("NBR", "NR")) & (is_ozone | ozone_in)


@rule("R051", parts=("liner",))
def silicone_in_wet_heat(
    liner: np.ndarray, is_aqueous: np.ndarray, is_steam: np.ndarray, t_max: np.ndarray, *, vmq_hot_water: float
) -> np.ndarray:
    """Steam or hot water of {t_max} makes {liner} revert."""
    return (liner == "VMQ") & (is_steam | (is_aqueous & (t_max > vmq_hot_water)))


@rule("R053", parts=("liner",))
def csm_limit(liner: np.ndarray, is_strong_sulphuric: np.ndarray, t_max: np.ndarray, *, csm_acid_t: float, csm_t: float) -> np.ndarray:
    """{t_max} is above the limit of {liner} in this medium."""
    return (liner == "CSM") & (t_max > np.where(is_strong_sulphuric, csm_acid_t, csm_t) + 0.01)
