"""Disc, coat, shaft against the medium. (R066, R069-R079, R159)"""

import numpy as np

from softseat.register import rule

C, B = 1, 2
STAINLESS_316 = ("CF8M", "CF3M", "CF8", "CF10MC_4581")
COPPER = ("NiAlBz", "AlBz_lowNi", "CC480K")


@rule("R066", parts=("disc",))
def disc_conditional(disc: np.ndarray, disc_letter: np.ndarray) -> np.ndarray:
    """By the general table a disc of {disc} is conditional in this medium: to be confirmed."""
    return disc_letter == B


@rule("R069", parts=("disc",))
def disc_not_resistant(disc: np.ndarray, disc_letter: np.ndarray, named_metal_attack: np.ndarray) -> np.ndarray:
    """By the general table a disc of {disc} does not stand this medium at this strength and temperature."""
    return (disc_letter == C) & ~named_metal_attack


@rule("R070", parts=("disc",), partial=True)
def bare_iron_disc(disc: np.ndarray, is_wet: np.ndarray) -> np.ndarray:
    """A bare iron disc stands always wet: it rusts and tears the liner."""
    bare = np.char.startswith(disc, "GJS") | np.char.startswith(disc, "GJL") | np.isin(disc, ("WCB", "LCB", "S235_plate"))
    return bare & is_wet


@rule("R071", parts=("disc",), partial=True)
def polyamide_coat(
    disc: np.ndarray, ph_low: np.ndarray, t_max: np.ndarray, is_wet: np.ndarray, is_hypochlorite: np.ndarray, is_abrasive: np.ndarray,
    pa11_letter: np.ndarray, *, pa11_ph: float, pa11_t: float, pa11_dry_t: float,
) -> np.ndarray:  # fmt: skip
    """The polyamide coat of the disc lifts in acid, hypochlorite, heat ({t_max}) or hard solids."""
    hard = is_abrasive & (pa11_letter <= C)
    return (disc == "PA_coated_DI") & ((ph_low < pa11_ph) | (is_wet & (t_max > pa11_t)) | (t_max > pa11_dry_t) | is_hypochlorite | hard)


@rule("R072", parts=("disc",), partial=True)
def stainless_in_chloride(
    disc: np.ndarray, is_sea_water: np.ndarray, is_chloride_water: np.ndarray, chloride: np.ndarray, t_max: np.ndarray,
    *, chloride_316: float, chloride_316_warm: float,
) -> np.ndarray:  # fmt: skip
    """{disc} in sea water or chloride water at {t_max}: pits, and creeps under the rim."""
    limit = np.where(t_max > 313.15, chloride_316_warm, chloride_316)
    return np.isin(disc, STAINLESS_316) & (is_sea_water | is_chloride_water | (chloride > limit))


@rule("R073", parts=("disc",), partial=True)
def bronze_attack(
    disc: np.ndarray, is_ammonia: np.ndarray, is_polluted_sulphide: np.ndarray, polluted: np.ndarray, ph_low: np.ndarray,
    is_aqueous: np.ndarray, *, copper_ph: float,
) -> np.ndarray:  # fmt: skip
    """{disc} cracks or dealloys with ammonia, sulphide, polluted sea water or acid water."""
    return np.isin(disc, COPPER) & (is_ammonia | is_polluted_sulphide | polluted | (is_aqueous & (ph_low < copper_ph)))


@rule("R074", parts=("disc",), partial=True)
def stainless_in_halide_acid(disc: np.ndarray, is_halide_acid: np.ndarray) -> np.ndarray:
    """{disc} is attacked fast by hydrochloric acid, wet chlorine or strong hypochlorite."""
    return np.isin(disc, STAINLESS_316) & is_halide_acid


@rule("R075", parts=("shaft",), partial=True)
def chromium_shaft(shaft: np.ndarray, is_sea_water: np.ndarray, is_chloride_water: np.ndarray) -> np.ndarray:
    """A 13 % chromium shaft where sea water can reach it: dry only while the hub seal holds."""
    return np.isin(shaft, ("1.4006", "1.4021", "1.4028", "1.4057", "S41000")) & (is_sea_water | is_chloride_water)


@rule("R076", partial=True)
def weak_joint(joint_share: np.ndarray, *, joint_share_limit: float) -> np.ndarray:
    """The joint of disc and shaft carries {joint_share} of the shaft's torsional strength: 75 % is wanted."""
    return joint_share < joint_share_limit


@rule("R077", worst="high", partial=True)
def shaft_overstressed(shaft_use: np.ndarray, *, shaft_allow: float) -> np.ndarray:
    """The shaft is used to {shaft_use} of what it may bear."""
    return shaft_use > shaft_allow


@rule("R078", parts=("disc",), partial=True)
def copper_hazard(disc: np.ndarray, is_acetylene: np.ndarray, is_potable: np.ndarray) -> np.ndarray:
    """{disc}: acetylides with acetylene, or lead in drinking water."""
    return (np.isin(disc, COPPER) & is_acetylene) | ((disc == "CC480K") & is_potable)


@rule("R079", partial=True)
def outside_coat_unnamed(installation: np.ndarray, marine_air: np.ndarray, coating_asked: np.ndarray) -> np.ndarray:
    """Buried or in marine air, and no coating is named."""
    return (np.isin(installation, ("buried",)) | marine_air) & (coating_asked == "")


@rule("R159", parts=("disc",), partial=True)
def coat_and_diameter(disc: np.ndarray, diameter_given: np.ndarray) -> np.ndarray:
    """The coat adds to the diameter of the disc: the diameter is that {diameter_given}."""
    return np.isin(disc, ("PA_coated_DI", "epoxy_DI")) & (diameter_given != "after coating")
